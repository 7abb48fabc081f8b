"""The one table of what a person can ask for: key, name, help and what it does.

Footer, help screen, command palette and key bindings are all made from it. A key that were bound
anywhere else would be missing from the help that people learn it from, and could not be remapped: by the
ids here the user's preferences name what another key is wanted for.

Keys are plain letters and digits, because terminals swallow most others and tell nothing of a key
coming up: small letters and 1-5 are light presses, capitals and 6-0 hold until asked again.
"""

# ruff: noqa: E501  (a table reads best with one row per line)
from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from textual.binding import Binding
from textual.markup import escape

NONE: Mapping[str, str] = MappingProxyType({})


class Place(Enum):
    """Where a command works: a screen, a pane of the Bench that has the focus, or a card that lies over."""

    WORKSHOP = "Workshop"
    BENCH = "Bench"
    DEBRIEF = "Debrief"
    EVERYWHERE = "Everywhere"
    CABINET = "Cabinet"
    TICKER = "Ticker"
    CARD = "Any card"
    READING = "Text"
    QUESTION = "Question"
    LIST = "List"
    RUNS = "Runs left open"
    ANSWER = "Question of a round"
    COMPARING = "Two gates"
    PREFERENCES = "Preferences"
    DIAGRAM = "Wiring diagram"


class Group(Enum):
    """Headings of the help screen."""

    CALLS = "Calls and STOP"
    KEYS = "The five keys of the Cabinet"
    TOOLS = "Toolbag and hands"
    TIME = "Time"
    JOB = "Job"
    SCREEN = "Screen"
    EVERYWHERE = "Everywhere"
    CABINET = "With the focus in the Cabinet"
    TICKER = "With the focus in the Ticker"
    DIAGRAM = "In the wiring diagram"
    PANE = "On a card"


@dataclass(frozen=True, slots=True)
class Command:
    """One command. action: what Textual runs on the screen. shown: the key as people read it.

    footer: its word in the footer, '' to leave it out there. footer_key: when one word stands for several keys.
    spare: its word in a footer that has room left after all those.
    first: taken before anything that has the focus can have it.
    """

    place: Place
    group: Group
    key: str
    id: str
    title: str
    help: str
    action: str
    shown: str = ""
    footer: str = ""
    footer_key: str = ""
    spare: str = ""
    first: bool = False

    @property
    def keycap(self) -> str:
        """The key that it has by default, as it is written in help and footer."""
        return self.shown or self.key


_C = Place.COMPARING
_B, _W, _D, _E = Place.BENCH, Place.WORKSHOP, Place.DEBRIEF, Place.EVERYWHERE
_G = Place.DIAGRAM
BETWEEN = "  "  # two words of a footer
_KEYS = ("back", "next", "less", "more", "keep")


def _five_keys() -> Iterator[Command]:
    for number, name in enumerate(_KEYS, 1):
        title = name.capitalize()
        footer = ("Keys", "1-5") if number == 1 else ("", "")
        yield Command(_B, Group.KEYS, str(number), f"key-{name}", f"Press {title}",
                      "A light press; under it stands what it does.", f"key('{name}')",
                      footer=footer[0], footer_key=footer[1])  # fmt: skip
    for number, name in enumerate(_KEYS, 6):
        title = name.capitalize()
        yield Command(_B, Group.KEYS, str(number % 10), f"hold-{name}", f"Hold {title}",
                      f"Hold {title} down; again to let go.", f"hold_key('{name}')")  # fmt: skip


def _answers() -> Iterator[Command]:
    for number, letter in enumerate("abcdefgh", 1):
        yield Command(Place.ANSWER, Group.PANE, f"{number},{letter}", f"answer-{number}", f"Answer {number}",
                      f"Answer {number} to what the gate will do.", f"pick({number})",
                      shown=str(number))  # fmt: skip


COMMANDS: tuple[Command, ...] = (
    # Calls
    Command(_B, Group.CALLS, "c", "call", "Call", "A light press of the call button.", "button('call')", footer="Call"),
    Command(_B, Group.CALLS, "C", "hold-call", "Hold call", "Hold the call button; again to let go.", "hold_button('call')"),
    Command(_B, Group.CALLS, "p", "part", "Part call", "A light press of the part-opening button.", "button('part')"),
    Command(_B, Group.CALLS, "P", "hold-part", "Hold part", "Hold the part button; again to let go.", "hold_button('part')"),
    Command(_B, Group.CALLS, "s", "stop", "STOP", "A light press of the stop button.", "button('stop')", footer="STOP"),
    Command(_B, Group.CALLS, "S", "hold-stop", "Leave STOP pressed", "Press the stop button in and leave it so; again to free it.", "hold_button('stop')"),
    *_five_keys(),
    # Tools
    Command(_B, Group.TOOLS, "m", "meter", "Meter", "Volts, ohms, continuity or clamp, and where to put them.", "tool('meter')", footer="Meter"),
    Command(_B, Group.TOOLS, "l", "link", "Link wire", "Put a link between two points, or take one out.", "tool('link')", spare="Link wire"),
    Command(_B, Group.TOOLS, "w", "wires", "Screwdriver", "Undo, remake, move or swap wires; fit a fuse.", "tool('screwdriver')", spare="Screwdriver"),
    Command(_B, Group.TOOLS, "d", "diagram", "Wiring diagram", "Follow a wire joint by joint; probes, link and screwdriver where you stand.", "diagram", spare="Diagram"),
    Command(_B, Group.TOOLS, "h", "hands", "Hands", "Buttons, beams, a body in the way, release, push.", "tool('hands')", footer="Hands"),
    Command(_B, Group.TOOLS, "x", "put-away", "Put the meter away", "Take the instrument off its points.", "put_away"),
    Command(_B, Group.TOOLS, "b", "beam", "Block or clear the beam", "Stand something in the first beam, or take it away.", "beam"),
    Command(_B, Group.TOOLS, "i", "inside", "Step in or out", "Step into the way of the leaves, or out of it.", "step"),
    Command(_B, Group.TOOLS, "g", "passers", "Through the gate", "Send a vehicle, a person or a dog through, or clear the way.", "tool('passers')", spare="Through the gate"),
    Command(_B, Group.TOOLS, "e", "mains", "Mains switch", "Switch the mains isolator off, or on.", "mains"),
    # Time
    Command(_B, Group.TIME, "space", "pause", "Pause", "Stop the clock, or let it go on.", "pause", footer="Pause"),
    Command(_B, Group.TIME, "plus,equals_sign", "faster", "Faster", "Time runs ×4, then ×16.", "speed(1)", shown="+"),
    Command(_B, Group.TIME, "minus", "slower", "Slower", "Back to ×4, then to the pace of the wall.", "speed(-1)", shown="-"),
    Command(_B, Group.TIME, "full_stop", "scan", "One scan", "Stop the clock and run a single scan of 10 ms.", "scan", shown="."),
    Command(_B, Group.TIME, "n", "onward", "Skip to the next thing", "Run on until something happens, a minute at most.", "onward", footer="Skip"),
    # Job
    Command(_B, Group.JOB, "j", "sheet", "Job sheet", "The whole briefing, goals and hints.", "sheet", footer="Job"),
    Command(_B, Group.JOB, "t", "hint", "Take a hint", "The next hint of the job; it costs marks, so it asks first.", "hint"),
    Command(_B, Group.JOB, "y", "ask-next", "What to look at next", "Ask a good hand, who says why; it costs marks, so it asks first.", "ask_next"),
    Command(_B, Group.JOB, "v", "card", "Card, book or strips", "Mode card, set-up book, and what is on each terminal; beside the Yard on a wide screen, over it on a small one.", "card", spare="Card or book"),
    Command(_B, Group.JOB, "u", "round", "Round of the card", "In a rehearsal: asked before each call what the gate will do; again to stop.", "round"),
    Command(_B, Group.JOB, "r", "strip", "Strip chart", "Position, motor current and inputs over the last minute.", "strip", spare="Strip chart"),
    Command(_B, Group.JOB, "o", "hand-over", "Hand over", "Say that the work is done; asks first.", "hand_over", spare="Hand over"),
    Command(_B, Group.JOB, "a", "start-again", "Start this job again", "From its beginning, asks first. There is no undo, as there is none at a gate.", "start_again"),
    Command(_B, Group.JOB, "f", "drawer", "Trainer's fault drawer", "Put faults in or mend them; the run is no longer marked.", "drawer"),
    Command(_B, Group.SCREEN, "question_mark,f1", "help", "Help", "This list of keys, and what the picture shows.", "manual", shown="?", footer="Help"),
    Command(_B, Group.SCREEN, "q", "leave", "Leave the Bench", "To the Workshop without handing over; asks first. You can go on later.", "leave", spare="Leave"),
    # Elsewhere
    Command(_W, Group.SCREEN, "question_mark,f1", "workshop-help", "Help", "Keys, and what the pictures show.", "manual", shown="?", footer="Help"),
    Command(_W, Group.SCREEN, "enter", "start", "Start", "Start the job, or the rehearsal, under the bar.", "start", footer="Start"),
    Command(_W, Group.JOB, "g", "go-on", "Go on with a run", "Runs left open, each to be gone on with or started again.", "app.go_on", footer="Go on"),
    Command(_W, Group.JOB, "c", "compare", "Compare two modes", "The mode under the bar, side by side with another.", "compare", footer="Compare"),
    Command(_W, Group.SCREEN, "tab", "other-list", "Other list", "From jobs to modes and back.", "app.focus_next", footer="Jobs or modes"),
    Command(_W, Group.SCREEN, "q", "quit", "Quit", "Leave simgate.", "app.quit", footer="Quit"),
    Command(_D, Group.SCREEN, "question_mark,f1", "debrief-help", "Help", "Keys, and what the pictures show.", "manual", shown="?", footer="Help"),
    Command(_D, Group.JOB, "a", "again", "Do it again", "The same job from its start.", "again", footer="Again"),
    Command(_D, Group.SCREEN, "q,escape", "workshop", "To the Workshop", "Leave the debrief.", "leave", shown="q", footer="Workshop"),
    Command(_C, Group.CALLS, "c", "both-call", "Call both", "A light press of the call button at both gates.", "button('call')", footer="Call"),
    Command(_C, Group.CALLS, "C", "both-hold-call", "Hold call", "Hold both call buttons; again to let go.", "hold_button('call')"),
    Command(_C, Group.CALLS, "p", "both-part", "Part call", "A light press of both part-opening buttons.", "button('part')", footer="Part"),
    Command(_C, Group.CALLS, "P", "both-hold-part", "Hold part", "Hold both part-opening buttons; again to let go.", "hold_button('part')"),
    Command(_C, Group.CALLS, "s", "both-stop", "STOP", "A light press of both stop buttons.", "button('stop')", footer="STOP"),
    Command(_C, Group.CALLS, "S", "both-hold-stop", "Leave STOP pressed", "Press both stop buttons in and leave them so; again to free them.", "hold_button('stop')"),
    Command(_C, Group.TOOLS, "b", "both-beam", "Block or clear the beams", "Stand something in the first beam of both, or take it away.", "beam", footer="Beam"),
    Command(_C, Group.TIME, "space", "both-pause", "Pause", "Stop the clock, or let it go on.", "pause", footer="Pause"),
    Command(_C, Group.TIME, "plus,equals_sign", "both-faster", "Faster", "Time runs ×4, then ×16.", "speed(1)", shown="+", footer="Faster"),
    Command(_C, Group.TIME, "minus", "both-slower", "Slower", "Back to ×4, then to the pace of the wall.", "speed(-1)", shown="-"),
    Command(_C, Group.TIME, "n", "both-onward", "Skip to the next thing", "Run on until something happens at either gate.", "onward", footer="Skip"),
    Command(_C, Group.SCREEN, "question_mark,f1", "both-help", "Help", "Keys, and what the pictures show.", "manual", shown="?", footer="Help"),
    Command(_C, Group.SCREEN, "q,escape", "both-leave", "To the Workshop", "Leave the two gates.", "leave", shown="q", footer="Leave"),
    # On every screen
    Command(_E, Group.EVERYWHERE, "comma", "preferences", "Preferences", "Theme, motion, and the file in which keys are changed.", "app.preferences", shown=","),
    Command(_E, Group.EVERYWHERE, "z", "picture", "Save a picture", "The screen as an SVG file; says where it went.", "app.picture"),
    Command(_E, Group.EVERYWHERE, "ctrl+p", "palette", "All commands", "The list of them; type to narrow it.", "app.command_palette", first=True),
    Command(_E, Group.EVERYWHERE, "ctrl+q", "quit-now", "Leave simgate", "At once, from anywhere; the tape of a run is kept.", "app.quit", first=True),
    # With the focus in a pane, or on a card
    Command(Place.CABINET, Group.CABINET, "left", "cabinet-back", "Back", "The key Back of the Cabinet.", "screen.key('back')"),
    Command(Place.CABINET, Group.CABINET, "right", "cabinet-next", "Next", "The key Next of the Cabinet.", "screen.key('next')"),
    Command(Place.CABINET, Group.CABINET, "down", "cabinet-less", "Less", "The key Less of the Cabinet.", "screen.key('less')"),
    Command(Place.CABINET, Group.CABINET, "up", "cabinet-more", "More", "The key More of the Cabinet.", "screen.key('more')"),
    Command(Place.CABINET, Group.CABINET, "enter", "cabinet-keep", "Keep", "The key Keep of the Cabinet.", "screen.key('keep')"),
    Command(Place.TICKER, Group.TICKER, "up", "ticker-up", "Older", "A line back in the Ticker.", "back(1)"),
    Command(Place.TICKER, Group.TICKER, "down", "ticker-down", "Newer", "A line on in the Ticker.", "back(-1)"),
    Command(Place.TICKER, Group.TICKER, "pageup", "ticker-page-up", "Much older", "Five lines back in the Ticker.", "back(5)"),
    Command(Place.TICKER, Group.TICKER, "pagedown", "ticker-page-down", "Much newer", "Five lines on in the Ticker.", "back(-5)"),
    Command(Place.TICKER, Group.TICKER, "home", "ticker-first", "Oldest", "To the first line of the Ticker.", "back(9999)"),
    Command(Place.TICKER, Group.TICKER, "end", "ticker-last", "Newest", "To the last line of the Ticker.", "back(-9999)"),
    Command(Place.CARD, Group.PANE, "escape", "close", "Close", "Take a card away, or go one question back.", "close"),
    Command(Place.READING, Group.PANE, "enter,space", "read", "Go on", "Take a text away.", "close", shown="enter"),
    Command(Place.QUESTION, Group.PANE, "y", "yes", "Yes", "Yes to a question.", "yes"),
    Command(Place.QUESTION, Group.PANE, "n", "no", "No", "No to a question.", "close"),
    Command(Place.LIST, Group.PANE, "down", "list-down", "Down", "The next of a list to choose from.", "move(1)", first=True),
    Command(Place.LIST, Group.PANE, "up", "list-up", "Up", "The one before in a list to choose from.", "move(-1)", first=True),
    Command(Place.LIST, Group.PANE, "enter", "list-take", "Take", "Take what the bar is on.", "take", first=True),
    *_answers(),
    Command(Place.RUNS, Group.PANE, "enter", "run-on", "Go on", "With the run under the bar, where it was left.", "go_on", first=True),
    Command(Place.RUNS, Group.PANE, "a", "run-again", "Start the job again", "The job of the run under the bar, from its beginning.", "again"),
    Command(Place.RUNS, Group.PANE, "p", "run-away", "Put away", "The run under the bar: its tape goes to the folder 'put away' and is offered no more.", "put_away"),
    Command(Place.PREFERENCES, Group.PANE, "enter", "prefer", "Choose", "What the bar is on.", "choose", first=True),
    Command(_G, Group.DIAGRAM, "right", "wire-on", "Along", "On to the next joint or wire of the path.", "along(1)"),
    Command(_G, Group.DIAGRAM, "left", "wire-back", "Back along", "To the joint or wire before.", "along(-1)"),
    Command(_G, Group.DIAGRAM, "up", "wire-up", "Path above", "To another path; at a junction, to the same point on it.", "path(-1)"),
    Command(_G, Group.DIAGRAM, "down", "wire-down", "Path below", "The next path down.", "path(1)"),
    Command(_G, Group.DIAGRAM, "pageup", "wire-page-up", "Far up", "Four paths up.", "path(-4)"),
    Command(_G, Group.DIAGRAM, "pagedown", "wire-page-down", "Far down", "Four paths down.", "path(4)"),
    Command(_G, Group.DIAGRAM, "home", "wire-first", "Beginning", "To the beginning of the path.", "to_end(0)"),
    Command(_G, Group.DIAGRAM, "end", "wire-last", "End", "To the end of the path.", "to_end(-1)"),
    Command(_G, Group.DIAGRAM, "r", "probe-red", "Red probe", "On the point where you stand.", "probe('red')"),
    Command(_G, Group.DIAGRAM, "k", "probe-black", "Black probe", "On the point where you stand.", "probe('black')"),
    Command(_G, Group.DIAGRAM, "i", "instrument", "Instrument", "Volts, ohms, continuity, diode test, and round again.", "instrument"),
    Command(_G, Group.DIAGRAM, "g", "wire-find", "Go to", "To a screw or a wire by name, number or colour. Mains switch and putting the meter away work here, too.", "find"),
    Command(_G, Group.DIAGRAM, "enter", "wire-work", "Work", "What can be done where you stand.", "offer"),
)  # fmt: skip


def commands(place: Place) -> tuple[Command, ...]:
    """The commands of one screen, in the order of the help."""
    return tuple(command for command in COMMANDS if command.place is place)


def bindings(place: Place) -> list[Binding]:
    """Textual's key bindings of one screen."""
    return [
        Binding(
            command.key,
            command.action,
            command.title,
            key_display=command.keycap,
            tooltip=command.help,
            id=command.id,
            show=False,
            priority=command.first,
        )
        for command in commands(place)
    ]


def footer(place: Place, caps: Mapping[str, str] = NONE, width: int = 0) -> str:
    """The footer of one screen as markup: every word can be clicked. caps: remapped keys as read, by id.

    width: the cells there are, 0 for as many as it takes. What has no room is left out, Help last of all.
    """
    shown = [command for command in commands(place) if command.footer or (width and command.spare)]
    order = sorted(shown, key=lambda command: (command.title != "Help", not command.footer))
    kept: list[Command] = []
    used = -len(BETWEEN)
    for command in order:
        used += len(f"{BETWEEN}{_footer_cap(command, caps)} {command.footer or command.spare}")
        if width and used > width:
            break
        kept.append(command)
    parts = [
        f'[@click="{_target(command.action)}"][b]{escape(_footer_cap(command, caps))}[/b] '
        f"{command.footer or command.spare}[/]"
        for command in shown
        if command in kept
    ]
    return BETWEEN.join(parts)


def _footer_cap(command: Command, caps: Mapping[str, str]) -> str:
    cap = caps.get(command.id)
    if cap is None:
        return command.footer_key or command.keycap
    return f"{cap}…" if command.footer_key else cap


def _target(action: str) -> str:
    return action if action.startswith("app.") else f"screen.{action}"
