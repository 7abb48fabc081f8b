"""What stands on the line as its heads answer: from copper, switches and light to the board's polls.

The board talks by switching its feed of the line, so a head hears it only when its own volts follow: one
that was put on another supply has power and stays dumb. A head answers while its terminals have enough
volts, either way round. Parted wires, shorts and long thin cables therefore need no rule of their own.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from simgate.bench.light import sees
from simgate.board.line import SILENT, Answer, Enrolled, Head, LineHeard
from simgate.board.line_table import place_of

if TYPE_CHECKING:
    from simgate.bench.contacts import Contacts
    from simgate.bench.site import Site
    from simgate.bench.site_devices import LineBeam
    from simgate.wiring.harness import Harness, Solution

TALK_VOLTS = 5.0  # a head takes a smaller change of its volts for noise (invented)


class LineWires:
    """The heads of a site. sun: strength of the low sun, 0 to 1. `heard` is what a poll would find now."""

    def __init__(self, site: Site, harness: Harness, contacts: Contacts) -> None:
        self._beams = site.line_beams
        self._harness = harness
        self._contacts = contacts
        self._last = SILENT
        self._lamps: tuple[bool, ...] = ()  # on the receivers, as they were last seen
        self.sun = 0.0

    def heard(self, word: int, solution: Solution) -> LineHeard:
        """What answers at this switch word; the same object while that is the same."""
        now = SILENT
        if solution.powered:
            volts = round(abs(self._harness.line_volts(solution)), 1)
            now = LineHeard(volts, self._answers(word, solution))
        if now != self._last:
            self._last = now
        return self._last

    def answers(self, word: int, solution: Solution, name: str) -> bool:
        """Whether a head has its supply and hears the board."""
        harness = self._harness
        if not harness.head_powered(solution, name):
            return False
        quiet = harness.solve(word & ~harness.contacts["line"])
        return abs(harness.head_volts(solution, name) - harness.head_volts(quiet, name)) >= TALK_VOLTS

    def lit(self, solution: Solution, beam: LineBeam) -> bool:
        """Whether the receiver sees its sender: what the lamp on it shows."""
        harness, contacts = self._harness, self._contacts
        if contacts.blocked[beam.name] or contacts.crossed[beam.name]:
            return False
        sender, receiver = harness.heads[beam.sender], harness.heads[beam.receiver]
        if not (
            harness.head_powered(solution, beam.sender) and harness.head_powered(solution, beam.receiver)
        ):
            return False
        alike = sender.switches == receiver.switches
        return alike and sees(sender, receiver, beam.span, beam.rated, self.sun * beam.sun)

    def lamps(self, solution: Solution) -> tuple[str, ...]:
        """What can be seen of the lamps on the receivers since the last look; usually nothing."""
        if not self._beams:
            return ()
        before, self._lamps = self._lamps, tuple(self.lit(solution, beam) for beam in self._beams)
        return tuple(
            f"The lamp on the receiver of the {beam.label} {'lights' if now else 'goes dark'}"
            for beam, was, now in zip(self._beams, before, self._lamps, strict=False)
            if was is not now
        )

    def enrolled(self, strangers: tuple[str, ...]) -> Enrolled:
        """What a roll-call on the gate at rest remembers while the `strangers` are not there."""
        word = self._harness.word_at_rest()
        solution = self._harness.solve(word)
        known = [beam for beam in self._beams if beam.name not in strangers]
        answers = self._merged(known, word, solution)
        return tuple((one.place, one.head) for one in answers if not one.garbled)

    def state(self) -> tuple[object, ...]:
        """What hands have changed that is not on a head."""
        return (self.sun,)

    def _answers(self, word: int, solution: Solution) -> tuple[Answer, ...]:
        return self._merged(self._beams, word, solution) if self._beams else ()

    def _merged(
        self, beams: tuple[LineBeam, ...] | list[LineBeam], word: int, solution: Solution
    ) -> tuple[Answer, ...]:
        """One answer for each head that is heard; of two that answer alike, only that they do."""
        found: list[Answer] = []
        for beam in beams:
            for name, head in ((beam.sender, Head.SENDER), (beam.receiver, Head.RECEIVER)):
                if self.answers(word, solution, name):
                    place = place_of(self._harness.heads[name].switches)
                    clear = head is Head.RECEIVER and self.lit(solution, beam)
                    found.append(Answer(place, head, clear))
        counts = Counter((one.place, one.head) for one in found)
        merged = {
            key: one if counts[key] == 1 else Answer(one.place, one.head, garbled=True)
            for one in found
            for key in [(one.place, one.head)]
        }
        return tuple(merged.values())
