"""The line and the remotes at a whole gate: copper, light, hands, faults, roll-call, permits."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from simgate.bench import actions as a
from simgate.bench.scan import SCAN, Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board.line_table import table
from simgate.board.stimuli import Condition, Way
from simgate.files import UserError
from simgate.wiring import faults
from simgate.wiring.faults import Fault, FaultKind
from simgate.wiring.head_faults import ARTICLE_KINDS

SITE = load_site("mews-double")
HEADS = ("outer-sender", "outer-receiver", "inner-sender", "inner-receiver")
TAUGHT = (("remote-house", 1, "call"), ("remote-house", 2, "part call"))


def bench(**given: object) -> Bench:
    """The mews, learned, in Latch, its roll-call done and its house remote taught."""
    setup = Setup("test", SITE, settings=(("mode", "Latch"),), learned=True, taught=TAUGHT, **given)  # type: ignore[arg-type]
    return Bench(setup)


def press(at: Bench, remote: str = "remote-house", key: int = 1) -> None:
    """A light press of a remote's key."""
    at.act(a.RemoteKey(remote, key, True))
    at.run(300)
    at.act(a.RemoteKey(remote, key, False))
    at.run(200)


def words(at: Bench, beam: str = "closing 1") -> str:
    """How the board finds a beam of the line, after a moment."""
    at.run(500)
    return {address.name: word for address, word in at.board.line.beams}.get(beam, "")


def test_heads_work_either_way_round_and_chained() -> None:
    at = bench()
    assert words(at) == "clear"
    assert words(at, "both 1") == "clear"
    for one, other in (("line-outer-white", "line-outer-brown"), ("line-feed-white", "line-feed-brown")):
        at.act(a.SwapWires(one, other))
        assert words(at) == "clear"
        assert words(at, "both 1") == "clear"


def test_a_parted_wire_takes_all_behind_it_off_the_line() -> None:
    at = bench()
    at.act(a.PartWire("line-end-white"))
    assert words(at, "both 1") == "no sender answers"
    assert words(at) == "clear"
    at.act(a.PartWire("line-feed-brown"))
    assert words(at, "both 1") == "does not answer"
    assert words(at) == "does not answer"


def test_a_short_brings_the_line_down_and_blows_no_fuse() -> None:
    at = bench()
    at.act(a.AddLink("board.LINE-1", "board.LINE-2"))
    assert words(at) == "does not answer"
    assert at.board.line.words.startswith("Line has only ")
    at.act(a.RemoveLink("board.LINE-1", "board.LINE-2"))
    assert words(at) == "clear"


def test_a_tired_joint_starves_the_heads() -> None:
    at = bench(faults=(Fault(FaultKind.TIRED_JOINT, "line-feed-white", 500.0),))
    assert words(at) == "does not answer"


def test_a_head_on_another_supply_has_power_and_stays_dumb() -> None:
    at = bench()
    at.act(a.MoveWire("line-outer-white", "from", "board.AUX+"))
    assert at.snapshot().heads[1].lit
    assert words(at) == "no receiver answers"


def test_two_heads_of_one_address_garble_each_other() -> None:
    at = bench()
    at.act(a.SetSwitches("inner-sender", "-2--"))
    assert words(at) == "two answer alike"
    assert words(at, "both 1") == "no sender answers"


@pytest.mark.parametrize("kind", list(ARTICLE_KINDS))
def test_each_fault_of_a_head_or_remote_shows_and_its_mending_brings_back_what_was(kind: FaultKind) -> None:
    at = bench()
    before = at.harness.state()
    assert words(at) == "clear"
    of_remote = kind in (FaultKind.WEAK_REMOTE, FaultKind.DEAD_REMOTE, FaultKind.AERIAL_OFF)
    place = "remote-house" if of_remote else "outer-receiver"
    if kind is FaultKind.AERIAL_OFF:
        place = "aerial"
    assert place in faults.places(at.harness, kind)
    at.act(a.Inject(kind.value, place))
    assert [fault.kind for fault in at.faults()] == [kind]
    if of_remote:
        far = 1.0 if kind is FaultKind.DEAD_REMOTE else 50.0
        at.act(a.CarryRemote("remote-house", far))
        press(at)
        assert now(at) is Condition.SHUT
        at.act(a.CarryRemote("remote-house", 5.0))
    else:
        silent = kind in (FaultKind.WRONG_ADDRESS, FaultKind.DEAD_HEAD, FaultKind.MISSING_HEAD)
        assert words(at) == ("no receiver answers" if silent else "not clear")
        assert at.board.line.trouble(Way.CLOSING)
    at.act(a.Mend(kind.value, place))
    assert at.faults() == ()
    if not of_remote:
        assert at.harness.state() == before
        assert words(at) == "clear"


def test_hands_put_each_fault_of_a_head_right() -> None:
    at = bench()
    for kind, mend in (
        (FaultKind.WRONG_ADDRESS, a.SetSwitches("outer-sender", "-2--")),
        (FaultKind.MISSING_LENS, a.FitLens("outer-sender", True)),
        (FaultKind.DIRTY_HEAD, a.CleanLens("outer-sender")),
        (FaultKind.KNOCKED_HEAD, a.Turn("outer-sender", -12.0, 0.0)),
        (FaultKind.WEAK_REMOTE, a.FreshBattery("remote-spare")),
    ):
        place = "remote-spare" if kind is FaultKind.WEAK_REMOTE else "outer-sender"
        at.act(a.Inject(kind.value, place))
        at.act(mend)
        assert at.faults() == ()
        assert words(at) == "clear"
    at.act(a.Inject("missing-head", "outer-sender"))
    at.act(a.FitHead("outer-sender", True))
    assert words(at, "none 1") == "not in the roll-call"
    at.act(a.SetSwitches("outer-sender", "-2--"))
    assert words(at) == "clear"


def test_aim_has_limits_and_a_head_that_is_not_there_cannot_be_turned() -> None:
    at = bench()
    with pytest.raises(UserError, match="-20 to 20 deg"):
        at.act(a.Turn("outer-sender", 21.0, 0.0))
    at.act(a.FitHead("outer-sender", False))
    with pytest.raises(UserError, match="no head in its place"):
        at.act(a.Turn("outer-sender", 1.0, 0.0))


def test_a_stranger_is_a_fault_until_the_roll_call_and_the_roll_call_outlives_the_power() -> None:
    at = bench(strangers=("inner",))
    assert words(at, "both 1") == "not in the roll-call"
    press(at)
    assert now(at) is Condition.SHUT
    at.board.book.devices.roll_call(at.tick)
    assert words(at, "both 1") == "clear"
    at.act(a.Mains(False))
    at.run(2000)
    at.act(a.Mains(True))
    assert words(at, "both 1") == "clear"


def test_a_remote_opens_and_its_copied_code_does_not() -> None:
    at = bench()
    press(at)
    assert now(at) is Condition.OPENING
    at.act(a.ReplayCode("remote-house", True))
    at.run(500)
    assert now(at) is Condition.OPENING
    assert at.board.radio.words == "An old code was refused"
    at.act(a.ReplayCode("remote-house", False))
    press(at)
    assert now(at) is Condition.CLOSING


def test_the_display_and_the_ticker_say_for_a_while_why_a_code_was_refused() -> None:
    for stepping in (False, True):
        at = bench()
        press(at)
        while now(at) is not Condition.OPEN:
            at.run(1000)
        before = at.board.display
        for _ in range(2):
            at.act(a.ReplayCode("remote-house", True))
            at.run(200)
            at.act(a.ReplayCode("remote-house", False))
            begun = at.tick
            for _ in range(400 if stepping else 1):
                at.run(10 if stepping else 4000)
            assert at.board.display == ("Open", "An old code was refused")
            at.run(3000)
            assert at.board.display == before
            told = [e.text for r in at.records for e in r.events if r.tick > begun - 300]
            assert "Open · An old code was refused" in told


def test_two_remotes_at_once_drown_each_other() -> None:
    at = bench()
    at.act(a.RemoteKey("remote-spare", 1, True))
    press(at)
    assert now(at) is Condition.SHUT


def now(at: Bench) -> Condition:
    """The condition. A call, which a type checker does not take to stay as asked."""
    return at.board.condition


HANDS = st.one_of(
    st.builds(a.Block, st.sampled_from(("outer", "inner")), st.booleans()),
    st.builds(a.RemoteKey, st.just("remote-house"), st.sampled_from((1, 2)), st.booleans()),
    st.builds(a.Operate, st.sampled_from(("call-button", "part-button")), st.booleans()),
    st.builds(a.SetSwitches, st.sampled_from(HEADS), st.sampled_from(("-2--", "12--", "1---"))),
    st.builds(a.Turn, st.sampled_from(HEADS), st.sampled_from((-6.0, 6.0)), st.just(0.0)),
    st.builds(a.FitHead, st.sampled_from(HEADS), st.booleans()),
    st.builds(a.PartWire, st.sampled_from(("line-feed-white", "line-end-white", "line-outer-brown"))),
    st.builds(a.RemakeWire, st.sampled_from(("line-feed-white", "line-end-white", "line-outer-brown"))),
    st.builds(a.Mains, st.booleans()),
)
RUNS = st.lists(st.tuples(st.sampled_from((10, 60, 400, 3000)), HANDS), max_size=10)


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(RUNS)
def test_nothing_moves_against_a_broken_line_guard_beyond_poll_filter_and_one_scan(
    run: list[tuple[int, a.Action]],
) -> None:
    at = bench()
    grace = table().poll_ms + round(at.board.settings.number("input-filter")) + SCAN
    bad_for = 0
    for wait, action in [(0, a.RemoteKey("remote-house", 1, True)), *run, (3000, a.PutAway())]:
        for _ in range(wait // SCAN):
            at.run(SCAN)
            closing = [one for one in at.board.signals.line.answers if one.clear and one.place in (8, 12)]
            bad_for = bad_for + SCAN if len(closing) < 2 else 0
            if bad_for > grace:
                assert not any(duty < 0.0 for duty in at.board.outputs.duty)
        try:
            at.act(action)
        except UserError as error:
            assert error.problems


class Stepping(Bench):
    """A bench that never skips idle time."""

    def _skip(self, target: int) -> None:
        """Step instead."""


@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(RUNS)
def test_skipping_idle_time_is_the_same_run_as_stepping_with_line_and_remotes(
    run: list[tuple[int, a.Action]],
) -> None:
    setup = Setup("test", SITE, settings=(("mode", "Latch"),), learned=True, taught=TAUGHT)
    skipping, stepping = Bench(setup), Stepping(setup)
    for wait, action in run:
        for at in (skipping, stepping):
            at.run(wait)
            try:
                at.act(action)
            except UserError as error:
                assert error.problems
    assert skipping.run(500) == stepping.run(500)
    assert skipping.digest() == stepping.digest()
