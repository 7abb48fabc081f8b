"""The Toolbag: what is in hand, what it reads, and which buttons stand at the site.

Picking points takes more room than this pane has, so that is done by the picker; here stays what a person
looks at while working: the reading and its points, and buttons to press.
"""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.containers import Container, Horizontal
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Static

from simgate.bench.actions import Operate
from simgate.bench.record import DeviceView, Snapshot
from simgate.tui.captions import MADE, point, wire_name, words
from simgate.tui.keys import keymap_of
from simgate.tui.messages import Act, Ask
from simgate.tui.panes.pane import Pane

TOOLS = (("meter", "Meter"), ("link", "Link wire"), ("hands", "Hands"), ("wires", "Screwdriver"))  # id, word
ROWS = 6  # above the buttons: the tools and the reading


class ToolCap(Static):
    """A tool that can be clicked, with its key as it is set."""

    DEFAULT_CSS = """
    ToolCap { width: 3fr; height: 1; text-wrap: nowrap; text-overflow: ellipsis; }
    ToolCap.-first { width: 2fr; }
    ToolCap:hover { background: $boost; }
    """

    def __init__(self, command: str, title: str, first: bool) -> None:
        super().__init__(classes="-first" if first else None)
        self.command, self._title = command, title

    def on_mount(self) -> None:
        self.update(Content.assemble((keymap_of(self.app).cap(self.command), "bold"), f" {self._title}"))

    def on_click(self) -> None:
        """Ask for the tool, as its key would."""
        self.post_message(Ask(self.command))


class Button(Static):
    """A button at the site: held for as long as the mouse is down on it."""

    DEFAULT_CSS = """
    Button { width: 1fr; height: 1; text-overflow: ellipsis; text-wrap: nowrap; }
    Button:hover { background: $boost; }
    Button.-down { text-style: bold; color: $accent; }
    """

    def __init__(self, device: DeviceView) -> None:
        super().__init__(markup=False)
        self.device = device.name
        self._held = False
        self.show(device)

    def show(self, device: DeviceView) -> None:
        """Filled while pressed."""
        self.set_class(device.down, "-down")
        self.update(f"{MADE[device.down]} {short(device)}", layout=False)

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """The finger goes down."""
        self._held = True
        self.capture_mouse()
        self.post_message(Act(Operate(self.device, True)))

    def on_mouse_up(self, event: events.MouseUp) -> None:
        """The finger lets go, wherever the mouse is by now."""
        if self._held:
            self._held = False
            self.release_mouse()
            self.post_message(Act(Operate(self.device, False)))


def short(device: DeviceView) -> str:
    """What a button is called where a dozen columns are all there is; a key switch has two ways."""
    _, _, side = device.label.rpartition(", ")
    if side in ("call side", "part side"):
        return f"key: {side.removesuffix(' side')}"
    return words(device.name).removesuffix(" button")


class Toolbag(Pane):
    """Tools, the instrument in hand with its reading, and the site's buttons."""

    DEFAULT_CSS = """
    Toolbag > Horizontal { height: 1; }
    Toolbag > #reading { height: 4; }
    Toolbag > #buttons { layout: grid; grid-size: 2; grid-rows: 1; grid-gutter: 0 1; height: auto; }
    """
    BORDER_TITLE = " Toolbag "

    def compose(self) -> ComposeResult:
        for pair in (TOOLS[:2], TOOLS[2:]):
            with Horizontal():
                for number, tool in enumerate(pair):
                    yield ToolCap(*tool, first=number == 0)
        yield Static("", id="reading")
        yield Container(id="buttons")

    def on_mount(self) -> None:
        self._shown: tuple[object, ...] = ()

    async def watch_snapshot(self, shot: Snapshot | None) -> None:
        """Show reading and buttons when they change."""
        if shot is None or not self.is_mounted:
            return
        cells = max(2 * (self.size.height - ROWS), 2)  # two to a row, below the tools and the reading
        shown = (shot.meter, shot.devices, shot.mains, cells)
        if shown == self._shown:
            return
        self._shown = shown
        self.query_one("#reading", Static).update(_reading(shot), layout=False)
        buttons = list(self.query(Button))
        within = shot.devices if len(shot.devices) <= cells else shot.devices[: cells - 1]
        if [button.device for button in buttons] != [device.name for device in within]:
            await self.query("#buttons > *").remove()
            below: list[Widget] = [Button(device) for device in within]
            if more := len(shot.devices) - len(within):
                hands = keymap_of(self.app).cap("hands")
                below.append(Static(Content.assemble((hands, "bold"), f" {more} more")))
            await self.query_one("#buttons").mount_all(below)
            return
        for button, device in zip(buttons, within, strict=True):
            button.show(device)

    async def on_resize(self) -> None:
        """Another size may hold more or fewer buttons."""
        await self.watch_snapshot(self.snapshot)


def _reading(shot: Snapshot) -> Content:
    """Instrument and reading, and its points. The caution has a pane of its own."""
    meter = shot.meter
    if meter is None:
        mains = "Mains on" if shot.mains else "Mains OFF"
        return Content.assemble(("Hands free. ", ""), (mains, "bold"))
    lines: list[tuple[str, str] | str] = [
        f"{meter.instrument}  ",
        (f" {meter.reading} ", "bold reverse"),
        "\n",
    ]
    if meter.b:
        lines.append(f"red {point(meter.a)}\nblack {point(meter.b)}")
    else:
        wire = next((wire for wire in shot.wires if wire.name == meter.a), None)
        ends = f"\n+ is towards {point(wire.b)}" if wire is not None else ""
        lines.append(f"round {wire_name(wire) if wire is not None else words(meter.a)}{ends}")
    return Content.assemble(*lines)
