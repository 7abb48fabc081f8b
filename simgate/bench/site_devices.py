"""The line's beams and the remotes of a site file: as they are written, and as the rooms need them.

Apart from `site.py` as the iron is: degrees, percent and metres of heads meet their checks here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from msgspec import Meta, field

from simgate.bench.head_file import HeadFile, Percent, head_spec
from simgate.bench.radio import OWN
from simgate.board.line_table import all_settings
from simgate.files import Document, Problem, Shape, nearest, shown
from simgate.wiring.heads import RemoteSpec
from simgate.wiring.spec import DeviceKind, DeviceSpec

Name = Annotated[str, Meta(pattern=r"^[a-z0-9][a-z0-9-]*$")]
Span = Annotated[float, Meta(gt=0.2, le=50)]
SENDER, RECEIVER = "sender", "receiver"
TAKEN = "another: that remote is in the bag"


class LineBeamFile(Shape, frozen=True):
    """[[line_beam]]: a pair of heads on the line, called NAME-sender and NAME-receiver.

    offset_m: from the gate line, outside positive. span_m: from head to head. sun_percent: how much of a
    low sun can shine into the receiver.
    """

    name: Name
    label: str
    offset_m: float
    span_m: Span
    rated_m: Span = 12.0
    sun_percent: Percent = 0.0
    sender: HeadFile = field(default_factory=HeadFile)
    receiver: HeadFile = field(default_factory=HeadFile)


class RemoteFile(Shape, frozen=True):
    """[[remote]]: a hand-held remote. counter: how often it was pressed before."""

    name: Name
    label: str
    family: Annotated[int, Meta(ge=1, le=99)]
    serial: Annotated[int, Meta(ge=1, le=999_999)]
    keys: Annotated[int, Meta(ge=1, le=4)] = 2
    counter: Annotated[int, Meta(ge=0, le=65_535)] = 0
    battery_percent: Percent = 100.0
    range_m: Annotated[float, Meta(gt=1, le=200)] = 60.0


@dataclass(frozen=True, slots=True)
class LineBeam:
    """Where a pair of heads stands. offset, span, rated: m. sun: share of a low sun in the receiver."""

    name: str
    label: str
    offset: float
    span: float
    rated: float
    sun: float

    @property
    def sender(self) -> str:
        """Name of its sender."""
        return f"{self.name}-{SENDER}"

    @property
    def receiver(self) -> str:
        """Name of its receiver."""
        return f"{self.name}-{RECEIVER}"


def line_beam(file: LineBeamFile) -> LineBeam:
    """The beam of one table."""
    return LineBeam(file.name, file.label, file.offset_m, file.span_m, file.rated_m, file.sun_percent / 100.0)


def heads(file: LineBeamFile) -> Iterator[DeviceSpec]:
    """Its two heads as devices."""
    for kind, word, head in (
        (DeviceKind.LINE_SENDER, SENDER, file.sender),
        (DeviceKind.LINE_RECEIVER, RECEIVER, file.receiver),
    ):
        yield DeviceSpec(f"{file.name}-{word}", kind, f"{word} of the {file.label}", head=head_spec(head))


def remote(file: RemoteFile) -> RemoteSpec:
    """The remote of one table."""
    return RemoteSpec(
        file.name, file.label, file.family, file.serial, file.keys, file.counter,
        file.battery_percent / 100.0, file.range_m,
    )  # fmt: skip


def device_problems(
    beams: list[LineBeamFile], remotes: list[RemoteFile], document: Document
) -> Iterator[Problem]:
    """What the shapes alone cannot say."""
    for index, beam in enumerate(beams):
        for word, head in ((SENDER, beam.sender), (RECEIVER, beam.receiver)):
            if head.switches not in all_settings():
                yield document.problem(
                    ["line_beam", index, word, "switches"],
                    shown(head.switches),
                    nearest(head.switches, all_settings()),
                )
    serials = [remote.serial for remote in remotes]
    for index, serial in enumerate(serials):
        if serial in serials[:index]:
            yield document.problem(["remote", index, "serial"], f"{serial} twice", "each serial number once")
        elif serial == OWN.serial:
            yield document.problem(["remote", index, "serial"], str(serial), TAKEN)
    for index, one in enumerate(remotes):
        if one.name == OWN.name:
            yield document.problem(["remote", index, "name"], one.name, TAKEN)
