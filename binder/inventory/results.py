"""Bring values back into the workbook: as-left values, readings, row keys, whole rows.

All or nothing: checked, written beside, then put in place, the former file kept as NAME.bak. What
cannot be written goes to a side workbook, so nothing a person read on site is lost.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

from openpyxl import Workbook
from openpyxl.utils import get_column_letter

from binder.errors import OutputError, in_words
from binder.inventory.cleaning import CellError
from binder.inventory.columns import sheet_named
from binder.inventory.files import put_in_place
from binder.inventory.headings import Headings
from binder.inventory.keys import EXAMPLE_KEY, unmarked
from binder.inventory.notes import mark_copy
from binder.inventory.package import lock_holder
from binder.inventory.patch import CellChange, PatchError, Value, patched
from binder.inventory.plain_zip import book_bytes
from binder.inventory.rows import read_sheet
from binder.inventory.site_sheet import decimal_mark_of
from binder.inventory.spreadsheet_text import clean_text, escaped
from binder.inventory.writing import OpenWorkbook, open_workbook, widened_tables

__all__ = [
    "CellChange",
    "FieldChange",
    "append_rows",
    "append_to_sheets",
    "mark_copy",
    "patch_cells",
    "set_fields",
    "write_row_keys",
    "write_side_workbook",
]


@dataclass(frozen=True, slots=True)
class FieldChange:
    """A new value for one field of the row that carries a key."""

    sheet: str
    row_key: str
    field: str
    value: Value


def patch_cells(path: Path, changes: Sequence[CellChange], *, expected_digest: str = "") -> None:
    """Change single cells by address.

    Parameters
    ----------
    path : Path
    changes : sequence of CellChange
    expected_digest : str
        SHA-256 of the workbook these changes were made for; '' for whatever is there.

    Raises
    ------
    OutputError
        Nothing was written; the values are in a side workbook that the message names.
    """
    lines = [(c.sheet, c.cell, c.value) for c in changes]
    _write(path, lambda opened: list(changes), lines, expected_digest)


def set_fields(path: Path, changes: Sequence[FieldChange], *, expected_digest: str = "") -> None:
    """Change fields of rows found by their keys, wherever these rows stand now.

    Parameters
    ----------
    path : Path
    changes : sequence of FieldChange
    expected_digest : str

    Raises
    ------
    OutputError
        As for `patch_cells`.
    """

    def addressed(opened: OpenWorkbook) -> list[CellChange]:
        return [_addressed(opened, change) for change in changes]

    lines = [(c.sheet, f"{c.row_key} {c.field}", c.value) for c in changes]
    _write(path, addressed, lines, expected_digest)


def append_rows(path: Path, sheet: str, rows: Sequence[Mapping[str, Value]], *, expected_digest: str = "") -> None:
    """Add rows below the last row of a sheet, each value in its column by heading.

    Parameters
    ----------
    path : Path
    sheet : str
        Declared sheet name.
    rows : sequence of mapping
        Record field -> value; 'row_key' goes to the key column.
    expected_digest : str

    Raises
    ------
    OutputError
        As for `patch_cells`.
    """
    append_to_sheets(path, {sheet: rows}, expected_digest=expected_digest)


def append_to_sheets(
    path: Path, rows_by_sheet: Mapping[str, Sequence[Mapping[str, Value]]], *, expected_digest: str = ""
) -> None:
    """Add rows to several sheets at once: all of them, or none.

    Parameters
    ----------
    path : Path
    rows_by_sheet : mapping of str to sequence of mapping
        Declared sheet name -> rows as for `append_rows`.
    expected_digest : str

    Raises
    ------
    OutputError
        As for `patch_cells`.
    """

    def placed(opened: OpenWorkbook) -> list[CellChange]:
        return [change for sheet, rows in rows_by_sheet.items() for change in _below(opened, sheet, rows)]

    lines = [
        (sheet, f"new row {n}, {name}", value)
        for sheet, rows in rows_by_sheet.items()
        for n, row in enumerate(rows, start=1)
        for name, value in row.items()
    ]
    _write(path, placed, lines, expected_digest)


def _below(opened: OpenWorkbook, sheet: str, rows: Sequence[Mapping[str, Value]]) -> list[CellChange]:
    """Cells of rows put under the last row of a sheet."""
    _, grid, headings = opened.sheet(sheet)
    start = max([headings.row, *grid.rows]) + 1
    return [
        CellChange(grid.name, f"{_letter(headings, sheet, name)}{start + offset}", value)
        for offset, row in enumerate(rows)
        for name, value in row.items()
        if value is not None
    ]


def write_row_keys(path: Path, *, expected_digest: str = "") -> int:
    """Give every row without a key the key that the reader gave it; it follows 'example' while B159 is told of the row.

    Parameters
    ----------
    path : Path
    expected_digest : str

    Returns
    -------
    int
        Number of keys written. Sheets without a key column are left alone; `upgrade` adds it.

    Raises
    ------
    OutputError
        The workbook cannot be written now; it can be repeated any time.
    """
    try:
        opened = open_workbook(path)
    except (CellError, PatchError) as error:
        raise OutputError(f"{path.name}: {error}", "Mend the workbook first.") from error
    changes = _missing_keys(opened)
    if changes:
        _write(path, lambda _: changes, [], expected_digest or opened.package.digest)
    return len(changes)


def _missing_keys(opened: OpenWorkbook) -> list[CellChange]:
    site = opened.sheets.get("Site")
    mark = decimal_mark_of(site[0] if site else None, sheet_named("Site"))
    changes = []
    for name, (grid, headings) in opened.sheets.items():
        if not headings.key_index:
            continue
        reading = read_sheet(grid, sheet_named(name), decimal_mark=mark)
        for origin in (record.origin for record in reading.records):
            key = f"{EXAMPLE_KEY} {origin.key}" if origin.row in reading.like_example else origin.key
            cell = grid.rows[origin.row].get(headings.key_index)
            if cell is None or str(cell.value).strip() != key:
                changes.append(CellChange(grid.name, f"{get_column_letter(headings.key_index)}{origin.row}", key))
    return changes


def _letter(headings: Headings, sheet: str, name: str) -> str:
    index = headings.key_index if name == "row_key" else headings.known[name].index if name in headings.known else 0
    if not index:
        raise PatchError(f"the sheet {sheet} has no column for {name}")
    return get_column_letter(index)


def _addressed(opened: OpenWorkbook, change: FieldChange) -> CellChange:
    _, grid, headings = opened.sheet(change.sheet)
    rows = [
        row
        for row, cells in grid.rows.items()
        if headings.key_index in cells and unmarked(str(cells[headings.key_index].value)) == change.row_key
    ]
    if len(rows) != 1:
        raise PatchError(f"{len(rows)} rows of {change.sheet} carry the key {change.row_key}")
    return CellChange(grid.name, f"{_letter(headings, change.sheet, change.field)}{rows[0]}", change.value)


def _write(
    path: Path, make: Callable[[OpenWorkbook], list[CellChange]], lines: Sequence[tuple[str, str, Value]], expected: str
) -> None:
    try:
        _refuse_locked(path)
        opened = open_workbook(path)
        if expected and opened.package.digest != expected:
            _refuse(f"{path.name} was changed since it was read")
        changes = make(opened)
        data = widened_tables(patched(opened.package.data, changes), changes)
        if hashlib.sha256(path.read_bytes()).hexdigest() != opened.package.digest:
            _refuse(f"{path.name} was saved meanwhile")
        put_in_place(path.with_name(path.name + ".bak"), opened.package.data)
        put_in_place(path, data)
    except (PatchError, CellError, OSError, KeyError) as error:
        raise _kept_aside(path, lines, error) from error


def _refuse(why: str) -> NoReturn:
    raise PatchError(why)


def _refuse_locked(path: Path) -> None:
    holder = lock_holder(path)
    if holder is not None:
        _refuse(f"{path.name} is open" + (f", {holder} has it" if holder else " in a spreadsheet program"))


def _kept_aside(path: Path, lines: Sequence[tuple[str, str, Value]], error: Exception) -> OutputError:
    why = in_words(error)[0] if isinstance(error, OSError) else str(error)
    if not lines:
        return OutputError(f"{path.name} was not written: {why}", "Close the workbook and run the command again.")
    try:
        side = write_side_workbook(path, lines)
    except OSError:
        return OutputError(
            f"{path.name} was not written, and no file can be made beside it: {why}",
            "Nothing is lost: what you brought is as it was. Mend the folder and run the command again.",
        )
    remedy = f"The values are in {side.name}. Close the workbook and run the command again, or type them in from there."
    return OutputError(f"{path.name} was not written: {why}", remedy)


def write_side_workbook(path: Path, lines: Sequence[tuple[str, str, Value]]) -> Path:
    """Write values that could not be brought in to a workbook of their own, beside the inventory.

    Parameters
    ----------
    path : Path
        The inventory workbook.
    lines : sequence of (sheet, place, value)

    Returns
    -------
    Path
        'NAME.not-written.xlsx', numbered when that exists.
    """
    book = Workbook()
    ws = book.worksheets[0]
    ws.title = "Not written"
    for index, title in enumerate(("Sheet", "Place", "Value"), start=1):
        ws.cell(1, index, title)
        ws.column_dimensions[get_column_letter(index)].width = 30
    for number, line in enumerate(lines, start=2):
        for index, value in enumerate(line, start=1):
            cell = ws.cell(number, index)
            text = value if isinstance(value, str) else "" if value is None else str(value)
            cell.value = escaped(clean_text(text))
            cell.data_type = "s"
            cell.number_format = "@"
    number = 1
    side = path.with_name(f"{path.stem}.not-written.xlsx")
    while side.exists():
        number += 1
        side = path.with_name(f"{path.stem}.not-written-{number}.xlsx")
    put_in_place(side, book_bytes(book))
    return side
