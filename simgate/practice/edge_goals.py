"""Checks of sensitive edges: wired so that the board watches all of them, and each tried by hand.

A gate that runs again proves little about its edges: with two of them side by side on one resistor it runs,
each stops it when pressed, and a break inside the first is never noticed. So the copper itself is judged,
and each edge must have been seen to act.
"""

from __future__ import annotations

from simgate.bench.actions import Operate
from simgate.board.inputs import edge_ohms
from simgate.board.stimuli import Condition, Input, Response, Stimulus
from simgate.practice.copper import unwatched_edges
from simgate.practice.device_goals import Found, Given
from simgate.practice.ending import Ending
from simgate.wiring.spec import DeviceKind

EDGES = (DeviceKind.EDGE, DeviceKind.EDGE_THROUGH)
MEANT, SPARE = 8200.0, 0.1  # ohm of one end resistor (check-values E1), and the share that it may differ
MOVING = (Condition.OPENING, Condition.PART_OPENING, Condition.CLOSING)


def edges_in_series(ending: Ending, given: Given) -> Found:
    """EDGE reads one end resistor, and a break anywhere inside an edge would show there."""
    volts = next(view.volts for view in ending.snapshot.inputs if view.terminal == Input.EDGE.value)
    ohms = edge_ohms(volts)
    if not ending.snapshot.powered:
        return False, "the board has no power, so EDGE reads nothing"
    if abs(ohms - MEANT) > SPARE * MEANT:
        shows = f"{ohms / 1000:.1f} kohm" if ohms < 1e6 else "an open circuit"
        return False, f"EDGE reads {shows}, not the 8.2 kohm of one end resistor"
    unwatched = unwatched_edges(ending.setup.site.wiring, ending.snapshot)
    if unwatched:
        names = " and ".join(ending.label(name) for name in unwatched)
        return False, f"the {names} hangs beside the chain: a break inside it would not show"
    return True, "EDGE reads one end resistor, and a break inside any edge would show"


def edges_shown(ending: Ending, given: Given) -> Found:
    """Since the last change every edge was pressed by hand while the gate moved, and the gate acted on it."""
    for device in ending.setup.site.wiring.devices:
        if device.kind in EDGES and not _shown(ending, device.name):
            when = " since the last change" if ending.last_change else ""
            return False, f"the {device.label} was not pressed while the gate moved{when}"
    return True, "every edge was pressed while the gate moved, and the gate acted on it"


def _shown(ending: Ending, name: str) -> bool:
    held: dict[str, bool] = {}
    for record in ending.records:
        for action in record.actions:
            if isinstance(action, Operate):
                held[action.device] = action.down
        for acted in record.acted:
            right = acted.stimulus is Stimulus.EDGE_AMISS and acted.condition in MOVING
            right = right and acted.response is not Response.IGNORE and acted.tick >= ending.last_change
            if right and held.get(name, False):
                return True
    return False
