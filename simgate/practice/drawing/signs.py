"""A small sign for each kind of device, as drawings of the trade have them (after IEC 60617, from memory)."""

from __future__ import annotations

from collections.abc import Callable

from simgate.practice.drawing.paper import Paper
from simgate.wiring.spec import DeviceKind as K

Sign = Callable[[Paper, float, float, float], None]


def sign(paper: Paper, kind: K | None, x: float, y: float, r: float) -> None:
    """The sign of a kind of device with its middle at x, y; None: a box with joints."""
    (_joints if kind is None else SIGNS[kind])(paper, x, y, r)


def _joints(paper: Paper, x: float, y: float, r: float) -> None:
    paper.box(x - r, y - r, 2 * r, 2 * r)
    for dx, dy in ((-0.45, -0.45), (0.45, -0.45), (-0.45, 0.45), (0.45, 0.45)):
        paper.ring(x + dx * r, y + dy * r, 0.16 * r, dark=True)


def _motor(paper: Paper, x: float, y: float, r: float) -> None:
    paper.ring(x, y, r)
    paper.words(x, y + 0.42 * r, "M", 1.2 * r, 2 * r, at="middle", bold=True)


def _lamp(paper: Paper, x: float, y: float, r: float) -> None:
    paper.ring(x, y, r)
    for way in (1, -1):
        paper.line([(x - 0.7 * r, y - 0.7 * r * way), (x + 0.7 * r, y + 0.7 * r * way)])


def _opens(paper: Paper, x: float, y: float, r: float) -> None:
    """A contact that is made at rest: its arm lies against the stop."""
    paper.line([(x - 1.2 * r, y), (x - 0.5 * r, y), (x + 0.6 * r, y - 0.45 * r)])
    paper.line([(x + 0.5 * r, y - 0.65 * r), (x + 0.5 * r, y), (x + 1.2 * r, y)])


def _closes(paper: Paper, x: float, y: float, r: float) -> None:
    """A contact that is open at rest."""
    paper.line([(x - 1.2 * r, y), (x - 0.5 * r, y), (x + 0.5 * r, y - 0.8 * r)])
    paper.line([(x + 0.5 * r, y), (x + 1.2 * r, y)])


def _pushed(contact: Sign, height: float) -> Sign:
    def draw(paper: Paper, x: float, y: float, r: float) -> None:
        contact(paper, x, y + 0.3 * r, r)
        paper.line([(x, y + 0.3 * r - height * r), (x, y - 0.8 * r)], dash="0.5 0.4")
        paper.line([(x - 0.4 * r, y - 0.8 * r), (x + 0.4 * r, y - 0.8 * r)], 0.4)

    return draw


def _worked(contact: Sign) -> Sign:
    """By the leaf: a roller on the arm."""

    def draw(paper: Paper, x: float, y: float, r: float) -> None:
        contact(paper, x, y + 0.3 * r, r)
        paper.ring(x, y - 0.6 * r, 0.25 * r)

    return draw


def _looped(contact: Sign) -> Sign:
    def draw(paper: Paper, x: float, y: float, r: float) -> None:
        contact(paper, x, y + 0.5 * r, r)
        paper.box(x - r, y - r, 2 * r, 0.6 * r)

    return draw


def _arrow(paper: Paper, x: float, y: float, to: float, r: float) -> None:
    back = 0.3 * r if to > x else -0.3 * r
    paper.line([(x, y), (to, y)])
    paper.line([(to - back, y - 0.25 * r), (to, y), (to - back, y + 0.25 * r)])


def _beam(paper: Paper, x: float, y: float, r: float) -> None:
    for at in (-1.0, 1.0):
        paper.box(x + (at - 0.25) * r, y - 0.6 * r, 0.5 * r, 1.2 * r)
    _arrow(paper, x - 0.7 * r, y, x + 0.7 * r, r)


def _sender(paper: Paper, x: float, y: float, r: float) -> None:
    paper.box(x - r, y - 0.6 * r, 0.7 * r, 1.2 * r)
    _arrow(paper, x - 0.3 * r, y, x + 1.1 * r, r)


def _receiver(paper: Paper, x: float, y: float, r: float) -> None:
    paper.box(x + 0.3 * r, y - 0.6 * r, 0.7 * r, 1.2 * r)
    _arrow(paper, x - 1.1 * r, y, x + 0.3 * r, r)


def _edge(paper: Paper, x: float, y: float, r: float) -> None:
    paper.box(x - 1.1 * r, y - 0.5 * r, 2.2 * r, r)
    for dy in (-0.2, 0.2):
        paper.line([(x - 0.8 * r, y + dy * r), (x + 0.8 * r, y + dy * r)], 0.4)


def _resistor(paper: Paper, x: float, y: float, r: float) -> None:
    paper.line([(x - 1.2 * r, y), (x + 1.2 * r, y)])
    paper.box(x - 0.8 * r, y - 0.3 * r, 1.6 * r, 0.6 * r)


def _pulses(paper: Paper, x: float, y: float, r: float) -> None:
    paper.ring(x, y, r)
    steps = [(-0.6, 0.3), (-0.3, 0.3), (-0.3, -0.3), (0.0, -0.3), (0.0, 0.3), (0.3, 0.3), (0.3, -0.3)]
    paper.line([(x + dx * r, y + dy * r) for dx, dy in [*steps, (0.6, -0.3)]])


def _coil(paper: Paper, x: float, y: float, r: float) -> None:
    paper.box(x - r, y - 0.6 * r, 2 * r, 1.2 * r)
    paper.line([(x - r, y + 0.6 * r), (x + r, y - 0.6 * r)])


SIGNS: dict[K, Sign] = {
    K.BUTTON_NC: _pushed(_opens, 0.2),
    K.BUTTON_NO: _pushed(_closes, 0.4),
    K.KEY: _pushed(_closes, 0.4),
    K.BEAM: _beam,
    K.EDGE: _edge,
    K.EDGE_THROUGH: _edge,
    K.RESISTOR: _resistor,
    K.END_NC: _worked(_opens),
    K.END_NO: _worked(_closes),
    K.ENCODER: _pulses,
    K.PLACE_ENCODER: _pulses,
    K.LOOP_NO: _looped(_closes),
    K.LOOP_NC: _looped(_opens),
    K.MOTOR: _motor,
    K.LAMP: _lamp,
    K.LIGHT: _lamp,
    K.LOCK: _coil,
    K.LINE_SENDER: _sender,
    K.LINE_RECEIVER: _receiver,
}
