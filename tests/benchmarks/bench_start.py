"""Start-up: a headless command beside `import transitions`, and the Workshop's first paint.

Run: python tests/benchmarks/bench_start.py
Printed, never asserted. Wall seconds of fresh processes; the median of several.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

REPEATS = 11

PLAIN_APP = """
import asyncio
from textual.app import App, ComposeResult
from textual.widgets import Static
class Plain(App):
    def compose(self) -> ComposeResult:
        for n in range(30):
            yield Static(f"widget {n}")
async def main():
    async with Plain().run_test(size=(120, 40)) as pilot:
        await pilot.pause()
asyncio.run(main())
"""

WORKSHOP = """
import asyncio
from simgate.tui.app import SimgateApp
async def main():
    async with SimgateApp().run_test(size=(120, 40)) as pilot:
        await pilot.pause()
asyncio.run(main())
"""


def seconds(*command: str) -> float:
    """Wall time of a fresh interpreter running `command`."""
    started = time.perf_counter()
    subprocess.run([sys.executable, *command], check=True, capture_output=True)
    return time.perf_counter() - started


def pair(ours: tuple[str, ...], other: tuple[str, ...]) -> tuple[float, float]:
    """Median times of two commands, run in turns so that a slow spell of the machine meets both."""
    times = [(seconds(*ours), seconds(*other)) for _ in range(REPEATS)]
    return statistics.median(one for one, _ in times), statistics.median(two for _, two in times)


def say(ours: str, our_seconds: float, other: str, other_seconds: float) -> None:
    """Print two times and their ratio."""
    times = our_seconds / other_seconds
    print(f"{ours} {our_seconds * 1000:.0f} ms, {other} {other_seconds * 1000:.0f} ms: {times:.2f} times")


def main() -> None:
    jobs, bare = pair(("-m", "simgate", "jobs"), ("-c", "import transitions"))
    say("simgate jobs", jobs, "import transitions", bare)
    workshop, plain = pair(("-c", WORKSHOP), ("-c", PLAIN_APP))
    say("first paint of the Workshop", workshop, "of a bare app of 30 widgets", plain)


if __name__ == "__main__":
    main()
