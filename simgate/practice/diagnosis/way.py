"""The way of a good hand through a job: which looks it would take on this very gate, and when it would mend.

It looks as `par.next_look` says, mends what is sure to be wrong, and looks at display and lamps again. When
all that it knew of is mended and the gate is still not sound it does not know what to look for: it tries the
gate, and the cheapest try at which something shows is counted.
"""

from __future__ import annotations

from functools import lru_cache

from simgate.practice.diagnosis.costs import costs
from simgate.practice.diagnosis.evidence import Seen
from simgate.practice.diagnosis.inquiry import Inquiry
from simgate.practice.diagnosis.ledger import Ledger, Taken
from simgate.practice.diagnosis.observation import setup_seconds
from simgate.practice.diagnosis.par import next_look
from simgate.practice.diagnosis.table import mends
from simgate.practice.diagnosis.words import AFTER, look_words

MOST_LOOKS = 60  # far more than any plan takes


@lru_cache(maxsize=8)  # as many as inquiries are kept: every run of a job is measured by it
def good_way(inquiry: Inquiry) -> tuple[Taken, ...]:
    """Each look that a good hand would take with what is wrong here."""
    ledger = Ledger(inquiry)
    done: list[str] = []
    while len(ledger.taken) < MOST_LOOKS:
        best = next_look(ledger.suspects.table, ledger.left, opened=ledger.opened)
        if best is not None:
            look = best.look
        elif ledger.put_right():
            found = _try(ledger)
            if found is None:
                break
            look = found
        else:
            names = _sure(ledger)
            if not names:
                break
            done += names
            ledger.work(tuple(done), known=True)
            if not inquiry.left(inquiry.truth, tuple(done)):
                break
            shows = ledger.shows(inquiry.at_once)
            if any(shows):
                seen = Seen(tuple(done), inquiry.at_once)
                ledger.note(AFTER, (), seen, costs().place.look, shows)
            continue
        ledger.take(look_words(ledger.looks[look]), (look,))
    return tuple(ledger.taken)


def _sure(ledger: Ledger) -> list[str]:
    """What has to be put right whatever is left; where nothing tells that apart, what helps here."""
    table = ledger.suspects.table
    some = [mends(table.faults_of(one)) for one in ledger.left]
    common = frozenset.intersection(*some)
    if not common:
        there = ledger.inquiry.left(ledger.inquiry.truth, ledger.done)
        common = mends(there) & frozenset.union(*some)
    return sorted(common)


def _try(ledger: Ledger) -> int | None:
    """The cheapest look at which the gate shows that it is not sound yet; None where none does."""
    spec, opened = ledger.inquiry.stand.harness.spec, ledger.opened
    best, least = None, 0.0
    for number, look in enumerate(ledger.looks):
        if not ledger.suspects.table.can_take(look):
            continue
        seconds = look.seconds
        for need in look.needs:
            seconds += setup_seconds(spec, need) if need not in opened else 0.0
        if (best is None or seconds < least) and not ledger.suspects.agreeing(ledger.left, (number,)):
            best, least = number, seconds
    return best
