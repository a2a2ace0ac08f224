"""Bring values back into the workbook: as-left values, readings, row keys; and new columns on upgrade.

All or nothing: checked, written beside, then put in place, the former file kept as NAME.bak. What
cannot be written goes to a side workbook, so nothing a person read on site is lost.
"""

from __future__ import annotations

import hashlib
import io
import os
import re
import zipfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

from openpyxl import Workbook
from openpyxl.utils import get_column_letter

from binder.errors import OutputError
from binder.inventory.cleaning import CellError
from binder.inventory.columns import KEY_HEADER, SHEETS, sheet_named
from binder.inventory.declarations import Sheet
from binder.inventory.grid import Grid, read_grids
from binder.inventory.headings import Headings, find_headings, fold_name
from binder.inventory.notes import mark_copy
from binder.inventory.package import Package, lock_holder, open_package
from binder.inventory.parts import sheet_parts
from binder.inventory.patch import (
    MAIN,
    CellChange,
    PatchError,
    Value,
    parse_xml,
    patched,
    related_parts,
    replaced,
    split_address,
    xml_bytes,
)
from binder.inventory.plain_zip import same_bytes
from binder.inventory.rows import read_sheet
from binder.inventory.site_sheet import decimal_mark_of

__all__ = [
    "CellChange",
    "FieldChange",
    "append_rows",
    "append_to_sheets",
    "mark_copy",
    "patch_cells",
    "set_fields",
    "upgrade",
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


@dataclass(frozen=True, slots=True)
class _Open:
    """A workbook read for writing: its package, and sheet by declared name with its headings."""

    path: Path
    package: Package
    sheets: Mapping[str, tuple[Grid, Headings]]

    def sheet(self, name: str) -> tuple[Sheet, Grid, Headings]:
        if name not in self.sheets:
            raise PatchError(f"the workbook has no sheet {name} with headings")
        return sheet_named(name), *self.sheets[name]


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

    def addressed(opened: _Open) -> list[CellChange]:
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

    def placed(opened: _Open) -> list[CellChange]:
        return [change for sheet, rows in rows_by_sheet.items() for change in _below(opened, sheet, rows)]

    lines = [
        (sheet, f"new row {n}, {name}", value)
        for sheet, rows in rows_by_sheet.items()
        for n, row in enumerate(rows, start=1)
        for name, value in row.items()
    ]
    _write(path, placed, lines, expected_digest)


def _below(opened: _Open, sheet: str, rows: Sequence[Mapping[str, Value]]) -> list[CellChange]:
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
    """Give every row without a key the key that the reader gave it.

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
        opened = _opened(path)
    except (CellError, PatchError) as error:
        raise OutputError(f"{path.name}: {error}", "Mend the workbook first.") from error
    changes = _missing_keys(opened)
    if changes:
        _write(path, lambda _: changes, [], expected_digest or opened.package.digest)
    return len(changes)


def _missing_keys(opened: _Open) -> list[CellChange]:
    site = opened.sheets.get("Site")
    mark = decimal_mark_of(site[0] if site else None, sheet_named("Site"))
    changes = []
    for name, (grid, headings) in opened.sheets.items():
        if not headings.key_index:
            continue
        for record in read_sheet(grid, sheet_named(name), decimal_mark=mark).records:
            cell = grid.rows[record.origin.row].get(headings.key_index)
            if cell is None or str(cell.value).strip() != record.origin.key:
                address = f"{get_column_letter(headings.key_index)}{record.origin.row}"
                changes.append(CellChange(grid.name, address, record.origin.key))
    return changes


def upgrade(path: Path, out: Path) -> tuple[str, ...]:
    """Write a copy that has every column of the present layout; nothing moves.

    Parameters
    ----------
    path : Path
        A workbook of this or an older layout.
    out : Path
        The copy; must not be the workbook itself.

    Returns
    -------
    tuple of str
        The columns added, for example 'Drives: Ambient [°C]', at the right edge of their sheets.

    Raises
    ------
    OutputError
        It cannot be read or written.
    """
    if out.resolve() == path.resolve():
        raise OutputError("the upgraded copy needs another name", "Name another file.")
    try:
        opened = _opened(path)
        changes, added = _missing_columns(opened)
        data = patched(opened.package.data, changes) if changes else opened.package.data
        data = _widened_tables(data, changes)
    except (CellError, PatchError) as error:
        raise OutputError(
            f"{path.name} cannot be upgraded: {error}", "Copy its rows into a new blank workbook."
        ) from error
    _put_in_place(out, data)
    return tuple(added)


def _missing_columns(opened: _Open) -> tuple[list[CellChange], list[str]]:
    changes: list[CellChange] = []
    added: list[str] = []
    for name, (grid, headings) in opened.sheets.items():
        sheet = sheet_named(name)
        if sheet.vertical:
            continue
        right = max(grid.rows[headings.row])
        wanted = [c.header + (" *" if c.required else "") for c in sheet.columns if c.field not in headings.known]
        wanted += [] if headings.key_index else [KEY_HEADER]
        for index, header in enumerate(wanted, start=right + 1):
            changes.append(CellChange(grid.name, f"{get_column_letter(index)}{headings.row}", header))
            added.append(f"{name}: {header}")
    return changes, added


def _widened_tables(data: bytes, changes: Sequence[CellChange]) -> bytes:
    """Let the tables of the changed sheets reach over new headings and new rows."""
    by_sheet: dict[str, list[CellChange]] = {}
    for change in changes:
        by_sheet.setdefault(change.sheet, []).append(change)
    new: dict[str, bytes] = {}
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = sheet_parts(archive.read)
        for name, of_sheet in by_sheet.items():
            for table in related_parts(archive, parts[name], "/table"):
                content = archive.read(table)
                wider = widen_table(content, of_sheet)
                if wider != content:
                    new[table] = wider
    return replaced(data, new) if new else data


def widen_table(content: bytes, changes: Sequence[CellChange]) -> bytes:
    """Return a table part whose range covers changed cells that touch it below or at its right.

    Raises
    ------
    PatchError
        The part is of a kind that was not tried.
    """
    root = parse_xml(content)
    if root.tag != f"{{{MAIN}}}table" or root.get("totalsRowCount", "0") != "0":
        raise PatchError("a table of a kind that was not tried")
    first, _, last = root.get("ref", "").partition(":")
    (top, left), (bottom, right) = split_address(first), split_address(last or first)
    columns = root.find(f"{{{MAIN}}}tableColumns")
    ids = [int(c.get("id", "0")) for c in columns]
    for change in sorted(changes, key=lambda c: split_address(c.cell)):
        row, column = split_address(change.cell)
        if row == top and column == right + 1 and isinstance(change.value, str):
            right = column
            ids.append(max(ids) + 1)
            columns.append(columns[0].makeelement(columns[0].tag, {"id": str(ids[-1]), "name": change.value}))
        elif row == bottom + 1 and left <= column <= right:
            bottom = row
    if (bottom, right) == split_address(last or first):
        return content
    columns.set("count", str(len(columns)))
    ref = f"{get_column_letter(left)}{top}:{get_column_letter(right)}{bottom}"
    root.set("ref", ref)
    for filtered in root.iterfind(f"{{{MAIN}}}autoFilter"):
        filtered.set("ref", ref)
    return xml_bytes(root)


def _opened(path: Path) -> _Open:
    package = open_package(path)
    grids = read_grids(package)
    sheets: dict[str, tuple[Grid, Headings]] = {}
    names = {fold_name(n): s for s in SHEETS for n in (s.name, *s.aliases)}
    for grid in grids.sheets:
        sheet = names.get(fold_name(grid.name))
        if sheet is None or sheet.name in sheets:
            continue
        headings = find_headings(grid, sheet) if not sheet.vertical else Headings()
        if headings.row or sheet.vertical:
            sheets[sheet.name] = (grid, headings)
    return _Open(path, package, sheets)


def _letter(headings: Headings, sheet: str, name: str) -> str:
    index = headings.key_index if name == "row_key" else headings.known[name].index if name in headings.known else 0
    if not index:
        raise PatchError(f"the sheet {sheet} has no column for {name}")
    return get_column_letter(index)


def _addressed(opened: _Open, change: FieldChange) -> CellChange:
    _, grid, headings = opened.sheet(change.sheet)
    rows = [
        row
        for row, cells in grid.rows.items()
        if headings.key_index in cells and str(cells[headings.key_index].value).strip() == change.row_key
    ]
    if len(rows) != 1:
        raise PatchError(f"{len(rows)} rows of {change.sheet} carry the key {change.row_key}")
    return CellChange(grid.name, f"{_letter(headings, change.sheet, change.field)}{rows[0]}", change.value)


def _write(
    path: Path, make: Callable[[_Open], list[CellChange]], lines: Sequence[tuple[str, str, Value]], expected: str
) -> None:
    try:
        _refuse_locked(path)
        opened = _opened(path)
        if expected and opened.package.digest != expected:
            _refuse(f"{path.name} was changed since it was read")
        changes = make(opened)
        data = _widened_tables(patched(opened.package.data, changes), changes)
        if hashlib.sha256(path.read_bytes()).hexdigest() != opened.package.digest:
            _refuse(f"{path.name} was saved meanwhile")
        _put_in_place(path.with_name(path.name + ".bak"), opened.package.data)
        _put_in_place(path, data)
    except (PatchError, CellError, OSError, KeyError) as error:
        raise _kept_aside(path, lines, error) from error


def _refuse(why: str) -> NoReturn:
    raise PatchError(why)


def _refuse_locked(path: Path) -> None:
    holder = lock_holder(path)
    if holder is not None:
        _refuse(f"{path.name} is open" + (f", {holder} has it" if holder else " in a spreadsheet program"))


def _put_in_place(path: Path, data: bytes) -> None:
    beside = path.with_name(path.name + ".tmp")
    try:
        with beside.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)


def _kept_aside(path: Path, lines: Sequence[tuple[str, str, Value]], error: Exception) -> OutputError:
    if not lines:
        return OutputError(f"{path.name} was not written: {error}", "Close the workbook and run the command again.")
    try:
        side = write_side_workbook(path, lines)
    except OSError:
        return OutputError(
            f"{path.name} was not written, and no file can be made beside it: {error}", "Check the folder."
        )
    remedy = f"The values are in {side.name}. Close the workbook and run the command again, or type them in from there."
    return OutputError(f"{path.name} was not written: {error}", remedy)


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
            cell.value = re.sub(r"[\x00-\x08\x0b\x0c\x0e-\x1f]", "\ufffd", text)[:32767]
            cell.data_type = "s"
            cell.number_format = "@"
    stream = io.BytesIO()
    book.save(stream)
    number = 1
    side = path.with_name(f"{path.stem}.not-written.xlsx")
    while side.exists():
        number += 1
        side = path.with_name(f"{path.stem}.not-written-{number}.xlsx")
    side.write_bytes(same_bytes(stream.getvalue()))
    return side
