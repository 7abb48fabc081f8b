"""The garbage collector kept from walking over what stays.

Thousands of collected tests, Textual and the numeric libraries are some million objects that live to the
end; looked through again and again they cost a fifth of the suite's time. Cycles that tests leave behind
are collected as ever, less often.
"""

from __future__ import annotations

import gc

OFTEN = (50_000, 20, 50)  # objects more before the young are looked at, instead of 700


def pytest_collection_finish() -> None:
    """Set aside for good what is there before the first test runs."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(*OFTEN)
