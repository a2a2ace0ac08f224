"""The range in which a cell of a column can be true."""

from __future__ import annotations

from decimal import Decimal

from binder.inventory.declarations import Column
from binder.inventory.kinds import KINDS, MIXED_UP
from binder.inventory.quantities import Measure


def range_of(column: Column) -> tuple[Measure | None, Measure | None]:
    """Return the lowest and highest value a column takes, in the column's unit.

    Parameters
    ----------
    column : Column

    Returns
    -------
    tuple of Measure or None
        None where there is no bound.

    Examples
    --------
    >>> from binder.inventory.columns import sheet_named
    >>> [str(bound) for bound in range_of(sheet_named("Motors").column("power"))]
    ['0.01 kW', '3000 kW']
    """
    kind = KINDS[column.kind]
    return _bound(column, kind.low, kind.unit, column.low), _bound(column, kind.high, kind.unit, column.high)


def accepted_of(column: Column) -> str:
    """Return two or three legal spellings for a column that has no choices.

    Examples
    --------
    >>> from binder.inventory.columns import sheet_named
    >>> accepted_of(sheet_named("Models").column("overload_light"))
    '110 or 110 %'
    """
    kind = KINDS[column.kind]
    low, high = range_of(column)
    if column.unit and kind.unit and column.unit != kind.unit and not column.example:
        return f"a number in {column.unit}, or one with its unit"
    if kind.name not in {"percent", "rate"} or low is None or high is None:
        return kind.accepted
    usual = column.example.removesuffix("%").strip() or kind.accepted.split()[0]
    if not low.amount <= Decimal(usual) <= high.amount:
        usual = f"{((low.amount + high.amount) / 2).normalize():f}"
    return f"{usual} or {usual} %"


def usual_of(column: Column) -> tuple[Measure, Measure] | None:
    """Return the range in which nearly all values of a column lie, None where none is declared."""
    if column.usual is None:
        return None
    low, high = (Measure(Decimal(bound), column.unit) for bound in column.usual)
    return low, high


def meant_instead(value: Measure, low: Measure | None, high: Measure | None) -> tuple[Measure, ...]:
    """Return the same number in other units of the trade that would lie within bounds.

    Parameters
    ----------
    value : Measure
        As typed.
    low, high : Measure or None

    Returns
    -------
    tuple of Measure
        What was probably meant; by the pairs of `kinds.MIXED_UP`.

    Examples
    --------
    >>> from binder.inventory.columns import sheet_named
    >>> column = sheet_named("Panels").column("fault_rating")
    >>> [str(m) for m in meant_instead(Measure(Decimal(22000), "kA"), *range_of(column))]
    ['22000 A']
    """
    if low is None and high is None:
        return ()
    others = (Measure(value.amount, unit) for unit in MIXED_UP.get(value.unit, ()))
    return tuple(
        other
        for other in others
        if (low is None or other.to(low.unit) >= float(low.amount))
        and (high is None or other.to(high.unit) <= float(high.amount))
    )


def _bound(column: Column, of_kind: Decimal | None, unit: str, narrower: str) -> Measure | None:
    if narrower:
        return Measure(Decimal(narrower), column.unit)
    if of_kind is None:
        return None
    if unit == column.unit or not column.unit:
        return Measure(of_kind, column.unit)
    return Measure(Decimal(f"{Measure(of_kind, unit).to(column.unit):.6g}"), column.unit)
