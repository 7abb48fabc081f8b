"""`simgate replay TAPE`: run a tape again and mark it."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from simgate.cli.command import FINE, NOT_FINE, Commands, add_command, add_json

if TYPE_CHECKING:
    from simgate.bench.scan import Bench
    from simgate.bench.tape import Tape
    from simgate.practice.marks import Marks


def add(commands: Commands) -> None:
    """Add `replay`."""
    parser = add_command(commands, "replay", run, __doc__, "my-run.tape --json")
    parser.add_argument("tape", metavar="TAPE", type=Path, help="a tape file")
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Replay; 1 when the job is not passed, or when the run ends in another digest than it did."""
    from simgate.bench.replay import replay
    from simgate.bench.tape import own_version, read_tape
    from simgate.cli.finding import finding_document, print_finding
    from simgate.practice.debrief import debrief
    from simgate.practice.ending import Ending
    from simgate.practice.job import load_job
    from simgate.practice.marks import mark

    tape = read_tape(args.tape)
    job = load_job(tape.head.job)
    bench = replay(tape, job.setup(tape.head.seed))
    story = debrief(job, Ending.of(bench))
    marks = mark(job, bench)
    same = None if tape.digest is None else tape.digest == bench.digest()
    if args.json:
        document = _document(tape, bench, marks, same) | finding_document(story)
        document |= {"same_version": tape.head.version == own_version()}
        print(json.dumps(document, indent=2, ensure_ascii=False))
    else:
        _print(tape, bench, marks, same, own_version())
        print_finding(story)
    return NOT_FINE if same is False or not marks.passed else FINE


def _document(tape: Tape, bench: Bench, marks: Marks, same: bool | None) -> dict[str, Any]:
    return {
        "job": tape.head.job,
        "version": tape.head.version,
        "seed": tape.head.seed,
        "goals": [{"goal": goal.words, "met": goal.met, "why": goal.why} for goal in marks.goals],
        "conduct": [
            {"fault": fault.title, "tick": fault.tick, "why": fault.why, "marks": fault.weight.marks}
            for fault in marks.conduct
        ],
        "marks": {
            "total": marks.total,
            "passed": marks.passed,
            "marked": marks.marked,
            "terms": {term.name: term.marks for term in marks.terms},
        },
        "ticks": bench.tick,
        "digest": bench.digest(),
        "same_digest": same,
    }


def _print(tape: Tape, bench: Bench, marks: Marks, same: bool | None, ours: str) -> None:
    other = "" if tape.head.version == ours else f", run again on {ours}"
    print(f"job      {tape.head.job} (version {tape.head.version}{other})")
    for goal in marks.goals:
        print(f"{'met' if goal.met else 'not met':<8} {goal.words}" + ("" if goal.met else f": {goal.why}"))
    for fault in marks.conduct:
        when, cost = f"{fault.tick / 1000:.1f} s", f"{fault.weight.marks} marks"
        print(f"conduct  {fault.title} at {when}: {fault.why} ({cost})")
    passed = "passed" if marks.passed else "not passed"
    print(f"marks    {marks.total} of 100, {passed if marks.marked else 'a run that is not marked'}")
    print(f"ticks    {bench.tick} ms")
    note = {True: "", False: f", but the run itself ended in {tape.digest}", None: ", of a run broken off"}
    print(f"digest   {bench.digest()}{note[same]}")
