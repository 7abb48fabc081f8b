"""The program in a real terminal of its own: how it ends, whatever ends it, and what it sends.

Each of these starts a process, so there are few, and each looks at all that it can.
"""

from __future__ import annotations

import os
import re
import signal
import struct
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from simgate.bench.actions import Operate
from simgate.bench.tape import read_tape

if sys.platform == "win32":
    pytest.skip("no terminals of this kind", allow_module_level=True)
import fcntl
import pty
import select
import termios

LONGEST = 20.0  # s to wait for something; a loaded machine is slow
LEFT_SCREEN = b"\x1b[?1049l"  # back from the alternate screen
CURSOR = b"\x1b[?25h"
COLOUR = re.compile(rb"\x1b\[(?:\d+;)*(?:3[0-7]|4[0-7]|9[0-7]|10[0-7]|[34]8;[25])(?:;\d+)*m")


class Terminal:
    """`simgate` with `arguments` in a terminal of 80 x 24, its files under `home`."""

    def __init__(self, home: Path, *arguments: str, **environment: str) -> None:
        self.output = b""
        self.tapes = home / "data" / "simgate" / "tapes"
        names = {"XDG_DATA_HOME": "data", "XDG_CONFIG_HOME": "config"}
        own = {name: str(home / folder) for name, folder in names.items()}
        own |= {
            "HOME": str(home),
            "TERM": "xterm-256color",
            "COLORTERM": "truecolor",
            "TEXTUAL_ANIMATIONS": "none",
        }
        self.pid, self.file = pty.fork()
        if self.pid == 0:
            kept = {key: value for key, value in os.environ.items() if key != "NO_COLOR"}
            os.execve(
                sys.executable, [sys.executable, "-m", "simgate", *arguments], {**kept, **own, **environment}
            )
        self.resize(80, 24)

    def resize(self, width: int, height: int) -> None:
        """Another size of the window."""
        fcntl.ioctl(self.file, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))

    def read(self, seconds: float) -> bool:
        """Take in what comes within `seconds`. False at the end."""
        if not select.select([self.file], [], [], seconds)[0]:
            return True
        try:
            data = os.read(self.file, 65536)
        except OSError:
            return False
        self.output += data
        return bool(data)

    def until(self, *words: str) -> None:
        """Wait until all `words` were shown, blanks apart."""
        wanted = [word.replace(" ", "").encode() for word in words]
        end = time.monotonic() + LONGEST
        while not all(word in self.shown() for word in wanted):
            assert self.read(0.05), f"ended without {words}: {self.output[-2000:]!r}"
            assert time.monotonic() < end, f"no {words}: {self.output[-2000:]!r}"

    def shown(self) -> bytes:
        """All that was shown, without sequences and blanks."""
        return re.sub(rb"\x1b\[[0-?]*[ -/]*[@-~]|\s", b"", self.output)

    def type(self, keys: bytes) -> None:
        """Keys, as a terminal sends them: as many at a time as are taken."""
        end = time.monotonic() + LONGEST
        while keys:
            assert time.monotonic() < end, "it takes no keys"
            if select.select([], [self.file], [], 0.05)[1]:
                keys = keys[os.write(self.file, keys[:1000]) :]
            self.read(0)

    def ended(self) -> int:
        """Wait for the end. The exit code, or minus the signal that killed it."""
        end = time.monotonic() + LONGEST
        while self.read(0.05):
            assert time.monotonic() < end, "it does not end"
        _, status = os.waitpid(self.pid, 0)
        self.pid = 0
        return os.waitstatus_to_exitcode(status)

    def close(self) -> None:
        """Leave nothing behind."""
        if self.pid:
            os.kill(self.pid, signal.SIGKILL)
            os.waitpid(self.pid, 0)
        os.close(self.file)


@pytest.fixture
def started(tmp_path: Path) -> Iterator[Terminal]:
    """A run in which the call button was just pressed, on its tape."""
    terminal = Terminal(tmp_path, "play", "first-learn")
    try:
        terminal.until("First learn cycle", "go on")
        terminal.type(b"\r")
        terminal.until("Handsfree")
        terminal.type(b"c")
        end = time.monotonic() + LONGEST
        while not (tapes := list(terminal.tapes.glob("*.tape"))) or not read_tape(tapes[0]).actions:
            terminal.read(0.05)
            assert time.monotonic() < end
        yield terminal
    finally:
        terminal.close()


def whole(terminal: Terminal) -> bool:
    """Whether the tape has the light press with its end and the note of leaving."""
    (path,) = terminal.tapes.iterdir()
    tape = read_tape(path)
    assert [action for _, action in tape.actions] == [
        Operate("call-button", True), Operate("call-button", False),
    ]  # fmt: skip
    assert tape.left >= tape.actions[-1][0]
    return True


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_a_signal_ends_it_in_order(started: Terminal, number: signal.Signals) -> None:
    os.kill(started.pid, number)
    assert started.ended() == 128 + number
    assert LEFT_SCREEN in started.output
    assert CURSOR in started.output.rpartition(LEFT_SCREEN)[2] + started.output[-400:]
    assert b"Traceback" not in started.output
    assert b"simgate play --go-on" in started.output.rpartition(LEFT_SCREEN)[2]
    assert whole(started)


def test_a_terminal_that_is_closed_leaves_the_tape_whole(started: Terminal) -> None:
    os.close(started.file)
    started.file = os.open(os.devnull, os.O_RDONLY)
    end = time.monotonic() + LONGEST
    while os.waitpid(started.pid, os.WNOHANG) == (0, 0):
        assert time.monotonic() < end, "it goes on without a terminal"
        time.sleep(0.05)
    started.pid = 0
    assert whole(started)


def test_a_killed_process_loses_nothing_and_its_run_is_gone_on_with(
    started: Terminal, tmp_path: Path
) -> None:
    os.kill(started.pid, signal.SIGKILL)
    assert started.ended() == -signal.SIGKILL
    (path,) = started.tapes.iterdir()
    with path.open("ab") as file:
        file.write(b'{"t": 99990, "do"')
    again = Terminal(tmp_path, "play", "--go-on")
    try:
        again.until("You go on with a run left at")
        again.type(b"\r\x11")
        assert again.ended() == 0
        assert whole(again)
    finally:
        again.close()


def test_control_c_says_how_to_leave_and_storms_of_keys_and_sizes_change_nothing_of_that(
    started: Terminal,
) -> None:
    started.type(b"\x03")
    started.until("ctrl+q leaves simgate")
    for width, height in [(20, 5), (200, 60), (1, 1), (79, 23), (133, 41), (80, 24)] * 2:
        started.resize(width, height)
        started.read(0.01)
    started.type(b"\x1b[200~" + b"A long text, pasted. " * 1000 + b"\x1b[201~")
    for _ in range(8):
        started.type(b"1234567890cpsbxe+-" * 5)
        started.read(0.01)
    (path,) = started.tapes.iterdir()
    end = time.monotonic() + LONGEST
    while len(read_tape(path).actions) < 12:  # leaving at once overtakes keys that still wait
        started.read(0.05)
        assert time.monotonic() < end, "the keys are lost"
    started.type(b"\x11")
    assert started.ended() == 0
    assert LEFT_SCREEN in started.output
    assert b"Traceback" not in started.output
    tape = read_tape(path)
    assert len(tape.actions) >= 12
    assert tape.left == tape.last


def test_no_color_is_honoured(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path, NO_COLOR="1")
    try:
        terminal.until("Workshop", "Caution")
        terminal.type(b"\r")
        terminal.until("enter: go on")
        terminal.type(b"\x11")
        assert terminal.ended() == 0
        assert COLOUR.findall(terminal.output) == []
    finally:
        terminal.close()


def test_preferences_that_cannot_be_used_are_told_before_the_terminal_is_touched(tmp_path: Path) -> None:
    folder = tmp_path / "config" / "simgate"
    folder.mkdir(parents=True)
    (folder / "preferences.toml").write_text('theme = "dsuk"\n\n[keys]\ncal = "k"\nstop = "c"\n')
    terminal = Terminal(tmp_path)
    try:
        assert terminal.ended() == 2
        assert b"preferences.toml:1: theme: found 'dsuk'" in terminal.output
        assert (
            b"preferences.toml:4: keys.cal: found no such command; allowed: did you mean 'call'?"
            in terminal.output
        )
        assert LEFT_SCREEN not in terminal.output
    finally:
        terminal.close()
