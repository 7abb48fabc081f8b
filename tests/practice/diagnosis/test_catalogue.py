"""Every kind of fault shows as its row says, and mending it brings back every reading of the sound gate."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import msgspec
import pytest

from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.practice.diagnosis.costs import costs, typical
from simgate.practice.diagnosis.dead import Reading
from simgate.practice.diagnosis.stand import Stand
from simgate.practice.diagnosis.table import outcome
from simgate.wiring import faults
from simgate.wiring.faults import FaultKind, kind_of


class Claim(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    kind: str
    site: str
    place: str
    look: str
    way: str


class Claims(msgspec.Struct, frozen=True):
    claim: list[Claim]


FILE = Path(__file__).with_name("claims.toml")
CLAIMS = msgspec.toml.decode(FILE.read_bytes(), type=Claims).claim


@cache
def stand(site: str) -> Stand:
    return Stand(Setup(job=site, site=load_site(site)))


@cache
def sound(site: str) -> tuple[Reading, ...]:
    return tuple(stand(site).read(None))


def test_every_kind_has_a_claim() -> None:
    assert {claim.kind for claim in CLAIMS} == {kind.value for kind in FaultKind}
    assert len(FaultKind) >= 40


@pytest.mark.parametrize("claim", CLAIMS, ids=lambda claim: f"{claim.kind}-{claim.way}")
def test_a_fault_shows_as_its_row_says_and_mending_restores_every_reading(claim: Claim) -> None:
    at, kind = stand(claim.site), kind_of(claim.kind)
    assert claim.place in faults.places(at.harness, kind)
    (number,) = [n for n, look in enumerate(at.looks) if look.words == claim.look]
    healthy, state = sound(claim.site), at.harness.state()
    ill = tuple(at.read(typical(kind, claim.place)))
    was, now = healthy[number], ill[number]
    tolerance = costs().tolerance_of(at.looks[number].how.value)
    assert outcome((was, now), tolerance)[1], f"{was} and {now} cannot be told apart"
    if claim.way in ("up", "down"):
        assert was is None or isinstance(was, float)
        assert now is None or isinstance(now, float)
        higher = now is None or (was is not None and now > was)  # None: the ohmmeter finds no way at all
        assert higher is (claim.way == "up"), f"{was} became {now}"
    else:
        assert claim.way == "other"
    assert tuple(at.read(None)) == healthy
    assert at.harness.state() == state
