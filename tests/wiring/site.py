"""A small reference site: a double gate with a stop button, a call button, one beam, a lamp. Invented."""

from __future__ import annotations

from simgate.wiring.spec import DeviceKind, DeviceSpec, WireSpec, WiringSpec


def _wire(name: str, a: str, b: str, length: float = 5.0, size: float = 0.5) -> WireSpec:
    return WireSpec(name, a, b, length, size, "grey")


SITE = WiringSpec(
    leaves=2,
    wires=(
        _wire("stop-out", "board.COM", "post.1", 3.0),
        _wire("stop-on", "post.1", "stop-button.1", 10.0),
        _wire("stop-back", "board.STOP", "stop-button.2", 13.0),
        _wire("call-out", "board.COM", "call-button.1", 20.0),
        _wire("call-back", "board.CALL", "call-button.2", 20.0),
        _wire("beam-com", "board.COM", "beam.nc1"),
        _wire("beam-guard", "board.GUARD-C", "beam.nc2"),
        _wire("tx-plus", "board.AUX+", "beam.tx+", 9.0),
        _wire("tx-minus", "board.AUX-", "beam.tx-", 9.0),
        _wire("rx-plus", "board.AUX+", "beam.rx+"),
        _wire("rx-minus", "board.AUX-", "beam.rx-"),
        _wire("motor-a-brown", "board.MOTOR-A+", "motor-a.1", 20.0, 1.5),
        _wire("motor-a-blue", "board.MOTOR-A-", "motor-a.2", 20.0, 1.5),
        _wire("motor-b-brown", "board.MOTOR-B+", "motor-b.1", 8.0, 2.5),
        _wire("motor-b-blue", "board.MOTOR-B-", "motor-b.2", 8.0, 2.5),
        _wire("lamp-red", "board.LAMP+", "lamp.1", 4.0, 0.75),
        _wire("lamp-black", "board.LAMP-", "lamp.2", 4.0, 0.75),
    ),
    links=(("board.COM", "board.GUARD-O"),),
    devices=(
        DeviceSpec("stop-button", DeviceKind.BUTTON_NC, "stop button on the post"),
        DeviceSpec("call-button", DeviceKind.BUTTON_NO, "call button at the house"),
        DeviceSpec("beam", DeviceKind.BEAM, "beam across the drive"),
        DeviceSpec("motor-a", DeviceKind.MOTOR, "drive of leaf A", leaf=0, winding=1.2),
        DeviceSpec("motor-b", DeviceKind.MOTOR, "drive of leaf B", leaf=1, winding=1.2),
        DeviceSpec("lamp", DeviceKind.LAMP, "flashing lamp"),
    ),
)
