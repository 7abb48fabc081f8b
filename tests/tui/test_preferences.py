"""Preferences: the file read with care, keys remapped everywhere they are shown, themes, motion, pictures."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.content import Content

from simgate.files import UserError
from simgate.tui.app import SimgateApp
from simgate.tui.commands import COMMANDS, Place, footer
from simgate.tui.keys import Keymap, cap, normal
from simgate.tui.panes.hanging import plain
from simgate.tui.picture_file import save_picture
from simgate.tui.preferences import Motion, Preferences, load, save
from simgate.tui.screens.bench import BenchScreen
from simgate.tui.screens.help import help_lines
from simgate.tui.screens.preferences import PreferencesScreen
from simgate.tui.screens.reading import Reading
from simgate.tui.themes import THEMES, TITLES
from tests.tui.stage import SMALL, matches, still, text_of


def written(folder: Path, text: str) -> Path:
    """A preferences file."""
    path = folder / "preferences.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_without_a_file_the_defaults_hold(tmp_path: Path) -> None:
    assert load(tmp_path / "none.toml") == Preferences("dusk", Motion.FULL, Keymap())


def test_a_file_chooses_theme_motion_and_keys(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        'theme = "noon"\nmotion = "reduced"\n[keys]\ncall = "k"\npause = ["f5", "."]\nscan = "ctrl+k"\n',
    )
    chosen = load(path)
    assert (chosen.theme, chosen.motion) == ("noon", Motion.REDUCED)
    assert chosen.keymap.keys == {"call": ("k",), "pause": ("f5", "full_stop"), "scan": ("ctrl+k",)}


def test_two_commands_may_change_places(tmp_path: Path) -> None:
    chosen = load(written(tmp_path, '[keys]\ncall = "s"\nstop = "c"\n'))
    assert chosen.keymap.keys == {"call": ("s",), "stop": ("c",)}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('theme = "dsuk"\n', "1: theme: found 'dsuk'; allowed: dusk, noon, high-contrast, no-colour"),
        ('motion = "some"\n', "1: motion: found 'some'; allowed: full, reduced"),
        ('colour = "red"\n', "1: colour: found an unknown key"),
        ('[keys]\ncal = "k"\n', "2: keys.cal: found no such command; allowed: did you mean 'call'?"),
        ('[keys]\ncall = "s"\n', "2: keys.call: found the key s, which 'stop' (STOP) has too"),
        ('[keys]\ncall = "enter"\n', "the key enter, which 'cabinet-keep' (Keep) has too"),
        ('[keys]\ncall = "K"\npart = "K"\n', "3: keys.part: found the key K, which 'call' (Call) has too"),
        ('[keys]\ncall = "ctrl+q"\n', "'quit-now' (Leave simgate) has too"),
        ('[keys]\nyes = "n"\n', "'no' (No) has too"),
        ('[keys]\ncall = "flick"\n', "found 'flick'; allowed: one character, a key by name"),
        ('[keys]\ncall = "hyper+k"\n', "found 'hyper+k'"),
        ('[keys]\ncall = "shift+k"\n', "found 'shift+k'"),
        ('[keys]\ncall = ""\n', "found ''"),
        ('[keys]\ncall = []\n', "found no key; allowed: at least one"),
        ('[keys]\ncall = "ctrl+i"\n', "another key: terminals send it as tab"),
        ('[keys]\ncall = "tab"\n', "another key: it goes from pane to pane"),
        ('[keys]\ncall = 3\n', "2: keys.call: found 3"),
        ("[keys\n", "TOML"),
        ('theme = "x"\n[keys]\ncal = "k"\npart = "flick"\n', "4: keys.part"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_its_line(tmp_path: Path, text: str, words: str) -> None:
    with pytest.raises(UserError) as caught:
        load(written(tmp_path, text))
    assert words in str(caught.value)


def test_a_folder_in_the_place_of_the_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(UserError, match="directory"):
        load(tmp_path)


@given(st.text(max_size=12))
def test_any_text_is_a_key_or_is_none_and_never_raises(text: str) -> None:
    key = normal(text)
    if key is not None:
        assert normal(key) == key or not text.isascii()
        assert cap(key)


def test_every_default_key_could_be_written_in_the_file_and_none_conflicts(tmp_path: Path) -> None:
    lines = [f"{command.id} = {command.key.split(',')}" for command in COMMANDS]
    keymap = load(written(tmp_path, "[keys]\n" + "\n".join(lines) + "\n")).keymap
    assert all(keymap.of(command) == tuple(command.key.split(",")) for command in COMMANDS)


def test_the_first_file_lists_every_command_with_its_key_ready_to_be_changed(tmp_path: Path) -> None:
    path = tmp_path / "preferences.toml"
    save(path, {"theme": "noon"})
    assert load(path) == Preferences("noon")
    lines = [line.removeprefix("# ") if " = " in line else line for line in path.read_text().splitlines()]
    path.write_text("\n".join(lines) + "\n")
    keymap = load(path).keymap
    assert dict(keymap.keys) == {command.id: tuple(command.key.split(",")) for command in COMMANDS}


def test_saving_keeps_comments_and_keys(tmp_path: Path) -> None:
    path = written(tmp_path, '# mine\ntheme = "noon"  # by day\n\n[keys]\n# theme = "x"\ncall = "k"\n')
    save(path, {"theme": "dusk", "motion": "reduced"})
    text = path.read_text()
    assert "# mine\n" in text
    assert '# theme = "x"\n' in text
    chosen = load(path)
    assert (chosen.theme, chosen.motion) == ("dusk", Motion.REDUCED)
    assert chosen.keymap.keys == {"call": ("k",)}
    assert [one.name for one in tmp_path.iterdir()] == ["preferences.toml"]


def test_a_file_that_cannot_be_written_is_told_and_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = written(tmp_path, 'theme = "noon"\n')

    def full(*_: object, **__: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_text", full)
    with pytest.raises(UserError, match="No space left on device; allowed: a file that can be written"):
        save(path, {"theme": "dusk"})
    assert path.read_text() == 'theme = "noon"\n'


def test_help_and_footer_show_the_remapped_keys() -> None:
    keymap = Keymap({"call": ("f5",), "key-back": ("left_square_bracket",), "help": ("exclamation_mark",)})
    text = plain(help_lines(Place.BENCH, keymap))
    assert " f5       Call: " in text
    assert " [        Press Back: " in text
    assert " !        Help: " in text
    shown = Content.from_markup(footer(Place.BENCH, keymap.caps())).plain
    assert shown.startswith("f5 Call  s STOP  […")
    assert "! Help" in shown


async def test_remapped_keys_work_and_the_old_ones_do_not(tmp_path: Path) -> None:
    path = written(tmp_path, '[keys]\ncall = "k"\nsheet = "J"\nclose = "x"\ndrawer = "T"\n')
    app = SimgateApp("first-learn", tapes=tmp_path / "t", pacer=still, chosen=load(path), chosen_in=path)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("enter")
        screen = app.screen
        assert isinstance(screen, BenchScreen)
        await pilot.press("c", "j")
        assert isinstance(app.screen, BenchScreen)
        assert not any(device.down for device in screen.runner.bench.snapshot().devices)
        await pilot.press("k")
        shot = screen.runner.bench.snapshot()
        assert [device.name for device in shot.devices if device.down] == ["call-button"]
        assert "k Call" in text_of(app)
        await pilot.press("J")
        assert isinstance(app.screen, Reading)
        await pilot.press("x")
        assert isinstance(app.screen, BenchScreen)
        titles = [command.title for command in app.get_system_commands(screen)]
        assert "Call  (k)" in titles
        await pilot.press("q", "y")
        await pilot.pause()
        assert "Trainer: T at the Bench" in text_of(app)


async def test_preferences_are_chosen_seen_at_once_and_kept(tmp_path: Path) -> None:
    path = tmp_path / "config" / "preferences.toml"
    app = SimgateApp(tapes=tmp_path, chosen_in=path)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("comma")
        assert isinstance(app.screen, PreferencesScreen)
        await pilot.press("down", "enter")
        assert app.theme == "noon"
        await pilot.press("down", "down", "enter")
        assert app.theme == "no-colour"
        assert app.no_color
        await pilot.press("down", "down", "enter")
        assert app.animation_level == "none"
        assert "● No colour" in text_of(app)
        await pilot.press("escape")
    chosen = load(path)
    assert (chosen.theme, chosen.motion) == ("no-colour", Motion.REDUCED)


async def test_preferences_read_well(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    app = SimgateApp(tapes=tmp_path, chosen_in=Path("preferences.toml"))
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("comma")
        assert matches(app, "preferences-80x24")


async def test_a_choice_that_cannot_be_kept_holds_for_now_and_says_so(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    app = SimgateApp(tapes=tmp_path, chosen_in=tmp_path / "file" / "preferences.toml")
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await pilot.press("comma", "down", "enter")
        assert app.theme == "noon"
        assert any("cannot be kept" in told.message for told in app._notifications)


async def test_no_color_in_the_environment_wins_and_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = SimgateApp(tapes=tmp_path, chosen_in=tmp_path / "preferences.toml")
    async with app.run_test(size=SMALL) as pilot:
        assert app.theme == "no-colour"
        await pilot.press("comma", "down", "enter")
        assert app.no_color
        assert "NO_COLOR is set" in text_of(app)


async def test_the_screen_is_saved_as_a_picture_and_says_where(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    app = SimgateApp(tapes=tmp_path / "tapes")
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await pilot.press("z", "z")
        await pilot.pause()
        told = [one.message for one in app._notifications]
    files = sorted((tmp_path / "simgate" / "pictures").iterdir())
    assert [path.name for path in files] == ["simgate-001.svg", "simgate-002.svg"]
    assert all(str(path) in message for path, message in zip(files, told, strict=True))
    assert files[0].read_text().startswith("<svg")


def test_a_picture_that_cannot_be_saved_is_told_and_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(UserError, match="a folder where a picture can be written"):
        save_picture(tmp_path / "file", "<svg/>")
    if Path("/dev/full").exists():
        real = Path.open

        def full(self: Path, mode: str = "r", **named: str) -> object:
            real(self, mode, encoding="utf-8").close()
            return real(Path("/dev/full"), "w", encoding="utf-8")

        monkeypatch.setattr(Path, "open", full)
        with pytest.raises(UserError, match="No space left on device"):
            save_picture(tmp_path / "pictures", "<svg/>")
        assert list((tmp_path / "pictures").iterdir()) == []


def test_every_theme_has_a_title() -> None:
    assert [theme.name for theme in THEMES] == list(TITLES)


async def test_without_colour_the_bar_can_still_be_seen(tmp_path: Path) -> None:
    app = SimgateApp(tapes=tmp_path, chosen=Preferences("no-colour"))
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        strips = app.screen._compositor.render_strips()
        under = [strip.text for strip in strips if any(part.style and part.style.underline for part in strip)]
        assert len(under) == 2
        assert "First learn cycle" in under[0]
        await pilot.press("tab", "c")
        await pilot.pause()
        strips = app.screen._compositor.render_strips()  # here the Input has the focus, not the list
        bar = [strip.text for strip in strips if any(part.style and part.style.underline for part in strip)]
        assert any("Four-step" in line for line in bar)


async def test_every_card_says_its_keys_as_they_are_set(tmp_path: Path) -> None:
    others = {
        "yes": "u",
        "no": "x",
        "close": "f9",
        "card": "f5",
        "meter": "f6",
        "probe-red": "1",
        "read": "f8",
    }
    chosen = load(written(tmp_path, "[keys]\n" + "".join(f'{id} = "{key}"\n' for id, key in others.items())))
    app = SimgateApp("first-learn", tapes=tmp_path / "tapes", pacer=still, chosen=chosen)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        assert "f8: go on" in text_of(app)
        await pilot.press("f8")
        assert "f6 Meter" in text_of(app)
        for key, words in (
            ("f5", "f5: card, book, strips · f9: close"),
            ("f6", "f9: back"),
            ("d", "1 or k: probes"),
            ("o", "u: yes · x or f9: no"),
        ):
            await pilot.press(key)
            await pilot.pause()
            assert words in text_of(app)
            await pilot.press("f9")
            await pilot.pause()


def test_a_key_of_a_card_is_held_against_the_key_that_brings_it(tmp_path: Path) -> None:
    with pytest.raises(UserError, match="instrument"):
        load(written(tmp_path, '[keys]\ninstrument = "d"\n'))
