"""Drive models are taken over from another project's workbook, whole, and nothing else changes."""

from __future__ import annotations

import shutil
import zipfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook
from workbooks import SOUND, spoil, write

from binder.errors import OutputError
from binder.inventory.model_maps import MAP_SHEETS, import_models
from binder.inventory.parts import sheet_parts
from binder.inventory.reader import read_workbook
from binder.inventory.records import Inventory, Origin

SETTING = {"model": "North 11", "number": "02.05", "name": "Ramp up", "function": "acceleration_time", "unit": "s"}
OTHER: dict[str, list[dict[str, Any]]] = {
    "Site": [{"name": "Other plant", "document_prefix": "J9", "code_basis": "IEC", "decimal_mark": ","}],
    "Models": [
        *SOUND["Models"],
        {"model": "North 11", "min_voltage": 380, "max_voltage": 500, "wait_time": "300 s", "losses": "0,75 kW"},
        {"model": "North 15", "min_voltage": 380, "max_voltage": 500, "wait_time": "5 min", "same_as": "North 11"},
        {"model": "South 1", "min_voltage": 380, "max_voltage": 500, "wait_time": "5 min"},
    ],
    "Derating": [{"model": "North 11", "carrier": "8 kHz", "factor": "80 %"}],
    "Terminals": [{"model": "North 11", "terminal": "012", "label": "DI1", "role": "DI", "strip_order": 3}],
    "Settings": [
        {**SETTING, "resolution": "0,1", "minimum": 0, "while_running": "yes", "default": "10.0"},
        {**SETTING, "number": "02.06", "function": "stop_mode", "choices": "0 = coast; 1 = ramp"},
        {**SETTING, "model": "South 1", "number": "7", "resolution": "a tenth"},
    ],
    "Fault codes": [{"model": "North 11", "code": "007", "meaning": "earth fault", "words": "Leak", "page": "61"}],
}  # fmt: skip


@pytest.fixture
def here(tmp_path: Path) -> Path:
    return write(tmp_path / "inventory.xlsx")


@pytest.fixture
def there(tmp_path: Path) -> Path:
    (tmp_path / "other").mkdir()
    return write(tmp_path / "other" / "inventory.xlsx", OTHER)


def maps(inventory: Inventory, model: str) -> list[list[Any]]:
    """All rows of a model, wherever they stand."""
    found = []
    for name in ("models", "derating_points", "terminals", "settings", "fault_codes"):
        rows = [r for r in getattr(inventory, name) if r.model == model]
        found.append([replace(r, origin=Origin("", 0, "")) for r in rows])
    return found


def parts(path: Path) -> tuple[dict[str, bytes], dict[str, str]]:
    with zipfile.ZipFile(path) as archive:
        return {n: archive.read(n) for n in archive.namelist()}, sheet_parts(archive.read)


def test_a_model_comes_with_all_its_rows_and_the_model_it_shares_with(here: Path, there: Path) -> None:
    before, names = parts(here)
    taken = import_models(here, there, ["North 15"])
    assert taken.models == ("North 11", "North 15")
    assert taken.findings == ()
    assert dict(taken.rows) == {"Models": 2, "Derating": 1, "Terminals": 1, "Settings": 2, "Fault codes": 1}
    mine, other = read_workbook(here), read_workbook(there)
    for model in taken.models:
        assert maps(mine, model) == maps(other, model)
    assert [f for f in mine.findings if f.grade == "stop"] == []
    assert [m.model for m in mine.models] == ["Example 7", "North 11", "North 15"]
    after, _ = parts(here)
    changed = {n for n in after if after[n] != before.get(n)}
    assert {n for s, n in names.items() if n in changed} == {names[s] for s in MAP_SHEETS}
    assert here.with_name("inventory.xlsx.bak").exists()


def test_a_model_that_is_here_is_a_finding_and_left_alone(here: Path, there: Path) -> None:
    kept = here.read_bytes()
    taken = import_models(here, there, ["Example 7"])
    assert taken.models == ()
    assert [(f.code, f.sheet, f.cell, f.tag) for f in taken.findings] == [("B215", "Models", "A2", "Example 7")]
    assert here.read_bytes() == kept


def test_a_second_import_adds_nothing(here: Path, there: Path) -> None:
    import_models(here, there, ["North 11"])
    kept = here.read_bytes()
    assert [f.code for f in import_models(here, there, ["North 11"]).findings] == ["B215"]
    assert here.read_bytes() == kept


def test_a_model_with_a_row_that_cannot_be_read_is_not_taken(here: Path, there: Path) -> None:
    taken = import_models(here, there)
    assert taken.models == ("North 11", "North 15")
    assert sorted((f.code, f.sheet, f.tag) for f in taken.findings) == [
        ("B100", "Settings", "South 1"),
        ("B215", "Models", "Example 7"),
    ]


def test_an_unknown_model_names_the_nearest(here: Path, there: Path) -> None:
    with pytest.raises(OutputError, match="no model North 12") as refused:
        import_models(here, there, ["North 12"])
    assert "North 1" in refused.value.remedy


def test_an_older_workbook_is_told_to_be_upgraded(here: Path, there: Path) -> None:
    def older(book: Workbook) -> None:
        del book["Derating"]

    kept = spoil(here, older).read_bytes()
    with pytest.raises(OutputError, match="lacks the sheet Derating") as refused:
        import_models(here, there, ["North 11"])
    assert "binder upgrade" in refused.value.remedy
    assert here.read_bytes() == kept


def test_a_file_that_is_no_workbook_is_said(here: Path, tmp_path: Path) -> None:
    other = tmp_path / "notes.xlsx"
    shutil.copy(__file__, other)
    with pytest.raises(OutputError, match="cannot be read"):
        import_models(here, other)
