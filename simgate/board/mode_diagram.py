"""A mode as a state diagram: Mermaid text, or an SVG that needs nothing to be drawn.

Only cells that lead from one condition to another are drawn, those of one pair on one arrow; what a mode
ignores or does in place stands on its card. The places of the conditions are fixed, so that two modes can
be laid side by side.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from html import escape

from simgate.board.mode_table import AFTER, Table
from simgate.board.mode_words import WHILE
from simgate.board.stimuli import Condition, Stimulus

C = Condition

LABELS: Mapping[Stimulus, str] = {
    Stimulus.CALL: "call",
    Stimulus.CALL_RELEASED: "call let go",
    Stimulus.PART: "part",
    Stimulus.PART_RELEASED: "part let go",
    Stimulus.ARRIVED: "there",
    Stimulus.PAUSE_OVER: "pause over",
    Stimulus.PASSED: "passed",
}

Arrow = tuple[Condition, Condition]


def arrows(table: Table) -> dict[Arrow, list[str]]:
    """(from, to) -> what leads there, in the order of the card."""
    found: dict[Arrow, list[str]] = {}
    for condition, row in table.cells.items():
        for stimulus, response in row.items():
            after = AFTER[response][condition]
            if after is not condition:
                found.setdefault((condition, after), []).append(LABELS[stimulus])
    return found


def mermaid(table: Table) -> str:
    """The diagram as Mermaid text (stateDiagram-v2)."""
    lines = ["---", f"title: {table.title}", "---", "stateDiagram-v2"]
    lines += [f'    state "{WHILE[c]}" as {c.name.lower()}' for c in Condition]
    lines.append("    [*] --> stopped_closing: power comes")
    lines += [
        f"    {a.name.lower()} --> {b.name.lower()}: {', '.join(words)}"
        for (a, b), words in arrows(table).items()
    ]
    return "\n".join(lines)


# The SVG ------------------------------------------------------------------------------------------

WIDTH, HEIGHT = 1120, 800
BOX_W, BOX_H = 168, 40
MIDDLE = (560.0, 430.0)
RADII = (445.0, 300.0)
ROUND = (
    C.SHUT, C.PART_OPENING, C.OPENING, C.HELD, C.PART_HELD,
    C.OPEN, C.PART_OPEN, C.STOPPED_OPENING, C.CLOSING, C.STOPPED_CLOSING,
)  # fmt: skip
"""The conditions round an ellipse, from the left clockwise: no arrow can then run through a box."""

LABEL_AT = 0.36  # of the way: nearer to where it starts, so that labels do not meet in the middle
FOOT = (
    "STOP, guards, edge, obstacle and faults act in every mode as the common table says; they are not drawn."
)
STYLE = (
    "text{font:13px sans-serif;fill:#1b1b1b}.t{font-weight:bold;font-size:20px}.l{font-size:11.5px;fill:#333}"
    ".b{fill:#f4f1ea;stroke:#444;stroke-width:1.4}.m{fill:#dbe7ee}.a{fill:none;stroke:#555;stroke-width:1.3}"
)


def svg(table: Table) -> str:
    """The diagram as an SVG document. Moving conditions are tinted; what happens stands on the arrows."""
    drawn = [_arrow(a, b, ", ".join(words)) for (a, b), words in arrows(table).items()]
    boxes = [_box(condition) for condition in Condition]
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img">',
            f"<title>{escape(table.title)}</title><style>{STYLE}</style>",
            '<defs><marker id="tip" markerWidth="9" markerHeight="9" refX="8" refY="4" orient="auto">'
            '<path d="M0,0 L8,4 L0,8 z" fill="#555"/></marker></defs>',
            f'<rect width="{WIDTH}" height="{HEIGHT}" fill="#ffffff"/>',
            f'<text class="t" x="24" y="36">{escape(table.title)}</text>',
            f'<text x="24" y="58">{escape(table.summary)}</text>',
            *(line for line, _ in drawn),
            *boxes,
            *(label for _, label in drawn),
            f'<text class="l" x="24" y="{HEIGHT - 18}">{FOOT}</text>',
            "</svg>",
        ]
    )


def _place(condition: Condition) -> tuple[float, float]:
    """Middle of a condition's box."""
    turn = math.pi + 2 * math.pi * ROUND.index(condition) / len(ROUND)
    return MIDDLE[0] + RADII[0] * math.cos(turn), MIDDLE[1] + RADII[1] * math.sin(turn)


def _box(condition: Condition) -> str:
    x, y = _place(condition)
    tint = " m" if condition in (C.OPENING, C.PART_OPENING, C.CLOSING) else ""
    left, top, name = x - BOX_W / 2, y - BOX_H / 2, escape(WHILE[condition])
    return (
        f'<rect class="b{tint}" x="{left:.1f}" y="{top:.1f}" width="{BOX_W}" height="{BOX_H}" rx="9"/>'
        f'<text x="{x:.1f}" y="{y + 5:.1f}" text-anchor="middle">{name}</text>'
    )


def _arrow(a: Condition, b: Condition, label: str) -> tuple[str, str]:
    """A line from box to box that bends to its own right, so that there and back are two, and its label."""
    (ax, ay), (bx, by) = _place(a), _place(b)
    length = math.hypot(bx - ax, by - ay)
    nx, ny = -(by - ay) / length, (bx - ax) / length
    bend = 0.08 * length + 10
    mx, my = (ax + bx) / 2 + nx * bend, (ay + by) / 2 + ny * bend
    sx, sy = _rim(ax, ay, mx, my)
    ex, ey = _rim(bx, by, mx, my)
    t, u = LABEL_AT, 1 - LABEL_AT
    lx, ly = (u * u * q + 2 * t * u * m + t * t * e for q, m, e in ((sx, mx, ex), (sy, my, ey)))
    wide = 6.2 * len(label)
    line = f"M{sx:.1f},{sy:.1f} Q{mx:.1f},{my:.1f} {ex:.1f},{ey:.1f}"
    back = f'x="{lx - wide / 2:.1f}" y="{ly - 9:.1f}" width="{wide:.1f}" height="16"'
    return (
        f'<path class="a" d="{line}" marker-end="url(#tip)"/>',
        f'<rect {back} fill="#ffffff" opacity="0.85"/>'
        f'<text class="l" x="{lx:.1f}" y="{ly + 3:.1f}" text-anchor="middle">{escape(label)}</text>',
    )


def _rim(x: float, y: float, tx: float, ty: float) -> tuple[float, float]:
    """Where the line from the middle of a box towards (tx, ty) leaves it."""
    dx, dy = tx - x, ty - y
    scale = min(
        BOX_W / 2 / abs(dx) if dx else math.inf,
        BOX_H / 2 / abs(dy) if dy else math.inf,
    )
    return x + dx * scale, y + dy * scale
