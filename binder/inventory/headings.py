"""Which sheet and which column is which: by their words, never by their place."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches

from openpyxl.utils import get_column_letter

from binder.inventory.cleaning import CellError, fold_text, show
from binder.inventory.columns import KEY_HEADER
from binder.inventory.declarations import Column, Sheet
from binder.inventory.grammar import unit_named
from binder.inventory.grid import Grid
from binder.inventory.kinds import KINDS

_SEARCHED_ROWS = 20
_BRACKETS = re.compile(r"(.*?)\s*[\[(]\s*([^\])]*?)\s*[\])]\s*")
#: Families where a bare number without a unit in the heading has one reading in the trade.
_PLAIN_FAMILIES = frozenset({"voltage", "current", "frequency", "speed", "percent"})


@dataclass(frozen=True, slots=True)
class Heading:
    """A column of a sheet as found: declaration, its index, and the unit of bare numbers ('' for none)."""

    column: Column
    index: int
    unit: str


@dataclass(slots=True)
class Headings:
    """The heading row of a sheet.

    Parameters
    ----------
    row : int
        0 where none was found.
    known : dict of str to Heading
        Record field -> heading.
    key_index : int
        Index of the row key column, 0 where there is none.
    problems : list of (column index, CellError)
    """

    row: int = 0
    known: dict[str, Heading] = field(default_factory=dict)
    key_index: int = 0
    problems: list[tuple[int, CellError]] = field(default_factory=list)


def fold_name(text: str) -> str:
    """Return a sheet name or heading as it is compared.

    Examples
    --------
    >>> fold_name("Motor  Current *")
    'motor current'
    """
    return fold_text(text.replace("*", " ")).casefold()


def names_of(sheet: Sheet) -> Mapping[str, Column]:
    """Return folded heading text, aliases included -> column."""
    return {fold_name(n): c for c in sheet.columns for n in (c.title, *c.aliases)}


def split_heading(text: str) -> tuple[str, str]:
    """Split a heading into its name and the unit in brackets.

    Examples
    --------
    >>> split_heading("Rated power [kW] *")
    ('Rated power', 'kW')
    """
    bare = text.replace("*", " ").strip()
    match = _BRACKETS.fullmatch(" ".join(bare.split()))
    return (match[1], match[2]) if match else (" ".join(bare.split()), "")


def column_named(text: str, sheet: Sheet, names: Mapping[str, Column]) -> tuple[Column, str] | None:
    """Return the column that a heading names and the unit it states, or None."""
    name, unit = split_heading(text)
    column = names.get(fold_name(name)) or names.get(fold_name(text))
    if column is not None:
        return column, unit if names.get(fold_name(name)) else ""
    head, _, last = name.rpartition(" ")
    column = names.get(fold_name(head))
    if column is not None and KINDS[column.kind].family:
        try:
            unit_named(last, KINDS[column.kind].family)
        except CellError:
            return None
        return column, last
    return None


def heading_unit(column: Column, stated: str) -> str:
    """Return the unit of bare numbers below a heading, '' where every number must state its own.

    Raises
    ------
    CellError
        The stated unit is not one of the column's family.
    """
    family = KINDS[column.kind].family
    if not family or not column.unit:
        return column.unit
    if not stated:
        return column.unit if family in _PLAIN_FAMILIES else ""
    try:
        return unit_named(stated, family)
    except CellError:
        remedy = f"Type a unit the column can have, for example [{column.unit}]."
        raise CellError("B174", f"[{show(stated)}]", f"[{column.unit}] or another unit of it", remedy) from None


def find_headings(grid: Grid, sheet: Sheet) -> Headings:
    """Find the heading row and its columns.

    Parameters
    ----------
    grid : Grid
    sheet : Sheet

    Returns
    -------
    Headings
        `row` is 0 where no row within the first 20 holds enough known headings.
    """
    names = names_of(sheet)
    best, best_row = 0, 0
    for row in sorted(grid.rows):
        if row > _SEARCHED_ROWS:
            break
        score = sum(
            isinstance(c.value, str) and column_named(c.value, sheet, names) is not None
            for c in grid.rows[row].values()
        )
        if score > best:
            best, best_row = score, row
        if score >= 3:
            break
    found = Headings()
    if best < min(3, len(sheet.columns)):
        return found
    found.row = best_row
    _take_columns(grid, sheet, names, found)
    return found


def _take_columns(grid: Grid, sheet: Sheet, names: Mapping[str, Column], found: Headings) -> None:
    unknown: list[tuple[int, str]] = []
    for index, cell in sorted(grid.rows[found.row].items()):
        text = cell.value if isinstance(cell.value, str) else str(cell.value)
        if fold_name(text) in {fold_name(KEY_HEADER), "row key"}:
            found.key_index = found.key_index or index
            continue
        named = column_named(text, sheet, names)
        if named is None:
            unknown.append((index, text))
            continue
        column, stated = named
        if column.field in found.known:
            first = found.known[column.field].index
            twice = f"{show(column.title)} in columns {get_column_letter(first)} and {get_column_letter(index)}"
            found.problems.append(
                (index, CellError("B172", twice, "each heading once", "Rename or delete one of them."))
            )
            continue
        try:
            found.known[column.field] = Heading(column, index, heading_unit(column, stated))
        except CellError as error:
            found.problems.append((index, error))
            found.known[column.field] = Heading(column, index, "?")
    for index, text in unknown:
        found.problems.append((index, _unknown(text, [c for c in sheet.columns if c.field not in found.known])))


def _unknown(text: str, missing: Sequence[Column]) -> CellError:
    by_name = {fold_name(n): c for c in missing for n in (c.title, *c.aliases)}
    close = get_close_matches(fold_name(split_heading(text)[0]), sorted(by_name), n=1, cutoff=0.8)
    if close:
        header = by_name[close[0]].header
        return CellError(
            "B173", show(text), header, f"Is {header} meant? Type the heading so; else choose another name."
        )
    return CellError("B170", show(text), "", "Nothing to do; the tool keeps the column and does not read it.")
