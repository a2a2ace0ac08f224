"""One printed form for one value: 9200 W and 9.20 kW are both printed 9.2 kW, whatever was typed.

What was typed decides what a finding cites; what is printed decides whether two papers agree. So a
value is turned into the unit of its column where this loses nothing. A horsepower plate stays one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from decimal import Decimal
from functools import cache
from typing import Any

from binder.inventory.columns import SHEETS
from binder.inventory.lookup import natural
from binder.inventory.quantities import Measure
from binder.inventory.records import Inventory

#: Units of one family differ by an exact factor; the first is the one in which values are compared.
_FAMILIES: tuple[Mapping[str, str], ...] = (
    {"kW": "1", "W": "0.001", "MW": "1000"},
    {"kVA": "1", "VA": "0.001", "MVA": "1000"},
    {"kvar": "1", "var": "0.001", "Mvar": "1000"},
    {"V": "1", "mV": "0.001", "kV": "1000"},
    {"A": "1", "mA": "0.001", "kA": "1000"},
    {"Hz": "1", "kHz": "1000"},
    {"m": "1", "mm": "0.001", "cm": "0.01", "km": "1000"},
    {"Ω": "1", "mΩ": "0.001", "kΩ": "1000", "MΩ": "1000000", "GΩ": "1000000000"},
    {"s": "1", "µs": "0.000001", "ms": "0.001", "min": "60", "h": "3600"},
    {"µF": "1", "mF": "1000"},
    {"J": "1", "kJ": "1000"},
    {"kPa": "1", "bar": "100"},
)
_HEADS = {unit: next(iter(family)) for family in _FAMILIES for unit in family}
_FACTORS = {unit: Decimal(factor) for family in _FAMILIES for unit, factor in family.items()}
#: Lists that are printed row by row; all others are sorted by what they are about.
_LISTED = frozenset({"people", "instruments", "waivers", "defeats", "spares", "maintenance", "training", "warranties"})
_LONGEST = 15  # figures; a longer quotient was not meant by anybody


def plain(amount: Decimal) -> Decimal:
    """The number without trailing zeros and without an exponent.

    >>> plain(Decimal("7.50")), plain(Decimal("9E+4"))
    (Decimal('7.5'), Decimal('90000'))
    """
    return Decimal(format(amount.normalize(), "f")) if amount else Decimal(0)


def canonical_measure(value: Measure, unit: str = "") -> Measure:
    """The value in a unit of its family.

    Parameters
    ----------
    value : Measure
    unit : str
        The wanted unit. Where it is of another family, or the value would need a rounded quotient, the first
        unit of the value's own family is taken.

    Returns
    -------
    Measure

    Examples
    --------
    >>> from binder.inventory.quantities import measure
    >>> [str(canonical_measure(measure(*v), "kW")) for v in (("9200", "W"), ("9.20", "kW"), ("12.0", "hp"))]
    ['9.2 kW', '9.2 kW', '12 hp']
    >>> str(canonical_measure(measure("310", "s"), "min")), str(canonical_measure(measure("0.1", "h"), "min"))
    ('310 s', '6 min')
    """
    if value.unit == unit or value.unit not in _HEADS:
        return Measure(plain(value.amount), value.unit)
    head = value.amount * _FACTORS[value.unit]
    if _HEADS[value.unit] == _HEADS.get(unit):
        quotient = head / _FACTORS[unit]
        if quotient * _FACTORS[unit] == head and len(quotient.normalize().as_tuple().digits) <= _LONGEST:
            return Measure(plain(quotient), unit)
    return Measure(plain(head), _HEADS[value.unit])


def as_printed(inventory: Inventory) -> Inventory:
    """The inventory as it is printed: values in the unit of their column, lists in an order that no sorting moves.

    Parameters
    ----------
    inventory : Inventory

    Returns
    -------
    Inventory
        The same records; those that need no change are the same objects.
    """
    changed: dict[str, Any] = {}
    for sheet in SHEETS:
        units = {column.field: column.unit for column in sheet.columns}
        held = getattr(inventory, sheet.attribute)
        records = held if isinstance(held, tuple) else (held,)
        made = tuple(_record(record, units) for record in records)
        if sheet.attribute in _LISTED:
            made = tuple(sorted(made, key=_place))
        if any(new is not old for new, old in zip(made, records, strict=True)):
            changed[sheet.attribute] = made if isinstance(held, tuple) else made[0]
    return replace(inventory, **changed) if changed else inventory


def _place(record: Any) -> tuple[object, ...]:
    """By what names the row, then by all that it says."""
    kind: Any = type(record)
    first, *rest = (getattr(record, name) for name in _names(kind) if name != "origin")
    return natural(str(first)), [str(value) for value in rest]


def _record(record: Any, units: Mapping[str, str]) -> Any:
    changes = {}
    kind: Any = type(record)
    for name in _names(kind):
        value = getattr(record, name)
        made = _value(value, units.get(name, ""))
        if repr(made) != repr(value):  # 7.50 and 7.5 are equal, but not printed alike
            changes[name] = made
    return replace(record, **changes) if changes else record


@cache
def _names(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


def _value(value: Any, unit: str) -> Any:
    if isinstance(value, Measure):
        return canonical_measure(value, unit)
    if isinstance(value, Decimal):
        return plain(value)
    if isinstance(value, tuple):
        return tuple(_value(item, unit) for item in value)
    return value
