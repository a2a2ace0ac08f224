"""Tables of the standards, one CSV each, and the one way to read them.

Every CSV opens with comment lines (title, standard and edition, units, confidence); the figures
follow. Nothing is interpolated, rounded or clamped here: what a table does not hold raises.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache, lru_cache
from importlib.resources import files

from binder.errors import BinderError

Row = Mapping[str, str]
_LAST_BIT = 1e-12
Key = str | int | float


class OutsideTableError(BinderError, LookupError):
    """A table was asked for something that it does not hold.

    Attributes
    ----------
    table : str
        Name of the table.
    sought : str
        What was asked for, in words.
    """

    def __init__(self, table: str, sought: str) -> None:
        super().__init__(f"table {table} holds nothing for {sought}")
        self.args = (table, sought)  # so that the error pickles
        self.table = table
        self.sought = sought


@lru_cache(maxsize=4096)
def _key(value: Key) -> str | float:
    """Make '14', 14 and 14.0 one key; other text stays text."""
    try:
        return float(value)
    except ValueError:
        return str(value)


@dataclass(frozen=True, eq=False)
class Table:
    """One table of a standard.

    Parameters
    ----------
    name : str
        File name without '.csv'.
    title, source, confidence : str
        From the comment head; `source` is standard, clause and edition.
    head : mapping of str to str
        All comment lines by their first word.
    columns : tuple of str
    rows : tuple of mapping
        Cells as text; an empty cell is ''.
    """

    name: str
    title: str
    source: str
    confidence: str
    head: Mapping[str, str]
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    _indexes: dict[tuple[str, ...], dict[tuple[str | float, ...], list[Row]]] = field(default_factory=dict, repr=False)

    def rows_where(self, **keys: Key) -> tuple[Row, ...]:
        """All rows whose cells equal `keys`, in the order of the table; may be empty."""
        names = tuple(keys)
        index = self._indexes.get(names)
        if index is None:
            index = {}
            for row in self.rows:
                index.setdefault(tuple([_key(row[n]) for n in names]), []).append(row)
            self._indexes[names] = index
        return tuple(index.get(tuple([_key(v) for v in keys.values()]), ()))

    def row(self, **keys: Key) -> Row:
        """Return the one row whose cells equal `keys`.

        Raises
        ------
        OutsideTableError
            No row, or more than one, fits.
        """
        found = self.rows_where(**keys)
        if len(found) != 1:
            words = ", ".join(f"{n} {v}" for n, v in sorted(keys.items()))
            raise OutsideTableError(self.name, words if not found else f"{words} alone ({len(found)} rows)")
        return found[0]

    def text(self, column: str, **keys: Key) -> str:
        """Return the cell of the one row that fits `keys`; an empty cell raises as well."""
        cell = self.row(**keys)[column]
        if not cell:
            words = ", ".join(f"{n} {v}" for n, v in sorted(keys.items()))
            raise OutsideTableError(self.name, f"{column} at {words}")
        return cell

    def number(self, column: str, **keys: Key) -> float:
        """Return the number in the one row that fits `keys`.

        Examples
        --------
        >>> load("nec_430_250_three_phase_flc").number("induction_460v_a", hp=10)
        14.0
        """
        return float(self.text(column, **keys))

    def at_least(self, column: str, value: float, **keys: Key) -> Row:
        """Return the first row whose `column` is `value` or more, for 'next larger' rules.

        Raises
        ------
        OutsideTableError
            Every fitting row is smaller.
        """
        rows = self.rows_where(**keys) if keys else self.rows
        for row in sorted((r for r in rows if r[column]), key=lambda r: float(r[column])):
            # a converted number (113 °F) may miss its own row (45 °C) by the last bit
            if float(row[column]) >= value - _LAST_BIT * abs(value):
                return row
        raise OutsideTableError(self.name, f"{column} {value:g} or more")

    def band(self, low: str, high: str, value: float, **keys: Key) -> Row:
        """Return the row whose `low`..`high` holds `value`; an empty end is open.

        Raises
        ------
        OutsideTableError
            No row holds the value.
        """
        for row in self.rows_where(**keys) if keys else self.rows:
            above = not row[low] or value >= float(row[low])
            if above and (not row[high] or value <= float(row[high])):
                return row
        raise OutsideTableError(self.name, f"{value:g} between {low} and {high}")


@cache
def load(name: str) -> Table:
    """Read a table once and keep it.

    Parameters
    ----------
    name : str
        File name without '.csv', for example 'nec_310_16_ampacity'.

    Returns
    -------
    Table

    Raises
    ------
    OutsideTableError
        There is no such table.

    Examples
    --------
    >>> load("iec_60364_6_insulation").number("min_resistance_mohm", circuit_key="up_to_500_v")
    1.0
    """
    path = files(__name__) / f"{name}.csv"
    if not path.is_file():
        raise OutsideTableError(name, "anything: no such table")
    head: dict[str, str] = {}
    lines = []
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.startswith("#"):
            word, _, rest = line.lstrip("# ").partition(":")
            head[word.strip()] = rest.strip()
        else:
            lines.append(line)
    reader = csv.DictReader(lines)
    rows = tuple(dict(r) for r in reader)
    return Table(
        name=name,
        title=head.get("title", ""),
        source=head.get("standard", ""),
        confidence=head.get("confidence", ""),
        head=head,
        columns=tuple(reader.fieldnames or ()),
        rows=rows,
    )
