"""What is wrong with a gate is known to copper and iron alone: board, snapshot, screens hold no fault's name.

The objects are walked, not the source: every attribute, slot, item and closure that can be reached from the
board, from a snapshot and from a running app's screens, with a fault of each kind in the bench. On the
screens' side the walk ends where the bench begins: below it copper and iron, and what a run starts from, know
the faults, and so does the trainer's drawer.
"""

from __future__ import annotations

import asyncio
import types
from collections import deque
from collections.abc import Callable, Iterator, Mapping, Set
from enum import Enum
from functools import cache, partial

import pytest

from simgate.bench import actions as do
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import Site, load_site
from simgate.practice.diagnosis.costs import typical
from simgate.tui.screens.bench import BenchScreen
from simgate.tui.screens.drawer import Drawer
from simgate.wiring import faults
from simgate.wiring.fault_table import row
from simgate.wiring.faults import Fault, FaultKind
from simgate.wiring.harness import Harness
from tests.tui.stage import SHEET, OneScreen, still, text_of

SITES = ("depot-double", "mews-double", "farm-double", "mill-single", "park-oil")
NAMES = tuple(kind.value for kind in FaultKind)
SENTENCES = tuple(
    text
    for kind in FaultKind
    for text in (row(kind).words, row(kind).does, row(kind).shows, row(kind).mended)
)
NO_PART = (
    type,
    types.ModuleType,
    types.BuiltinFunctionType,
    types.CodeType,
    types.FrameType,
    types.CoroutineType,
)
LEAVES = (int, float, bytes, bool, type(None), complex)
# What the screens hold of the bench as it is handed to them; anything else of these rooms is below the wall.
HANDED = (
    "simgate.bench.record",
    "simgate.bench.device_view",
    "simgate.bench.actions",
    "simgate.bench.passers",
)
OF_STYLE = (
    "textual.css.",
    "textual.geometry",
    "textual.color",
    "rich.color",
    "rich.style",
)  # of the library: no text
BELOW = ("simgate.bench.", "simgate.wiring.", "simgate.plant.", "simgate.practice.")

_SITES: dict[str, Site] = {}
_SLOTS: dict[type, tuple[tuple[str, types.MemberDescriptorType], ...]] = {}


def site(name: str) -> Site:
    """A shipped site, read once."""
    return _SITES.setdefault(name, load_site(name))


def faulty(kind: FaultKind) -> tuple[Bench, Fault]:
    """A bench with a fault of that kind in it from the start, at the first site that has a place for it."""
    for name in SITES:
        places = faults.places(Harness(site(name).wiring), kind)
        if places:
            fault = typical(kind, places[0])
            return Bench(Setup("test", site(name), faults=(fault,), roll_call=True)), fault
    raise AssertionError(f"no site has a place for {kind}")


def parts(thing: object) -> Iterator[tuple[str, object]]:
    """What a thing holds, each with how it is reached."""
    if isinstance(thing, Mapping):
        for key, value in list(thing.items()):
            yield f"key {key!r}"[:60], key
            yield f"[{key!r}]"[:60], value
    elif isinstance(thing, list | tuple | deque | Set):
        for number, value in enumerate(list(thing)):
            yield f"[{number}]", value
    if isinstance(thing, types.MethodType):
        yield ".__self__", thing.__self__
        yield ".__func__", thing.__func__
    elif isinstance(thing, types.FunctionType):
        for number, cell in enumerate(thing.__closure__ or ()):
            try:
                yield f".closure {number}", cell.cell_contents
            except ValueError:  # not filled yet
                continue
        yield ".defaults", thing.__defaults__
    elif isinstance(thing, partial):
        yield from ((".func", thing.func), (".args", thing.args), (".keywords", thing.keywords))
    for name, value in list(getattr(thing, "__dict__", {}).items()):
        yield f".{name}", value
    for name, held in _slots(type(thing)):
        try:
            yield f".{name}", held.__get__(thing)
        except AttributeError:  # empty
            continue


def _slots(of: type) -> tuple[tuple[str, types.MemberDescriptorType], ...]:
    """The slots of a type: reading one by its descriptor runs nobody's code."""
    if of not in _SLOTS:
        names = ((kind, kind.__dict__.get("__slots__", ())) for kind in of.__mro__)
        found = [
            (name, getattr(kind, name, None))
            for kind, slots in names
            for name in ((slots,) if isinstance(slots, str) else tuple(slots))
        ]
        _SLOTS[of] = tuple(
            (name, held) for name, held in found if isinstance(held, types.MemberDescriptorType)
        )
    return _SLOTS[of]


def knows(value: object) -> str:
    """What of a fault a value tells; '' for nothing."""
    if isinstance(value, FaultKind | Fault):
        return repr(value)
    return _told(value) if isinstance(value, str) else ""


@cache
def _told(text: str) -> str:
    return next((name for name in (*NAMES, *SENTENCES) if name in text), "")


def found(root: object, ends: Callable[[object], bool] = lambda _: False) -> tuple[list[str], dict[str, int]]:
    """The ways from `root` to anything that knows a fault, and how many things of each room were walked."""
    told: list[str] = []
    met: dict[str, int] = {}
    seen: dict[int, object] = {}  # kept, or an id could be taken again
    ahead: deque[tuple[str, object]] = deque([("", root)])
    while ahead:
        way, thing = ahead.popleft()
        if isinstance(thing, LEAVES) or id(thing) in seen:
            continue
        seen[id(thing)] = thing
        if what := knows(thing):
            told.append(f"{way}: {what}")
        if isinstance(thing, (str, Enum, *NO_PART)) or ends(thing):
            continue
        room = type(thing).__module__
        met[room] = met.get(room, 0) + 1
        ahead.extend((f"{way}{by}", value) for by, value in parts(thing))
    return told, met


def lived(bench: Bench) -> None:
    """A call, a probe, mains off and on: so that what the board notes of faults is noted."""
    for device in bench.setup.site.wiring.devices:
        if device.name == "call-button":
            bench.act(do.Operate(device.name, True))
            bench.run(200)
            bench.act(do.Operate(device.name, False))
    bench.run(2000)
    bench.act(do.Probe("volts", "board.STOP", "board.COM"))
    bench.act(do.Mains(False))
    bench.run(200)
    bench.act(do.Mains(True))
    bench.run(500)


@pytest.mark.parametrize("kind", FaultKind)
def test_neither_board_nor_snapshot_knows_a_fault(kind: FaultKind) -> None:
    bench, fault = faulty(kind)
    lived(bench)
    assert bench.faults() == (fault,)
    assert found(bench.harness)[0], "the walk finds it where it is"
    told, met = found(bench.board)
    assert not told
    assert met["simgate.board.board"] == 1
    assert not [room for room in met if room.startswith(BELOW)]  # not by another name either: no way down
    told, met = found(bench.snapshot())
    assert not told
    assert met["simgate.bench.record"] > 20
    assert not [
        room for room in met if room.startswith("simgate.practice.") or room == "simgate.wiring.harness"
    ]


def below(thing: object) -> bool:
    """Whether the walk from the screens ends here: what belongs to the rooms below, and is not handed up."""
    room = type(thing).__module__
    if room.startswith(OF_STYLE) or isinstance(thing, asyncio.AbstractEventLoop):
        return True
    return room.startswith(BELOW) and room not in HANDED


@pytest.mark.usefixtures("unpainted")
@pytest.mark.parametrize("kind", [FaultKind.PARTED_WIRE, FaultKind.STIFF_HINGE])
async def test_no_screen_knows_a_fault_but_the_drawer(kind: FaultKind) -> None:
    bench, _ = faulty(kind)
    screen = BenchScreen(bench, SHEET, still())
    app = OneScreen(screen)
    async with app.run_test(size=(120, 40)) as pilot:
        lived(bench)
        screen.show()
        for keys in (("m", "escape", "h", "escape", "w", "escape", "j", "escape"), ("d", "enter")):
            for key in keys:
                await pilot.press(key)
                await pilot.pause()
            told, met = found(app, below)
            assert not told
            assert not knows(text_of(app))
            assert met["simgate.tui.screens.bench"] == 1
            assert met["simgate.bench.record"] > 20
        assert met["simgate.tui.screens.diagram"] == 1
        for key in ("escape", "escape", "f", "y"):
            await pilot.press(key)
            await pilot.pause()
        assert isinstance(app.screen, Drawer)
        assert any(kind.value in way for way in found(app.screen._present)[0])  # it has the name to show
        await pilot.press("escape")
        await pilot.pause()
        assert not found(app, below)[0]  # nor does anything of the drawer stay behind


def by_site() -> dict[str, list[Fault]]:
    """A fault of every kind, at the first site that has a place for it."""
    found: dict[str, list[Fault]] = {name: [] for name in SITES}
    harnesses = {name: Harness(site(name).wiring) for name in SITES}
    for kind in FaultKind:
        name, places = next(
            (name, places) for name in SITES if (places := faults.places(harnesses[name], kind))
        )
        found[name].append(typical(kind, places[0]))
    return {name: those for name, those in found.items() if those}


def put(bench: Bench, fault: Fault) -> None:
    """A fault into the copper or iron of a running gate, with nobody told."""
    faults.inject(bench.harness, fault)
    bench.take_iron()
    bench.run(300)


@pytest.mark.usefixtures("unpainted")
@pytest.mark.parametrize("name", by_site())
async def test_no_screen_knows_a_fault_of_any_kind_nor_two_of_them_at_once(name: str) -> None:
    bench = Bench(Setup("test", site(name), roll_call=True))
    screen = BenchScreen(bench, SHEET, still())
    app = OneScreen(screen)
    async with app.run_test(size=(120, 40)) as pilot:
        those = by_site()[name]
        for number, fault in enumerate(those, 1):
            put(bench, fault)
            screen.show()
            await pilot.pause()
            assert not knows(text_of(app))
            if number % 2 and number < len(those):
                continue  # walked when the next is in as well
            assert fault in bench.faults()
            told, met = found(app, below)
            assert not told
            assert met["simgate.bench.record"] > 20
            for one in bench.faults():
                faults.mend(bench.harness, one)
