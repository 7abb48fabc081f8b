"""Fault-finding in sentences, for the debrief's screen and for the command line alike."""

from __future__ import annotations

from simgate.practice.fault_finding import FaultFinding, Look, Waste

NEARLY = 0.005  # bits; less is shown as none

WASTED = {
    Waste.IRRELEVANT: "Irrelevant: it reads the same whichever of the suspects it is.",
    Waste.REDUNDANT: "Redundant: what was seen before had told it already.",
    Waste.PREMATURE: "Premature: another look would have told more for its time.",
    Waste.UNKNOWN: "Not weighed: no plan of ours has this look.",
}
BITS = "One bit halves the suspects; how likely each is counts, too."


def asked(found: FaultFinding) -> str:
    """How many suspects there were."""
    if found.suspects == 1:
        return "Only one fault fitted the complaint: nothing had to be told apart."
    return f"{found.suspects} single faults fitted the complaint. {BITS}"


def told_line(look: Look) -> str:
    """'told 1.3 bits: 5 of 12 suspects left · 205 s'."""
    bits = (
        f"{look.bits:.1f} bit{'' if f'{look.bits:.1f}' == '1.0' else 's'}"
        if look.bits > NEARLY
        else "nothing"
    )
    left = f"{look.after} of {look.before} suspects left" if look.before > 1 else "one suspect left before it"
    return f"told {bits}: {left} · {look.seconds:.0f} s"


def advice_line(look: Look) -> str:
    """What a good hand would have looked at, '' for nothing better."""
    if look.best:
        return f"A good hand: {look.best}. {look.why}"
    return "As good a look as any." if look.waste is Waste.NONE and not look.passing else ""


def ended(found: FaultFinding) -> str:
    """How far it was brought."""
    if not found.mended:
        return (
            f"{found.left} suspect{'s' if found.left > 1 else ''} left at the end; the fault was not mended."
        )
    if found.left == 1:
        return "One suspect was left when it was mended: found."
    return f"{found.left} suspects were left when it was mended."


def against_par(found: FaultFinding) -> str:
    """Total against par, and how near to the best par is proven to be."""
    spent = f"Looking took {found.seconds:.0f} s of trade time"
    if found.par < 1.0:
        return f"{spent}; par is nothing, for the complaint told enough."
    bound = (
        "no plan is shorter, which is proven"
        if found.proven
        else f"no plan is below {found.least:.0f} s, which is proven"
    )
    return f"{spent}; par is {found.par:.0f} s on average, and {bound}."


def good_hand(found: FaultFinding) -> str:
    """The head of a good hand's way."""
    total = 0.0
    for look in found.good_hand:
        total += look.seconds
    number = len(found.good_hand)
    return f"A good hand on this gate: {number} look{'' if number == 1 else 's'}, {total:.0f} s"
