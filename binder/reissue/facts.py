"""Facts: what an issue freezes, one value each, keyed so that sorting and respelling change nothing.

A fact's key is (owner, group, item, field). The owner is a drive's row key or 'site'; items are
named as the trade names them: a setting by its function, a wire by its two ends, a test by its
line. Never by a row or by a place in a list.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from enum import Enum
from functools import cache
from typing import Any

from binder.inventory.canonical import canonical_measure, plain
from binder.inventory.quantities import Measure
from binder.inventory.records import ConductorSize

Key = tuple[str, str, str, str]
SITE = "site"
#: What people write down in the field; its items end in the day.
EVIDENCE = frozenset({"reading", "as left"})


@dataclass(frozen=True, slots=True)
class Fact:
    """One frozen value.

    Parameters
    ----------
    key : tuple of str
        (owner, group, item, field).
    value : str
        Canonical text: exact decimals in the unit family, folded words, figures to five digits.
    show : str
        As a person reads it.
    cause : tuple of str
        For computed values: the inputs as 'name=value', so that a change can name its cause.
    rule : str
        For computed values: the rule's source and version.
    cell : str
        Where it stands in the workbook now, 'Motors!F4'. Not frozen: sorting moves it.
    """

    key: Key
    value: str
    show: str
    cause: tuple[str, ...] = ()
    rule: str = ""
    cell: str = field(default="", compare=False)


def canonical(value: Any) -> str:
    """One text for one meaning: '9.2 kW', '9,2kW' and '9200 W' are equal, '12 hp' is not.

    Examples
    --------
    >>> from binder.inventory.quantities import measure
    >>> canonical(measure("9200", "W")) == canonical(measure("9.20", "kW")) == "9.2 kW"
    True
    >>> canonical("  two   words "), canonical(("a", True, None))
    ('two words', 'a; yes; ')
    """
    if isinstance(value, (tuple, list)):
        return "; ".join(map(canonical, value))
    kind: type = type(value)
    return _saying(kind)(value)


@cache
def _saying(kind: type) -> Callable[[Any], str]:
    """How a kind of value is said: there are a few, and a thousand values of a drive."""
    return next((say for known, say in _SAYINGS if issubclass(kind, known)), lambda value: " ".join(str(value).split()))


def _five_digits(value: float) -> str:
    return f"{plain(Decimal(f'{value:.4e}')):f}"


#: How each kind of value is said; the first that fits.
_SAYINGS: tuple[tuple[type, Callable[[Any], str]], ...] = (
    (type(None), lambda _: ""),
    (bool, lambda truth: "yes" if truth else "no"),
    (Measure, lambda value: str(canonical_measure(value))),
    (Decimal, lambda number: f"{plain(number):f}"),
    (float, _five_digits),
    (dt.date, dt.date.isoformat),
    (ConductorSize, lambda size: size.label),
    (Enum, lambda choice: str(choice.value)),
)
