"""Every sentence that the display can show, with its longest fill: two lines, and nothing cut or broken."""

from __future__ import annotations

from collections.abc import Iterator
from types import ModuleType

import pytest

from simgate.board import battery, book_devices, display, happenings, learn, line, logic, radio, starts, work
from simgate.board.arrival import Event
from simgate.board.book_devices import DeviceBook
from simgate.board.book_words import WORK, Page
from simgate.board.counters import COUNTERS
from simgate.board.display import WIDTH, spread
from simgate.board.guards import Guards, Uses
from simgate.board.line import Line
from simgate.board.line_table import table
from simgate.board.modes import facts, shipped_modes
from simgate.board.radio import FAMILY, MEMORY, Frame, Radio, Use
from simgate.board.service import Service
from simgate.board.settings import Draft, Settings
from simgate.board.stimuli import INPUTS, Input

END = "END-O-A"
GREATEST = 999_999  # the greatest serial number; and more cycles than a gate lives for
FILLS = ("GUARD-C", END, END, END)  # {0} is a leaf's letter or a terminal
STATES = (line.BROKEN, line.NO_SENDER, line.NO_RECEIVER, line.NO_ANSWER, line.TWO_ALIKE, line.NOT_CALLED)


def constants(module: ModuleType) -> Iterator[str]:
    """Sentences that stand in a module by themselves: its constants, and the values of its tables."""
    for name, value in vars(module).items():
        if not name.isupper():
            continue
        values = value.values() if isinstance(value, dict) else (value,)
        for one in values:
            yield from (part for part in (one if isinstance(one, tuple) else (one,)) if isinstance(part, str))


def reasons() -> Iterator[str]:
    """What forbids a movement."""
    guards = Guards()
    for pressed in (False, True):
        guards.look(tuple(False for _ in INPUTS), Uses(edge="both"), pressed)
        yield from guards.amiss.values()
    yield from (f"{one.value} failed its test" for one in (Input.GUARD_O, Input.GUARD_C))
    yield from (words for words in beams())


def beams() -> Iterator[str]:
    """How the line names its beams."""
    for address in table().address:
        for word in STATES:
            yield f"Beam {address.name}: {word}"


def filled(words: str) -> str:
    """`words` with the longest that can stand in each gap."""
    first = "GUARD-C" if words == logic.STAYED_MADE else "A"
    if words == happenings.HAPPENINGS[Event.DEAF][1]:
        return max((counter.deaf.format("A") for counter in COUNTERS.values()), key=len)
    return words.format(first, *FILLS[1:])


def sentences() -> Iterator[str]:
    """Every sentence, in two lines or one."""
    for module in (happenings, learn, work, starts, radio):
        for words in constants(module):
            if words != learn.PARTED and words != logic.STAYS:
                yield filled(words)
    for _, words in happenings.HAPPENINGS.values():
        yield filled(words)
    yield from (counter.deaf.format("A") for counter in COUNTERS.values())
    yield logic.NOT_LEARNED
    yield filled(logic.STAYED_MADE)
    yield from (logic.STAYS.format(often) for often in (*logic.OFTEN.values(), "99 times"))
    for reason in reasons():
        yield reason
        yield learn.PARTED.format(reason)
    for use in display.EDGE_FORBIDS:
        for state in ("pressed", "broken"):
            yield display.forbidden({Input.EDGE: f"EDGE is {state}"}, use)
    yield from display.FORBIDS.values()
    yield from (plan.words for plan in battery.PLANS.values())
    yield battery.IS_LOW
    yield from (f"15 beams; {words}" for words in beams())
    yield f"Memory is full: {MEMORY} keys"


def test_every_sentence_stands_whole_on_two_lines() -> None:
    every = set(sentences())
    assert len(every) > 100
    for words in every:
        heading, second = spread("", words)
        assert f"{heading} {second}".strip() == words  # also: no word was parted at its hyphen
        assert len(heading) <= WIDTH
        assert len(second) <= WIDTH


def one_line() -> Iterator[str]:
    """What has one line of its own."""
    settings = Settings(facts(shipped_modes()))
    yield from display.DOING.values()
    yield from (words for pair in (display.NOT_LEARNED, (display.UNKNOWN,)) for words in pair)
    yield from WORK.values()
    yield from (f"Ready: {title}" for title in shipped_modes())
    yield from (f"{words}: keep people clear" for words in (WORK["jog-a"], WORK["jog-b"]))
    yield from ("15 of 15 keys are taught", book_devices.NOTHING_THERE, book_devices.NONE_TAUGHT)
    service = Service()
    service.every, service.cycles = 1, GREATEST
    yield service.words
    yield f"{GREATEST} cycles, {GREATEST} unserviced"
    for setting in settings.catalogue.values():
        yield f"Set {setting.name}"
        yield f"Learn again: {setting.stale_word} changed"
        draft = Draft(settings)
        for place in range(len(setting.options)):
            yield f"< {setting.text(place)} >"
            yield f"{draft.setting(setting.key).text(place)}, not kept yet"


def test_a_line_of_its_own_is_not_cut() -> None:
    assert [words for words in one_line() if len(words) > WIDTH] == []


@pytest.mark.parametrize("weak", [False, True])
@pytest.mark.parametrize("use", list(Use))
def test_the_pages_of_the_remotes_are_not_cut(weak: bool, use: Use) -> None:
    receiver = Radio()
    receiver.offered = Frame(FAMILY, GREATEST, 4, 1, weak)
    book = DeviceBook(Line(), receiver)
    item = f"teach-{use.value.replace(' ', '-')}"
    pages = [book.lines(Page.TEACH, item, 0), *filter(None, [book.teach(item, 0)])]
    pages += [book.lines(Page.KEYS, "erase-one", left) for left in (0, 2)]
    assert (pages[0][1] == book_devices.WEAK) is weak
    assert all(len(words) <= WIDTH for page in pages for words in page)
