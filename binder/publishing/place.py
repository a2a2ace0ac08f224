"""Put results in place: one build at a time, and at every moment a whole binder."""

from __future__ import annotations

import errno
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO


class BusyError(OSError):
    """Another build of the same project is running."""


@contextmanager
def sole_use(folder: Path) -> Iterator[None]:
    """Keep a folder to this process; the system lets go of it even if the process is killed.

    Raises
    ------
    BusyError
        Another process holds it.
    """
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / "lock").open("a+b") as file:
        if not _lock(file):
            raise BusyError(f"another build is at work in {folder}; wait for it to end, then build again")
        yield


def _lock(file: IO[bytes]) -> bool:
    """Take a lock that ends with the file handle; False when somebody has it.

    A disk that knows no locks, as some network disks, lets everybody pass.
    """
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        return error.errno not in (errno.EAGAIN, errno.EWOULDBLOCK, errno.EACCES, errno.EDEADLK)
    return True


def remove(path: Path) -> None:
    """Remove a file, a link or a whole folder, if there is one."""
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)


def restore(target: Path) -> None:
    """Undo a swap that was cut off: the old folder comes back where the new one is missing, half copies go."""
    old = target.with_name(f"{target.name}.old")
    if old.exists() and not target.exists():
        old.rename(target)
    if target.parent.is_dir():
        for half in [p for p in target.parent.iterdir() if p.name.startswith(f"{target.name}.new-")]:
            shutil.rmtree(half, ignore_errors=True)


def swap(made: Path, target: Path) -> None:
    """Put a copy of `made` in place of `target`; at every moment one of the two is whole.

    Raises
    ------
    OSError
        The old folder cannot be moved, as when a file in it is open on some systems.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    new = Path(tempfile.mkdtemp(prefix=f"{target.name}.new-", dir=target.parent))
    old = target.with_name(f"{target.name}.old")
    try:
        shutil.copytree(made, new, dirs_exist_ok=True, ignore=shutil.ignore_patterns(".buildinfo*", ".doctrees"))
        new.chmod(0o755)  # mkdtemp makes it private
        if old.exists():
            shutil.rmtree(old)
        if target.exists():
            target.rename(old)
        new.rename(target)
    except BaseException:
        shutil.rmtree(new, ignore_errors=True)
        restore(target)
        raise
    shutil.rmtree(old, ignore_errors=True)
