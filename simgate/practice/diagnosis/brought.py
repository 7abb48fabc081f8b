"""The gate brought into a state by what hands put on, in or off, and back again."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from simgate.bench.contacts import Contacts
from simgate.practice.diagnosis.states import EDGE, State, StateKind, cores_at
from simgate.wiring.fitting import FOOT_OHMS, Fitting
from simgate.wiring.tables import BOARD, COM, ZERO, conductors
from simgate.wiring.trial import TrialHarness


@contextmanager
def brought(harness: TrialHarness, contacts: Contacts, state: State) -> Iterator[bool]:
    """The gate with water on it, watched, a spare beam on, a link or the plug in, on its battery; whether it
    can show another picture than at rest.
    """
    kind = state.kind
    if kind is StateKind.WET:
        dry = harness.rain  # or as wet as the weather of the job
        other = dry < 1.0 and harness.soaks
        if other:
            harness.let_rain(1.0)
        yield other
        if other:
            harness.let_rain(dry)
    elif kind is StateKind.WATCHED:
        other = bool(harness.chatters)
        contacts.break_now(other)
        yield other
        contacts.break_now(False)
    elif kind is StateKind.SPARE:
        fitting = harness.fitting(state.of)
        other = fitting.state() != Fitting(fitting.spec).state()
        if other:
            harness.connect_spare(state.of, True)
        yield other
        if other:
            harness.connect_spare(state.of, False)
    elif kind is StateKind.LINKED:
        screw = f"{BOARD}.{state.of}"
        if any({COM, screw} == set(link) for link in harness.links()):  # one that somebody has forgotten
            yield False
        else:
            with harness.altered(COM, screw, conductors().link_ohms):
                yield True
    elif kind is StateKind.PLUGGED:
        with harness.altered(EDGE, ZERO, FOOT_OHMS, cores_at(harness.spec, EDGE)):
            yield True
    else:
        yield kind is not StateKind.REST
