"""Names from files as they are read out in a debrief: one spelling, whoever tells of them."""

from __future__ import annotations

from collections.abc import Mapping

from simgate.wiring.spec import DeviceKind

PRESSED = "pressed {0}"
WORKED: Mapping[DeviceKind, str] = {
    DeviceKind.KEY: "turned {0}",
    DeviceKind.LOOP_NO: "laid metal on {0}",
    DeviceKind.LOOP_NC: "laid metal on {0}",
}
"""What a hand did that worked a device, by its kind; it pressed whatever has no words here."""


def plain(word: str) -> str:
    """'stop-feed' as 'stop feed'."""
    return word.replace("-", " ")


def point(name: str) -> str:
    """'stop-post.1' as 'stop post 1'; the board's own terminals keep their spelling: 'board AUX-'."""
    owner, _, terminal = name.partition(".")
    return f"{plain(owner)} {terminal}".rstrip()
