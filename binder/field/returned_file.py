"""A file that comes back from the field (CSV or workbook), made into reading and as-left records."""

from __future__ import annotations

import codecs
import csv
import datetime as dt
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from binder.inventory.cells import Cell, Context, is_blank, read_cell
from binder.inventory.cells_text import date_of
from binder.inventory.cleaning import CellError, fold_text
from binder.inventory.columns_papers import AS_LEFT, READINGS
from binder.inventory.declarations import Column, Sheet
from binder.inventory.findings import Finding, Grade
from binder.inventory.records import AsLeft, Origin, Reading

Row = Reading | AsLeft

_UTF_16 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_LARGEST = 20_000_000  # bytes; a site of 1,000 drives returns about 10 MB


@dataclass(frozen=True, slots=True)
class Returned:
    """Rows of a returned file in its order, and what could not be read at all."""

    name: str
    rows: tuple[Row, ...] = ()
    findings: tuple[Finding, ...] = ()


def read_returned(path: Path) -> Returned:
    """Read a returned file; its content never raises.

    Parameters
    ----------
    path : Path
        '.csv' or '.txt' with a heading row, or a workbook with the sheets Readings and As left.

    Returns
    -------
    Returned
        Rows without a value are blank lines of the form and are passed over.
    """
    if path.suffix.casefold() in (".csv", ".txt", ".tsv"):
        return _read_csv(path)
    if not path.is_file():
        return _unopened(path.name, "no such file")
    from binder.inventory.reader import read_workbook

    book = read_workbook(path)
    every: tuple[Row, ...] = (*book.readings, *book.as_left)
    rows = tuple(_placed(row, path.name) for row in every)
    whole, mine = ("", path.name), (READINGS.name, AS_LEFT.name)
    about = tuple(
        replace(f, sheet=path.name if f.sheet in whole else f"{path.name} {f.sheet}")
        for f in book.findings
        if f.sheet in whole + mine
    )
    return Returned(path.name, rows, about)


def _placed(row: Row, name: str) -> Row:
    """The row with the file's name before the sheet's, so that it is not taken for the workbook's own."""
    return replace(row, origin=replace(row.origin, sheet=f"{name} {row.origin.sheet}"))


def file_finding(name: str, code: str, found: str, *, cell: str = "", accepted: str = "", remedy: str = "") -> Finding:
    """A finding about a returned file; its name stands where a sheet's name stands else."""
    return Finding(code, Grade.CAUTION, name, cell, "", found, accepted, remedy)


def _unopened(name: str, why: str) -> Returned:
    remedy = "Check the name and that nothing else holds the file open."
    return Returned(name, (), (file_finding(name, "F249", f"cannot be opened: {why}", remedy=remedy),))


def _read_csv(path: Path) -> Returned:
    name = path.name
    try:
        data = path.read_bytes()
    except OSError as error:
        return _unopened(name, error.strerror or str(error))
    if len(data) > _LARGEST or (b"\0" in data and not data.startswith(_UTF_16)):
        accepted = "a CSV file of at most 20 MB, as exported"
        remedy = "Save it as CSV (UTF-8)."
        return Returned(name, (), (file_finding(name, "F249", "no CSV text", accepted=accepted, remedy=remedy),))
    text = _decoded(data)
    return rows_of_csv(text, name)


def _decoded(data: bytes) -> str:
    if data.startswith(_UTF_16):  # 'Unicode text' of a spreadsheet program
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:  # saved by an older spreadsheet program on a western machine
        return data.decode("cp1252", errors="replace")


def rows_of_csv(text: str, name: str) -> Returned:
    """Make records of CSV text.

    Parameters
    ----------
    text : str
        Heading row first; ',' ';' or tab between the cells. Columns are known by their words.
    name : str
        Of the file, for the findings.

    Returns
    -------
    Returned
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n")  # whichever system saved it
    lines = list(csv.reader(io.StringIO(text), delimiter=_delimiter(text)))
    heading = next((i for i, cells in enumerate(lines) if any(c.strip() for c in cells)), None)
    if heading is None:
        return Returned(name, (), (file_finding(name, "F249", "is empty", remedy="Return the filled file."),))
    sheet, places = _columns(lines[heading])
    missing = [c.title for c in sheet.columns if c.required and c.field not in places]
    if missing:
        found = f"no column {', '.join(missing)} in the heading row"
        remedy = "Keep the heading row of the exported file."
        about = file_finding(name, "F246", found, cell=f"A{heading + 1}", accepted=_titles(sheet), remedy=remedy)
        return Returned(name, (), (about,))
    rows: list[Row] = []
    findings: list[Finding] = []
    for number, cells in enumerate(lines[heading + 1 :], heading + 2):
        found_row = _record(sheet, places, cells, number, name, findings)
        if found_row is not None:
            rows.append(found_row)
    return Returned(name, tuple(rows), tuple(findings))


def _titles(sheet: Sheet) -> str:
    return ", ".join(c.title for c in sheet.columns)


def _delimiter(text: str) -> str:
    first = next((line for line in text.splitlines() if line.strip()), "")
    return max(",;\t", key=first.count)


def _columns(heading: Sequence[str]) -> tuple[Sheet, dict[str, int]]:
    """Which sheet a heading row belongs to, and where its columns stand."""
    words = [fold_text(h.split("[")[0].replace("*", " ")).casefold() for h in heading]
    sheet = AS_LEFT if "setting" in words and "test" not in words else READINGS
    names = {fold_text(n).casefold(): c.field for c in sheet.columns for n in (c.title, *c.aliases)}
    places: dict[str, int] = {}
    for place, word in enumerate(words):
        if word in names:
            places.setdefault(names[word], place)
    return sheet, places


def column_letters(index: int) -> str:
    """Letters of a column counted from 0.

    Examples
    --------
    >>> column_letters(0), column_letters(27)
    ('A', 'AB')
    """
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def _record(
    sheet: Sheet, places: dict[str, int], cells: Sequence[str], number: int, name: str, findings: list[Finding]
) -> Row | None:
    """One row as a record; None for a form line that nobody filled, or that cannot be read."""
    text = {f: cells[p].strip() if p < len(cells) else "" for f, p in places.items()}
    filled = ("value", "remark") if sheet is READINGS else ("as_found", "as_left")
    if not any(text.get(f) for f in filled):
        return None
    where = {f: f"{column_letters(p)}{number}" for f, p in places.items()}
    origin = Origin(name, number, "", where)
    day: dt.date | None = None
    if text.get("date"):
        try:
            day = date_of(text["date"])
        except CellError as refused:
            found = f"'{text['date']}' is no day that can be read"
            accepted = refused.accepted or "2026-03-14 or 14 Mar 2026"
            about = file_finding(name, "F243", found, cell=where["date"], accepted=accepted, remedy=refused.remedy)
            findings.append(about)
            return None
    values: dict[str, str] = {}
    for f in (f for f in text if f != "date"):
        try:
            values[f] = _typed(text[f], sheet.column(f))
        except CellError as refused:
            _, found, accepted, remedy = refused.args
            findings.append(file_finding(name, "F248", found, cell=where[f], accepted=accepted, remedy=remedy))
            return None
    record = Reading if sheet is READINGS else AsLeft
    made: Row = record(**values, date=day, origin=origin)
    return made


def _typed(text: str, column: Column) -> str:
    """A cell as the workbook will give it back, so that a file recorded twice is known again."""
    value = read_cell(Cell("", text), column, Context())
    return value if isinstance(value, str) else "" if is_blank(text) else text


def rows_by_drive(rows: Sequence[Row]) -> Iterator[tuple[str, list[Row]]]:
    """Rows gathered by the drive they name, drives in the order of the file."""
    found: dict[str, list[Row]] = {}
    for row in rows:
        found.setdefault(row.drive.strip().casefold(), []).append(row)
    yield from found.items()
