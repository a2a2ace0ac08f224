"""Digest of what a document shows: equal records, equal digest, whatever the row order or the machine."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from decimal import Decimal
from enum import Enum
from functools import lru_cache
from typing import Any

from binder import __version__
from binder.engineering.figure import Input
from binder.inventory.records import Origin

#: Texts that are kept before they are digested: those of a whole site would take a megabyte a drive.
_MOST_KEPT = 10_000


class _Texts:
    """Texts on their way into a digest."""

    def __init__(self, *texts: str) -> None:
        self._kept = list(texts)
        self._digest = hashlib.sha256()
        self.append = self._kept.append  # the list's own: it is called millions of times

    def rest(self) -> None:
        """Digest what is there, if it is much; a text must follow."""
        if len(self._kept) > _MOST_KEPT:
            self._digest.update("\x1f".join([*self._kept, ""]).encode())
            self._kept.clear()

    def digest(self) -> str:
        """The digest of all texts, a sign between them."""
        self._digest.update("\x1f".join(self._kept).encode())
        return self._digest.hexdigest()


def digest_of(*things: object) -> str:
    """SHA-256 over plain data and records.

    Cell addresses are left out: sorting a sheet changes no document. The tool's version is
    part of it, since a new version may lay out the same facts differently.

    Parameters
    ----------
    *things : object
        Records, tuples, mappings, texts, numbers, dates, None.

    Returns
    -------
    str
        64 hexadecimal figures.

    Raises
    ------
    TypeError
        A value of a kind that has no settled text.
    """
    texts = _Texts(__version__)
    _walk(things, texts)
    return texts.digest()


@lru_cache(maxsize=256)
def _names(kind: type) -> tuple[str, ...]:
    """Names of a record's fields, () for what is no record. A figure's cells are left out of its inputs."""
    if not is_dataclass(kind):
        return ()
    skipped = "origin" if kind is Input else ""
    return tuple(f.name for f in fields(kind) if f.name != skipped)


def _walk(value: Any, texts: _Texts) -> None:
    """Add what a value says. A list, not a generator: a thousand drives are millions of steps deep."""
    kind: Any = type(value)
    if kind is str:
        texts.append(f"str:{value}")
    elif isinstance(value, tuple | list):
        texts.rest()
        texts.append(f"[{len(value)}")
        for item in value:
            _walk(item, texts)
    elif kind is Origin:
        texts.append(value.key)
    elif names := _names(kind):
        texts.append(kind.__name__)
        for name in names:
            part = getattr(value, name)
            if type(part) is str:  # two fields in three: not worth a call
                texts.append(f"str:{part}")
            else:
                _walk(part, texts)
    else:
        _tell(value, texts)


def _tell(value: Any, texts: _Texts) -> None:
    """Add a plain value or a mapping."""
    if value is None or isinstance(value, str | int | float | Decimal | dt.date | Enum):
        texts.append(f"{type(value).__name__}:{value}")
    elif isinstance(value, Mapping):
        for key in sorted(value):
            texts.append(str(key))
            _walk(value[key], texts)
    else:
        raise TypeError(f"no settled text for {type(value).__name__}")
