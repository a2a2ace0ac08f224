"""A workbook as plain cells: both readings of each sheet, values and formulas, laid together."""

from __future__ import annotations

import io
import warnings
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import cast

from openpyxl import load_workbook
from openpyxl.utils import get_column_letter
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from binder.inventory.cells import Cell, Raw, is_blank
from binder.inventory.cleaning import CellError, show
from binder.inventory.package import Package
from binder.inventory.spreadsheet_text import unescaped

#: Beyond what a cell can hold by the format; a longer text is refused whatever its end is.
_LONGEST = 33_000


@dataclass(frozen=True, slots=True)
class Grid:
    """One sheet.

    Parameters
    ----------
    name : str
    hidden : bool
    rows : mapping of int to mapping of int to Cell
        Row -> column -> cell, cells with content only.
    hidden_rows : frozenset of int
        Hidden or filtered rows with content.
    merges : tuple of (first row, first column, last row, last column)
    """

    name: str
    hidden: bool = False
    rows: Mapping[int, Mapping[int, Cell]] = field(default_factory=dict)
    hidden_rows: frozenset[int] = frozenset()
    merges: tuple[tuple[int, int, int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Grids:
    """All sheets of a workbook and the version of its layout (0 where it has none)."""

    sheets: tuple[Grid, ...]
    schema_version: int = 0


def read_grids(package: Package) -> Grids:
    """Parse a checked package, twice when it holds formulas.

    Parameters
    ----------
    package : Package

    Returns
    -------
    Grids

    Raises
    ------
    CellError
        A part of the package is broken.
    """
    try:
        values = _load(package.slim, data_only=True)
        formulas = _load(package.slim, data_only=False) if package.has_formulas else None
        sheets = tuple(_grid(ws, formulas[ws.title] if formulas is not None else None) for ws in values.worksheets)
        grids = Grids(sheets, _schema_version(values, sheets))
        for book in filter(None, (values, formulas)):
            for ws in book.worksheets:
                ws._cells.clear()  # each holds its sheet: as garbage they would wait for a search
    except Exception as error:  # the library raises whatever its parsers raise on a broken part
        found = f"a part that cannot be read ({type(error).__name__}: {show(str(error), limit=60)})"
        remedy = "Open the workbook in the spreadsheet program and save it as a new .xlsx file."
        raise CellError("B191", found, "an .xlsx workbook", remedy) from error
    return grids


def _load(data: bytes, *, data_only: bool) -> Workbook:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what the library leaves out when it saves does not matter to a reader
        return load_workbook(io.BytesIO(data), data_only=data_only, keep_links=False)


def _grid(ws: Worksheet, formula_sheet: Worksheet | None) -> Grid:
    formula_cells = formula_sheet._cells if formula_sheet is not None else {}
    rows: dict[int, dict[int, Cell]] = {}
    # Walks the cells that exist: the used range may reach to the last row of the sheet.
    for (row, column), cell in sorted(ws._cells.items()):
        value, kind = cast(Raw, cell.value), cell.data_type
        if isinstance(value, str):
            value = unescaped(value[:_LONGEST])
        twin = formula_cells.get((row, column))
        formula = _formula_text(twin.value) if twin is not None and twin.data_type == "f" else ""
        if not formula and is_blank(value):
            continue
        rows.setdefault(row, {})[column] = Cell(
            address=f"{get_column_letter(column)}{row}",
            value=value,
            number_format=cell.number_format or "General",
            formula=formula,
            error=kind == "e",
            computed=not formula or value is not None or kind != "n",
        )
    hidden = frozenset(r for r in rows if r in ws.row_dimensions and ws.row_dimensions[r].hidden)
    merges = tuple(sorted((m.min_row, m.min_col, m.max_row, m.max_col) for m in ws.merged_cells.ranges))
    return Grid(ws.title, ws.sheet_state != "visible", rows, hidden, merges)


def _formula_text(value: object) -> str:
    text = getattr(value, "text", None) or getattr(value, "ref", None) or value
    return str(text) if text is not None else "="


def _schema_version(book: Workbook, sheets: tuple[Grid, ...]) -> int:
    found = [0.0]
    if "schema_version" in book.defined_names:
        found.append(_as_number(book.defined_names["schema_version"].attr_text))
    found += [_as_number(p.value) for p in getattr(book, "custom_doc_props", ()) if p.name == "schema_version"]
    for grid in sheets:
        cells = grid.rows.get(1, {})
        if grid.name == "_schema" and 1 in cells and 2 in cells and cells[1].value == "schema_version":
            found.append(_as_number(cells[2].value))
    return int(max(found))


def _as_number(value: object) -> float:
    try:
        number = float(str(value))
    except ValueError:
        return 0.0
    return number if 0 <= number < 1e6 else 0.0
