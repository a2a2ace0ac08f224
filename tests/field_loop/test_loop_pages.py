"""Pages that close the loop: trace, open items, defeats, exceptions, trend."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from demo_copy import DEMO
from docutils import nodes

from binder.documents.nodes import Cell, Row, caution_box, data_table, drawing, sign_off
from binder.documents.packet_field import open_section, signoff_section
from binder.documents.packet_tests import tests_section as sheets_of
from binder.documents.trace_pages import site_trace_section, trace_section
from binder.inventory.reader import read_workbook
from binder.reissue.gather import facts_of
from binder.study import DriveStudy, SiteStudy, study_site

COMPLETE, FAILED, BLANK = "VFD-201", "VFD-202", "VFD-301"


@pytest.fixture(scope="module")
def study() -> SiteStudy:
    return study_site(read_workbook(DEMO / "inventory.xlsx"))


def drive(study: SiteStudy, tag: str) -> DriveStudy:
    return next(d for d in study.drives if d.drive.tag == tag)


def rows(node: nodes.Node, table_id: str = "") -> Iterator[Row]:
    for table in node.findall(data_table):
        if not table_id or table_id in table["ids"]:
            yield from table["rows"]


def texts(row: Row) -> list[str]:
    return [c if isinstance(c, str) else c.mark or c.text for c in row.cells]


@pytest.mark.parametrize(
    ("tag", "results"),
    [(COMPLETE, {"pass"}), (FAILED, {"open"}), (BLANK, {"open"})],
    ids=["complete", "failed", "blank"],
)
def test_each_requirement_has_its_lines_and_result(study: SiteStudy, tag: str, results: set[str]) -> None:
    made = trace_section(drive(study, tag))
    settings = [r for r in rows(made) if r.key.startswith("setting ")]
    changed = [r for r in drive(study, tag).field.trace if r.kind == "setting"]
    assert len(settings) == len(changed) > 10
    assert {texts(r)[2] for r in settings} == results
    assert all(texts(r)[1] for r in settings)
    [wires] = [texts(r) for r in rows(made) if r.key == "wires"]
    count = sum(t.kind == "wire" for t in drive(study, tag).field.trace)
    assert wires == [f"{count} wires, each on sheet P", "its own line", f"{count} {min(results)}"]


def test_handover_sums_the_trace_up(study: SiteStudy) -> None:
    made = site_trace_section(study, {COMPLETE: "X-1"})
    by_key = {r.key: r for r in rows(made)}
    assert len(by_key) > 2 * len(study.drives)
    name = by_key[f"{COMPLETE} setting"].cells[0]
    assert isinstance(name, Cell)
    assert (name.document, name.anchor) == ("X-1", "trace")
    for d in study.drives:
        of_drive = [texts(r) for key, r in by_key.items() if key.startswith(f"{d.drive.tag} ")]
        assert sum(int(n or 0) for row in of_drive for n in row[2:6]) == len(d.field.trace)


def test_failing_line_is_a_punch_item_with_owner_and_day(study: SiteStudy) -> None:
    made = open_section(drive(study, FAILED).field)
    items = {r.key: texts(r) for r in rows(made, "punch")}
    number = f"{FAILED}:R2.C"
    assert items[number][2:5] == ["A", "J. Pell", "2026-06-05"]
    assert "limit" in items[number][1]
    defeats = [texts(r) for r in rows(made, "defeat")]
    assert defeats[0][2:] == ["2026-04-21 J. Pell", ""]
    assert sum(not any(row) for row in defeats) >= 4, "room for those to come"


def test_tests_to_come_stand_on_the_defeat_list_until_they_are_done(study: SiteStudy) -> None:
    def planned(tag: str) -> list[str]:
        return [r.key.removeprefix("planned ") for r in rows(open_section(drive(study, tag).field), "defeat")
                if r.key.startswith("planned ")]  # fmt: skip

    assert {"T2", "L1.auto-LOOP", "L1.hand-POT"} <= set(planned(BLANK))
    assert planned(COMPLETE) == []


def test_accepted_only_with_the_exception_named(study: SiteStudy) -> None:
    complete = drive(study, COMPLETE)
    assert all(g.earned for g in complete.field.gates)
    made = signoff_section(complete.field.gates)
    [box] = [b for b in made.findall(caution_box) if b["title"] == "Only with exceptions"]
    assert "not done" in box.astext()
    last = list(made.findall(sign_off))[-1]
    assert (last["title"], last["statement"]) == ("Accepted", "Signed with the exceptions named above.")
    key = next(
        k for k in facts_of(study) if k[1:] == ("gate", "accepted", "state") and k[0] == complete.drive.origin.key
    )
    assert facts_of(study)[key].value.startswith("may be signed, except: C7 ")


def test_insulation_trend_between_visits(study: SiteStudy) -> None:
    trends = {
        tag: [d for d in sheets_of(drive(study, tag)).findall(drawing) if d["ids"] == ["plot-insulation"]]
        for tag in (COMPLETE, BLANK)
    }
    [plot] = trends[COMPLETE]
    assert "limit, 5 MΩ" in plot["alt"]
    assert plot["title"] == "Winding insulation at 40 °C, 2026-03-04 to 2026-04-20"
    assert not trends[BLANK]
