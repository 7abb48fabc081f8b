"""What can be pointed at on the line's heads and on remotes: choices for the Toolbag's table."""

from __future__ import annotations

from collections.abc import Callable

from simgate.bench.device_view import HeadView
from simgate.bench.record import Snapshot
from simgate.board.line_table import address, all_settings, place_of
from simgate.tui.captions import point, words

Choice = tuple[str, str]
Answers = tuple[str, ...]
Choices = Callable[[Snapshot, Answers], list[Choice]]


def heads(fitted: bool | None = True, lens: bool | None = None) -> Choices:
    """Heads of the line; only fitted ones, or only those with or without their lens."""
    return lambda shot, _: [
        (head.name, _head(head))
        for head in shot.heads
        if (fitted is None or head.fitted is fitted) and (lens is None or (head.fitted and head.lens is lens))
    ]


def _head(head: HeadView) -> str:
    """'inner receiver: both 1, lamp dark, no lens': what somebody sees who stands before it."""
    if not head.fitted:
        return f"{words(head.name)}: none in its place"
    marks = [address(place_of(head.switches)).name, "lamp lit" if head.lit else "lamp dark"]
    marks += [] if head.lens else ["no lens"]
    marks += ["dirty"] if head.dirty else []
    return f"{words(head.name)}: {', '.join(marks)}"


def edges(ended: bool) -> Choices:
    """Edges wired through that have a resistor across their far screws, or have none."""
    return lambda shot, _: [(name, words(name)) for name, has in shot.edge_ends if has is ended]


def any_head(fitted: bool = True, lens: bool | None = None) -> Callable[[Snapshot], bool]:
    """Whether there is such a head."""
    return lambda shot: bool(heads(fitted, lens)(shot, ()))


def switches(shot: Snapshot, answers: Answers) -> list[Choice]:
    """Every setting of the address switches, the present one marked."""
    now = next(head.switches for head in shot.heads if head.name == answers[0])
    return [(one, _switches(one) + (" (as they are)" if one == now else "")) for one in all_settings()]


def _switches(setting: str) -> str:
    up = [mark for mark in setting if mark != "-"]
    name = address(place_of(setting)).name
    return f"{name}: " + (f"{', '.join(up)} up" if up else "all down")


def lamp(shot: Snapshot, answers: Answers) -> str:
    """What the lamp on the receiver shows of the beam whose head is worked on."""
    beams = [head.beam for head in shot.heads if head.name in answers[:1]]
    receivers = [head for head in shot.heads if head.beam in beams and head.name.endswith("receiver")]
    return f"lamp on the receiver {'lit' if receivers[0].lit else 'dark'}" if receivers else ""


def turns(shot: Snapshot, answers: Answers) -> list[Choice]:
    """Steps of a head on its ball joint."""
    return [
        ("1|0", "a little to the left"),
        ("-1|0", "a little to the right"),
        ("0|1", "a little up"),
        ("0|-1", "a little down"),
        ("5|0", "well to the left"),
        ("-5|0", "well to the right"),
        ("0|5", "well up"),
        ("0|-5", "well down"),
    ]


def degrees(answer: str) -> tuple[float, float]:
    """(across, up) of one of `turns`."""
    across, _, up = answer.partition("|")
    return float(across), float(up)


def keys(down: bool | None) -> Choices:
    """Keys of remotes: 'name|key'."""
    return lambda shot, _: [
        (f"{remote.name}|{key}", f"{remote.label} ({remote.serial}), key {key}")
        for remote in shot.remotes
        for key in range(1, remote.keys + 1)
        if down is None or (remote.down == key if down else remote.down == 0)
    ]


def key(answer: str) -> tuple[str, int]:
    """(remote, key) of one of `keys`."""
    name, _, number = answer.partition("|")
    return name, int(number)


def remotes(shot: Snapshot, answers: Answers) -> list[Choice]:
    """Every remote."""
    return [
        (remote.name, f"{remote.label} ({remote.serial}), {remote.away:g} m away") for remote in shot.remotes
    ]


def recorded(replaying: bool) -> Choices:
    """Remotes whose code could be sent again, or is."""
    return lambda shot, _: [
        (remote.name, remote.label)
        for remote in shot.remotes
        if remote.sent and remote.replaying is replaying
    ]


def distances(shot: Snapshot, answers: Answers) -> list[Choice]:
    """How far from the board."""
    far = (("5", "beside the gate"), ("25", "in the drive"), ("50", "down the road"), ("100", "far away"))
    return [(metres, f"{word} ({metres} m)") for metres, word in far]


def suns(shot: Snapshot, answers: Answers) -> list[Choice]:
    """How strong a low sun."""
    return [("0", "no sun"), ("50", "hazy and low"), ("100", "bright and low")]


def spares(connected: bool) -> Choices:
    """Beams in whose place a spare one is connected, or could be."""
    return lambda shot, _: [
        (name, words(name)) for name in shot.relay_beams if (name in shot.spares) is connected
    ]


def mains(shot: Snapshot, answers: Answers) -> list[Choice]:
    """Where V AC can be measured."""
    return [(name, point(name)) for name in shot.mains_points if name not in answers[:1]]


def rains(shot: Snapshot, answers: Answers) -> list[Choice]:
    """How hard it rains."""
    return [("0", "not at all"), ("30", "a drizzle"), ("100", "hard, or with a watering can")]


_WAYS = {
    "strip": "cores and links at one place",
    "lens": "lens and aim of a beam",
    "pull": "how heavy a released leaf is, with a spring scale",
    "play": "how much a coupled leaf can be rocked",
    "stop": "where an open stop stands",
    "capacity": "what the battery still holds, with a tester",
    "cell": "volts of a remote's cell",
}


def ways(shot: Snapshot, answers: Answers) -> list[Choice]:
    """Ways to look closely."""
    return [(how, _WAYS[how]) for how, _ in shot.looks]


def looked_at(shot: Snapshot, answers: Answers) -> list[Choice]:
    """What can be looked at in that way."""
    return [
        (name, f"leaf {name}" if len(name) == 1 else words(name)) for name in dict(shot.looks)[answers[0]]
    ]
