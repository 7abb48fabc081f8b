"""The settings: the shipped table holds together, values stay in range, drafts change nothing until kept."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.board import drive_presets
from simgate.board.settings import Setting, Settings, Value
from simgate.board.settings_table import Kind, chapter_order, checked
from simgate.files import Document, UserError, line_of

MODES = {"Latch": False, "Self-close": True, "Hold-to-run": False}
SHIPPED = tuple(Settings(MODES).catalogue.values())
KEYS = [setting.key for setting in SHIPPED]

every_setting = pytest.mark.parametrize("setting", SHIPPED, ids=KEYS)


def fresh(**given_values: Value) -> Settings:
    return Settings(MODES, {key.replace("_", "-"): value for key, value in given_values.items()})


# The shipped table ---------------------------------------------------------------------------------


def test_the_chapters_come_in_the_order_of_the_book() -> None:
    assert chapter_order() == (
        "Gate", "Travel", "Calls", "Guards", "Line", "Remotes", "Outputs", "Learn", "Reset",
    )  # fmt: skip


def test_every_setting_that_the_board_relies_on_is_in_the_table() -> None:
    assert set(KEYS) == {
        "guard-test",
        "battery-low", "battery-low-below", "service-after", "passcode",
        "pre-warning", "warn-before", "light-use", "light-time", "lock-use", "lock-time", "release-stroke",
        "leaves", "leaf-delay-opening", "leaf-delay-closing", "sensing", "end-contacts", "end-open-a",
        "end-shut-a", "end-open-b", "end-shut-b", "drive", "speed-opening", "speed-closing", "soft-start",
        "slow-speed-a", "slow-length-a", "force-opening-a", "force-closing-a", "slow-speed-b",
        "slow-length-b", "force-opening-b", "force-closing-b", "run-on", "sensitivity", "re-tries",
        "part-width", "mode",
        "pause", "shut-soon", "part-opening", "guard-c-use", "input-filter", "lamp-use",
        "edge-use", "edge-pressed-below", "edge-broken-above",
    }  # fmt: skip


@every_setting
def test_every_setting_explains_itself(setting: Setting) -> None:
    for words in (setting.help.does, setting.help.look, setting.help.high, setting.help.low):
        assert words[0].isupper() or setting.kind is Kind.CHOICE
        assert words.endswith(".")


@every_setting
def test_every_value_fits_beside_its_mark_on_the_display(setting: Setting) -> None:
    assert max(len(setting.text(place)) for place in range(len(setting.options))) <= 18


@every_setting
def test_no_number_carries_floating_point_dust(setting: Setting) -> None:
    for place, value in enumerate(setting.options):
        if setting.kind is Kind.NUMBER:
            assert float(setting.plain(place)) == value
            assert len(setting.plain(place)) <= 4


@every_setting
def test_every_allowed_value_can_be_set_and_read_back(setting: Setting) -> None:
    settings = fresh()
    for value in setting.options:
        settings.change(setting.key, value)
        assert settings.values()[setting.key] == value
        if setting.kind is Kind.NUMBER:
            assert settings.number(setting.key) == value
        else:
            assert settings.choice(setting.key) == value


def test_the_board_comes_with_the_mode_that_moves_only_while_a_hand_holds_it() -> None:
    assert fresh().choice("mode") == "Hold-to-run"


def test_a_board_without_hold_to_run_falls_back_on_a_mode_that_does_not_shut_by_itself() -> None:
    assert Settings({"Self-close": True, "Latch": False}).choice("mode") == "Latch"


def test_speeds_and_forces_make_the_learn_stale_and_the_pause_does_not() -> None:
    settings = fresh()
    for key in ("speed-opening", "speed-closing", "slow-speed-a", "force-opening-a", "force-closing-a"):
        assert settings.stales(key)
    assert not settings.stales("pause")
    assert not settings.stales("mode")


def test_the_learn_is_fresh_again_when_the_force_is_put_back() -> None:
    settings = fresh()
    learned = settings.values()
    settings.change("pause", 30)
    assert settings.stale_since(learned) == ""
    settings.change("force-closing-a", 80)
    assert settings.stale_since(learned) == "force"
    settings.change("force-closing-a", learned["force-closing-a"])
    assert settings.stale_since(learned) == ""


# A table with mistakes -----------------------------------------------------------------------------

HELP = 'help = { does = "A.", look = "B.", high = "C.", low = "D." }'
GOOD = f"""chapters = ["Gate"]
[[setting]]
key = "mode"
name = "Mode"
chapter = "Gate"
kind = "choice"
choices-of = "modes"
default = "Latch"
{HELP}
[[setting]]
key = "width"
name = "Width"
chapter = "Gate"
unit = "m"
kind = "number"
range = [1, 3]
step = 0.5
default = 2
shown-when = {{ mode_closes_itself = true }}
{HELP}
"""


def table(text: str) -> Document:
    import tomllib

    return Document("table.toml", text, tomllib.loads(text))


def test_a_sound_table_is_taken() -> None:
    assert checked(table(GOOD), MODES)["width"].options == (1.0, 1.5, 2.0, 2.5, 3.0)


@pytest.mark.parametrize(
    ("was", "wrong", "where", "allowed"),
    [
        ("default = 2\n", "default = 2.2\n", "setting[2].default", "one of its own values"),
        ("step = 0.5", "step = 0.75", "setting[2].range", "a whole number of steps"),
        ("step = 0.5", "step = 0", "setting[2].range", "a whole number of steps"),
        ("range = [1, 3]", "range = [3, 1]", "setting[2].range", "a whole number of steps"),
        ('"Gate"\nunit', '"Gaet"\nunit', "setting[2].chapter", "did you mean 'Gate'?"),
        ('name = "Width"', f'name = "{"W" * 29}"', "setting[2].name", "1 to 28 characters"),
        ("{ mode_closes_itself = true }", "{ mod = 1 }", "setting[2].shown-when", "did you mean 'mode'?"),
        ("{ mode_closes_itself = true }", '{ mode = "Latsch" }', "setting[2].shown-when", "Latch"),
        (
            "{ mode_closes_itself = true }",
            "{ mode_closes_itself = 1 }",
            "setting[2].shown-when",
            "true or false",
        ),
        ('key = "width"', 'key = "mode"', "setting[1].key", "a key used once"),
        ('kind = "number"', 'kind = "numbr"', "setting[2].kind", "number, choice"),
        ('unit = "m"', 'units = "m"', "setting[2].units", "did you mean 'unit'?"),
    ],
)
def test_a_slip_in_the_table_is_refused_by_place(was: str, wrong: str, where: str, allowed: str) -> None:
    assert was in GOOD
    text = GOOD.replace(was, wrong)
    with pytest.raises(UserError) as refused:
        checked(table(text), MODES)
    problem = next(one for one in refused.value.problems if one.where == where)
    assert allowed in problem.allowed
    assert problem.line == line_of(text, ["setting", int(where[8]) - 1, where.split(".")[1]])


# Changing ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "value", "found", "allowed"),
    [
        ("force-opening-a", 53, "53 %", "10 to 100 % in steps of 5 %"),
        ("soft-start", 2.1, "2.1 s", "0 to 2 s in steps of 0.1 s"),
        ("pause", float("nan"), "nan s", "1 to 240 s in steps of 1 s"),
        ("pause", "20", "'20'", "1 to 240 s in steps of 1 s"),
        ("leaves", True, "true", "1 to 2 in steps of 1"),
        ("mode", "Lach", "'Lach'", "did you mean 'Latch'?"),
        ("sensitivity", 2, "2", "high, low, medium"),
        ("paus", 20, "no such setting", "did you mean 'pause'?"),
    ],
)
def test_a_value_that_is_not_allowed_is_refused_in_words(
    key: str, value: Value, found: str, allowed: str
) -> None:
    settings = fresh()
    before = settings.values()
    with pytest.raises(UserError) as refused:
        settings.change(key, value)
    (problem,) = refused.value.problems
    assert (problem.where, problem.found) == (key, found)
    assert problem.allowed.startswith(allowed)
    assert (settings.values(), settings.version) == (before, 0)


def test_all_wrong_values_given_at_the_start_are_reported_together() -> None:
    with pytest.raises(UserError) as refused:
        Settings(MODES, {"leaves": 3, "paus": 20, "pause": 20})
    assert [problem.where for problem in refused.value.problems] == ["leaves", "paus"]


def test_the_version_rises_only_when_something_changed() -> None:
    settings = fresh()
    settings.change("pause", 20)
    assert settings.version == 0
    settings.change("pause", 25)
    assert settings.version == 1


def test_it_knows_what_differs_and_goes_back_to_default() -> None:
    settings = fresh(pause=30, leaves=1, soft_start=0.3)
    assert settings.differs() == ("leaves", "soft-start", "pause")
    settings.reset()
    assert settings.differs() == ()
    assert settings.values() == fresh().values()


# Hidden and shown ----------------------------------------------------------------------------------


def test_everything_about_leaf_b_is_hidden_on_a_single_leaf() -> None:
    for chapter in ("Gate", "Travel"):
        one, two = ({each.key for each in fresh(leaves=leaves).chapter(chapter)} for leaves in (1, 2))
        assert one < two
        assert {key for key in two - one if not key.startswith("leaf-delay")} == {
            f"{key[:-1]}b" for key in one if key.endswith("-a")
        }


@pytest.mark.parametrize(("mode", "shown"), MODES.items())
def test_the_pause_is_shown_only_when_the_mode_shuts_by_itself(mode: str, shown: bool) -> None:
    assert fresh(mode=mode).shown("pause") is shown


def test_chapters_without_a_setting_are_left_out() -> None:
    assert fresh().chapters() == ("Gate", "Travel", "Calls", "Guards", "Outputs", "Reset")


# Drafts --------------------------------------------------------------------------------------------


def test_a_draft_changes_nothing_until_it_is_kept() -> None:
    settings = fresh()
    draft = settings.draft()
    draft.step("mode", -1)
    draft.step("leaves", -1)
    assert draft.shown("pause")
    assert not draft.shown("leaf-delay-opening")
    assert settings.differs() == ()
    assert draft.keep() == ("leaves", "mode")
    assert settings.differs() == ("leaves", "mode")
    assert draft.changed() == ()


def test_an_edit_that_is_taken_back_is_no_change() -> None:
    draft = fresh().draft()
    draft.step("pause", +1)
    draft.step("pause", -1)
    assert draft.changed() == ()


@given(st.lists(st.tuples(st.sampled_from(KEYS), st.integers(-300, 300)), max_size=30))
def test_a_draft_never_leaves_the_range(steps: list[tuple[str, int]]) -> None:
    settings = fresh()
    draft = settings.draft()
    for key, by in steps:
        draft.step(key, by)
    for setting in SHIPPED:
        assert draft.value(setting.key) in setting.options
    expected = draft.values()
    draft.keep()
    assert settings.values() == expected


@given(st.sampled_from(KEYS), st.one_of(st.integers(), st.floats(), st.text(), st.booleans()))
def test_any_value_is_either_set_or_refused(key: str, value: Value) -> None:
    settings = fresh()
    try:
        settings.change(key, value)
    except UserError:
        assert settings.differs() == ()
    else:
        assert settings.value(key) == value


def test_a_drive_preset_fills_the_draft_and_nothing_is_set_before_it_is_kept() -> None:
    settings = Settings(MODES)
    draft = settings.draft()
    for kind, preset in drive_presets.presets().items():
        draft.put("drive", draft.setting("drive").options.index(kind))
        assert {key: draft.value(key) for key in preset} == preset
        assert settings.differs() == ()
    draft.put("drive", 0)
    assert draft.changed() == ()
    draft.put("drive", draft.setting("drive").options.index("hydraulic-ram"))
    draft.step("speed-opening", -2)
    assert {"drive", "speed-opening", "force-closing-b"} <= set(draft.keep())
    assert settings.number("speed-opening") == 90
    assert settings.number("force-closing-b") == 60


def test_the_setting_offers_every_preset_and_leaving_all_as_it_is() -> None:
    options = Settings(MODES).setting("drive").options
    assert options == (drive_presets.AS_SET, *drive_presets.presets())
