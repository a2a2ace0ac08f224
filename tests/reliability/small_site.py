"""One drive of the demo plant with all that belongs to it, as rows that a test may change before they are written."""

from __future__ import annotations

import copy
import io
import shutil
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any

import openpyxl

from binder.inventory.plain_zip import same_bytes

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_site"

#: Sheet name -> rows, the headings first.
Rows = dict[str, list[list[Any]]]

_BY_MODEL = ("Models", "Derating", "Terminals", "Settings")
_EXTRA = frozenset({"Read me", "Lists", "_schema"})  # no input


@lru_cache(maxsize=1)
def _demo() -> Rows:
    book = openpyxl.load_workbook(DEMO / "inventory.xlsx", read_only=True)
    return {
        ws.title: [list(row) for row in ws.iter_rows(values_only=True) if any(v is not None for v in row)]
        for ws in book
        if ws.title not in _EXTRA
    }


def drives() -> list[str]:
    """Tags of the demo's drives."""
    rows = _demo()["Drives"]
    return [str(row[0]) for row in rows[1:]]


@lru_cache(maxsize=16)
def _one(tag: str) -> Rows:
    site = _demo()
    head = [str(h).removesuffix(" *") for h in site["Drives"][0]]
    drive = dict(zip(head, next(r for r in site["Drives"] if r[0] == tag), strict=True))
    models = _with_parents(site["Models"], drive["Drive model"])
    kept: Rows = {}
    for sheet, (heads, *rows) in site.items():
        titles = [str(h).removesuffix(" *") for h in heads]
        wanted = rows
        if sheet in _BY_MODEL:
            wanted = [r for r in rows if r[0] in models]
        elif sheet in ("Motors", "Machines"):
            mine = (drive["Motor"], drive["Machine"])
            wanted = [r for r in rows if r[0] in mine]
        elif sheet != "Site" and "Drive" in titles:
            wanted = [r for r in rows if r[titles.index("Drive")] in (tag, None)]
        elif sheet == "Drives":
            wanted = [r for r in rows if r[0] == tag]
        kept[sheet] = [heads, *wanted]
    return kept


def _with_parents(sheet: list[list[Any]], model: str) -> set[str]:
    """The model and those that it says it is the same as."""
    parent = next(i for i, h in enumerate(sheet[0]) if str(h).startswith("Same as"))
    found: set[str] = set()
    while model and model not in found:
        found.add(model)
        model = next((r[parent] for r in sheet if r[0] == model), None)
    return found


def one_drive(tag: str = "VFD-101") -> Rows:
    """Rows of a site with this drive alone; the caller may change them."""
    return copy.deepcopy(_one(tag))


def column(rows: Rows, sheet: str, heading: str) -> int:
    """Index of the column whose heading begins so."""
    return next(i for i, h in enumerate(rows[sheet][0]) if str(h).startswith(heading))


def workbook_bytes(rows: Rows) -> bytes:
    """The rows as a plain workbook, without formats."""
    book = openpyxl.Workbook(write_only=True)
    for name, lines in rows.items():
        sheet = book.create_sheet(name)
        for line in lines:
            sheet.append([_cell(sheet, v) for v in line])
    out = io.BytesIO()
    book.save(out)
    return same_bytes(out.getvalue())


def _cell(sheet: Any, value: Any) -> Any:
    if not isinstance(value, str) or value[:1] not in "=#":
        return value
    cell = openpyxl.cell.WriteOnlyCell(sheet, value)
    cell.data_type = "s"  # a text, whatever it looks like
    return cell


def project(folder: Path, rows: Rows | None = None, *, pages: bool = False) -> Path:
    """A project folder with the workbook of these rows; by default that of the first drive."""
    folder.mkdir(parents=True)
    (folder / "inventory.xlsx").write_bytes(workbook_bytes(rows or one_drive()))
    if pages:
        shutil.copytree(DEMO / "pages", folder / "pages")
    return folder


def few_documents(rows: Rows, keep: Sequence[str] = ("front",)) -> Rows:
    """Leave out the documents that a quick test does not need; the cover always stays."""
    head = rows["Documents"][0]
    kinds = ("packet", "safety", "findings", "901", "902", "903", "904", "905", "906", "907", "002")
    rows["Documents"] = [head, *([name, "no", *[None] * (len(head) - 2)] for name in kinds if name not in keep)]
    return rows
