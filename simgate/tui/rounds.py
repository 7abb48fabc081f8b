"""A round at the Bench: it puts the questions of practice/round.py, and hands do what was asked about.

Apart from the screen, because it decides when something is asked; it acts only through the screen, so that
every move of a round is on the tape like one of the learner's own.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from simgate.bench.actions import Action
from simgate.bench.record import ScanRecord
from simgate.board.stimuli import Response
from simgate.practice.moves import MEETS, Move, actions, clearing
from simgate.practice.outcomes import Memory, Outcomes
from simgate.practice.round import Proposal, Round, Verdict
from simgate.practice.round_words import COMES, Question, answer_words
from simgate.practice.ways import Stand
from simgate.tui.panes.hanging import Line
from simgate.tui.panes.job_sheet import JobSheet
from simgate.tui.screens.asking import AskCell, RoundMap
from simgate.tui.screens.reading import Reading

if TYPE_CHECKING:
    from simgate.tui.screens.bench import BenchScreen

SEEN_MS = 1_500  # for how long the gate is looked at before the next question
ANSWERS_MS = 400  # by when a terminal has acted: its filter, and the scans of copper and board
MEETS_MS, COMES_MS = 12_000, 120_000
ALL_KNOWN = "Every cell that can be brought about here is known."
NO_WAY = "From here no call leads to a cell that is not known yet."
STOPS = "u stops the round."
OTHER_MODE = "The mode was changed: the round is over."


class Rounds:
    """The round of one Bench, if one goes on."""

    def __init__(self, screen: BenchScreen, outcomes: Outcomes | None = None) -> None:
        self._screen = screen
        self._outcomes: Outcomes = outcomes or Memory()
        self.round: Round | None = None
        self._asking = False
        self._acting = False  # the round's own hands
        self._next = 0  # tick before which nothing is asked
        self._deadline = 0  # of the move under way
        self._waited: Stand | None = None  # where something is waited for
        self._told = ""
        self._placed = False  # the round has put a body in the way

    # Beginning and end ----------------------------------------------------------------------------

    def begin_or_end(self) -> None:
        """Begin a round, or stop the one that goes on and show its map."""
        if self.round is not None:
            self._end("")
            return
        shot = self._screen.shot()
        self.round = Round(shot, self._outcomes)
        self._next, self._waited, self._told = shot.tick, None, ""
        self._show()
        self.go_on()

    def _end(self, words: str) -> None:
        round_, self.round = self.round, None
        if round_ is None:
            return
        screen = self._screen
        self._clear_way()
        marks = round_.marks()
        screen.marks = None
        screen.query_one(JobSheet).tell(())
        if words:
            screen.say(words)
        screen.app.push_screen(RoundMap(screen.shot(), marks, len(round_.cells)))

    # As time goes on ------------------------------------------------------------------------------

    def see(self, records: Sequence[ScanRecord]) -> None:
        """Judge the answer that waits, when its cell has acted."""
        if self.round is not None and (verdict := self.round.see(records)):
            self._judged(verdict)

    def go_on(self) -> None:
        """The next move or question, when it is time for it."""
        round_, screen = self.round, self._screen
        if round_ is None or self._asking or self._acting or screen.app.screen is not screen:
            return
        tick = screen.runner.bench.tick
        if round_.waiting is not None:
            if tick > self._deadline and (verdict := round_.give_up()):
                self._judged(verdict)
            return
        if tick < self._next:
            return
        shot = screen.shot()
        if shot.mode != round_.mode:
            self._end(OTHER_MODE)
            return
        stand = round_.ways.stand(shot)
        if stand == self._waited:
            return
        proposal = round_.next(shot)
        if proposal is None:
            self._end(ALL_KNOWN if round_.known() == len(round_.cells) else NO_WAY)
        elif proposal.asked is not None:
            self._ask(proposal)
        else:
            self._on_the_way(proposal, stand)

    def _on_the_way(self, proposal: Proposal, stand: Stand) -> None:
        """A move whose cell is known, to come to one that is not."""
        self._told = f"On the way: {COMES[proposal.move.stimuli[0]]}."
        if proposal.move.waits:
            self._told = f"Wait: until {COMES[proposal.move.stimuli[0]]}. n goes on to it."
            self._waited = stand
        self._show()
        if not proposal.move.waits:
            self._do(proposal.move)
            self._next = self._screen.runner.bench.tick + ANSWERS_MS

    # Questions ------------------------------------------------------------------------------------

    def asks(self, action: Action, touch: bool) -> bool:
        """Whether a move of the learner's own is asked about first; it is then done after the answer."""
        round_ = self.round
        if round_ is None or self._acting or self._asking or round_.waiting is not None:
            return False
        move = round_.ways.hands.move(action)
        asked = round_.question_for(move, self._screen.shot()) if move else None
        if asked is None:
            return False

        def answered(choice: Response | None) -> None:
            self._asking = False
            if choice is not None and asked is not None:
                self._take(asked, choice, ANSWERS_MS)
            self._own(lambda: self._screen.act(action, touch))

        self._put(asked, "do it without an answer", answered)
        return True

    def _ask(self, proposal: Proposal) -> None:
        asked, move = proposal.asked, proposal.move

        def answered(choice: Response | None) -> None:
            self._asking = False
            if choice is None or asked is None:
                self._end("")
                return
            comes = COMES_MS if move.waits else MEETS_MS if move is MEETS else ANSWERS_MS
            self._take(asked, choice, comes)
            self._do(move)

        if asked is not None:
            self._put(asked, "stop the round", answered)

    def _put(self, asked: Question, leaving: str, answered: Callable[[Response | None], None]) -> None:
        round_ = self.round
        if round_ is not None:
            self._asking = True
            title = f"What will it do? · {round_.known()} of {len(round_.cells)} known"
            self._screen.app.push_screen(AskCell(asked, title, leaving), answered)

    def _take(self, asked: Question, choice: Response, comes: int) -> None:
        if self.round is not None:
            self.round.answer(asked, choice)
            self._deadline = self._screen.runner.bench.tick + comes
            self._told = f"You say: {answer_words(asked.cell, choice)}"
            self._show()

    def _judged(self, verdict: Verdict) -> None:
        self._next = self._screen.runner.bench.tick + SEEN_MS
        self._waited = None
        self._told = f"✓ Right. {verdict.words}" if verdict.right else f"✗ {verdict.words}"
        self._show()
        self._clear_way()
        if verdict.outcome is not None and not verdict.right:
            said = answer_words(verdict.outcome.cell, verdict.outcome.answer)
            lines = [Line(said, "You said: "), Line(), Line(verdict.words, "It is so: ", "bold")]
            self._screen.app.push_screen(Reading("Not so", lines))

    # Hands ----------------------------------------------------------------------------------------

    def _do(self, move: Move) -> None:
        shot = self._screen.shot()
        self._placed = self._placed or move is MEETS
        self._own(partial(self._act, actions(move, shot)))

    def _clear_way(self) -> None:
        if self._placed:
            self._placed = False
            self._own(partial(self._act, clearing(self._screen.shot())))

    def _act(self, some: tuple[Action, ...]) -> None:
        for action in some:
            self._screen.act(action)

    def _own(self, work: Callable[[], None]) -> None:
        was, self._acting = self._acting, True
        try:
            work()
        finally:
            self._acting = was

    def _show(self) -> None:
        """How the round goes, in the place of the job, and on the card."""
        round_ = self.round
        if round_ is None:
            return
        self._screen.marks = round_.marks()
        lines = [
            Line(f"{round_.known()} of {len(round_.cells)} cells known."),
            Line(self._told),
            Line(STOPS, style="$text-muted"),
        ]
        self._screen.query_one(JobSheet).tell(lines)
