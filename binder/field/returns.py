"""Readings on their way out and back: blank forms for chosen drives, and the merge of what returns."""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from binder.field.readings import judge
from binder.field.returned_file import Row, rows_by_drive
from binder.field.sheets import FieldPack, TestLine
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import as_left_of, drive_of, fold, model_of, person_of, readings_of, settings_of
from binder.inventory.records import AsLeft, Drive, Inventory, Reading
from binder.inventory.spreadsheet_text import guarded
from binder.settings.table import SettingRow, SettingsTable

#: Faults for which a row is not taken: it cannot be attributed, or its numbers cannot be trusted.
#: Other rows are taken and shown as not judged, so that nothing read in the field is lost.
_REFUSED = frozenset({"F201", "F202", "F203", "F211", "F212", "F213", "F214", "F217"})
#: Judged at the next check, from the workbook itself.
_LATER = frozenset({"F220"})

#: Columns of the forms for the field; a tablet page that exports readings writes the same.
READING_COLUMNS = (
    "Drive", "Test", "What", "How", "Expected", "Limit", "Value", "Unit", "Condition", "Instrument", "Date", "Initials",
    "Remark",
)  # fmt: skip
SETTING_COLUMNS = ("Drive", "Setting", "Name", "Required", "As found", "As left", "Date", "Initials", "Reason")


def blank_readings(packs: Iterable[FieldPack], *, every: bool = False) -> str:
    """Write the reading rows of chosen drives as CSV for the field.

    Parameters
    ----------
    packs : iterable of FieldPack
    every : bool
        Also lines that are already done, for a retest.

    Returns
    -------
    str
        CSV with heading row; write it as 'utf-8-sig' so that spreadsheet programs show Ω and °.
        Computed lines are left out: nobody types them.
    """
    rows = [
        reading_row(pack.drive, line)
        for pack in packs
        for line in pack.lines
        if line.kind != "computed" and (every or not line.done)
    ]
    return _csv(READING_COLUMNS, rows)


def reading_row(drive: str, line: TestLine) -> tuple[str, ...]:
    """The blank form row of a line, in the order of `READING_COLUMNS`."""
    told = (drive, line.id, line.what, line.condition, line.expected, line.limit)
    return (*told, "", line.unit, "", "", "", "", "")


def setting_row(drive: str, row: SettingRow) -> tuple[str, ...]:
    """The blank form row of a setting, in the order of `SETTING_COLUMNS`; an access code is not told."""
    required = "" if row.function == "access_code" else f"{row.required} {row.unit}".strip()
    return (drive, row.number, row.name, required, "", "", "", "", "")


def blank_settings(tables: Iterable[SettingsTable]) -> str:
    """Write the as-found and as-left rows of chosen drives as CSV for the field.

    Parameters
    ----------
    tables : iterable of SettingsTable

    Returns
    -------
    str
        CSV in writing order. A code that opens locked settings is not printed.
    """
    return _csv(SETTING_COLUMNS, [setting_row(t.drive, r) for t in tables for r in t.rows])


def _csv(heading: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(heading)
    # A blank keeps a spreadsheet program from taking a tag for a formula; it is left out when the file returns.
    writer.writerows([guarded(c, " ") for c in row] for row in rows)
    return out.getvalue()


def merge_returns(
    inventory: Inventory,
    returned: Sequence[Row],
    *,
    packs: Mapping[str, FieldPack] = MappingProxyType({}),
    today: dt.date | None = None,
) -> tuple[tuple[Row, ...], tuple[Finding, ...]]:
    """Sort out what a returned file adds to the workbook.

    Parameters
    ----------
    inventory : Inventory
        The workbook as it stands.
    returned : sequence of Reading and AsLeft
        From `returned_file.read_returned`, in the order of the file.
    packs : mapping of str to FieldPack
        Drive tag -> its sheets; with them test ids, units and limits are checked at once.
    today : date, optional
        Rows dated later are not taken.

    Returns
    -------
    rows : tuple of Reading and AsLeft
        To append, in the order of the file. Nothing in the workbook is changed or overwritten.
    findings : tuple of Finding
        Rows not taken (unknown drive or test, wrong unit, text, future date, doubles) and rows
        taken with a doubt (instrument, initials, a different reading of the same day).
    """
    taken: list[Row] = []
    findings: list[Finding] = []
    by_tag = {fold(tag): pack for tag, pack in packs.items()}
    for tag, rows in rows_by_drive(returned):
        drive = drive_of(inventory, tag)
        if drive is None:
            findings += [_about(r, "F240", "drive", f"no drive '{r.drive}'", "a tag of the sheet Drives") for r in rows]
            continue
        readings = [r for r in rows if isinstance(r, Reading)]
        settings = [r for r in rows if isinstance(r, AsLeft)]
        taken += _readings(inventory, drive, readings, by_tag.get(fold(drive.tag)), findings, today)
        taken += _settings(inventory, drive, settings, findings, today)
    place = {id(r.origin): n for n, r in enumerate(returned)}
    return tuple(sorted(taken, key=lambda r: place[id(r.origin)])), tuple(findings)


def _about(
    row: Row, code: str, column: str, found: str, accepted: str, *, grade: Grade = Grade.CAUTION, remedy: str = ""
) -> Finding:
    return Finding(
        code=code,
        grade=grade,
        sheet=row.origin.sheet,
        cell=row.origin.cell(column),
        tag=row.drive,
        found=found,
        accepted=accepted,
        remedy=remedy or "Correct the row in the returned file and record it again.",
        column=column,
    )


def _readings(
    inventory: Inventory,
    drive: Drive,
    rows: list[Reading],
    pack: FieldPack | None,
    findings: list[Finding],
    today: dt.date | None,
) -> list[Reading]:
    there = readings_of(inventory, drive)
    fresh: list[Reading] = []
    for row in rows:
        if not row.test:
            findings.append(_about(row, "F241", "test", "no test id", "the id of a line, as printed on the sheet"))
        elif not row.value:
            findings.append(
                _about(row, "F242", "value", f"{row.test}: a remark and no value", "a value, or 'not done'")
            )
        elif any(_same(row, old) for old in there):
            words = f"{row.test}: this reading is in the workbook already"
            findings.append(
                _about(row, "F244", "test", words, "new readings", grade=Grade.NOTE, remedy="Nothing to do.")
            )
        else:
            _conflict(row, [old for old in there if fold(old.test) == fold(row.test)], findings)
            fresh.append(replace(row, drive=drive.tag))
    bad = _judged(inventory, drive, fresh, pack, findings, today) if pack is not None else frozenset()
    return [r for r in fresh if r.origin.row not in bad]


def _same(a: Reading, b: Reading) -> bool:
    def facts(r: Reading) -> tuple[object, ...]:
        return (fold(r.test), r.value, r.unit, r.condition, fold(r.instrument), r.date, fold(r.initials), r.remark)

    return facts(a) == facts(b)


def _conflict(row: Row, earlier: Sequence[Row], findings: list[Finding]) -> None:
    """Tell of another value of the same day in the workbook; both are kept."""
    for old in earlier:
        if row.date is None or old.date != row.date:
            continue
        new_value = row.value if isinstance(row, Reading) else row.as_left
        old_value = old.value if isinstance(old, Reading) else old.as_left
        name = row.test if isinstance(row, Reading) else row.setting
        words = f"{name}: {new_value} here, {old_value} by {old.initials or 'nobody'} in the workbook, both {row.date}"
        remedy = "Both are kept; say in the remark which one counts."
        findings.append(_about(row, "F245", "date", words, "one reading a day", remedy=remedy))


def _judged(
    inventory: Inventory,
    drive: Drive,
    rows: list[Reading],
    pack: FieldPack,
    findings: list[Finding],
    today: dt.date | None,
) -> frozenset[int]:
    """Let the judge look at the fresh rows alone; rows with a hard fault are not taken."""
    found = judge(replace(inventory, readings=tuple(rows)), drive, pack.sheets, pack.sweeps, today=today).findings
    mine = [f for f in found if f.code not in _LATER]
    findings += mine
    return frozenset(_row(f.cell) for f in mine if f.code in _REFUSED)


def _row(cell: str) -> int:
    digits = re.search(r"[0-9]+", cell)
    return int(digits[0]) if digits else 0


def _settings(
    inventory: Inventory, drive: Drive, rows: list[AsLeft], findings: list[Finding], today: dt.date | None
) -> list[AsLeft]:
    numbers = {fold(s.number) for s in settings_of(inventory, model_of(inventory, drive))}
    there = as_left_of(inventory, drive)
    taken: list[AsLeft] = []
    for row in rows:
        if fold(row.setting) not in numbers:
            words = f"model {drive.model} has no setting '{row.setting}'"
            findings.append(_about(row, "F247", "setting", words, "a number of the sheet Settings"))
            continue
        if row.date is not None and today is not None and row.date > today:
            words = f"{row.setting}: dated {row.date}, and today is {today}"
            findings.append(_about(row, "F211", "date", words, "a day that has come"))
            continue
        if any(_same_setting(row, old) for old in (*there, *taken)):
            words = f"{row.setting}: in the workbook already, or twice here"
            findings.append(
                _about(row, "F244", "setting", words, "new values", grade=Grade.NOTE, remedy="Nothing to do.")
            )
            continue
        if not row.initials or person_of(inventory, row.initials) is None:
            words = f"{row.setting}: nobody has the initials '{row.initials}'"
            findings.append(_about(row, "F208", "initials", words, "initials of the sheet People"))
        _conflict(row, [old for old in there if fold(old.setting) == fold(row.setting)], findings)
        taken.append(replace(row, drive=drive.tag))
    return taken


def _same_setting(a: AsLeft, b: AsLeft) -> bool:
    def facts(r: AsLeft) -> tuple[object, ...]:
        return (fold(r.setting), r.as_found, r.as_left, r.date, fold(r.initials), r.reason)

    return facts(a) == facts(b)
