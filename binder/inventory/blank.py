"""Write an inventory workbook from the declared columns: blank, or filled as a person would fill it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

from openpyxl import Workbook
from openpyxl.comments import Comment
from openpyxl.packaging.custom import IntProperty
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.table import Table, TableStyleInfo
from openpyxl.worksheet.worksheet import Worksheet

from binder.inventory.columns import KEY_HEADER, SCHEMA_VERSION, SHEETS
from binder.inventory.declarations import Column, Sheet
from binder.inventory.entry_checks import add_entry_checks
from binder.inventory.keys import EXAMPLE_KEY
from binder.inventory.kinds import KINDS
from binder.inventory.lists import all_lists
from binder.inventory.plain_zip import book_bytes
from binder.inventory.ranges import accepted_of
from binder.inventory.readme_sheet import write_readme

CellValue = str | int | float | bool | Decimal | dt.date | None

#: Rows that a blank sheet has prepared; more may be filled, the column formats go on.
PREPARED_ROWS = 200
#: What a kind accepts that needs no telling.
_PLAIN_WORDS = frozenset({"words", "letters, figures and signs", "yes or no"})
_FIXED_DATE = dt.datetime(2000, 1, 1)

_LINE = Side(style="thin", color="9AA5B1")
_BOX = Border(left=_LINE, right=_LINE, top=_LINE, bottom=_LINE)
_HEAD = PatternFill("solid", fgColor="1F3A5F")
_HEAD_REQUIRED = PatternFill("solid", fgColor="0B1F38")
_KEY_FILL = PatternFill("solid", fgColor="E3E7EB")
_EXAMPLE_FONT = Font(name="Calibri", italic=True, color="5A6672")
_TOP = Alignment(vertical="top", wrap_text=True)
_HEAD_ALIGN = Alignment(vertical="center", horizontal="left", wrap_text=True)


def write_blank(path: Path) -> None:
    """Write the blank workbook: read-me sheet, one example row a sheet, choice lists, entry checks.

    Parameters
    ----------
    path : Path
        File to write; the same bytes on every machine.
    """
    _save(_workbook({}, examples=True), path)


def write_workbook(path: Path, rows: Mapping[str, Sequence[Mapping[str, CellValue]]]) -> None:
    """Write a filled workbook with the looks and entry checks of the blank one.

    Parameters
    ----------
    path : Path
        File to write; the same bytes on every machine.
    rows : mapping of str to sequence of mapping
        Sheet name -> rows, each record field -> cell as a person would type it. 'Site' has one
        row. The field 'row_key' fills the key column.

    Raises
    ------
    KeyError
        A sheet or field is not declared.
    """
    known = {sheet.name for sheet in SHEETS}
    for name in rows:
        if name not in known:
            raise KeyError(name)
    _save(_workbook(rows, examples=False), path)


def _workbook(rows: Mapping[str, Sequence[Mapping[str, CellValue]]], *, examples: bool) -> Workbook:
    book = Workbook()
    book.remove(book.active)  # type: ignore[arg-type]
    write_readme(book.create_sheet("Read me"))
    for sheet in SHEETS:
        ws = book.create_sheet(sheet.name)
        given = rows.get(sheet.name, ())
        if sheet.vertical:
            _vertical(ws, sheet, given[0] if given else {})
        else:
            _table(ws, sheet, given, example=examples)
    _lists(book.create_sheet("Lists"), book)
    for sheet in SHEETS:
        add_entry_checks(book, book[sheet.name], sheet, last_row=_last_row(rows.get(sheet.name, ())))
    _version(book)
    book.properties.creator = "binder"
    book.properties.created = _FIXED_DATE
    book.active = book.sheetnames.index("Read me")
    return book


def _last_row(rows: Sequence[object]) -> int:
    return 1 + max(PREPARED_ROWS, len(rows) + 50)


def _format(column: Column) -> str:
    if column.kind == "date":
        return "yyyy-mm-dd"
    return "@" if KINDS[column.kind].text else "General"


def _put(ws: Worksheet, row: int, index: int, value: CellValue, number_format: str) -> Any:
    cell = ws.cell(row, index)
    if isinstance(value, str):
        cell.value = value
        cell.data_type = "s"  # never a formula, whatever the text begins with
    elif value is not None:
        cell.value = value
    # A spreadsheet program gives a typed date its own format, whatever the column says.
    cell.number_format = "yyyy-mm-dd" if isinstance(value, dt.date) else number_format
    cell.alignment = _TOP
    cell.border = _BOX
    return cell


def _head(ws: Worksheet, row: int, index: int, text: str, *, required: bool) -> Any:
    cell = ws.cell(row, index, text + (" *" if required else ""))
    cell.font = Font(name="Calibri", bold=True, color="FFFFFF", underline="single" if required else None)
    cell.fill = _HEAD_REQUIRED if required else _HEAD
    cell.alignment = _HEAD_ALIGN
    cell.border = _BOX
    return cell


def help_text(column: Column) -> str:
    """What a person is told about a column: what to type, what is accepted, what a blank costs."""
    lines = [column.help]
    accepted = accepted_of(column)
    if column.choices and all(len(c) > 1 for c in column.choices):
        many = len(column.choices) > 8
        lines.append("Choices are on the Lists sheet." if many else f"Accepted: {', '.join(column.choices)}.")
    elif accepted and accepted not in _PLAIN_WORDS:
        lines.append(f"Accepted: {accepted}.")
    if column.required:
        lines.append("Required.")
    if column.effect:
        lines.append(f"While blank: {column.effect[0].lower()}{column.effect[1:]}")
    return "\n".join(lines)


def _add_note(cell: Any, column: Column) -> None:
    text = help_text(column)
    cell.comment = Comment(text, "binder", width=320, height=40 + 18 * (1 + len(text) // 45 + text.count("\n")))


def width_of(column: Column) -> float:
    """Width of a column in characters; the longest word of its heading fits."""
    by_kind = {"remark": 34, "text": 24, "choice list": 40, "references": 20, "file": 24, "word": 26, "choice": 18}
    return max(by_kind.get(column.kind, 13), max(len(w) for w in column.header.split()) + 3)


def _lines(column: Column) -> int:
    """Lines that a heading takes in its column; wrapped text is clipped unless the row is high enough."""
    lines, used = 1, 0.0
    room = width_of(column) - 1
    for word in f"{column.header}{' *' if column.required else ''}".split():
        if used and used + 1 + len(word) * 1.15 > room:
            lines, used = lines + 1, 0.0
        used += len(word) * 1.15 + (1 if used else 0)
    return max(3, lines)


def heading_height(sheet: Sheet) -> float:
    """Height of the heading row in points, for headings that wrap."""
    return 16.0 * max(_lines(c) for c in sheet.columns)


def _page(ws: Worksheet, *, pages_wide: int) -> None:
    ws.page_setup.orientation = "landscape"
    ws.page_setup.fitToWidth = pages_wide
    ws.page_setup.fitToHeight = 0
    ws.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    ws.print_options.gridLines = True
    footer: Any = ws.oddFooter
    footer.left.text, footer.right.text = "&F  &A", "&P / &N"


def _table(ws: Worksheet, sheet: Sheet, rows: Sequence[Mapping[str, CellValue]], *, example: bool) -> None:
    columns = sheet.columns
    key_index = len(columns) + 1
    for index, column in enumerate(columns, start=1):
        letter = get_column_letter(index)
        dimension = ws.column_dimensions[letter]
        dimension.width = width_of(column)
        dimension.number_format = _format(column)
        dimension.border = _BOX
        dimension.alignment = _TOP
        _add_note(_head(ws, 1, index, column.header, required=column.required), column)
    _head(ws, 1, key_index, KEY_HEADER, required=False)
    key_dimension = ws.column_dimensions[get_column_letter(key_index)]
    key_dimension.width, key_dimension.number_format, key_dimension.fill = 11, "@", _KEY_FILL
    ws.row_dimensions[1].height = heading_height(sheet)
    for number, row in enumerate(rows, start=2):
        for field in row:
            if field != "row_key":
                sheet.column(field)  # raises KeyError for a field that is not declared
        for index, column in enumerate(columns, start=1):
            _put(ws, number, index, row.get(column.field), _format(column))
        _put(ws, number, key_index, row.get("row_key"), "@").fill = _KEY_FILL
    if example and all(c.example for c in columns if c.required):
        for index, column in enumerate(columns, start=1):
            _put(ws, 2, index, column.example or None, _format(column)).font = _EXAMPLE_FONT
        _put(ws, 2, key_index, EXAMPLE_KEY, "@").font = _EXAMPLE_FONT
    ws.freeze_panes = "B2"
    _page(ws, pages_wide=max(1, round(sum(width_of(c) for c in columns) / 150)))
    ws.print_title_rows = "1:1"
    ws.print_title_cols = "A:A"
    name = "".join(c for c in sheet.name.title() if c.isalnum())
    table: Any = Table(displayName=f"T_{name}", ref=f"A1:{get_column_letter(key_index)}{_last_row(rows)}")
    table.tableStyleInfo = TableStyleInfo(name="TableStyleLight1", showRowStripes=False)
    # Named here, since the library would otherwise make every cell of the range to ask for its heading.
    table._initialise_columns()
    for made, cell in zip(table.tableColumns, ws[1], strict=True):
        made.name = str(cell.value)
    ws.add_table(table)


def _vertical(ws: Worksheet, sheet: Sheet, values: Mapping[str, CellValue]) -> None:
    for field in values:
        sheet.column(field)
    for index, title in enumerate(("Item", "Value", "How to fill it"), start=1):
        _head(ws, 1, index, title, required=False)
    for number, column in enumerate(sheet.columns, start=2):
        item = ws.cell(number, 1, column.header + (" *" if column.required else ""))
        item.font, item.border, item.alignment, item.fill = (
            Font(name="Calibri", bold=column.required),
            _BOX,
            _TOP,
            _KEY_FILL,
        )
        _put(ws, number, 2, values.get(column.field), _format(column))
        told = ws.cell(number, 3, help_text(column).replace("\n", " "))
        told.font, told.alignment, told.border = _EXAMPLE_FONT, _TOP, _BOX
        lines = max(1, -(-len(str(told.value)) // 78), -(-len(str(values.get(column.field) or "")) // 40))
        ws.row_dimensions[number].height = 15.5 * lines
    for letter, width in (("A", 36), ("B", 44), ("C", 66)):
        ws.column_dimensions[letter].width = width
    ws.freeze_panes = "A2"
    _page(ws, pages_wide=1)
    ws.page_setup.orientation = "portrait"
    ws.print_title_rows = "1:1"


def _lists(ws: Worksheet, book: Workbook) -> None:
    for index, (choices, (name, heading)) in enumerate(all_lists().items(), start=1):
        letter = get_column_letter(index)
        _head(ws, 1, index, heading, required=False)
        for number, choice in enumerate(choices, start=2):
            _put(ws, number, index, choice, "@")
        ws.column_dimensions[letter].width = max(14, *(len(c) + 2 for c in choices))
        book.defined_names[name] = DefinedName(name, attr_text=f"Lists!${letter}$2:${letter}${len(choices) + 1}")
    ws.row_dimensions[1].height = 32
    ws.freeze_panes = "A2"
    _page(ws, pages_wide=6)


def _version(book: Workbook) -> None:
    # Three places, because each spreadsheet program drops another one; the highest is believed.
    ws = book.create_sheet("_schema")
    ws["A1"], ws["B1"] = "schema_version", SCHEMA_VERSION
    ws.sheet_state = "hidden"
    book.defined_names["schema_version"] = DefinedName("schema_version", attr_text=str(SCHEMA_VERSION))
    properties: Any = book
    properties.custom_doc_props.append(IntProperty(name="schema_version", value=SCHEMA_VERSION))


def _save(book: Workbook, path: Path) -> None:
    path.write_bytes(book_bytes(book))
