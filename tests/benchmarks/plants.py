"""Large sites for measuring: the demo plant repeated, every tag of a copy with a number behind it."""

from __future__ import annotations

import re
import shutil
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from binder.inventory.blank import write_workbook

DEMO = Path(__file__).parents[2] / "demo_site"
sys.path.insert(0, str(DEMO))

from make_inventory import workbook_rows  # noqa: E402

Row = dict[str, object]

#: Sheets whose rows stand once in every copy of the plant.
_REPEATED = ("Supplies", "Panels", "Drives", "Motors", "Machines", "Cables", "Controls", "Isolation", "Networks",
             "Overrides", "Punch list", "Defeats", "Spares", "Maintenance")  # fmt: skip
#: Sheets whose tags are made distinct in every copy.
_TAGGED = ("Supplies", "Panels", "Drives", "Motors", "Machines", "Cables", "Isolation")


def plant_rows(drives: int) -> dict[str, list[Row]]:
    """Rows of every sheet of a plant with so many drives.

    Parameters
    ----------
    drives : int
        The last copy of the plant keeps as many of its drives as are asked for.
    """
    rows: dict[str, list[Row]] = {name: list(found) for name, found in workbook_rows().items()}
    once = {name: rows[name] for name in _REPEATED}
    tags = sorted((str(row["tag"]) for name in _TAGGED for row in once[name]), key=len, reverse=True)
    tag = re.compile(rf"(?<![\w-])({'|'.join(map(re.escape, tags))})(?![\w-])")
    size = len(once["Drives"])
    copies = -(-drives // size)
    for name in _REPEATED:
        rows[name] = [_renamed(row, tag, copy) for copy in range(copies) for row in once[name]]
    _leave_out(rows, rows["Drives"][drives:])
    return rows


def _renamed(row: Mapping[str, object], tag: re.Pattern[str], copy: int) -> Row:
    if not copy:
        return dict(row)
    return {k: tag.sub(rf"\g<1>-{copy + 1:03}", v) if isinstance(v, str) else v for k, v in row.items()}


def _leave_out(rows: dict[str, list[Row]], drives: Sequence[Row]) -> None:
    """Take drives out, with the motor, machine, cables and whatever else is theirs alone."""
    gone = {str(row.get(field)) for row in drives for field in ("tag", "motor", "machine")}

    def stays(row: Row) -> bool:
        named = {str(row.get("tag")), str(row.get("drive"))}
        several = set(re.split(r"[;,]\s*", str(row["drives"]))) if "drives" in row else set()
        return not named & gone and not (several and several <= gone)

    for name in _REPEATED:
        rows[name] = [row for row in rows[name] if stays(row)]


def make_plant(folder: Path, drives: int) -> Path:
    """Make a project folder with the workbook of a large plant, and the demo's own pages."""
    ignore = shutil.ignore_patterns("build", "issues", "documents", "made_from", "make_inventory.py", "inventory.xlsx")
    shutil.copytree(DEMO, folder, ignore=ignore)
    rows: dict[str, Any] = plant_rows(drives)
    write_workbook(folder / "inventory.xlsx", rows)
    return folder


def change_one_drive(project: Path, drives: int) -> None:
    """Another ramp on the last drive, as after somebody saved the workbook."""
    rows: dict[str, Any] = plant_rows(drives)
    rows["Drives"][-1]["acceleration_time"] = "17 s"
    write_workbook(project / "inventory.xlsx", rows)

