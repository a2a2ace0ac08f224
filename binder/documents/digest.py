"""Digest of what a document shows: equal records, equal digest, whatever the row order or the machine."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields, is_dataclass
from decimal import Decimal
from enum import Enum
from functools import cache
from operator import attrgetter
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


@cache
def _parts(kind: type) -> Callable[[Any], tuple[Any, ...]] | None:
    """What tells the fields of a record, None for what is no record. A figure's cells are left out of its inputs."""
    if not is_dataclass(kind):
        return None
    skipped = "origin" if kind is Input else ""
    names = [f.name for f in fields(kind) if f.name != skipped]
    if len(names) > 1:
        return attrgetter(*names)
    return lambda record: tuple(getattr(record, name) for name in names)


def _walk(value: Any, texts: _Texts) -> None:
    """Add what a value says. A list, not a generator: a thousand drives are millions of steps deep."""
    kind: Any = type(value)
    if kind is str:
        texts.append(f"str:{value}")
    elif isinstance(value, (tuple, list)):
        texts.rest()
        texts.append(f"[{len(value)}")
        _walk_all(value, texts)
    elif kind is Origin:
        texts.append(value.key)
    elif parts := _parts(kind):
        texts.append(kind.__name__)
        _walk_all(parts(value), texts)
    else:
        _tell(value, texts)


def _walk_all(values: Iterable[Any], texts: _Texts) -> None:
    """Add what several values say; plain ones, nine in ten, are not worth a call."""
    add = texts.append
    for value in values:
        kind = type(value)
        if kind in _PLAIN:
            add(f"{kind.__name__}:{value}")
        else:
            _walk(value, texts)


_PLAIN = frozenset({str, bool, int, float, type(None)})


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
