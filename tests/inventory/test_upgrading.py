"""An older workbook is upgraded into a copy: what is there stays, what is missing comes with its checks."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook
from workbooks import spoil, write

from binder.errors import OutputError
from binder.inventory.columns import KEY_HEADER, SCHEMA_VERSION, SHEETS, sheet_named
from binder.inventory.reader import read_workbook
from binder.inventory.records import Inventory
from binder.inventory.upgrading import upgrade

LOST_SHEETS = ("Wires", "Networks", "Lists")
LOST_LINES = ("Decimal mark", "Owner")


def invented_older_layout(book: Workbook) -> None:
    """Fewer sheets, fewer columns, fewer Site lines, own columns, and no mark of its layout."""
    for name in LOST_SHEETS:
        del book[name]
    for name in [n for n in book.defined_names if n.startswith("list_") or n in {"tags_wires", "tags_networks"}]:
        del book.defined_names[name]
    site = book["Site"]
    for row in [r for r in range(site.max_row, 1, -1) if str(site.cell(r, 1).value).rstrip(" *") in LOST_LINES]:
        site.delete_rows(row)
    drives = book["Drives"]
    drives.tables.clear()
    drives.data_validations.dataValidation.clear()  # the library leaves them where they stood
    drives.delete_cols(6, 200)
    drives["F1"], drives["F2"], drives["H3"] = "Painted", "green", "a note without heading"
    book["_schema"]["B1"] = 0


@pytest.fixture(scope="module")
def older(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return spoil(write(tmp_path_factory.mktemp("older") / "inventory.xlsx"), invented_older_layout)


@pytest.fixture(scope="module")
def upgraded(older: Path) -> Path:
    upgrade(older, older.with_name("new.xlsx"))
    return older.with_name("new.xlsx")


def content(inventory: Inventory) -> list[object]:
    return [getattr(inventory, s.attribute) for s in SHEETS if s.name != "Site"]


def test_everything_missing_is_there_and_nothing_read_changed(older: Path, upgraded: Path) -> None:
    before, after = read_workbook(older), read_workbook(upgraded)
    assert content(after) == content(before)
    assert after.site.name == before.site.name
    asked = {(f.code, f.sheet, f.column) for f in after.findings if f.grade == "stop"}
    required = {c.header.split(" [")[0] for c in sheet_named("Drives").columns[5:] if c.required}
    assert asked == {("B120", "Drives", name) for name in required}  # only what no older workbook could say
    book = load_workbook(upgraded)
    assert set(LOST_SHEETS) <= set(book.sheetnames)
    assert [c.value for c in book["Wires"][1]][-1] == KEY_HEADER
    titles = {str(book["Site"].cell(r, 1).value).rstrip(" *") for r in range(1, book["Site"].max_row + 1)}
    assert set(LOST_LINES) <= titles
    assert book["_schema"]["B1"].value == SCHEMA_VERSION


def test_own_columns_and_cells_without_heading_stay(upgraded: Path) -> None:
    drives = load_workbook(upgraded)["Drives"]
    assert [drives["F1"].value, drives["F2"].value, drives["H3"].value] == [
        "Painted",
        "green",
        "a note without heading",
    ]
    assert drives["H1"].value is None  # the note's column gets no meaning
    assert drives["I1"].value == sheet_named("Drives").columns[5].header


def test_added_columns_have_entry_checks_and_help(upgraded: Path) -> None:
    book = load_workbook(upgraded)
    drives = book["Drives"]
    heads = {str(c.value).split(" [")[0].rstrip(" *"): c for c in drives[1] if c.value}
    duty = heads["Duty"]
    assert duty.comment is not None
    assert duty.font.color.rgb == drives["A1"].font.color.rgb
    assert sheet_named("Drives").column("duty").help in duty.comment.text
    letter = duty.column_letter
    check = next(v for v in drives.data_validations.dataValidation if f"{letter}2:{letter}2000" in str(v.sqref))
    name = book.defined_names[check.formula1].attr_text
    sheet, _, cells = name.replace("$", "").partition("!")
    assert {c.value for (c,) in book[sheet][cells]} == set(sheet_named("Drives").column("duty").choices)
    site = book["Site"]
    row = next(r for r in range(1, site.max_row + 1) if site.cell(r, 1).value == "Decimal mark")
    assert any(f"B{row}" in str(v.sqref).split() for v in site.data_validations.dataValidation)
    assert "tags_networks" in book.defined_names or len(sheet_named("Networks").unique) != 1


def test_added_columns_and_sheets_have_their_colours(upgraded: Path) -> None:
    """As in the blank workbook: a required cell that is blank, a name that stands twice."""
    book = load_workbook(upgraded)
    drives = book["Drives"]
    heads = {str(c.value).split(" [")[0].rstrip(" *"): c.column_letter for c in drives[1] if c.value}
    rules = {
        str(r.sqref): [(x.formula, x.dxf.fill.bgColor.rgb) for x in r.rules] for r in drives.conditional_formatting
    }
    missing = [c.title for c in sheet_named("Drives").columns[5:] if c.required]
    assert missing
    for title in missing:
        letter = heads[title]
        formula = f'AND(TRIM(${letter}2)="",COUNTA($A2:${letter}2)>0)'
        assert ([formula], "00FFE08A") in rules[f"{letter}2:{letter}2000"]
    wires = [x.formula[0] for r in book["Wires"].conditional_formatting for x in r.rules]
    assert len(wires) == sum(c.required for c in sheet_named("Wires").columns)


def test_what_is_typed_into_the_upgraded_copy_is_read(upgraded: Path, tmp_path: Path) -> None:
    def fill(book: Workbook) -> None:
        heads = {str(c.value).split(" [")[0].rstrip(" *"): c.column for c in book["Drives"][1] if c.value}
        book["Drives"].cell(2, heads["Duty"], "heavy")

    path = tmp_path / "filled.xlsx"
    path.write_bytes(upgraded.read_bytes())
    assert read_workbook(spoil(path, fill)).drives[0].duty == "heavy"


def test_a_sheet_without_headings_is_not_guessed_at(tmp_path: Path) -> None:
    def spoiled(book: Workbook) -> None:
        book["Wires"].tables.clear()
        book["Wires"].delete_rows(1)
        book["Wires"]["A3"] = "something"

    path = spoil(write(tmp_path / "inventory.xlsx"), spoiled)
    with pytest.raises(OutputError, match="Wires has cells but no row of known headings"):
        upgrade(path, tmp_path / "new.xlsx")
    assert not (tmp_path / "new.xlsx").exists()


def test_upgrade_adds_columns_at_the_right_and_keeps_unknown_ones(tmp_path: Path) -> None:
    def older(book: Workbook) -> None:
        ws = book["Motors"]
        ws.tables.clear()
        ws.delete_cols(8, 50)
        ws["H1"], ws["H2"] = "My colour", "blue"
        del book["_schema"]

    path = spoil(write(tmp_path / "inventory.xlsx"), older)
    out = tmp_path / "new.xlsx"
    added = upgrade(path, out)
    assert added[0] == "Motors: Power factor"
    assert f"Motors: {KEY_HEADER}" in added
    ws = load_workbook(out)["Motors"]
    assert [ws["H1"].value, ws["H2"].value, ws["I1"].value] == ["My colour", "blue", "Power factor"]
    assert read_workbook(out).motors == read_workbook(path).motors
    assert upgrade(out, tmp_path / "again.xlsx") == ()
    assert (tmp_path / "again.xlsx").read_bytes() == out.read_bytes()


def test_upgrade_widens_the_table(tmp_path: Path) -> None:
    def older(book: Workbook) -> None:
        ws = book["Wires"]
        ws.delete_cols(7, 5)
        table = ws.tables["T_Wires"]
        table.ref = "A1:F201"
        table.autoFilter.ref = "A1:F201"
        del table.tableColumns[6:]

    path = spoil(write(tmp_path / "inventory.xlsx"), older)
    out = tmp_path / "new.xlsx"
    assert upgrade(path, out) == ("Wires: Reason", f"Wires: {KEY_HEADER}")
    table = load_workbook(out)["Wires"].tables["T_Wires"]
    assert table.ref == "A1:H201"
    assert [c.name for c in table.tableColumns][-2:] == ["Reason", KEY_HEADER]


def test_upgrade_renews_choices_that_are_old(tmp_path: Path) -> None:
    """A workbook of today's columns with the choices of a former template; its own columns are right."""
    path = spoil(write(tmp_path / "inventory.xlsx"), lambda book: book["Lists"].delete_rows(6, 40))
    assert upgrade(path, tmp_path / "new.xlsx") == ("Lists: the choices of this layout",)
    lists = load_workbook(tmp_path / "new.xlsx")["Lists"]
    told = {c.value for row in lists.iter_rows() for c in row}
    assert set(sheet_named("Cables").column("insulation").choices) <= told
    assert upgrade(tmp_path / "new.xlsx", tmp_path / "again.xlsx") == ()
