"""Who may make the gate move: a call, a pause that the mode promises, a hand at the book; and who may not."""

from __future__ import annotations

from collections.abc import Mapping

from simgate.board.mode_table import WAYS
from simgate.board.prove_drive import BACKING_OFF, Doing
from simgate.board.prove_edge import BEGIN, CALLING, Step
from simgate.board.prove_guarded import SHUT_GUARDS
from simgate.board.prove_hands import Hand
from simgate.board.prove_property import Property, Sees, Site
from simgate.board.prove_scene import Remote, Source
from simgate.board.prove_state import State
from simgate.board.stimuli import Condition, Input, Response, Stimulus, Way

C, D = Condition, Doing

DOES: Mapping[Condition, tuple[Doing, ...]] = {
    C.OPENING: (D.OPEN, D.TURN), C.PART_OPENING: (D.PART,), C.CLOSING: (D.CLOSE,),
}  # fmt: skip
ON_ITS_WAY = (C.OPENING, C.PART_OPENING, C.HELD, C.PART_HELD, C.CLOSING)
PRESSING = (Stimulus.OBSTACLE, Stimulus.EDGE_AMISS)
HOLDS: tuple[tuple[Source, ...], ...] = ((Input.CALL, Remote.CALL), (Input.PART, Remote.PART))
"""What holds the one call, and what the other."""


def _held(now: State, sources: tuple[Source, ...]) -> bool:
    return any(now.has(one) for one in sources)


# Of a state ---------------------------------------------------------------------------------------


def _after_stop(site: Site, now: State) -> bool:
    return now.fresh != "stop" or now.still


def _after_power(site: Site, now: State) -> bool:
    return now.fresh != "power" or now.still


def _after_work(site: Site, now: State) -> bool:
    return now.fresh != "work" or now.kernel.busy is not None or now.still


def _nobody_holds(site: Site, now: State) -> bool:
    held = any(_held(now, sources) for sources in HOLDS)
    return held or now.kernel.busy is not None or now.doing in (D.REST, *BACKING_OFF)


def _broken_down(site: Site, now: State) -> bool:
    return not now.broken or (now.kernel.fault and now.still)


def _truth(site: Site, now: State) -> bool:
    if now.kernel.busy is not None:
        return now.condition not in WAYS
    wanted = DOES.get(now.condition)
    if wanted is None:
        return now.doing in (D.REST, *BACKING_OFF) and not now.kernel.start
    return now.doing in wanted or bool(now.kernel.start)


def _unlearned(site: Site, now: State) -> bool:
    done = now.kernel.learned or now.kernel.busy is not None
    return done or now.still or now.doing in BACKING_OFF


# Of a step ----------------------------------------------------------------------------------------


def _no_timer_shutting(site: Site, step: Step) -> bool:
    for one in step.acted:
        if one.after is C.CLOSING and one.stimulus is Stimulus.PAUSE_OVER:
            now = step.after
            guarded = now.has(Input.STOP) and all(now.has(guard) for guard in SHUT_GUARDS)
            return guarded and (not site.edge_shuts or now.has(Input.EDGE))
    return True


def _shuts_when_asked(site: Site, step: Step) -> bool:
    for one in step.acted:
        if one.after is C.CLOSING and one.condition is not C.CLOSING and one.stimulus not in CALLING:
            alone = site.table.closes_itself and one.stimulus is Stimulus.PAUSE_OVER
            if not (alone and one.response is Response.CLOSE):
                return False
    return True


def _opens_when_asked(site: Site, step: Step) -> bool:
    """A gate that waited goes on, and one that shut may turn round; from rest only a call opens."""
    return all(
        one.stimulus in CALLING or one.condition in ON_ITS_WAY or one.after not in (C.OPENING, C.PART_OPENING)
        for one in step.acted
    )


def _no_other_way(site: Site, step: Step) -> bool:
    """What moves without any cell is work from the book, or a low battery as it is set."""
    before, now = step.before, step.after
    sets_off = before.still and not now.still and before.kernel.busy is None
    if not sets_off or any(one.after in WAYS for one in step.acted):
        return True
    if now.kernel.busy is not None:
        return step.happening.hand is not None
    goes = now.kernel.charge.low and WAYS.get(now.condition) is site.plan.goes
    return goes and now.kernel.called and not site.table.while_held


def _let_go(site: Site, step: Step) -> bool:
    """What nothing holds any more, contact or remote, is not done any more, unless called for anew."""
    before, now = step.before, step.after
    let_go = any(_held(before, sources) and not _held(now, sources) for sources in HOLDS)
    if not let_go or before.kernel.busy is not None or not now.powered:
        return True
    called = any(one.stimulus in CALLING and one.after is not one.condition for one in step.acted)
    return called or now.doing is not before.doing or now.doing in (D.REST, *BACKING_OFF)


def _fault_stays(site: Site, step: Step) -> bool:
    now = step.after
    if not step.before.broken or now.kernel.fault or not now.powered or step.happening.hand in BEGIN:
        return True
    return any(one.stimulus in CALLING for one in step.acted)


def _work_alone(site: Site, step: Step) -> bool:
    return step.before.kernel.busy is None or step.after.kernel.busy is None or not step.acted


def _jog_held(site: Site, step: Step) -> bool:
    """What moves then was called for in the same scan."""
    if step.happening.hand is not Hand.LET_GO:
        return True
    now = step.after
    return now.kernel.busy is None and (now.still or bool(step.acted))


def _battery_bars(site: Site, step: Step) -> bool:
    """What is on its way may end it, and whatever set off may turn round, in the same scan too."""
    before, now = step.before, step.after
    way = WAYS.get(now.condition)
    if way is None or before.condition in ON_ITS_WAY or not before.kernel.charge.low:
        return True
    if any(one.response is Response.REVERSE for one in step.acted):
        return True
    return way not in site.plan.bars


def _battery_again(site: Site, step: Step) -> bool:
    """A person, a fault or a battery that is well again ends that; a guard does not."""
    before, now = step.before.kernel, step.after.kernel
    turned = any(
        one.condition is C.CLOSING and one.response is Response.REVERSE and one.after is C.OPENING
        and one.stimulus not in PRESSING
        for one in step.acted
    )  # fmt: skip
    if now.charge.owed or not (before.charge.waits or (turned and before.charge.low)):
        return True
    if now.condition in (C.CLOSING, C.SHUT) or not (now.powered and now.charge.low and now.called):
        return True
    return site.table.while_held or now.fault or now.busy is not None or step.happening.learn


ASKED: tuple[Property, ...] = (
    Property(
        "fresh-call",
        "After STOP nothing moves without a fresh call.",
        "it moves, and nobody has called since STOP was open",
        _after_stop,
    ),
    Property(
        "power",
        "After power returns nothing moves without a call.",
        "it moves, and nobody has called since power came",
        _after_power,
    ),
    Property(
        "after-work",
        "When a jog or a learn cycle has ended or was broken off, nothing moves without a fresh call.",
        "it moves, and nobody has called since the work from the book",
        _after_work,
    ),
    Property(
        "timer",
        "No timer shuts the gate while a guard of shutting is broken.",
        "the pause shuts it with a guard broken",
        step=_no_timer_shutting,
    ),
    Property(
        "asked-to-shut",
        "Nothing but a call shuts the gate, and the pause where the mode says that it shuts by itself.",
        "it shuts, and neither a call nor a pause that the mode promises is why",
        step=_shuts_when_asked,
    ),
    Property(
        "asked-to-open",
        "From rest nothing but a call opens the gate.",
        "it opens by itself",
        step=_opens_when_asked,
    ),
    Property(
        "no-other-way",
        "Past the table only a hand at the book moves the gate, and a low battery where it is set to.",
        "it moves, and no cell, no hand at the book and no low battery is why",
        step=_no_other_way,
    ),
    Property(
        "battery",
        "With a low battery nothing sets off the way that its setting refuses.",
        "it sets off, though the battery is low",
        step=_battery_bars,
        of=lambda site: bool(site.plan.bars),
    ),
    Property(
        "battery-again",
        "A gate that a low battery is to find shut goes there again when a call or a guard turned it round.",
        "it was turned round, and stays open for good",
        step=_battery_again,
        of=lambda site: site.plan.goes is Way.CLOSING,
    ),
    Property(
        "unlearned",
        "Before the learn cycle is done the mode moves nothing.",
        "it moves, and nothing is learned",
        _unlearned,
        of=lambda site: not site.table.while_held,
    ),
    Property(
        "work-alone",
        "While a jog or a learn cycle lasts, calls mean nothing.",
        "a cell of the table acts in the middle of work from the book",
        step=_work_alone,
    ),
    Property(
        "jog-held",
        "A jog ends in the scan in which its key is let go.",
        "the key of the jog is let go, and it goes on",
        step=_jog_held,
    ),
    Property(
        "held",
        "Nothing moves unless a call is held.",
        "it moves, and no call is held",
        _nobody_holds,
        of=lambda site: site.table.while_held,
    ),
    Property(
        "let-go",
        "A call let go ends what it was held for, in the scan that sees it.",
        "it goes on though the call was let go",
        step=_let_go,
        sees=Sees.CALLS,
        of=lambda site: site.table.while_held,
    ),
    Property(
        "fault",
        "A fault stands, and nothing moves, until a person calls or takes the book to hand.",
        "it moves with a fault standing",
        _broken_down,
    ),
    Property(
        "fault-stays",
        "A fault never clears by itself.",
        "the fault is gone, and nobody has called or taken the book to hand",
        step=_fault_stays,
        sees=Sees.MEMORY,
    ),
    Property(
        "truth",
        "The condition says what the leaves are ordered to do.",
        "the condition says one thing and the leaves do another",
        _truth,
    ),
)
