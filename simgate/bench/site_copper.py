"""From a site file to its copper: every wire, device and fuse as the room of the copper knows them."""

from __future__ import annotations

from simgate.bench.site_cables import colours, in_cables
from simgate.bench.site_devices import heads, remote
from simgate.bench.site_file import SiteFile
from simgate.board.signals import LEAVES
from simgate.wiring.battery import BatterySpec
from simgate.wiring.spec import DeviceKind, DeviceSpec, SupplySpec, WireSpec, WiringSpec

_CONTACTS = {"normally closed": DeviceKind.BUTTON_NC, "normally open": DeviceKind.BUTTON_NO}

_ENDS = {"normally closed": DeviceKind.END_NC, "normally open": DeviceKind.END_NO}
_LOOPS = {"normally closed": DeviceKind.LOOP_NC, "normally open": DeviceKind.LOOP_NO}
_ENCODERS = {"pulses": DeviceKind.ENCODER, "place": DeviceKind.PLACE_ENCODER}


def devices_of(file: SiteFile) -> tuple[DeviceSpec, ...]:
    """The devices at the end of the wires, in the order of their kinds."""
    devices = [
        DeviceSpec(
            f"motor-{leaf.name.lower()}", DeviceKind.MOTOR, f"motor {leaf.name}", n, leaf.winding_ohm()
        )
        for n, leaf in enumerate(file.leaf)
    ]
    devices += [DeviceSpec(beam.name, DeviceKind.BEAM, beam.label) for beam in file.beam]
    devices += [DeviceSpec(button.name, _CONTACTS[button.contact], button.label) for button in file.button]
    devices += [DeviceSpec(key.name, DeviceKind.KEY, key.label) for key in file.key]
    devices += [
        DeviceSpec(
            edge.name,
            DeviceKind.EDGE_THROUGH if edge.through else DeviceKind.EDGE,
            edge.label,
            None if edge.leaf is None else LEAVES.index(edge.leaf),
        )
        for edge in file.edge
    ]
    devices += [DeviceSpec(one.name, DeviceKind.RESISTOR, one.label) for one in file.resistor]
    devices += [
        DeviceSpec(end.name, _ENDS[end.contact], end.label, LEAVES.index(end.leaf)) for end in file.end
    ]
    devices += [
        DeviceSpec(one.name, _ENCODERS[one.gives], f"encoder of drive {one.leaf}", LEAVES.index(one.leaf))
        for one in file.encoder
    ]
    devices += [DeviceSpec(loop.name, _LOOPS[loop.contact], loop.label) for loop in file.loop]
    devices += [head for beam in file.line_beam for head in heads(beam)]
    for fitted, name, kind, label in (
        (file.lamp, "lamp", DeviceKind.LAMP, "flashing lamp"),
        (file.light, "light", DeviceKind.LIGHT, "courtesy light"),
        (file.lock, "lock", DeviceKind.LOCK, "electric lock"),
    ):
        if fitted:
            devices.append(DeviceSpec(name, kind, label))
    return tuple(devices)


def wiring_of(file: SiteFile) -> WiringSpec:
    """The whole copper as the file means it."""
    colour, cable = colours(file.cable, file.wire), in_cables(file.cable)
    return WiringSpec(
        leaves=len(file.leaf),
        wires=tuple(
            WireSpec(
                wire.name,
                wire.a,
                wire.b,
                wire.length_m,
                wire.size_mm2,
                colour[wire.name],
                wire.number or 0,
                cable.get(wire.name, ""),
            )
            for wire in file.wire
        ),
        swinging=tuple(n for n, leaf in enumerate(file.leaf) if leaf.slide is None),
        oil=tuple(n for n, leaf in enumerate(file.leaf) if leaf.oil_ram is not None),
        links=tuple((pair[0], pair[1]) for pair in file.links),
        devices=devices_of(file),
        supply=SupplySpec(
            file.supply.volts,
            file.supply.resistance_ohm,
            file.supply.mains_fuse_a,
            file.supply.aux_fuse_a,
            file.supply.battery_fuse_a,
            None
            if file.battery is None
            else BatterySpec(
                file.battery.capacity_ah, file.battery.internal_ohm, file.battery.charge_percent / 100
            ),
        ),
        remotes=tuple(remote(one) for one in file.remote),
    )
