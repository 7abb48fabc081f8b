"""Which key does what once a person has chosen other keys: checked, and as people read it.

Two commands on one key, or a key that no terminal tells apart from another, would leave a command that
cannot be reached; so a map is taken whole or refused with every mistake in it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from textual.app import App
from textual.keys import Keys, _character_to_key, key_to_character

from simgate.files import Document, Problem, nearest, shown
from simgate.tui.commands import COMMANDS, NONE, Command, Place

TOGETHER: tuple[
    tuple[Place | str, ...], ...
] = (  # places, or ids of commands, whose keys are live at the same time
    (Place.BENCH, Place.CABINET, Place.EVERYWHERE),
    (Place.BENCH, Place.TICKER, Place.EVERYWHERE),
    (Place.WORKSHOP, Place.EVERYWHERE),
    (Place.DEBRIEF, Place.EVERYWHERE),
    (Place.COMPARING, Place.EVERYWHERE),
    (Place.CARD, Place.READING),
    (Place.CARD, Place.QUESTION),
    (Place.CARD, Place.LIST),
    (Place.CARD, Place.RUNS),
    (Place.CARD, Place.ANSWER),
    (Place.CARD, Place.PREFERENCES),
    (Place.CARD, Place.DIAGRAM, "diagram"),
    (Place.CARD, "card"),
    (Place.CARD, "strip"),
)
TAKEN = {
    "ctrl+c": "it says how to leave",
    "ctrl+i": "terminals send it as tab",
    "ctrl+m": "terminals send it as enter",
    "ctrl+j": "terminals send it as enter",
    "ctrl+h": "terminals send it as backspace",
    "ctrl+z": "it puts simgate in the background",
    "tab": "it goes from pane to pane",
    "shift+tab": "it goes from pane to pane",
}
MODIFIERS = ("ctrl", "alt", "shift")
ALLOWED = "one character, a key by name (f5, space, pageup), or one of these after ctrl+ or alt+"
_NAMES = {key.value for key in Keys if "<" not in key.value and "+" not in key.value} | {"space"}
_SIGNS = {_character_to_key(chr(code)): chr(code) for code in range(33, 0x250) if not chr(code).isalnum()}


@dataclass(frozen=True, slots=True)
class Keymap:
    """Other keys by id of the command, each as Textual names it. None by default."""

    keys: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))

    def textual(self) -> dict[str, str]:
        """As Textual takes it."""
        return {id: ",".join(keys) for id, keys in self.keys.items()}

    def caps(self) -> Mapping[str, str]:
        """The remapped keys as people read them, by id."""
        return {id: cap(keys[0]) for id, keys in self.keys.items()} if self.keys else NONE

    def cap(self, id: str) -> str:
        """The key of one command as people read it."""
        if id in self.keys:
            return cap(self.keys[id][0])
        return next(command.keycap for command in COMMANDS if command.id == id)

    def of(self, command: Command) -> tuple[str, ...]:
        """The keys of a command as Textual names them."""
        return self.keys.get(command.id, tuple(command.key.split(",")))


NO_OTHER = Keymap()


def keymap_of(app: App[Any]) -> Keymap:
    """The keys that the person at `app` has chosen."""
    keymap = getattr(app, "keymap", None)
    return keymap if isinstance(keymap, Keymap) else NO_OTHER


def hints(app: App[Any], *parts: tuple[str | tuple[str, ...], str]) -> str:
    """What keys do, for the lower edge of a card: (id or ids of commands, what it does), as they are set."""
    keymap = keymap_of(app)
    told = []
    for ids, does in parts:
        caps = [keymap.cap(id) for id in ((ids,) if isinstance(ids, str) else ids)]
        told.append(f"{' or '.join(caps)}: {does}")
    return " · ".join(told)


def cap(key: str) -> str:
    """A key as people read it: '?' for 'question_mark', 'ctrl+k' as it is."""
    *modifiers, last = key.split("+") if key != "+" else [key]
    return "+".join([*modifiers, last if last in _NAMES else _character(last) or last])


def checked(document: Document, wanted: Mapping[str, str | list[str]]) -> tuple[Keymap, list[Problem]]:
    """The map that `wanted` means, with every mistake in it. The one key of a command, or a list of them."""
    known = {command.id: command for command in COMMANDS}
    keys: dict[str, tuple[str, ...]] = {}
    problems: list[Problem] = []
    for id, value in wanted.items():
        if id not in known:
            problems.append(document.problem(["keys", id], "no such command", nearest(id, known)))
            continue
        named = [value] if isinstance(value, str) else value
        found = [(one, normal(one)) for one in named]
        for one, key in found:
            if key is None:
                problems.append(document.problem(["keys", id], shown(one), ALLOWED))
            elif key in TAKEN and key not in known[id].key.split(","):
                problems.append(document.problem(["keys", id], shown(one), f"another key: {TAKEN[key]}"))
        if not named:
            problems.append(document.problem(["keys", id], "no key", "at least one"))
        keys[id] = tuple(key for _, key in found if key is not None)
    if not problems:
        problems += _conflicts(document, Keymap(keys))
    return Keymap(keys), problems


def normal(key: str) -> str | None:
    """A key as Textual names it, None for what is none: '?' is 'question_mark', 'Ctrl+K' is 'ctrl+k'."""
    if len(key) == 1:
        return "space" if key == " " else _character_to_key(key) if key.isprintable() else None
    *modifiers, last = key.split("+")
    modifiers, last = [modifier.lower() for modifier in modifiers], last.lower()
    if len(set(modifiers)) != len(modifiers) or not set(modifiers) <= set(MODIFIERS):
        return None
    if len(last) == 1:  # with shift it is another character
        plain = last.isprintable() and not last.isspace() and modifiers and "shift" not in modifiers
        return "+".join([*modifiers, _character_to_key(last)]) if plain else None
    return "+".join([*modifiers, last]) if last in _NAMES or _character(last) else None


def _character(name: str) -> str | None:
    """The character that Textual calls by this name, None for no such name."""
    if name in _SIGNS:
        return _SIGNS[name]
    found = key_to_character(name)
    return found if found is not None and _character_to_key(found) == name else None


def _conflicts(document: Document, keymap: Keymap) -> Iterator[Problem]:
    told: set[frozenset[str]] = set()
    for places in TOGETHER:
        owners: dict[str, Command] = {}
        for command in COMMANDS:
            everywhere = command.place is Place.EVERYWHERE and command.first
            if command.place not in places and command.id not in places and not everywhere:
                continue
            for key in keymap.of(command):
                other = owners.setdefault(key, command)
                pair = frozenset((other.id, command.id))
                if other is command or pair in told:
                    continue
                told.add(pair)
                mine, theirs = (command, other) if command.id in keymap.keys else (other, command)
                found = f"the key {cap(key)}, which '{theirs.id}' ({theirs.title}) has too"
                yield document.problem(
                    ["keys", mine.id], found, "a key of its own, or another one for that command"
                )
