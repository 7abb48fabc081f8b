"""The walk of a proof: every state that the board can come to, the nearest first, and what breaks on the way.

From one state to the next goes one scan, until no new state comes. The first state that breaks a property is
among the nearest that do, so the way to it is a shortest story.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field

from simgate.board.arrival import Event
from simgate.board.prove_drive import Doing
from simgate.board.prove_edge import Edge, Happening, Judge, Step
from simgate.board.prove_hands import Hand
from simgate.board.prove_property import Property, Sees, Site
from simgate.board.prove_scene import BIT, HEALTHY
from simgate.board.prove_state import FULL, Kernel, State
from simgate.board.prove_world import TESTING, World
from simgate.board.stimuli import Condition


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


def beginnings() -> tuple[State, ...]:
    """The gate stands shut, with its learn cycle done and everything healthy; or has no power yet."""
    at = Condition.SHUT, Doing.REST, False
    shut = Kernel(True, HEALTHY, *at, (), (), True, False, 0, False, None, None, FULL)
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
    acted = 0
    for edge in every:
        wrong = edge.wrong
        acted += len(edge.acted)
        if of_calls and edge.calls:
            step = Step(before, edge.happening, edge.acted, edge.after(before))
            wrong += tuple([key for key, kept in of_calls if not kept(site, step)])
        leads = (id(edge.kernel), edge.calls, edge.effect, wrong)
        if leads not in ways:
            ways[leads] = (edge, edge.friendly, wrong)
        elif edge.friendly and not ways[leads][1]:
            ways[leads] = (ways[leads][0], True, wrong)
    return every, list(ways.values()), acted


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


def trap(graph: Graph) -> State | None:
    """The nearest state from which shut cannot be reached any more, None when there is none."""
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
    return next((state for state in graph.came if state not in good), None)
