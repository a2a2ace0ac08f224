"""The table of 84 bad inputs: each with its exact finding or value."""

from __future__ import annotations

import datetime as dt
import re
import zipfile
from collections.abc import Callable
from copy import deepcopy
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook
from openpyxl.styles import PatternFill
from workbooks import SOUND, brief, edit_part, header_cell, read, spoil, with_drive, write

from binder.inventory import reader
from binder.inventory.cells import Cell, Context, read_cell
from binder.inventory.cleaning import CellError
from binder.inventory.columns import sheet_named
from binder.inventory.parts import sheet_parts
from binder.inventory.quantities import Measure
from binder.inventory.reader import read_workbook


def cell_result(
    sheet: str, field: str, value: Any, mark: str = "", number_format: str = "General"
) -> tuple[Any, list[str]]:
    column = sheet_named(sheet).column(field)
    context = Context(mark, column.unit)
    result = read_cell(Cell("A1", value, number_format), column, context)
    return result, [t.code for t in context.told]


def measure(amount: str, unit: str) -> Measure:
    return Measure(Decimal(amount), unit)


KW, A = "kW", "A"

# case, sheet, field, cell, decimal mark, number format, value
ACCEPTED = [
    ("1 number as text", "Motors", "power", "9.2", "", "General", measure("9.2", KW)),
    ("2 decimal comma", "Motors", "power", "9,2", "", "General", measure("9.2", KW)),
    ("2 decimal comma, point declared", "Motors", "power", "9,2", ".", "General", measure("9.2", KW)),
    ("3 comma declared", "Motors", "power", "9,200", ",", "General", measure("9.200", KW)),
    ("3 point declared", "Motors", "speed", "1,765", ".", "General", measure("1765", "rpm")),
    ("5 unit in the cell", "Motors", "power", "9.2 kW", "", "General", measure("9.2", KW)),
    ("5 unit without space", "Motors", "power", "9.2kW", "", "General", measure("9.2", KW)),
    ("6 other unit", "Motors", "power", "12 hp", "", "General", measure("12", "hp")),
    ("7 case of unit", "Motors", "power", "9.2 KW", "", "General", measure("9.2", KW)),
    ("7 case of HZ", "Motors", "frequency", "60 HZ", "", "General", measure("60", "Hz")),
    ("7 case of RPM", "Motors", "speed", "1765 RPM", "", "General", measure("1765", "rpm")),
    ("10 mixed fraction", "Motors", "power", "2-1/4 HP", "", "General", measure("2.25", "hp")),
    ("10 fraction sign", "Motors", "power", "2¼ hp", "", "General", measure("2.25", "hp")),
    ("14 thousands by space", "Cables", "length", "1 200", "", "General", measure("1200", "m")),
    ("14 thousands by no-break space", "Cables", "length", "1\u00a0200 m", "", "General", measure("1200", "m")),
    ("14 thousands by narrow space", "Cables", "length", "1\u202f200 m", "", "General", measure("1200", "m")),
    ("14 thousands by apostrophe", "Cables", "length", "1'200 m", "", "General", measure("1200", "m")),
    ("16 no-break space before unit", "Motors", "current", "18.5\u00a0A", "", "General", measure("18.5", A)),
    ("18 full-width", "Drives", "tag", "ＶＦＤ－１", "", "@", "VFD-1"),
    ("21 spaces", "Drives", "tag", "  VFD  1 ", "", "@", "VFD 1"),
    ("22 en dash", "Drives", "tag", "VFD\u20131", "", "@", "VFD-1"),
    ("22 no-break hyphen", "Drives", "tag", "VFD\u20111", "", "@", "VFD-1"),
    ("22 minus", "Drives", "tag", "VFD\u22121", "", "@", "VFD-1"),
    ("24 right-to-left letters", "Drives", "feeds", "משאבה 1", "", "@", "משאבה 1"),
    ("61 boolean in yes/no", "Drives", "flying_start", True, "", "General", True),
    ("62 percent with format", "Motors", "efficiency", 0.93, "", "0.0%", measure("93", "%")),
    ("71 dual field", "Motors", "plate_voltages", "230/460", "", "@", "230/460"),
    ("74 choice in other case", "Drives", "duty", "HEAVY", "", "@", "heavy"),
    ("74 choice hyphenated", "Controls", "scheme", "Hand Off Auto", "", "@", "hand-off-auto"),
    ("53 formula as text in a remark", "Drives", "remark", "=C4*2", "", "@", "=C4*2"),
    ("53 formula as text in a tag", "Drives", "tag", "=A1+B2-X", "", "@", "=A1+B2-X"),
    ("78 emoji in a remark", "Drives", "remark", "loud 🔔", "", "@", "loud 🔔"),
    ("79 markup", "Drives", "remark", ".. include:: x <script> {{ 7*7 }} #panic() *b*", "", "@",
     ".. include:: x <script> {{ 7*7 }} #panic() *b*"),
    ("80 path-like tag", "Drives", "tag", "../CON", "", "@", "../CON"),
    ("51 empty formula result", "Drives", "remark", None, "", "@", None),
]  # fmt: skip


@pytest.mark.parametrize(
    ("sheet", "field", "value", "mark", "fmt", "expected"), [c[1:] for c in ACCEPTED], ids=[c[0] for c in ACCEPTED]
)
def test_accepted(sheet: str, field: str, value: Any, mark: str, fmt: str, expected: Any) -> None:
    result, _ = cell_result(sheet, field, value, mark, fmt)
    assert result == expected
    assert type(result) is type(expected)


# case, sheet, field, cell, mark, format, code, words of found, accepted and remedy
REFUSED = [
    ("4 ambiguous separator", "Motors", "power", "9,200", "", "General", "B101", "9200 or 9.2"),
    ("8 case decides", "Motors", "current", "30 MA", "", "General", "B112", "MA or mA"),
    ("9 kVA for kW", "Motors", "power", "9 kVA", "", "General", "B110", "power"),
    ("9 Hz for rpm", "Motors", "speed", "60 Hz", "", "General", "B110", "speed"),
    ("9 J for kW", "Motors", "power", "5 J", "", "General", "B110", "power"),
    ("11 fraction turned into a date", "Motors", "power", dt.datetime(2026, 1, 4), "", "d-mmm", "B108",
     "Type it as a decimal"),
    ("12 setting number as number", "Settings", "number", 2.35, "", "General", "B130", "as text"),
    ("13 serial as number", "Drives", "serial", 1234567890123456, "", "General", "B131", "15th"),
    ("15 Indian grouping", "Cables", "length", "1,23,456", "", "General", "B103", "one decimal mark"),
    ("19 Cyrillic look-alike", "Drives", "tag", "\u0420-12", "", "@", "B143",
     "character 1 is CYRILLIC CAPITAL LETTER ER"),
    ("19 Greek look-alike", "Drives", "tag", "VFD-\u0391", "", "@", "B143",
     "character 5 is GREEK CAPITAL LETTER ALPHA"),
    ("23 direction override", "Drives", "tag", "VFD\u202e1", "", "@", "B142", "direction"),
    ("52 error value", "Motors", "power", "#REF!", "", "General", "B162", ""),
    ("53 formula as text", "Motors", "power", "=C4*2", "", "@", "B107", "number"),
    ("56 date in a number", "Motors", "current", dt.datetime(2026, 5, 6), "", "General", "B108", "2026-05-06"),
    ("57 duration in a ratio", "Machines", "gear_ratio", dt.timedelta(hours=150, minutes=5), "", "General",
     "B109", "as text"),
    ("57 time in a ratio", "Machines", "gear_ratio", dt.time(20, 1), "", "General", "B109", "as text"),
    ("58 ambiguous text date", "Motors", "manufactured", "05/06/2026", "", "@", "B126", "2026-05-06 or 2026-06-05"),
    ("59 day number", "Motors", "manufactured", 46000, "", "General", "B127", "2025-12-09"),
    ("61 boolean in a number", "Motors", "power", True, "", "General", "B116", "TRUE"),
    ("63 percent without format", "Motors", "efficiency", 0.93, "", "General", "B117", "93 %"),
    ("64 power factor 85", "Motors", "power_factor", 85, "", "General", "B114", "0.85"),
    ("65 zero", "Motors", "power", 0, "", "General", "B114", "0.01 kW to 3000 kW"),
    ("65 negative length", "Cables", "length", "-12 m", "", "General", "B114", "0.01 m to 20000 m"),
    ("65 absurd", "Motors", "voltage", 480000, "", "General", "B114", "10 V to 1000 V"),
    ("65 0 poles", "Motors", "poles", 0, "", "General", "B114", "2 to 48"),
    ("66 1e400", "Motors", "power", "1e400", "", "@", "B105", ""),
    ("66 infinity", "Motors", "power", "inf", "", "@", "B100", ""),
    ("66 NaN", "Motors", "power", "nan", "", "@", "B100", ""),
    ("66 huge number", "Motors", "power", 1.797e308, "", "General", "B114", ""),
    ("67 power tower", "Motors", "power", "9**9**9", "", "@", "B105", ""),
    ("67 sum", "Motors", "power", "1+1", "", "@", "B105", ""),
    ("69 ditto", "Motors", "power", '"', "", "@", "B135", "again"),
    ("69 ditto word", "Drives", "panel", "ditto", "", "@", "B135", "again"),
    ("70 footnote star", "Motors", "current", "9.4*", "", "@", "B104", "footnote"),
    ("70 raised footnote", "Motors", "current", "9.4¹", "", "@", "B104", "footnote"),
    ("71 two values", "Motors", "voltage", "230/460", "", "@", "B106", "one value"),
    ("72 size without unit, text", "Cables", "size", "16", "", "@", "B113", "16 AWG or 16 mm²"),
    ("72 size without unit, number", "Cables", "size", 16, "", "General", "B113", "16 AWG or 16 mm²"),
    ("73 choice misspelled", "Drives", "duty", "haevy", "", "@", "B121", "Is heavy meant?"),
    ("76 tag too long", "Drives", "tag", "x" * 33, "", "@", "B132", "up to 32"),
    ("76 remark too long", "Drives", "remark", "x" * 2001, "", "@", "B132", "up to 2000"),
    ("77 control character", "Drives", "remark", "a\x07b", "", "@", "B141", "U+0007"),
    ("78 emoji in a tag", "Drives", "tag", "VFD🔔", "", "@", "B144", "picture"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("sheet", "field", "value", "mark", "fmt", "code", "words"), [c[1:] for c in REFUSED], ids=[c[0] for c in REFUSED]
)
def test_refused(sheet: str, field: str, value: Any, mark: str, fmt: str, code: str, words: str) -> None:
    column = sheet_named(sheet).column(field)
    error = isinstance(value, str) and value.startswith("#REF")
    with pytest.raises(CellError) as raised:
        read_cell(Cell("A1", value, fmt, error=error), column, Context(mark, column.unit))
    assert raised.value.code == code
    assert words in f"{raised.value.found} {raised.value.accepted} {raised.value.remedy}"


OPEN = ["TBD", "?", "-", "tbc", "n/a"]


@pytest.mark.parametrize("text", OPEN)
def test_68_open_item_leaves_the_field_blank(text: str) -> None:
    assert cell_result("Motors", "efficiency", text) == (None, ["B123"])


def test_17_hidden_character_is_left_out_and_told() -> None:
    assert cell_result("Drives", "tag", "VFD\u200b-1", "", "@") == ("VFD-1", ["B140"])


def test_12_whole_setting_number_is_taken_and_told() -> None:
    assert cell_result("Settings", "number", 235) == ("235", ["B133"])


def area_row(book: Workbook) -> None:
    book["Drives"]["A4"] = "Pump house 2"


def stray_space(book: Workbook) -> None:
    book["Drives"]["C5000"] = " \u00a0"


def blank_rows(book: Workbook) -> None:
    book["Drives"].move_range("A3:AZ3", rows=6)


def total_row(book: Workbook) -> None:
    book["Motors"]["A4"] = "Total"
    book["Motors"]["B4"] = 18.7


def second_header(book: Workbook) -> None:
    for index, cell in enumerate(list(book["Drives"][1])[:5], start=1):
        book["Drives"].cell(4, index, cell.value)


def move_header_down(book: Workbook) -> None:
    book["Motors"].insert_rows(1, 4)
    book["Motors"]["A1"] = "Example contractor"


def reorder(book: Workbook) -> None:
    ws = book["Motors"]
    for row in range(1, 4):
        for index in (1, 5):
            ws.cell(row, 40 + index, ws.cell(row, index).value)
            ws.cell(row, index).value = None


def unknown_column(book: Workbook) -> None:
    book["Drives"]["BA1"] = "My colour"
    book["Drives"]["BA2"] = "blue"


def drop_required(book: Workbook) -> None:
    ws = book["Motors"]
    index = header_cell(book, "Motors", "Rated current").column
    for row in range(1, 4):
        ws.cell(row, index).value = None


def twice(book: Workbook) -> None:
    book["Motors"]["BA1"] = "Rated current [A]"


def edited_alias(book: Workbook) -> None:
    header_cell(book, "Motors", "Rated power").value = "Motor power kW"


def edited_typo(book: Workbook) -> None:
    header_cell(book, "Motors", "Rated current").value = "Ratet currend [A]"


def header_hp(book: Workbook) -> None:
    header_cell(book, "Motors", "Rated power").value = "Rated power [hp]"


def header_furlong(book: Workbook) -> None:
    header_cell(book, "Motors", "Rated power").value = "Rated power [furlong]"


def hide_row(book: Workbook) -> None:
    book["Drives"].row_dimensions[3].hidden = True


def hide_sheet(book: Workbook) -> None:
    book["Motors"].sheet_state = "hidden"


def two_sheets(book: Workbook) -> None:
    book.create_sheet("Driven machines").append(["Machine", "Kind", "Load type"])


def no_drives(book: Workbook) -> None:
    del book["Drives"]


def no_networks(book: Workbook) -> None:
    del book["Networks"]


def merge_down(book: Workbook) -> None:
    book["Drives"].tables.clear()
    book["Drives"].merge_cells("A2:A3")


def merge_across(book: Workbook) -> None:
    book["Motors"].tables.clear()
    book["Motors"].merge_cells("C2:D2")


def name_error(book: Workbook) -> None:
    book["Drives"]["C2"] = "=PUMP1"


# case, edit, sheets, findings as (grade, code, sheet, cell)
TABLES: list[tuple[str, Callable[[Workbook], object] | None, dict[str, Any], list[tuple[str, str, str, str]]]] = [
    ("28 row keys missing", None, {}, [("note", "B115", "Motors", "B2")]),
    ("29 row without tag", None, {"Drives": with_drive(tag=None, remark="x")},
     [("stop", "B154", "Drives", "A2"), ("note", "B214", "Motors", "A2"), ("note", "B115", "Motors", "B2")]),
    ("30 blank rows between", blank_rows, {}, [("note", "B115", "Motors", "B2")]),
    ("31 stray space", stray_space, {}, [("note", "B115", "Motors", "B2")]),
    ("32 sub-heading row", area_row, {}, [("stop", "B155", "Drives", "A4"), ("note", "B115", "Motors", "B2")]),
    ("33 totals row", total_row, {}, [("stop", "B155", "Motors", "A4"), ("note", "B115", "Motors", "B2")]),
    ("34 second header row", second_header, {}, [("note", "B156", "Drives", "A4"), ("note", "B115", "Motors", "B2")]),
    ("35 header moved down", move_header_down, {}, [("note", "B115", "Motors", "B6")]),
    ("36 columns re-ordered", reorder, {}, [("note", "B115", "Motors", "B2")]),
    ("37 unknown column", unknown_column, {}, [("note", "B170", "Drives", "BA1"), ("note", "B115", "Motors", "B2")]),
    ("38 required column missing", drop_required, {}, [("stop", "B171", "Motors", "A1"), ("note", "B115",
     "Motors", "B2")]),
    ("39 header twice", twice, {}, [("stop", "B172", "Motors", "BA1"), ("note", "B115", "Motors", "B2")]),
    ("40 header by alias", edited_alias, {}, [("note", "B115", "Motors", "B2")]),
    ("41 header in hp", header_hp, {}, []),
    ("42 header unit unknown", header_furlong, {}, [("stop", "B174", "Motors", "B1")]),
    ("43 hidden row", hide_row, {}, [("note", "B178", "Drives", "A3"), ("note", "B115", "Motors", "B2")]),
    ("44 hidden sheet", hide_sheet, {}, [("note", "B179", "Motors", ""), ("note", "B115", "Motors", "B2")]),
    ("45 two sheets of one meaning", two_sheets, {}, [("stop", "B176", "Driven machines", ""), ("note",
     "B115", "Motors", "B2")]),
    ("46 optional sheet missing", no_networks, {}, [("note", "B115", "Motors", "B2")]),
    ("50 formula never calculated", name_error, {}, [("stop", "B160", "Drives", "C2"), ("note", "B115", "Motors", "B2"),
                                                     ("note", "B161", "Drives", "C2")]),
    ("75 reference not listed", None, {"Drives": with_drive(model="Exampel 7")},
     [("stop", "B122", "Drives", "G2"), ("note", "B115", "Motors", "B2")]),
]  # fmt: skip


@pytest.mark.parametrize(("edit", "sheets", "expected"), [t[1:] for t in TABLES], ids=[t[0] for t in TABLES])
def test_tables(
    tmp_path: Path,
    edit: Callable[[Workbook], object] | None,
    sheets: dict[str, Any],
    expected: list[tuple[str, str, str, str]],
) -> None:
    found = brief(read(tmp_path, edit, **sheets).findings)
    assert sorted(found) == sorted(expected)


def test_28_row_keys_are_given_and_stable(tmp_path: Path) -> None:
    first, again = read(tmp_path), read(tmp_path)
    keys = [d.origin.key for d in first.drives]
    assert len(set(keys)) == 2
    assert keys == [d.origin.key for d in again.drives]


def test_30_rows_after_blank_rows_are_read(tmp_path: Path) -> None:
    assert [d.tag for d in read(tmp_path, blank_rows).drives] == ["VFD-1", "VFD-2"]


def test_36_reordered_columns_are_read(tmp_path: Path) -> None:
    assert [str(m.current) for m in read(tmp_path, reorder).motors] == ["18.5 A", "12 A"]


def test_40_header_nearly_known_is_a_stop_with_the_nearest(tmp_path: Path) -> None:
    stops = [f for f in read(tmp_path, edited_typo).findings if f.grade == "stop"]
    assert [(f.code, f.sheet) for f in stops] == [("B171", "Motors"), ("B173", "Motors")]
    assert "Is Rated current [A] meant?" in stops[1].remedy


def test_41_header_unit_is_used(tmp_path: Path) -> None:
    motors = read(tmp_path, header_hp).motors
    assert [str(m.power) for m in motors] == ["15 hp", "7.5 hp"]


def test_46_required_sheet_missing(tmp_path: Path) -> None:
    codes = [(f.code, f.sheet) for f in read(tmp_path, no_drives).findings if f.grade == "stop"]
    assert codes == [("B175", "Drives")]


def test_47_vertical_merge(tmp_path: Path) -> None:
    codes = [(f.code, f.cell) for f in read(tmp_path, merge_down).findings if f.grade == "stop"]
    assert codes == [("B157", "A2"), ("B154", "A3")]


def test_48_horizontal_merge(tmp_path: Path) -> None:
    assert ("stop", "B158", "Motors", "C2") in brief(read(tmp_path, merge_across).findings)


def test_20_look_alike_twins(tmp_path: Path) -> None:
    motors = deepcopy(SOUND["Motors"])
    motors[0]["tag"], motors[1]["tag"] = "M-1O", "M-10"
    drives = deepcopy(SOUND["Drives"])
    drives[0]["motor"], drives[1]["motor"] = "M-1O", "M-10"
    cautions = [f for f in read(tmp_path, Motors=motors, Drives=drives).findings if f.grade == "caution"]
    assert [(f.code, f.cell) for f in cautions] == [("B152", "A2"), ("B152", "A3")]
    assert "M-10 in A3" in cautions[0].found


def test_25_duplicate_tag_names_both_cells(tmp_path: Path) -> None:
    drives = deepcopy(SOUND["Drives"])
    drives[1]["tag"] = "VFD-1"
    stops = [f for f in read(tmp_path, Drives=drives).findings if f.grade == "stop"]
    assert [(f.code, f.cell) for f in stops] == [("B150", "A2"), ("B150", "A3")]
    assert "A3" in stops[0].found
    assert "A2" in stops[1].found


def test_26_duplicate_except_case(tmp_path: Path) -> None:
    drives = deepcopy(SOUND["Drives"])
    drives[1]["tag"] = "vfd-1"
    assert [f.code for f in read(tmp_path, Drives=drives).findings if f.grade == "stop"] == ["B151", "B151"]


def test_17_duplicates_are_judged_after_removal(tmp_path: Path) -> None:
    drives = deepcopy(SOUND["Drives"])
    drives[1]["tag"] = "VFD\u200b-1"
    assert [f.code for f in read(tmp_path, Drives=drives).findings if f.grade == "stop"] == ["B150", "B150"]


def test_27_duplicate_row_key(tmp_path: Path) -> None:
    drives = deepcopy(SOUND["Drives"])
    drives[0]["row_key"] = drives[1]["row_key"] = "k1"
    inventory = read(tmp_path, Drives=drives)
    assert [(f.code, f.grade) for f in inventory.findings if f.code == "B153"] == [("B153", "caution")]
    assert inventory.drives[0].origin.key == "k1" != inventory.drives[1].origin.key


def motors_part(path: Path) -> str:
    with zipfile.ZipFile(path) as archive:
        return sheet_parts(archive.read)["Motors"]


def set_cell_xml(path: Path, cell: bytes, xml: bytes) -> Path:
    """Exchange one cell of the Motors sheet."""
    pattern = re.compile(b'<c r="' + cell + b'"[^>]*?(/>|>.*?</c>)')

    def change(content: bytes) -> bytes:
        changed, count = pattern.subn(xml, content, count=1)
        assert count == 1
        return changed

    return edit_part(path, motors_part(path), change)


FORMULAS = [
    ("49 cached result", b'<c r="B2"><f>5+6</f><v>11</v></c>', "11 kW", ("note", "B161")),
    ("50 no result", b'<c r="B2"><f>5+6</f></c>', "None", ("stop", "B160")),
    ("51 empty result in optional cell", b'<c r="H2" t="str"><f>A9</f><v></v></c>', "15 hp", ("note", "B115")),
    ("52 error result", b'<c r="B2" t="e"><f>A9/0</f><v>#DIV/0!</v></c>', "None", ("stop", "B162")),
    ("54 tag became a formula", b'<c r="B2" t="e"><f>PUMP1</f><v>#NAME?</v></c>', "None", ("stop", "B164")),
    ("55 external link", b'<c r="B2"><f>[1]Other!$A$1</f><v>11</v></c>', "11 kW", ("caution", "B163")),
]  # fmt: skip


@pytest.mark.parametrize(("xml", "power", "expected"), [f[1:] for f in FORMULAS], ids=[f[0] for f in FORMULAS])
def test_formulas(tmp_path: Path, xml: bytes, power: str, expected: tuple[str, str]) -> None:
    path = write(tmp_path / "inventory.xlsx")
    set_cell_xml(path, xml[6 : xml.index(b'"', 6)], xml)
    inventory = read_workbook(path)
    assert str(inventory.motors[0].power) == power
    assert expected in [(str(f.grade), f.code) for f in inventory.findings]


def test_60_reading_after_the_issue_date(tmp_path: Path) -> None:
    site = [{**SOUND["Site"][0], "issue_date": "2026-03-14"}]
    rows = [{"drive": "VFD-1", "test": "E3", "value": "5", "date": "2027-01-01"}]
    found = [f for f in read(tmp_path, Site=site, Readings=rows).findings if f.code == "B206"]
    assert [(f.grade, f.sheet, f.cell) for f in found] == [("note", "Readings", "G2")]


def test_75_nearest_is_offered_not_taken(tmp_path: Path) -> None:
    inventory = read(tmp_path, Drives=with_drive(model="Exampel 7"))
    stop = next(f for f in inventory.findings if f.grade == "stop")
    assert "Is Example 7 meant?" in stop.remedy
    assert inventory.drives[0].model == "Exampel 7"


def test_81_far_formats_are_told_with_the_cell(tmp_path: Path) -> None:
    path = spoil(
        write(tmp_path / "inventory.xlsx"),
        lambda book: setattr(book["Drives"]["A90000"], "fill", PatternFill("solid", fgColor="FF0000")),
    )
    note = next(f for f in read_workbook(path).findings if f.code == "B182")
    assert (note.sheet, note.cell) == ("Drives", "A90000")
    assert "Select the rows 4 to 90000" in note.remedy


def test_83_locked_workbook_is_read_and_told(tmp_path: Path) -> None:
    path = write(tmp_path / "inventory.xlsx")
    (tmp_path / ".~lock.inventory.xlsx#").write_text("A. Example,aex,laptop,14.03.2026 10:00,file:///x;", "utf-8")
    note = next(f for f in read_workbook(path).findings if f.code == "B199")
    assert "A. Example on laptop" in note.found


def test_84_saved_meanwhile(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write(tmp_path / "inventory.xlsx")
    real = reader.check_values

    def slow(inventory: Any) -> Any:
        path.write_bytes(path.read_bytes() + b"x")
        return real(inventory)

    monkeypatch.setattr(reader, "check_values", slow)
    assert "B189" in [f.code for f in read_workbook(path).findings]


def test_equal_faults_of_a_column_are_told_once(tmp_path: Path) -> None:
    motors = [{**SOUND["Motors"][0], "tag": f"M-{n}", "power": dt.datetime(2026, 1, n)} for n in range(1, 9)]
    stops = [f for f in read(tmp_path, Motors=motors).findings if f.code == "B108"]
    assert [(f.cell, f.tag) for f in stops] == [("B2:B9", "")]
    assert "8 cells, for example the date 2026-01-01 in B2" in stops[0].found
