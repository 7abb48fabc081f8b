"""The light of a line beam: whether a receiver sees its sender, as one honest link budget.

Everything is told in shares of the least light that the receiver needs in the dark:

    signal = EXCESS * (rated / span)^2 * lens * lens * lobe * lobe * (1 - dirt) * (1 - dirt)
    needed = 1 + SUN * sun * (1 - dirt of the receiver)

- inverse square with the distance; at its rated range a clean, well aimed pair has twice what it needs
  (an excess gain of 2 is invented);
- each head is a lobe in angle, Gaussian about its axis: half the power at the half angle. 5 degrees is the
  half beam angle of IEC 61496-2 (type 2, from memory), so that at rated range one head which is 5
  degrees off loses the beam, and nearer by it takes more;
- a lens gathers what would else go into a lobe of 30 degrees: without it the light is wide and thin, by the
  square of the two angles (solid angle of a small cone), and a short gate may work all the same;
- dirt takes its share once at each head, sun adds noise that the signal has to stand out from.
"""

from __future__ import annotations

import math

from simgate.wiring.heads import Head

EXCESS = 2.0  # signal over the least needed at rated range, in the dark (invented)
HALF = 5.0  # degrees to half power with the lens (IEC 61496-2 type 2, from memory)
BARE_HALF = 30.0  # degrees to half power without (invented)
SUN = 3.0  # what the low sun straight into a clean receiver adds to what is needed (invented)
AIM_LIMIT = 20.0  # degrees that a head can be turned, across and up


def lobe(off: float, half: float) -> float:
    """Share of the light that is left `off` degrees from a head's axis."""
    return math.exp(-math.log(2.0) * (off / half) ** 2)


def gain(head: Head) -> float:
    """What one head passes on of what it would pass clean, with its lens, straight on."""
    half = HALF if head.lens else BARE_HALF
    lens = (HALF / half) ** 2
    return lens * lobe(math.hypot(head.across, head.up), half) * (1.0 - head.dirt)


def signal(sender: Head, receiver: Head, span: float, rated: float) -> float:
    """Light at the receiver over `span` m, in shares of the least that it needs in the dark."""
    return EXCESS * (rated / span) ** 2 * gain(sender) * gain(receiver)


def needed(receiver: Head, sun: float) -> float:
    """What the signal must exceed with so much sun (0 to 1) shining into the receiver."""
    return 1.0 + SUN * sun * (1.0 - receiver.dirt)


def sees(sender: Head, receiver: Head, span: float, rated: float, sun: float) -> bool:
    """Whether the receiver sees a sender that is lit, with nothing between them."""
    return signal(sender, receiver, span, rated) > needed(receiver, sun)
