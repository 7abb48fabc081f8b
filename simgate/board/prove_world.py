"""What can happen to a board between two scans, and one scan of the real board under it.

Time is the environment's too: a timer that runs may be due in any scan, and a change of a terminal has
lasted its filter time when the board sees it. That allows more than any clock would (a pause that is over
at once), so what is proven here holds for every length of every time that can be set.

Two things may change in the same scan, or one with a timer, with a hand at the book, or with what the leaves
come to. What the board does is worked out once for all states that differ only in what it does not look at:
the calls that go on being held, calls that change in the middle of work from the book, and the prover's own
memory. A test holds that against scans made for each state by itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from simgate.board.arrival import Event
from simgate.board.mode_table import STOPPED
from simgate.board.prove_drive import BACKS, RELIEF, Doing
from simgate.board.prove_edge import BEGIN, Edge, Happening, Judge, Step, effect_of, no_judge
from simgate.board.prove_hands import Hand
from simgate.board.prove_scene import BIT, CALLS, REMOTES, Source, mask_of
from simgate.board.prove_state import Kernel, State
from simgate.board.prove_subject import LATER, NOW, Subject
from simgate.board.signals import Acted
from simgate.board.starts import Stage
from simgate.board.stimuli import Task

EVENTS = (Event.ARRIVED, Event.BLOCKED, Event.DEAD)
TESTING = (Stage.AWAY, Stage.BACK)
DURING = {Task.LEARN: (Hand.BREAK, Hand.MARK), Task.JOG: (Hand.LET_GO,)}


Known = dict[tuple[Happening, int], tuple[Edge, ...]]
"""What happens to a kernel and the calls that change in it -> what comes of it."""


class World:
    """The environment of one board. scene: what changes around it.

    fired, scans: chart events of the real board, and scans of it, so far.
    """

    def __init__(self, subject: Subject, scene: Sequence[Source], judge: Judge = no_judge) -> None:
        self._judge = judge
        self.subject = subject
        self.scene = scene
        self.fired = self.scans = 0
        ones = [BIT[one] for one in scene]
        self._single = (0, *ones)
        self._double = (*self._single, *(a | b for a, b in combinations(ones, 2)))
        self._known: dict[tuple[object, ...], tuple[Happening, ...]] = {}
        self._kernels: dict[Kernel, tuple[Kernel, Known]] = {}
        self._told = bool(mask_of(*scene) & REMOTES)  # the board then looks at calls that are held

    # What can happen ------------------------------------------------------------------------------

    def happenings(self, kernel: Kernel) -> tuple[Happening, ...]:
        """Everything that can happen in the next scan."""
        stage = kernel.start[0] if kernel.start else Stage.NONE
        task = kernel.busy.task if kernel.busy else Task.MODE
        settles = kernel.learning is not None and kernel.learning[1]
        doing, goes = kernel.doing, kernel.condition in STOPPED or kernel.doing in RELIEF
        events = () if doing is Doing.REST else EVENTS[:1] if doing in BACKS else EVENTS
        kind = (
            kernel.powered, kernel.pause, stage, events, task, settles, goes, doing is Doing.TURN,
            kernel.charge.rests,
        )  # fmt: skip
        if kind not in self._known:
            self._known[kind] = tuple(self._happenings(*kind))
        return self._known[kind]

    def _happenings(
        self, powered: bool, pause: bool, stage: Stage, events: tuple[Event, ...], task: Task, settles: bool,
        goes: bool, eases: bool, rests: bool,
    ) -> Iterator[Happening]:  # fmt: skip
        sinks = self.subject.battery_matters
        if not powered:
            yield from (Happening(flips) for flips in self._single[1:])
            yield from (Happening(flips, power=True) for flips in self._single)
            if sinks:
                yield Happening(battery=True)
            return
        yield Happening(power=True)
        if sinks:
            yield from (Happening(flips, battery=True) for flips in self._single)
        yield from (Happening(flips) for flips in self._double[1:])
        if pause:
            yield from (Happening(flips, pause=True) for flips in self._double)
        if rests:
            yield from (Happening(flips, rested=True) for flips in self._single)
        if stage is not Stage.NONE or settles:
            yield from (Happening(flips, start=True) for flips in self._single)
        if stage in TESTING:
            yield from (Happening(flips, ripe=False) for flips in self._single[1:])
        yield from (Happening(flips, event=event) for event in events for flips in self._single)
        if eases:
            yield from (Happening(flips, eased=True) for flips in self._single)
        for hand in DURING.get(task, ()):
            yield from (Happening(flips, hand=hand) for flips in self._single)
        if task is Task.MODE:
            yield Happening(learn=True)
            # of a gate that moves the book is refused, and the scan goes on as without it
            flips = self._single[:1] if goes else self._single
            yield from (Happening(flip, hand=hand) for hand in BEGIN for flip in flips)

    # What the board then does ---------------------------------------------------------------------

    def edges(self, kernel: Kernel, calls: int) -> list[Edge]:
        """Every edge from the states with this kernel and these calls."""
        if kernel not in self._kernels:
            self._kernels[kernel] = (kernel, {})
        known = self._kernels[kernel][1]
        found: list[Edge] = []
        for happening in self.happenings(kernel):
            flips = happening.flips & CALLS
            seen = calls if self._told else calls & flips
            found += self._known_edges(kernel, seen, happening, known)
        return found

    def _edges(self, kernel: Kernel, calls: int, happening: Happening, known: Known) -> tuple[Edge, ...]:
        """What comes of it, by a scan unless the board does not come to look at the calls that change."""
        if happening.hand in BEGIN and happening.flips:  # what was refused leaves the scan as it is
            asked = self._known_edges(kernel, 0, Happening(hand=happening.hand), known)
            if asked[0].refused:
                edges = self._known_edges(kernel, calls, happening._replace(hand=None), known)
                return tuple([edge.at(happening) for edge in edges])
        flips = happening.flips & CALLS
        if flips and not self._told:
            edges = self._known_edges(kernel, 0, happening._replace(flips=happening.flips & ~CALLS), known)
            if not any(edge.heard for edge in edges):
                return tuple([edge.at(happening) for edge in edges])
        return tuple(self._scanned(kernel, calls, happening))

    def _known_edges(
        self, kernel: Kernel, calls: int, happening: Happening, known: Known
    ) -> tuple[Edge, ...]:
        edges = known.get((happening, calls))
        if edges is None:
            edges = known[happening, calls] = self._edges(kernel, calls, happening, known)
        return edges

    def _scanned(self, kernel: Kernel, calls: int, happening: Happening) -> Iterator[Edge]:
        """The scan; where it asked how the leaves stand, once with each answer."""
        acted, after = self._scan(kernel, calls, happening)
        after = self._same(after)
        flips = happening.flips & CALLS
        effect = effect_of(acted, after, happening.hand)
        step = Step(State(kernel, calls), happening, acted, State(after, calls ^ flips))
        heard, refused = self.subject.heard_calls, self.subject.refused
        yield Edge(happening, acted, after, flips, effect, *self._judge(step), heard, refused)
        for condition in self.subject.leaves.asked if happening.stands is None else ():
            yield from self._scanned(kernel, calls, happening._replace(stands=condition))

    def _same(self, kernel: Kernel) -> Kernel:
        return self._kernels.setdefault(kernel, (kernel, {}))[0]

    def step(self, state: State, happening: Happening) -> Step:
        """One scan of the board in `state`, whatever is known already."""
        acted, kernel = self._scan(state.kernel, state.calls, happening)
        effect = effect_of(acted, kernel, happening.hand)
        edge = Edge(happening, acted, kernel, happening.flips & CALLS, effect, (), False)
        return Step(state, happening, acted, edge.after(state))

    def _scan(self, kernel: Kernel, calls: int, happening: Happening) -> tuple[tuple[Acted, ...], Kernel]:
        subject = self.subject
        before = kernel.terminals | calls
        now = before ^ happening.flips
        subject.put_state(
            kernel,
            before,
            now,
            pause=NOW if happening.pause else LATER,
            start=NOW if happening.start else LATER,
            least=NOW if happening.ripe else LATER,
            rested=NOW if happening.rested else LATER,
        )
        subject.leaves.event = happening.event
        subject.leaves.eased = happening.eased
        subject.leaves.stands = happening.stands
        subject.leaves.asked = []
        subject.hand = happening.hand
        if happening.power:
            subject.signals.powered = not kernel.powered
        if happening.learn:
            subject.lose_learned(kernel.learned)
        if happening.battery:
            subject.sink(not kernel.charge.sunk)
        subject.scan(NOW)
        acted = tuple([one for one in subject.happened if type(one) is Acted])
        self.fired += len(acted)
        self.scans += 1
        return acted, subject.take_state(now & ~CALLS)
