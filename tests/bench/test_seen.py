"""What is seen at lamp, light and lock is what their copper gives them, not what the board's relay does."""

from __future__ import annotations

import pytest

from simgate.bench import actions as do
from simgate.bench.record import Snapshot
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site

LAMP = "The lamp begins to flash"


def gate(site: str, **settings: float | int | str) -> Bench:
    """A learned gate in Latch."""
    given = {"mode": "Latch", **{key.replace("_", "-"): value for key, value in settings.items()}}
    found = load_site(site)
    given["leaves"] = len(found.plant.leaves)
    return Bench(Setup("made", found, tuple(given.items()), learned=True))


def call(bench: Bench) -> list[Snapshot]:
    """Press a call button and look at the gate for three seconds."""
    button = next(d.name for d in bench.snapshot().devices if "call" in d.name)
    bench.act(do.Operate(button, True))
    bench.run(200)
    bench.act(do.Operate(button, False))
    shots = []
    for _ in range(60):
        bench.run(50)
        shots.append(bench.snapshot())
    return shots


def seen(bench: Bench) -> list[str]:
    """Everything told so far."""
    return [event.text for record in bench.records for event in record.events]


@pytest.mark.parametrize("parted", [False, True])
def test_a_lamp_with_its_wire_undone_is_not_seen_to_flash(parted: bool) -> None:
    bench = gate("yard-single")
    if parted:
        bench.act(do.PartWire("lamp-red"))
    shots = call(bench)
    assert any("LAMP" in shot.relays for shot in shots)
    assert any(shot.lamp for shot in shots) is not parted
    assert (LAMP in seen(bench)) is not parted


def test_a_lamp_that_flashed_is_seen_to_stop_when_the_gate_has_arrived() -> None:
    bench = gate("yard-single")
    call(bench)
    bench.run(60_000)
    told = [text for text in seen(bench) if text.startswith("The lamp")]
    assert told == [LAMP, "The lamp stops flashing"]


def test_a_lamp_that_went_dark_while_it_flashed_does_not_stop_once_more() -> None:
    bench = gate("yard-single")
    call(bench)
    bench.act(do.PartWire("lamp-red"))
    bench.run(60_000)
    assert "The lamp stops flashing" not in seen(bench)


def test_a_courtesy_light_is_seen_to_go_on_and_off() -> None:
    bench = gate("depot-double", light_use="courtesy light", light_time=30)
    call(bench)
    bench.run(90_000)
    assert [text for text in seen(bench) if "courtesy" in text] == [
        "The courtesy light goes on", "The courtesy light goes off",
    ]  # fmt: skip


def test_a_lamp_that_burns_steadily_is_not_said_to_flash() -> None:
    bench = gate("yard-single", lamp_use="gate open")
    call(bench)
    bench.run(60_000)
    call(bench)  # and shut again
    bench.run(60_000)
    told = [text for text in seen(bench) if text.startswith("The lamp")]
    assert told == ["The lamp lights", "The lamp goes dark"]


@pytest.mark.parametrize("parted", [False, True])
def test_a_courtesy_light_with_its_wire_undone_stays_dark(parted: bool) -> None:
    bench = gate("depot-double", light_use="gate moving")
    if parted:
        bench.act(do.PartWire("light-red"))
    shots = call(bench)
    assert any("LIGHT" in shot.relays for shot in shots)
    assert any(shot.light for shot in shots) is not parted


def test_each_way_of_a_key_switch_can_be_reached_by_hand() -> None:
    bench = gate("depot-double")
    devices = {view.name: view.label for view in bench.snapshot().devices}
    assert devices["key-switch"].endswith("call side")
    assert devices["key-switch-part"].endswith("part side")
    bench.act(do.Operate("key-switch-part", True))
    bench.run(300)
    assert next(view.made for view in bench.snapshot().inputs if view.terminal == "PART")


def test_a_wire_is_followed_through_the_contact_that_it_comes_to() -> None:
    through = gate("depot-double").snapshot().through
    assert through["key-switch.3"] == "key-switch.4"
    assert through["loop.1"] == "loop.2"
    assert all(through[other] in through for other in through.values())
