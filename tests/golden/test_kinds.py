"""The iron of every kind of gate, bit for bit: a scripted run of each, with its floats in one digest.

Golden tapes hold whole jobs; these hold the arithmetic of every drive and leaf alone, so that a digest which
moves here says that the iron moved, and one that differs between two Pythons or two machines says that a
float did. `python -m tests.golden.test_kinds` prints them anew where a change is meant.

Sine, cosine, square root, arc tangent and the like come from the C library, not from Python, and only the
square root must be rounded correctly (IEEE 754): on another C library these digests may differ in the last
bit of a leaf that swings. A leaf that slides needs none of them in its step.
"""

from __future__ import annotations

import hashlib

import pytest

from simgate.bench.site import load_site
from simgate.plant.plant import Plant

DIGESTS = {
    "works-slide": "53e1cd70713be8c7",
    "garden-arm": "bb8fef1a39cf57c8",
    "park-oil": "ddde93c05fdae261",
    "court-double": "0fd26e2237efe80d",
    "farm-double": "a5d5a5cf336d97c0",
    "yard-single": "49b7eac4508a7971",
}


def scripted(name: str) -> str:
    """Digest of every float in every scan of: open, cut, release and push, couple, shut with a body, wind."""
    plant = Plant(load_site(name).plant)
    digest = hashlib.sha256()

    def run(scans: int) -> None:
        for _ in range(scans):
            plant.step()
            digest.update(" ".join(value.hex() for value in plant.state()).encode())

    def drive(volts: float, limit: float = 6.0) -> None:
        for leaf in plant.leaves:
            leaf.volts, leaf.limit, leaf.powered, leaf.ohms = volts, limit, volts != 0.0, 0.2

    drive(14.0)
    run(500)
    drive(0.0)
    run(50)
    for leaf in plant.leaves:
        leaf.released, leaf.push = True, 70.0
    plant.wind = 9.0
    run(200)
    for leaf in plant.leaves:
        leaf.push = 0.0
        leaf.released = False
    run(50)
    first = plant.leaves[0]
    first.place_body(1.0, 0.5 * first.place)
    drive(-22.0)
    run(1500)
    first.remove_body()
    run(3000)
    drive(22.0, limit=10.0)
    run(3000)
    assert all(leaf.place > 0.5 for leaf in plant.leaves)
    return digest.hexdigest()[:16]


@pytest.mark.parametrize("name", DIGESTS)
def test_the_floats_of_a_kind_are_the_same_on_every_python(name: str) -> None:
    assert scripted(name) == DIGESTS[name]


if __name__ == "__main__":
    for site in DIGESTS:
        print(f'    "{site}": "{scripted(site)}",')
