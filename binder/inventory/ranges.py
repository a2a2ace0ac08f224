"""The range in which a cell of a column can be true."""

from __future__ import annotations

from decimal import Decimal

from binder.inventory.declarations import Column
from binder.inventory.kinds import KINDS
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


def _bound(column: Column, of_kind: Decimal | None, unit: str, narrower: str) -> Measure | None:
    if narrower:
        return Measure(Decimal(narrower), column.unit)
    if of_kind is None:
        return None
    if unit == column.unit or not column.unit:
        return Measure(of_kind, column.unit)
    return Measure(Decimal(f"{Measure(of_kind, unit).to(column.unit):.6g}"), column.unit)
