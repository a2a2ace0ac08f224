"""The Site sheet: one value a line, found by its words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from openpyxl.utils import get_column_letter

from binder.inventory.cells import Cell, Context, is_blank, read_cell
from binder.inventory.cells_text import nearest
from binder.inventory.cleaning import CellError, show
from binder.inventory.declarations import Column, Sheet
from binder.inventory.findings import Finding
from binder.inventory.grid import Grid
from binder.inventory.headings import column_named, fold_name, heading_unit, names_of
from binder.inventory.keys import row_key
from binder.inventory.records import Origin, Site
from binder.inventory.report import finding_of


@dataclass(frozen=True, slots=True)
class _Line:
    column: Column
    unit: str
    row: int
    value_column: int
    cell: Cell | None


@dataclass(slots=True)
class SiteReading:
    """The site record and what was wrong on its sheet."""

    site: Site
    findings: list[Finding] = field(default_factory=list)


def decimal_mark_of(grid: Grid | None, sheet: Sheet) -> str:
    """Return the declared decimal mark, '' where the Site sheet declares none."""
    if grid is None:
        return ""
    for line in _lines(grid, sheet, []):
        if line.column.field == "decimal_mark" and line.cell is not None:
            try:
                return str(read_cell(line.cell, line.column, Context()) or "")
            except CellError:
                return ""
    return ""


def items_of(grid: Grid, sheet: Sheet) -> frozenset[str]:
    """Return the fields that have a line."""
    return frozenset(line.column.field for line in _lines(grid, sheet, []))


def item_and_value_columns(grid: Grid) -> tuple[int, int]:
    """Return the indexes of the columns Item and Value."""
    return _places(grid)[:2]


def read_site(grid: Grid | None, sheet: Sheet, *, decimal_mark: str) -> SiteReading:
    """Read the Site sheet.

    Parameters
    ----------
    grid : Grid or None
        None where the workbook has no such sheet.
    sheet : Sheet
    decimal_mark : str

    Returns
    -------
    SiteReading
        Blank texts where required values are missing; each of them has its finding.
    """
    findings: list[Finding] = []
    values: dict[str, Any] = {}
    cells: dict[str, str] = {}
    for line in _lines(grid, sheet, findings) if grid is not None else ():
        column = line.column
        cells[column.field] = f"{get_column_letter(line.value_column)}{line.row}"
        value = _value(line, sheet, decimal_mark, findings, cells[column.field])
        if value is not None:
            values[column.field] = value
    if grid is not None:
        findings += _missing(sheet, values, cells, findings)
    site = Site(
        **{"name": "", "document_prefix": "", "code_basis": "", **values},
        origin=Origin(sheet.name, 1, row_key(sheet.name, ["site"]), cells),
    )
    return SiteReading(site, findings)


def _value(line: _Line, sheet: Sheet, decimal_mark: str, findings: list[Finding], cell: str) -> object:
    if line.cell is None or line.unit == "?":
        return None
    context = Context(decimal_mark, line.unit)
    try:
        value = read_cell(line.cell, line.column, context)
    except CellError as error:
        findings.append(finding_of(error, sheet=sheet.name, cell=cell, tag=line.column.title, column=line.column))
        return None
    findings.extend(
        finding_of(told, sheet=sheet.name, cell=cell, tag=line.column.title, column=line.column)
        for told in context.told
        if told.code != "B115"
    )
    return value


def _missing(sheet: Sheet, values: dict[str, Any], cells: dict[str, str], told: list[Finding]) -> list[Finding]:
    refused = {f.cell for f in told if f.grade == "stop"}
    found = []
    for column in sheet.columns:
        if not column.required or column.field in values or cells.get(column.field) in refused:
            continue
        if column.field in cells:
            error = CellError("B120", "blank", "", f"Fill it: {column.help}")
        else:
            error = CellError(
                "B171", f"no line {column.title}", column.header, f"Add a line {column.header}. {column.help}"
            )
        found.append(
            finding_of(error, sheet=sheet.name, cell=cells.get(column.field, ""), tag=column.title, column=column)
        )
    return found


def _lines(grid: Grid, sheet: Sheet, findings: list[Finding]) -> Iterator[_Line]:
    item, value, start = _places(grid)
    names = names_of(sheet)
    seen: dict[str, int] = {}
    for row in sorted(r for r in grid.rows if r >= start):
        cell = grid.rows[row].get(item)
        if cell is None or not isinstance(cell.value, str) or is_blank(cell.value):
            continue
        named = column_named(cell.value, sheet, names)
        if named is None:
            offered = nearest(cell.value.replace("*", "").strip(), [c.title for c in sheet.columns])
            if value in grid.rows[row]:
                error = CellError("B181", show(cell.value), "", offered or "Nothing to do; the tool does not read it.")
                findings.append(finding_of(error, sheet=grid.name, cell=cell.address))
            continue
        column, stated = named
        if column.field in seen:
            error = CellError(
                "B172", f"{column.title} in rows {seen[column.field]} and {row}", "each item once", "Delete one."
            )
            findings.append(finding_of(error, sheet=grid.name, cell=cell.address, tag=column.title))
            continue
        seen[column.field] = row
        try:
            unit = heading_unit(column, stated)
        except CellError as error:
            findings.append(finding_of(error, sheet=grid.name, cell=cell.address, tag=column.title))
            unit = "?"
        yield _Line(column, unit, row, value, grid.rows[row].get(value))


def _places(grid: Grid) -> tuple[int, int, int]:
    for row in sorted(r for r in grid.rows if r <= 20):
        words = {fold_name(str(c.value)): index for index, c in grid.rows[row].items()}
        if "item" in words and "value" in words:
            return words["item"], words["value"], row + 1
    return 1, 2, 1
