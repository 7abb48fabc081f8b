"""The remote that the installer carries: heard once it is taught, a measure for others, and erased again."""

from __future__ import annotations

from pathlib import Path

import pytest

from simgate.bench import actions as a
from simgate.bench.radio import OWN
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board.stimuli import Condition, Key
from simgate.files import UserError, find, shipped
from simgate.practice.conduct import WATCHERS, conduct_faults
from simgate.practice.ending import Ending
from tests.golden.hands import Person
from tests.golden.scripts_a import press_remote, teach

MEWS = load_site("mews-double")
HOUSE = (("remote-house", 1, "call"), ("remote-house", 2, "part call"))


def person(*faults: tuple[str, str]) -> Person:
    """Somebody at the mews in Latch, the remote of the house taught; and what is wrong there."""
    setup = Setup("test", MEWS, settings=(("mode", "Latch"),), learned=True, taught=HOUSE)
    someone = Person(Bench(setup))
    for kind, place in faults:
        someone.do(a.Inject(kind, place))
    return someone


def opens(someone: Person, remote: str) -> bool:
    """Whether the shut gate opens at key 1."""
    assert someone.see().condition is Condition.SHUT
    press_remote(someone, remote, 1)
    return someone.see().condition is Condition.OPENING


@pytest.mark.parametrize("name", shipped("sites"))
def test_it_is_in_the_bag_at_every_site_and_no_digest_knows_of_it_before_it_is_used(name: str) -> None:
    bench = Bench(Setup("test", load_site(name)))
    assert OWN.name in [remote.name for remote in bench.snapshot().remotes]
    assert OWN.name not in bench.harness.remotes
    before = bench.air.state()
    assert len(before) == 2
    bench.act(a.RemoteKey(OWN.name, 1, True))
    assert bench.air.state() != before


def test_a_board_hears_it_only_once_it_is_taught_and_no_more_when_it_is_erased() -> None:
    someone = person()
    assert not opens(someone, OWN.name)
    teach(someone, "call", OWN.name, 1)
    assert (OWN.serial, 1, "call") in someone.see().taught
    assert opens(someone, OWN.name)
    someone.wait_for(Condition.OPEN)
    someone.turn_to("Remotes", "Keys taught; erase one")
    someone.tap(Key.NEXT)
    someone.walk(Key.MORE, lambda lines: lines[0].startswith(str(OWN.serial)))
    someone.hold(Key.KEEP, 2_200)
    assert someone.see().taught == ((210417, 1, "call"), (210417, 2, "part call"))


@pytest.mark.parametrize(
    ("fault", "house", "own"),
    [
        (("dead-remote", "remote-house"), False, True),
        (("aerial-off", "aerial"), False, False),
        (
            ("weak-remote", "remote-house"),
            True,
            True,
        ),  # beside the board that does
    ],
    ids=lambda value: value[0] if isinstance(value, tuple) else None,
)
def test_it_tells_a_bad_remote_from_a_bad_aerial(fault: tuple[str, str], house: bool, own: bool) -> None:
    """The board is deaf or the remote is dumb: what the one in the bag does says which."""
    someone = person()
    teach(someone, "call", OWN.name, 1)
    someone.do(a.Inject(*fault))
    assert opens(someone, "remote-house") is house
    other = person()
    teach(other, "call", OWN.name, 1)
    other.do(a.Inject(*fault))
    assert opens(other, OWN.name) is own


def test_with_the_aerial_off_a_remote_is_heard_from_beside_the_board_alone() -> None:
    someone = person(("aerial-off", "aerial"))
    assert not opens(someone, "remote-house")
    someone.do(a.CarryRemote("remote-house", 1.0))
    assert opens(someone, "remote-house")
    other = person(("aerial-off", "aerial"))
    other.do(a.CarryRemote("remote-house", 50.0))
    assert not opens(other, "remote-house")
    other.do(a.Renew("aerial"))
    assert other.bench.faults() == ()
    assert opens(other, "remote-house")


def test_what_is_left_taught_at_the_end_is_told() -> None:
    someone = person()
    teach(someone, "call", OWN.name, 1)
    broken = conduct_faults(Ending.of(someone.bench), tuple(WATCHERS))
    (told,) = (one for one in broken if one.name == "not-put-back")
    assert "your own remote was left taught" in str(told)


def test_no_site_has_the_one_from_the_bag_as_its_own(tmp_path: Path) -> None:
    text = (Path(str(find("sites", "mews-double")))).read_text(encoding="utf-8")
    for old, new in (('"remote-spare"', f'"{OWN.name}"'), ("210530", str(OWN.serial))):
        path = tmp_path / "mine.toml"
        path.write_text(text.replace(old, new), encoding="utf-8")
        with pytest.raises(UserError, match="in the bag"):
            load_site(str(path))
