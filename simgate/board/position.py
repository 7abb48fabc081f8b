"""Where a leaf is, from a running count.

A count of pulses, or of a reckoning, tells turns and not which way; the direction is the drive's own
command, kept while the leaf coasts after it. Pulses that come when nothing was driven mean that somebody
moves the leaf, and then the board does not know its place any more: an invented place would slow down and
stop anywhere. A leaf may also be moved while its drive is uncoupled, and then no pulse tells of it. So a
place is only a belief, and what a leaf meets on its way may contradict it.

A sensor on the leaf, once learned, tells place and direction by itself; then only the sensor can be wrong.
"""

from __future__ import annotations

COAST_MS = 300  # a leaf that has not pulsed for this long has come to rest
STRAY = 3  # pulses at rest that wind and backlash may give; more is a leaf being moved


class Position:
    """The place of one leaf in counts from its shut stop.

    count: counts from shut, meaningful when known, relative otherwise. doubted: known, but the leaf has
    met something since that may have been a stop. anchor: count at which it last stood against
    something, None when it did not. sign: direction of the last command. low: least count since the
    place was lost, for 'has it been opened since?'. turn: 1 or -1 for a sensor that counts up opening or
    shutting, 0 for a count without direction.
    """

    __slots__ = (
        "_last", "_stray", "anchor", "count", "doubted", "driven", "known", "low", "raw", "sign", "turn",
    )  # fmt: skip

    def __init__(self) -> None:
        self.raw = 0
        self.lose(0)

    def lose(self, raw: int) -> None:
        """Forget everything (power came back, learn cycle aborted); the count goes on from `raw`."""
        self.raw = raw
        self.count = self.low = 0
        self.turn = 0
        self.forget()
        self.driven = False
        self.sign = 1
        self._last = -COAST_MS
        self._stray = 0

    def forget(self) -> None:
        """The place is not known any more, nor where the leaf last stood; counting goes on."""
        self.known = self.doubted = False
        self.anchor: int | None = None

    def contradict(self) -> None:
        """The leaf is where it cannot be by its count: the place was wrong. Distances still hold."""
        self.known = self.doubted = False

    def doubt(self) -> None:
        """The leaf met something where no stop should be: an obstacle, or the place is wrong."""
        self.doubted = self.known and not self.turn
        self.anchor = self.count

    def drive(self, sign: int) -> None:
        """The drive pushes this way from now on."""
        self.sign = sign
        self.driven = True

    def let_go(self, tick: int) -> None:
        """The drive pushes no longer; what still comes is coasting."""
        self.driven = False
        self._last = tick

    def take(self, raw: int, tick: int) -> None:
        """The running count is now `raw`."""
        new = raw - self.raw
        self.raw = raw
        if self.turn:
            self.count += new * self.turn
            return
        new = abs(new)
        if self.driven or tick - self._last <= COAST_MS:
            self.count += new * self.sign
            self._last = tick
            if self.count < self.low:
                self.low = self.count
        else:
            self._stray += new
            if self._stray > STRAY:
                self.forget()

    def refer(self, count: int) -> None:
        """The leaf stands at a stop: its place is `count`, unless a sensor knows better."""
        if not (self.turn and self.known):
            self.count = count
        self.anchor = self.count
        self.low = min(self.count, 0)
        self.known = True
        self.doubted = False
        self._stray = 0

    def pressed(self) -> None:
        """The leaf was pressed against its shut stop and let go: what still comes is on its way open."""
        self.refer(0)
        self.sign = 1

    def place(self, raw: int, turn: int, zero: int) -> None:
        """A sensor reads `raw`, counts up opening (turn 1) or shutting (-1), and reads `zero` shut."""
        self.raw = raw
        self.turn = turn
        self.count = self.low = (raw - zero) * turn
        self.anchor = None
        self.known = True
        self.doubted = False

    @property
    def sure(self) -> bool:
        """Whether the place is known, and nothing met since contradicts it."""
        return self.known and not self.doubted

    def away(self, tolerance: int) -> bool:
        """Whether the leaf is known to stand away from shut."""
        return self.count - (0 if self.known else self.low) > tolerance

    def state(self) -> tuple[object, ...]:
        """Everything that later counting depends on, except ticks long past."""
        return (
            self.raw, self.count, self.low, self.known, self.doubted, self.anchor, self.driven, self.sign,
            self._stray, self.turn,
        )  # fmt: skip
