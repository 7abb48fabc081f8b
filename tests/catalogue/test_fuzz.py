"""Twenty thousand spoiled copies of the shipped TOML files: each is loaded, or refused in words.

They go through the very functions by which a command or a room loads such a file. What loads is tried
out: a site is built and run, a mode becomes a chart. Nothing else may happen: no other error, no long
wait, no memory without end.
"""

from __future__ import annotations

import resource
import time
from pathlib import Path

import pytest

from simgate import files
from simgate.bench.tape import LAST, read_tape
from simgate.files import UserError
from simgate.practice.lint import lint_file
from tests.catalogue.loading import SCENARIOS, SOURCES, TABLES, complaint, load, readers
from tests.catalogue.mutants import mutant, spoiled_tape

SHARDS, EACH = 40, 500  # 20,000 in all
SLOWEST = 0.5  # s of this thread's own time, for a file that takes some ms when it is sound
MOST_MEMORY = 200_000  # kB by which a shard may make the process grow
TAPES = sorted((Path(__file__).parents[1] / "golden" / "tapes").glob("*.tape"))
TAPES_EACH = 1_000  # in each shard
LINTED = 10  # every so many mutants of a scenario are linted, which also plays a job to its end


def outcome(path: Path, source: Path) -> str:
    """What is wrong with how a mutant is taken, '' when nothing is."""
    begin = time.thread_time()
    try:
        load(path, source)
    except UserError as error:
        bad = {complaint(problem): str(problem) for problem in error.problems if complaint(problem)}
        said = [f"{why}: {text[:400]}" for why, text in bad.items()]
        if not error.problems or len(error.problems) > files.MOST_TOLD + 1:
            said.append(f"{len(error.problems)} problems")
    except BaseException as error:  # whatever else it is, it is the finding of this test
        said = [f"{type(error).__name__}: {str(error)[:300]}"]
    else:
        said = []
    taken = time.thread_time() - begin
    if taken > SLOWEST:
        said.append(f"took {taken:.2f} s")
    return "; ".join(said)


def written(path: Path, data: bytes) -> None:
    """Write a mutant to a new file: a disk is waited for, some ms each time, when one is written over."""
    path.unlink(missing_ok=True)
    path.write_bytes(data)


# The runs --------------------------------------------------------------------------------------------


def test_there_are_twenty_thousand_mutants_of_every_shipped_table() -> None:
    assert SHARDS * EACH >= 20_000
    assert {path.parent.name for path in SCENARIOS} >= {"jobs", "sites", "modes"}
    assert len(SOURCES) <= EACH, "every shard spoils each file at least once"


@pytest.mark.parametrize("source", TABLES, ids=lambda path: path.stem)
def test_a_shipped_table_itself_is_loaded(source: Path) -> None:
    assert outcome(source, source) == ""


@pytest.mark.parametrize("shard", range(SHARDS))
def test_a_spoiled_file_is_loaded_or_refused_in_words(shard: int, tmp_path: Path) -> None:
    readers(TABLES[0])  # which imports every room: no mutant's own time
    texts = [source.read_bytes() for source in SOURCES]
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    path, wrong, made = tmp_path / "mutant.toml", [], 0
    for number in range(EACH):
        which = number % len(SOURCES)
        seed = f"{shard}-{number}"
        data = mutant(texts[which], seed)
        made += data != texts[which]
        written(path, data)
        source = SOURCES[which]
        if said := outcome(path, source):
            wrong.append(f"mutant({source.name}, '{seed}'): {said}")
        if source in SCENARIOS and (shard + number) % LINTED == 0:
            wrong += [
                f"lint of mutant({source.name}, '{seed}'): {complaint(one)}: {one}"
                for one in lint_file(path)
                if complaint(one)
            ]
    assert not wrong, "\n".join(wrong[:20])
    assert made == EACH
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < MOST_MEMORY


@pytest.mark.parametrize("shard", range(2))
def test_a_spoiled_tape_is_read_or_refused_in_words(shard: int, tmp_path: Path) -> None:
    path, wrong = tmp_path / "spoiled.tape", []
    for number in range(TAPES_EACH):
        source = TAPES[number % len(TAPES)]
        seed = f"{shard}-{number}"
        written(path, spoiled_tape(source.read_bytes(), seed))
        begin = time.thread_time()
        try:
            tape = read_tape(path)
        except UserError as error:
            bad = [f"{complaint(problem)}: {problem}" for problem in error.problems if complaint(problem)]
        except BaseException as error:
            bad = [f"{type(error).__name__}: {str(error)[:300]}"]
        else:
            bad = [] if tape.last <= LAST else [f"a tape that goes on to {tape.last} ms"]
        if time.thread_time() - begin > SLOWEST:
            bad.append("too slow")
        wrong += [f"spoiled_tape({source.name}, '{seed}'): {one}" for one in bad]
    assert not wrong, "\n".join(wrong[:20])
