"""Wire list, drawing and check sheet of every demo drive hold the same connections, told by the drawing's own text."""

from __future__ import annotations

from collections import defaultdict
from functools import cache
from pathlib import Path

import drawing_checks as checks
import pytest
from docutils import nodes

from binder.documents.assemble import assemble
from binder.documents.nodes import Row, data_table, drawing
from binder.reissue.current import study_of
from binder.study import DriveStudy, SiteStudy
from binder.wiring.connections import Kind

DEMO = Path(__file__).parents[2] / "demo_site"
TAGS = (
    "VFD-101", "VFD-201", "VFD-202", "VFD-301", "VFD-302", "VFD-401", "VFD-501", "VFD-502", "VFD-601", "VFD-602",
    "VFD-603",
)  # fmt: skip


@cache
def demo() -> SiteStudy:
    return study_of(DEMO)


@cache
def packet(tag: str) -> tuple[DriveStudy, nodes.compound]:
    """A drive and the body of its packet, as both outputs take it."""
    binder = assemble(demo())
    document = next(d for d in binder.documents if d.subject == tag)
    return next(s for s in demo().drives if s.drive.tag == tag), nodes.compound("", *binder.body(document))


def sheets(tag: str) -> list[checks.Sheet]:
    """The control sheets printed in the packet, parsed from their SVG."""
    printed = [d["svg"] for d in packet(tag)[1].findall(drawing) if "drawing-control" in " ".join(d["ids"])]
    assert printed
    return [checks.parse(svg) for svg in printed]


def rows(tag: str, first_columns: tuple[str, ...]) -> dict[str, Row]:
    """Rows of the table that begins with these columns."""
    for table in packet(tag)[1].findall(data_table):
        if tuple(c.title for c in table["columns"])[: len(first_columns)] == first_columns:
            return {row.key: row for row in table["rows"] if row.kind != "group"}
    raise AssertionError(first_columns)


def wire_list(tag: str) -> dict[str, Row]:
    return rows(tag, ("Wire", "From", "To", "Made as"))


def check_sheet(tag: str) -> dict[str, Row]:
    return {key.removeprefix("P1."): row for key, row in rows(tag, ("Wire", "From", "To", "Marking")).items()}


def test_every_drive_is_looked_at() -> None:
    assert tuple(s.drive.tag for s in demo().drives) == TAGS


@pytest.mark.parametrize("tag", TAGS)
def test_the_three_hold_the_same_records(tag: str) -> None:
    drawn = {group.record for sheet in sheets(tag) for group in sheet.groups if group.record}
    assert drawn == set(wire_list(tag)) == set(check_sheet(tag)) == {c.id for c in packet(tag)[0].wiring.connections}


@pytest.mark.parametrize("tag", TAGS)
def test_number_and_ends_are_the_same_in_list_and_check(tag: str) -> None:
    listed, checked = wire_list(tag), check_sheet(tag)
    assert {k: r.cells[:3] for k, r in listed.items()} == {k: r.cells[:3] for k, r in checked.items()}


@pytest.mark.parametrize("tag", TAGS)
def test_the_drawing_writes_what_the_list_says(tag: str) -> None:
    """Number, or core of the cable, stands as text on the line of its record, and both ends carry their mark."""
    wiring = packet(tag)[0].wiring
    alias = {f"{wiring.designation}:{t.label}": f"{wiring.designation}:{t.number}" for t in wiring.terminals if t.label}
    on_line: dict[str, set[str]] = defaultdict(set)
    at_end: dict[str, set[str]] = defaultdict(set)
    for sheet in sheets(tag):
        for group in sheet.groups:
            on_line[group.record] |= {t.text for t in group.texts}
        for end, groups in sheet.ends().items():
            at_end[alias.get(end, end)] |= {t.text for g in groups for t in g.texts}
    supplies = {s.tag for s in wiring.strips if s.kind == "control supply"}
    records = {c.id: c for c in wiring.connections}
    for key, row in wire_list(tag).items():
        number, a, b, *_, core, _ = row.cells
        record = records[key]
        words = {word for text in on_line[key] for word in text.split()}
        if record.kind in {Kind.WIRE, Kind.CORE}:
            assert {str(number), str(core)} & words, f"{key}: neither number nor core in {words}"
        for end in (str(a), str(b)):
            device, _, mark = alias.get(end, end).rpartition(":")
            if device in supplies or record.kind is Kind.SCREEN:
                continue
            texts = at_end[f"{device}:{mark}"]
            assert any(t == mark or t.endswith(f":{mark}") for t in texts), f"{key}: {end} not marked, {texts}"
