"""The proof of a mode: every state that the real board can come to with it, and what must be so in each.

Real are `Board.scan` with its order, inputs, guards, timers, starts, logic, and the chart's own look-up.
The environment is anything that people, time and iron can do (`prove_world.py`), over a stand-in for the
leaves (`prove_drive.py`). From one state to the next goes one scan, until no new state comes: then what
holds in all of them holds for good. The first state that breaks a property is among the nearest that do,
so the way to it is a shortest story.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass, field

from simgate.board import prove_lemmas
from simgate.board.arrival import Event
from simgate.board.chart_program import Program
from simgate.board.guards import Uses
from simgate.board.mode_words import WHILE
from simgate.board.modes import Table, facts
from simgate.board.prove_drive import Doing
from simgate.board.prove_properties import PROPERTIES, Property, Site
from simgate.board.prove_state import BIT, HEALTHY, SCENE, State, Subject
from simgate.board.prove_words import told
from simgate.board.prove_world import TESTING, Happening, World
from simgate.board.settings import Settings, Value
from simgate.board.stimuli import Condition, Input, Response, Stimulus, Way

CALLS = BIT[Input.CALL] | BIT[Input.PART]

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
    """What the proof of one mode with one choice of settings has come to."""

    mode: str
    settings: Mapping[str, Value]
    states: int
    edges: int
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
    broken: dict[str, tuple[State, Happening | None, State]] = field(default_factory=dict)

    def path(self, state: State) -> list[tuple[State, Happening]]:
        """The steps from the beginning to `state`."""
        steps: list[tuple[State, Happening]] = []
        while (before := self.came[state]) is not None:
            steps.insert(0, before)
            state = before[0]
        return steps


def prove(table: Table, given: Mapping[str, Value] | None = None, until: str = "") -> Proof:
    """Prove one mode, with settings that differ from those a board comes with.

    until: key of a property; when that is broken, nothing more is explored, and the rest proves nothing.
    """
    settings = Settings(facts({table.title: table}), {**(given or {}), "mode": table.title})
    subject = Subject(settings, {table.title: table})
    dead = settings.choice("part-opening") == "not in use"
    site = Site(table.without_part() if dead else table, Uses.of(settings))
    world = World(subject, used(site))
    asked = [one for one in PROPERTIES if one.of(site)]
    graph = explore(world, site, asked, until)
    verdicts = [_verdict(graph, one) for one in asked]
    verdicts.append(Verdict("trap", TRAP, _trap(graph)))
    verdicts.append(Verdict("answered", ANSWERED, _unanswered(subject.chart.program)))
    verdicts.append(Verdict("filter", FILTER, _filter(settings)))
    verdicts.append(Verdict("reversing", PAUSED, _reversing()))
    reached = dict.fromkeys(state.condition for state in graph.came)
    return Proof(
        table.title, dict(given or {}), len(graph.came), graph.edges, world.fired, tuple(verdicts),
        tuple(condition for condition in Condition if condition in reached),
    )  # fmt: skip


def used(site: Site) -> tuple[Input, ...]:
    """The terminals that mean something."""
    calls = [row[Stimulus.PART] for row in site.table.cells.values()]
    without = {Input.EDGE} if not site.uses.edge_fitted else set()
    if all(response is Response.IGNORE for response in calls):
        without.add(Input.PART)
    return tuple(one for one in SCENE if one not in without)


def beginnings() -> tuple[State, ...]:
    """The gate stands shut, with its learn cycle done and everything healthy; or has no power yet."""
    shut = State(
        True, HEALTHY, HEALTHY, Condition.SHUT, Doing.REST, False, (), (), True, False, 0, "", False, False
    )
    off = shut._replace(powered=False, made=0, condition=Condition.STOPPED_CLOSING, fresh="power")
    return shut, off


def explore(world: World, site: Site, asked: list[Property], until: str = "") -> Graph:
    """Every state that can be come to, the nearest first, and where a property is first broken."""
    graph = Graph()
    came, friendly, step = graph.came, graph.friendly, world.step
    of_state = [(one.key, one.state) for one in asked if one.state is not None]
    of_step = [(one.key, one.step) for one in asked if one.step is not None]
    waiting: deque[State] = deque()

    def meet(after: State, before: State | None, happening: Happening | None) -> None:
        came[after] = None if before is None or happening is None else (before, happening)
        waiting.append(after)
        for key, holds in of_state:
            if not holds(site, after) and key not in graph.broken:
                graph.broken[key] = (before or after, happening, after)

    for state in beginnings():
        meet(state, None, None)
    while waiting and until not in graph.broken:
        state = waiting.popleft()
        for happening in world.happenings(state):
            taken = step(state, happening)
            after = taken.after
            graph.edges += 1
            if after not in came:
                meet(after, state, happening)
            if taken.acted or state.broken:
                for key, kept in of_step:
                    if not kept(site, taken) and key not in graph.broken:
                        graph.broken[key] = (state, happening, after)
            if after is not state and is_friendly(state, happening):
                friendly.setdefault(after, []).append(state)
    return graph


def is_friendly(state: State, happening: Happening) -> bool:
    """Whether it is a thing that people who want the gate shut may count on, with guards that are healthy."""
    if happening.event not in (None, Event.ARRIVED):
        return False
    if (happening.power and state.powered) or (happening.learn and state.learned):
        return False
    opens = happening.flips & state.terminals & ~CALLS
    if opens and state.start and state.start[0] in TESTING:
        for one in state.start[4]:
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
