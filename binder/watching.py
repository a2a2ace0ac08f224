"""Build again whenever the project is saved, until the person stops it."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from binder.errors import BinderError, in_words
from binder.reissue.current import digest_of

#: What a binder is made from, seen from the project folder.
SOURCES = ("inventory.xlsx", "*.toml", "conf.py", "*.png", "*.svg", "*.jp*g", "pages/**/*", "house_style/*")

_POLL_S = 0.5
_QUIET_POLLS = 2  # a file counts as saved when it stood still for so many looks

Stamps = Mapping[Path, tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Look:
    """The sources at one moment: stamps to see cheaply that something moved, digests to be sure."""

    stamps: Stamps
    digests: Mapping[Path, str]


def watch(
    folder: Path,
    build: Callable[[], None],
    say: Callable[[str], None],
    *,
    sleep: Callable[[float], None] = time.sleep,
    clock: Callable[[], str] = lambda: time.strftime("%H:%M:%S"),
) -> None:
    """Build now, and again after every change of a source; returns when the person presses Ctrl-C.

    Parameters
    ----------
    folder : Path
        The project folder.
    build : callable
        Builds once. What it raises is told, and the next change is waited for.
    say : callable
        Takes one message.
    sleep, clock : callable
        For tests.

    Notes
    -----
    Programs save in several steps: a file may be gone, empty or half-written for a moment. A change
    counts when the sources stood still for a second and hold other bytes than those built last.
    """
    seen: Look | None = None
    try:
        while True:
            now = _settled(folder, seen, sleep)
            changed = _changed(folder, seen, now)
            if changed or seen is None:
                if changed:
                    say(f"{clock()}  {', '.join(changed)}: building again")
                _try(build, say)
                say(f"{clock()}  watching {folder}; save the workbook to build again, Ctrl-C ends")
            seen = now
    except KeyboardInterrupt:
        say("\nbinder: no longer watching; the binder built last stands.")


def _try(build: Callable[[], None], say: Callable[[str], None]) -> None:
    """Build; a bad state of the workbook is told and not the end."""
    try:
        build()
    except (BinderError, OSError) as error:
        message, remedy = (error.message, error.remedy) if isinstance(error, BinderError) else in_words(error)
        say(f"binder: {message}")
        if remedy:
            say(f"        {remedy}")
        say("        What stood in the output folder before still stands.")


def _settled(folder: Path, seen: Look | None, sleep: Callable[[float], None]) -> Look:
    """Wait until something moved since `seen`, and then until nothing moves any more."""
    stamps, quiet = _stamps(folder), 0
    while (seen is not None and stamps == seen.stamps) or quiet < _QUIET_POLLS:
        if seen is None:
            break  # the first build waits for nothing
        sleep(_POLL_S)
        now = _stamps(folder)
        quiet = quiet + 1 if now == stamps else 0
        stamps = now
    return Look(stamps, {path: digest_of(path) for path in stamps})


def _stamps(folder: Path) -> Stamps:
    found: dict[Path, tuple[int, int]] = {}
    for path in _sources(folder):
        try:
            status = path.stat()
        except OSError:
            continue  # gone between two looks, as while a program saves
        found[path] = (status.st_mtime_ns, status.st_size)
    return found


def _sources(folder: Path) -> Iterator[Path]:
    for pattern in SOURCES:
        for path in sorted(folder.glob(pattern)):
            # '~$inventory.xlsx' and '.~lock.…#' are notes of an open program, not content.
            if path.is_file() and not path.name.startswith(("~$", ".")):
                yield path


def _changed(folder: Path, seen: Look | None, now: Look) -> list[str]:
    """Names of sources that hold other bytes than before, came or went."""
    if seen is None:
        return []
    paths = sorted({*seen.digests, *now.digests})
    return [p.relative_to(folder).as_posix() for p in paths if seen.digests.get(p) != now.digests.get(p)]
