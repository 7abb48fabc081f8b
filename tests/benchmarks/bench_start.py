"""Start-up: a headless command beside `import transitions`, and the Workshop's first paint.

Run: python tests/benchmarks/bench_start.py
Printed, never asserted. Fresh processes, run in turns so that a slow spell of the machine meets both; medians
of wall and of processor time with their quartiles. Both sides run from bytecode, as they do once installed,
and with folders of their own in which no run is left open.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import time
from tempfile import TemporaryDirectory

REPEATS = 21

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
from simgate.tui.first_paint import hold
hold()
from simgate.tui.app import SimgateApp
async def main():
    async with SimgateApp().run_test(size=(120, 40)) as pilot:
        await pilot.pause()
asyncio.run(main())
"""


Times = tuple[float, float]  # s: wall, processor


def spent(command: tuple[str, ...], environment: dict[str, str]) -> Times:
    """What a fresh interpreter takes to run `command`."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    started = time.perf_counter()
    subprocess.run([sys.executable, *command], check=True, capture_output=True, env=environment)
    wall = time.perf_counter() - started
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def beside(ours: str, command: tuple[str, ...], other: str, yardstick: tuple[str, ...]) -> None:
    """Run two commands in turns; print their times and ratios."""
    with TemporaryDirectory() as home:
        environment = {**os.environ, "XDG_DATA_HOME": home, "XDG_CONFIG_HOME": home}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        for one in (command, yardstick):
            spent(one, environment)  # the first time there may be no bytecode yet
        times = [(spent(command, environment), spent(yardstick, environment)) for _ in range(REPEATS)]
    for n, clock in enumerate(("wall", "processor")):
        mine, its = [one[n] for one, _ in times], [two[n] for _, two in times]
        ratio = statistics.median(one / two for one, two in zip(mine, its, strict=True))
        print(f"{ours} {told(mine)}, {other} {told(its)} ({clock}): {ratio:.2f} times")


def told(seconds: list[float]) -> str:
    """Median and quartiles in ms."""
    low, middle, high = (1000 * cut for cut in statistics.quantiles(seconds, n=4))
    return f"{middle:.0f} ms ({low:.0f} to {high:.0f})"


def main() -> None:
    beside("simgate jobs", ("-m", "simgate", "jobs"), "import transitions", ("-c", "import transitions"))
    beside("first paint of the Workshop", ("-c", WORKSHOP), "of a bare app of 30 widgets", ("-c", PLAIN_APP))


if __name__ == "__main__":
    main()
