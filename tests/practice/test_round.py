"""Rounds of the mode card with learners who know everything, nothing, or half of it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from simgate.bench.replay import replay
from simgate.bench.scan import Bench
from simgate.bench.tape import TapeWriter, read_tape
from simgate.board.mode_table import AFTER, possible
from simgate.board.modes import shipped_modes
from simgate.board.stimuli import Condition, Response, Stimulus
from simgate.practice.moves import Cell
from simgate.practice.outcomes import Memory, Outcomes
from simgate.practice.rehearse import rehearsal
from simgate.practice.round import Mark, Round, Verdict
from simgate.practice.round_words import ANSWERS, COMES, alike, answer_words, explained, question
from tests.practice.tour import make

C, R, S = Condition, Response, Stimulus
Learner = Callable[[Round, Cell], Response]


def knows(round_: Round, cell: Cell) -> Response:
    """A learner who has the card by heart."""
    return round_.ways.cells[cell.condition][cell.stimulus]


def guesses_wrong(round_: Round, cell: Cell) -> Response:
    """A learner who is always wrong."""
    right = alike(cell, knows(round_, cell))
    return next(choice for choice in question(cell).choices if choice is not right)


def go(bench: Bench, round_: Round, learner: Learner, most: int = 2_000) -> tuple[int, list[Verdict]]:
    """Let a learner go through a round, or so many moves of it. Returns the moves and the verdicts."""
    verdicts: list[Verdict] = []
    for moves in range(most):
        proposal = round_.next(bench.snapshot())
        if proposal is None:
            return moves, verdicts
        if proposal.asked:
            round_.answer(proposal.asked, learner(round_, proposal.asked.cell))
        before = len(bench.records)
        make(bench, proposal.move)
        verdict = round_.see(bench.records[before:]) or round_.give_up()
        if verdict:
            verdicts.append(verdict)
    return most, verdicts


def start(title: str, kept: Outcomes | None = None) -> tuple[Bench, Round]:
    """A rehearsal with a round."""
    bench = rehearsal(title).bench()
    return bench, Round(bench.snapshot(), kept or Memory())


@pytest.mark.parametrize("title", ["Self-close", "Hold-to-run"])
def test_who_knows_the_card_is_through_it_in_few_moves(title: str) -> None:
    bench, round_ = start(title)
    moves, verdicts = go(bench, round_, knows)
    assert round_.known() == len(round_.cells) == sum(verdict.right for verdict in verdicts)
    assert moves <= 3 * len(round_.cells), "few moves to a cell"
    marks = round_.marks()
    assert len(marks) == len(Condition) * len(Stimulus)
    assert {cell for cell, mark in marks.items() if mark is Mark.KNOWN} == round_.cells
    assert all(marks[cell] is Mark.NOT_ASKED for cell in marks.keys() - round_.cells)


def test_wrong_answers_stay_unknown_are_explained_and_come_again() -> None:
    kept = Memory()
    bench, round_ = start("Self-close", kept)
    _, verdicts = go(bench, round_, guesses_wrong, most=40)
    assert verdicts
    assert not any(verdict.right for verdict in verdicts)
    assert round_.known() == 0
    assert all(not outcome.right for outcome in kept.all)
    first = kept.all[0]
    assert (first.mode, first.cell) == ("Self-close", Cell(C.SHUT, S.CALL))
    assert first.response is R.OPEN
    assert round_.marks()[first.cell] is Mark.MISSED
    asked = {outcome.cell for outcome in kept.all}
    assert len(asked) == len(kept.all), "what was wrong waits until all else has been asked"
    again = Round(bench.snapshot(), kept)
    go(bench, again, knows)
    assert again.known() == len(again.cells)


def test_what_was_known_before_is_not_asked_again() -> None:
    kept = Memory()
    bench, round_ = start("Latch", kept)
    go(bench, round_, knows, most=60)
    known = {outcome.cell for outcome in kept.all}
    bench, again = start("Latch", kept)
    assert len(known) == again.known() > 20
    before = len(kept.all)
    go(bench, again, knows)
    assert not {outcome.cell for outcome in kept.all[before:]} & known
    assert again.known() == len(again.cells)
    _, other = start("Self-close", kept)
    assert other.known() == 0, "another mode is another card"


def test_asking_and_answering_leave_the_bench_as_it_was_and_the_tape_replays(tmp_path: Path) -> None:
    job = rehearsal("Shared drive")
    path = tmp_path / "round.tape"
    bench = job.bench(TapeWriter(path, job.setup()))
    round_ = Round(bench.snapshot(), Memory())
    for _ in range(25):
        before = bench.digest()
        proposal = round_.next(bench.snapshot())
        assert proposal is not None
        round_.marks()
        if proposal.asked:
            round_.answer(proposal.asked, proposal.asked.choices[0])
        assert bench.digest() == before
        records = len(bench.records)
        make(bench, proposal.move)
        told = bench.digest()
        assert round_.see(bench.records[records:]) or round_.give_up() or not proposal.asked
        assert bench.digest() == told
    assert bench.tape is not None
    bench.tape.leave(bench.tick)
    again = replay(read_tape(path), job.setup())
    again.run(bench.tick - again.tick)
    assert again.digest() == bench.digest()


def test_a_move_of_ones_own_is_asked_about_unless_known_or_refused() -> None:
    bench, round_ = start("Self-close")
    contacts = {contact.put[0]: contact for contact in round_.ways.hands.contacts}
    call = round_.ways.hands.move(contacts[S.CALL].to_put)
    assert call is not None
    asked = round_.question_for(call, bench.snapshot())
    assert asked is not None
    assert asked.text == "The gate is shut. Now the call button is pressed: what will it do?"
    assert asked.answers == ("It opens fully.", "It opens in part.", "It takes no notice.")
    round_.answer(asked, R.OPEN)
    before = len(bench.records)
    make(bench, call)
    verdict = round_.see(bench.records[before:])
    assert verdict is not None
    assert verdict.right
    fresh, again = start("Self-close")
    stop = contacts[S.STOP_PARTED]
    fresh.act(stop.to_put)
    fresh.run(300)
    assert again.question_for(call, fresh.snapshot()) is None, "refused: there is nothing to know of it"


def test_what_did_not_come_to_it_is_not_counted() -> None:
    kept = Memory()
    bench, round_ = start("Self-close", kept)
    round_.answer(question(Cell(C.OPENING, S.CALL)), R.IGNORE)
    contacts = {contact.put[0]: contact for contact in round_.ways.hands.contacts}
    bench.act(contacts[S.CALL].to_put)
    records = bench.run(300)
    verdict = round_.see(records)
    assert verdict is not None
    assert verdict.outcome is None
    assert kept.all == []
    assert round_.waiting is None


def test_every_cell_has_a_question_whose_answers_look_different() -> None:
    assert set(COMES) == set(S)
    assert set(ANSWERS) == set(R) - {R.CUT_PAUSE}
    for condition in C:
        for stimulus in S:
            assert max(map(len, question(Cell(condition, stimulus)).answers)) <= 31, "two columns of them"
            asked = question(Cell(condition, stimulus))
            assert len(set(asked.answers)) == len(asked.choices) >= 2
            assert len(asked.choices) <= 8, "a number key for each"
            for response in possible(condition):
                assert alike(asked.cell, response) in asked.choices
                assert AFTER[response][condition] is AFTER[alike(asked.cell, response)][condition]


def test_a_wrong_answer_is_explained_with_the_note_of_the_card() -> None:
    table = shipped_modes()["Self-close"]
    words = explained(table, Cell(C.OPEN, S.PART), R.RESTART_PAUSE)
    assert words == (
        "Open, and the part button is pressed: the pause begins anew. "
        "A part call asks for more time: the pause starts again."
    )
    common = explained(table, Cell(C.OPEN, S.STOP_PARTED), R.STOP)
    assert common == "Open, and STOP is pressed: it stays; any pause is ended. It is so in every mode."
    assert answer_words(Cell(C.OPEN, S.CALL), R.CUT_PAUSE) == "It shuts at once."
