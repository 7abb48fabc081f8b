"""The table of the reference site, built once for all that reads it."""

from __future__ import annotations

import pytest

from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.practice.diagnosis.table import Table, build


@pytest.fixture(scope="session")
def farm() -> Table:
    return build(Setup(job="farm", site=load_site("farm-double")))
