"""The wheel, away from the repository: the scenarios travel with it and a job runs."""

from __future__ import annotations

import os
import subprocess
import sys
import sysconfig
from pathlib import Path

ROOT = Path(__file__).parent.parent

RUN_A_JOB = """
import json
from pathlib import Path
import simgate
from simgate import load_job
from simgate.bench.actions import HandOver
from simgate.practice.marks import mark
job = load_job("first-learn")
bench = job.bench()
bench.run(1000)
bench.act(HandOver())
print(json.dumps([str(Path(simgate.__file__).parent), mark(job, bench).passed, bench.snapshot().display]))
"""


def test_a_wheel_in_a_fresh_environment_runs_a_job(tmp_path: Path) -> None:
    build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(tmp_path), str(ROOT)]
    subprocess.run(build, check=True, capture_output=True, text=True)
    (wheel,) = tmp_path.glob("*.whl")
    venv = tmp_path / "venv"
    subprocess.run(
        [sys.executable, "-m", "venv", "--without-pip", str(venv)], check=True, capture_output=True
    )
    python = venv / "bin" / "python"
    target = subprocess.run(
        [python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"],
        check=True,
        capture_output=True,
        text=True,
    ).stdout.strip()
    install = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--target", target, str(wheel)]
    subprocess.run(install, check=True, capture_output=True, text=True)
    # The dependencies are lent by this environment; only simgate itself must come from the wheel. A .pth
    # file would also lend the editable simgate, so the path is appended after the wheel's own folder.
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([target, sysconfig.get_path("purelib")])}
    result = subprocess.run(
        [python, "-c", RUN_A_JOB], cwd=tmp_path, env=environment, capture_output=True, text=True, check=False
    )
    assert result.returncode == 0, result.stderr
    where, rest = result.stdout.split(",", 1)
    assert str(venv) in where
    assert rest.startswith(" false")
