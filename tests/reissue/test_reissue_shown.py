"""Whatever a cell changes on a sheet gives that document a new letter: page and issued PDF cannot disagree.

Every column of the workbook is changed in one row, and every document is written out before and after.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from docutils import nodes

from binder.documents import nodes as own
from binder.errors import BinderError
from binder.inventory.canonical import as_printed
from binder.inventory.columns import SHEETS
from binder.inventory.declarations import Column, Sheet
from binder.inventory.quantities import Measure
from binder.inventory.reader import read_workbook
from binder.inventory.records import Inventory
from binder.reissue.compare import compare
from binder.reissue.current import issued_binder
from binder.reissue.plan import Imprint, freeze
from binder.reissue.record import IssueRecord
from binder.study import SiteStudy, study_site

WORKBOOK = Path(__file__).parents[2] / "demo_site" / "inventory.xlsx"
KEPT = ("VFD-201", "VFD-501")
A, B = (Imprint(letter, "2026-05-18", "A. Ferrow", "test") for letter in "AB")
ON_EVERY_SHEET = ("name", "owner", "contractor", "job_number", "paper")


@cache
def inventory() -> Inventory:
    whole = as_printed(read_workbook(WORKBOOK))
    return replace(whole, drives=tuple(d for d in whole.drives if d.tag in KEPT))


@cache
def first() -> tuple[IssueRecord, dict[str, list[str]]]:
    """Revision A and what its documents say."""
    study = study_site(inventory())
    record = freeze(study, imprint=A)
    return record, said(study, record)


def said(study: SiteStudy, record: IssueRecord) -> dict[str, list[str]]:
    """Every word of every document, with title block and drawings; revision marks left out."""
    binder = issued_binder(study, (), (replace(record, revision="A"),))
    found = {}
    for d in binder.documents:
        words = [str(getattr(binder.site, name)) for name in ON_EVERY_SHEET] + [d.number, d.title]
        found[d.key] = words + [w for section in binder.body(d) for w in leaves(section)]
    return found


def leaves(section: nodes.Node) -> Iterator[str]:
    for node in section.findall():
        if isinstance(node, own.Leaf):
            yield from node.words()
            if isinstance(node, own.drawing):
                yield node["svg"]
        elif isinstance(node, nodes.Text):
            yield str(node)


def other(value: Any, column: Column) -> Any:
    """Another legal value of the kind."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, Measure):
        return Measure(value.amount * Decimal("1.04"), value.unit)
    if isinstance(value, int | Decimal):
        return value + 2 if isinstance(value, int) else value * Decimal("0.97")
    if isinstance(value, dt.date):
        return value + dt.timedelta(days=1)
    if column.choices:
        return next((c for c in column.choices if c != value), value)
    return f"{value} x" if isinstance(value, str) else value


def changed(sheet: Sheet, column: Column) -> Inventory | None:
    """The inventory with this column changed in one row, one of the kept drives' where there is one."""
    held = getattr(inventory(), sheet.attribute)
    records = held if isinstance(held, tuple) else (held,)
    models = {d.model for d in inventory().drives}

    def far(record: Any) -> bool:
        about = f"{getattr(record, 'drive', '')} {getattr(record, 'tag', '')}"
        return getattr(record, "model", "") not in models and not any(tag[-3:] in about for tag in KEPT)

    filled = sorted((r for r in records if getattr(r, column.field) not in (None, "", ())), key=far)
    if not filled:
        return None
    chosen = filled[0]
    made = replace(chosen, **{column.field: other(getattr(chosen, column.field), column)})
    rows = tuple(made if r is chosen else r for r in records)
    return replace(inventory(), **{sheet.attribute: rows if isinstance(held, tuple) else made})


def unlettered(new: Inventory) -> set[str]:
    """Documents that say something else under their former letter."""
    record, before = first()
    study = study_site(new)
    second = freeze(study, imprint=B, former=record)
    lettered = {d.key for d in second.documents if d.revision == "B"}
    after = said(study, second)
    return {key for key in before if key in after and before[key] != after[key] and key not in lettered}


@pytest.mark.slow
@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
def test_what_a_cell_changes_on_a_sheet_takes_a_letter(sheet: Sheet) -> None:
    found = {}
    for column in sheet.columns:
        new = changed(sheet, column)
        try:
            gaps = unlettered(new) if new is not None else set()
        except BinderError:
            continue  # no such site can be worked out
        if gaps:
            found[column.field] = gaps
    assert found == {}


@pytest.mark.parametrize("field", ON_EVERY_SHEET)
def test_what_every_sheet_prints_of_the_site_gives_all_a_letter(field: str) -> None:
    site = inventory().site
    value = "A4" if field == "paper" else f"{getattr(site, field)} and sons"
    second = freeze(
        study_site(replace(inventory(), site=replace(site, **{field: value}))), imprint=B, former=first()[0]
    )
    assert {d.revision for d in second.documents} == {"B"}
    (change,) = compare(first()[0], second)
    assert change.consequence.documents == ("every document",)
    assert not change.consequence.signatures


def test_other_words_of_the_same_tool_are_told_and_void_nothing() -> None:
    settings = inventory().settings
    row = next(s for s in settings if s.number == "S-309" and s.model in {d.model for d in inventory().drives})
    new = replace(inventory(), settings=tuple(replace(s, name="Rise") if s is row else s for s in settings))
    second = freeze(study_site(new), imprint=B, former=first()[0])
    reworded = [c for c in compare(first()[0], second) if c.kind == "reworded"]
    assert [c.words for c in reworded] == [
        "setting acceleration time default: S-309 Up slope: left at 10.0 s -> S-309 Rise: left at 10.0 s"
    ]
    assert not any(c.consequence.signatures or c.consequence.tests for c in compare(first()[0], second))


def test_other_words_of_another_version_are_no_change() -> None:
    record = replace(first()[0], software="0.0.1")
    worded = replace(
        record,
        facts={k: replace(f, show=f"so called {f.show}") for k, f in record.facts.items()},
        documents=tuple(replace(d, look="other") for d in record.documents),
    )
    second = freeze(study_site(inventory()), imprint=B, former=worded)
    assert not [d for d in second.documents if d.revision == "B"]
    assert compare(worded, second) == ()
