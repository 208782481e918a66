"""Nothing is lost when workers die, and only what kills them is blamed."""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Callable
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor

import pytest
from dying import doubled, doubled_or_raised

from theorykit.errors import TheoryKitError
from theorykit.survey.dispatch import Dispatch


def dispatch(
    work: Callable[..., list[object]], executor: Executor | None = None
) -> Dispatch[int, object]:
    return Dispatch(
        work, lambda batch: (list(batch),), lambda reason: reason, executor=executor, jobs=2
    )


def collected(found: Dispatch[int, object], batches: list[list[int]]) -> dict[int, object]:
    results: dict[int, object] = {}
    for batch, rows in found.results(batches):
        assert not results.keys() & set(batch), "a batch came twice"
        results |= zip(batch, rows, strict=True)
    return results


def test_an_item_that_ends_its_process_is_blamed_alone() -> None:
    batches = [list(range(at, at + 5)) for at in range(1, 101, 5)]
    batches[3][2], batches[11][0] = -1, -2
    numbers = {number for batch in batches for number in batch}
    wanted = {number: 2 * number for number in numbers if number > 0}
    blamed = dict.fromkeys((-1, -2), "BrokenProcessPool")
    assert collected(dispatch(doubled), batches) == wanted | blamed


def test_a_process_that_is_killed_loses_nothing() -> None:
    batches = [[number] for number in range(400)]
    results: dict[int, object] = {}
    killed = 0
    for batch, rows in dispatch(doubled).results(batches):
        results |= zip(batch, rows, strict=True)
        if len(results) in (50, 150):
            os.kill(multiprocessing.active_children()[0].pid or 0, signal.SIGKILL)
            killed += 1
    assert killed == 2
    assert results == {number: 2 * number for number in range(400)}
    assert not multiprocessing.active_children()


def test_an_executor_that_loses_its_workers_is_asked_again() -> None:
    with ThreadPoolExecutor(2) as executor:
        found = collected(dispatch(doubled_or_raised, executor), [[1, 2], [3, -4, 5], [6]])
    assert found == {1: 2, 2: 4, 3: 6, -4: "OSError", 5: 10, 6: 12}


def test_a_given_executor_that_breaks_down_is_told() -> None:
    with ProcessPoolExecutor(1, mp_context=multiprocessing.get_context("spawn")) as executor:
        results = dispatch(doubled, executor).results([[-1], [1]])
        with pytest.raises(TheoryKitError, match="the same journal goes on"):
            list(results)


def test_one_who_stops_looking_stops_the_work() -> None:
    results = dispatch(doubled).results([[number] for number in range(1000)])
    next(results)
    results.close()
    assert not multiprocessing.active_children()
