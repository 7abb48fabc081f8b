"""Everything that hands can do at the bench: one frozen value per action, and its tape spelling.

An action is the only thing that changes a run from outside, so what is not here cannot happen, and
what is here is on the tape. Whether an action is possible now is `hands.py`'s business.
"""

from __future__ import annotations

from typing import Union

import msgspec

from simgate.board.stimuli import Key


class _Action(msgspec.Struct, frozen=True, forbid_unknown_fields=True, tag_field="do"):
    """Base of all actions: immutable, hashable, spelled on the tape as {"do": tag, ...}."""


class PressKey(_Action, frozen=True, tag="key"):
    """Press or let go one of the Cabinet's five keys."""

    key: Key
    down: bool


class Operate(_Action, frozen=True, tag="operate"):
    """Work a device that a hand can work: press or let go a button (call, part, stop)."""

    device: str
    down: bool


class Block(_Action, frozen=True, tag="block"):
    """Put something into a beam, or take it away."""

    beam: str
    blocked: bool


class PlaceBody(_Action, frozen=True, tag="body"):
    """Put a test body in the way of a leaf: of one that swings by radius_m from its hinge and angle_deg
    from shut, of one that slides by place_m, where its edge meets it, from the shut stop.
    """

    leaf: str
    radius_m: float = 0.0
    angle_deg: float = 0.0
    place_m: float = 0.0


class RemoveBody(_Action, frozen=True, tag="clear"):
    """Take the test body away."""

    leaf: str


class Release(_Action, frozen=True, tag="release"):
    """Turn the manual release of a drive: True sets the leaf free, False couples it again."""

    leaf: str
    released: bool


class Push(_Action, frozen=True, tag="push"):
    """Push a released leaf at its edge. Newton, positive opens; 0 lets go."""

    leaf: str
    newton: float


class Mains(_Action, frozen=True, tag="mains"):
    """Switch the mains isolator."""

    on: bool


class Step(_Action, frozen=True, tag="step"):
    """Step into the swing of the leaves (inside) or out of it."""

    inside: bool


class Send(_Action, frozen=True, tag="send"):
    """Send somebody (of passers.toml) through the gate. way: 'in' from the road, 'out' from inside."""

    kind: str
    way: str


class ClearWay(_Action, frozen=True, tag="clear-way"):
    """Have everybody who was sent through go out of the way."""


class SetSwitches(_Action, frozen=True, tag="switches"):
    """Set the address switches of a head of the line: '-2-4' puts 2 and 4 up, the others down."""

    head: str
    switches: str


class Turn(_Action, frozen=True, tag="turn"):
    """Turn a head of the line on its ball joint by so many degrees, across and up."""

    head: str
    across_deg: float
    up_deg: float


class FitLens(_Action, frozen=True, tag="lens"):
    """Put the lens into a head of the line, or take it out."""

    head: str
    fitted: bool


class CleanLens(_Action, frozen=True, tag="clean"):
    """Wipe a head of the line clean."""

    head: str


class FitHead(_Action, frozen=True, tag="fit-head"):
    """Fit a new head of the line where one belongs, its switches all down; or take the one there away."""

    head: str
    fitted: bool


class Sun(_Action, frozen=True, tag="sun"):
    """Let a low sun shine, 0 to 100 %."""

    percent: float


class RemoteKey(_Action, frozen=True, tag="remote-key"):
    """Press or let go a key of a remote."""

    remote: str
    key: int
    down: bool


class CarryRemote(_Action, frozen=True, tag="carry"):
    """Carry a remote to so many metres from the board."""

    remote: str
    metres: float


class FreshBattery(_Action, frozen=True, tag="battery"):
    """Put a fresh battery into a remote."""

    remote: str


class ReplayCode(_Action, frozen=True, tag="replay-code"):
    """Send a remote's last code again, as somebody could who recorded it; or stop sending it."""

    remote: str
    on: bool


class AddLink(_Action, frozen=True, tag="link"):
    """Put a link wire between two points."""

    a: str
    b: str


class RemoveLink(_Action, frozen=True, tag="unlink"):
    """Take out the link wire between two points."""

    a: str
    b: str


class PartWire(_Action, frozen=True, tag="part"):
    """Undo a wire at its first end."""

    wire: str


class RemakeWire(_Action, frozen=True, tag="remake"):
    """Make a wire good: tight at both ends on its own terminals, whole in between."""

    wire: str


class MoveWire(_Action, frozen=True, tag="move"):
    """Move one end ('from' or 'to') of a wire to another point."""

    wire: str
    end: str
    to: str


class SwapWires(_Action, frozen=True, tag="swap"):
    """Change over the 'from' ends of two wires (turns a motor round)."""

    a: str
    b: str


class ReplaceFuse(_Action, frozen=True, tag="fuse"):
    """Fit a new fuse."""

    fuse: str


class EndResistor(_Action, frozen=True, tag="end-resistor"):
    """Put 8.2 kohm across the far screws of an edge that is wired through, or take the resistor out."""

    edge: str
    fitted: bool


class TestPlug(_Action, frozen=True, tag="test-plug"):
    """Put the 8.2 kohm test plug across two points, from wherever it is; or take it out of there."""

    __test__ = False  # not one of pytest's

    a: str
    b: str
    fitted: bool


class SpareBeam(_Action, frozen=True, tag="spare-beam"):
    """Put the cores of a beam on a spare beam that is held in its place, or back on its own screws."""

    relay_beam: str
    connected: bool


class TakeBattery(_Action, frozen=True, tag="take-battery"):
    """Take the standby battery off its screws, or put it on again."""

    off: bool


class Rain(_Action, frozen=True, tag="rain"):
    """Let it rain on boxes and cables, 0 (dry) to 100 %; in life a watering can does."""

    percent: float


class Inspect(_Action, frozen=True, tag="inspect"):
    """Look at something closely, or try it by hand (bench/looks.py says how and at what)."""

    how: str
    of: str


class Renew(_Action, frozen=True, tag="renew"):
    """Put a device right: replaced, cleaned, aimed, set. Also 'supply', 'battery', a leaf ('leaf-A'), a
    remote, the 'mains' lead, and to wait for less 'wind'.
    """

    device: str


class Probe(_Action, frozen=True, tag="probe"):
    """Put an instrument on. volts, ohms, continuity, diode take two points, volts-ac two of the mains side;
    clamp takes a wire as `a`.
    """

    instrument: str
    a: str
    b: str = ""


class PutAway(_Action, frozen=True, tag="putaway"):
    """Take the instrument off."""


class OpenDrawer(_Action, frozen=True, tag="drawer"):
    """Trainer: open the fault drawer, which names what is in. The run is no longer marked."""


class Inject(_Action, frozen=True, tag="inject"):
    """Trainer: put a fault in. The run is no longer marked. amount is the kind's number (ohm), if any."""

    kind: str
    place: str
    amount: float = 0.0


class Mend(_Action, frozen=True, tag="mend"):
    """Trainer: take a fault out."""

    kind: str
    place: str


class TakeHint(_Action, frozen=True, tag="hint"):
    """Ask for the job's next hint; it costs marks."""


class AskNext(_Action, frozen=True, tag="ask-next"):
    """Ask what a good hand would look at next; it costs marks. The answer follows from the run so far."""


class HandOver(_Action, frozen=True, tag="handover"):
    """Say that the work is done. Ends the run."""


Action = Union[  # noqa: UP007  (msgspec reads a runtime union)
    PressKey, Operate, Block, PlaceBody, RemoveBody, Release, Push, Mains, Step,
    Send, ClearWay,
    SetSwitches, Turn, FitLens, CleanLens, FitHead, Sun, RemoteKey, CarryRemote, FreshBattery, ReplayCode,
    AddLink, RemoveLink, PartWire, RemakeWire, MoveWire, SwapWires, ReplaceFuse, EndResistor, Renew,
    TestPlug, SpareBeam, TakeBattery, Rain, Inspect,
    Probe, PutAway, OpenDrawer, Inject, Mend, TakeHint, AskNext, HandOver,
]  # fmt: skip
