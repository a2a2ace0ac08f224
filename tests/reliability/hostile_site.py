"""The small site with a chosen text in every place that takes free text, and as every tag."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from small_site import Rows, column, one_drive

from binder.inventory.cells import Cell, Context, read_cell
from binder.inventory.cleaning import CellError
from binder.inventory.columns import SHEETS, sheet_named

Place = tuple[str, str]  # sheet, heading

#: Kinds of cells that hold words of a person's own choice.
_FREE = frozenset({"text", "remark", "code", "display", "reading"})
#: Rows for sheets that are blank in the small site.
_ROWS: Mapping[str, Mapping[str, Any]] = {
    "Wires": {"Drive": "VFD-101", "Action": "add", "From": "X1:1", "To": "X1:2"},
    "Networks": {"Drive": "VFD-101", "Network": "N1"},
    "Overrides": {"Drive": "VFD-101", "Setting": "M40", "Date": "2026-05-04"},
    "As left": {"Drive": "VFD-101", "Setting": "M40", "Date": "2026-05-04"},
    "Readings": {"Drive": "VFD-101", "Test": "E1.L12", "Instrument": "DM-1", "Date": "2026-05-04"},
    "Waivers": {"Tag": "VFD-101", "Date": "2026-05-04"},
    "Punch list": {"Drive": "VFD-101", "Due": "2026-06-01"},
    "Defeats": {"Drive": "VFD-101", "Applied": "2026-05-04"},
    "Documents": {"Document": "904", "Include": "yes"},
    "Signatures": {"Drive": "VFD-101", "Date": "2026-05-04"},
    "Fault codes": {"Model": "Invented C-105", "Code": "F1"},
}
#: Cells that name another row: another text there leaves the rest of the row out.
_NAMING = frozenset({("Readings", "Test"), ("Documents", "Document"), ("Wires", "From"), ("Wires", "To")})
#: The tags of the small site that may be any text.
TAGS = ("VFD-101", "M-101", "P-101", "MCC-1", "T-1", "DS-101", "DM-1", "W101-L", "Invented C-105")


def base() -> Rows:
    """The small site with a row on every sheet."""
    rows = one_drive()
    for sheet, values in _ROWS.items():
        if len(rows.get(sheet, [])) == 1:
            titles = [str(h).removesuffix(" *").partition(" [")[0] for h in rows[sheet][0]]
            rows[sheet].append([values.get(title) for title in titles])
    return rows


def places() -> tuple[Place, ...]:
    """Every column and line of the workbook that takes free text."""
    there = base()
    return tuple(
        (sheet.name, c.title)
        for sheet in SHEETS
        for c in sheet.columns
        if c.kind in _FREE and (sheet.name, c.title) not in _NAMING and len(there.get(sheet.name, ())) > 1
    )


def plant(rows: Rows, words: Mapping[Place, str]) -> Rows:
    """Write each word into its place: the first row that concerns the drive."""
    for (sheet, heading), word in words.items():
        if sheet == "Site":
            next(r for r in rows[sheet] if str(r[0]).removesuffix(" *") == heading)[1] = word
        else:
            line = next((r for r in rows[sheet][1:] if "Invented C-105" in r), rows[sheet][1])
            line[column(rows, sheet, heading)] = word
    return rows


def rename(rows: Rows, tags: Mapping[str, str]) -> Rows:
    """Give things other tags, wherever they are named alone in a cell."""
    for sheet in rows.values():
        for line in sheet[1:]:
            line[:] = [tags.get(v, v) if isinstance(v, str) else v for v in line]
    return rows


def list_all(rows: Rows, texts: Sequence[str]) -> Rows:
    """A spare part and a punch list item for every text."""
    part, task = column(rows, "Spares", "Part"), column(rows, "Punch list", "Text")
    number = column(rows, "Punch list", "Number")
    for n, text in enumerate(texts):
        spare: list[Any] = [None] * len(rows["Spares"][0])
        item: list[Any] = [None] * len(rows["Punch list"][0])
        spare[part], item[task], item[number] = text, text, f"H{n}"
        rows["Spares"].append(spare)
        rows["Punch list"].append(item)
    return rows


def as_read(text: str, place: Place) -> str | None:
    """What the reader makes of a cell; None where it is refused or holds nothing that can be seen."""
    sheet, heading = place
    declared = next(c for c in sheet_named(sheet).columns if c.title == heading)
    try:
        value = read_cell(Cell("A1", text), declared, Context())
    except CellError:
        return None
    return value if isinstance(value, str) else None


def tag_of(text: str) -> str | None:
    """The tag that a text gives; None where it is refused."""
    return as_read(text, ("Drives", "Drive"))
