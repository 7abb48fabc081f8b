"""One state of a proof, as values that can be told apart, kept and put back.

`Kernel` is what the board goes by. Calls that are held stand beside it: the board looks at how they change
and not at how they stand, so what it does is worked out once for all of them (`prove_world.py`). The prover's
own memory, which the board has no part in, comes last.
"""

from __future__ import annotations

from typing import NamedTuple

from simgate.board.prove_drive import Doing
from simgate.board.prove_scene import BIT, Source
from simgate.board.starts import Memory as Start
from simgate.board.stimuli import Condition, Input
from simgate.board.work import Busy


class Charge(NamedTuple):
    """The battery: whether it is below its limit, counts as low, and the gate is still to go for it.

    waits: it was turned round on its way; rests: and has rested since, for less than a pause.
    """

    sunk: bool = False
    low: bool = False
    owed: bool = False
    waits: bool = False
    rests: bool = False


FULL = Charge()


class Kernel(NamedTuple):
    """What the board goes by.

    terminals: mask of what is made, calls left out. start: the start that is being made. failed: guards
    that failed a test. met: how often shutting met something. called: whether a person has called since
    the board may move by itself. busy: work from the book, None when the mode is at work; learning: the
    pass of the learn cycle that runs, and whether it has ended and settles.
    """

    powered: bool
    terminals: int
    condition: Condition
    doing: Doing
    pause: bool
    start: Start
    failed: tuple[Input, ...]
    learned: bool
    fault: bool
    met: int
    called: bool
    busy: Busy | None
    learning: tuple[int, bool] | None
    charge: Charge


class State(NamedTuple):
    """One state. calls: mask of the calls that are held.

    The prover's own: fresh, why nothing may move without a fresh call, '' when it may; broken, a fault came,
    and no call since; turned, the movement that is made was begun in order to leave the other direction.
    """

    kernel: Kernel
    calls: int = 0
    fresh: str = ""
    broken: bool = False
    turned: bool = False

    @property
    def terminals(self) -> int:
        """Everything that stands at the board's screws."""
        return self.kernel.terminals | self.calls

    def has(self, one: Source) -> bool:
        """Whether the board takes an input as made, or has no power to look."""
        return bool((self.kernel.terminals | self.calls) & BIT[one]) or not self.kernel.powered

    @property
    def powered(self) -> bool:
        """Whether the board has power."""
        return self.kernel.powered

    @property
    def condition(self) -> Condition:
        """What the chart says that the gate does."""
        return self.kernel.condition

    @property
    def doing(self) -> Doing:
        """What the leaves are ordered to do."""
        return self.kernel.doing

    @property
    def still(self) -> bool:
        """Nothing is ordered, and nothing is about to be."""
        return self.kernel.doing is Doing.REST and not self.kernel.start
