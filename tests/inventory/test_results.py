"""Writing back: only what had to change changed, and nothing a person read is ever lost."""

from __future__ import annotations

import zipfile
from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.chart import BarChart, Reference
from openpyxl.styles import PatternFill
from workbooks import edit_part, spoil, write

from binder.errors import OutputError
from binder.inventory.findings import Finding, Grade, ordered
from binder.inventory.parts import sheet_parts
from binder.inventory.patch import parse_xml, related_parts
from binder.inventory.reader import read_workbook
from binder.inventory.results import (
    CellChange,
    FieldChange,
    append_rows,
    mark_copy,
    patch_cells,
    set_fields,
    write_row_keys,
)

VBA = b"\xd0\xcf\x11\xe0macro"


def own_touches(book: Workbook) -> None:
    """What a person adds: colours, a sheet, a chart, formulas, a note, a picture of numbers."""
    book["Drives"]["A2"].fill = PatternFill("solid", fgColor="00FF00")
    mine = book.create_sheet("My costs")
    mine["A1"], mine["A2"], mine["A3"] = 1, 2, "=SUM(A1:A2)"
    chart = BarChart()
    chart.add_data(Reference(mine, min_col=1, min_row=1, max_row=2))
    mine.add_chart(chart, "C3")


@pytest.fixture(scope="module")
def touched(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    path = spoil(write(tmp_path_factory.mktemp("touched") / "inventory.xlsx"), own_touches)
    edit_part(path, "xl/vbaProject.bin", lambda _: VBA)
    edit_part(path, "xl/workbook.xml", lambda c: c.replace(b' fullCalcOnLoad="1"', b""))
    return path.read_bytes()


@pytest.fixture
def unkeyed(tmp_path: Path, touched: bytes) -> Path:
    path = tmp_path / "inventory.xlsx"
    path.write_bytes(touched)
    return path


@pytest.fixture
def workbook(unkeyed: Path) -> Path:
    write_row_keys(unkeyed)
    return unkeyed


def parts_of(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def changed_parts(before: dict[str, bytes], after: dict[str, bytes]) -> set[str]:
    return {name for name in before.keys() | after.keys() if before.get(name) != after.get(name)}


def part_named(path: Path, sheet: str) -> str:
    with zipfile.ZipFile(path) as archive:
        return sheet_parts(archive.read)[sheet]


def test_only_the_sheet_and_the_recalculation_flag_change(workbook: Path) -> None:
    edit_part(workbook, "xl/workbook.xml", lambda c: c.replace(b' fullCalcOnLoad="1"', b""))
    before = parts_of(workbook)
    key = read_workbook(workbook).drives[1].origin.key
    set_fields(workbook, [FieldChange("Drives", key, "serial", "00123"), FieldChange("Drives", key, "remark", "=A1")])
    after = parts_of(workbook)
    assert list(before) == list(after)
    assert changed_parts(before, after) == {part_named(workbook, "Drives"), "xl/workbook.xml"}
    assert b'fullCalcOnLoad="1"' in after["xl/workbook.xml"]
    assert after["xl/vbaProject.bin"] == VBA
    drive = read_workbook(workbook).drives[1]
    assert (drive.serial, drive.remark) == ("00123", "=A1")


def test_no_flag_without_formulas(tmp_path: Path) -> None:
    path = write(tmp_path / "inventory.xlsx")
    before = parts_of(path)
    patch_cells(path, [CellChange("Drives", "C2", "Pump")])
    assert changed_parts(before, parts_of(path)) == {part_named(path, "Drives")}


def test_former_file_is_kept(unkeyed: Path) -> None:
    data = unkeyed.read_bytes()
    patch_cells(unkeyed, [CellChange("Drives", "C2", "Pump")])
    assert unkeyed.with_name("inventory.xlsx.bak").read_bytes() == data
    assert not unkeyed.with_name("inventory.xlsx.tmp").exists()


def test_values_keep_their_kind(unkeyed: Path) -> None:
    texts = ["=1+1", "+49 123", "-S1:13", "@x", "a < b & c", " kept ", "line\nbreak", "Ω µ ½ 漢字"]
    numbers = [(7, 7), (2.5, 2.5), (Decimal("0.1"), 0.1), (True, True), (None, None)]
    changes = [CellChange("Drives", f"AQ{row}", value) for row, value in enumerate(texts, start=2)]
    changes += [CellChange("Drives", f"AP{row}", value) for row, (value, _) in enumerate(numbers, start=2)]
    patch_cells(unkeyed, changes)
    ws = load_workbook(unkeyed)["Drives"]
    assert [ws[f"AQ{row}"].value for row in range(2, 10)] == texts
    assert {ws[f"AQ{row}"].data_type for row in range(2, 10)} == {"s"}
    assert [ws[f"AP{row}"].value for row in range(2, 7)] == [stored for _, stored in numbers]


def test_cell_format_is_kept(unkeyed: Path) -> None:
    patch_cells(unkeyed, [CellChange("Drives", "A2", "VFD-1")])
    assert load_workbook(unkeyed)["Drives"]["A2"].fill.fgColor.rgb == "0000FF00"


REFUSED = [
    ("formula", CellChange("My costs", "A3", 5), "holds a formula"),
    ("control character", CellChange("Drives", "C2", "a\x07"), "control character"),
    ("too long", CellChange("Drives", "C2", "x" * 32768), "32767"),
    ("unknown sheet", CellChange("Nowhere", "C2", 1), "no sheet"),
    ("no address", CellChange("Drives", "C0", 1), "no cell address"),
    ("no number", CellChange("Drives", "C2", float("inf")), "no number"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "words"), [r[1:] for r in REFUSED], ids=[r[0] for r in REFUSED])
def test_refusals_write_nothing_and_keep_the_values(unkeyed: Path, change: CellChange, words: str) -> None:
    before = unkeyed.read_bytes()
    with pytest.raises(OutputError, match=words) as raised:
        patch_cells(unkeyed, [CellChange("Drives", "C2", "good"), change])
    assert unkeyed.read_bytes() == before
    side = unkeyed.with_name("inventory.not-written.xlsx")
    assert side.name in raised.value.remedy
    rows = [[c.value for c in row] for row in load_workbook(side)["Not written"].iter_rows(min_row=2)]
    assert rows[0] == ["Drives", "C2", "good"]
    assert len(rows) == 2


def test_locked_workbook_says_who_and_loses_nothing(unkeyed: Path) -> None:
    unkeyed.with_name(".~lock.inventory.xlsx#").write_text("A. Example,aex,laptop,14.03.2026 10:00,x;", "utf-8")
    row = {"drive": "VFD-1", "test": "E3", "value": ">2000", "unit": "MΩ"}
    for number in ("", "-2"):
        with pytest.raises(OutputError, match=r"A\. Example on laptop has it"):
            append_rows(unkeyed, "Readings", [row])
        assert unkeyed.with_name(f"inventory.not-written{number}.xlsx").exists()


def test_changed_since_read_is_refused(unkeyed: Path) -> None:
    with pytest.raises(OutputError, match="changed since"):
        patch_cells(unkeyed, [CellChange("Drives", "C2", "x")], expected_digest="0" * 64)


def test_merged_cell_is_refused(tmp_path: Path) -> None:
    path = spoil(write(tmp_path / "inventory.xlsx"), lambda book: book["Readings"].merge_cells("I5:I6"))
    with pytest.raises(OutputError, match="merged"):
        patch_cells(path, [CellChange("Readings", "I6", "x")])


def test_prefixed_sheet_is_refused(tmp_path: Path) -> None:
    path = write(tmp_path / "inventory.xlsx")
    main = b'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
    edit_part(
        path,
        part_named(path, "Wires"),
        lambda _: b"<x:worksheet " + main.replace(b"xmlns=", b"xmlns:x=") + b"><x:sheetData/></x:worksheet>",
    )
    with pytest.raises(OutputError, match="not tried"):
        patch_cells(path, [CellChange("Wires", "A2", "x")])


def test_rows_are_found_by_key_after_sorting(workbook: Path) -> None:
    key = read_workbook(workbook).drives[0].origin.key

    def exchange(book: Workbook) -> None:
        ws = book["Drives"]
        for column in range(1, ws.max_column + 1):
            first, second = ws.cell(2, column), ws.cell(3, column)
            first.value, second.value = second.value, first.value

    spoil(workbook, exchange)
    set_fields(workbook, [FieldChange("Drives", key, "serial", "S-1")])
    by_tag = {d.tag: d.serial for d in read_workbook(workbook).drives}
    assert by_tag == {"VFD-2": "", "VFD-1": "S-1"}


def test_keys_survive_renaming(workbook: Path) -> None:
    key = read_workbook(workbook).drives[0].origin.key
    set_fields(workbook, [FieldChange("Drives", key, "tag", "P-101"), FieldChange("Drives", key, "formerly", "VFD-1")])
    drive = read_workbook(workbook).drives[0]
    assert (drive.tag, drive.formerly, drive.origin.key) == ("P-101", "VFD-1", key)
    assert write_row_keys(workbook) == 0


def test_copied_row_gets_a_new_key(workbook: Path) -> None:
    def copy(book: Workbook) -> None:
        ws = book["Drives"]
        for column in range(1, ws.max_column + 1):
            ws.cell(4, column, ws.cell(3, column).value)
        ws["A4"] = "VFD-3"

    spoil(workbook, copy)
    before = [d.origin.key for d in read_workbook(workbook).drives]
    assert write_row_keys(workbook) == 1
    inventory = read_workbook(workbook)
    assert [d.origin.key for d in inventory.drives] == before
    assert len(set(before)) == 3
    assert "B153" not in [f.code for f in inventory.findings]


def test_appended_rows_are_read_back(unkeyed: Path) -> None:
    rows = [{"drive": "VFD-1", "test": f"E3.{n}", "value": ">2000", "date": "2026-03-14"} for n in range(250)]
    append_rows(unkeyed, "Readings", rows[:1])
    append_rows(unkeyed, "Readings", rows[1:])
    inventory = read_workbook(unkeyed)
    assert [r.test for r in inventory.readings] == [r["test"] for r in rows]
    table = load_workbook(unkeyed)["Readings"].tables["T_Readings"]
    assert table.ref.endswith("251")


def test_unknown_column_goes_to_the_side_workbook(unkeyed: Path) -> None:
    with pytest.raises(OutputError, match="no column for colour"):
        append_rows(unkeyed, "Readings", [{"colour": "red"}])


def finding(sheet: str, cell: str, text: str = "31,2.5") -> Finding:
    return Finding("B103", Grade.STOP, sheet, cell, "M-1", text, "31.2", "Type it again.", "Rated current [A]")


def test_marked_copy_has_a_note_on_each_cell(unkeyed: Path, tmp_path: Path) -> None:
    before = unkeyed.read_bytes()
    out = tmp_path / "marked.xlsx"
    marks = [
        finding("Motors", "E2"),
        finding("Motors", "E2", "again"),
        finding("Motors", "A1"),
        finding("My costs", "A2:A3"),
    ]
    elsewhere = [finding("Gone", "A1"), finding("Motors", "")]
    assert mark_copy(unkeyed, [*marks, *elsewhere], out) == 3
    assert unkeyed.read_bytes() == before
    book = load_workbook(out)
    assert "found: 31,2.5" in book["Motors"]["E2"].comment.text
    assert "found: again" in book["Motors"]["E2"].comment.text
    assert "Designation of the motor" in book["Motors"]["A1"].comment.text  # the heading's own help stays
    assert "stop B103  (A2:A3)" in book["My costs"]["A2"].comment.text
    changed = changed_parts(parts_of(unkeyed), parts_of(out))
    assert part_named(unkeyed, "Drives") not in changed
    assert [[c.value for c in row[:5]] for row in book["Findings"]["A2:E7"]] == [
        [str(f.grade), f.code, f.sheet, f.cell or None, f.tag] for f in ordered([*marks, *elsewhere])
    ]
    assert [s.value for s in load_workbook(unkeyed)["Drives"][2]] == [s.value for s in book["Drives"][2]]
    looks = [c.fill.fgColor.rgb for c in load_workbook(unkeyed)["Drives"][2]]
    assert [c.fill.fgColor.rgb for c in book["Drives"][2]] == looks  # our looks stand behind the person's own
    assert [m.tag for m in read_workbook(out).motors] == ["M-1", "M-2"]


def test_each_note_has_a_box_whatever_drew_the_others(unkeyed: Path, tmp_path: Path) -> None:
    out = tmp_path / "marked.xlsx"
    mark_copy(unkeyed, [finding("Motors", "E2"), finding("My costs", "A2")], out)
    with zipfile.ZipFile(out) as archive:
        for sheet in ("Motors", "My costs"):
            part = sheet_parts(archive.read)[sheet]
            (notes,) = related_parts(archive, part, "/comments")
            (drawing,) = related_parts(archive, part, "/vmlDrawing")
            boxes = parse_xml(archive.read(drawing)).iter("{urn:schemas-microsoft-com:vml}shape")
            assert len(list(boxes)) == len(parse_xml(archive.read(notes))[1])


def test_marked_copy_never_replaces_the_workbook(unkeyed: Path) -> None:
    with pytest.raises(OutputError, match="another name"):
        mark_copy(unkeyed, [], unkeyed)
