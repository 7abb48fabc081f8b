"""The set-up book: five keys, two lines, and nothing that acts without a key being down.

Longer than most test files because every test, the storms too, works the book through the one `Bench`.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.board import drive_presets
from simgate.board.book import HELD, HELD_OUT, KEYS, Book
from simgate.board.book_words import LINES, Page
from simgate.board.display import WIDTH
from simgate.board.settings import Settings, Value
from simgate.board.stimuli import Key, Way

MODES = {"Latch": False, "Self-close": True, "Hold-to-run": False}
BATTERY = ("battery-low", "battery-low-below")
KEYS_OF = Settings(MODES).catalogue
BACK, NEXT, LESS, MORE, KEEP = Key.BACK, Key.NEXT, Key.LESS, Key.MORE, Key.KEEP


class Bench:
    """A book with a host that writes down what it was asked, and a hand that presses its keys."""

    def __init__(self, **given_values: Value) -> None:
        self.settings = Settings(MODES, {key.replace("_", "-"): value for key, value in given_values.items()})
        self.asked: list[tuple[str, ...]] = []
        self.refusal = ""
        self.now = 0
        self.book = Book(self.settings, self)

    # the host
    def counts(self) -> tuple[int, int]:
        return 1204, 204

    def service_done(self, tick: int) -> None:
        self.asked.append(("service done",))

    def start_learn(self, tick: int) -> str:
        self.asked.append(("learn", str(tick)))
        return self.refusal

    def jog(self, leaf: int, way: Way | None, tick: int) -> str:
        self.asked.append(("jog", "AB"[leaf], way.name if way else "stop"))
        return self.refusal if way else ""

    def setting_kept(self, key: str, value: str, tick: int) -> None:
        self.asked.append(("kept", key, value))

    def reset_done(self, tick: int) -> None:
        self.asked.append(("reset",))

    # the hand
    def tap(self, *keys: Key) -> tuple[str, str]:
        """Press and let go each key; the lines that then stand."""
        for key in keys:
            self.down(key)
            self.up(key)
        return self.book.lines()

    def down(self, key: Key) -> None:
        self.now += 10
        self.book.press(key, self.now)

    def up(self, key: Key, after: int = 50) -> None:
        self.wait(after)
        self.book.release(key, self.now)

    def wait(self, ms: int) -> None:
        for _ in range(ms // 10):
            self.now += 10
            self.book.tick(self.now)

    def turn_to(self, *place: str) -> tuple[str, str]:
        """Open the book and walk to a chapter and an item of it."""
        if not self.book.open:
            self.tap(NEXT)
        while self.book.place() != (place[0],):
            before = self.book.place()
            self.tap(MORE)
            assert self.book.place() != before, f"no {place[0]} in the book"
        if len(place) > 1:
            self.tap(NEXT)
            while self.book.place() != place:
                before = self.book.place()
                self.tap(MORE)
                assert self.book.place() != before, f"no {place} in the book"
        return self.book.lines()


def test_every_key_is_written_on_every_page() -> None:
    assert set(KEYS) == set(LINES) == set(Page)
    assert all(set(row) == set(Key) for row in KEYS.values())
    assert set(HELD_OUT) <= set(HELD)


# Opening, walking, leaving -------------------------------------------------------------------------


@pytest.mark.parametrize("key", [NEXT, KEEP])
def test_next_and_keep_open_the_book_at_its_chapters(key: Key) -> None:
    bench = Bench()
    assert bench.tap(key) == ("Set-up book", "Chapter 1 of 9: Gate")
    assert bench.book.place() == ("Gate",)


@pytest.mark.parametrize("key", [BACK, LESS, MORE])
def test_the_other_keys_leave_the_book_shut(key: Key) -> None:
    bench = Bench()
    assert bench.tap(key) == ("", "")
    assert not bench.book.open


def test_less_and_more_walk_the_chapters_round() -> None:
    """Learn is where an installer goes most, and last but one: two presses back, not seven on.

    Going round puts Reset one press from the first chapter; it is entered, held and confirmed all the same.
    """
    bench = Bench()
    bench.tap(NEXT)
    seen = [bench.tap(MORE)[1].split(": ")[1] for _ in range(9)]
    assert seen == [
        "Travel", "Calls", "Guards", "Line", "Remotes", "Outputs", "Learn", "Reset", "Gate",
    ]  # fmt: skip
    assert bench.tap(LESS, LESS) == ("Set-up book", "Chapter 8 of 9: Learn")
    assert bench.tap(*[LESS] * 7) == ("Set-up book", "Chapter 1 of 9: Gate")


def test_the_places_of_a_chapter_end_at_its_ends() -> None:
    """Whoever keeps a key down comes to a halt at the last, and sees that it is."""
    bench = Bench()
    bench.turn_to("Learn", "jog-a")
    bench.tap(*[MORE] * 9)
    assert bench.book.place() == ("Learn", bench.book.items("Learn")[-1])
    bench.tap(*[LESS] * 9)
    assert bench.book.place() == ("Learn", "jog-a")


def test_back_goes_out_step_by_step() -> None:
    bench = Bench()
    bench.turn_to("Travel", "slow-speed-a")
    bench.tap(NEXT)
    bench.tap(BACK)
    assert bench.book.place() == ("Travel", "slow-speed-a")
    bench.tap(BACK)
    assert bench.book.place() == ("Travel",)
    bench.tap(BACK)
    assert bench.book.place() == ()


@pytest.mark.parametrize("key", list(Settings(MODES).catalogue))
def test_every_setting_can_be_walked_through_its_whole_range_by_keys(key: str) -> None:
    needs = Settings(MODES).setting(key).shown_when
    bench = Bench(**{"mode": "Self-close"} | {fact: any_of[0] for fact, any_of in needs if fact in KEYS_OF})
    setting = bench.settings.setting(key)
    lines = bench.turn_to(setting.chapter, key)
    assert lines == (setting.name, bench.settings.text(key))
    bench.tap(NEXT, *[LESS] * len(setting.options))
    seen = [bench.tap(MORE)[1].strip("<> ") for _ in setting.options[1:]]
    assert seen == [setting.text(place) for place in range(1, len(setting.options))]
    place = len(setting.options) - 1
    if place == bench.settings.place(key):
        bench.tap(LESS)
        place -= 1
    bench.tap(KEEP, BACK, BACK)
    assert bench.book.lines()[0] == "Keep the changes?"
    bench.tap(KEEP)
    assert bench.settings.value(key) == setting.options[place]
    told = "changed" if key == "passcode" else setting.plain(place)  # whoever looks on is not to read it
    others = drive_presets.presets()["rack"] if key == drive_presets.KEY else {}  # a preset brings its values
    assert [asked for asked in bench.asked if asked[1] not in others] == [("kept", key, told)]


# Changing ------------------------------------------------------------------------------------------


def test_an_opened_setting_shows_which_ways_it_can_go() -> None:
    bench = Bench()
    bench.turn_to("Guards", "sensitivity")
    assert bench.tap(NEXT) == ("Set Obstacle sensitivity", "< medium >")
    assert bench.tap(MORE) == ("Set Obstacle sensitivity", "< high")
    assert bench.tap(MORE) == ("Set Obstacle sensitivity", "< high")
    assert bench.tap(LESS, LESS) == ("Set Obstacle sensitivity", "  low >")


@pytest.mark.parametrize("key", [NEXT, KEEP])
def test_a_taken_value_waits_in_the_draft(key: Key) -> None:
    bench = Bench()
    bench.turn_to("Travel", "force-closing-a")
    assert bench.tap(NEXT, MORE, key) == ("Force A, closing", "50 %, not kept yet")
    assert bench.settings.differs() == ()


def test_back_puts_the_value_as_it_was_in_the_draft() -> None:
    bench = Bench()
    bench.turn_to("Travel", "force-closing-a")
    bench.tap(NEXT, MORE, KEEP)
    assert bench.tap(NEXT, MORE, MORE, BACK) == ("Force A, closing", "50 %, not kept yet")


def test_a_held_key_runs_the_value_on_after_half_a_second() -> None:
    bench = Bench(mode="Self-close")
    bench.turn_to("Calls", "pause")
    bench.tap(NEXT)
    bench.down(MORE)
    assert bench.book.due(bench.now) == bench.now + 500
    bench.wait(490)
    assert "21 s" in bench.book.lines()[1]
    bench.wait(10)
    assert "22 s" in bench.book.lines()[1]
    bench.wait(300)
    bench.up(MORE)
    assert "24 s" in bench.book.lines()[1]
    assert bench.book.due(bench.now) is None
    bench.wait(1000)
    assert "24 s" in bench.book.lines()[1]


def test_a_held_key_is_no_longer_due_at_the_end_of_the_range() -> None:
    bench = Bench()
    bench.turn_to("Guards", "sensitivity")
    bench.tap(NEXT)
    bench.down(MORE)
    bench.wait(500)
    assert bench.book.due(bench.now) is None


def test_leaving_with_changes_asks_and_back_drops_them() -> None:
    bench = Bench()
    bench.turn_to("Travel", "slow-length-a")
    assert bench.tap(NEXT, MORE, KEEP, BACK, BACK) == ("Keep the changes?", "Keep: keep   Back: drop")
    bench.tap(LESS, MORE, NEXT)
    assert bench.book.lines()[0] == "Keep the changes?"
    bench.tap(BACK)
    assert not bench.book.open
    assert (bench.settings.differs(), bench.asked) == ((), [])


def test_leaving_without_changes_does_not_ask() -> None:
    bench = Bench()
    bench.turn_to("Travel", "slow-length-a")
    bench.tap(NEXT, MORE, LESS, KEEP, BACK, BACK)
    assert not bench.book.open


def test_a_power_cut_drops_the_draft() -> None:
    bench = Bench()
    bench.turn_to("Travel", "slow-length-a")
    bench.tap(NEXT, MORE, KEEP)
    bench.book.leave()
    assert bench.turn_to("Travel", "slow-length-a") == ("Slow length, leaf A", "20 %")


def test_a_key_that_is_already_down_cannot_be_pressed_again() -> None:
    bench = Bench()
    bench.turn_to("Travel", "slow-length-a")
    bench.tap(NEXT)
    bench.down(MORE)
    bench.down(MORE)
    assert bench.book.lines()[1] == "< 25 % >"


def test_the_key_that_shut_the_book_must_come_up_before_it_opens_it() -> None:
    bench = Bench()
    bench.turn_to("Travel", "slow-length-a")
    bench.tap(NEXT, MORE, KEEP, BACK, BACK)
    bench.down(KEEP)
    bench.down(KEEP)
    assert not bench.book.open
    bench.up(KEEP)
    bench.down(KEEP)
    assert bench.book.open


# Hidden and shown ----------------------------------------------------------------------------------


def test_one_leaf_in_the_draft_hides_leaf_b_at_once() -> None:
    bench = Bench()
    bench.turn_to("Gate", "leaves")
    assert {"leaf-delay-opening", "end-shut-a", "end-shut-b"} < set(bench.book.items("Gate"))
    bench.tap(NEXT, LESS, KEEP)
    assert bench.book.items("Gate") == (
        "leaves",
        "sensing",
        "end-contacts",
        "end-open-a",
        "end-shut-a",
        "drive",
    )
    assert bench.book.items("Learn") == ("jog-a", "learn-cycle")
    assert bench.settings.number("leaves") == 2


def test_the_pause_appears_with_a_mode_that_shuts_by_itself() -> None:
    bench = Bench()
    bench.turn_to("Calls", "mode")
    assert bench.book.items("Calls") == ("mode", "part-opening", "part-width", *BATTERY)
    bench.tap(NEXT, LESS, KEEP)
    assert bench.book.items("Calls") == ("mode", "pause", "shut-soon", "part-opening", "part-width", *BATTERY)


def test_a_setting_that_was_hidden_meanwhile_gives_way_to_the_first() -> None:
    bench = Bench()
    bench.turn_to("Gate", "leaf-delay-closing")
    bench.settings.change("leaves", 1)
    bench.tap(MORE)
    assert bench.book.place() == ("Gate", "leaves")


# Jog -----------------------------------------------------------------------------------------------


def test_jog_runs_only_while_a_key_is_held() -> None:
    bench = Bench()
    bench.turn_to("Learn", "jog-a")
    assert bench.tap(NEXT) == ("Jog leaf A: keep people clear", "More opens, Less shuts")
    bench.down(MORE)
    assert bench.book.lines()[1] == "Opening"
    bench.up(MORE)
    bench.down(LESS)
    assert bench.book.lines()[1] == "Shutting"
    bench.up(LESS)
    assert bench.asked == [
        ("jog", "A", "OPENING"),
        ("jog", "A", "stop"),
        ("jog", "A", "CLOSING"),
        ("jog", "A", "stop"),
    ]
    assert bench.book.lines()[1] == "More opens, Less shuts"


def test_leaf_b_has_its_own_jog_on_a_double_gate() -> None:
    bench = Bench()
    bench.turn_to("Learn", "jog-b")
    bench.tap(NEXT, MORE)
    assert bench.asked == [("jog", "B", "OPENING"), ("jog", "B", "stop")]


@pytest.mark.parametrize("other", [BACK, NEXT, LESS, KEEP])
def test_a_second_key_stops_the_jog_and_starts_nothing(other: Key) -> None:
    bench = Bench()
    bench.turn_to("Learn", "jog-a")
    bench.tap(NEXT)
    bench.down(MORE)
    bench.down(other)
    assert bench.asked == [("jog", "A", "OPENING"), ("jog", "A", "stop")]
    bench.up(other)
    bench.up(MORE)
    assert len(bench.asked) == 2


def test_a_refused_jog_shows_why() -> None:
    bench = Bench()
    bench.turn_to("Learn", "jog-a")
    bench.refusal = "STOP is open"
    bench.tap(NEXT)
    bench.down(MORE)
    assert bench.book.lines() == ("Jog leaf A: keep people clear", "STOP is open")
    bench.up(MORE)
    assert bench.asked == [("jog", "A", "OPENING")]


def test_a_jog_that_the_board_ended_waits_for_a_fresh_press() -> None:
    bench = Bench()
    bench.turn_to("Learn", "jog-a")
    bench.tap(NEXT)
    bench.down(MORE)
    bench.book.jog_ended("STOP is open")
    bench.wait(1000)
    assert bench.book.lines()[1] == "STOP is open"
    bench.up(MORE)
    assert bench.asked == [("jog", "A", "OPENING")]


# Learn ---------------------------------------------------------------------------------------------


def test_the_learn_cycle_starts_after_keep_was_held_two_seconds() -> None:
    bench = Bench()
    bench.turn_to("Learn", "learn-cycle")
    assert bench.tap(NEXT) == ("Gate shut, people clear?", "Hold Keep for 2 seconds")
    bench.down(KEEP)
    start = bench.now
    assert bench.book.lines()[1] == "Keep holding: 2 s"
    bench.wait(1990)
    assert bench.book.lines()[1] == "Keep holding: 1 s"
    assert bench.asked == []
    bench.wait(10)
    assert bench.asked == [("learn", str(start + 2000))]
    assert not bench.book.open


def test_a_key_let_go_in_the_scan_in_which_it_was_due_has_been_held_long_enough() -> None:
    bench = Bench()
    bench.turn_to("Learn", "learn-cycle")
    bench.tap(NEXT)
    bench.book.press(KEEP, 10_000)
    bench.book.release(KEEP, 12_000)
    assert bench.asked == [("learn", "12000")]


def test_letting_go_early_starts_nothing() -> None:
    bench = Bench()
    bench.turn_to("Learn", "learn-cycle")
    bench.tap(NEXT)
    bench.down(KEEP)
    bench.up(KEEP, after=1980)
    bench.wait(5000)
    assert bench.asked == []
    assert bench.book.lines()[1] == "Hold Keep for 2 seconds"


def test_another_key_breaks_the_count() -> None:
    bench = Bench()
    bench.turn_to("Learn", "learn-cycle")
    bench.tap(NEXT)
    bench.down(KEEP)
    bench.wait(1500)
    bench.tap(MORE)
    bench.wait(5000)
    assert bench.asked == []


def test_a_refused_learn_shows_why_and_any_key_goes_on() -> None:
    bench = Bench()
    bench.turn_to("Learn", "learn-cycle")
    bench.refusal = "GUARD-C is open"
    bench.tap(NEXT)
    bench.down(KEEP)
    bench.up(KEEP, after=2500)
    assert bench.book.lines() == ("No learn cycle", "GUARD-C is open")
    bench.tap(BACK)
    assert bench.book.place() == ("Learn", "learn-cycle")


@pytest.mark.parametrize(("answer", "kept"), [(KEEP, [("kept", "slow-length-a", "25")]), (BACK, [])])
def test_an_unsaved_draft_is_asked_about_before_learn(answer: Key, kept: list[tuple[str, ...]]) -> None:
    bench = Bench()
    bench.turn_to("Travel", "slow-length-a")
    bench.tap(NEXT, MORE, KEEP, BACK)
    bench.turn_to("Learn", "learn-cycle")
    assert bench.tap(NEXT)[0] == "Keep the changes?"
    assert bench.tap(answer)[0] == "Gate shut, people clear?"
    assert bench.asked == kept


def test_the_answer_does_not_count_as_holding_keep() -> None:
    bench = Bench()
    bench.turn_to("Travel", "slow-length-a")
    bench.tap(NEXT, MORE, KEEP, BACK)
    bench.turn_to("Learn", "learn-cycle")
    bench.tap(NEXT)
    bench.down(KEEP)
    bench.wait(5000)
    assert ("learn", str(bench.now)) not in bench.asked
    assert [what for what, *_ in bench.asked] == ["kept"]


def test_dropping_the_second_leaf_takes_its_jog_away() -> None:
    bench = Bench(leaves=1)
    bench.turn_to("Gate", "leaves")
    bench.tap(NEXT, MORE, KEEP, BACK)
    bench.turn_to("Learn", "jog-b")
    bench.tap(NEXT, BACK)
    assert bench.book.place() == ("Learn", "jog-a")
    assert bench.tap(MORE) == ("Learn", "Learn cycle")


# Reset ---------------------------------------------------------------------------------------------


def test_reset_says_how_many_settings_differ_asks_and_does_it() -> None:
    bench = Bench(pause=30, leaves=1, mode="Latch")
    bench.turn_to("Reset", "back-to-default")
    assert bench.tap(NEXT) == ("3 settings differ", "Hold Keep 2 s: back to default")
    bench.down(KEEP)
    bench.up(KEEP, after=2100)
    assert bench.book.lines() == ("Back to default?", "Keep: yes   Back: no")
    assert len(bench.settings.differs()) == 3
    bench.tap(KEEP)
    assert bench.settings.differs() == ()
    assert bench.asked == [("reset",)]
    bench.tap(BACK)
    assert bench.tap(NEXT) == ("Nothing differs from default", "")


def test_reset_can_be_thought_better_of() -> None:
    bench = Bench(pause=30)
    bench.turn_to("Reset", "back-to-default")
    assert bench.tap(NEXT)[0] == "1 setting differs"
    bench.down(KEEP)
    bench.up(KEEP, after=2100)
    bench.tap(BACK)
    assert (bench.settings.number("pause"), bench.asked) == (30, [])


def test_nothing_to_reset_counts_nothing() -> None:
    bench = Bench()
    bench.turn_to("Reset", "back-to-default")
    bench.tap(NEXT)
    bench.down(KEEP)
    assert bench.book.due(bench.now) is None


# Storms --------------------------------------------------------------------------------------------

JOG_A = (NEXT, *[MORE] * 5, NEXT, NEXT)
EDITED = (NEXT, MORE, NEXT, NEXT, MORE, KEEP, BACK)  # a changed draft, at the chapters
LEARN_ASKED = (*EDITED, *[MORE] * 4, NEXT, MORE, MORE, NEXT)
RESETTING = (NEXT, *[MORE] * 6, NEXT, NEXT)
STARTS = {
    "shut": (), "change": (NEXT, NEXT, NEXT), "jog": JOG_A, "edited": EDITED, "asked": LEARN_ASKED,
    "reset": RESETTING,
}  # fmt: skip
Move = tuple[Key, str, int]
KEYS_IN_USE = [*Key, LESS, MORE, MORE, KEEP, KEEP]  # weighted, so that storms get past the first pages
HOWS = ["tap", "down", "up"]
WAITS = [0, 40, 510, 1990, 2000, 2600]  # about the edges at which a held key acts
moves = st.tuples(st.sampled_from(KEYS_IN_USE), st.sampled_from(HOWS), st.sampled_from(WAITS))
storms = st.lists(moves, min_size=4, max_size=60)
starts = st.sampled_from(tuple(STARTS.values()))


def do(bench: Bench, move: Move) -> None:
    """One movement of the hand, without the time that follows a press."""
    key, how, ms = move
    if how != "up":
        bench.down(key)
    if how == "tap":
        bench.wait(ms)
    if how != "down":
        bench.up(key, 0)


@given(starts, storms, st.sampled_from(["", "STOP is open", "leaf A draws no current: look at its motor"]))
@settings(max_examples=200)
def test_no_storm_of_keys_breaks_the_book(start: tuple[Key, ...], storm: list[Move], refusal: str) -> None:
    bench = Bench(pause=30)
    bench.tap(*start)
    bench.refusal = refusal
    for move in storm:
        before, version, kept = bench.book.lines(), bench.settings.version, len(bench.asked)
        do(bench, move)
        if bench.settings.version != version:
            assert move[0] is KEEP
            assert before[0] in ("Keep the changes?", "Back to default?")
            assert {what for what, *_ in bench.asked[kept:]} & {"kept", "reset"}
        version = bench.settings.version
        bench.wait(move[2])
        assert bench.settings.version == version, "a setting changed with no key pressed"
        assert all(len(line) <= WIDTH for line in bench.book.lines())
        assert bench.book.open is (bench.book.lines() != ("", ""))
        assert len({bench.book.state()}) == 1, "the state is plain values"
    for setting in bench.settings.catalogue.values():
        assert bench.settings.value(setting.key) in setting.options
    jogs = [entry[2] == "stop" for entry in bench.asked if entry[0] == "jog"]
    if not refusal:
        assert all(one is not after for one, after in pairwise(jogs)), "a jog that was not stopped"


@given(starts, storms)
@settings(max_examples=100)
def test_going_from_due_to_due_equals_going_tick_by_tick(start: tuple[Key, ...], storm: list[Move]) -> None:
    stepped, skipped = Bench(pause=30), Bench(pause=30)
    for bench in (stepped, skipped):
        bench.tap(*start)
    for key, how, ms in storm:
        for bench in (stepped, skipped):
            (bench.up if how == "up" else bench.down)(key)
        stepped.wait(ms)
        end = skipped.now + ms
        while (due := skipped.book.due(skipped.now)) is not None and due <= end:
            skipped.now = due
            skipped.book.tick(due)
        skipped.now = end
        assert stepped.book.state() == skipped.book.state()
        assert stepped.asked == skipped.asked


@given(starts, storms)
@settings(max_examples=100)
def test_with_every_key_up_nothing_is_due_or_moving(start: tuple[Key, ...], storm: list[Move]) -> None:
    bench = Bench(pause=30)
    bench.tap(*start)
    for move in storm:
        do(bench, move)
    for key in Key:
        bench.up(key)
    assert bench.book.due(bench.now) is None
    jogs = [entry[2] for entry in bench.asked if entry[0] == "jog"]
    assert jogs[-1:] in ([], ["stop"])
