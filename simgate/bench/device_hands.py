"""Hands on the line's heads and on remotes: what they may do now, and doing it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simgate.bench import actions as a
from simgate.bench.light import AIM_LIMIT
from simgate.bench.refusal import Hand, known, refused
from simgate.board.line_table import all_settings

if TYPE_CHECKING:
    from simgate.bench.scan import Bench

FARTHEST = 200.0  # m


def _check_head(bench: Bench, action: a.SetSwitches | a.Turn | a.FitLens | a.CleanLens) -> None:
    known("head", action.head, bench.harness.heads)
    if not bench.harness.heads[action.head].fitted:
        raise refused(f"head '{action.head}'", "no head in its place", "a head that is fitted")


def _check_switches(bench: Bench, action: a.SetSwitches) -> None:
    _check_head(bench, action)
    known("switches", action.switches, all_settings())


def _set_switches(bench: Bench, action: a.SetSwitches) -> None:
    bench.harness.heads[action.head].switches = action.switches


def _check_turn(bench: Bench, action: a.Turn) -> None:
    _check_head(bench, action)
    head = bench.harness.heads[action.head]
    for name, degrees in (("across", head.across + action.across_deg), ("up", head.up + action.up_deg)):
        if not abs(degrees) <= AIM_LIMIT:
            allowed = f"-{AIM_LIMIT:.0f} to {AIM_LIMIT:.0f} deg"
            raise refused(f"head '{action.head}'", f"{degrees:g} deg {name}", allowed)


def _turn(bench: Bench, action: a.Turn) -> None:
    head = bench.harness.heads[action.head]
    head.across += float(action.across_deg)
    head.up += float(action.up_deg)


def _check_lens(bench: Bench, action: a.FitLens) -> None:
    _check_head(bench, action)
    if bench.harness.heads[action.head].lens is action.fitted:
        words = "its lens in" if action.fitted else "no lens"
        raise refused(
            f"head '{action.head}'", words, "a head without" if action.fitted else "a head with one"
        )


def _lens(bench: Bench, action: a.FitLens) -> None:
    bench.harness.heads[action.head].lens = action.fitted


def _clean(bench: Bench, action: a.CleanLens) -> None:
    bench.harness.heads[action.head].dirt = 0.0


def _check_fit(bench: Bench, action: a.FitHead) -> None:
    known("head", action.head, bench.harness.heads)
    if not action.fitted and not bench.harness.heads[action.head].fitted:
        raise refused(f"head '{action.head}'", "no head in its place", "a head that is fitted")


def _fit(bench: Bench, action: a.FitHead) -> None:
    head = bench.harness.heads[action.head]
    if action.fitted:
        head.renew()
        bench.harness.fitting(action.head).renew()
    else:
        head.fitted = False
    bench.harness.changed()


def _check_sun(bench: Bench, action: a.Sun) -> None:
    if not 0 <= action.percent <= 100:
        raise refused("sun", f"{action.percent:g} %", "0 to 100 %")


def _sun(bench: Bench, action: a.Sun) -> None:
    bench.line.sun = action.percent / 100.0


def _check_rain(bench: Bench, action: a.Rain) -> None:
    if not 0 <= action.percent <= 100:
        raise refused("rain", f"{action.percent:g} %", "0 to 100 %")


def _rain(bench: Bench, action: a.Rain) -> None:
    bench.harness.let_rain(action.percent / 100.0)


# Remotes ------------------------------------------------------------------------------------------


def _check_remote(bench: Bench, action: a.RemoteKey | a.CarryRemote | a.FreshBattery) -> None:
    known("remote", action.remote, bench.air.remotes)


def _check_key(bench: Bench, action: a.RemoteKey) -> None:
    _check_remote(bench, action)
    remote = bench.air.remotes[action.remote]
    if not 1 <= action.key <= remote.spec.keys:
        raise refused(f"remote '{action.remote}'", f"key {action.key}", f"1 to {remote.spec.keys}")


def _key(bench: Bench, action: a.RemoteKey) -> None:
    down = bench.air.remotes[action.remote].down
    if action.down and down != action.key:
        bench.air.press(action.remote, action.key)
    elif not action.down and down == action.key:
        bench.air.let_go(action.remote)
    _listen(bench)


def _check_carry(bench: Bench, action: a.CarryRemote) -> None:
    _check_remote(bench, action)
    if not 0 <= action.metres <= FARTHEST:
        raise refused(f"remote '{action.remote}'", f"{action.metres:g} m away", f"0 to {FARTHEST:.0f} m")


def _carry(bench: Bench, action: a.CarryRemote) -> None:
    bench.air.remotes[action.remote].away = float(action.metres)
    _listen(bench)


def _battery(bench: Bench, action: a.FreshBattery) -> None:
    bench.air.remotes[action.remote].battery = 1.0
    _listen(bench)


def _check_replay(bench: Bench, action: a.ReplayCode) -> None:
    known("remote", action.remote, bench.air.remotes)
    if action.on and action.remote not in bench.air.sent:
        raise refused(f"remote '{action.remote}'", "no code sent yet", "a remote that was pressed before")
    if action.on is bench.air.replaying(action.remote):
        words = "being sent already" if action.on else "not being sent"
        raise refused(f"code of remote '{action.remote}'", words, "a change")


def _replay(bench: Bench, action: a.ReplayCode) -> None:
    bench.air.replay(action.remote, action.on)
    _listen(bench)


def _listen(bench: Bench) -> None:
    bench.board.signals.heard = bench.air.now()


DEVICES: dict[type, Hand] = {
    a.SetSwitches: (_check_switches, _set_switches),
    a.Turn: (_check_turn, _turn),
    a.FitLens: (_check_lens, _lens),
    a.CleanLens: (_check_head, _clean),
    a.FitHead: (_check_fit, _fit),
    a.Sun: (_check_sun, _sun),
    a.Rain: (_check_rain, _rain),
    a.RemoteKey: (_check_key, _key),
    a.CarryRemote: (_check_carry, _carry),
    a.FreshBattery: (_check_remote, _battery),
    a.ReplayCode: (_check_replay, _replay),
}
