"""The arrows of the design: which room may import which, checked twice."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
BELOW_TUI = ("files", "file_words", "plant", "wiring", "board", "bench", "practice", "cli")


def test_the_layers_contract_holds() -> None:
    command = [str(Path(sys.executable).with_name("lint-imports")), "--no-cache"]
    result = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert result.returncode == 0, result.stdout + result.stderr


@pytest.mark.parametrize("command", [["jobs"], ["modes"], ["lint", "scenarios"]])
def test_a_headless_command_loads_no_terminal_library(command: list[str]) -> None:
    code = (
        "import sys\nfrom simgate.cli.main import main\n"
        f"assert main({command!r}) == 0\n"
        "heavy = {'textual', 'rich', 'numpy', 'scipy'}\n"
        "print(sorted({name.partition('.')[0] for name in sys.modules} & heavy))"
    )
    run = [sys.executable, "-c", code]
    result = subprocess.run(run, cwd=ROOT, capture_output=True, text=True, check=False)
    assert result.returncode == 0, result.stderr
    assert result.stdout.splitlines()[-1] == "[]"


def test_every_room_below_the_terminal_loads_without_it() -> None:
    code = (
        "import importlib, pkgutil, sys, simgate\n"
        f"rooms = {BELOW_TUI!r}\n"
        "for module in pkgutil.walk_packages(simgate.__path__, 'simgate.'):\n"
        "    if module.name.split('.')[1] in rooms:\n"
        "        importlib.import_module(module.name)\n"
        "assert not {'textual', 'rich'} & set(sys.modules)"
    )
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert result.returncode == 0, result.stderr


CLOCKS = {"time", "datetime", "random", "secrets", "uuid", "threading", "asyncio"}
SIMULATED = ("plant", "wiring", "board", "bench", "practice")


def test_below_the_terminal_there_is_no_clock_and_no_chance() -> None:
    """A run is its tape: anything that asks the machine for the time or for luck could not be replayed."""
    found = []
    for room in SIMULATED:
        for path in sorted((ROOT / "simgate" / room).rglob("*.py")):
            for node in ast.walk(ast.parse(path.read_text())):
                names = []
                if isinstance(node, ast.Import):
                    names = [alias.name for alias in node.names]
                elif isinstance(node, ast.ImportFrom):
                    names = [node.module or ""]
                found += [f"{path}: {name}" for name in names if name.partition(".")[0] in CLOCKS]
    assert not found


def test_no_built_in_sum_where_numbers_are_simulated() -> None:
    """Its rounding of floats changed in Python 3.12, and with it the digest of every tape."""
    found = []
    for room in SIMULATED:
        for path in sorted((ROOT / "simgate" / room).rglob("*.py")):
            for node in ast.walk(ast.parse(path.read_text())):
                if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "sum":
                    found.append(f"{path}:{node.lineno}")
    assert not found
