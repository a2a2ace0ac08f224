"""Read the inventory workbook: every cell becomes a value or a finding, all findings at once."""

from __future__ import annotations

import hashlib
import io
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from binder.inventory.checks import (
    UPPER_ROW_COUNTS,
    check_names,
    check_values,
    distinct,
    resolve_references,
)
from binder.inventory.cleaning import CellError, show
from binder.inventory.columns import SCHEMA_VERSION, SHEETS, sheet_named
from binder.inventory.declarations import Sheet
from binder.inventory.findings import Finding, Grade
from binder.inventory.grid import Grid, Grids, read_grids
from binder.inventory.headings import fold_name
from binder.inventory.package import Package, lock_holder, open_package
from binder.inventory.parts import sheet_parts
from binder.inventory.records import Control, Inventory, Site
from binder.inventory.report import cell_ranges, finding_of, told_once
from binder.inventory.rows import read_sheet
from binder.inventory.site_sheet import decimal_mark_of, read_site

#: Sheets of the workbook that hold no input.
_NO_INPUT = frozenset({"read me", "readme", "lists", "_schema", "results", "findings"})


def read_workbook(path: Path, *, own_schemes: Sequence[str] = ()) -> Inventory:
    """Read a workbook; whatever is wrong with it becomes a finding.

    Parameters
    ----------
    path : Path
        The inventory workbook.
    own_schemes : sequence of str
        Control schemes of the project, accepted besides those of the Lists sheet.

    Returns
    -------
    Inventory
        Everything that could be read, with the findings. A file that cannot be read at all
        gives a site without a name and one stop.
    """
    try:
        package = open_package(path)
        grids = read_grids(package)
    except CellError as error:
        return Inventory(Site("", "", ""), findings=(finding_of(error, sheet=path.name),))
    findings = _file_notes(path, package, grids)
    sheets = _matched(grids, findings)
    site_sheet = sheet_named("Site")
    mark = decimal_mark_of(sheets.get("Site"), site_sheet)
    site = read_site(sheets.get("Site"), site_sheet, decimal_mark=mark)
    findings += site.findings
    records: dict[str, list[Any]] = {}
    for sheet in SHEETS:
        grid = sheets.get(sheet.name)
        if sheet.vertical or grid is None:
            continue
        reading = read_sheet(grid, _with_schemes(sheet, own_schemes), decimal_mark=mark)
        records[sheet.name] = reading.records
        findings += reading.findings
    if "Drives" in sheets and not records["Drives"]:
        findings += _no_drive(sheets["Drives"].name, findings)
    findings += _absent(sheets, records)
    findings += resolve_references(records)
    findings += check_names(records)
    for name in UPPER_ROW_COUNTS:
        records[name] = distinct(records.get(name, ()))
    inventory = Inventory(
        site=site.site,
        **{s.attribute: tuple(records.get(s.name, ())) for s in SHEETS if not s.vertical},
        workbook_digest=package.digest,
    )
    findings += check_values(inventory)
    findings += _saved_meanwhile(path, package)
    return _with_findings(inventory, findings)


def _with_schemes(sheet: Sheet, own: Sequence[str]) -> Sheet:
    """The sheet Controls with further legal schemes; any other sheet as it is."""
    if sheet.record is not Control or not own:
        return sheet
    columns = (replace(c, choices=(*c.choices, *own)) if c.field == "scheme" else c for c in sheet.columns)
    return replace(sheet, columns=tuple(columns))


def _with_findings(inventory: Inventory, findings: list[Finding]) -> Inventory:
    fields = {s.attribute: getattr(inventory, s.attribute) for s in SHEETS}
    return Inventory(**fields, workbook_digest=inventory.workbook_digest, findings=told_once(findings))


def _file_notes(path: Path, package: Package, grids: Grids) -> list[Finding]:
    found: list[CellError] = []
    holder = lock_holder(path)
    if holder is not None:
        who = f"{path.name} is open" + (f" ({show(holder, limit=60)})" if holder else "")
        found.append(CellError("B199", who, "", "Save it to have the latest changes read."))
    if package.has_macros:
        found.append(CellError("B185", "a workbook with macros", "", "Nothing to do; the macros stay as they are."))
    if grids.schema_version > SCHEMA_VERSION:
        text = f"layout {grids.schema_version}, this tool knows {SCHEMA_VERSION}"
        found.append(
            CellError("B183", text, f"layout up to {SCHEMA_VERSION}", "Install the newer version of the tool.")
        )
    elif 0 < grids.schema_version < SCHEMA_VERSION:
        text = f"layout {grids.schema_version}, the latest is {SCHEMA_VERSION}"
        found.append(CellError("B184", text, "", "It is read as it is; a copy can be upgraded."))
    if package.linked_files:
        names = ", ".join(show(name, limit=60) for name in package.linked_files)
        found.append(
            CellError("B163", f"links to {names}", "", "The values last seen there count; nothing is fetched.")
        )
    findings = [finding_of(error, sheet=path.name) for error in found]
    return findings + _far_formats(package)


def _far_formats(package: Package) -> list[Finding]:
    if not package.far_rows:
        return []
    with zipfile.ZipFile(io.BytesIO(package.slim)) as archive:
        names = {part: name for name, part in sheet_parts(archive.read).items()}
    findings = []
    for part, last, full in package.far_rows:
        remedy = f"Select the rows {full + 1} to {last}, delete them, save."
        error = CellError("B182", f"formats down to row {last}, content to row {full}", "", remedy)
        findings.append(finding_of(error, sheet=names.get(part, part), cell=f"A{last}"))
    return findings


def _matched(grids: Grids, findings: list[Finding]) -> Mapping[str, Grid]:
    names: dict[str, Sheet] = {fold_name(n): s for s in SHEETS for n in (s.name, *s.aliases)}
    found: dict[str, Grid] = {}
    for grid in grids.sheets:
        sheet = names.get(fold_name(grid.name))
        if sheet is None:
            if fold_name(grid.name) not in _NO_INPUT:
                error = CellError("B177", show(grid.name), "", "Nothing to do; the tool keeps it and does not read it.")
                findings.append(finding_of(error, sheet=grid.name))
            continue
        if sheet.name in found:
            error = CellError(
                "B176", f"{grid.name} and {found[sheet.name].name}", sheet.name, "Rename or delete one of them."
            )
            findings.append(finding_of(error, sheet=grid.name))
            continue
        found[sheet.name] = grid
        findings += _hidden(grid)
    for sheet in SHEETS:
        if sheet.required and sheet.name not in found:
            findings.append(_no_sheet(sheet))
    return found


def _no_sheet(sheet: Sheet) -> Finding:
    remedy = f"Add it; binder new makes a blank one. {sheet.help}"
    return finding_of(CellError("B175", f"no sheet {sheet.name}", sheet.name, remedy), sheet=sheet.name)


def _absent(sheets: Mapping[str, Grid], records: Mapping[str, Sequence[Any]]) -> list[Finding]:
    """Tell sheets that are not there though rows of other sheets name their rows."""
    named = {
        column.target
        for sheet in SHEETS
        for column in sheet.columns
        if column.target and any(getattr(record, column.field) for record in records.get(sheet.name, ()))
    }
    return [_no_sheet(s) for s in SHEETS if s.name in named and s.name not in sheets and not s.required]


def _no_drive(sheet: str, findings: Sequence[Finding]) -> list[Finding]:
    """Say that no drive is entered, unless the sheet has rows that could not be read, which is told already."""
    if any(f.sheet == sheet and f.grade is Grade.STOP for f in findings):
        return []
    remedy = "Enter the first drive, and the panel and supply that it names."
    return [finding_of(CellError("B186", "no drive is entered yet", "a row for each drive", remedy), sheet=sheet)]


def _hidden(grid: Grid) -> list[Finding]:
    findings = []
    if grid.hidden and grid.rows:
        error = CellError("B179", f"the sheet {grid.name} is hidden", "", "Nothing to do; it counts all the same.")
        findings.append(finding_of(error, sheet=grid.name))
    if grid.hidden_rows:
        rows = cell_ranges(f"A{r}" for r in sorted(grid.hidden_rows)).replace("A", "")
        error = CellError(
            "B178", f"hidden rows {rows}", "", "Nothing to do; hidden rows count. Delete what is not there."
        )
        findings.append(finding_of(error, sheet=grid.name, cell=f"A{min(grid.hidden_rows)}"))
    return findings


def _saved_meanwhile(path: Path, package: Package) -> list[Finding]:
    try:
        now = hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        now = ""
    if now == package.digest:
        return []
    error = CellError("B189", f"{path.name} was saved while it was read", "", "Run the command again.")
    return [finding_of(error, sheet=path.name)]
