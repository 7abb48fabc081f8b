"""What hands have just done, in words, where the gate itself shows nothing of it.

A call is seen in the Yard and a meter in the Toolbag; a screw that was made good looks as it did before, and
without a word nobody would know that the key was felt. The words are the debrief's, so both tell alike.
"""

from __future__ import annotations

from simgate.bench import actions as do
from simgate.bench.actions import Action
from simgate.practice.debrief import TOLD

UNSEEN = (
    do.SetSwitches,
    do.FitLens,
    do.CleanLens,
    do.FitHead,
    do.FreshBattery,
    do.AddLink,
    do.RemoveLink,
    do.PartWire,
    do.RemakeWire,
    do.MoveWire,
    do.SwapWires,
    do.ReplaceFuse,
    do.EndResistor,
    do.Renew,
)


def told(action: Action) -> str:
    """'You made stop return good.', or '' for what is seen or heard anyway."""
    return f"You {TOLD[type(action)](action)}." if isinstance(action, UNSEEN) else ""
