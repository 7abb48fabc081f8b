"""The Cabinet: display in plain words, five keys, terminals with a lamp each, outputs.

A lamp is told by its glyph (filled, hollow) and by a word, never by colour alone. A mouse button holds a key
for as long as it is down, as a finger does.
"""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.reactive import var
from textual.widget import Widget
from textual.widgets import Static

from simgate.bench.actions import PressKey
from simgate.bench.record import InputView, Snapshot
from simgate.board.stimuli import Key, Relay
from simgate.tui.captions import MADE
from simgate.tui.commands import Place, bindings
from simgate.tui.messages import Act
from simgate.tui.panes.pane import Pane

NO_EDGE = "not fitted"
END = "END-"  # how the terminals of the end switches begin


class KeyCap(Static):
    """One of the five keys."""

    DEFAULT_CSS = """
    KeyCap {
        width: 1fr; height: 1; margin: 0 1 0 0; text-align: center;
        background: $panel; color: $foreground;
    }
    KeyCap:hover { background: $boost; }
    KeyCap.-down { background: $accent; color: $background; text-style: bold reverse; }
    """

    def __init__(self, key: Key) -> None:
        super().__init__(key.value.capitalize(), markup=False)
        self.key = key
        self._held = False

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """The finger goes down."""
        self._held = True
        self.capture_mouse()
        self.post_message(Act(PressKey(self.key, True)))

    def on_mouse_up(self, event: events.MouseUp) -> None:
        """The finger lets go, wherever the mouse is by now."""
        if self._held:
            self._held = False
            self.release_mouse()
            self.post_message(Act(PressKey(self.key, False)))

    def show(self, down: bool) -> None:
        """Pressed keys are marked with arrows as well as with colour."""
        if down != self.has_class("-down"):
            self.set_class(down, "-down")
            title = self.key.value.capitalize()
            self.update(f"▸{title}◂" if down else title, layout=False)


class KeyWords(Widget):
    """What each key does on the page that the display shows: read there, not learned from a manual."""

    DEFAULT_CSS = """
    KeyWords { height: 1; color: $text-muted; }
    """

    words: var[tuple[str, ...]] = var(())

    def watch_words(self) -> None:
        """Another page."""
        self.refresh()

    def render(self) -> Content:
        """Each word in the middle of its key."""
        line = ""
        caps = self.screen.query(KeyCap) if self.words else ()
        for cap, word in zip(caps, self.words, strict=False):
            line = f"{line:<{cap.region.x - self.region.x}}{word:^{cap.size.width}}"
        return Content(line)


class Cabinet(Pane, can_focus=True):
    """The control board as a person sees it. With focus, arrows and enter are its keys."""

    DEFAULT_CSS = """
    Cabinet > #display {
        height: 3; padding: 0 1 1 1;
        background: $display; color: $display-text; text-style: bold;
    }
    Cabinet > #keys { height: 1; }
    Cabinet > #keys > KeyCap.-last { margin: 0; }
    Cabinet > #terminals { height: 3; }
    Cabinet > #outputs { height: 3; }
    """
    BORDER_TITLE = " Cabinet "
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(Place.CABINET)]

    def compose(self) -> ComposeResult:
        yield Static("", id="display", markup=False)
        with Horizontal(id="keys"):
            for key in Key:
                yield KeyCap(key)
        yield KeyWords()
        yield Static("", id="terminals")
        yield Static("", id="outputs")

    def on_mount(self) -> None:
        self._shown: tuple[object, ...] = ()
        self.query(KeyCap).last().add_class("-last")

    def watch_snapshot(self, shot: Snapshot | None) -> None:
        """Show what changed of display, keys and lamps."""
        if shot is None or not self.is_mounted:
            return
        driven = tuple(_way(leaf.driven) for leaf in shot.leaves)
        made = tuple(item.made for item in shot.inputs)
        shown = (shot.display, shot.keys_down, made, driven, shot.relays, shot.powered, shot.key_words)
        if shown == self._shown:
            return
        self._shown = shown
        dark = "" if shot.powered else "dark: no supply"
        self.query_one("#display", Static).update(
            "\n".join(shot.display) if shot.powered else dark, layout=False
        )
        for cap in self.query(KeyCap):
            cap.show(cap.key.value in shot.keys_down)
        self.query_one(KeyWords).words = shot.key_words
        self.query_one("#terminals", Static).update(_terminals(shot), layout=False)
        self.query_one("#outputs", Static).update(_outputs(shot, driven), layout=False)


def _way(driven: float) -> int:
    """Which way the board drives a motor: what its terminals carry, not what a motor makes of it."""
    return (driven > 0) - (driven < 0)


def _terminals(shot: Snapshot) -> Content:
    """Two columns of lamps, filled while the board takes the input as made; ends stand by their motor."""
    lamps = [
        f"{MADE[item.made]} {item.terminal:<8}{_word(item, shot):<5}"
        for item in shot.inputs
        if not item.terminal.startswith(END)
    ]
    half = (len(lamps) + 1) // 2
    left, right = lamps[:half], [*lamps[half:], *[""] * half]
    return Content("\n".join(f"{a:<16}{b}".rstrip() for a, b in zip(left, right, strict=False)))


def _word(item: InputView, shot: Snapshot) -> str:
    """What the lamp says; an edge is measured and may be pressed, which is anything but open."""
    if item.terminal == "EDGE" and shot.settings.get("edge-use", NO_EDGE) != NO_EDGE and shot.powered:
        return "well" if item.made else "amiss"
    return "made" if item.made else "open" if shot.powered else "dark"


_WAYS = {1: "▲ opening", -1: "▼ closing", 0: "○ at rest"}


def _outputs(shot: Snapshot, driven: tuple[int, ...]) -> Content:
    made = {item.terminal: item.made for item in shot.inputs}
    rows = [
        f"MOTOR {leaf.name} {_WAYS[way]} "
        + " ".join(f"{END}{end} {MADE[made.get(f'{END}{end}-{leaf.name}', False)]}" for end in "OC")
        for leaf, way in zip(shot.leaves, driven, strict=True)
    ]
    relays = " ".join(f"{relay.name} {MADE[relay.name in shot.relays]}" for relay in Relay)
    return Content("\n".join([*rows, relays]))
