"""Both diagrams and their cautions on one sheet of A4."""

from __future__ import annotations

from textwrap import wrap

from simgate.practice.drawing import screws, tree
from simgate.practice.drawing.paper import HIGH, WIDE, Paper
from simgate.practice.drawing.plan import Plan
from simgate.practice.drawing.text import CAUTIONS

EDGE, INSIDE, FOOT, HEADING = 8.0, 4.0, 21.0, 7.0  # mm: round the frame, in it, of its foot, of a heading
ROOMY = (9.6, 5.4)  # mm of a row of either diagram, on a sheet with room


def svg(plan: Plan) -> str:
    """The sheet as SVG."""
    paper = Paper(f"{plan.title}: wiring")
    x, wide = EDGE + INSIDE, WIDE - 2 * (EDGE + INSIDE)
    y, foot = EDGE + INSIDE, HIGH - EDGE - FOOT
    paper.box(EDGE, EDGE, WIDE - 2 * EDGE, HIGH - 2 * EDGE, 0.5)
    fixed = 2 * HEADING + tree.BOARD_HIGH + 3.0
    rows = tree.units(plan), screws.units(plan)
    wanted = rows[0] * ROOMY[0] + rows[1] * ROOMY[1]
    share = min((foot - y - fixed - 2.0) / wanted, 1.0)
    above, below = ROOMY[0] * share, ROOMY[1] * share
    _heading(
        paper, x, y, "One-line diagram", "each line is a run of cores; no.: the numbers of its cores", wide
    )
    tree.draw(paper, plan, x, y + HEADING, wide, above)
    y += HEADING + tree.BOARD_HIGH + rows[0] * above + 3.0
    _heading(
        paper, x, y, "Terminal diagram", "each wire once: number, colour (IEC 60757), size, length", wide
    )
    screws.draw(paper, plan, x, y + HEADING, wide, below)
    _foot(paper, plan, foot)
    return paper.svg()


def _heading(paper: Paper, x: float, y: float, title: str, told: str, wide: float) -> None:
    paper.words(x, y + 3.4, title, 4.0, 45.0, bold=True)
    paper.words(x + wide, y + 3.4, told, 2.4, wide - 48.0, at="end")
    paper.line([(x, y + 4.8), (x + wide, y + 4.8)])


def _foot(paper: Paper, plan: Plan, y: float) -> None:
    """The title block: what it is of on the left, cautions on the right."""
    left, right, middle = EDGE, WIDE - EDGE, WIDE * 0.42
    paper.line([(left, y), (right, y)], 0.5)
    paper.line([(middle, y), (middle, y + FOOT)], 0.5)
    room = middle - left - 6.0
    paper.words(left + 3.0, y + 6.2, plan.title, 4.2, room, bold=True)
    paper.words(left + 3.0, y + 11.4, "wiring: one-line and terminal diagram", 2.7, room)
    paper.words(left + 3.0, y + 16.4, f"site {plan.site}, drawn by simgate from its wires", 2.4, room)
    top, tip = y + 5.0, middle + 7.5
    paper.line([(tip, top), (tip + 5.0, top + 9.0), (tip - 5.0, top + 9.0), (tip, top)], 0.6)
    paper.words(tip, top + 7.6, "!", 6.0, 5.0, at="middle", bold=True)
    lines = [line for caution in CAUTIONS for line in wrap(caution, 64)]
    step = min((FOOT - 4.0) / len(lines), 3.6)
    first = y + (FOOT - step * len(lines)) / 2 + 0.72 * step
    for number, line in enumerate(lines):
        paper.words(middle + 15.0, first + step * number, line, 2.5, right - middle - 17.0)
