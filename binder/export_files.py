"""Write exported tables: a CSV file each, and one workbook for the planner."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pandas as pd
from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import PageSetupProperties

from binder.errors import OutputError, in_words
from binder.exports import Export
from binder.inventory.counting import counted
from binder.inventory.findings import open_stops
from binder.inventory.plain_zip import book_bytes
from binder.inventory.spreadsheet_text import clean_text, escaped, guarded
from binder.study import SiteStudy

PLANNER = "planner.xlsx"

_WIDEST = 60.0  # characters


def csv_bytes(export: Export) -> bytes:
    """A table as CSV: UTF-8 with its mark, comma, texts guarded, numbers bare.

    Parameters
    ----------
    export : Export

    Returns
    -------
    bytes
    """
    frame = export.frame.map(lambda value: guarded(value) if isinstance(value, str) else value)
    text = frame.to_csv(index=False, lineterminator="\r\n")
    return text.encode("utf-8-sig")


def planner_bytes(study: SiteStudy, exports: Sequence[Export]) -> bytes:
    """All tables as one workbook, a sheet each; the same bytes for the same study.

    Parameters
    ----------
    study : SiteStudy
    exports : sequence of Export

    Returns
    -------
    bytes
        Texts are typed as text, so designations such as '-K1' and '=A1' come back unchanged.
    """
    book = Workbook(write_only=True)  # a site of a thousand drives has two million cells
    for export in (_about(study, exports), *exports):
        _fill(book.create_sheet(export.name.capitalize()), export.frame)
    return book_bytes(book)


def _about(study: SiteStudy, exports: Sequence[Export]) -> Export:
    site, stops = study.inventory.site, len(open_stops(study.findings))
    lines = [
        ("Site", site.name),
        ("Revision of the workbook", site.revision),
        ("Open stops", str(stops)),
        ("Use", "Computed and collected lists, no approval. Change the inventory workbook, not this file."),
        *([("Invented", "Nothing in this file is real.")] if site.invented else []),
        *((f"Sheet {e.name.capitalize()}", f"{e.title}; {counted(len(e.frame), 'row')}") for e in exports),
    ]
    return Export("about", "What this file holds", pd.DataFrame(lines, columns=["Item", "Value"], dtype=object))


def _fill(sheet: Any, frame: pd.DataFrame) -> None:
    """Heading and rows, fit for reading: widths, filter, headings that stay, one page wide in print."""
    columns = list(zip(frame.columns, (frame[c].tolist() for c in frame.columns), strict=True))
    for index, (title, values) in enumerate(columns, 1):
        longest = max((len(str(v)) for v in values if v is not None), default=0)
        sheet.column_dimensions[get_column_letter(index)].width = min(max(longest, len(title) + 3) + 2, _WIDEST)
    sheet.freeze_panes = "B2"
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(columns))}{len(frame) + 1}"
    sheet.print_title_rows = "1:1"
    sheet.page_setup.orientation = "landscape"
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.page_setup.fitToHeight = 0
    sheet.append([_heading(sheet, title) for title, _ in columns])
    for row in zip(*(values for _, values in columns), strict=True):
        sheet.append([_cell(sheet, value) for value in row])


def _heading(sheet: Any, title: str) -> Any:
    cell = WriteOnlyCell(sheet, title)
    cell.font = Font(bold=True)
    return cell


def _cell(sheet: Any, value: Any) -> Any:
    """A value as it is; a text that would be taken for a formula or an error is typed as text."""
    if isinstance(value, float) and math.isnan(value):
        return None
    if isinstance(value, dt.date):
        cell: Any = WriteOnlyCell(sheet)
        cell.value = value
        cell.number_format = "yyyy-mm-dd"
        return cell
    if not isinstance(value, str):
        return value
    if not value.isprintable():
        value = clean_text(value)
    value = escaped(value)
    if guarded(value) == value and not value.startswith("#"):
        return value
    cell = WriteOnlyCell(sheet, value)
    cell.data_type = "s"
    cell.quotePrefix = True  # stays text when a person edits it
    return cell


def write_exports(study: SiteStudy, exports: Sequence[Export], folder: Path) -> list[Path]:
    """Write all files; each stands whole or as it was before.

    Parameters
    ----------
    study : SiteStudy
    exports : sequence of Export
    folder : Path
        Made when it is not there. Other files in it stay.

    Returns
    -------
    list of Path
        The workbook first.

    Raises
    ------
    OutputError
        A file cannot be written, as when it is open in another program.
    """
    made: list[tuple[Path, Path]] = []
    try:
        contents = {PLANNER: planner_bytes(study, exports)}
        contents |= {f"{e.name.replace(' ', '_')}.csv": csv_bytes(e) for e in exports}
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in contents.items():
            new = folder / f".{name}.new"
            made.append((new, folder / name))
            new.write_bytes(content)
        for new, target in made:
            new.replace(target)
    except OSError as error:
        for new, _ in made:
            new.unlink(missing_ok=True)
        message, remedy = in_words(error)
        raise OutputError(f"no list was written: {message}", f"{remedy}; --out names another folder") from error
    return [target for _, target in made]
