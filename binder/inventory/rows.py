"""The rows of one sheet to records: which rows count, what names them, and every cell judged."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from openpyxl.utils import get_column_letter

from binder.inventory.cells import Cell, Context, is_blank, read_cell
from binder.inventory.cleaning import CellError, show
from binder.inventory.counting import counted
from binder.inventory.declarations import Column, Sheet
from binder.inventory.findings import Finding
from binder.inventory.grid import Grid
from binder.inventory.headings import Heading, Headings, column_named, find_headings, names_of
from binder.inventory.keys import EXAMPLE_KEY, row_key, unmarked
from binder.inventory.records import Origin
from binder.inventory.report import cell_ranges, finding_of

_TOTALS = ("total", "sum", "subtotal", "grand total")


class RowCells(Mapping[str, str]):
    """Record field -> cell address of one row, without a dictionary a row."""

    __slots__ = ("_letters", "_row")

    def __init__(self, letters: Mapping[str, str], row: int) -> None:
        self._letters = letters
        self._row = row

    def __getitem__(self, field_name: str) -> str:
        return f"{self._letters[field_name]}{self._row}"

    def __iter__(self) -> Iterator[str]:
        return iter(self._letters)

    def __len__(self) -> int:
        return len(self._letters)


@dataclass(slots=True)
class SheetReading:
    """Records and findings of one sheet, and the rows that still show values of the example row."""

    records: list[Any] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    like_example: set[int] = field(default_factory=set)


def read_sheet(grid: Grid, sheet: Sheet, *, decimal_mark: str) -> SheetReading:
    """Read all rows of a sheet.

    Parameters
    ----------
    grid : Grid
    sheet : Sheet
    decimal_mark : str
        '.' or ',' as the Site sheet declares it, else ''.

    Returns
    -------
    SheetReading
    """
    reading = SheetReading()
    if not grid.rows:
        return reading
    headings = find_headings(grid, sheet)
    if not headings.row:
        remedy = f"Type the headings in one row, for example {', '.join(c.header for c in sheet.columns[:3])}."
        error = CellError("B180", "no row with known headings in the first 20", "", remedy)
        reading.findings.append(finding_of(error, sheet=grid.name))
        return reading
    _judge_headings(grid, sheet, headings, reading)
    _judge_merges(grid, headings, reading)
    reader = _RowReader(grid, sheet, headings, decimal_mark, reading)
    for row in sorted(grid.rows):
        if row > headings.row:
            reader.take(row)
    reader.finish()
    return reading


def _judge_headings(grid: Grid, sheet: Sheet, headings: Headings, reading: SheetReading) -> None:
    for index, error in headings.problems:
        cell = f"{get_column_letter(index)}{headings.row}"
        reading.findings.append(finding_of(error, sheet=grid.name, cell=cell))
    for column in sheet.columns:
        if column.required and column.field not in headings.known:
            remedy = f"Add a column with the heading {column.header}. {column.help}"
            error = CellError("B171", f"no column {column.header}", column.header, remedy)
            reading.findings.append(finding_of(error, sheet=grid.name, cell=f"A{headings.row}", column=column))


def _judge_merges(grid: Grid, headings: Headings, reading: SheetReading) -> None:
    used = {h.index for h in headings.known.values()}
    for top, left, bottom, right in grid.merges:
        if bottom <= headings.row or not used & set(range(left, right + 1)):
            continue
        place = f"{get_column_letter(left)}{top}:{get_column_letter(right)}{bottom}"
        if bottom > top:
            error = CellError(
                "B157", f"{place} merged", "one cell a row", "Unmerge them and type the value in every row."
            )
        else:
            error = CellError(
                "B158", f"{place} merged", "one cell a column", "Unmerge them; the value counts for the first only."
            )
        reading.findings.append(finding_of(error, sheet=grid.name, cell=f"{get_column_letter(left)}{top}"))


def _required_values(record: type) -> frozenset[str]:
    return frozenset(
        f.name
        for f in dataclasses.fields(record)
        if f.default is dataclasses.MISSING and f.default_factory is dataclasses.MISSING
    )


def _empty(record: type) -> dict[str, Any]:
    return {
        f.name: f.default
        for f in dataclasses.fields(record)
        if f.default is not dataclasses.MISSING and f.name != "origin"
    }


class _RowReader:
    """Reads row after row of one sheet and remembers what several rows share."""

    def __init__(self, grid: Grid, sheet: Sheet, headings: Headings, decimal_mark: str, reading: SheetReading) -> None:
        self.grid = grid
        self.sheet = sheet
        self.headings = headings
        self.reading = reading
        self.context = Context(decimal_mark)
        self.names = names_of(sheet)
        self.letters = {f: get_column_letter(h.index) for f, h in headings.known.items()}
        self.needed = _required_values(sheet.record)
        self.empty = _empty(sheet.record)
        self.keys: dict[str, str] = {}  # row key -> cell
        self.pending: list[tuple[int, dict[str, Any], str]] = []
        self.other_units: list[str] = []
        self.formulas: list[str] = []

    def take(self, row: int) -> None:
        """Read one row, or say why it is none."""
        cells = self.grid.rows[row]
        filled = {f: cells[h.index] for f, h in self.headings.known.items() if _filled(cells.get(h.index))}
        if not filled or self._is_example(row, filled):
            return
        strange = self._not_a_row(filled)
        if strange is not None:
            first = min(filled.values(), key=lambda c: (len(c.address), c.address))
            self._tell(strange, first.address, tag="")
            return
        tag = self._tag(filled)
        self._judge_left_examples(row, filled, tag)
        values = self._values(row, filled, tag)
        if self.needed <= values.keys():
            self.pending.append((row, values, self._key(row)))

    def finish(self) -> None:
        """Make the records, now that every key in use is known, and tell what a sheet has in common."""
        taken = set(self.keys)
        for row, values, given in self.pending:
            key = given or self._new_key(values, taken)
            taken.add(key)
            origin = Origin(self.grid.name, row, key, RowCells(self.letters, row))
            self.reading.records.append(self.sheet.record(**{**self.empty, **values}, origin=origin))
        if self.other_units:
            count = len(self.other_units)
            found = f"{count} {'cell names' if count == 1 else 'cells name'} another unit than the heading"
            error = CellError("B115", found, "", "Nothing to do; the unit in the cell counts.")
            self._tell(error, self.other_units[0], tag="")
        if self.formulas:
            found = f"{counted(len(self.formulas), 'cell')} with formulas"
            error = CellError("B161", found, "", "Nothing to do; the last result counts.")
            self._tell(error, self.formulas[0], tag="")

    def _new_key(self, values: Mapping[str, Any], taken: set[str]) -> str:
        names = self.sheet.unique or tuple(sorted(values))
        return row_key(self.sheet.name, [str(values.get(n, "")) for n in names], taken=taken)

    def _tell(self, error: CellError, cell: str, *, tag: str, column: Column | None = None) -> None:
        self.reading.findings.append(finding_of(error, sheet=self.grid.name, cell=cell, tag=tag, column=column))

    def _tag(self, filled: Mapping[str, Cell]) -> str:
        cell = filled.get(self.sheet.key)
        return show(str(cell.value).strip(), limit=40) if cell is not None and cell.value is not None else ""

    def _key_text(self, row: int) -> str:
        cell = self.grid.rows[row].get(self.headings.key_index)
        return str(cell.value).strip() if cell is not None and isinstance(cell.value, str) else ""

    def _is_example(self, row: int, filled: Mapping[str, Cell]) -> bool:
        examples = {c.field: c.example for c in self.sheet.columns if c.example}
        return self._key_text(row) == EXAMPLE_KEY and {f: str(c.value) for f, c in filled.items()} == examples

    def _judge_left_examples(self, row: int, filled: Mapping[str, Cell], tag: str) -> None:
        """Tell which cells of an example row that was typed over may never have been looked at."""
        text = self._key_text(row)
        if unmarked(text) == text:
            return
        columns = {f: h.column for f, h in self.headings.known.items()}
        left = {f: c for f, c in filled.items() if columns[f].example and str(c.value).strip() == columns[f].example}
        if left:
            found = ", ".join(f"{columns[f].header} {columns[f].example}" for f in left)
            key = f"{get_column_letter(self.headings.key_index)}{row}"
            remedy = (
                "Type your own values or clear these cells. A value typed again as it is cannot be told from the "
                f"example: where all of them are right, delete the word {EXAMPLE_KEY} in {key} (the row key)."
            )
            self.reading.like_example.add(row)
            error = CellError("B159", f"still as in the example row: {found}", "your own values", remedy)
            self._tell(error, cell_ranges(c.address for c in left.values()), tag=tag)

    def _not_a_row(self, filled: Mapping[str, Cell]) -> CellError | None:
        words = [c.value for c in filled.values() if isinstance(c.value, str)]
        if len(words) >= 2 and all(column_named(w, self.sheet, self.names) is not None for w in words):
            return CellError("B156", "a second row of headings", "", "Nothing to do; better delete it.")
        first = self.sheet.key in filled and str(filled[self.sheet.key].value).strip().casefold().rstrip(":")
        if first and first.startswith(_TOTALS) and first.split()[0] in {"total", "totals", "sum", "subtotal", "grand"}:
            return CellError(
                "B155", show(str(filled[self.sheet.key].value)), "one row a thing", "Delete the row of totals."
            )
        required = sum(c.required for c in self.sheet.columns)
        only = next(iter(filled.values()))
        tagged = self.sheet.column(self.sheet.key).kind in {"tag", "reference"}
        if tagged and len(filled) == 1 and required > 1 and isinstance(only.value, str) and " " in only.value.strip():
            has_area = any(c.field == "area" for c in self.sheet.columns)
            remedy = "Delete the row; put it into the column Area of its rows." if has_area else "Delete the row."
            return CellError("B155", f"a row with nothing but {show(only.value)}", "one row a thing", remedy)
        return None

    def _values(self, row: int, filled: Mapping[str, Cell], tag: str) -> dict[str, Any]:
        values: dict[str, Any] = {}
        for name, heading in self.headings.known.items():
            if heading.unit == "?":
                continue
            cell = filled.get(name)
            value = self._value(heading, cell, tag) if cell is not None else None
            if value is not None:
                values[name] = value
            elif heading.column.required and (cell is None or is_blank(cell.value)):
                self._blank(heading, row, tag)
        return values

    def _blank(self, heading: Heading, row: int, tag: str) -> None:
        column = heading.column
        code = "B154" if column.field == self.sheet.key else "B120"
        found = "a row without its name" if code == "B154" else "blank"
        self._tell(
            CellError(code, found, "", f"Fill it: {column.help}"),
            f"{get_column_letter(heading.index)}{row}",
            tag=tag,
            column=column,
        )

    def _value(self, heading: Heading, cell: Cell, tag: str) -> object:
        column, context = heading.column, self.context
        context.unit = heading.unit
        context.told.clear()
        if cell.formula and not _is_constant(cell.formula):
            self.formulas.append(cell.address)
            if "[" in cell.formula and "]" in cell.formula:
                remedy = "Copy the value in, or make sure that the other workbook is the right one."
                self._tell(CellError("B163", show(cell.formula), "", remedy), cell.address, tag=tag, column=column)
        try:
            value = read_cell(cell, column, context)
        except CellError as error:
            self._tell(error, cell.address, tag=tag, column=column)
            return None
        for told in context.told:
            if told.code == "B115":
                self.other_units.append(cell.address)
            elif told.code != "B123" or not column.required:  # a required one is told as blank
                self._tell(told, cell.address, tag=tag, column=column)
        if value is None and column.required and not is_blank(cell.value):
            self._tell(
                CellError("B120", show(str(cell.value)), "", f"Fill it: {column.help}"),
                cell.address,
                tag=tag,
                column=column,
            )
        return value

    def _key(self, row: int) -> str:
        cell = self.grid.rows[row].get(self.headings.key_index)
        key = unmarked(self._key_text(row))
        if not key.isascii() or not key.isalnum() or len(key) > 32:
            return ""
        if key in self.keys and cell is not None:
            error = CellError(
                "B153",
                f"{key}, also in {self.keys[key]}",
                "one key a row",
                "Nothing to do; this row gets a new key when the tool writes.",
            )
            self._tell(error, cell.address, tag="")
            return ""
        self.keys[key] = cell.address if cell is not None else ""
        return key


def _filled(cell: Cell | None) -> bool:
    return cell is not None and (not is_blank(cell.value) or cell.error or (bool(cell.formula) and not cell.computed))


def _is_constant(formula: str) -> bool:
    # A spreadsheet program saves a typed yes/no or error as a formula of itself.
    return formula.upper() in {"=TRUE()", "=FALSE()"} or formula.startswith("=#")
