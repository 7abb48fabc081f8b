"""Model-based diagnosis: what cannot all be sound together, and the smallest sets that explain it.

A conflict is a set of components that cannot all be sound, given what was seen. A candidate must hold
something of every conflict, so minimal candidates are the minimal hitting sets of the minimal conflicts
(Reiter 1987, de Kleer and Williams 1987; both from memory). Here a model is nothing but the question whether
a set of components can be sound together.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterable, Sequence
from itertools import combinations

from simgate.practice.diagnosis.information import entropy

Components = frozenset[str]


def minimal_conflicts(
    components: Sequence[str], sound: Callable[[Components], bool]
) -> tuple[Components, ...]:
    """The smallest sets that cannot be sound together, small ones first. Asks for every set that matters."""
    found: list[Components] = []
    for size in range(1, len(components) + 1):
        for chosen in map(frozenset, combinations(components, size)):
            if not any(conflict <= chosen for conflict in found) and not sound(chosen):
                found.append(chosen)
    return tuple(found)


def minimal_candidates(conflicts: Iterable[Components]) -> tuple[Components, ...]:
    """The minimal hitting sets, small ones first, then by name; without a conflict, the empty one."""
    hitting: list[Components] = [frozenset()]
    for conflict in conflicts:
        grown = [one for one in hitting if one & conflict]
        for one in hitting:
            if not one & conflict:
                grown += [one | {component} for component in sorted(conflict)]
        unique = sorted(set(grown), key=lambda one: (len(one), sorted(one)))
        hitting = [one for one in unique if not any(other < one for other in unique)]
    return tuple(hitting)


def candidates(components: Sequence[str], conflicts: Sequence[Components]) -> tuple[Components, ...]:
    """Every set of faulty components that explains all conflicts, small ones first."""
    sizes = (combinations(components, size) for size in range(len(components) + 1))
    every = (frozenset(chosen) for chosen_of in sizes for chosen in chosen_of)
    return tuple(one for one in every if all(one & conflict for conflict in conflicts))


def weights(found: Iterable[Components], prior: dict[str, float]) -> tuple[float, ...]:
    """Probabilities of candidates from those of independent components, brought to a total of 1."""
    raw = [math.prod(p if name in one else 1.0 - p for name, p in prior.items()) for one in found]
    total = math.fsum(raw)
    return tuple(value / total for value in raw)


def expected_entropy(
    of: Sequence[float], predicted: Sequence[Hashable | None], values: Sequence[Hashable] = ()
) -> float:
    """Bits of doubt that are left on average after a probe.

    of: probabilities of the candidates. predicted: what each says the probe will read, None where it does
    not say. values: everything that the probe could read; a candidate that does not say spreads evenly over
    these.
    """
    spread = list(dict.fromkeys([*values, *(value for value in predicted if value is not None)]))
    share = 1.0 / len(values) if values else 0.0
    left = []
    for value in spread:
        open_share = share if not values or value in values else 0.0
        joint = [
            weight * (open_share if said is None else float(said == value))
            for weight, said in zip(of, predicted, strict=True)
        ]
        left.append(math.fsum(joint) * entropy(joint))
    return math.fsum(left)
