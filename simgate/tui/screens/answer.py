"""What a good hand would look at next, as it is read over the Bench."""

from __future__ import annotations

from simgate.practice.advice import Advice
from simgate.tui.panes.hanging import Hanging, Line
from simgate.tui.screens.reading import Reading

TITLE = "A good hand"
THINKS = "Thinks it over …"


class Answer(Reading):
    """The answer over the Bench; until it is there, a word that it is thought over."""

    def __init__(self, advice: Advice | None = None) -> None:
        super().__init__(TITLE, [Line(THINKS)] if advice is None else answer_lines(advice))

    def tell(self, advice: Advice) -> None:
        """Show the answer, unless it was left meanwhile."""
        for text in self.query(Hanging):
            text.show(answer_lines(advice))


def answer_lines(advice: Advice) -> list[Line]:
    """An answer, as it is read."""
    return [
        Line(advice.look, style="bold"),
        Line(),
        *(Line(sentence) for sentence in advice.why),
    ]
