"""Progress for a person at a terminal; silent when the output goes to a file or another program."""

from __future__ import annotations

import sys
import time
from typing import TextIO


class Progress:
    """One line on stderr that counts a job's steps and guesses what is left.

    Parameters
    ----------
    stream : TextIO, optional
        Where to write; stderr when not given.
    enabled : bool, optional
        Forced on or off; by default on when the stream is a terminal.
    """

    def __init__(self, stream: TextIO | None = None, *, enabled: bool | None = None) -> None:
        self._stream = stream or sys.stderr
        self._enabled = self._stream.isatty() if enabled is None else enabled
        self._started = time.monotonic()
        self._width = 0

    def __call__(self, job: str, done: int, total: int) -> None:
        """Show that `done` of `total` steps of `job` are finished."""
        if not self._enabled:
            return
        if done == 0:
            self._started = time.monotonic()
        text = f"{job}  {done} of {total}"
        spent = time.monotonic() - self._started
        if 0 < done < total and spent > 2:
            text += f", about {spent / done * (total - done):.0f} s left"
        self._stream.write("\r" + text.ljust(self._width))
        self._width = len(text)
        if done >= total:
            self._stream.write("\n")
            self._width = 0
        self._stream.flush()
