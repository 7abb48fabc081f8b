"""The caution that stands on the first screen, in every help and under every debrief: one wording.

In a file of its own, because the Workshop needs nothing else of the Bench's words.
"""

from __future__ import annotations

CAUTION = (
    "A simulator qualifies nobody. At a real gate the local code and a licensed person decide. "
    "Never put a part of your body into a gap to test it."
)
