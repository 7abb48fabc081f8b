"""Words of the widgets on a screen that do not stand whole on it: cut by a border, or broken in the middle.

A widget is asked for all its lines, also those that are scrolled away, so that only its width can take a
word from it. Pictures are not asked: what they draw is no text (their own tests walk it).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from textual.content import Content
from textual.geometry import Region
from textual.screen import Screen
from textual.visual import visualize
from textual.widget import Widget
from textual.widgets import OptionList, Static

from simgate.tui.panes.cabinet import KeyWords
from simgate.tui.panes.hanging import Hanging, plain

FRAME = str.maketrans(dict.fromkeys("│┃╭╮╰╯─━▌▐▎▏▕█▁▂▃▄▅▆▇", " "))  # lines of borders, and scroll bars


def cut_words(screen: Screen[Any]) -> list[str]:
    """'widget: word' for every word that is cut on `screen`."""
    return [
        f"{widget.css_identifier}: {word}"
        for widget in screen.walk_children(Widget)
        if widget.outer_size and _displayed(widget)
        for word in _cut(widget)
    ]


def _displayed(widget: Widget) -> bool:
    return all(one.display for one in widget.ancestors_with_self if isinstance(one, Widget))


def _cut(widget: Widget) -> Iterator[str]:
    titles = map(str, (widget.border_title or "", widget.border_subtitle or ""))
    wanted = Counter(word for text in (*_texts(widget), *titles) for word in text.translate(FRAME).split())
    yield from wanted - Counter(_shown(widget).translate(FRAME).split())


def _texts(widget: Widget) -> Iterator[str]:
    """What it means to say."""
    if isinstance(widget, OptionList):
        visuals = [visualize(widget, option.prompt) for option in widget.options]
        yield from (visual.plain for visual in visuals if isinstance(visual, Content))
    elif isinstance(widget, Hanging):
        yield plain(widget._lines)
    elif isinstance(widget, KeyWords):
        yield " ".join(widget.words)
    elif isinstance(widget, Static) and isinstance(widget.visual, Content):
        yield widget.visual.plain


def _shown(widget: Widget) -> str:
    """What is there to be read of it, with its frame."""
    strips = widget.render_lines(Region(0, 0, *widget.outer_size))
    if isinstance(widget, OptionList):
        style = widget.get_visual_style("option-list--option")
        for option in widget.options:
            strips += widget._get_option_render(option, style)
    return "\n".join(strip.text for strip in strips)
