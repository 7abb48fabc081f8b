"""How the program looks and which keys it takes, by what the person chose; pictures of its screen.

Apart from the app, which says which screen follows which: none of this knows of runs.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from textual.app import App
from textual.binding import Binding, BindingType
from textual.driver import Driver
from textual.filter import LineFilter, NoColor

from simgate.files import UserError
from simgate.tui import preferences
from simgate.tui.commands import Place, bindings
from simgate.tui.driver import forgiving
from simgate.tui.keys import Keymap
from simgate.tui.picture_file import save_picture
from simgate.tui.places import pictures_folder
from simgate.tui.preferences import Motion, Preferences
from simgate.tui.themes import COLOURLESS, PLAIN, QUIET, THEMES

FORCED = "NO_COLOR is set in the environment, so no colour is shown whatever is chosen."
HOW_TO_LEAVE = "{leave} leaves simgate at once; a run is kept and can be gone on with."
SHORT = 400  # characters, a third of a small screen: as much as is read in passing
NO_COLOUR = NoColor()


class Look(App[None]):
    """chosen: the person's preferences, kept in the file `chosen_in`."""

    CSS = COLOURLESS + QUIET
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings(Place.EVERYWHERE),
        Binding("ctrl+c", "how_to_leave", show=False, system=True),
    ]

    def __init__(self, chosen: Preferences, chosen_in: Path) -> None:
        super().__init__()
        self._chosen, self._chosen_in = chosen, chosen_in
        self._forced = FORCED if self.no_color else ""  # Textual read it from the environment
        for theme in THEMES:
            self.register_theme(theme)
        self.set_keymap(self.keymap.textual())
        self._follow()

    def get_driver_class(self) -> type[Driver]:
        """The system's own, made to bear that the terminal goes away."""
        return forgiving(super().get_driver_class())

    @property
    def keymap(self) -> Keymap:
        """The keys that the person has chosen."""
        return self._chosen.keymap

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Without colour, nothing that sets one reaches the terminal."""
        return [*super().get_line_filters(), NO_COLOUR] if self.no_color else super().get_line_filters()

    def choose(self, key: str, value: str) -> Preferences:
        """Put one preference into effect and keep it, or say why it cannot be kept."""
        theme = value if key == "theme" else self._chosen.theme
        motion = Motion(value) if key == "motion" else self._chosen.motion
        self._chosen = Preferences(theme, motion, self.keymap)
        self._follow()
        try:
            preferences.save(self._chosen_in, {"theme": theme, "motion": motion.value})
        except UserError as error:
            self.tell(f"Chosen for now, but it cannot be kept. {error}")
        return self._chosen

    @property
    def reduced_motion(self) -> bool:
        """Whether little may move."""
        return self._chosen.motion is Motion.REDUCED

    def _follow(self) -> None:
        """Look as was chosen."""
        self.no_color = bool(self._forced) or self._chosen.theme == PLAIN.name
        self.theme = PLAIN.name if self.no_color else self._chosen.theme
        self.animation_level = "none" if self.reduced_motion else "full"
        if self.is_running:
            self.refresh_css(animate=False)

    def refresh_css(self, animate: bool = True) -> None:
        """Follow a change of theme; before the first screen, only so that its sheets are parsed once."""
        if self.screen_stack:
            super().refresh_css(animate)
        else:
            self.stylesheet.set_variables(self.get_css_variables())

    def action_preferences(self) -> None:
        """Theme, motion, keys."""
        from simgate.tui.screens.preferences import PreferencesScreen

        self.push_screen(PreferencesScreen(self._chosen, self._chosen_in, self._forced))

    def action_picture(self) -> None:
        """Save the screen as an SVG file."""
        try:
            path = save_picture(pictures_folder(), self.export_screenshot())
        except UserError as error:
            self.tell(f"The picture is not saved. {error}")
        else:
            self.notify(f"Saved as {path}", markup=False)

    def action_how_to_leave(self) -> None:
        """Ctrl-C is in many fingers and must not end a run."""
        self.notify(HOW_TO_LEAVE.format(leave=self.keymap.cap("quit-now")), markup=False)

    def tell(self, words: str) -> None:
        """Say why something was not done; a list of mistakes is something to read at leisure."""
        self.clear_notifications()
        if len(words) <= SHORT:
            self.notify(words, severity="error", timeout=10, markup=False)
            return
        from simgate.tui.panes.hanging import Line
        from simgate.tui.screens.reading import Reading

        self.push_screen(Reading("Not possible", [Line(line, "✗ ") for line in words.splitlines()]))
