"""Work handed out to an executor, whatever becomes of its workers."""

from __future__ import annotations

import multiprocessing
import os
from collections import deque
from collections.abc import Callable, Generator, Sequence
from concurrent.futures import (
    FIRST_COMPLETED,
    BrokenExecutor,
    Executor,
    Future,
    ProcessPoolExecutor,
    wait,
)
from typing import Any, Generic, TypeVar

from theorykit.errors import TheoryKitError

T = TypeVar("T")
R = TypeVar("R")

#: Batches for each worker that are handed out at a time: the next one is there when it is free.
AHEAD = 3

#: How often a batch is handed out with others around it, and then each of its items alone.
TRIES = 2


def usual_jobs() -> int:
    """How many processes there is room for."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class Dispatch(Generic[T, R]):
    """Batches of items, each batch done by one call somewhere.

    A worker that dies takes its batch along; the batch is handed out again. One that goes down
    again is done item by item with nothing beside it, so that only the item is blamed that
    stops its worker.

    Parameters
    ----------
    work : callable
        Takes what ``packed`` makes of a batch and the number of the try, gives a result for each
        item.
    packed : callable
        The arguments for a batch, made when its turn comes.
    blamed : callable
        The result of an item that stops whoever works on it, from the reason.
    executor : Executor, optional
        Processes of its own if not given, which are replaced when they die.
    jobs : int
        How many workers there are.
    """

    def __init__(
        self,
        work: Callable[..., list[R]],
        packed: Callable[[Sequence[T]], tuple[Any, ...]],
        blamed: Callable[[str], R],
        *,
        executor: Executor | None,
        jobs: int,
    ) -> None:
        self._work = work
        self._packed = packed
        self._blamed = blamed
        self._given = executor
        self._jobs = jobs
        self._pool: Executor | None = executor

    def results(
        self, batches: Sequence[Sequence[T]]
    ) -> Generator[tuple[Sequence[T], list[R]], None, None]:
        """Each batch with its results, as they come.

        Raises
        ------
        TheoryKitError
            If workers can't be started, or the given executor takes no more work.
        """
        suspects: list[T] = []
        try:
            yield from self._in_parallel(batches, suspects)
            for item in suspects:
                yield [item], self._alone(item)
        finally:
            if self._given is None and self._pool is not None:
                self._pool.shutdown(cancel_futures=True)
                self._pool = None

    def _in_parallel(
        self, batches: Sequence[Sequence[T]], suspects: list[T]
    ) -> Generator[tuple[Sequence[T], list[R]], None, None]:
        waiting = deque((batch, 0) for batch in batches)
        running: dict[Future[list[R]], tuple[Sequence[T], int]] = {}
        try:
            while waiting or running:
                while waiting and len(running) < AHEAD * self._jobs:
                    batch, tries = waiting.popleft()
                    future = self._submitted(batch, tries)
                    if future is None:
                        waiting.appendleft((batch, tries))
                        break
                    running[future] = (batch, tries)
                for future in wait(running, return_when=FIRST_COMPLETED).done:
                    batch, tries = running.pop(future)
                    error = None if future.cancelled() else future.exception()
                    if error is None and not future.cancelled():
                        yield batch, future.result()
                    elif tries + 1 < TRIES:
                        waiting.append((batch, tries + 1))
                    else:
                        suspects += batch
                    if isinstance(error, BrokenExecutor):
                        self._replace(error)
        finally:
            for future in running:
                future.cancel()

    def _alone(self, item: T) -> list[R]:
        error: BaseException | None = None
        for tries in range(TRIES):
            future = self._submitted([item], TRIES + tries)
            if future is None:
                continue
            wait([future])
            error = None if future.cancelled() else future.exception()
            if error is None and not future.cancelled():
                return future.result()
            if isinstance(error, BrokenExecutor):
                self._replace(error)
        return [self._blamed(type(error).__name__)]

    def _submitted(self, batch: Sequence[T], tries: int) -> Future[list[R]] | None:
        """The call that does a batch; None where the processes have just died."""
        if self._pool is None:
            self._pool = _started(self._jobs)
        try:
            return self._pool.submit(self._work, *self._packed(batch), tries)
        except BrokenExecutor as error:
            self._replace(error)
            return None

    def _replace(self, error: BaseException) -> None:
        if self._given is not None:
            reason = "the executor is broken; a survey with the same journal goes on from here"
            raise TheoryKitError(reason) from error
        if self._pool is not None:
            self._pool.shutdown(wait=False, cancel_futures=True)
            self._pool = None


def _started(jobs: int) -> Executor:
    """Processes that have shown that they can start."""
    # A fork would carry a notebook's threads and locks along.
    pool = ProcessPoolExecutor(jobs, mp_context=multiprocessing.get_context("spawn"))
    try:
        pool.submit(int).result()
    except BrokenExecutor as error:
        pool.shutdown()
        reason = (
            "no process could be started; in a script the survey belongs under"
            " if __name__ == '__main__', or jobs=1 does it in one process"
        )
        raise TheoryKitError(reason) from error
    return pool
