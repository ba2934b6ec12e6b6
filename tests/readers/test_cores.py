"""Work on several cores gives what it gives on one, in the same order, also when a process is killed."""

from __future__ import annotations

import os
import pickle
import signal
import sys
from pathlib import Path

import pytest

import asfound
from asfound.model.problem import Problem
from asfound.readers import single_files as making
from asfound.readers.cores import available, spread
from asfound.readers.reading import gather, read_files
from asfound.readers.single_files import Means, Parts

SAMPLES = Path(__file__).parents[2] / "sample_exports"
HERE = os.getpid()


def _square(number: int) -> int:
    return number * number


def _where(_: int) -> int:
    return os.getpid()


def _refuses_three(number: int) -> int:
    if number == 3:
        raise Problem("is three", where="here", advice="take four")
    return number


def _dies_elsewhere(number: int) -> int:
    if number == 2 and os.getpid() != HERE:
        os.kill(os.getpid(), signal.SIGKILL)
    return number


@pytest.mark.parametrize("processes", [1, 2, 5])
def test_results_come_in_order(processes: int) -> None:
    assert list(spread(_square, range(20), processes)) == [n * n for n in range(20)]


def test_the_work_is_done_elsewhere_only_if_there_is_enough_of_it() -> None:
    assert os.getpid() not in spread(_where, range(4), 2)
    assert set(spread(_where, range(4), 1)) == set(spread(_where, range(1), 2)) == {os.getpid()}


def test_an_error_arrives_as_it_was() -> None:
    with pytest.raises(Problem) as caught:
        list(spread(_refuses_three, range(6), 2))
    assert str(caught.value) == "here: is three; take four."
    assert str(pickle.loads(pickle.dumps(caught.value))) == "here: is three; take four."


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGKILL")
def test_a_killed_process_only_costs_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys.modules[__name__], "HERE", os.getpid())
    assert list(spread(_dies_elsewhere, range(6), 2)) == list(range(6))


def test_there_is_at_least_one_core() -> None:
    assert available() >= 1


def prepared(files: list[tuple[str, bytes]], monkeypatch: pytest.MonkeyPatch) -> tuple[Parts, bool, list[str]]:
    monkeypatch.setattr(making, "WORTH", 0)
    parts, told = Parts(Means(processes=2)), list[str]()
    return parts, parts.prepare(files, told.append), told


def test_a_folder_read_on_several_cores_is_the_same_copy(monkeypatch: pytest.MonkeyPatch) -> None:
    for folder in sorted(SAMPLES.glob("*/2-as-found-2026/*/")):
        files = gather(folder)
        parts, worth, told = prepared(files, monkeypatch)
        large = [(name, data) for name, data in files if len(data) >= making.SMALL]
        assert worth and sorted(told) == sorted(name for name, _ in large)
        monkeypatch.setattr(making, "read_part", lambda *_: pytest.fail("read twice"))
        assert [parts.part(name, data).source.name for name, data in large] == [name for name, _ in large]
        monkeypatch.undo()
        assert read_files(files, parts=parts) == read_files(files)


def test_a_file_that_cannot_be_read_is_refused_in_the_same_words(monkeypatch: pytest.MonkeyPatch) -> None:
    good = next(SAMPLES.rglob("program.xml")).read_bytes()
    files = [("a.xml", good), ("b.xml", good[: len(good) // 2])]
    parts, worth, _ = prepared(files, monkeypatch)
    assert worth
    said = []
    for given in (parts, None):
        with pytest.raises(asfound.Problem) as caught:
            read_files(files, parts=given)
        said.append(str(caught.value))
    assert said[0] == said[1]


def test_the_same_bytes_under_one_name_are_read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    data = next(SAMPLES.rglob("program.xml")).read_bytes()
    done: list[str] = []
    original = making.read_part
    monkeypatch.setattr(making, "read_part", lambda name, *rest: done.append(name) or original(name, *rest))
    parts = Parts()
    assert read_files([("p.xml", data)], parts=parts) == read_files([("p.xml", data)], parts=parts)
    assert done == ["p.xml"]
