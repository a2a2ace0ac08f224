"""Checks that the spreadsheet program makes while a person types: lists, ranges, doubles, blanks."""

from __future__ import annotations

from typing import Any

from openpyxl import Workbook
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from binder.inventory.declarations import Column, Sheet
from binder.inventory.kinds import KINDS
from binder.inventory.lists import all_lists, choices_of
from binder.inventory.quantities import Measure
from binder.inventory.ranges import accepted_of, range_of

#: Checks reach this row even where fewer are prepared.
LAST_CHECKED_ROW = 2000
_formula_rule: Any = FormulaRule
#: Colours of a required cell that is blank, and of a name that stands twice.
MISSING, DOUBLE = "FFE08A", "FF9C9C"


def add_entry_checks(book: Workbook, ws: Worksheet, sheet: Sheet, *, last_row: int) -> None:
    """Add validations and conditional formats to one sheet.

    Parameters
    ----------
    book : Workbook
        Gets the defined names of tag lists.
    ws : Worksheet
    sheet : Sheet
    last_row : int
        Last row of the prepared block.
    """
    for index, column in enumerate(sheet.columns, start=1):
        if sheet.vertical:
            area, first = f"B{index + 1}", f"B{index + 1}"
        else:
            letter = get_column_letter(index)
            area, first = f"{letter}2:{letter}{max(last_row, LAST_CHECKED_ROW)}", f"{letter}2"
        validation = validation_of(column, first)
        if validation is not None:
            ws.add_data_validation(validation)
            validation.add(area)
    if sheet.vertical:
        _mark_required_lines(ws, sheet)
    else:
        _mark_rows(ws, sheet, last_row)
        key = get_column_letter([c.field for c in sheet.columns].index(sheet.key) + 1)
        if len(sheet.unique) == 1:
            name = tags_name(sheet.name)
            book.defined_names[name] = DefinedName(name, attr_text=tags_range(sheet.name, key, last_row=last_row))


def tags_name(sheet: str) -> str:
    """Name of the list of all tags of a sheet.

    Examples
    --------
    >>> tags_name("Isolation points")
    'tags_isolation_points'
    """
    return f"tags_{sheet.casefold().replace(' ', '_')}"


def tags_range(sheet: str, letter: str, *, first_row: int = 2, last_row: int = LAST_CHECKED_ROW) -> str:
    """Cells of that list."""
    quoted = sheet.replace("'", "''")
    return f"'{quoted}'!${letter}${first_row}:${letter}${max(last_row, LAST_CHECKED_ROW)}"


def validation_of(column: Column, first: str) -> DataValidation | None:
    """Return the entry check of a column with what it says, None where anything may be typed.

    Parameters
    ----------
    column : Column
    first : str
        First cell that it will be put on.
    """
    validation = _validation(column, first)
    if validation is not None:
        _say(validation, column)
    return validation


def _validation(column: Column, first: str) -> DataValidation | None:
    # Never error style 'stop': '7 kW' or a tag not yet listed may be typed, the tool judges it later.
    choices = choices_of(column)
    if choices:
        return DataValidation("list", formula1=all_lists()[choices][0], allow_blank=True, errorStyle="warning")
    if column.kind == "reference":
        return DataValidation("list", formula1=tags_name(column.target), allow_blank=True, errorStyle="warning")
    low, high = range_of(column)
    if KINDS[column.kind].text or (low is None and high is None) or column.kind == "any":
        return None
    tests = [f"{first}>={_plain(low)}"] if low is not None else []
    tests += [f"{first}<={_plain(high)}"] if high is not None else []
    if column.kind == "power factor":
        tests = [f"{first}>=0.1", f"{first}<=1"]
    formula = f"OR(ISTEXT({first}),AND({','.join(tests)}))"
    return DataValidation("custom", formula1=formula, allow_blank=True, errorStyle="warning")


def _plain(value: Measure) -> str:
    return format(value.amount.normalize(), "f")


def _say(validation: DataValidation, column: Column) -> None:
    validation.showErrorMessage = True
    validation.errorTitle = column.title[:32]
    accepted = accepted_of(column)
    low, high = range_of(column)
    words = column.help if not accepted else f"{column.help} Accepted: {accepted}."
    if low is not None and high is not None:
        words += f" From {low} to {high}."
    validation.error = words[:225]


def marks_of(
    sheet: Sheet, column: Column, letter: str, *, end: str, first_row: int = 2, last_row: int
) -> tuple[tuple[str, str], ...]:
    """Return when a cell of a column is coloured: (formula for its first row, colour).

    Parameters
    ----------
    sheet : Sheet
    column : Column
    letter : str
        Of the column.
    end : str
        Letters of the sheet's last column.
    first_row, last_row : int
    """
    marks = []
    if column.required:
        row = f"$A{first_row}:${end}{first_row}"
        marks.append((f'AND(TRIM(${letter}{first_row})="",COUNTA({row})>0)', MISSING))
    if sheet.unique == (column.field,):
        marks.append((f"COUNTIF(${letter}${first_row}:${letter}${last_row},${letter}{first_row})>1", DOUBLE))
    return tuple(marks)


def line_marks_of(column: Column, cell: str) -> tuple[tuple[str, str], ...]:
    """Return when the value of a line of the Site sheet is coloured."""
    letters = cell.rstrip("0123456789")
    return ((f'TRIM(${letters}${cell[len(letters):]})=""', MISSING),) if column.required else ()


def _mark_rows(ws: Worksheet, sheet: Sheet, last_row: int) -> None:
    end = get_column_letter(len(sheet.columns))
    for index, column in enumerate(sheet.columns, start=1):
        letter = get_column_letter(index)
        for formula, colour in marks_of(sheet, column, letter, end=end, last_row=last_row):
            _mark(ws, f"{letter}2:{letter}{last_row}", formula, colour)


def _mark_required_lines(ws: Worksheet, sheet: Sheet) -> None:
    for number, column in enumerate(sheet.columns, start=2):
        for formula, colour in line_marks_of(column, f"B{number}"):
            _mark(ws, f"B{number}", formula, colour)


def _mark(ws: Worksheet, area: str, formula: str, colour: str) -> None:
    ws.conditional_formatting.add(area, _formula_rule(formula=[formula], fill=PatternFill("solid", bgColor=colour)))
