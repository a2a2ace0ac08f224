"""What Sphinx keeps between builds, used again only when it is whole and as the last build left it."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterator
from pathlib import Path

from binder.inventory.files import put_in_place
from binder.publishing.identity import software_digest
from binder.publishing.place import remove

_PARTS = ("doctrees", "html")


class PageMemory:
    """Pages read and written by earlier builds, in a work folder.

    Sphinx takes a page that is newer than its source for a whole one. After a build that was killed,
    or a full disk, it may be half of one, so a list of all files with size and time is written last.

    Parameters
    ----------
    work : Path
        Holds `doctrees` and `html`.
    """

    def __init__(self, work: Path) -> None:
        self.work = work
        self._list = work / "pages.json"

    def check(self) -> None:
        """Forget everything unless it is as the last whole build left it; until `keep` it counts as cut off."""
        try:
            whole = json.loads(self._list.read_text("utf-8")) == self._state()
        except (OSError, ValueError):
            whole = False
        if not whole:
            self.forget()
        self._list.unlink(missing_ok=True)

    def keep(self) -> None:
        """Say that the build is whole."""
        put_in_place(self._list, json.dumps(self._state(), separators=(",", ":")).encode())

    def forget(self) -> None:
        """Remove it; all of it can be made again.

        Raises
        ------
        OSError
            Something cannot be removed.
        """
        for part in _PARTS:
            remove(self.work / part)

    def _state(self) -> dict[str, object]:
        made_by = [software_digest(), list(sys.version_info[:3])]
        files = sorted(entry for part in _PARTS for entry in files_in(self.work / part, part))
        return {"made by": made_by, "files": files}


def files_in(folder: Path, name: str) -> Iterator[list[object]]:
    """Name, size and time of every file."""
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir(follow_symlinks=False):
                yield from files_in(folder / entry.name, f"{name}/{entry.name}")
            else:
                status = entry.stat(follow_symlinks=False)
                yield [f"{name}/{entry.name}", status.st_size, status.st_mtime_ns]
