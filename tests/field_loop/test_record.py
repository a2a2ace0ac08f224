"""`binder record` and `binder forms`: what returns goes in, mistakes are told, nothing else moves."""

from __future__ import annotations

import csv
import hashlib
import io
import zipfile
from collections.abc import Iterable, Sequence
from pathlib import Path

import openpyxl
import pytest
from demo_copy import copy_demo

from binder.cli import main
from binder.field.returns import READING_COLUMNS, SETTING_COLUMNS
from binder.inventory.reader import read_workbook
from binder.study import study_site

TAG = "VFD-301"  # the demo's blank drive
DAY = "2026-05-04"

#: The kind of mistake -> its row (test, value, unit, instrument, date, initials, remark), its code, taken or not.
MISTAKES: dict[str, tuple[Sequence[str], str, bool]] = {
    "unknown drive": (("VFD-999", "E4.24", "24", "V", "DM-1", DAY, "JP", ""), "F240", False),
    "unknown test": ((TAG, "Z9", "24", "V", "DM-1", DAY, "JP", ""), "F201", False),
    "no test": ((TAG, "", "24", "V", "DM-1", DAY, "JP", ""), "F241", False),
    "wrong unit": ((TAG, "E4.10", "10", "Hz", "DM-1", DAY, "JP", ""), "F202", False),
    "no unit": ((TAG, "E4.DC", "650", "", "DM-1", DAY, "JP", ""), "F203", False),
    "expired instrument": ((TAG, "E1.L12", "462", "V", "IR-2", DAY, "JP", ""), "F204", True),
    "unknown instrument": ((TAG, "E1.L23", "462", "V", "XX-7", DAY, "JP", ""), "F205", True),
    "no instrument": ((TAG, "E1.L31", "462", "V", "", DAY, "JP", ""), "F206", True),
    "initials of nobody": ((TAG, "M1", "yes", "", "", DAY, "QQ", ""), "F208", True),
    "duplicate row": ((TAG, "E4.24", "24.1", "V", "DM-1", DAY, "JP", ""), "F214", False),
    "text": ((TAG, "U4.U", "about ten", "A", "CM-1", DAY, "JP", ""), "F212", False),
    "future date": ((TAG, "U4.V", "10", "A", "CM-1", "2031-01-01", "JP", ""), "F211", False),
    "day that can be exchanged": ((TAG, "U4.W", "10", "A", "CM-1", "04/05/2026", "JP", ""), "F243", False),
    "not done without reason": ((TAG, "D1", "not done", "", "", DAY, "JP", ""), "F216", True),
    "a sign that no cell holds": ((TAG, "D1", "yes", "", "", DAY, "JP", "a\x1b[31mb"), "F248", False),
    "a text that changes direction": ((TAG, "D2", "yes", "", "", DAY, "JP", "\u202ea"), "F248", False),
    "value forgotten": ((TAG, "D2", "", "", "", DAY, "JP", "looked at it"), "F242", False),
    "neither yes nor no": ((TAG, "D3", "perhaps", "", "", DAY, "JP", ""), "F217", False),
}
GOOD = [
    (TAG, "E4.24", "24.1", "V", "DM-1", DAY, "JP", ""),
    (TAG, "E2.L1", "278", "V", "DM-1", DAY, "JP", "to the building steel"),
    (TAG.lower(), "m5", "yes", "", "", "4 May 2026", "af", ""),
]
FIELDS = ("Drive", "Test", "Value", "Unit", "Instrument", "Date", "Initials", "Remark")


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """The demo project: its workbook may be written."""
    return copy_demo(tmp_path / "site")


def returned(path: Path, rows: Iterable[Sequence[str]], columns: Sequence[str] = READING_COLUMNS) -> Path:
    """A returned file with the exported heading row."""
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.DictWriter(file, columns, restval="")
        writer.writeheader()
        writer.writerows(dict(zip(FIELDS, row, strict=True)) for row in rows)
    return path


def parts(workbook: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(workbook) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def sheet_part(workbook: Path, sheet: str) -> str:
    index = openpyxl.load_workbook(workbook, read_only=True).sheetnames.index(sheet) + 1
    return f"xl/worksheets/sheet{index}.xml"


def cells(workbook: Path, sheet: str) -> list[tuple[object, ...]]:
    return list(openpyxl.load_workbook(workbook)[sheet].iter_rows(values_only=True))


def test_mistakes_are_told_and_good_rows_kept(
    project: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    workbook = project / "inventory.xlsx"
    before, rows_before = parts(workbook), cells(workbook, "Readings")
    file = returned(tmp_path / "back.csv", [*GOOD, *(row for row, _, _ in MISTAKES.values())])
    assert main(["record", str(project), str(file)]) == 1
    told = capsys.readouterr()
    assert len(MISTAKES) >= 12
    for name, (_, code, _) in MISTAKES.items():
        assert code in told.out, name
    kept = [*GOOD, *(row for row, _, taken in MISTAKES.values() if taken)]
    assert f"Taken: {len(kept)} readings" in told.out
    assert f"not taken: {len(MISTAKES) + len(GOOD) - len(kept)} rows" in told.out
    assert "inventory.xlsx.bak" in told.err

    added = cells(workbook, "Readings")
    assert added[: len(rows_before)] == rows_before
    assert [row[1] for row in added[len(rows_before) :]] == [row[1] for row in kept]
    assert {row[0] for row in added[len(rows_before) :]} == {TAG}
    allowed = {sheet_part(workbook, "Readings"), "xl/workbook.xml"}
    allowed |= {name for name in before if name.startswith("xl/tables/")}
    after = parts(workbook)
    assert list(after) == list(before)
    assert {name for name in before if before[name] != after[name]} <= allowed
    assert parts(project / "inventory.xlsx.bak") == before


def test_recorded_again_adds_nothing(project: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    workbook = project / "inventory.xlsx"
    file = returned(tmp_path / "back.csv", GOOD)
    assert main(["record", str(project), str(file)]) == 0
    digest = hashlib.sha256(workbook.read_bytes()).hexdigest()
    assert main(["record", str(project), str(file)]) == 0
    assert hashlib.sha256(workbook.read_bytes()).hexdigest() == digest
    assert "no reading, no setting; not taken: 3 rows" in capsys.readouterr().out


def test_several_technicians_in_one_call(project: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first = returned(tmp_path / "jp.csv", GOOD)
    other = [GOOD[0], (TAG, "E2.L1", "281", "V", "DM-1", DAY, "AF", ""), (TAG, "M7", "yes", "", "", DAY, "AF", "")]
    second = returned(tmp_path / "af.csv", other)
    assert main(["record", str(project), str(first), str(second)]) == 1
    out = capsys.readouterr().out
    assert "Taken: 5 readings" in out, "the double is passed over, the other value is kept"
    assert "F244" in out
    assert "F245" in out


def test_as_left_values_return_as_well(project: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    form = tmp_path / "settings.csv"
    assert main(["forms", str(project), "--drives", TAG, "--settings", "--out", str(form)]) == 0
    lines = list(csv.DictReader(io.StringIO(form.read_text("utf-8-sig"))))
    assert tuple(lines[0]) == SETTING_COLUMNS
    for line in lines[2:4]:
        line |= {"As found": "1", "As left": line["Required"].split()[0], "Date": DAY, "Initials": "AF"}
    with form.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.DictWriter(file, SETTING_COLUMNS)
        writer.writeheader()
        writer.writerows(lines)
    assert main(["record", str(project), str(form)]) == 0
    assert "no reading, 2 settings." in capsys.readouterr().out
    study = study_site(read_workbook(project / "inventory.xlsx"))
    [drive] = [d for d in study.drives if d.drive.tag == TAG]
    left = {r.number: r for r in drive.settings.rows if r.as_left}
    assert sorted(left) == sorted(line["Setting"] for line in lines[2:4])
    assert {r.as_left_verdict for r in left.values()} == {"equal"}


def test_whole_workbook_that_returns_is_merged(
    project: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    taken_along = tmp_path / "copy.xlsx"
    book = openpyxl.load_workbook(project / "inventory.xlsx")
    sheet = book["Readings"]
    place = {str(c.value).split(" [")[0].rstrip("* "): c.column for row in sheet.iter_rows(max_row=3) for c in row}
    last = sheet.max_row + 1
    for name, value in zip(FIELDS, GOOD[0], strict=True):
        sheet.cell(last, place[name], value)
    book.save(taken_along)
    assert main(["record", str(project), str(taken_along)]) == 0
    out = capsys.readouterr().out
    assert "Taken: 1 reading," in out
    assert "rows in the workbook already" in out
    assert out.count("F244") <= 4, "known rows are told in one line a sheet"


def test_locked_workbook_keeps_the_rows_aside(
    project: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    workbook = project / "inventory.xlsx"
    before = workbook.read_bytes()
    (project / "~$inventory.xlsx").write_bytes(b"\x06J Pell" + b" " * 47)
    file = returned(tmp_path / "back.csv", GOOD)
    assert main(["record", str(project), str(file)]) == 1
    told = capsys.readouterr().err
    assert "is open" in told
    assert "inventory.not-written.xlsx" in told
    assert workbook.read_bytes() == before
    aside = cells(project / "inventory.not-written.xlsx", "Not written")
    assert ("Readings", "new row 2, remark", "to the building steel") in aside


def test_nothing_good_writes_nothing(project: Path, tmp_path: Path) -> None:
    file = returned(tmp_path / "back.csv", [MISTAKES["unknown drive"][0]])
    assert main(["record", str(project), str(file), str(tmp_path / "lost.csv")]) == 1
    assert sorted(p.name for p in project.iterdir() if p.is_file()) == ["inventory.xlsx"]


def test_form_holds_the_open_lines_of_chosen_drives(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["forms", str(project), "--drives", f"{TAG},vfd-201"]) == 0
    lines = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert tuple(lines[0]) == READING_COLUMNS
    assert {line["Drive"] for line in lines if line["Drive"] != TAG} <= {"VFD-201"}
    open_lines = sum(line["Drive"] == TAG for line in lines)
    assert open_lines > 100
    assert main(["forms", str(project), "--drives", "VFD-201", "--every"]) == 0
    assert len(list(csv.DictReader(io.StringIO(capsys.readouterr().out)))) > 100, "for a retest"


def test_form_is_never_written_over_one(project: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "form.csv"
    out.write_text("readings")
    assert main(["forms", str(project), "--out", str(out)]) == 2
    assert "it may hold readings" in capsys.readouterr().err
    assert out.read_text() == "readings"
    assert main(["forms", str(project), "--drives", "VFD-999"]) == 2
