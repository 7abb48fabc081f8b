"""What a property of a mode is, and what properties are asked about.

A property looks at a state or at one step and says whether it is as it must be. None knows how the board
comes to what it does; a property that shared code with the board would share its mistakes.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from simgate.board.battery import Plan
from simgate.board.guards import Uses
from simgate.board.mode_table import Table
from simgate.board.prove_drive import Doing
from simgate.board.prove_edge import Step
from simgate.board.prove_state import State
from simgate.board.stimuli import Word

SHUTTING = (Doing.CLOSE, Doing.GIVE_WAY, Doing.ASTRAY, Doing.CREEP_SHUT)
OPENING = (Doing.OPEN, Doing.PART, Doing.CREEP_OPEN, Doing.TURN, Doing.RELIEVE)


@dataclass(frozen=True, slots=True)
class Site:
    """What the proof is about, as far as properties depend on it. plan: what a low battery leads to."""

    table: Table
    uses: Uses
    plan: Plan

    @property
    def edge_shuts(self) -> bool:
        """Whether the edge guards shutting."""
        return self.uses.edge in ("closing", "both")

    @property
    def edge_opens(self) -> bool:
        """Whether the edge guards opening."""
        return self.uses.edge in ("opening", "both")


class Sees(Word):
    """What an answer for a step depends on beside the board: so often must it be asked."""

    KERNEL = "nothing more"
    CALLS = "calls that are held"
    MEMORY = "what the prover remembers: that a fault came"


@dataclass(frozen=True, slots=True)
class Property:
    """One property. words: what is proven, as a sentence. broken: what a counter-example ends in.

    of: whether it is asked at all with this mode and these settings. state, step: whether it holds there.
    sees: what the answer for a step depends on.
    """

    key: str
    words: str
    broken: str
    state: Callable[[Site, State], bool] | None = None
    step: Callable[[Site, Step], bool] | None = None
    sees: Sees = Sees.KERNEL
    of: Callable[[Site], bool] = lambda site: True
