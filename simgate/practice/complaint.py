"""What a briefing tells of the fault, as looks: so that whoever reads it and the planner know the same.

A gate whose display shows nothing amiss could have any of a hundred faults; the person who was told that its
lock does not draw has fewer to think of. Read and checked with the job.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from simgate.bench.site import Site
from simgate.files import Document, Problem, nearest, shown
from simgate.practice.diagnosis.observation import How, Observation, observations
from simgate.practice.diagnosis.states import State, StateKind, states
from simgate.practice.job_file import ComplaintFile
from simgate.wiring.harness import Harness
from simgate.wiring.tables import LEAF_NAMES


@dataclass(frozen=True, slots=True)
class Complaint:
    """Something that the briefing tells: a look, or among which devices and wires the fault is.

    how: a way to look, None for none. state, of, leaf, at: as of an observation.
    """

    how: How | None = None
    state: StateKind = StateKind.REST
    of: str = ""
    leaf: int = 0
    at: str = ""
    among: tuple[str, ...] = ()

    def tells(self, look: Observation) -> bool:
        """Whether that look is what the briefing tells of."""
        state = State(self.state, self.of, self.leaf)
        return look.how is self.how and look.state == state and look.a == self.at


def complaint_of(file: ComplaintFile) -> Complaint:
    """From the job file, once `mistakes` has found none."""
    return Complaint(
        How(file.how) if file.how else None,
        StateKind(file.state),
        file.of,
        LEAF_NAMES.index(file.leaf),
        file.at,
        tuple(file.among),
    )


def mistakes(
    files: Sequence[ComplaintFile], document: Document, harness: Harness, site: Site
) -> Iterator[Problem]:
    """Looks that nobody can take at the site, places that it has not."""
    names = [device.name for device in harness.spec.devices] + [wire.name for wire in harness.spec.wires]
    for index, file in enumerate(files):
        if bool(file.how) is bool(file.among):
            found = "both a look and places" if file.how else "neither a look nor places"
            yield document.problem(["complaint", index], found, "one of 'how' and 'among'")
            continue
        for name in file.among:
            if name not in names:
                yield document.problem(["complaint", index, "among"], shown(name), nearest(name, names))
        if file.how:
            yield from _look(file, index, document, harness, site)


def _look(
    file: ComplaintFile, index: int, document: Document, harness: Harness, site: Site
) -> Iterator[Problem]:
    hows, kinds = [how.value for how in How], [kind.value for kind in StateKind]
    if file.how not in hows:
        yield document.problem(["complaint", index, "how"], shown(file.how), nearest(file.how, hows))
        return
    if file.state not in kinds:
        yield document.problem(["complaint", index, "state"], shown(file.state), nearest(file.state, kinds))
        return
    complaint = complaint_of(file)
    if not any(complaint.tells(look) for look in observations(harness, states(site))):
        found = f"{file.how} at {shown(file.at)}, {file.state}"
        yield document.problem(["complaint", index], found, "a look that can be taken at this site")
