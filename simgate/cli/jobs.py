"""`simgate jobs`: the shipped jobs, one line each."""

from __future__ import annotations

import argparse
import json

EXAMPLE = "example: simgate jobs --json"


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `jobs`."""
    parser = commands.add_parser("jobs", help="list the jobs", description=__doc__, epilog=EXAMPLE)
    parser.add_argument("--json", action="store_true", help="print one JSON document and nothing else")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Print the jobs."""
    from simgate.practice.job_file import all_jobs

    jobs = all_jobs()
    if args.json:
        rows = [{"name": job.name, "title": job.title, "for": job.learner, "minutes": job.minutes} for job in jobs]
        print(json.dumps(rows, indent=2, ensure_ascii=False))
        return 0
    width = max(len(job.name) for job in jobs)
    for job in jobs:
        print(f"{job.name:<{width}}  {job.title} ({job.learner}, {job.minutes:g} min)")
    print("\nStart one with: simgate play NAME")
    return 0
