"""The wiring diagram: follow a wire joint by joint, and put probes, link or screwdriver where one stands.

It stays while one works, as somebody stays at the open boxes with a meter in hand; each piece of work is an
action on the tape like any other. The clock goes on.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from simgate.bench import actions as do
from simgate.bench.actions import Action
from simgate.bench.record import Snapshot
from simgate.board.signals import Acted
from simgate.tui import diagram
from simgate.tui.captions import point, words
from simgate.tui.commands import Place, bindings
from simgate.tui.diagram import Item, Kind
from simgate.tui.keys import hints, keymap_of
from simgate.tui.panes.drawn import Drawn
from simgate.tui.screens.modal import Over
from simgate.tui.screens.offer import Offer
from simgate.tui.wirework import BEGUN, DONE, WIRE, Carried, everything, offers, title, told

INSTRUMENTS = ("volts", "ohms", "continuity", "diode")
ISOLATE = "The mains is ON: isolate and prove dead before a wire is touched."
SHARE, FRAME = 0.94, 4  # of the screen's height, as the sheet has it; rows of frame and margins


class Wiring(Over[str]):
    """Gives where one stood at the end; what is done goes through `act` at once. at: where one begins."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings(Place.DIAGRAM),
        Binding("d", "close", show=False, id="diagram"),
        Binding("x", "put_away", show=False, id="put-away"),
        Binding("e", "mains", show=False, id="mains"),
    ]
    clock_stands = False

    def __init__(self, shot: Snapshot, act: Callable[[Action], None], at: str | None = None) -> None:
        super().__init__()
        self._shot, self._act = shot, act
        self._paths = diagram.paths(shot)
        self._carried: Carried | None = None
        self._told, self._read = "", Content()
        meter = shot.meter if shot.meter is not None and shot.meter.instrument in INSTRUMENTS else None
        self._instrument = meter.instrument if meter is not None else INSTRUMENTS[0]
        self._red, self._black = (meter.a, meter.b) if meter is not None else ("", "")
        self._cursor = diagram.find(self._paths, at or self._red or "board.COM")

    def compose(self) -> ComposeResult:
        with Vertical(classes="card") as card:
            card.border_title, card.border_subtitle = "Wiring diagram", self._keys()
            yield Static("", id="wiring-meter", markup=False)
            yield Drawn()
            yield Static("", id="wiring-here", markup=False)

    def _keys(self) -> str:
        probes = ((("probe-red", "probe-black"), "probes"), ("instrument", "instrument"))
        work = (("wire-find", "go to"), ("wire-work", "work"), ("close", "close"))
        return hints(self.app, *probes, *work)

    def on_mount(self) -> None:
        self.call_after_refresh(self._show)

    def on_resize(self) -> None:
        self.call_after_refresh(self._show)

    def follow(self, shot: Snapshot, acted: Acted | None) -> None:
        """Draw again when the wiring or the reading changes."""
        before, self._shot = self._shot, shot
        if (before.wires, before.links, before.points) != (shot.wires, shot.links, shot.points):
            name = self._here.name
            self._paths = diagram.paths(shot)
            self._cursor = diagram.find(self._paths, name)
        elif (before.meter, before.mains) == (shot.meter, shot.mains):
            return
        self._show()

    @property
    def _here(self) -> Item:
        return self._paths[self._cursor[0]][self._cursor[1]]

    def _show(self) -> None:
        drawn = self.query_one(Drawn)
        width = drawn.size.width
        if not width:
            return
        marks = {point: "red" for point in (self._red,) if point}
        if self._black:
            marks[self._black] = "red, black" if self._black in marks else "black"
        sheet = diagram.draw(self._paths, self._cursor, width, marks)
        height = self._room(len(sheet.rows))
        drawn.styles.height = height
        top = min(max(sheet.cursor - height // 2, 0), max(len(sheet.rows) - height, 0))
        drawn.paint(sheet.rows[top : top + height])
        if (reading := self._reading()) != self._read:  # a caution makes it higher
            self._read = reading
            self.query_one("#wiring-meter", Static).update(reading)
            self.call_after_refresh(self._show)
        self.query_one("#wiring-here", Static).update(self._words(), layout=False)

    def _room(self, rows: int) -> int:
        """Rows for the paths: as many as they are, unless the screen is too small for all."""
        beside = sum(self.query_one(id).outer_size.height for id in ("#wiring-meter", "#wiring-here"))
        return max(min(rows, int(SHARE * self.size.height) - FRAME - beside), 1)

    def _reading(self) -> Content:
        """What the instrument shows, or how to put it on; its caution with it."""
        meter = self._shot.meter
        if meter is None:
            put = ", ".join(
                f"{name} on {point(at)}" for name, at in (("red", self._red), ("black", self._black)) if at
            )
            return Content(f"{self._instrument}: {put or 'no probe on'} · mains {self._mains}")
        on = f"red {point(meter.a)}, black {point(meter.b)}" if meter.b else f"round {words(meter.a)}"
        parts: list[tuple[str, str] | str] = [f"{meter.instrument} ", (f" {meter.reading} ", "bold reverse")]
        parts.append(f" {on} · mains {self._mains}")
        if meter.caution:
            parts.append((f"\n! {meter.caution}", "bold"))
        return Content.assemble(*parts)

    @property
    def _mains(self) -> str:
        return "on" if self._shot.mains else "OFF"

    def _words(self) -> Content:
        """Where one stands, in words; or what the work in hand still wants."""
        here = told(self._here, self._shot)
        if self._carried is not None:
            takes, drops = (keymap_of(self.app).cap(id) for id in ("wire-work", "close"))
            carried = f"{self._carried.words}: {takes} takes, {drops} drops it"
            return Content.assemble((carried, "bold"), "\n", self._told or here)
        return Content(here + (f"\n{self._told}" if self._told else ""))

    # Moving ---------------------------------------------------------------------------------------

    def action_along(self, by: int) -> None:
        """Along the path, item by item."""
        self._to(diagram.step(self._paths, self._cursor, by))

    def action_path(self, by: int) -> None:
        """To another path; at a junction, to the same point on it."""
        self._to(diagram.other_path(self._paths, self._cursor, by))

    def action_to_end(self, place: int) -> None:
        """To the beginning or the end of the path."""
        number = self._cursor[0]
        self._to((number, 0 if place == 0 else len(self._paths[number]) - 1))

    def _to(self, cursor: tuple[int, int]) -> None:
        self._cursor, self._told = cursor, ""
        self._show()

    def action_find(self) -> None:
        """To any screw or wire, by what is typed of its name, number or colour."""

        def chosen(name: str | None) -> None:
            if name is not None:
                self._to(diagram.find(self._paths, name))

        self.app.push_screen(Offer("Go to a screw or a wire", everything(self._shot), ""), chosen)

    # Working --------------------------------------------------------------------------------------

    def action_probe(self, which: str) -> None:
        """A probe on the point under the cursor; with both on, the instrument reads at once."""
        if self._here.kind is not Kind.JOINT:
            self._say("A probe goes on a point: move along to one.")
        elif which == "red":
            self._put(self._here.name, self._black)
        else:
            self._put(self._red, self._here.name)

    def _put(self, red: str, black: str) -> None:
        if red == black:
            self._say("The other probe is on that point.")
            return
        self._red, self._black, self._told = red, black, ""
        if red and black:
            self._act(do.Probe(self._instrument, red, black))
        self._show()

    def action_put_away(self) -> None:
        """The probes off."""
        self._red = self._black = ""
        if self._shot.meter is not None:
            self._act(do.PutAway())
        self._show()

    def action_mains(self) -> None:
        """The isolator beside the board."""
        self._act(do.Mains(not self._shot.mains))

    def action_instrument(self) -> None:
        """Volts, ohms, continuity, diode test, and round again."""
        self._instrument = INSTRUMENTS[(INSTRUMENTS.index(self._instrument) + 1) % len(INSTRUMENTS)]
        self._put(self._red, self._black) if self._red else self._show()

    def action_offer(self) -> None:
        """Ask what to do here; or, with work in hand, do it here."""
        item, carried = self._here, self._carried
        if carried is None:
            caution = ISOLATE if self._shot.mains and item.kind is not Kind.JOINT else ""
            self.app.push_screen(
                Offer(title(item, self._shot), offers(item, self._shot), caution), self._chosen
            )
        elif item.kind is not carried.kind:
            self._say(f"It wants a {carried.kind.value}: move along to one.")
        else:
            self._carried = None
            self._act(carried.make(item.name))
            self._show()

    def action_close(self) -> None:
        """Drop the work in hand; with none, go."""
        if self._carried is not None:
            self._carried = None
            self._show()
        else:
            self.dismiss(self._here.name)

    def _say(self, what: str) -> None:
        self._told = what
        self._show()

    def _chosen(self, answer: str | None) -> None:
        name = self._here.name
        if answer is None:
            return
        if answer in ("red", "black"):
            self.action_probe(answer)
        elif answer.startswith(WIRE):
            self._to(diagram.find(self._paths, answer.removeprefix(WIRE)))
            self.action_offer()
        elif answer in BEGUN:
            self._carried = BEGUN[answer](name)
        else:
            if answer == "clamp":
                self._red = self._black = ""
            self._act(DONE[answer](name))
        self._show()
