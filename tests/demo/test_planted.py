"""Every planted problem of the demo plant is found at its cell, and nothing else is.

`demo_site/PLANTED.md` says the same in words.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path

import pytest

from binder.inventory.findings import Finding, Grade
from binder.inventory.reader import read_workbook
from binder.inventory.records import Inventory
from binder.study import SiteStudy

DEMO = Path(__file__).parents[2] / "demo_site"

#: (code, grade, sheet, cell, tag). A cell of the sheets that come back from site is written as
#: 'setting or line: field', since its row moves with the drive's test lines.
PLANTED: tuple[tuple[str, str, str, str, str], ...] = (
    ("B106", "stop", "Machines", "N4", "P-202"),
    ("E210", "stop", "Cables", "F16", "VFD-502"),
    ("F220", "stop", "Readings", "R2.M: value", "VFD-202"),
    ("S122", "stop", "As left", "7: as_left", "VFD-401"),
    ("E225", "caution", "Drives", "U11", "VFD-602"),
    ("E241", "caution", "Site", "B33", "T-1"),
    ("F230", "caution", "Defeats", "F3", "VFD-202"),
    ("F204", "caution", "Readings", "R1.W401-L: instrument", "VFD-401"),
    ("W119", "caution", "Drives", "AH5", "VFD-301"),
    ("E152", "note", "Controls", "G46", "VFD-601"),
    ("S160", "note", "Drives", "A3", "VFD-201"),
)

#: Notes that hold for any plant filled in like this one: mixed units, and signals without a live zero.
STANDING: tuple[tuple[str, str, str, str, str], ...] = (
    *(("B115", "note", sheet, cell, "") for sheet, cell in (
        ("Cables", "Q2"), ("Controls", "H2"), ("Machines", "D2"), ("Motors", "B2"), ("Panels", "I2"))),
    *(("W120", "note", "Controls", cell, tag) for cell, tag in (
        ("B4", "VFD-101"), ("B11", "VFD-201"), ("B14", "VFD-202"), ("B18", "VFD-301"), ("B24", "VFD-302"),
        ("B28", "VFD-401"), ("B31", "VFD-501"), ("B41", "VFD-502"), ("B46", "VFD-601"), ("B51", "VFD-602"),
        ("B54", "VFD-603"))),
)  # fmt: skip


def _cell(inventory: Inventory, sheet: str, cell: str, tag: str) -> str:
    name, _, column = cell.partition(": ")
    if not column:
        return cell
    if sheet == "As left":
        return next(r.origin.cell(column) for r in inventory.as_left if (r.drive, r.setting) == (tag, name))
    return next(r.origin.cell(column) for r in inventory.readings if (r.drive, r.test) == (tag, name))


def _facts(findings: Iterable[Finding]) -> list[tuple[str, str, str, str, str]]:
    return sorted((f.code, str(f.grade), f.sheet, f.cell, f.tag) for f in findings)


def test_every_planted_problem_is_found_and_nothing_else(demo_study: SiteStudy) -> None:
    expected = sorted(
        (code, grade, sheet, _cell(demo_study.inventory, sheet, cell, tag), tag)
        for code, grade, sheet, cell, tag in (*PLANTED, *STANDING)
    )
    assert _facts(demo_study.findings) == expected


@pytest.mark.parametrize("grade", list(Grade))
def test_each_grade_is_planted(grade: Grade) -> None:
    assert any(row[1] == grade for row in PLANTED)


def test_every_finding_says_what_to_do(demo_study: SiteStudy) -> None:
    for finding in demo_study.findings:
        assert finding.found and finding.remedy, finding.code


def test_the_page_of_planted_problems_names_them_all() -> None:
    text = (DEMO / "PLANTED.md").read_text("utf-8")
    for code, _, sheet, cell, tag in PLANTED:
        line = next((one for one in text.splitlines() if f"| {code} |" in one and tag in one), "")
        assert sheet in line and (": " in cell or cell in line), (code, tag)


def test_readings_of_three_drives(demo_study: SiteStudy) -> None:
    verdicts = {
        d.drive.tag: [line.verdict for s in d.field.sheets for line in s.lines if line.verdict]
        for d in demo_study.drives
    }
    assert sorted(tag for tag, found in verdicts.items() if found) == ["VFD-201", "VFD-202", "VFD-401"]
    assert "fail" not in verdicts["VFD-201"] and verdicts["VFD-202"].count("fail") == 1
    complete = next(d for d in demo_study.drives if d.drive.tag == "VFD-201")
    rows = [r for r in complete.settings.rows if r.as_left]
    assert rows and {r.as_left_verdict for r in rows} <= {"equal", ""}


def test_workbook_is_what_the_script_makes(demo: Inventory, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Run demo_site/make_inventory.py again when this fails."""
    monkeypatch.setattr(sys, "path", [str(DEMO), *sys.path])
    import make_inventory

    monkeypatch.setattr(make_inventory, "HERE", tmp_path)
    make_inventory.main()
    made = read_workbook(tmp_path / "inventory.xlsx")
    for name in Inventory.__dataclass_fields__:
        if name not in {"workbook_digest", "findings"}:
            assert getattr(made, name) == getattr(demo, name), name


def test_stop_of_a_machine_bars_the_gates_of_its_drive(demo_study: SiteStudy) -> None:
    barred = {d.drive.tag: " ".join(d.field.gates[0].blocked_by) for d in demo_study.drives}
    assert [tag for tag, blocks in barred.items() if "B106 P-202" in blocks] == ["VFD-202"]


def test_command_of_a_controller_is_an_unexpected_start_where_one_commands(demo_study: SiteStudy) -> None:
    why = {
        d.drive.tag: h.why
        for d in demo_study.drives
        for h in d.settings.hazards
        if h.cause == "command of a controller"
    }
    assert sorted(why) == ["VFD-101", "VFD-301", "VFD-302", "VFD-501", "VFD-502"]
    assert why["VFD-101"].startswith("auto: K-101; ") and why["VFD-501"].startswith("remote: ")
    tests = {h.test for d in demo_study.drives if d.drive.tag == "VFD-601" for h in d.settings.hazards}
    assert not [t for t in tests if "run command held" in t], "a start pulse cannot be held"
