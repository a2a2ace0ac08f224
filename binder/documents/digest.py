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
    texts = [__version__]
    _walk(things, texts)
    return hashlib.sha256("\x1f".join(texts).encode()).hexdigest()


@lru_cache(maxsize=256)
def _names(kind: type) -> tuple[str, ...]:
    """Names of a record's fields, () for what is no record. A figure's cells are left out of its inputs."""
    if not is_dataclass(kind):
        return ()
    skipped = "origin" if kind is Input else ""
    return tuple(f.name for f in fields(kind) if f.name != skipped)


def _walk(value: Any, texts: list[str]) -> None:
    """Add what a value says. A list, not a generator: a thousand drives are millions of steps deep."""
    kind: Any = type(value)
    if kind is str:
        texts.append(f"str:{value}")
    elif isinstance(value, tuple | list):
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


def _tell(value: Any, texts: list[str]) -> None:
    """Add a plain value or a mapping."""
    if value is None or isinstance(value, str | int | float | Decimal | dt.date | Enum):
        texts.append(f"{type(value).__name__}:{value}")
    elif isinstance(value, Mapping):
        for key in sorted(value):
            texts.append(str(key))
            _walk(value[key], texts)
    else:
        raise TypeError(f"no settled text for {type(value).__name__}")
