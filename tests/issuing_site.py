"""A copy of the demo plant that can be issued in a test: stops waived, packets left out for speed."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Sequence
from pathlib import Path

import openpyxl

from binder.inventory.findings import open_stops
from binder.inventory.results import FieldChange, append_rows, set_fields
from binder.issuing import Issued, issue
from binder.reissue.current import study_of

DEMO = Path(__file__).parents[1] / "demo_site"
#: Drives whose packets a quick test keeps.
KEPT = ("VFD-201", "VFD-502", "VFD-602")
#: Every sheet whose rows a person might sort.
SORTED = (
    "Supplies", "Panels", "Drives", "Motors", "Machines", "Cables", "Models", "Derating", "Terminals", "Settings",
    "Controls", "Isolation", "Networks", "People", "Instruments", "As left", "Readings", "Waivers", "Punch list",
    "Defeats", "Training", "Warranty", "Spares", "Maintenance", "Documents",
)  # fmt: skip


def copy_demo(folder: Path, *, quick: bool = True, kept: Sequence[str] = KEPT) -> Path:
    """Copy the demo, waive its stops, and for a quick test leave all packets out but those of the drives `kept`."""
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("build", "issues", "documents"))
    waive_stops(folder)
    if quick:
        shutil.rmtree(folder / "pages", ignore_errors=True)
        study = study_of(folder)
        site = study.inventory.site
        left_out = [d.drive.tag for d in study.drives if d.drive.tag not in kept]
        append_rows(
            folder / "inventory.xlsx",
            "Documents",
            [{"document": f"{site.document_prefix}-{tag}", "include": "no"} for tag in left_out],
        )
    return folder


def waive_stops(project: Path) -> None:
    """Waive every open stop, as an owner's representative may."""
    day = dt.date(2026, 5, 18)
    stops = sorted({(f.code, f.tag) for f in open_stops(study_of(project).findings)})
    append_rows(
        project / "inventory.xlsx",
        "Waivers",
        [
            {"code": code, "tag": tag, "name": "R. Okari", "reason": "accepted for this test", "date": day}
            for code, tag in stops
        ],
    )


def put(project: Path, sheet: str, key: str, **values: str) -> None:
    """Write fields of one row of the workbook."""
    set_fields(project / "inventory.xlsx", [FieldChange(sheet, key, name, value) for name, value in values.items()])


def slower_ramp(project: Path, tag: str = "VFD-201") -> None:
    """One ramp of one drive."""
    drive = next(s.drive for s in study_of(project).drives if s.drive.tag == tag)
    put(project, "Drives", drive.origin.key, acceleration_time="14 s")


def other_motor_and_wire(project: Path) -> None:
    """A motor of another rating on one drive; on another the fault relay lands on other terminals."""
    inventory = study_of(project).inventory
    motor = next(m for m in inventory.motors if m.tag == "M-602")
    put(project, "Motors", motor.origin.key, current="4.3 A", speed="1750 rpm", serial="QM-0399")
    relay = next(c for c in inventory.controls if c.drive == "VFD-502" and c.scheme == "fault relay")
    put(project, "Controls", relay.origin.key, terminals="fault=RO2")


def issued(project: Path, revision: str, reason: str = "test", date: str = "2026-06-01") -> Issued:
    """Issue, by an invented person."""
    return issue(project, revision=revision, reason=reason, by="A. Ferrow", date=date)


def reorder(project: Path, *sheets: str) -> None:
    """Save the workbook with the rows of some sheets from last to first, as after sorting."""
    workbook = openpyxl.load_workbook(project / "inventory.xlsx")
    for name in sheets:
        sheet = workbook[name]
        rows = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=2)]
        filled = [row for row in rows if any(value is not None for value in row)]
        for number, row in enumerate(reversed(filled), start=2):
            for column, value in enumerate(row, start=1):
                cell = sheet.cell(number, column)
                cell.value = value
                if isinstance(value, str) and value.startswith("="):
                    cell.data_type = "s"
    workbook.save(project / "inventory.xlsx")


def lose_row_key(project: Path, sheet: str) -> None:
    """Empty the key of a sheet's first row, as a person does who types a row over: the next issue writes one."""
    workbook = openpyxl.load_workbook(project / "inventory.xlsx")
    rows = workbook[sheet]
    column = next(cell.column for cell in rows[1] if str(cell.value).lower().startswith("row key"))
    rows.cell(2, column).value = None
    workbook.save(project / "inventory.xlsx")


def respell(project: Path) -> None:
    """The same values in other words: watts for kilowatts, milliseconds for seconds, more spaces."""
    inventory = study_of(project).inventory
    motor = next(m for m in inventory.motors if m.tag == "M-501")
    put(project, "Motors", motor.origin.key, power="90000 W", voltage="0.46 kV")
    drive = next(d for d in inventory.drives if d.tag == "VFD-201")
    put(project, "Drives", drive.origin.key, deceleration_time=f"{drive.deceleration_time.amount * 1000:f} ms")
    panel = next(p for p in inventory.panels if p.place)
    put(project, "Panels", panel.origin.key, place=f"  {panel.place.replace(' ', '   ')} ")
