"""The proof of a mode: every state that the real board can come to with it, and what must be so in each.

Real are `Board.scan` with its order, inputs, guards, timers, starts, logic, and the chart's own look-up.
The environment is anything that people, time and iron can do (`prove_world.py`), over a stand-in for the
leaves (`prove_drive.py`). From one state to the next goes one scan, until no new state comes: then what
holds in all of them holds for good. The first state that breaks a property is among the nearest that do,
so the way to it is a shortest story.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from simgate.board import prove_lemmas
from simgate.board.arrival import Event
from simgate.board.battery import PLANS
from simgate.board.chart_program import Program
from simgate.board.guards import Uses
from simgate.board.mode_words import WHILE
from simgate.board.modes import Table, facts
from simgate.board.prove_asked import ASKED
from simgate.board.prove_drive import Doing
from simgate.board.prove_guarded import GUARDED
from simgate.board.prove_property import Property, Sees, Site
from simgate.board.prove_scene import BIT, HEALTHY, SCENES, Remote, Source
from simgate.board.prove_state import FULL, Kernel, State
from simgate.board.prove_subject import Hand, Subject
from simgate.board.prove_words import told
from simgate.board.prove_world import TESTING, Edge, Happening, Judge, Step, World
from simgate.board.settings import Settings, Value
from simgate.board.stimuli import Condition, Input, Response, Stimulus, Way

PROPERTIES = (*GUARDED, *ASKED)

TRAP = "From every state the gate can be shut again, with the guards healthy."
TRAPPED = "from here nothing shuts the gate any more, whoever calls"
ANSWERED = "Every stimulus has its answer in every condition."
FILTER = "What changes at a terminal and lasts counts within the filter time and one scan."
PAUSED = "No leaf is driven the other way without the reversing pause."


@dataclass(frozen=True, slots=True)
class Verdict:
    """One property: proven, or with a shortest story of how it is broken."""

    key: str
    words: str
    story: tuple[str, ...] = ()

    @property
    def proven(self) -> bool:
        """Whether it holds."""
        return not self.story


@dataclass(frozen=True, slots=True)
class Proof:
    """What the proof of one mode with one choice of settings has come to.

    scene: name of what changed around the board. events: chart events of all edges. scans, fired: those that
    the real board made for them, each once for all states in which it must come to the same.
    """

    mode: str
    settings: Mapping[str, Value]
    scene: str
    states: int
    edges: int
    events: int
    scans: int
    fired: int
    verdicts: tuple[Verdict, ...]
    reached: tuple[Condition, ...]

    @property
    def proven(self) -> bool:
        """Whether every property holds."""
        return all(verdict.proven for verdict in self.verdicts)

    @property
    def broken(self) -> tuple[str, ...]:
        """Keys of the properties that do not hold."""
        return tuple(verdict.key for verdict in self.verdicts if not verdict.proven)


@dataclass(slots=True)
class Graph:
    """Every state with how it was first come to. friendly: state -> those that a friendly step leads from.

    broken: key of a property -> the first step that breaks it.
    """

    came: dict[State, tuple[State, Happening] | None] = field(default_factory=dict)
    friendly: dict[State, list[State]] = field(default_factory=dict)
    edges: int = 0
    events: int = 0
    broken: dict[str, tuple[State, Happening | None, State]] = field(default_factory=dict)

    def path(self, state: State) -> list[tuple[State, Happening]]:
        """The steps from the beginning to `state`."""
        steps: list[tuple[State, Happening]] = []
        while (before := self.came[state]) is not None:
            steps.insert(0, before)
            state = before[0]
        return steps


def prove(
    table: Table, given: Mapping[str, Value] | None = None, until: str = "", scene: str = "terminals"
) -> Proof:
    """Prove one mode, with settings that differ from those a board comes with.

    until: key of a property; when that is broken, nothing more is explored, and the rest proves nothing.
    """
    settings = Settings(facts({table.title: table}), {**(given or {}), "mode": table.title})
    dead = settings.choice("part-opening") == "not in use"
    site = Site(
        table.without_part() if dead else table, Uses.of(settings), PLANS[settings.choice("battery-low")]
    )
    changing = used(site, SCENES[scene])
    subject = Subject(settings, {table.title: table}, changing)
    asked = [one for one in PROPERTIES if one.of(site)]
    world = World(subject, changing, judge(site, asked))
    graph = explore(world, site, asked, until)
    verdicts = [_verdict(graph, one) for one in asked]
    verdicts.append(Verdict("trap", TRAP, _trap(graph)))
    verdicts.append(Verdict("answered", ANSWERED, _unanswered(subject.chart.program)))
    verdicts.append(Verdict("filter", FILTER, _filter(settings)))
    verdicts.append(Verdict("reversing", PAUSED, _reversing()))
    reached = dict.fromkeys(state.condition for state in graph.came)
    return Proof(
        table.title, dict(given or {}), scene, len(graph.came), graph.edges, graph.events, world.scans,
        world.fired,
        tuple(verdicts), tuple(condition for condition in Condition if condition in reached),
    )  # fmt: skip


def used(site: Site, scene: Sequence[Source]) -> tuple[Source, ...]:
    """What means something of a scene."""
    calls = [row[Stimulus.PART] for row in site.table.cells.values()]
    without: set[Source] = {Input.EDGE} if not site.uses.edge_fitted else set()
    if all(response is Response.IGNORE for response in calls):
        without |= {Input.PART, Remote.PART}
    return tuple(one for one in scene if one not in without)


def beginnings() -> tuple[State, ...]:
    """The gate stands shut, with its learn cycle done and everything healthy; or has no power yet."""
    shut = Kernel(
        True, HEALTHY, Condition.SHUT, Doing.REST, False, (), (), True, False, 0, False, None, None, FULL
    )
    off = shut._replace(powered=False, condition=Condition.STOPPED_CLOSING)
    return State(shut), State(off, fresh="power")


def explore(world: World, site: Site, asked: list[Property], until: str = "") -> Graph:
    """Every state that can be come to, the nearest first, and where a property is first broken."""
    graph = Graph()
    came, friendly, broken = graph.came, graph.friendly, graph.broken
    of_state = [(one.key, one.state) for one in asked if one.state is not None]
    of_memory = [(one.key, one.step) for one in asked if one.step is not None and one.sees is Sees.MEMORY]
    waiting: deque[State] = deque()
    rows: dict[tuple[Kernel, int], Row] = {}

    def meet(after: State, before: State | None, happening: Happening | None) -> None:
        came[after] = None if before is None or happening is None else (before, happening)
        waiting.append(after)
        for key, holds in of_state:
            if not holds(site, after) and key not in broken:
                broken[key] = (before or after, happening, after)

    for state in beginnings():
        meet(state, None, None)
    while waiting and until not in broken:
        state = waiting.popleft()
        at = (state.kernel, state.calls)
        if at not in rows:
            rows[at] = row(world, site, asked, *at)
        every, ways, events = rows[at]
        graph.edges += len(every)
        graph.events += events
        for edge, leads, wrong in ways:
            after = edge.after(state)
            if after not in came:
                meet(after, state, edge.happening)
            for key in wrong:
                broken.setdefault(key, (state, edge.happening, after))
            if leads:
                friendly.setdefault(after, []).append(state)
        for edge in every if state.broken else ():
            step = Step(state, edge.happening, edge.acted, edge.after(state))
            for key, kept in of_memory:
                if not kept(site, step):
                    broken.setdefault(key, (state, edge.happening, step.after))
    return graph


Row = tuple[list[Edge], list[tuple[Edge, bool, tuple[str, ...]]], int]
"""Every edge from a kernel and its calls. Of those that lead to the same the first, with whether any of them
is friendly, and what it breaks. And how many cells act on them all."""


def row(world: World, site: Site, asked: list[Property], kernel: Kernel, calls: int) -> Row:
    """What can be said of the edges from a kernel and its calls whatever the prover remembers."""
    of_calls = [(one.key, one.step) for one in asked if one.step is not None and one.sees is Sees.CALLS]
    before = State(kernel, calls)
    every = world.edges(kernel, calls)
    ways: dict[object, tuple[Edge, bool, tuple[str, ...]]] = {}
    for edge in every:
        wrong = edge.wrong
        if of_calls and edge.calls:
            step = Step(before, edge.happening, edge.acted, edge.after(before))
            wrong += tuple([key for key, kept in of_calls if not kept(site, step)])
        leads = (id(edge.kernel), edge.calls, edge.effect, wrong)
        if leads not in ways:
            ways[leads] = (edge, edge.friendly, wrong)
        elif edge.friendly and not ways[leads][1]:
            ways[leads] = (ways[leads][0], True, wrong)
    return every, list(ways.values()), len([one for edge in every for one in edge.acted])


def judge(site: Site, asked: list[Property]) -> Judge:
    """What breaks in a step, as far as neither calls that are held nor the prover's memory decide it."""
    of_step = [(one.key, one.step) for one in asked if one.step is not None and one.sees is Sees.KERNEL]

    def judged(step: Step) -> tuple[tuple[str, ...], bool]:
        idle = not step.acted and step.happening.hand is None and step.before.still and step.after.still
        wrong = [] if idle else [key for key, kept in of_step if not kept(site, step)]
        return tuple(wrong), is_friendly(step.before.kernel, step.happening)

    return judged


def is_friendly(kernel: Kernel, happening: Happening) -> bool:
    """Whether it is a thing that people who want the gate shut may count on, with guards that are healthy."""
    if happening.event not in (None, Event.ARRIVED):
        return False
    if (happening.power and kernel.powered) or (happening.learn and kernel.learned):
        return False
    if happening.hand not in (None, Hand.LET_GO) or (happening.battery and not kernel.charge.sunk):
        return False
    opens = happening.flips & kernel.terminals
    if opens and kernel.start and kernel.start[0] in TESTING:
        for one in kernel.start[4]:
            opens &= ~BIT[one]
    return not opens


def _verdict(graph: Graph, one: Property) -> Verdict:
    if one.key not in graph.broken:
        return Verdict(one.key, one.words)
    before, happening, after = graph.broken[one.key]
    path = graph.path(before)
    if happening is not None:
        path.append((before, happening))
    return Verdict(one.key, one.words, told(path, after, one.broken))


def _trap(graph: Graph) -> tuple[str, ...]:
    """The nearest state from which shut cannot be reached any more."""
    good = {
        state: None
        for state in graph.came
        if state.condition is Condition.SHUT and state.doing is Doing.REST and state.powered
    }
    waiting = deque(good)
    while waiting:
        for before in graph.friendly.get(waiting.popleft(), ()):
            if before not in good:
                good[before] = None
                waiting.append(before)
    trap = next((state for state in graph.came if state not in good), None)
    return () if trap is None else told(graph.path(trap), trap, TRAPPED)


class _Hands:
    """Hands that permit everything, or nothing."""

    def __init__(self, permits: bool) -> None:
        self.permits = permits
        self.response: Response | None = None

    def ask(self, response: Response) -> None:
        """The cell's response."""
        self.response = response

    def permitted(self, way: Way, turning: bool) -> bool:
        """Whether a movement may be made."""
        return self.permits


def _unanswered(program: Program) -> tuple[str, ...]:
    """A stimulus that the machine itself has no answer to."""
    for condition in Condition:
        for stimulus in Stimulus:
            for permits in (True, False):
                hands = _Hands(permits)
                after = program.trigger(condition, stimulus, hands)
                cell = program.cells[condition][stimulus]
                wanted = cell.after if permits or cell.way is None else cell.refused
                if hands.response is not cell.response or after is not wanted:
                    return (f"While {WHILE[condition]}, {stimulus.value}: no answer.",)
    return ()


def _filter(settings: Settings) -> tuple[str, ...]:
    fault = prove_lemmas.filter_fault(round(settings.number("input-filter")))
    return (f"{fault}.",) if fault else ()


def _reversing() -> tuple[str, ...]:
    orders = prove_lemmas.reversing().orders
    return (
        (f"One order in each scan: {', '.join(orders)}; the leaf is driven the other way too soon.",)
        if orders
        else ()
    )
