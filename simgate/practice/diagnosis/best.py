"""The cheapest plan there is, by AO* search, or as far as that gets within a number of steps.

A node is what is left of the suspects, with what has been fetched and opened. Its options are the tests that
split it; an option costs its seconds and then all of its parts. Each node knows a figure that no plan for it
can undercut: first a bound from information.py, later the least of its options. The search always opens a
node of the plan that looks cheapest, so the figure at the root rises until that plan is complete, and then
it is the cheapest. Stopped earlier, the figure at the root is still a proven bound.
(AO*: Martelli and Montanari 1973; for test sequencing Pattipati and Alexandridis 1990. Both from memory.)
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from simgate.practice.diagnosis.case import Case
from simgate.practice.diagnosis.information import Bounds
from simgate.practice.diagnosis.plan import Plan

Key = tuple[int, int]  # suspects, setups paid


@dataclass(frozen=True, slots=True)
class Best:
    """least: seconds times weight that no plan undercuts. plan: the cheapest one, None when not found.

    opened: nodes that were opened.
    """

    least: float
    plan: Plan | None
    opened: int


class _Node:
    __slots__ = ("chosen", "key", "least", "opened", "options", "parents", "solved")

    def __init__(self, key: Key, least: float, solved: bool) -> None:
        self.key = key
        self.least = least
        self.solved = solved
        self.opened = solved
        self.options: list[tuple[float, int, tuple[_Node, ...]]] = []
        self.chosen = 0
        self.parents: list[_Node] = []


def search(case: Case, limit: int = 10_000, suspects: int | None = None, paid: int = 0) -> Best:
    """The cheapest plan for a set (all suspects unless said), opening at most `limit` nodes."""
    return _Search(case).run(case.everything if suspects is None else suspects, paid, limit)


class _Search:
    def __init__(self, case: Case) -> None:
        self._case = case
        self._bounds = Bounds(case)
        self._nodes: dict[Key, _Node] = {}
        self._mending: dict[int, float] = {}

    def run(self, suspects: int, paid: int, limit: int) -> Best:
        root = self._node((suspects, paid))
        opened = 0
        while not root.solved and opened < limit:
            leaf = _open_leaf(root)
            self._open(leaf)
            opened += 1
            _revise(leaf)
        return Best(root.least, self._plan(root) if root.solved else None, opened)

    def _node(self, key: Key) -> _Node:
        node = self._nodes.get(key)
        if node is None:
            suspects, _ = key
            if self._case.solved(suspects):
                node = _Node(key, self._case.mend_seconds(suspects), solved=True)
            else:
                node = _Node(key, self._bounds.least(suspects) + self._mend(suspects), solved=False)
            self._nodes[key] = node
        return node

    def _mend(self, suspects: int) -> float:
        """Mending that every plan for a set ends with: what ends in one leaf depends on the case alone."""
        found = self._mending.get(suspects)
        if found is None:
            classes = (suspects & one for one in self._case.classes)
            found = math.fsum(self._case.mend_seconds(one) for one in classes if one)
            self._mending[suspects] = found
        return found

    def _open(self, node: _Node) -> None:
        case, (suspects, paid) = self._case, node.key
        node.opened = True
        weight = case.weight(suspects)
        for test, parts in case.useful(suspects):
            further = paid | case.tests[test].setups
            children = tuple(self._node((part, further)) for part in parts)
            for child in children:
                if not child.solved:
                    child.parents.append(node)
            node.options.append((case.cost(test, paid) * weight, test, children))

    def _plan(self, node: _Node) -> Plan:
        suspects, _ = node.key
        if not node.options:
            return Plan(suspects, node.least)
        _, test, children = node.options[node.chosen]
        plans = tuple(self._plan(child) for child in children)
        return Plan(suspects, node.least, test, tuple(plan.suspects for plan in plans), plans)


def _open_leaf(node: _Node) -> _Node:
    """A node of the plan that looks cheapest which has not been opened: where most of its cost is."""
    while node.opened:
        _, _, children = node.options[node.chosen]
        node = max((child for child in children if not child.solved), key=lambda child: child.least)
    return node


def _revise(node: _Node) -> None:
    """Take a node's new figure up to all that rest on it. Figures only rise, so this ends."""
    waiting = [node]
    while waiting:
        node = waiting.pop()
        least, unsolved, chosen = min(
            (
                spent + math.fsum(child.least for child in children),
                any(not child.solved for child in children),
                number,
            )
            for number, (spent, _, children) in enumerate(node.options)
        )
        node.chosen = chosen
        least = max(least, node.least)
        if least > node.least or not unsolved:
            node.least, node.solved = least, not unsolved
            waiting.extend(parent for parent in node.parents if parent.opened and not parent.solved)
