"""The declared table of sheets and columns against the records it fills."""

from __future__ import annotations

import dataclasses

import pytest

from binder.inventory.columns import SHEETS, Sheet, sheet_named
from binder.inventory.columns_models import SETTING_FUNCTIONS
from binder.inventory.records import Inventory
from binder.settings.functions import FUNCTIONS

EACH = pytest.mark.parametrize("sheet", SHEETS, ids=[s.name for s in SHEETS])


@EACH
def test_every_record_field_has_one_column(sheet: Sheet) -> None:
    fields = {f.name for f in dataclasses.fields(sheet.record)} - {"origin"}
    columns = [c.field for c in sheet.columns]
    assert sorted(columns) == sorted(fields)
    assert sheet.key in columns


@EACH
def test_no_header_or_alias_means_two_columns(sheet: Sheet) -> None:
    names = [n.casefold() for c in sheet.columns for n in (c.title, *c.aliases)]
    assert len(names) == len(set(names))


@EACH
def test_references_name_a_sheet(sheet: Sheet) -> None:
    for column in sheet.columns:
        assert bool(column.target) == column.kind.startswith("reference")
        if column.target:
            sheet_named(column.target)
        assert not column.choices or column.kind in {"choice", "word"}
        assert column.help


def test_every_part_of_the_inventory_has_a_sheet() -> None:
    parts = {f.name for f in dataclasses.fields(Inventory)} - {"findings", "workbook_digest"}
    assert {s.attribute for s in SHEETS} == parts


def test_setting_functions_are_those_of_the_settings_room() -> None:
    assert set(SETTING_FUNCTIONS) == set(FUNCTIONS)
