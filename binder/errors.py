"""What can go wrong that is no finding: wrong calls and outputs that cannot be written."""

from __future__ import annotations

import errno
import re
import shutil


class BinderError(Exception):
    """Base of the errors this tool words itself; `remedy` is an action for the person."""

    def __init__(self, message: str, remedy: str = "") -> None:
        super().__init__(message, remedy)
        self.message = message
        self.remedy = remedy

    def __str__(self) -> str:
        return self.message


class ProjectError(BinderError, LookupError):
    """The folder is no binder project."""


class OutputError(BinderError, OSError):
    """An output could not be written; what stood there before still stands."""


#: What the system says when nothing more can be written: disk, quota, largest file.
NO_ROOM = frozenset({errno.ENOSPC, errno.EFBIG, getattr(errno, "EDQUOT", errno.ENOSPC)})
_HELD_OPEN = (32, 33)  # Windows: another program has the file, or a part of it
_LONGEST_TOLD = 120


def in_words(error: OSError) -> tuple[str, str]:
    """Say what the system refused, and what a person can do about it.

    Parameters
    ----------
    error : OSError
        As raised; one of our own keeps its words.

    Returns
    -------
    message, remedy : str

    Examples
    --------
    >>> in_words(OSError(28, "No space left on device", "site/build/binder.pdf"))[0]
    'the disk is full: site/build/binder.pdf could not be written'
    """
    if isinstance(error, BinderError):
        return error.message, error.remedy
    error = _first(error)
    place = str(error.filename2 or error.filename or "the file")
    if len(place) > _LONGEST_TOLD:
        place = f"{place[:60]}…{place[-50:]}"
    if getattr(error, "winerror", None) in _HELD_OPEN:
        return f"{place} is open in another program", "close it there, then run the command again"
    if error.errno in NO_ROOM:
        return f"the disk is full: {place} could not be written", "free some space, then run the command again"
    if error.errno in _WORDS:
        message, remedy = _WORDS[error.errno]
        return message.format(place), remedy
    return f"{place}: {error.strerror or error}", ""


def _first(error: OSError) -> OSError:
    """The first refusal while a folder was copied: `shutil` tells them as a list of texts."""
    if not isinstance(error, shutil.Error) or not isinstance(error.args[0], list):
        return error
    _, place, why = error.args[0][0]
    number = re.search(r"Errno (\d+)", str(why))
    return OSError(int(number[1]), str(why), str(place)) if number else OSError(f"{place}: {why}")


#: Error number -> message with the place, remedy.
_WORDS = {
    errno.EACCES: ("no permission for {}", "ask for the right to it, or copy the project to a folder of your own"),
    errno.EPERM: ("no permission for {}", "ask for the right to it, or copy the project to a folder of your own"),
    errno.EROFS: ("{} lies on a disk that is read-only", "copy the project to a disk that can be written"),
    errno.ENAMETOOLONG: ("name or path too long for this disk: {}", "use a shorter name, or a folder nearer the top"),
    errno.ENOENT: ("{} is not there", "check the name, or put it back"),
    errno.EEXIST: ("{} is in the way", "move it elsewhere, then run the command again"),
    errno.ENOTDIR: ("a file stands where a folder is needed: {}", "move it elsewhere, then run the command again"),
    errno.EISDIR: ("a folder stands where a file is needed: {}", "move it elsewhere, then run the command again"),
    errno.EIO: ("the disk reports a fault at {}", "copy the project to another disk and go on there"),
}
