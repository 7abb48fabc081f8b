"""The drawings of a site's wiring: every wire and device on them, once, and nothing out of the sheet."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from simgate.bench.site import load_site
from simgate.files import shipped
from simgate.practice.drawing.paper import HIGH, LEAST, WIDE, fitted, long
from simgate.practice.drawing.plan import Branch, Plan, plan
from simgate.practice.drawing.sheet import svg
from simgate.practice.drawing.signs import SIGNS
from simgate.practice.drawing.text import WIDTH, one_line, terminals, text
from simgate.practice.names import plain
from simgate.wiring.harness import Harness
from simgate.wiring.spec import DeviceKind, DeviceSpec, WireSpec, WiringSpec
from tests.wiring.site import SITE

SVG = "{http://www.w3.org/2000/svg}"
SITES = shipped("sites")


def drawn(name: str) -> tuple[Harness, Plan]:
    """A shipped site's harness and what is drawn of it."""
    site = load_site(name)
    harness = Harness(site.wiring)
    return harness, plan(harness, site.title, site.name)


def crowded() -> WiringSpec:
    """As many devices as a file may name a good part of, with names and labels far too long. Invented."""
    buttons = tuple(
        DeviceSpec(f"button-{'long-' * 8}{n}", DeviceKind.BUTTON_NO, f"<button> & {'W' * 150} {n}")
        for n in range(60)
    )
    wires = [WireSpec(f"to-{one.name}", "board.COM", f"{one.name}.1", 5.0, 0.5, "white") for one in buttons]
    wires += [
        WireSpec(f"on-{one.name}", f"{one.name}.2", f"{other.name}.2", 5.0, 0.5, "pink")
        for one, other in pairwise(buttons)
    ]
    return WiringSpec(1, tuple(wires), (("board.COM", f"{buttons[0].name}.2"),), buttons)


def chained(count: int) -> WiringSpec:
    """Buttons that hang one on the other, deeper than any sheet is wide, and one that nothing is wired to."""
    buttons = tuple(DeviceSpec(f"b{n}", DeviceKind.BUTTON_NO, f"button {n}") for n in range(count))
    points = ["board.COM", *(f"{one.name}.1" for one in buttons)]
    wires = tuple(WireSpec(f"w{n}", a, b, 1.0, 0.5, "grey") for n, (a, b) in enumerate(pairwise(points)))
    return WiringSpec(1, wires, (), (*buttons, DeviceSpec("alone", DeviceKind.LAMP, "lamp on the shelf")))


STRANGE = {
    "small": SITE,
    "crowded": crowded(),
    "chained": chained(12),
    "bare": WiringSpec(1, (), (), ()),
}


def places(branch: Branch) -> list[str]:
    """Names of everything on a tree."""
    return [branch.place.name, *(name for one in branch.on for name in places(one))]


def runs(branch: Branch) -> list[str]:
    """Names of the wires of every run on a tree."""
    here = [wire.name for run in branch.by for wire in run.wires]
    here += [wire.name for run, _ in branch.also for wire in run.wires]
    return [*here, *(name for one in branch.on for name in runs(one))]


@pytest.mark.parametrize("name", SITES)
def test_every_wire_stands_exactly_once_in_the_terminal_diagram(name: str) -> None:
    harness, found = drawn(name)
    numbers = [int(row[1]) for line in terminals(found) if (row := re.search(r"●─ *(\d+) ", line))]
    assert sorted(numbers) == sorted(wire.number for wire in harness.wires())
    marked = ElementTree.fromstring(svg(found)).iter(f"{SVG}polyline")
    lines = Counter(line.get("data-wire") for line in marked if line.get("data-wire"))
    assert lines == Counter(wire.name for wire in harness.wires())


@pytest.mark.parametrize("name", SITES)
def test_a_row_of_the_terminal_diagram_says_where_both_ends_are(name: str) -> None:
    """Held against the harness, wire by wire, from the text alone."""
    harness, found = drawn(name)
    place = terminal = ""
    told = {}
    for line in terminals(found):
        if head := re.match(r" ▌(.*?):", line):
            place = head[1]
        elif row := re.match(r"  (\S*) +●─ *(\d+) (\w+) +(\S+ mm² \S+ m) *─● (.+?)(  +with .*)?$", line):
            terminal = row[1] or terminal
            told[int(row[2])] = (f"{place} · {terminal}", row[5], row[4])
    for wire in harness.wires():
        ends = {
            f"{plain(owner)} · {screw}"
            for owner, _, screw in (wire.a.rpartition("."), wire.b.rpartition("."))
        }
        near, far, size = told[wire.number]
        assert {near, far} == ends
        assert size == f"{wire.size:g} mm² {wire.length:g} m"


@pytest.mark.parametrize("name", SITES)
def test_every_device_and_every_wire_stands_exactly_once_in_the_one_line_diagram(name: str) -> None:
    harness, found = drawn(name)
    trees = (found.tree, *found.apart)
    names = [name for tree in trees for name in places(tree)]
    assert sorted(names) == sorted(found.places)
    assert set(names) >= {device.name for device in harness.spec.devices}
    assert sorted(wire for tree in trees for wire in runs(tree)) == sorted(w.name for w in harness.wires())
    written = "\n".join(one_line(found))
    boxes = [box.get("data-place") for box in ElementTree.fromstring(svg(found)).iter(f"{SVG}rect")]
    for device in harness.spec.devices:
        assert len(re.findall(rf"─ {re.escape(plain(device.name))}(:|$|\n)", written, re.M)) == 1
        assert boxes.count(device.name) == 1


@pytest.mark.parametrize("name", SITES)
def test_the_text_fits_a_terminal_of_eighty_columns_and_carries_its_cautions(name: str) -> None:
    lines = text(drawn(name)[1]).splitlines()
    assert max(map(len, lines)) <= WIDTH
    assert "Isolate the mains and prove dead" in " ".join(lines)
    assert "local code" in " ".join(" ".join(lines).split())
    assert any("GNYE" in line for line in lines)


@pytest.mark.parametrize("name", [*SITES, *STRANGE])
def test_the_sheet_is_well_formed_black_on_white_and_nothing_runs_out_of_it(name: str) -> None:
    found = plan(Harness(STRANGE[name]), "A site " * 30, name) if name in STRANGE else drawn(name)[1]
    root = ElementTree.fromstring(svg(found))
    assert root.get("viewBox") == f"0 0 {WIDE:g} {HIGH:g}"
    assert {one.get("fill") for one in root.iter()} <= {None, "none", "black", "white"}
    for words_ in root.iter(f"{SVG}text"):
        x, size = float(words_.get("x", "")), float(words_.get("font-size", ""))
        wide = long(words_.text or "", size, words_.get("font-weight") == "bold")
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[words_.get("text-anchor", "")]
        assert left >= 8.0
        assert left + wide <= WIDE - 8.0
        assert float(words_.get("y", "")) - 0.76 * size >= 8.0
        assert float(words_.get("y", "")) + 0.24 * size <= HIGH - 8.0
    for box in root.iter(f"{SVG}rect"):
        x, y, w, h = (float(box.get(key, "0")) for key in ("x", "y", "width", "height"))
        assert 0.0 <= x <= x + w <= WIDE
        assert 0.0 <= y <= y + h <= HIGH
    for line in root.iter(f"{SVG}polyline"):
        for point in line.get("points", "").split():
            x, y = map(float, point.split(","))
            assert 8.0 <= x <= WIDE - 8.0
            assert 8.0 <= y <= HIGH - 8.0


@pytest.mark.parametrize("name", STRANGE)
def test_a_strange_site_has_every_wire_once_and_its_text_stays_in_its_columns(name: str) -> None:
    harness = Harness(STRANGE[name])
    found = plan(harness, "A site " * 30, name)
    numbers = [int(row[1]) for line in terminals(found) if (row := re.search(r"●─ *(\d+) ", line))]
    assert sorted(numbers) == sorted(wire.number for wire in harness.wires())
    assert {name for tree in (found.tree, *found.apart) for name in places(tree)} == set(found.places)
    if name != "chained":  # twelve deep, the words keep their columns and the paper is wider
        assert max(map(len, text(found).splitlines())) <= WIDTH


def test_a_wire_that_was_moved_is_drawn_where_it_is() -> None:
    harness = Harness(SITE)
    harness.move_wire("call-back", "from", "board.PART")
    found = plan(harness, "moved", "moved")
    part = next(one for strip in found.strips for one in strip.screws if one.point == "board.PART")
    assert [core.wire.name for core in part.cores] == ["call-back"]


def test_numbers_in_a_row_are_told_as_a_range() -> None:
    _, found = drawn("farm-double")
    run = next(one.by[0] for one in found.tree.on if one.place.name == "encoder-a")
    assert run.numbers == "7, 8, 19"
    three = replace(run, wires=tuple(replace(w, number=n) for w, n in zip(run.wires, (4, 5, 6), strict=True)))
    assert three.numbers == "4–6"


def test_every_kind_of_device_has_a_sign() -> None:
    assert set(SIGNS) == set(DeviceKind)


def test_words_are_made_smaller_and_then_shorter() -> None:
    assert fitted("lamp", 3.0, 50.0) == ("lamp", 3.0)
    words_, size = fitted("stop button at the barn", 3.0, 30.0)
    assert words_ == "stop button at the barn"
    assert LEAST < size < 3.0
    short, size = fitted("stop button at the barn", 3.0, 10.0)
    assert short.endswith("…")
    assert size == LEAST
    assert long(short, size) <= 10.0
    assert fitted("lamp", 3.0, 0.0) == ("", LEAST)
