"""Which joined volumes stand as the last build left them, so that they need not be joined again."""

from __future__ import annotations

import json
from contextlib import suppress
from pathlib import Path

from binder.inventory.files import put_in_place
from binder.publishing.identity import sha256

RECORD = "volumes.json"

_Entry = tuple[str, str, list[str]]  # digest of what it was made from, of the file, links that lead nowhere


class KeptVolumes:
    """Remembers volumes; one that is damaged, gone or made from anything else is joined again.

    Parameters
    ----------
    cache : Path
        Folder of the record.
    """

    def __init__(self, cache: Path) -> None:
        self._record = cache / RECORD
        self._known: dict[str, _Entry] = {}
        self._now: dict[str, _Entry] = {}
        with suppress(OSError, ValueError):
            digest, _, body = self._record.read_text("utf-8").partition("\n")
            if digest == sha256(body):
                self._known = json.loads(body)

    @property
    def dangling(self) -> set[str]:
        """Links of all volumes that lead nowhere."""
        return {target for _, _, links in self._now.values() for target in links}

    def stands(self, out: Path, made_from: str) -> bool:
        """True when the volume is there, whole, and would be joined from the same.

        Parameters
        ----------
        out : Path
        made_from : str
            Digest of everything that decides its bytes.
        """
        known = self._known.get(out.name)
        if known is None or known[0] != made_from:
            return False
        with suppress(OSError):
            if sha256(out.read_bytes()) == known[1]:
                self._now[out.name] = known
        return out.name in self._now

    def add(self, out: Path, made_from: str, dangling: list[str]) -> None:
        """Remember a volume that was joined."""
        self._now[out.name] = (made_from, sha256(out.read_bytes()), dangling)

    def write(self) -> None:
        """Write the record; without one the next build joins everything."""
        body = json.dumps(self._now)
        if body == json.dumps(self._known):
            return
        with suppress(OSError):
            put_in_place(self._record, f"{sha256(body)}\n{body}".encode())
