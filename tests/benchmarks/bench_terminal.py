"""The terminal with the bench running: from a key to its painted answer, and how much of a core it takes.

Run: python tests/benchmarks/bench_terminal.py     (Linux: it reads /proc)
Printed, never asserted. The program runs as a person runs it, in a pseudo-terminal of 80x24 and of 120x40.
"""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import re
import select
import signal
import statistics
import struct
import sys
import tempfile
import termios
import time
from pathlib import Path

PRESSES = 40
SECONDS = 8.0
ESCAPES = re.compile(rb"\x1b\[[0-9;?<>=]*[a-zA-Z]|\x1b[()][A-Z0-9]")


class Terminal:
    """simgate in a pseudo-terminal of its own, with a data folder that is thrown away."""

    def __init__(self, columns: int, rows: int, *argv: str) -> None:
        home = tempfile.mkdtemp()
        self.pid, self.file = pty.fork()
        if self.pid == 0:
            os.environ.update(TERM="xterm-256color", COLORTERM="truecolor", HOME=home, XDG_DATA_HOME=home)
            os.execv(sys.executable, [sys.executable, "-m", "simgate", *argv])
        fcntl.ioctl(self.file, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

    def drain(self, seconds: float) -> bytes:
        """What is painted within `seconds`."""
        painted = b""
        until = time.perf_counter() + seconds
        while (left := until - time.perf_counter()) > 0:
            if select.select([self.file], [], [], left)[0]:
                painted += os.read(self.file, 65_536)
        return painted

    def answer(self, key: bytes, words: re.Pattern[bytes], limit: float = 3.0) -> float:
        """Seconds from a key to the first paint that holds `words`."""
        started = time.perf_counter()
        os.write(self.file, key)
        painted = b""
        while time.perf_counter() - started < limit:
            if select.select([self.file], [], [], 0.05)[0]:
                painted += os.read(self.file, 65_536)
                if words.search(ESCAPES.sub(b"", painted)):
                    return time.perf_counter() - started
        raise TimeoutError(f"no answer to {key!r}: {ESCAPES.sub(b'', painted)[-200:]!r}")

    def processor_seconds(self) -> float:
        """User and system time of the program so far."""
        fields = Path(f"/proc/{self.pid}/stat").read_text().rsplit(")", 1)[1].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def share(self, seconds: float) -> float:
        """Share of one core over `seconds`."""
        before, started = self.processor_seconds(), time.perf_counter()
        self.drain(seconds)
        return (self.processor_seconds() - before) / (time.perf_counter() - started)

    def close(self) -> None:
        """End the program."""
        os.kill(self.pid, signal.SIGTERM)
        with contextlib.suppress(OSError):  # how a pseudo-terminal says that nobody is at its other end
            self.drain(0.5)
        os.close(self.file)
        os.waitpid(self.pid, 0)


def main() -> None:
    for columns, rows in ((80, 24), (120, 40)):
        terminal = Terminal(columns, rows, "play", "self-close-and-back")
        terminal.drain(4.0)
        os.write(terminal.file, b"\r")
        terminal.drain(1.0)
        rest = terminal.share(SECONDS)
        os.write(terminal.file, b"c")
        terminal.drain(1.0)
        moving = terminal.share(SECONDS)
        times = []
        for _ in range(PRESSES // 2):  # both leaves move meanwhile
            times.append(terminal.answer(b"2", re.compile(rb"Chapter 1")))
            terminal.drain(0.3)
            times.append(terminal.answer(b"1", re.compile(rb"Opening|Open|Shutting")))
            terminal.drain(0.3)
        terminal.close()
        p50, p95 = statistics.median(times) * 1000, statistics.quantiles(times, n=20)[-1] * 1000
        print(f"{columns}x{rows}: key to painted answer p50 {p50:.0f} ms, p95 {p95:.0f} ms")
        print(
            f"  of one core at x1: gate at rest {100 * rest:.0f} %, both leaves moving {100 * moving:.0f} %"
        )


if __name__ == "__main__":
    main()
