"""Issued wiring as plain data, so that wire numbers, strip terminals and cores outlive a revision."""

from __future__ import annotations

import types
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints

from binder.wiring.connections import Wiring


def to_data(wiring: Wiring) -> dict[str, Any]:
    """What numbering needs of a drive's wiring: no readings, hazards or findings."""
    data: dict[str, Any] = _encode(replace(wiring, expected=(), hazards=(), findings=(), demands=(), modes=()))
    return data


def from_data(data: dict[str, Any]) -> Wiring:
    """The wiring that `to_data` wrote.

    Raises
    ------
    TypeError, ValueError
        The data are of another shape.
    """
    wiring = _decode(Wiring, data)
    if not isinstance(wiring, Wiring):
        raise TypeError("no wiring in the data")
    return wiring


def _encode(value: Any) -> Any:
    """Dataclasses as mappings without empty fields, tuples as lists."""
    if isinstance(value, Enum):
        return value.value
    if is_dataclass(value):
        pairs = ((f.name, _encode(getattr(value, f.name))) for f in fields(value))
        return {name: item for name, item in pairs if item not in (None, "", [], {})}
    if isinstance(value, tuple | list):
        return [_encode(item) for item in value]
    return value


@cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


def _decode(kind: Any, data: Any) -> Any:
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        inner = next(a for a in get_args(kind) if a is not type(None))
        return None if data is None else _decode(inner, data)
    if origin is tuple:
        inner = get_args(kind)
        if len(inner) == 2 and inner[1] is Ellipsis:
            return tuple(_decode(inner[0], item) for item in data)
        return tuple(_decode(k, item) for k, item in zip(inner, data, strict=True))
    if isinstance(kind, type) and issubclass(kind, Enum):
        return kind(data)
    if is_dataclass(kind) and isinstance(kind, type):
        hints = _hints(kind)
        given = {name: _decode(hints[name], item) for name, item in data.items() if name in hints}
        # A required field that was empty was left out when written.
        for field in fields(kind):
            if field.name not in given and _empty(hints[field.name]) is not None:
                given[field.name] = _empty(hints[field.name])
        return kind(**given)
    return data


def _empty(kind: Any) -> Any:
    if kind is str:
        return ""
    return () if get_origin(kind) is tuple else None
