"""Eyes and hands that find out what no instrument shows: each look tells one line of what is really there.

Told as it is, never as it should be: who looks at a strip hears where each core goes and holds that against
the drawing himself.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING

from simgate.bench import actions as a
from simgate.bench.record import Event, Sense
from simgate.bench.refusal import Hand, known, refused
from simgate.board.signals import LEAVES
from simgate.plant.spec import LeafKind
from simgate.wiring.spec import DeviceKind

if TYPE_CHECKING:
    from simgate.bench.scan import Bench

FRESH_CELL = 3.0  # V of a remote's fresh cell
SEEN_DIRT, SEEN_AIM = 20.0, 1.0  # % of light lost, degrees: less is not seen
FIRMLY = 1.0  # mm of play; less is not felt


def _owners(bench: Bench) -> Iterable[str]:
    return dict.fromkeys(point.rpartition(".")[0] for point in bench.harness.points())


def _strip(bench: Bench, owner: str) -> str:
    harness, rows = bench.harness, []
    for wire in harness.wires():
        for here, there in ((wire.a, wire.b), (wire.b, wire.a)):
            if here.rpartition(".")[0] == owner:
                hangs = " hangs free" if wire.undone and here == wire.a else ""
                rows.append(f"{here.rpartition('.')[2]} {wire.colour} to {there}{hangs}")
    rows += [f"link {one} to {other}" for one, other in harness.links() if owner in _both(one, other)]
    rows += [f"test plug {one} to {other}" for one, other in _plugs(bench) if owner in _both(one, other)]
    if owner in _pulsing(bench):
        rows.append("the screen hangs free" if harness.fitting(owner).stray else "the screen is joined")
    return f"At {owner}: " + ("; ".join(rows) or "nothing")


def _both(one: str, other: str) -> tuple[str, str]:
    return one.rpartition(".")[0], other.rpartition(".")[0]


def _plugs(bench: Bench) -> list[tuple[str, str]]:
    return [] if bench.harness.plug is None else [bench.harness.plug]


def _pulsing(bench: Bench) -> list[str]:
    return [device.name for device in bench.setup.site.wiring.devices if device.kind is DeviceKind.ENCODER]


def _lens(bench: Bench, name: str) -> str:
    fitting = bench.harness.standing(name)
    dirt = "dirty" if fitting.dirt > SEEN_DIRT else "clean"
    aim = f"looks {fitting.aim:.0f} degrees past it" if fitting.aim > SEEN_AIM else "looks straight at it"
    return f"The {name}'s lens is {dirt}, and its sender {aim}"


def _leaf(bench: Bench, name: str) -> int:
    return LEAVES.index(name)


def _still(bench: Bench, name: str, released: bool) -> None:
    leaf = bench.plant.leaves[_leaf(bench, name)]
    if leaf.released is not released:
        words = ("coupled to its drive", "a released leaf") if released else ("released", "a coupled leaf")
        raise refused("inspect", f"leaf {name} {words[0]}", words[1])
    if leaf.speed:
        raise refused("inspect", f"leaf {name} on the move", "a leaf that stands")


def _pull(bench: Bench, name: str) -> str:
    newton = bench.plant.leaves[_leaf(bench, name)].breakaway()
    return f"Leaf {name} starts to open at {max(newton, 0.0):.0f} N on the scale"


def _play(bench: Bench, name: str) -> str:
    slack = bench.harness.iron.play[_leaf(bench, name)] * 1000.0
    return f"Leaf {name} " + (f"rocks by {slack:.0f} mm at its edge" if slack > FIRMLY else "sits firmly")


def _stop(bench: Bench, name: str) -> str:
    n = _leaf(bench, name)
    spec, _ = bench.setup.site.plant.leaves[n]
    place = spec.reach * (1.0 - bench.harness.iron.stop[n])
    stands = f"{place:.2f} m" if spec.kind is LeafKind.SLIDES else f"{math.degrees(place):.0f} degrees"
    return f"The open stop of leaf {name} stands at {stands}"


def _capacity(bench: Bench, name: str) -> str:
    battery = bench.harness.battery
    assert battery is not None  # `_places` has none without one
    return f"The battery gives {battery.spec.capacity * battery.worn:.2f} Ah of {battery.spec.capacity:g} Ah"


def _cell(bench: Bench, name: str) -> str:
    return f"The cell of {name} has {FRESH_CELL * bench.harness.remotes[name].battery:.1f} V"


_Places = Callable[["Bench"], Iterable[str]]
_Told = Callable[["Bench", str], str]


def _leaves(bench: Bench) -> Iterable[str]:
    return LEAVES[: len(bench.plant.leaves)]


def _beams(bench: Bench) -> Iterable[str]:
    return bench.harness.beams()


def _batteries(bench: Bench) -> Iterable[str]:
    return () if bench.harness.battery is None else ("battery",)


def _remotes(bench: Bench) -> Iterable[str]:
    return bench.harness.remotes


_WAYS: Mapping[str, tuple[_Places, _Told]] = {
    "strip": (_owners, _strip),
    "lens": (_beams, _lens),
    "pull": (_leaves, _pull),
    "play": (_leaves, _play),
    "stop": (_leaves, _stop),
    "capacity": (_batteries, _capacity),
    "cell": (_remotes, _cell),
}
_NEEDS_RELEASED = {"pull": True, "play": False}


def ways(bench: Bench) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Ways to look, and what each can be done to at this site."""
    found = ((how, tuple(places(bench))) for how, (places, _) in _WAYS.items())
    return tuple((how, names) for how, names in found if names)


def _check(bench: Bench, action: a.Inspect) -> None:
    here = dict(ways(bench))
    known("how", action.how, here)
    known("of", action.of, here[action.how])
    if action.how in _NEEDS_RELEASED:
        _still(bench, action.of, _NEEDS_RELEASED[action.how])


def _inspect(bench: Bench, action: a.Inspect) -> None:
    bench.tell(Event(bench.tick, Sense.SEEN, _WAYS[action.how][1](bench, action.of)))


LOOKS: dict[type, Hand] = {a.Inspect: (_check, _inspect)}
