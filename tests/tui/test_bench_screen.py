"""The Bench by keyboard and mouse, round a bench of cardboard and a clock that stands still."""

from __future__ import annotations

from collections.abc import AsyncIterator
from dataclasses import replace

import pytest
import pytest_asyncio
from textual import events
from textual.containers import VerticalScroll
from textual.geometry import Region
from textual.widget import Widget
from textual.widgets import Static

from simgate.bench import actions as do
from simgate.bench.record import DeviceView, Event, InputView, MeterView, ScanRecord, Sense
from simgate.board.signals import Note, NoteKind
from simgate.board.stimuli import Key
from simgate.tui.captions import clock
from simgate.tui.messages import Parting
from simgate.tui.panes.cabinet import Cabinet, KeyCap
from simgate.tui.panes.job_sheet import Sheet
from simgate.tui.panes.ticker import KEPT, Ticker
from simgate.tui.panes.toolbag import Button
from simgate.tui.panes.yard import YardPicture
from simgate.tui.screens.bench import BenchScreen
from simgate.tui.screens.card import CardOver
from simgate.tui.screens.drawer import Drawer
from simgate.tui.screens.help import Help
from simgate.tui.screens.reading import Reading
from simgate.wiring.fault_table import row
from simgate.wiring.faults import FaultKind
from tests.tui.made import CardboardBench, busy, made
from tests.tui.stage import LARGE, SHARED, SHEET, SMALL, bench_app, matches, text_of

pytestmark = [pytest.mark.asyncio(loop_scope="module"), pytest.mark.usefixtures("unpainted")]
SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "120x40"])


@pytest_asyncio.fixture(scope="module", loop_scope="module", autouse=True)
async def shared_app() -> AsyncIterator[None]:
    """One app for all of these tests."""
    async with SHARED.running():
        yield


@SIZES
async def test_the_bench_in_the_middle_of_an_opening(size: tuple[int, int]) -> None:
    app, screen = bench_app(CardboardBench(busy()))
    async with app.run_test(size=size) as pilot:
        await pilot.press("C")
        screen.advance(500)
        await pilot.pause()
        nothing_is_cut_off(screen)
        assert matches(app, f"bench-{size[0]}x{size[1]}")


async def test_a_screen_that_grows_and_shrinks_lays_its_panes_out_anew_and_cuts_none_off() -> None:
    app, screen = bench_app(CardboardBench(busy()))
    async with app.run_test(size=(200, 60)) as pilot:
        for columns, rows in ((200, 60), (80, 24), (160, 38), (118, 38), (200, 24)):
            await pilot.resize_terminal(columns, rows)
            await pilot.pause()
            nothing_is_cut_off(screen)


def nothing_is_cut_off(screen: BenchScreen) -> None:
    """Every pane that does not scroll has room for all of its lines."""
    for widget in screen.query(Static):
        parent = widget.parent
        assert isinstance(parent, Widget)
        shown = all(one.display for one in widget.ancestors_with_self if isinstance(one, Widget))
        if not shown or any(isinstance(one, VerticalScroll) for one in widget.ancestors):
            continue
        needed = widget.get_content_height(widget.container_size, screen.size, widget.size.width)
        assert widget.size.height >= needed, f"{widget!r} needs {needed} rows, has {widget.size.height}"
        assert screen.region.contains_region(widget.region), f"{widget!r} is outside the screen"
        assert parent.region.contains_region(widget.region), f"{widget!r} sticks out of {parent!r}"


async def test_a_letter_calls_and_the_button_comes_up_by_itself() -> None:
    bench = CardboardBench()
    app, screen = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("c")
        screen.advance(1000)
        assert bench.asked == [do.Operate("call-button", True), do.Operate("call-button", False)]


async def test_a_capital_holds_until_asked_again() -> None:
    bench = CardboardBench()
    app, screen = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("S")
        screen.advance(3000)
        assert bench.asked == [do.Operate("stop-button", True)]
        await pilot.press("S")
        screen.advance(10)
        assert bench.asked[1:] == [do.Operate("stop-button", False)]


async def test_digits_press_and_hold_the_five_keys() -> None:
    bench = CardboardBench()
    app, screen = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("1", "5")
        screen.advance(1000)
        assert bench.asked == [
            do.PressKey(Key.BACK, True),
            do.PressKey(Key.BACK, False),
            do.PressKey(Key.KEEP, True),
            do.PressKey(Key.KEEP, False),
        ]
        await pilot.press("0")
        screen.advance(2500)
        await pilot.press("0")
        assert bench.asked[4:] == [do.PressKey(Key.KEEP, True), do.PressKey(Key.KEEP, False)]


async def test_in_the_cabinet_arrows_and_enter_are_the_keys() -> None:
    bench = CardboardBench()
    app, screen = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        screen.query_one(Cabinet).focus()
        for key in ("left", "right", "down", "up", "enter"):
            await pilot.press(key)
            screen.advance(300)
        pressed = [action.key for action in bench.asked if isinstance(action, do.PressKey) and action.down]
        assert pressed == list(Key)


async def test_the_mouse_holds_a_key_for_as_long_as_it_is_down() -> None:
    bench = CardboardBench()
    app, screen = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        cap = screen.query(KeyCap).last()
        await pilot.mouse_down(cap)
        screen.advance(2500)
        await pilot.pause()
        assert cap.has_class("-down")
        assert "▸Keep◂" in text_of(app)
        await pilot.mouse_up(cap)
        await pilot.pause()
        assert bench.asked == [do.PressKey(Key.KEEP, True), do.PressKey(Key.KEEP, False)]


async def test_the_mouse_works_buttons_tools_and_footer() -> None:
    bench = CardboardBench()
    app, screen = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        await pilot.mouse_down(screen.query(Button).first())
        await pilot.mouse_up(screen.query(Button).first())
        screen.advance(400)
        assert bench.asked == [do.Operate("call-button", True), do.Operate("call-button", False)]
        await pilot.click("#reading", offset=(0, -2))
        await pilot.pause()
        assert "Volts between two points" in text_of(app)
        await pilot.press("escape")
        await pilot.click("FooterLine", offset=(2, 0))
        assert bench.asked[2:] == [do.Operate("call-button", True)]


async def test_the_other_hands_each_have_a_letter() -> None:
    bench = CardboardBench()
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("b", "b", "i", "i", "e", "e", "x", "t", "y")
        assert bench.asked == [
            do.Block("posts", True),
            do.Block("posts", False),
            do.Step(True),
            do.Step(False),
            do.Mains(False),
            do.Mains(True),
            do.PutAway(),
            do.TakeHint(),
        ]


async def test_the_meter_is_put_on_by_keyboard_alone() -> None:
    bench = CardboardBench()
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("m", *"vo", "enter", *"st", "down", "enter", *"com", "enter")
        await pilot.pause()
        assert bench.asked == [do.Probe("volts", "stop-button.1", "board.COM")]
        assert "24.0 V" in text_of(app)


async def test_keys_that_come_all_at_once_take_what_they_narrow() -> None:
    """No pause between letters, arrow and enter, as from fast fingers before a slow screen."""
    bench = CardboardBench()
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("m")
        for key in (*"volts", "enter", *"st", "down", "enter", *"com", "enter"):
            pilot.app.post_message(events.Key(key, key if len(key) == 1 else None))
        await pilot.pause()
        await pilot.pause()
        assert bench.asked == [do.Probe("volts", "stop-button.1", "board.COM")]


async def test_a_second_enter_after_the_last_answer_is_nobodys() -> None:
    bench = CardboardBench()
    app, screen = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("m", "enter", "enter")
        for _ in range(4):
            pilot.app.post_message(events.Key("enter", None))
        await pilot.pause()
        await pilot.pause()
        assert app.screen is screen
        assert sum(isinstance(action, do.Probe) for action in bench.asked) == 1


async def test_escape_goes_back_one_question_at_a_time() -> None:
    bench = CardboardBench()
    app, screen = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("m", "enter", "enter")
        assert "Black probe on" in text_of(app)
        await pilot.press("escape")
        assert "Red probe on" in text_of(app)
        await pilot.press("escape", "escape")
        assert app.screen is screen
        assert bench.asked == []


async def test_the_picker_leaves_the_yard_in_sight() -> None:
    app, _ = bench_app(CardboardBench(busy()))
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("m")
        assert matches(app, "picker-80x24")


async def test_what_hands_cannot_do_is_said_in_words() -> None:
    bench = CardboardBench()
    app, screen = bench_app(bench)
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await pilot.press("c")
        screen.advance(500)
        screen.act(do.Release("A", True))
        await pilot.pause()
        assert "Not possible: a leaf that" in text_of(app)
        assert "Needs: a leaf at rest." in text_of(app)
        await pilot.press("p")
        await pilot.pause()
        assert "no part button" in text_of(app)


async def test_a_caution_stands_in_for_the_job_sheet_for_as_long_as_it_holds() -> None:
    shot = replace(made(), meter=MeterView("ohms", "board.STOP", "board.COM", "OL", "This circuit is live."))
    bench = CardboardBench(shot)
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        assert "! Caution" in text_of(app)
        assert "This circuit is live." in text_of(app)
        await pilot.press("x")
        await pilot.pause()
        assert "! Caution" not in text_of(app)


async def test_time_is_paused_and_made_faster_from_the_keyboard() -> None:
    app, screen = bench_app(CardboardBench())
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("space")
        assert "paused" in text_of(app)
        await pilot.press("space", "+", "=")
        assert screen.pacer.speed == 16
        assert "×16" in text_of(app)
        await pilot.press("-")
        assert screen.pacer.speed == 4


async def test_on_to_the_next_thing_stops_where_something_happens() -> None:
    bench = CardboardBench()
    app, screen = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("c")
        screen.advance(1000)
        await pilot.press("n")
        await pilot.pause()
        assert not bench.snapshot().leaves[0].speed
        assert "Drives stop" in text_of(app)
        assert clock(bench.tick) in text_of(app)


async def test_the_clock_stands_while_something_is_read_and_goes_on_while_points_are_picked() -> None:
    bench = CardboardBench()
    app, screen = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("j")
        assert isinstance(app.screen, Reading)
        start = bench.tick
        screen.pacer.due = lambda: 100  # type: ignore[method-assign]  # a wall clock that always moves on
        screen._frame()
        assert bench.tick == start
        await pilot.press("escape", "m")
        start = bench.tick
        screen._frame()
        assert bench.tick > start


async def test_a_job_begins_with_its_sheet_and_its_caution() -> None:
    sheet = Sheet("A job", "Please do\nthis.", ("One thing.",), 5, caution="Mind the gap.")
    app, screen = bench_app(CardboardBench(), sheet)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        text = text_of(app)
        assert "Please do this." in text
        assert "□ One thing." in text
        assert "Caution: Mind the gap." in text
        await pilot.press("enter")
        assert app.screen is screen


async def test_a_hint_is_asked_for_and_appears_on_the_job_sheet() -> None:
    bench = CardboardBench()
    app, screen = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        assert SHEET.hints[0] not in text_of(app)
        await pilot.press("t", "n")
        screen.advance(20)
        assert bench.asked == []
        await pilot.press("t", "y")
        screen.advance(20)
        await pilot.pause()
        assert "Hint 1: Try" in text_of(app)
        await pilot.press("t")
        assert app.screen is screen
        assert bench.asked == [do.TakeHint()]


async def test_a_key_that_wants_to_be_held_says_how_when_it_is_only_pressed() -> None:
    bench = CardboardBench(replace(made(), key_words=("out", "", "shut", "open", "hold")))
    app, screen = bench_app(bench)

    def told() -> list[str]:
        return [notice.message for notice in screen.app._notifications]

    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("1")
        assert told() == []
        await pilot.press("3")
        assert told() == ["Less wants to be held down here: 8 does that, and lets it go again."]
        await pilot.press("5")
        assert told() == ["Keep wants to be held down here: 0 does that, and lets it go again."]


async def test_handing_over_asks_first_and_then_ends() -> None:
    bench = CardboardBench()
    app, screen = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("o", "escape")
        assert app.screen is screen
        await pilot.press("o", "enter")
        assert do.HandOver() not in bench.asked
        await pilot.press("n")
        assert app.screen is screen
        assert do.HandOver() not in bench.asked
        await pilot.press("o", "y")
        await pilot.pause()
        assert bench.finished
        assert app.answer is Parting.HANDED_OVER


async def test_leaving_asks_first_and_hands_nothing_over() -> None:
    bench = CardboardBench()
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("q", "n", "q", "y")
        await pilot.pause()
        assert app.answer is Parting.LEFT
        assert not bench.finished


async def test_the_drawer_says_that_the_run_is_no_longer_marked() -> None:
    bench = CardboardBench()
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("f")
        assert "the run is not marked" in " ".join(text_of(app).split())
        await pilot.press("n")
        assert bench.asked == []
        assert bench.snapshot().marked
        await pilot.press("f", "y")
        assert matches(app, "drawer-80x24")
        assert bench.asked == [do.OpenDrawer()]
        assert not bench.snapshot().marked, "who has read there what is wrong has not found it"
        await pilot.press("escape", "f")
        assert isinstance(app.screen, Drawer), "asked once"


async def test_the_drawer_puts_a_fault_in_and_mends_it() -> None:
    bench = CardboardBench()
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("f", "y", *"pa", "enter", *"2", "enter")
        await pilot.pause()
        assert bench.asked == [do.OpenDrawer(), do.Inject("parted-wire", "stop-2")]
        assert "not marked" in text_of(app)
        await pilot.press("f", *"me", "enter")
        assert bench.asked[2:] == [do.Mend("parted-wire", "stop-2")]


async def test_the_drawer_tells_what_a_kind_is_before_it_asks_where() -> None:
    app, _ = bench_app(CardboardBench())
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("f", "y", *"pa", "enter")
        await pilot.pause()
        about = app.screen.query_one(".about", Static)
        its = row(FaultKind.PARTED_WIRE)
        for sentence in (its.words, its.does, its.shows, its.mended):
            assert sentence in str(about.render())
        assert its.words in text_of(app)
        await pilot.press("escape")
        await pilot.pause()
        assert its.words not in text_of(app)


async def test_a_tired_joint_is_asked_its_ohms() -> None:
    bench = CardboardBench()
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("f", "y", *"ti", "enter", "enter")
        assert "how many ohms" in text_of(app)
        await pilot.press("enter")
        (fault,) = bench.faults()
        assert fault.amount > 0


async def test_the_mode_card_lies_over_a_small_bench_and_follows_it() -> None:
    bench = CardboardBench()
    app, screen = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("v")
        assert isinstance(app.screen, CardOver)
        await pilot.pause()
        assert "▶shut" in text_of(app)
        screen.act(do.Operate("call-button", True))
        screen.advance(100)
        await pilot.pause()
        assert "▶opening" in text_of(app)
        assert "[open]" in text_of(app)
        assert matches(app, "card-80x24")
        await pilot.press("v")
        await pilot.pause()
        assert "Set-up book" in text_of(app)
        assert "Leaf A waits, closing" in text_of(app)


async def test_on_a_large_screen_card_and_book_stand_beside_the_yard() -> None:
    app, screen = bench_app(CardboardBench())
    async with app.run_test(size=LARGE) as pilot:
        await pilot.pause()
        assert "▶shut" in text_of(app)
        await pilot.press("v")
        await pilot.pause()
        assert app.screen is screen
        assert matches(app, "book-120x40")


async def test_help_lists_the_keys_of_the_bench() -> None:
    app, _ = bench_app(CardboardBench())
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("question_mark")
        assert isinstance(app.screen, Help)
        assert matches(app, "help-80x24")
        await pilot.press("end")
        await pilot.pause()
        assert "qualifies nobody" in text_of(app)


async def test_tab_goes_round_the_panes() -> None:
    app, screen = bench_app(CardboardBench())
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        seen = []
        for _ in range(3):
            assert screen.focused is not None
            seen.append(type(screen.focused).__name__)
            await pilot.press("tab")
        assert sorted(seen) == ["Cabinet", "JobSheet", "Ticker"]


async def test_the_ticker_keeps_no_more_than_anybody_scrolls_back() -> None:
    app, screen = bench_app(CardboardBench())
    async with app.run_test(size=SMALL) as pilot:
        ticker = screen.query_one(Ticker)
        for number in range(KEPT + 50):
            ticker.add([ScanRecord(0, (), (), (), (Event(0, Sense.SEEN, f"line {number}"),))])
        await pilot.pause()
        assert f"line {KEPT + 49}" in text_of(app)
        assert len(ticker.lines) == KEPT


async def test_a_display_that_changes_and_changes_again_stands_once_in_the_ticker() -> None:
    app, screen = bench_app(CardboardBench())
    async with app.run_test(size=SMALL):
        ticker = screen.query_one(Ticker)
        for number in range(5):
            note = Note(number, NoteKind.DISPLAY, f"page {number}")
            lamp = [Event(number, Sense.SHOWN, "STOP lamp lights")] if number == 3 else []
            told = (*lamp, Event(number, Sense.SHOWN, f"page {number}"))
            ticker.add([ScanRecord(number, (), (), (note,), told)])
        assert [line.text for line in ticker.lines] == ["page 2", "STOP lamp lights", "page 4"]


async def test_the_ticker_scrolls_back_and_what_is_new_brings_it_to_its_end() -> None:
    app, screen = bench_app(CardboardBench())
    async with app.run_test(size=SMALL) as pilot:
        ticker = screen.query_one(Ticker)
        events = tuple(Event(number, Sense.SEEN, f"line {number}.") for number in range(30))
        ticker.add([ScanRecord(0, (), (), (), events)])
        ticker.focus()
        await pilot.press("home")
        assert "line 0." in text_of(app)
        await pilot.press("pagedown")
        assert "line 0." not in text_of(app)
        ticker.add([ScanRecord(0, (), (), (), (Event(0, Sense.SEEN, "the newest"),))])
        assert "the newest" in text_of(app)


async def test_under_each_key_stands_what_it_does_on_this_page() -> None:
    shot = replace(made(), key_words=("undo", "take", "−", "+", "take"))
    app, _ = bench_app(CardboardBench(shot))
    async with app.run_test(size=SMALL):
        caps, words = (line[45:] for line in text_of(app).splitlines()[5:7])
        assert caps.split() == ["Back", "Next", "Less", "More", "Keep"]
        assert words.split() == ["undo", "take", "−", "+", "take"]
        for cap, word in (("Back", "undo"), ("Next", "take"), ("Less", "−"), ("More", "+")):
            assert abs(caps.index(cap) + 2 - (words.index(word) + len(word) / 2)) <= 1


@pytest.mark.parametrize(
    ("use", "well", "word"),
    [("both", True, "well"), ("both", False, "amiss"), ("not fitted", False, "open")],
)
async def test_the_lamp_of_an_edge_does_not_call_a_pressed_edge_open(use: str, well: bool, word: str) -> None:
    """Pressed it reads about 0 ohm: what is wrong with it is told by the display."""
    edge = InputView("EDGE", 0.1, well)
    shot = replace(made(), inputs=(edge,), settings={**made().settings, "edge-use": use})
    app, _ = bench_app(CardboardBench(shot))
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        assert f"EDGE    {word}" in text_of(app)


async def test_work_of_the_hands_stands_in_the_ticker_and_presses_do_not() -> None:
    app, screen = bench_app(CardboardBench())
    async with app.run_test(size=SMALL):
        for action in (do.PartWire("stop-return"), do.Mains(False), do.PressKey(Key.NEXT, True)):
            screen.act(action)
        lines = screen.query_one(Ticker).lines
        assert [line.text for line in lines] == ["Undid stop return", "Switched the mains off"]
        assert lines[0].prefix.endswith(" › ")


async def test_a_new_notice_takes_the_place_of_the_one_before_and_waiting_costs_no_time() -> None:
    bench = CardboardBench()
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await pilot.pause()
        start = bench.tick
        await pilot.press("n", "n", "n", "p")
        await pilot.pause()
        assert bench.tick == start
        assert len(list(app.screen.app._notifications)) == 1
        assert "no part button" in text_of(app)
        await pilot.press("c")
        await pilot.pause()
        assert not list(app.screen.app._notifications), "hands have gone on: it is of no use any more"


async def test_a_key_is_answered_before_the_next_frame() -> None:
    bench = CardboardBench()
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        start = bench.tick
        await pilot.press("c")
        assert bench.tick == start + 10
        assert "Opening" in text_of(app)
        await pilot.press("space", "5")
        assert bench.tick == start + 10


async def test_a_gate_at_rest_repaints_nothing_of_the_yard(monkeypatch: pytest.MonkeyPatch) -> None:
    app, screen = bench_app(CardboardBench())
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        picture = screen.query_one(YardPicture)
        asked: list[Region] = []
        monkeypatch.setattr(picture, "refresh", lambda *regions: asked.extend(regions))
        for _ in range(10):
            screen.advance(30)
        assert asked == []
        screen.act(do.Operate("call-button", True))
        screen.advance(600)
        assert asked


async def test_a_board_without_supply_is_dark() -> None:
    app, _ = bench_app(CardboardBench(replace(made(), powered=False, mains=False)))
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        text = text_of(app)
        assert "dark: no supply" in text
        assert "Mains OFF" in text
        assert "Gate shut" not in text


async def test_a_small_toolbag_says_how_many_buttons_it_has_no_room_for() -> None:
    many = tuple(DeviceView(f"button-{number}", f"Button {number}", down=False) for number in range(7))
    app, _ = bench_app(CardboardBench(replace(made(), devices=many)))
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        assert "h 4 more" in text_of(app)
        assert "button 2" in text_of(app)
        assert "button 3" not in text_of(app)
        await pilot.resize_terminal(*LARGE)
        await pilot.pause()
        assert " more" not in text_of(app)
        assert "button 6" in text_of(app)
