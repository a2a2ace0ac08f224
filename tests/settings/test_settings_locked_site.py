"""A drive model whose lock nobody can open: a stop, and everything else is still worked out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from binder.documents.contents import document_set
from binder.inventory.reader import read_workbook
from binder.inventory.records import Inventory
from binder.study import study_site

DEMO = Path(__file__).parents[2] / "demo_site" / "inventory.xlsx"


@pytest.fixture(scope="module")
def demo() -> Inventory:
    return read_workbook(DEMO)


def test_unknown_code_is_a_stop_and_the_rest_is_built(demo: Inventory) -> None:
    locked = sorted({s.model for s in demo.settings if s.opened_with})
    assert locked
    settings = tuple(replace(s, opened_with="") for s in demo.settings)
    usual, study = study_site(demo), study_site(replace(demo, settings=settings))
    stops = [f for f in study.findings if f.code == "S103"]
    assert {str(f.grade) for f in stops} == {"stop"}
    assert all(f.sheet == "Settings" and f.cell and f.tag for f in stops)
    assert not [f for f in usual.findings if f.code == "S103"]
    for before, after in zip(usual.drives, study.drives, strict=True):
        required = {r.number: r.required for r in (*before.settings.rows, *before.settings.untouched)}
        assert {r.number: r.required for r in after.settings.rows if not r.passing}.items() <= required.items()
        assert after.figures.keys() == before.figures.keys()
        assert len(after.wiring.terminals) == len(before.wiring.terminals)
        assert after.field.gates
    assert [d.kind for d in document_set(study)] == [d.kind for d in document_set(usual)]
