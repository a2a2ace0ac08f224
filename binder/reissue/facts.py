"""Facts: what an issue freezes, one value each, keyed so that sorting and respelling change nothing.

A fact's key is (owner, group, item, field). The owner is a drive's row key or 'site'; items are
named as the trade names them: a setting by its function, a wire by its two ends, a test by its
line. Never by a row or by a place in a list.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from enum import Enum
from typing import Any

from binder.inventory.quantities import Measure
from binder.inventory.records import ConductorSize

Key = tuple[str, str, str, str]
SITE = "site"

#: Units that say the same thing are one family; a horsepower plate stays a horsepower plate.
_FAMILIES: dict[str, str] = {
    "W": "kW",
    "kW": "kW",
    "mV": "V",
    "V": "V",
    "kV": "V",
    "mA": "A",
    "A": "A",
    "kA": "A",
    "Hz": "Hz",
    "kHz": "Hz",
    "mm": "m",
    "m": "m",
    "km": "m",
    "in": "ft",
    "ft": "ft",
    "mΩ": "Ω",
    "Ω": "Ω",
    "kΩ": "Ω",
    "MΩ": "MΩ",
    "GΩ": "MΩ",
    "ms": "s",
    "s": "s",
    "min": "s",
    "h": "s",
    "µF": "µF",
    "mF": "µF",
    "J": "J",
    "kJ": "J",
}
_FACTORS: dict[str, Decimal] = {
    "W": Decimal("0.001"),
    "mV": Decimal("0.001"),
    "kV": Decimal(1000),
    "mA": Decimal("0.001"),
    "kA": Decimal(1000),
    "kHz": Decimal(1000),
    "mm": Decimal("0.001"),
    "km": Decimal(1000),
    "mΩ": Decimal("0.001"),
    "kΩ": Decimal(1000),
    "GΩ": Decimal(1000),
    "ms": Decimal("0.001"),
    "min": Decimal(60),
    "h": Decimal(3600),
    "mF": Decimal(1000),
    "kJ": Decimal(1000),
}

_QUANTITY = re.compile(rf"(?<![\w.,])(\d+(?:\.\d+)?) ({'|'.join(sorted(_FACTORS, key=len, reverse=True))})(?![\w/·²³])")


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
    >>> canonical("  two   words "), canonical("open after 15000 ms")
    ('two words', 'open after 15 s')
    """
    if isinstance(value, tuple | list):
        return "; ".join(canonical(v) for v in value)
    return next((say(value) for kind, say in _SAYINGS if isinstance(value, kind)), _text(str(value)))


def _plain(amount: Decimal) -> str:
    return format(amount.normalize(), "f") if amount else "0"


def _five_digits(value: float) -> str:
    return _plain(Decimal(f"{value:.4e}"))


def _text(text: str) -> str:
    """A text with single spaces, quantities inside it in the unit of their family."""
    return _QUANTITY.sub(lambda m: _measure(Measure(Decimal(m[1]), m[2])), " ".join(text.split()))


def _measure(value: Measure) -> str:
    amount = value.amount * _FACTORS.get(value.unit, Decimal(1))
    return f"{_plain(amount)} {_FAMILIES.get(value.unit, value.unit)}".strip()


#: How each kind of value is said; the first that fits.
_SAYINGS: tuple[tuple[type, Callable[[Any], str]], ...] = (
    (type(None), lambda _: ""),
    (bool, lambda truth: "yes" if truth else "no"),
    (Measure, _measure),
    (Decimal, _plain),
    (float, _five_digits),
    (dt.date, dt.date.isoformat),
    (ConductorSize, lambda size: size.label),
    (Enum, lambda choice: str(choice.value)),
)
