"""The blank workbook: what it holds, and that it comes back unharmed from a spreadsheet program."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest
from openpyxl import load_workbook
from workbooks import SOUND, read, write

from binder.inventory.blank import PREPARED_ROWS, write_blank, write_workbook
from binder.inventory.columns import KEY_HEADER, SCHEMA_VERSION, SHEETS
from binder.inventory.reader import read_workbook
from binder.inventory.results import FieldChange, set_fields, write_row_keys


@pytest.fixture(scope="module")
def blank(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("blank") / "inventory.xlsx"
    write_blank(path)
    return path


def test_same_bytes_every_time(blank: Path, tmp_path: Path) -> None:
    again = tmp_path / "again.xlsx"
    write_blank(again)
    assert again.read_bytes() == blank.read_bytes()


def test_only_the_required_lines_of_the_site_are_missing(blank: Path) -> None:
    found = read_workbook(blank).findings
    assert [(f.code, f.sheet, f.tag) for f in found] == [
        ("B120", "Site", "Site name"), ("B120", "Site", "Document prefix"), ("B120", "Site", "Code basis"),
        ("B186", "Drives", ""),
    ]  # fmt: skip


def test_no_drive_is_told_unless_a_row_could_not_be_read(tmp_path: Path) -> None:
    told = [
        [f.code for f in read(tmp_path, Drives=rows).findings if f.sheet == "Drives"]
        for rows in ([], [{"feeds": "a fan"}])
    ]
    assert told == [["B186"], ["B155"]]


def test_sheets_headings_help_and_formats(blank: Path) -> None:
    book = load_workbook(blank)
    assert book.sheetnames == ["Read me", *(s.name for s in SHEETS), "Lists", "_schema"]
    assert book["_schema"].sheet_state == "hidden"
    assert book.defined_names["schema_version"].attr_text == str(SCHEMA_VERSION)
    for sheet in (s for s in SHEETS if not s.vertical):
        ws = book[sheet.name]
        heads = [c.value for c in ws[1]]
        assert heads == [c.header + (" *" if c.required else "") for c in sheet.columns] + [KEY_HEADER]
        assert all(cell.comment for cell in list(ws[1])[:-1])
        assert ws.freeze_panes == "B2"
        assert next(iter(ws.tables.values())).ref.endswith(str(PREPARED_ROWS + 1))
    assert book["Settings"].column_dimensions["B"].number_format == "@"
    assert book["Motors"].column_dimensions["B"].number_format == "General"


def test_no_formula_in_any_cell(blank: Path) -> None:
    book = load_workbook(blank)
    assert not [c for ws in book for row in ws.iter_rows() for c in row if c.data_type == "f"]


def test_example_rows_are_passed_over_until_changed(blank: Path, tmp_path: Path) -> None:
    assert read_workbook(blank).motors == ()
    book = load_workbook(blank)
    book["Motors"]["E2"] = "20 A"
    book.save(tmp_path / "changed.xlsx")
    assert [m.tag for m in read_workbook(tmp_path / "changed.xlsx").motors] == ["M-101"]


def test_example_values_left_in_a_typed_row_are_told(blank: Path, tmp_path: Path) -> None:
    book, path = load_workbook(blank), tmp_path / "typed.xlsx"
    motors = book["Motors"]
    motors["A2"] = "M-1"
    book.save(path)
    (told,) = [f for f in read_workbook(path).findings if f.code == "B159"]
    assert (told.grade, told.sheet, told.tag) == ("caution", "Motors", "M-1")
    assert told.cell == "B2, C2, E2, F2, G2, H2, I2, J2"
    assert "Rated current [A] 18.5 A" in told.found and "Power factor 0.85" in told.found and "M-1" not in told.found
    key = next(c.coordinate for c in motors[2] if c.value == "example")
    assert f"delete the word example in {key}" in told.remedy
    motors[key] = None
    book.save(path)
    assert "B159" not in {f.code for f in read_workbook(path).findings}


def test_example_values_are_told_after_keys_are_written(blank: Path, tmp_path: Path) -> None:
    """The row keeps its key, with the word and without it."""
    book, path = load_workbook(blank), tmp_path / "typed.xlsx"
    book["Motors"]["A2"] = "M-1"
    book.save(path)
    (before,) = read_workbook(path).motors
    assert write_row_keys(path) == 1
    assert write_row_keys(path) == 0
    inventory = read_workbook(path)
    assert "B159" in {f.code for f in inventory.findings}
    assert inventory.motors == (before,)
    set_fields(path, [FieldChange("Motors", before.origin.key, f, None) for f in ("current", "power_factor")])
    (told,) = [f for f in read_workbook(path).findings if f.code == "B159"]
    assert "Rated current" not in told.found and "Power factor" not in told.found
    book = load_workbook(path)
    key = next(c for c in book["Motors"][2] if c.value == f"example {before.origin.key}")
    key.value = before.origin.key
    book.save(path)
    inventory = read_workbook(path)
    assert [m.origin.key for m in inventory.motors] == [before.origin.key]
    assert "B159" not in {f.code for f in inventory.findings}


def test_examples_are_legal(tmp_path: Path) -> None:
    whole = [s for s in SHEETS if s.column(s.key).example]
    rows = {s.name: [{c.field: c.example for c in s.columns if c.example}] for s in whole}
    path = tmp_path / "inventory.xlsx"
    write_workbook(path, rows)
    found = [f for f in read_workbook(path).findings if f.code not in {"B115", "B120", "B214"}]
    # The example drive names a motor, panel and model that the other examples define.
    assert [(f.code, f.sheet, f.found) for f in found] == []


def test_unknown_sheet_or_field_is_a_wrong_call(tmp_path: Path) -> None:
    with pytest.raises(KeyError, match="Nowhere"):
        write_workbook(tmp_path / "x.xlsx", {"Nowhere": []})
    with pytest.raises(KeyError, match="colour"):
        write_workbook(tmp_path / "x.xlsx", {"Drives": [{"colour": "red"}]})


def office() -> str | None:
    return shutil.which("soffice") or shutil.which("libreoffice")


@pytest.mark.slow
@pytest.mark.skipif(office() is None, reason="no spreadsheet program on this machine")
def test_round_trip_through_a_spreadsheet_program(blank: Path, tmp_path: Path) -> None:
    program = office()
    assert program is not None
    command = [program, "--headless", f"-env:UserInstallation=file://{tmp_path}/profile", "--convert-to", "xlsx",
               "--outdir", str(tmp_path / "out")]  # fmt: skip
    subprocess.run([*command, str(blank)], check=True, capture_output=True, timeout=120)
    path = tmp_path / "out" / blank.name
    book = load_workbook(path)
    for sheet_name, rows in SOUND.items():
        sheet = next(s for s in SHEETS if s.name == sheet_name)
        ws = book[sheet_name]
        for row_number, row in enumerate(rows, start=2):
            for index, column in enumerate(sheet.columns, start=1):
                cell = ws.cell(index + 1, 2) if sheet.vertical else ws.cell(row_number, index)
                cell.value = row.get(column.field)
            if not sheet.vertical:
                ws.cell(row_number, len(sheet.columns) + 1).value = None
    book.save(path)
    read, expected = read_workbook(path), read_workbook(write(tmp_path / "expected.xlsx"))
    assert [f for f in read.findings if f.code != "B115"] == []
    assert read.drives == expected.drives
    assert read.motors == expected.motors
    assert book["Drives"].data_validations.dataValidation
    assert {c.header for c in SHEETS[3].columns} <= {str(c.value).removesuffix(" *") for c in book["Drives"][1]}
