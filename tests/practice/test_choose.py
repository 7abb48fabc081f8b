"""Which mode suits a site: the ranking says what a trade person would, with reasons."""

from __future__ import annotations

import pytest

from simgate.board.modes import shipped_modes
from simgate.practice.choose import Choice, Needs, choices
from simgate.rules.activation import Activation, Users


def ranked(**needs: bool | Users) -> tuple[Choice, ...]:
    """The shipped modes for these needs, everything not named being no."""
    given = dict.fromkeys(("shuts_itself", "many", "watched", "walkers", "follow"), False) | needs
    return choices(Needs(**given), shipped_modes().values())  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("needs", "best"),
    [
        ({"shuts_itself": True, "many": True}, "Shared drive"),
        ({"shuts_itself": True, "follow": True}, "Close-behind"),
        ({"shuts_itself": True, "many": True, "walkers": True}, "Shared drive"),
    ],
)
def test_the_best_mode_is_the_one_made_for_it(needs: dict[str, bool], best: str) -> None:
    assert ranked(**needs)[0].title == best


def test_with_a_trained_person_watching_hold_to_run_is_among_the_best_and_not_for_the_untrained() -> None:
    trained = ranked(watched=True, users=Users.TRAINED)
    assert "Hold-to-run" in [one.title for one in trained[:3]]
    last = ranked(watched=True)[-1]
    assert (last.title, last.demand.allowed) == ("Hold-to-run", False)
    assert "hold to run is not for these users" in last.contra


def test_every_choice_gives_its_reasons_and_the_activation_that_follows_from_its_table() -> None:
    for one in ranked(shuts_itself=True, many=True, watched=False, walkers=True):
        table = shipped_modes()[one.title]
        assert one.pro or one.contra
        assert (one.activation is Activation.AUTOMATIC) is table.closes_itself
        assert (one.activation is Activation.HOLD_TO_RUN) is table.while_held


def test_the_order_follows_the_score_among_what_is_allowed() -> None:
    scores = [one.score for one in ranked(many=True, walkers=True) if one.demand.allowed]
    assert scores == sorted(scores, reverse=True)
