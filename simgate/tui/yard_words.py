"""The Yard in words: what the picture shows, for whoever reads rather than looks.

What can hurt somebody comes first, because a small screen shows the first two lines only.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from textwrap import wrap

from simgate.bench.record import BeamView, LeafView, PassingView, Snapshot, reach

MOVING = 0.002  # rad/s or m/s; slower than this a leaf is seen to stand still
DANGER = "HAZARD: "
MANY = {"goes": "go", "waits": "wait", "stands": "stand"}  # of more than one
AT_REST = 0.008  # share of its way; nearer to a stop than this a leaf looks shut, or open
# Beaufort's scale, m/s from which each word holds; from memory, as the World Meteorological Organization
# prints it for 10 m above open ground.
BEAUFORT = (
    (0.3, "light air"), (1.6, "light breeze"), (3.4, "gentle breeze"), (5.5, "moderate breeze"),
    (8.0, "fresh breeze"), (10.8, "strong breeze"), (13.9, "near gale"), (17.2, "gale"),
    (20.8, "strong gale"), (24.5, "storm"), (28.5, "violent storm"), (32.7, "hurricane"),
)  # fmt: skip


def wind_words(speed: float) -> str:
    """'↑ gentle breeze 4 m/s' for a wind that blows the leaves open; '' for a calm."""
    words = ""
    for least, name in BEAUFORT:
        if abs(speed) >= least:
            words = f"{'↑' if speed > 0 else '↓'} {name} {abs(speed):.0f} m/s"
    return words


def rain_words(share: float) -> str:
    """'rain 60 %', '' in the dry."""
    return f"rain {share:.0%}".replace("%", " %") if share else ""


def hazards(shot: Snapshot) -> list[str]:
    """Who is in danger now, one sentence each."""
    told = [
        f"HAZARD: {one.kind} {'pressed by' if one.force > 1.0 else 'in the way of'} leaf "
        + " and ".join(one.in_way_of or _moving(shot) or [leaf.name for leaf in shot.leaves])
        for one in shot.passing
        if one.force > 1.0 or (one.alive and one.in_way_of)
    ]
    if shot.you is not None and shot.you.force > 1.0:
        told.append(
            f"HAZARD: you are pressed by leaf {' and '.join(shot.you.in_way_of or _moving(shot)) or 'A'}"
        )
    elif shot.inside and _moving(shot):  # which leaves move stands in the next sentence
        told.append(f"HAZARD: you are in {reach(shot.leaves)}")
    return told


def _moving(shot: Snapshot) -> list[str]:
    return [leaf.name for leaf in shot.leaves if abs(leaf.speed) > MOVING]


def describe(snapshot: Snapshot) -> str:
    """The picture in words: 'Leaf A 45° opening, leaf B shut. Beam posts clear.'

    The lamp is left to the Cabinet: a sentence that came and went with every flash could not be read.
    """
    leaves = ", ".join(f"leaf {leaf.name} {_leaf_words(leaf)}" for leaf in snapshot.leaves)
    passing = [_passer_words(one, reach(snapshot.leaves)) for one in snapshot.passing]
    return _told([*hazards(snapshot), _capital(leaves), *passing, *_rest(snapshot)])


def described_within(snapshot: Snapshot, width: int, rows: int) -> str:
    """The same in so many rows of cells: told more shortly where it has to be, and cut in no sentence.

    What has no room after all is left to the picture, the least first; hazards stand before everything.
    """
    full = describe(snapshot)
    if len(_rows(full, width)) <= rows:
        return full
    rest = sorted(_rest(snapshot), key=lambda told: told.endswith(" clear"))  # what is amiss comes first
    sentences = [*_short(snapshot), *rest]
    while len(sentences) > 1 and len(_rows(_told(sentences), width)) > rows:
        sentences.pop()
    if len(told := _rows(_told(sentences), width)) > rows:  # so many in danger that one has to stand for all
        told = _rows(_told([f"{sentences[0].partition(';')[0]}, and others"]), width)
    return "\n".join(told[:rows])


def _rows(words: str, width: int) -> list[str]:
    return wrap(words, max(width, 1), break_on_hyphens=False)


def _told(sentences: list[str]) -> str:
    return ". ".join(sentences) + "."


def _short(snapshot: Snapshot) -> Iterator[str]:
    """Hazards in one sentence, leaves in one, and who passes with whoever does the same."""
    danger = _together(one.removeprefix(DANGER).partition(" ") for one in hazards(snapshot))
    if danger:
        yield DANGER + "; ".join(danger)
    ways: dict[str, list[str]] = {}
    for leaf in snapshot.leaves:
        where, _, way = _leaf_words(leaf).partition(" ")
        ways.setdefault(way or where, []).append(f"{leaf.name} {where}" if way else leaf.name)
    leaves = [f"{'leaves' if names[1:] else 'leaf'} {_and(names)} {way}" for way, names in ways.items()]
    yield _capital(", ".join(leaves))
    passing = (_passer_words(one, reach(snapshot.leaves)) for one in snapshot.passing)
    for told in _together(_small(words).partition(" ") for words in passing):
        yield _capital(told)


def _together(told: Iterable[tuple[str, str, str]]) -> list[str]:
    """'person and dog go in' of whoever does the same, each told as (who, space, what)."""
    doing: dict[str, list[str]] = {}
    for who, _, does in told:
        doing.setdefault(does, []).append(who)
    return [f"{_and(names)} {_many(does) if names[1:] else does}" for does, names in doing.items()]


def _and(names: list[str]) -> str:
    return f"{', '.join(names[:-1])}{' and ' if names[1:] else ''}{names[-1]}"


def _many(does: str) -> str:
    verb, space, rest = does.partition(" ")
    return f"{MANY.get(verb, verb)}{space}{rest}"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _small(words: str) -> str:
    return words[:1].lower() + words[1:]


def _rest(snapshot: Snapshot) -> list[str]:
    """Beams, and whoever works at the gate."""
    sentences = [
        f"{_named(beam.name)} {words}"
        for beam in snapshot.beams
        if (words := _line_words(snapshot, beam) or _beam_words(beam.blocked or beam.crossed, beam.powered))
        != "clear"
        or not snapshot.passing
    ]
    if snapshot.inside and not _moving(snapshot):
        sentences.append(f"You are in {reach(snapshot.leaves)}")
    return sentences


def _leaf_words(leaf: LeafView) -> str:
    way = "opening" if leaf.speed > MOVING else "closing" if leaf.speed < -MOVING else ""
    if leaf.share < AT_REST and way != "opening":
        words = "shut"
    elif leaf.share > 1.0 - AT_REST and way != "closing":
        words = "open"
    else:
        so_far = f"{leaf.place:.1f} m" if leaf.slides else f"{math.degrees(leaf.place):.0f}°"
        words = f"{so_far} {way or 'standing'}"
    if leaf.released:
        words += " (released)"
    return words + (", a body in its way" if leaf.body is not None else "")


def _passer_words(one: PassingView, room: str) -> str:
    name = one.kind[:1].upper() + one.kind[1:]
    if one.waiting:
        return f"{name} {f'stands in {room}' if one.in_swing else 'waits'}"
    return f"{name} {'goes in' if one.inwards else 'goes out'}"


def _line_words(shot: Snapshot, beam: BeamView) -> str:
    """What is amiss with a beam of the line that can be seen at its heads; '' for nothing of that kind."""
    heads = [head for head in shot.heads if head.beam == beam.name]
    gone = [head.name.rpartition("-")[2] for head in heads if not head.fitted]
    if gone:
        return f"has no {' and no '.join(gone)}"
    dark = heads and not beam.made and beam.powered and not (beam.blocked or beam.crossed)
    return "dark at its receiver" if dark else ""


def _beam_words(blocked: bool, powered: bool) -> str:
    return "blocked" if blocked else "clear" if powered else "dark: no power"


def _named(name: str) -> str:
    words = name.replace("-", " ")
    return words[:1].upper() + words[1:] if "beam" in words.lower() else f"Beam {words}"
