"""The proof of a mode: every state that the real board can come to with it, and what must be so in each.

Real are `Board.scan` with its order, inputs, guards, timers, starts, logic, and the chart's own look-up.
The environment is anything that people, time and iron can do (`prove_world.py`), over a stand-in for the
leaves (`prove_drive.py`). What holds in every state of the walk (`prove_walk.py`) holds for good.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from simgate.board import prove_lemmas
from simgate.board.battery import PLANS
from simgate.board.chart_program import Program
from simgate.board.drive import GIVE_WAY_MS
from simgate.board.guards import Uses
from simgate.board.leaf import REVERSE_MS
from simgate.board.mode_table import Table
from simgate.board.mode_words import WHILE
from simgate.board.modes import facts
from simgate.board.prove_asked import ASKED
from simgate.board.prove_guarded import GUARDED
from simgate.board.prove_property import Property, Site
from simgate.board.prove_scene import SCENES, Remote, Source
from simgate.board.prove_subject import Subject
from simgate.board.prove_walk import Graph, explore, judge, trap
from simgate.board.prove_words import told
from simgate.board.prove_world import World
from simgate.board.settings import Settings, Value
from simgate.board.stimuli import Condition, Input, Response, Stimulus, Way

PROPERTIES = (*GUARDED, *ASKED)

TRAP = "From every state the gate can be shut again, with the guards healthy."
TRAPPED = "from here nothing shuts the gate any more, whoever calls"
ANSWERED = "Every stimulus has its answer in every condition."
FILTER = "What changes at a terminal and lasts counts within the filter time and one scan."
PAUSED = "No leaf is driven the other way without the reversing pause."
RELIEVED = (
    f"A leaf that turned round from shutting is driven off whom it may press within {REVERSE_MS} ms, and for "
    f"{GIVE_WAY_MS} ms."
)
TOO_SOON = "the leaf is driven the other way too soon"
NOT_LET_GO = "the leaf does not back off"


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
    verdicts.append(Verdict("reversing", PAUSED, _orders(prove_lemmas.reversing().orders, TOO_SOON)))
    verdicts.append(Verdict("relief", RELIEVED, _orders(prove_lemmas.relief(), NOT_LET_GO)))
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


def _verdict(graph: Graph, one: Property) -> Verdict:
    if one.key not in graph.broken:
        return Verdict(one.key, one.words)
    before, happening, after = graph.broken[one.key]
    path = graph.path(before)
    if happening is not None:
        path.append((before, happening))
    return Verdict(one.key, one.words, told(path, after, one.broken))


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


def _trap(graph: Graph) -> tuple[str, ...]:
    state = trap(graph)
    return () if state is None else told(graph.path(state), state, TRAPPED)


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


def _orders(orders: Sequence[str], broken: str) -> tuple[str, ...]:
    """The story of a row of orders, () when there is none."""
    return (f"One order in each scan: {', '.join(orders)}; {broken}.",) if orders else ()
