"""A workbook of every layout version stays in the tests and must go on being read."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import Workbook
from workbooks import spoil, write

from binder.inventory.columns import SCHEMA_VERSION
from binder.inventory.reader import read_workbook

HERE = Path(__file__).parent


@pytest.mark.parametrize("version", range(1, SCHEMA_VERSION + 1))
def test_workbook_of_this_layout_is_read_without_stop(version: int) -> None:
    inventory = read_workbook(HERE / f"layout_{version}.xlsx")
    assert [f for f in inventory.findings if f.grade == "stop"] == []
    assert [d.tag for d in inventory.drives] == ["VFD-1", "VFD-2"]
    assert [str(m.power) for m in inventory.motors] == ["15 hp", "7.5 kW"]


def newer(book: Workbook) -> None:
    book["_schema"]["B1"] = SCHEMA_VERSION + 1


def test_newer_layout_is_a_stop_and_the_rest_is_read(tmp_path: Path) -> None:
    inventory = read_workbook(spoil(write(tmp_path / "inventory.xlsx"), newer))
    assert "B183" in [f.code for f in inventory.findings if f.grade == "stop"]
    assert len(inventory.drives) == 2
