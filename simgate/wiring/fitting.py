"""A device as it stands now: what wear, weather and a careless hand have done to it.

The state of a device is here and not with the fault that caused it, so that whoever puts the device right
has put the fault right, whatever it was called. What of it can be measured becomes ohms in `build.py`;
where it acts on a contact, whoever works the contacts asks here.
"""

from __future__ import annotations

from simgate.wiring.spec import DeviceSpec

MARGIN = 60.0  # % of its light that a beam can lose before its relay opens (invented; real margins differ)
# A beam's axis may be this far off its receiver: half angle of a type 2 device, IEC 61496-2 (from memory).
AIM_DEG = 5.0
FOOT, FOOT_OHMS = "foot", 8200.0  # the part across the far screws of an edge that is wired through: E1


class Fitting:
    """One device. Rewritten by hands and faults; `Harness.changed` must be called afterwards.

    dead: names of its parts that are open. ohms: of its parts that have other ohms than they should.
    welded: its contact conducts whatever it does. wrong: its contact is of the other kind (NO for NC).
    held: it is stuck as if somebody worked it. slip: share of the travel by which an end switch is set too
    far from the stop. dirt: % of its light that a beam has lost. aim: degrees by which it looks past its
    receiver. stray: pulses a second that an encoder's line picks up for each ampere of its motor.
    """

    __slots__ = ("aim", "dead", "dirt", "held", "ohms", "slip", "spec", "stray", "welded", "wrong")

    def __init__(self, spec: DeviceSpec) -> None:
        self.spec = spec
        self.renew()

    def renew(self) -> None:
        """As new, clean and set as it was meant."""
        self.dead: list[str] = []
        self.ohms: dict[str, float] = {}
        self.welded = self.wrong = self.held = False
        self.slip = self.dirt = self.aim = self.stray = 0.0

    @property
    def blind(self) -> bool:
        """Whether too little light of its sender reaches its receiver."""
        return self.dirt > MARGIN or self.aim > AIM_DEG

    def kill(self, part: str, on: bool) -> None:
        """Open one of its parts, or make it whole."""
        self.dead = [name for name in self.dead if name != part] + ([part] if on else [])

    def state(self) -> tuple[object, ...]:
        """Everything above as plain values."""
        return (
            tuple(sorted(self.dead)), tuple(sorted(self.ohms.items())), self.welded, self.wrong, self.held,
            self.slip, self.dirt, self.aim, self.stray,
        )  # fmt: skip
