"""No finding speaks in names of the program: headings of the sheet and words of the trade only."""

from __future__ import annotations

import dataclasses
import random
import re
from decimal import Decimal
from typing import Any

import pytest

from binder.inventory.columns import SHEETS
from binder.inventory.declarations import Column
from binder.inventory.findings import Finding
from binder.inventory.quantities import Measure
from binder.inventory.records import Inventory
from binder.study import SiteStudy, study_site

#: An identifier, or a figure's key such as 'line.protection'.
KEYS = re.compile(r"[a-z0-9]+_[a-z0-9_]+|\b(?:motor|rating|bus|line|drop|harmonics|site|ramp|test)\.[a-z]")
HEADINGS = {(s.name, c.header) for s in SHEETS for c in s.columns}
#: Parts that are printed as a person reads them. `found` may quote a cell; no cell of the demo holds an identifier.
PARTS = ("found", "accepted", "remedy", "column", "waived")


def raw(findings: tuple[Finding, ...]) -> list[str]:
    return sorted({f"{f.code} {part}: {getattr(f, part)}" for f in findings for part in PARTS
                   if KEYS.search(getattr(f, part))})  # fmt: skip


def without_heading(findings: tuple[Finding, ...]) -> list[tuple[str, str, str, str]]:
    names = {s.name for s in SHEETS}
    return [
        (f.code, f.sheet, f.cell, f.column)
        for f in findings
        if f.sheet in names and re.fullmatch("[A-Z]+[0-9]+", f.cell) and f.column
        and (f.sheet, f.column) not in HEADINGS
    ]  # fmt: skip


def test_the_demo_speaks_in_headings(demo_study: SiteStudy) -> None:
    assert raw(demo_study.findings) == []
    assert without_heading(demo_study.findings) == []
    bare = {f.code for f in demo_study.findings if f.cell and not f.column}
    assert bare <= {"B115", "B161", "B178", "B182"}, "these stand for a whole sheet"


def spoiled(inventory: Inventory, seed: int) -> Inventory:
    """The demo with cells cleared, numbers ten times too large or small, other choices, rows gone."""
    pick = random.Random(seed)
    changes: dict[str, Any] = {}
    for sheet in SHEETS:
        if not sheet.vertical and pick.random() < 0.8:
            rows = [r for r in getattr(inventory, sheet.attribute) if pick.random() < 0.97]
            slipped = [dict(_slips(r, sheet.columns, pick)) if pick.random() < 0.6 else {} for r in rows]
            changes[sheet.attribute] = tuple(dataclasses.replace(r, **s) for r, s in zip(rows, slipped, strict=True))
    return dataclasses.replace(inventory, **changes)


def _slips(record: Any, columns: tuple[Column, ...], pick: random.Random) -> list[tuple[str, Any]]:
    blank = {f.name: f.default for f in dataclasses.fields(record) if f.default is not dataclasses.MISSING}
    slips: list[tuple[str, Any]] = []
    for column in columns:
        value, chance = getattr(record, column.field), pick.random()
        if column.field in ("tag", "model", "drive") or chance > 0.2:
            continue
        if chance < 0.1 and column.field in blank:
            slips.append((column.field, blank[column.field]))
        elif isinstance(value, Measure):
            slips.append((column.field, Measure(value.amount * Decimal(pick.choice(("10", "0.1"))), value.unit)))
        elif isinstance(value, bool):
            slips.append((column.field, not value))
        elif column.kind == "choice" and value:
            slips.append((column.field, pick.choice(column.choices)))
        elif column.kind in ("code", "setting number", "display", "remark") and value:
            slips.append((column.field, "ZZ 99"))
    return slips


@pytest.fixture(scope="module")
def bad(demo: Inventory) -> tuple[Finding, ...]:
    """Findings of a plant whose workbook is wrong all over."""
    return tuple(f for seed in range(3) for f in study_site(spoiled(demo, seed)).findings)


def test_a_bad_workbook_speaks_in_headings(bad: tuple[Finding, ...]) -> None:
    assert len({f.code for f in bad}) >= 60
    assert raw(bad) == []
    assert without_heading(bad) == []


def test_a_blank_cell_is_asked_for_in_its_own_terms(bad: tuple[Finding, ...]) -> None:
    """Words are not asked for 'with their unit', and a choice names its choices."""
    by_heading = {f.column: f for f in bad if f.code == "E100"}
    assert len(by_heading) >= 20
    for heading, finding in by_heading.items():
        sheet = next(s for s in SHEETS if s.name == finding.sheet)
        column = next(c for c in sheet.columns if c.header == heading)
        if column.kind == "choice" and not finding.accepted.startswith("a row of"):
            assert "unit" not in finding.accepted
            named = set(finding.accepted.split(", "))
            assert named == {"one of the Lists sheet"} or named <= set(column.choices)
        assert finding.remedy.startswith(("Fill or correct the cell.", "Add ", "Name a row"))
