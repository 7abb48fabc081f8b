"""The Toolbag's table: every piece of work becomes an action that the tape can spell."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import msgspec
import pytest

from simgate.bench import actions as do
from simgate.bench.device_view import HeadView, RemoteView
from simgate.bench.record import Snapshot
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.plant.spec import LeafKind
from simgate.tui.panes.toolbag import short
from simgate.tui.tools import WORKS, Tool, Work, device_for, works
from tests.tui.made import busy, made


def everything() -> Snapshot:
    """A snapshot in which every piece of work has something to point at."""
    shot = busy()
    a, b = shot.leaves
    beam = shot.beams[0]
    button = shot.devices[0]
    return replace(
        shot,
        leaves=(replace(a, released=True, body=(1.0, 1.0)), replace(b, kind=LeafKind.SLIDES, travel=4.0)),
        beams=(beam, replace(beam, name="inner", blocked=True)),
        devices=(button, replace(button, name="stop-button", down=True)),
        heads=(
            HeadView("outer-sender", "outer", "sender", True, "----", 0.0, 0.0, True, False, True),
            HeadView("outer-receiver", "outer", "receiver", True, "----", 0.0, 0.0, False, False, False),
        ),
        relay_beams=("beam-gate", "beam-inner"),
        spares=("beam-inner",),
        mains_points=("mains.L", "mains.N"),
        looks=(("stop", ("A", "B")),),
        battery=True,
        plug=("board.EDGE", "board.0V"),
        edge_ends=(("edge-a", True), ("edge-b", False)),
        remotes=(
            RemoteView("remote-house", "house", 210417, 2, 0, 5.0, True, False),
            RemoteView("remote-spare", "spare", 210530, 2, 1, 5.0, True, True),
        ),
    )


@pytest.mark.parametrize("work", WORKS, ids=lambda work: work.title)
def test_every_work_can_be_carried_through_to_an_action(work: Work) -> None:
    shot = everything()
    answers: tuple[str, ...] = ()
    for question in work.questions:
        choices = question.choices(shot, answers)
        assert choices, f"{question.prompt} offers nothing"
        assert len({value for value, _ in choices}) == len(choices)
        answers += (choices[0][0],)
    action = work.make(shot, answers)
    spelled = msgspec.json.encode(action)
    assert msgspec.json.decode(spelled, type=do.Action) == action


def test_every_action_of_hands_can_be_reached() -> None:
    """What the trainer, the five keys and the job sheet do is not in the bag."""
    shot = everything()
    made_here = set()
    for work in WORKS:
        answers: tuple[str, ...] = ()
        for question in work.questions:
            answers += (question.choices(shot, answers)[0][0],)
        made_here.add(type(work.make(shot, answers)))
    elsewhere = {do.PressKey, do.OpenDrawer, do.Inject, do.Mend, do.TakeHint, do.AskNext, do.HandOver}
    assert made_here | elsewhere == set(get_args(do.Action))


def test_a_second_point_is_not_the_first_one_again() -> None:
    volts = next(work for work in WORKS if work.title.startswith("Volts"))
    shot = made()
    second = volts.questions[1].choices(shot, ("board.COM",))
    assert "board.COM" not in [value for value, _ in second]


def test_only_what_makes_sense_now_is_offered() -> None:
    shot = made()
    titles = [work.title for work in works(Tool.HANDS, shot)]
    assert "Mains off" in titles
    assert "Mains on" not in titles
    assert "Push a released leaf" not in titles
    assert "Step out of the swing" not in titles


def test_an_undone_wire_says_so() -> None:
    shot = made()
    shot = replace(shot, wires=(replace(shot.wires[0], undone=True),))
    undo = next(work for work in WORKS if work.title == "Make a wire good")
    assert undo.questions[0].choices(shot, ())[0][1].endswith(", undone")


def test_call_part_and_stop_are_found_by_their_names() -> None:
    shot = made()
    assert device_for(shot, "call") == "call-button"
    assert device_for(shot, "stop") == "stop-button"
    assert device_for(shot, "part") is None


def test_no_two_buttons_of_the_toolbag_are_called_alike_and_none_is_cut_off() -> None:
    """At 80x24 a button has ten columns beside its lamp."""
    devices = Bench(Setup("test", load_site("depot-double"))).snapshot().devices
    names = [short(device) for device in devices]
    assert len(set(names)) == len(names)
    assert max(map(len, names)) <= 10
    assert {"key: call", "key: part"} < set(names)
    loop = next(device for device in devices if device.name == "loop")
    assert loop.label.endswith("metal laid on it")  # nobody presses a loop
