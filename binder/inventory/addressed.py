"""Findings of all rooms, addressed as a person reads the sheet: by the heading over the cell."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from binder.inventory.columns import SHEETS
from binder.inventory.findings import Finding
from binder.inventory.records import Inventory


def with_headings(findings: Iterable[Finding], inventory: Inventory) -> tuple[Finding, ...]:
    """Let each finding name the heading of its column, where a room named the record's field or nothing.

    Parameters
    ----------
    findings : iterable of Finding
    inventory : Inventory
        The workbook they are about; tells which column stands where.

    Returns
    -------
    tuple of Finding
        In the same order.
    """
    by_field, by_letter, headings = _headings(inventory)
    made = []
    for finding in findings:
        letters = finding.cell.rstrip("0123456789")
        place = finding.cell if (finding.sheet, finding.cell) in by_letter else letters
        heading = by_field.get((finding.sheet, finding.column), "")
        if not heading and (finding.sheet, finding.column) not in headings:
            heading = by_letter.get((finding.sheet, place), "")
        heading = heading or finding.column
        made.append(finding if heading == finding.column else replace(finding, column=heading))
    return tuple(made)


_Headings = tuple[dict[tuple[str, str], str], dict[tuple[str, str], str], set[tuple[str, str]]]
_last: list[tuple[Inventory, _Headings]] = []


def _headings(inventory: Inventory) -> _Headings:
    """(sheet, record field) -> heading; (sheet, letters of the column) -> heading; all (sheet, heading).

    Of the Site sheet by cell. Those of the last workbook are kept: every drive asks for them.
    """
    if not _last or _last[0][0] is not inventory:
        _last[:] = [(inventory, _found(inventory))]
    return _last[0][1]


def _found(inventory: Inventory) -> _Headings:
    by_field, by_letter = {}, {}
    for sheet in SHEETS:
        held = getattr(inventory, sheet.attribute)
        records = held if isinstance(held, tuple) else (held,)
        name = next((r.origin.sheet for r in records if r.origin.sheet), sheet.name)
        for column in sheet.columns:
            by_field[sheet.name, column.field] = by_field[name, column.field] = column.header
        cells = records[0].origin.cells if records else {}
        for field, cell in cells.items():
            place = cell if sheet.vertical else cell.rstrip("0123456789")
            by_letter[name, place] = by_field.get((name, field), "")
    return by_field, by_letter, {(sheet, heading) for (sheet, _), heading in by_field.items()}
