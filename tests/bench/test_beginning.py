"""How a run begins: what a board that has learned its gate knows, it could only have learned there."""

from __future__ import annotations

import pytest

from simgate.bench.scan import Bench
from simgate.board.modes import shipped_modes
from tests.bench.made import setup


@pytest.mark.parametrize("mode", shipped_modes())
def test_a_board_that_begins_learned_knows_what_it_would_learn_there_in_its_own_mode(mode: str) -> None:
    """Runs in all modes share one learn cycle; so none may depend on the mode in which it is made."""
    learner = Bench(setup(mode, learned=False))
    learner.run(1000)
    assert learner.board.start_learn(learner.tick) == ""
    while learner.board.learned_data() is None and learner.tick < 600_000:
        learner.run(1000)
    begun = Bench(setup(mode)).board
    assert begun.learned
    assert not begun.stale
    assert begun.learned_data() == learner.board.learned_data()
