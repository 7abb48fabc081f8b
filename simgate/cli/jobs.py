"""`simgate jobs`: the shipped jobs, one line each."""

from __future__ import annotations

import argparse
import json

from simgate.cli.command import Commands, add_command, add_json


def add(commands: Commands) -> None:
    """Add `jobs`."""
    parser = add_command(commands, "jobs", run, __doc__, "--json")
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Print the jobs."""
    from simgate.practice.shelf import all_jobs

    jobs = all_jobs()
    if args.json:
        rows = [
            {"name": job.name, "title": job.title, "for": job.learner, "minutes": job.minutes} for job in jobs
        ]
        print(json.dumps(rows, indent=2, ensure_ascii=False))
        return 0
    width = max(len(job.name) for job in jobs)
    for job in jobs:
        print(f"{job.name:<{width}}  {job.title} ({job.learner}, {job.minutes:g} min)")
    print("\nStart one with: simgate play NAME")
    return 0
