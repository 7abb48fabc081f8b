"""Fault-finding in sentences, for the debrief's screen and for the command line alike."""

from __future__ import annotations

from simgate.practice.finding_told import FaultFinding, GoodLook, Look, Part, Waste

NUMBERS = {1: "one", 2: "two", 3: "three", 4: "four"}
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
    if found.size > 1:
        sets = sets_of(found.suspects, found.size)
        likeliest = "; more may, and these are the likeliest" if found.capped else ""
        return f"No single fault fitted the complaint. What did: {sets}{likeliest}. {BITS}"
    if found.suspects == 1:
        return "Only one fault fitted the complaint: nothing had to be told apart."
    return f"{found.suspects} single faults fitted the complaint. {BITS}"


def sets_of(count: int, size: int) -> str:
    """'5 sets of two faults'."""
    if size == 1:
        return f"{count} single fault{'' if count == 1 else 's'}"
    return f"{count} set{'' if count == 1 else 's'} of {number(size)} faults"


def number(size: int) -> str:
    """A small number in words."""
    return NUMBERS.get(size, str(size))


def told_line(look: Look) -> str:
    """'told 1.3 bits: 5 of 12 suspects left · 205 s'."""
    bits = (
        f"{look.bits:.1f} bit{'' if f'{look.bits:.1f}' == '1.0' else 's'}"
        if look.bits > NEARLY
        else "nothing"
    )
    if look.wider:
        none = "no single fault" if look.size == 1 else f"no set of {number(look.size)}"
        new = f"{sets_of(look.after, look.wider)} do{'es' if look.after == 1 else ''}"
        return f"told {bits}: {none} fits any more, {new} · {look.seconds:.0f} s"
    left = f"{look.after} of {look.before} suspects left" if look.before > 1 else "one suspect left before it"
    return f"told {bits}: {left} · {look.seconds:.0f} s"


def advice_line(look: Look) -> str:
    """What a good hand would have looked at, '' for nothing better."""
    if look.best:
        return f"A good hand: {look.best}. {look.why}"
    return "As good a look as any." if look.waste is Waste.NONE and not look.passing else ""


def several(found: FaultFinding) -> bool:
    """Whether more than one fault came into it."""
    return found.size > 1 or len(found.parts) > 1


def begun(part: Part) -> str:
    """What a stage began with that a mending began."""
    if part.sound:
        return "Something was mended; what was seen so far spoke of nothing else."
    return f"Something was mended; {part.suspects} suspect{'' if part.suspects == 1 else 's'} left."


def ended(found: FaultFinding) -> str:
    """How far it was brought."""
    if not found.mended:
        what = "not all that was wrong was mended" if several(found) else "the fault was not mended"
        return f"{found.left} suspect{'s' if found.left > 1 else ''} left at the end; {what}."
    last = "the last of it" if several(found) else "it"
    if found.left == 1:
        return f"One suspect was left when {last} was mended: found."
    return f"{found.left} suspects were left when {last} was mended."


def hidden(found: FaultFinding) -> str:
    """What showed in no look, '' for nothing."""
    said = []
    if behind := found.hidden - found.unseen:
        which = "One of the faults" if behind == 1 else f"{behind} of the faults"
        said.append(f"{which} showed in no look as long as another was there.")
    if found.unseen:
        which = "One of the faults shows" if found.unseen == 1 else f"{found.unseen} of the faults show"
        said.append(f"{which} in no look that we know; par leaves the finding of it out.")
    return " ".join(said)


def against_par(found: FaultFinding) -> str:
    """Total against par, and how near to the best par is proven to be."""
    spent = f"Looking took {found.seconds:.0f} s of trade time"
    if len(found.parts) > 1:
        return f"{spent}; par is {found.par:.0f} s on average, stage by stage:"
    if found.par < 1.0:
        return f"{spent}; par is nothing, for the complaint told enough."
    bound = (
        "no plan is shorter, which is proven"
        if found.proven
        else f"no plan is below {found.least:.0f} s, which is proven"
    )
    return f"{spent}; par is {found.par:.0f} s on average, and {bound}."


def part_line(part: Part) -> str:
    """One stage against its par."""
    if part.sound:
        return (
            f"nothing suspected any more: {part.seconds:.0f} s of trying the gate, for which there is no par"
        )
    what = f"{part.suspects} left" if part.mended else sets_of(part.suspects, part.size)
    if part.par < 1.0:
        bound = "par is nothing"
    elif part.proven:
        bound = f"par {part.par:.0f} s, proven the shortest"
    else:
        bound = f"par {part.par:.0f} s, proven not below {part.least:.0f} s"
    return f"{what}: {part.seconds:.0f} s; {bound}"


def good_look(look: GoodLook, found: FaultFinding) -> str:
    """What a look of a good hand leaves."""
    if look.after == 1:
        return "found"
    return f"{look.after} left{', one repair sure' if look.sure and several(found) else ''}"


def good_hand(found: FaultFinding) -> str:
    """The head of a good hand's way."""
    total = 0.0
    for look in found.good_hand:
        total += look.seconds
    number = len(found.good_hand)
    return f"A good hand on this gate: {number} look{'' if number == 1 else 's'}, {total:.0f} s"
