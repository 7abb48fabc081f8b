"""What panes say to their screen: one kind of message for work, one for the choice of work.

Data goes down as the snapshot, messages come up as these. A pane that called the bench itself would
act outside the tape's order.
"""

from __future__ import annotations

from enum import Enum
from pathlib import Path

from textual.message import Message

from simgate.bench.actions import Action, Push


class Parting(Enum):
    """How a person went away from a Bench."""

    HANDED_OVER = "handed over"
    LEFT = "left, to be gone on with"
    AGAIN = "left, to start the same job again"


class Act(Message):
    """Hands do `action`. `touch` lets go again by itself once a light press would have ended.

    A push that follows a push of the same leaf replaces it while both wait: only the last force counts.
    """

    def __init__(self, action: Action, *, touch: bool = False) -> None:
        super().__init__()
        self.action = action
        self.touch = touch

    def can_replace(self, message: Message) -> bool:
        return (
            isinstance(message, Act)
            and isinstance(self.action, Push)
            and isinstance(message.action, Push)
            and self.action.leaf == message.action.leaf
        )


class Ask(Message):
    """The person picked a command by mouse: its id in the command table."""

    def __init__(self, command: str) -> None:
        super().__init__()
        self.command = command

    def can_replace(self, message: Message) -> bool:
        return isinstance(message, Ask) and message.command == self.command


class Start(Message):
    """The Workshop asks for a job, or for a mode to rehearse, by its name."""

    def __init__(self, name: str, rehearse: bool) -> None:
        super().__init__()
        self.name = name
        self.rehearse = rehearse


class Compare(Message):
    """The Workshop asks for two modes side by side, by their titles."""

    def __init__(self, mode: str, against: str) -> None:
        super().__init__()
        self.mode = mode
        self.against = against


class GoOn(Message):
    """The Workshop asks for a run left open, by its tape."""

    def __init__(self, tape: Path) -> None:
        super().__init__()
        self.tape = tape
