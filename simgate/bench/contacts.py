"""Every contact at the gate as one switch word: buttons, relays, beams, ends, edges, mains.

The network is solved again only when this word (or the copper) changes, so a contact kept anywhere
else would be one that the board could never see move.
"""

from __future__ import annotations

from collections.abc import Sequence

from simgate.bench.site import Site
from simgate.board.stimuli import Relay
from simgate.plant.leaf import Leaf
from simgate.wiring.check import ENCODERS, ENDS
from simgate.wiring.harness import Harness, Solution
from simgate.wiring.spec import DeviceKind
from simgate.wiring.tables import contacts_of

# N that press an edge. 16 CFR 1211.12(a) wants an edge to actuate at 15 lbf (66.7 N) or less.
PRESS = 66.7
BREAK = 200  # ms for which a core with a loose strand opens by itself (invented)
FLICKER = 0.04  # of its travel to either side, in which a leaf opens a core that flickers

BUTTONS = (DeviceKind.BUTTON_NC, DeviceKind.BUTTON_NO, DeviceKind.KEY)
EDGES = (DeviceKind.EDGE, DeviceKind.EDGE_THROUGH)
LOOPS = (DeviceKind.LOOP_NO, DeviceKind.LOOP_NC)
CLOSED = (DeviceKind.BUTTON_NC, DeviceKind.END_NC, DeviceKind.LOOP_NC)  # open when they are worked


class Contacts:
    """State of all contacts. `word` is what the harness is solved with; `fresh` after any change.

    What hands do: mains, down (buttons, keys, edges, a vehicle put over a loop), blocked (beams). What
    passers do: crossed (beams), present (a vehicle over a loop). What leaves do, by `feel`: worked (end
    switches, edges). A beam's relay follows its own supply, so it is known one scan after the supply that
    feeds it, about the operate time of a small relay.
    """

    __slots__ = (
        "_beams", "_closed", "_edges", "_encoders", "_ends", "_flicker", "_harness", "_keys",
        "_loops", "_reach", "_relays", "blocked", "broken", "crossed", "down", "feels", "mains", "present",
        "relays", "sag", "word", "worked",
    )  # fmt: skip

    def __init__(self, site: Site, harness: Harness, mains: bool) -> None:
        self._harness = harness
        bits = harness.contacts
        self._relays = tuple((r.value, bits[r.name.lower()]) for r in Relay if r.name.lower() in bits)
        devices = site.wiring.devices
        self._beams = tuple(beam.name for beam in site.beams)
        self._loops = tuple(d.name for d in devices if d.kind in LOOPS)
        self._encoders = tuple(d.name for d in devices if d.kind in ENCODERS)
        self._closed = {d.name for d in devices if d.kind in CLOSED}
        self.down = {
            name: False
            for d in devices
            if d.kind in (*BUTTONS, *EDGES, *LOOPS)
            for name in contacts_of(d.name, d.kind.value)
        }
        self._keys = {
            name: contacts_of(d.name, d.kind.value)
            for d in devices
            if d.kind is DeviceKind.KEY
            for name in contacts_of(d.name, d.kind.value)
        }
        self.worked = {d.name: False for d in devices if d.kind in (*ENDS, *EDGES)}
        self._ends = tuple((end.name, end.leaf, end.open, end.place) for end in site.ends)
        self._edges = tuple((d.name, d.leaf) for d in devices if d.kind in EDGES and d.leaf is not None)
        self._reach = tuple(leaf.reach for leaf, _ in site.plant.leaves)
        self._flicker = False  # a core is open where its leaf stands
        self.broken = False  # a core has opened by itself
        self.sag = 0  # steps by which the motors make the supply sag
        self.feels = bool(self._ends or self._edges)
        across = tuple(beam.name for beam in site.across)
        self.blocked = dict.fromkeys(across, False)
        self.crossed = dict.fromkeys(across, False)  # by somebody who passes
        self.present = dict.fromkeys(self._loops, False)  # a vehicle that passes
        self.mains = mains
        self.relays = 0
        self.word = 0
        self.word = self.now(harness.solve(harness.word_at_rest()))

    def operate(self, name: str, down: bool) -> None:
        """Work a device, or let it go. A key turned one way is no longer turned the other way."""
        if down:
            for other in self._keys.get(name, ()):
                self.down[other] = other == name
        self.down[name] = down

    def feel(self, leaves: Sequence[Leaf]) -> bool:
        """Let the leaves work their end switches and press their edges. Returns whether any contact moved."""
        worked, harness, moved = self.worked, self._harness, False
        for name, n, opens, place in self._ends:
            slip = harness.fitting(name).slip * self._reach[n]
            on = leaves[n].place >= place - slip if opens else leaves[n].place <= place + slip
            if on is not worked[name]:
                worked[name], moved = on, True
        for name, n in self._edges:
            on = leaves[n].body_force >= PRESS
            if on is not worked[name]:
                worked[name], moved = on, True
        flicker = False
        for n, share in harness.flickers:
            flicker = flicker or abs(leaves[n].place / self._reach[n] - share) <= FLICKER
        if flicker is not self._flicker:
            self._flicker, moved = flicker, True
        return moved

    def beat(self, tick: int) -> bool:
        """Let cores with a loose strand open and close by themselves. Returns whether any of them did."""
        broken = False
        for period in self._harness.chatters:
            broken = broken or tick % period >= period - BREAK
        moved = broken is not self.broken
        self.broken = broken
        return moved

    def break_now(self, on: bool) -> None:
        """Catch every core with a loose strand while it is open, or let go."""
        self.broken = on

    def next_beat(self, tick: int) -> int:
        """The tick at which `beat` will next have something to tell, at the earliest."""
        nexts = []
        for period in self._harness.chatters:
            into = tick % period
            nexts.append(tick - into + (period if into >= period - BREAK else period - BREAK))
        return min(nexts, default=tick + 1)

    @property
    def beats(self) -> bool:
        """Whether any core may open or close by itself."""
        return bool(self._harness.chatters) or self.broken

    def now(self, solution: Solution) -> int:
        """The switch word for the present hands and leaves, and the last solution's supplies."""
        harness = self._harness
        bits = harness.contacts
        word = 0
        mains = harness.mains.switched(self.mains)
        if mains:
            word |= bits["mains"]
        battery = harness.battery
        spent = battery is None or harness.battery_off or not battery.level
        if not spent and not (mains and not harness.blown("mains")):
            word |= bits["battery"]
        if solution.powered:
            word |= bits["logic"] | bits["line"]
        if harness.aux_passes(solution):
            word |= bits["aux-pass"]
        if not self._flicker:
            word |= bits["flicker"]
        if not self.broken:
            word |= bits["chatter"]
        for relay, bit in self._relays:
            if self.relays & relay:
                word |= bit
        held, worked, present, closed = harness.held, self.worked, self.present, self._closed
        for name, down in self.down.items():
            on = down or name in held or worked.get(name, False) or present.get(name, False)
            if on != (name in closed):
                word |= bits[name]
        for name in self._loops:
            if not harness.works(solution, name):
                word &= ~bits[name]
        for name, *_ in self._ends:
            if self.worked[name] != (name in self._closed):
                word |= bits[name]
        for name in self._beams:
            broken = self.blocked[name] or self.crossed[name] or harness.standing(name).blind
            if not broken and harness.works(solution, name):
                word |= bits[name]
        for name in self._encoders:
            if harness.works(solution, name):
                word |= bits[name]
        word ^= harness.wrong
        return harness.sagging(word, self.sag) if self.sag else word

    def state(self) -> tuple[object, ...]:
        """How hands, passers and leaves have left the contacts, and the word that came of it."""
        ways = (self.down, self.blocked, self.crossed, self.present, self.worked)
        return self.word, self.mains, *(tuple(way.values()) for way in ways)
