"""Calls, the beam and the clock: what hands ask of a running gate on every screen that shows one."""

from __future__ import annotations

from simgate.bench import actions as do
from simgate.tui.screens.running import Running
from simgate.tui.tools import device_for

NOTHING_COMES = "Nothing is under way: the gate waits for your hands. No time was spent."


class Calling(Running):
    """A running gate, or two, with buttons and a clock."""

    def action_button(self, word: str) -> None:
        if device := self._device(word):
            self.act(do.Operate(device, True), touch=True)

    def action_hold_button(self, word: str) -> None:
        if device := self._device(word):
            down = next(item.down for item in self.shot().devices if item.name == device)
            self.act(do.Operate(device, not down))

    def _device(self, word: str) -> str | None:
        device = device_for(self.shot(), word)
        if device is None:
            self.say(f"There is no {word} button at this site.")
        return device

    def action_beam(self) -> None:
        beams = self.shot().beams
        if beams:
            self.act(do.Block(beams[0].name, not beams[0].blocked))
        else:
            self.say("There is no beam at this site.")

    def action_pause(self) -> None:
        self.pacer.paused = not self.pacer.paused
        self.show()

    def action_speed(self, by: int) -> None:
        self.pacer.change(by)
        self.show()

    def action_onward(self) -> None:
        if self.runner.waits_for_hands():
            self.say(NOTHING_COMES)
            return
        self.attempt(lambda: self.take(self.runner.run_to_next()))
