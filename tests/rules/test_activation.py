"""The activation table, cell by cell.

Source: EN 12453:2000 Table 1, from memory and unverified, as the table itself says; written out here a
second time so that a slip in the data shows.
"""

from __future__ import annotations

import pytest

from simgate.rules.activation import Activation, Users, demand, letters

TABLE = {
    Activation.HOLD_TO_RUN: ("A", "B", "not allowed"),
    Activation.IMPULSE_IN_SIGHT: ("C, or E", "C, or E", "C and D, or E"),
    Activation.IMPULSE_OUT_OF_SIGHT: ("C, or E", "C and D, or E", "C and D, or E"),
    Activation.AUTOMATIC: ("C and D, or E", "C and D, or E", "C and D, or E"),
}


@pytest.mark.parametrize("activation", Activation)
def test_every_cell_is_as_the_scheme_has_it(activation: Activation) -> None:
    assert tuple(demand(activation, users).words for users in Users) == TABLE[activation]


def test_what_is_not_allowed_says_so_and_every_cell_names_its_source_as_unverified() -> None:
    assert not demand(Activation.HOLD_TO_RUN, Users.UNTRAINED).allowed
    for activation in Activation:
        for users in Users:
            assert "unverified" in demand(activation, users).source


def test_every_letter_that_is_used_means_something() -> None:
    used = {
        letter
        for activation in Activation
        for users in Users
        for letters_ in demand(activation, users).combinations
        for letter in letters_
    }
    assert used == set(letters())
