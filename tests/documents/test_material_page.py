"""The cable schedule carries the wiring materials of the site; a long list of drives is counted."""

from __future__ import annotations

from pathlib import Path

import pytest
from docutils import nodes

from binder.documents.nodes import data_table
from binder.documents.schedules import _drives, cable_sections
from binder.reissue.current import study_of
from binder.wiring.materials import site_materials


@pytest.mark.parametrize(
    ("tags", "wired", "printed"),
    [
        (("A-1",), 1, "A-1"),
        (("A-1", "A-2"), 2, "all"),
        (("A-1", "A-2"), 9, "A-1, A-2"),
        (tuple(f"A-{n}" for n in range(7)), 9, "7 drives"),
    ],
)
def test_drives_are_named_while_they_are_few(tags: tuple[str, ...], wired: int, printed: str) -> None:
    assert _drives(tags, wired) == printed


def test_the_roll_up_is_printed_line_by_line() -> None:
    study = study_of(Path(__file__).parents[2] / "demo_site")
    page = nodes.compound("", *cable_sections(study))
    section = next(s for s in page.findall(nodes.section) if "materials" in s["ids"])
    (table,) = section.findall(data_table)
    expected = site_materials([(s.drive.tag, s.wiring) for s in study.drives])
    told = [r.cells[:4] for r in table["rows"]]
    one = {1: "piece"}
    assert told == [(m.item, m.detail, f"{m.quantity:g}", one.get(m.quantity, m.unit)) for m in expected]
    assert {(r.cells[2] == "1", r.cells[3]) for r in table["rows"]} >= {(True, "piece"), (False, "pieces")}
