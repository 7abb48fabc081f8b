"""The bottom module: one clear report for whatever a person wrote."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Annotated

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import Meta

from simgate.files import (
    Document,
    Shape,
    UserError,
    find,
    line_of,
    nearest,
    parse,
    read,
    scenarios,
    shaped,
    shown,
)


class Inner(Shape, frozen=True):
    name: str
    size: Annotated[float, Meta(gt=0, le=10)] = 1.0


class Outer(Shape, frozen=True):
    title: str
    part: tuple[Inner, ...] = ()
    pair: tuple[tuple[str, ...], ...] = ()
    extra: Inner | None = None


def refusal(tmp_path: Path, text: str | bytes) -> UserError:
    path = tmp_path / "wrong.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    with pytest.raises(UserError) as caught:
        read(path, Outer, "wrong.toml")
    return caught.value


def test_every_mistake_of_shape_is_told_at_once_with_its_line(tmp_path: Path) -> None:
    error = refusal(tmp_path, 'titel = "x"\n\n[[part]]\nname = "a"\nsize = 20\n\n[[part]]\nsize = 2\n')
    told = [(p.where, p.line, p.found) for p in error.problems]
    assert ("titel", 1, "an unknown key") in told
    assert ("title", None, "nothing") in told
    assert ("part[1].size", 5, "20") in told
    assert ("part[2].name", 7, "nothing") in told
    assert len(told) == 4
    assert "did you mean 'title'?" in str(error)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("title = ", "TOML"),
        (b'title = "\xff"', "UTF-8"),
        ("title = " + "[" * 20_000, "TOML"),
        ("title = " + "9" * 5_000, "TOML"),
        ('title = "a"\n[extra]\nname = "a"\nsize = inf', "finite"),
        ('title = "a"\n[extra]\nname = "a"\nsize = nan', "finite"),
        ('title = 3\n', "text"),
        ('title = "a"\npart = 3\n', "list"),
    ],
)  # fmt: skip
def test_hostile_files_end_in_one_clear_error(tmp_path: Path, text: str | bytes, words: str) -> None:
    error = refusal(tmp_path, text)
    assert len(error.problems) == 1
    assert words in str(error)
    assert "wrong.toml" in str(error)


def test_a_missing_file_and_a_folder_are_refused_in_words(tmp_path: Path) -> None:
    for path in (tmp_path / "none.toml", tmp_path):
        with pytest.raises(UserError, match="allowed: a readable TOML file"):
            parse(path)


def test_a_misspelt_shipped_name_brings_the_nearest() -> None:
    with pytest.raises(UserError, match="did you mean 'latch'"):
        find("modes", "lach")


def test_a_good_file_becomes_a_frozen_value(tmp_path: Path) -> None:
    path = tmp_path / "good.toml"
    path.write_text('title = "t"\npair = [["a", "b"]]\n[extra]\nname = "e"\n')
    value, document = read(path, Outer)
    assert value == Outer(title="t", pair=(("a", "b"),), extra=Inner(name="e"))
    assert document.raw["title"] == "t"
    with pytest.raises(AttributeError):
        setattr(value, "title", "u")  # noqa: B010  (a checker would refuse the plain form)


def test_lines_are_found_in_nested_list_tables() -> None:
    text = "[[a]]\n[[a.b]]\nx = 1\n[[a]]\n[[a.b]]\nx = 1\n[[a.b]]\nx = 2\n"
    assert line_of(text, ["a", 1, "b", 1, "x"]) == 8
    assert line_of(text, ["a", 0, "b", 0, "x"]) == 3
    assert line_of(text, ["z"]) is None


def test_nearest_lists_everything_when_nothing_is_near() -> None:
    assert nearest("qqqq", ["one", "two"]) == "one, two"


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
        lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
        max_leaves=12,
    )
)
def test_any_value_at_all_is_either_shaped_or_refused(value: object) -> None:
    document = Document("any.toml", "", {"title": value, "part": value})
    try:
        shaped(document, Outer)
    except UserError as error:
        assert error.problems


def test_a_key_in_a_text_of_several_lines_is_not_taken_for_one() -> None:
    text = 'a = """\nb = 1\n[c]\n"""\nb = 2\n[c]\nd = 1\n'
    assert (line_of(text, ["b"]), line_of(text, ["c", "d"])) == (5, 7)


def test_line_separators_inside_a_text_do_not_move_the_lines() -> None:
    assert line_of("a = '\u2028\x85\x0c'\nb = 1\n", ["b"]) == 2


def test_values_are_quoted_as_the_file_has_them() -> None:
    found = [shown(one) for one in (True, datetime.date(1979, 5, 27), {"a": 1}, {}, [1, "b"], None)]
    assert found == ["true", "1979-05-27", "a table of a", "an empty table", "[1, 'b']", "nothing"]


def test_more_mistakes_than_anybody_reads_are_cut_off_and_said_so(tmp_path: Path) -> None:
    error = refusal(tmp_path, 'title = "t"\n' + "".join(f"x{n} = 1\n" for n in range(5_000)))
    assert len(error.problems) == 51
    assert "further mistakes" in error.problems[-1].found


@pytest.mark.parametrize("name", ["", ".", "..", "/", "\0", "x" * 5_000, "a\nb", "\u202e"])
def test_a_name_that_no_file_can_have_is_refused_on_one_line(name: str) -> None:
    for beside in (None, Path(__file__)):
        with pytest.raises(UserError, match="no such site") as caught:
            find("sites", name, beside)
        assert str(caught.value).isprintable()


def test_a_name_in_capitals_finds_the_small_one() -> None:
    assert nearest("TITLE", ["title", "text"]).startswith("did you mean 'title'?")


def test_a_file_that_bears_the_name_of_what_it_asks_for_is_not_taken_for_it(tmp_path: Path) -> None:
    job = tmp_path / "yard-single.toml"
    job.write_text("")
    assert find("sites", "yard-single", beside=job) == scenarios() / "sites" / "yard-single.toml"
