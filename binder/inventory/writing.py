"""A workbook opened for writing: its sheets by declared name, tables that grow."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from openpyxl.utils import get_column_letter

from binder.inventory.columns import SHEETS, sheet_named
from binder.inventory.declarations import Sheet
from binder.inventory.grid import Grid, read_grids
from binder.inventory.headings import Headings, find_headings, fold_name
from binder.inventory.package import Package, open_package
from binder.inventory.parts import sheet_parts
from binder.inventory.patch import (
    MAIN,
    CellChange,
    PatchError,
    parse_xml,
    related_parts,
    replaced,
    split_address,
    xml_bytes,
)


def sheet_names() -> dict[str, Sheet]:
    """Every name by which a sheet is known, folded, with its declaration."""
    return {fold_name(n): s for s in SHEETS for n in (s.name, *s.aliases)}


@dataclass(frozen=True, slots=True)
class OpenWorkbook:
    """A workbook read for writing: its package, and sheet by declared name with its headings."""

    path: Path
    package: Package
    sheets: Mapping[str, tuple[Grid, Headings]]
    unread: Mapping[str, Grid]  # sheets of a declared name in which no headings were found
    others: Mapping[str, Grid]  # sheets of no declared name, the tool's own lists among them

    def sheet(self, name: str) -> tuple[Sheet, Grid, Headings]:
        """Declaration, cells and headings of a sheet; PatchError where it has no headings."""
        if name not in self.sheets:
            raise PatchError(f"the workbook has no sheet {name} with headings")
        return sheet_named(name), *self.sheets[name]


def open_workbook(path: Path) -> OpenWorkbook:
    """Read a workbook with the headings of every sheet that has them.

    Raises
    ------
    CellError
        It is no workbook, or not a safe one.
    """
    package = open_package(path)
    grids = read_grids(package)
    sheets: dict[str, tuple[Grid, Headings]] = {}
    unread: dict[str, Grid] = {}
    others: dict[str, Grid] = {}
    names = sheet_names()
    for grid in grids.sheets:
        sheet = names.get(fold_name(grid.name))
        if sheet is None:
            others[grid.name] = grid
            continue
        if sheet.name in sheets:
            continue
        headings = find_headings(grid, sheet) if not sheet.vertical else Headings()
        if headings.row or sheet.vertical:
            sheets[sheet.name] = (grid, headings)
        else:
            unread.setdefault(sheet.name, grid)
    return OpenWorkbook(path, package, sheets, unread, others)


def widened_tables(data: bytes, changes: Sequence[CellChange]) -> bytes:
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
