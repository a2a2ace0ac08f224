"""Work given to processes of its own: several at once, and each gives its memory back whole when it ends."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from types import TracebackType
from typing import Self, TypeVar

from binder.publishing.packet import no_network

A = TypeVar("A")
R = TypeVar("R")

#: Loaded once, in the process that all others are forked from.
_LOADED = ["binder.publishing.typesetter"]

# A packet takes 200 MB in small pieces. Large pages, asked for in large steps, spare a tenth of its time; these are
# settings of glibc, read when a process starts, which other systems do not look at.
_TUNABLES, _LARGE_PAGES = "GLIBC_TUNABLES", "glibc.malloc.hugetlb=1:glibc.malloc.top_pad=67108864"


class Processes:
    """Runs functions elsewhere, so many at a time.

    Where processes can be forked from one that has loaded the libraries, each task gets a fresh
    one, which costs some ten milliseconds. Elsewhere starting one takes half a second, and they
    are used again.

    Parameters
    ----------
    count : int
    """

    def __init__(self, count: int) -> None:
        self._fresh = "forkserver" in multiprocessing.get_all_start_methods()
        if self._fresh:
            _start_server()
        self._pool: Executor = ThreadPoolExecutor(count) if self._fresh else _pool(count, "spawn")

    def submit(self, function: Callable[[A], R], argument: A) -> Future[R]:
        """Let a process call a function of a module; all that goes in and comes out is pickled.

        The result raises BrokenExecutor when the process was ended from outside.
        """
        return self._pool.submit(_alone, function, argument) if self._fresh else self._pool.submit(function, argument)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, _error: object, _trace: TracebackType | None) -> None:
        self._pool.shutdown(cancel_futures=kind is not None)


def _start_server() -> None:
    """Start the process that others are forked from, unless it runs."""
    from multiprocessing import forkserver  # not on every system

    known = os.environ.get(_TUNABLES)
    os.environ.setdefault(_TUNABLES, _LARGE_PAGES)
    try:
        forkserver.set_forkserver_preload(_LOADED)
        forkserver.ensure_running()
    finally:
        if known is None:
            del os.environ[_TUNABLES]


def _alone(function: Callable[[A], R], argument: A) -> R:
    with _pool(1, "forkserver") as one:
        return one.submit(function, argument).result()


def _pool(count: int, start: str) -> ProcessPoolExecutor:
    return ProcessPoolExecutor(count, mp_context=multiprocessing.get_context(start), initializer=no_network)
