"""Which mode suits a site: the modes ranked by what the site needs, each with its reasons.

A mode is judged by what its table does, and beside it stands what the standard asks for that kind of
activation. This narrows the choice; the risk assessment of the site and a licensed person make it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from simgate.board.mode_facts import Facts, facts_of
from simgate.board.mode_table import Table
from simgate.rules.activation import Activation, Demand, Users, demand

GRAVE = 3  # a need that the mode plainly does not meet weighs as much as three that it meets


@dataclass(frozen=True, slots=True)
class Needs:
    """What a site needs. shuts_itself: must it shut by itself? many: do drivers come who do not know of each
    other? watched: does somebody who works it see the whole gate? walkers: do people walk through?
    follow: must nobody slip through behind a vehicle? users: who uses it."""

    shuts_itself: bool
    many: bool
    watched: bool
    walkers: bool
    follow: bool = False
    users: Users = Users.UNTRAINED


@dataclass(frozen=True, slots=True)
class Choice:
    """One mode for a site: what speaks for it and against it, and what the standard asks then."""

    title: str
    score: int
    pro: tuple[str, ...]
    contra: tuple[str, ...]
    activation: Activation
    demand: Demand


def choices(needs: Needs, tables: Iterable[Table]) -> tuple[Choice, ...]:
    """Every mode for these needs, the best first; one that the standard does not allow comes last."""
    ranked = [_choice(needs, table) for table in tables]
    return tuple(sorted(ranked, key=lambda one: (not one.demand.allowed, -one.score, one.title)))


def activation(facts: Facts, watched: bool) -> Activation:
    """The kind of activation that a mode comes to."""
    if facts.while_held:
        return Activation.HOLD_TO_RUN
    if facts.shuts_itself:
        return Activation.AUTOMATIC
    return Activation.IMPULSE_IN_SIGHT if watched else Activation.IMPULSE_OUT_OF_SIGHT


def _choice(needs: Needs, table: Table) -> Choice:
    facts = facts_of(table)
    kind = activation(facts, needs.watched)
    said = list(_said(needs, facts))
    asked = demand(kind, needs.users)
    if not asked.allowed:
        said.append((-GRAVE, f"{kind.value.replace('-', ' ')} is not for these users"))
    pro = tuple(words for weight, words in said if weight > 0)
    contra = tuple(words for weight, words in said if weight < 0)
    score = 0
    for weight, _ in said:
        score += weight
    return Choice(table.title, score, pro, contra, kind, asked)


def _said(needs: Needs, facts: Facts) -> Iterator[tuple[int, str]]:
    """(weight, words) for each thing about the mode that matters here."""
    if needs.shuts_itself:
        yield (1, "it shuts by itself") if facts.shuts_itself else (-GRAVE, "somebody has to shut it")
    elif facts.shuts_itself:
        yield -1, "it shuts by itself, which nobody asked for"
    else:
        yield 1, "it never shuts unasked"
    if needs.many:
        if facts.only_opens:
            yield 2, "no call can shut or stop it in front of another driver"
        else:
            yield -1, "one driver's call can shut or stop it in front of another"
    if needs.watched:
        if facts.stops or facts.two_calls or facts.while_held:
            yield 1, "whoever watches has it in hand: stop, or one call for each way"
    elif facts.while_held:
        yield -GRAVE, "it wants a person at the switch who sees the gate"
    elif facts.stops:
        yield -1, "a call from out of sight may stop it half-way"
    if needs.walkers:
        if facts.parts:
            yield 1, "a part call lets walkers through without opening it all"
        if not facts.reopens and not facts.while_held:
            yield -1, "a call does not turn a shutting gate round in one step"
    if needs.follow:
        yield (
            (2, "it shuts soon behind a vehicle")
            if facts.shuts_behind
            else (-1, "it leaves time to follow in")
        )
    elif facts.shuts_behind and needs.walkers:
        yield -1, "it shuts soon behind whoever breaks the beam, walkers too"
