"""Files that come back from the field: all mistakes told, good rows kept, nothing lost."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest
from field_site import DAY, MODEL, SETTINGS, TAG, pack_of, read, setting, site

from binder.field.returned_file import Returned, read_returned, rows_of_csv
from binder.field.returns import blank_readings, blank_settings, merge_returns
from binder.inventory.findings import Finding
from binder.inventory.records import AsLeft, Inventory, ModelSetting, Reading

HEADING = "Drive,Test,Value,Unit,Condition,Instrument,Date,Initials,Remark"
#: The kind of mistake, the row, its code, whether the row is still taken (and then not judged).
MISTAKES: list[tuple[str, str, str, bool]] = [
    ("unknown drive", "VFD-77,E4.24,24,V,,MM-9,2026-04-20,AN,", "F240", False),
    ("unknown test", f"{TAG},Z9,24,V,,MM-9,2026-04-20,AN,", "F201", False),
    ("no test", f"{TAG},,24,V,,MM-9,2026-04-20,AN,", "F241", False),
    ("wrong unit", f"{TAG},E4.10,10,Hz,,MM-9,2026-04-20,AN,", "F202", False),
    ("no unit", f"{TAG},E4.DC,679,,,MM-9,2026-04-20,AN,", "F203", False),
    ("expired instrument", f"{TAG},E1.L12,480,V,,OLD-9,2026-04-20,AN,", "F204", True),
    ("unknown instrument", f"{TAG},E1.L23,480,V,,QQ-1,2026-04-20,AN,", "F205", True),
    ("initials of nobody", f"{TAG},E1.L31,480,V,,MM-9,2026-04-20,ZZ,", "F208", True),
    ("duplicate row", f"{TAG},E4.24,24,V,,MM-9,2026-04-20,AN,", "F214", False),
    ("reading without limit", f"{TAG},M2,25,°C,,MM-9,2026-04-20,AN,", "F218", True),
    ("text", f"{TAG},U4.U,about ten,A,,MM-9,2026-04-20,AN,", "F212", False),
    ("future date", f"{TAG},U4.V,10,A,,MM-9,2026-06-30,AN,", "F211", False),
    ("day that can be exchanged", f"{TAG},U4.W,10,A,,MM-9,04/05/2026,AN,", "F243", False),
    ("not done without reason", f"{TAG},M5,not done,,,,2026-04-20,AN,", "F216", True),
    ("value forgotten", f"{TAG},M6,,,,,2026-04-20,AN,turned it", "F242", False),
    ("neither yes nor no", f"{TAG},M7,perhaps,,,,2026-04-20,AN,", "F217", False),
]
GOOD = [
    f"{TAG},E4.24,24,V,,MM-9,2026-04-20,AN,",
    f"{TAG.lower()},r2.t,20,°C,,MM-9,20 Apr 2026,an,cold",
    f'{TAG},D1,yes,,,,2026-04-20,BN,"one crate, dry"',
]


def plant(**changes: object) -> Inventory:
    return site(models=(replace(MODEL, rated_ambient=None),), **changes)


def merge(text: str, inventory: Inventory | None = None) -> tuple[list[Reading], list[Finding]]:
    inventory = inventory or plant()
    returned = rows_of_csv(text, "back.csv")
    rows, findings = merge_returns(inventory, returned.rows, packs={TAG: pack_of(inventory)}, today=dt.date(2026, 5, 1))
    return list(rows), [*returned.findings, *findings]


def file_of(rows: Iterable[str]) -> str:
    return "\n".join([HEADING, *rows]) + "\n"


def test_all_mistakes_are_told_and_good_rows_kept() -> None:
    rows, findings = merge(file_of([*GOOD, *(m[1] for m in MISTAKES)]))
    assert len(MISTAKES) >= 12
    assert sorted(f.code for f in findings) == sorted(m[2] for m in MISTAKES)
    kept = [m[1].split(",")[1] for m in MISTAKES if m[3]]
    assert [r.test for r in rows] == ["E4.24", "r2.t", "D1", *kept]
    assert all(f.sheet == "back.csv" and f.cell and f.found and f.accepted and f.remedy for f in findings)


@pytest.mark.parametrize(("row", "code", "taken"), [m[1:] for m in MISTAKES], ids=[m[0] for m in MISTAKES])
def test_each_mistake_names_its_row(row: str, code: str, taken: bool) -> None:
    rows, findings = merge(file_of([GOOD[0], row]))
    assert [f.code for f in findings] == [code]
    assert findings[0].cell.endswith("3"), "row 3 of the file"
    assert len(rows) == 1 + taken


def test_rows_already_in_the_workbook_are_passed_over() -> None:
    there = plant(readings=(read("E4.24", "24", "V"),))
    rows, findings = merge(file_of(GOOD), there)
    assert [r.test for r in rows] == ["r2.t", "D1"]
    assert [f.code for f in findings] == ["F244"]
    again, told = merge(file_of(GOOD), plant(readings=tuple(merge(file_of(GOOD))[0])))
    assert not again, "the same file recorded twice adds nothing"
    assert {f.code for f in told} == {"F244"}


def test_another_value_of_the_same_day_is_a_conflict_and_both_are_kept() -> None:
    there = plant(readings=(read("E4.24", "25", "V", initials="BN"),))
    rows, findings = merge(file_of(GOOD[:1]), there)
    assert [r.value for r in rows] == ["24"]
    assert [f.code for f in findings] == ["F245"]
    assert "25 by BN in the workbook" in findings[0].found


def test_earlier_visits_are_no_conflict() -> None:
    there = plant(readings=(read("E4.24", "25", "V", date=dt.date(2025, 4, 20)),))
    rows, findings = merge(file_of(GOOD[:1]), there)
    assert len(rows) == 1
    assert not findings


def test_tag_is_taken_as_the_workbook_spells_it() -> None:
    rows, _ = merge(file_of(GOOD))
    assert {r.drive for r in rows} == {TAG}


@pytest.mark.parametrize("mark", [",", ";", "\t"], ids=["comma", "semicolon", "tab"])
def test_separators(mark: str) -> None:
    text = file_of(GOOD[:1]).replace(",", mark)
    assert len(rows_of_csv(text, "x.csv").rows) == 1


def test_columns_are_known_by_their_words_in_any_order() -> None:
    text = "Remark,VALUE *,drive,Unit,Test,Odd,Date\nseen,24,VFD-9,V,E4.24,?,2026-04-20\n"
    [row] = rows_of_csv(text, "x.csv").rows
    assert isinstance(row, Reading)
    assert (row.value, row.remark, row.date) == ("24", "seen", DAY)
    assert row.origin.cell("value") == "B2"


def test_blank_form_lines_are_passed_over() -> None:
    text = file_of([*GOOD[:1], f"{TAG},E4.10,,V,,,,,", ""])
    assert len(rows_of_csv(text, "x.csv").rows) == 1


@pytest.mark.parametrize(
    ("data", "code"),
    [(b"", "F249"), (b"\0\1", "F249"), (b"Drive,Value\nx,1\n", "F246"), (b"nothing here", "F246")],
    ids=["empty", "binary", "column missing", "no heading"],
)
def test_file_that_is_none(tmp_path: Path, data: bytes, code: str) -> None:
    path = tmp_path / "x.csv"
    path.write_bytes(data)
    found = read_returned(path)
    assert not found.rows
    assert [f.code for f in found.findings] == [code]


def test_missing_file_is_a_finding(tmp_path: Path) -> None:
    assert [f.code for f in read_returned(tmp_path / "no.csv").findings] == ["F249"]
    assert [f.code for f in read_returned(tmp_path / "no.xlsx").findings] == ["F249"]
    (tmp_path / "broken.xlsx").write_bytes(b"PK\3\4 cut off")
    told = read_returned(tmp_path / "broken.xlsx").findings
    assert [(f.sheet, f.code) for f in told] == [("broken.xlsx", "B191")]


def test_older_spreadsheet_encoding_is_read(tmp_path: Path) -> None:
    path = tmp_path / "x.csv"
    path.write_bytes(f"Drive;Test;Value;Unit\n{TAG};R2.T;20;°C\n".encode("cp1252"))
    [row] = read_returned(path).rows
    assert isinstance(row, Reading)
    assert row.unit == "°C"


def test_exported_form_comes_back_filled() -> None:
    pack = pack_of(plant())
    out = list(csv.DictReader(io.StringIO(blank_readings([pack]))))
    assert len(out) == sum(e.kind != "computed" for e in pack.lines)
    assert not [o for o in out if o["Test"] in ("R2.C", "E1.U", "S2")], "nobody types a computed line"
    for o in out:
        o.update(Value="yes" if not o["Unit"] else "1", Instrument="MM-9", Date="2026-04-20", Initials="AN")
    text = io.StringIO()
    writer = csv.DictWriter(text, list(out[0]))
    writer.writeheader()
    writer.writerows(out)
    rows, findings = merge(text.getvalue())
    assert len(rows) == len(out)
    assert {f.code for f in findings} <= {"F218"}


def test_exported_form_leaves_out_what_is_done() -> None:
    inventory = plant(readings=(read("E4.24", "24", "V"),))
    pack = pack_of(inventory)
    assert ",E4.24," not in blank_readings([pack])
    assert ",E4.24," in blank_readings([pack], every=True)


def test_no_cell_of_a_form_is_taken_for_a_formula() -> None:
    pack = replace(pack_of(plant()), drive="=A1-T1")
    for cells in csv.reader(io.StringIO(blank_readings([pack]))):
        assert not any(c[:1] in "=+-@" for c in cells if c)


MAP = (ModelSetting("Invented Q", "Q20"), ModelSetting("Invented Q", "Q40"))
SET_HEADING = "Drive,Setting,As found,As left,Date,Initials,Reason"


def test_as_left_values_come_back() -> None:
    there = plant(settings=MAP, as_left=(AsLeft(TAG, "Q40", "25.0", "27.0", DAY, "AN"),))
    text = "\n".join([
        SET_HEADING,
        f"{TAG},Q20,50.0,60.0,2026-04-20,AN,",
        f"{TAG},Q40,25.0,27.0,2026-04-20,AN,",
        f"{TAG},Q40,27.0,28.0,2026-04-20,BN,felt better",
        f"{TAG},Q99,1,2,2026-04-20,AN,",
        f"{TAG},Q20,60.0,60.0,2026-12-31,AN,",
        f"{TAG},Q20,60.0,59.0,2026-04-21,ZZ,",
    ])  # fmt: skip
    rows, findings = merge(text, there)
    assert [(r.setting, r.as_left) for r in rows if isinstance(r, AsLeft)] == [
        ("Q20", "60.0"),
        ("Q40", "28.0"),
        ("Q20", "59.0"),
    ]
    assert sorted(f.code for f in findings) == ["F208", "F211", "F244", "F245", "F247"]


def test_settings_form_hides_the_access_code() -> None:
    table = replace(SETTINGS, rows=(setting("Q01", "access_code", "4711"), *SETTINGS.rows))
    text = blank_settings([table])
    assert "4711" not in text
    assert "60.0 Hz" in text


def test_returned_workbook_is_read(tmp_path: Path) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Readings"
    sheet.append(["Drive", "Test", "Value", "Unit", "Instrument", "Date", "Initials"])
    sheet.append([TAG, "E4.24", "24", "V", "MM-9", "2026-04-20", "AN"])
    path = tmp_path / "back.xlsx"
    book.save(path)
    found: Returned = read_returned(path)
    [row] = found.rows
    assert isinstance(row, Reading)
    assert (row.test, row.value, row.date) == ("E4.24", "24", DAY)
    assert row.origin.sheet == "back.xlsx Readings"
