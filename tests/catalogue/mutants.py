"""Wrong files without end: every shipped TOML, spoiled by seed in the ways in which files go wrong.

A mutant is made by one to three spoilings, of its lines (what a tired trainer does), of its values (what
a script does) or of its bytes (what a disk does). The same seed makes the same mutants on every machine.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from pathlib import Path

Spoil = Callable[[random.Random, list[str]], None]

VALUE = re.compile(r"^(\s*(?:[\w-]+|\"[^\"]*\")\s*=\s*)(.*)$")
NUMBER = re.compile(r"(?<![\w.\"-])-?\d[\d_]*(?:\.\d+)?(?:e-?\d+)?(?![\w.])")
TEXT = re.compile(r"\"([^\"\n]*)\"")

NUMBERS = (
    "0", "-0.0", "-1", "1", "2", "3", "0.5", "1e-300", "5e-324", "1e-9", "1e9", "1e299", "1e308", "-1e299",
    "inf", "-inf", "nan", "9" * 18, "9" * 19, "-" + "9" * 25, "9" * 400, "9" * 5000, "0x7fffffffffffffff",
    "0b1", "1_000_000", "1e3000", "0.1e-3000", "4000.0", "1e5", "170", "2147483648",
)  # fmt: skip
VALUES = (
    *NUMBERS, "true", "false", '""', "''", '" "', '"true"', '"\\u0000"', '"\\u202e"', '"\\n"', '"é日🙂"',
    "'../..'", "'/'", "'.'", "'~'", "'a/b.toml'", "'.toml'", '"' + "x" * 300 + '"', '"' + "y" * 5000 + '"',
    '"""\nover\nlines\n"""', "[]", "[[]]", "[{}]", "{}", "{ a = 1 }", "{ a = { b = [1, 'c'] } }",
    "[1, 'a', true]", "['x', 'x']", "[1, [2, [3]]]", "1979-05-27", "07:32:00", "1979-05-27T07:32:00Z",
    "1979-05-27 07:32:00.5", "[1979-05-27]", "[" * 60 + "]" * 60, "[nan, inf]", "['a|b']", "'a|b|c'", "'|'",
    "'board.'", "'.'", "'{0}'", "'post-x.1'", "'board.COM'", "",
)  # fmt: skip
LINES = (
    "", "=", "[", "]", "[]", "[[]]", "[a", "a", "a =", "= 1", "a = 1", "a.b.c = 1", "[a.b.c]", "[[a.b]]",
    '"" = 1', '["\\u0000"]', "a = 1 b = 2", "# only a remark", "\r", "\x0b", "\u2028a = 1", "'é' = 2",
    "a = '''", 'a = """', "x = " + "[" * 400 + "]" * 400, "x = " + "[" * 3000 + "]" * 3000,
    "x = " + "{a=" * 500 + "1" + "}" * 500, "x = " + "[" * 3000, ".".join("a" * 900) + " = 1",
    "[" + ".".join("b" * 3000) + "]", "q" * 30_000, "x = '" + "z" * 30_000 + "'", "[" + " " * 8_000,
    "x = [" + "1," * 8_000 + "]",
)  # fmt: skip
TAPE_VALUES = (
    "0", "-10", "10", "905", "1e3", "1e999", "NaN", "-Infinity", "true", "null", '""', '"x"', '"A"',
    '"\\u0000"', "[]", "{}", "[" * 900 + "]" * 900, "9" * 30, "9" * 5000, '"' + "z" * 5000 + '"',
    '"board.COM"', '"end"', '"left"', '"step"', '"push"', '"a"', '"t"', '"do"', "",
)  # fmt: skip
TAPE_LINES = (
    "", "[]", "{}", "null", '"t"', '{"t": 900}', '{"do": "end"}', '{"t": 900, "do": "left"}', "[" * 5000,
    '{"t": 900, "do": "end", "digest": "0"}', '{"t": 1' + "0" * 4400 + "}", '{"t": 900, "do": ["key"]}',
    '{"t": 900, "t": 910, "do": "putaway"}', '{"a": ' * 3000 + "1" + "}" * 3000,
)  # fmt: skip
BYTES = (
    b"\x00", b"\xff", b"\xc3", b"\xef\xbb\xbf", b"\r", b"\r\n", b"\t", b'"', b"'", b"[", b"]", b"{", b"}",
    b"=", b"#", b".", b"-", b"\x7f", b"\xed\xa0\x80", b"\\", b"1", b" ", b"\n", b'"""',
)  # fmt: skip


def spoiled_tape(source: bytes, seed: str) -> bytes:
    """A tape spoiled by `seed`: lines lost or in disorder, values of other kinds, bytes flipped."""
    chance = random.Random(seed)
    lines = source.decode().split("\n")
    for _ in range(chance.choice((1, 1, 2))):
        how = chance.randrange(4)
        if how == 0:
            chance.choice((_swap, _delete, _double))(chance, lines)
        elif how == 1:
            lines.insert(_at(chance, lines), chance.choice(TAPE_LINES))
        else:
            at = _at(chance, lines)
            values = list(re.finditer(r"(?<=: )(?:\"[^\"]*\"|[^,}]+)|\"\w+\"", lines[at]))
            if values:
                one = chance.choice(values)
                new = chance.choice(TAPE_VALUES)
                lines[at] = lines[at][: one.start()] + new + lines[at][one.end() :]
    data = "\n".join(lines).encode()
    return _bytes(chance, data) if chance.random() < 0.3 else data


def toml_below(root: Path) -> tuple[Path, ...]:
    """Every TOML file below `root`, in order."""
    return tuple(sorted(root.rglob("*.toml")))


def mutant(source: bytes, seed: str) -> bytes:
    """`source` spoiled by `seed`; never the same as `source`."""
    chance = random.Random(seed)  # of a text, which is hashed alike everywhere
    data = source
    while data == source:
        lines = source.decode().split("\n")
        for _ in range(chance.choice((1, 1, 1, 2, 3))):
            chance.choice(SPOILINGS)(chance, lines)
        data = "\n".join(lines).encode("utf-8", "surrogatepass")
        if chance.random() < 0.2:
            data = _bytes(chance, data)
    return data


def _bytes(chance: random.Random, data: bytes) -> bytes:
    """One to four bytes flipped, lost or added, or the end cut off."""
    spoiled = bytearray(data)
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(spoiled) + 1)
        what = chance.randrange(8)
        if what == 0:
            del spoiled[at:]
        elif what <= 2:
            del spoiled[at : at + chance.choice((1, 1, 2, 40))]
        elif what <= 5:
            spoiled[at:at] = chance.choice(BYTES)
        elif at < len(spoiled):
            spoiled[at] ^= 1 << chance.randrange(8)
    return bytes(spoiled)


def _at(chance: random.Random, lines: list[str]) -> int:
    return chance.randrange(len(lines)) if lines else 0


def _swap(chance: random.Random, lines: list[str]) -> None:
    if lines:
        one, other = _at(chance, lines), _at(chance, lines)
        lines[one], lines[other] = lines[other], lines[one]


def _delete(chance: random.Random, lines: list[str]) -> None:
    at = _at(chance, lines)
    del lines[at : at + chance.choice((1, 1, 1, 2, 6, 30))]


def _double(chance: random.Random, lines: list[str]) -> None:
    at = _at(chance, lines)
    piece = lines[at : at + chance.choice((1, 1, 3, 9, 40))]
    to = chance.choice((at, _at(chance, lines), len(lines)))
    lines[to:to] = piece * chance.choice((1, 1, 1, 2, 50))


def _insert(chance: random.Random, lines: list[str]) -> None:
    lines.insert(_at(chance, lines), chance.choice(LINES))


def _value(chance: random.Random, lines: list[str]) -> None:
    """Another value, often of another kind."""
    found = [(at, match) for at, line in enumerate(lines) if (match := VALUE.match(line))]
    if found:
        at, match = chance.choice(found)
        lines[at] = match[1] + chance.choice(VALUES)


def _number(chance: random.Random, lines: list[str]) -> None:
    """A number at an extreme, or only a little off."""
    found = [(at, match) for at, line in enumerate(lines) for match in NUMBER.finditer(line)]
    if found:
        at, match = chance.choice(found)
        near = (
            match[0] + "0",
            "-" + match[0],
            match[0] + ".5",
            "0." + match[0],
            match[0][:-1] or "7",
            "9" + match[0],
        )
        new = chance.choice(near if chance.random() < 0.5 else NUMBERS)
        lines[at] = lines[at][: match.start()] + new + lines[at][match.end() :]


def _key(chance: random.Random, lines: list[str]) -> None:
    """A key or a header misspelt, or another one's."""
    found = [at for at, line in enumerate(lines) if VALUE.match(line) or line.startswith("[")]
    if not found:
        return
    at = chance.choice(found)
    key, equals, rest = lines[at].partition("=")
    where = chance.randrange(len(key) + 1)
    lines[at] = chance.choice(
        (
            key[:where] + key[where + 1 :] + equals + rest,
            key[:where] + chance.choice("aeio_-.x []") + key[where:] + equals + rest,
            key.upper() + equals + rest,
            lines[chance.choice(found)].partition("=")[0] + equals + rest,
            f"[{key}]" if key.startswith("[") else key.strip() + ".a = " + rest,
            key.replace("[[", "[").replace("]]", "]") + equals + rest,
        )
    )


def _other_text(chance: random.Random, lines: list[str]) -> None:
    """A text that is right somewhere else in the file: a name, a point, a choice."""
    found = [(at, match) for at, line in enumerate(lines) for match in TEXT.finditer(line)]
    if found:
        at, match = chance.choice(found)
        new = chance.choice(found)[1][0]
        lines[at] = lines[at][: match.start()] + new + lines[at][match.end() :]


def _long(chance: random.Random, lines: list[str]) -> None:
    """A file of many lines, all alike or all different."""
    count = chance.choice((500, 5_000))
    block = chance.choice(
        ("[[leaf]]", "[[wire]]", "[[goal]]", "[[setting]]", "a{} = 1", "[t{}]", "# {}", "x{}.y = 2")
    )
    lines.extend(block.format(n) for n in range(count))


SPOILINGS: tuple[Spoil, ...] = (
    _swap, _delete, _double, _insert, _insert, _value, _value, _value, _number, _number, _number,
    _key, _key, _other_text, _other_text, *([_value, _number, _key, _other_text] * 12), _long,
)  # fmt: skip
