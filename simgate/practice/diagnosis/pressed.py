"""When a press of a remote shows whether the board hears it.

A key that is taught moves the gate, or is refused in words; one that is not is shown by the page of the book
that waits for a key to teach. Anywhere else nothing comes of it, heard or not, and nobody is the wiser.
"""

from __future__ import annotations

from simgate.bench import actions as a
from simgate.bench.radio import OWN
from simgate.bench.setup import Setup
from simgate.board.book_devices import HEARD, PRESS_NOW
from simgate.board.signals import Note, NoteKind
from simgate.wiring.heads import BESIDE


class Presses:
    """What is known of the remotes while a run is followed."""

    def __init__(self, setup: Setup) -> None:
        remotes = (*setup.site.wiring.remotes, OWN)
        self._serials = {remote.name: remote.serial for remote in remotes}
        self._taught = {f"{self._serials[name]} key {key}" for name, key, _ in setup.taught}
        self._away: dict[str, float] = {}
        self._listening = False

    def noted(self, note: Note) -> None:
        """A key was taught or erased, or the display changed."""
        if note.kind is NoteKind.KEY_TAUGHT:
            self._taught.add(note.detail.partition(" = ")[0])
        elif note.kind is NoteKind.KEY_ERASED:
            self._taught.discard(note.detail)
        elif note.kind is NoteKind.DISPLAY:
            self._listening = PRESS_NOW in note.detail or HEARD in note.detail

    def carried(self, action: a.CarryRemote) -> None:
        """Somebody went away with one, or came back."""
        self._away[action.remote] = action.metres

    def shows(self, action: a.RemoteKey) -> bool:
        """Whether somebody sees by this press if the board hears the remote from beside it."""
        name = action.remote
        if not action.down or self._away.get(name, BESIDE) != BESIDE:
            return False
        return self._listening or f"{self._serials[name]} key {action.key}" in self._taught
