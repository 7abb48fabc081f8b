"""Every contact at the gate as one switch word: buttons, relays, beams, mains.

The network is solved again only when this word (or the copper) changes, so a contact kept anywhere
else would be one that the board could never see move.
"""

from __future__ import annotations

from simgate.bench.site import Site
from simgate.board.stimuli import Relay
from simgate.wiring.harness import Harness, Solution
from simgate.wiring.spec import DeviceKind


class Contacts:
    """State of all contacts. `word` is what the harness is solved with; `fresh` after any change.

    A beam's relay follows its own supply, so it is known one scan after the supply that feeds it, about
    the operate time of a small relay.
    """

    __slots__ = (
        "_beams", "_harness", "_normally_closed", "_relays", "blocked", "crossed", "down", "mains", "relays",
        "word",
    )  # fmt: skip

    def __init__(self, site: Site, harness: Harness, mains: bool) -> None:
        self._harness = harness
        self._beams = tuple(beam.name for beam in site.beams)
        bits = harness.contacts
        self._relays = tuple((r.value, bits[r.name.lower()]) for r in Relay if r.name.lower() in bits)
        devices = site.wiring.devices
        self._normally_closed = {d.name for d in devices if d.kind is DeviceKind.BUTTON_NC}
        self.down = {d.name: False for d in devices if d.kind in (DeviceKind.BUTTON_NC, DeviceKind.BUTTON_NO)}
        self.blocked = dict.fromkeys(self._beams, False)
        self.crossed = dict.fromkeys(self._beams, False)  # by somebody who passes
        self.mains = mains
        self.relays = 0
        self.word = 0
        self.word = self.now(harness.solve(harness.word_at_rest()))

    def now(self, solution: Solution) -> int:
        """The switch word for the present hands and the last solution's beam supplies."""
        bits = self._harness.contacts
        word = 0
        if self.mains:
            word |= bits["mains"]
        if solution.powered:
            word |= bits["logic"]
        for relay, bit in self._relays:
            if self.relays & relay:
                word |= bit
        for name, down in self.down.items():
            if down != (name in self._normally_closed):
                word |= bits[name]
        for name in self._beams:
            broken = self.blocked[name] or self.crossed[name]
            if not broken and self._harness.beam_powered(solution, name):
                word |= bits[name]
        return word

    def state(self) -> tuple[object, ...]:
        """How hands have left the contacts, and the word that came of it."""
        beams = tuple(self.blocked.values()), tuple(self.crossed.values())
        return self.word, self.mains, tuple(self.down.values()), *beams
