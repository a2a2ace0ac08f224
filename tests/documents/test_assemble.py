"""The binder of the demo: every document builds, cells stay letters, digests tell what changed and nothing else."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from docutils import nodes

from binder.documents.assemble import assemble
from binder.documents.contents import Stamp, document_set
from binder.documents.document import Binder, Document
from binder.documents.nodes import Leaf
from binder.inventory.findings import Finding, Grade
from binder.inventory.quantities import measure
from binder.inventory.records import Inventory
from binder.reissue.current import study_of
from binder.study import SiteStudy, study_site

DEMO = Path(__file__).parents[2] / "demo_site"
HOSTILE = (".. include:: /etc/x", "<script>alert(1)</script>", "#panic()", "*bold* `code`_ |sub|", "${x} $x$ \\n")


@pytest.fixture(scope="module")
def study() -> SiteStudy:
    return study_of(DEMO)


@pytest.fixture(scope="module")
def binder(study: SiteStudy) -> Binder:
    return assemble(study)


def body(binder: Binder, document: Document) -> nodes.compound:
    return nodes.compound("", *binder.body(document))


def words(tree: nodes.Node) -> Iterator[str]:
    """Everything a reader sees, leaf nodes included."""
    for node in tree.findall():
        if isinstance(node, nodes.Text):
            yield node.astext()
        elif isinstance(node, Leaf):
            yield from node.words()


def test_every_document_builds_and_says_something(binder: Binder) -> None:
    for document in binder.documents:
        tree = body(binder, document)
        assert len(list(words(tree))) > 5, document.number
        assert not list(tree.findall(nodes.problematic)), document.number
        assert not list(tree.findall(nodes.system_message)), document.number
        assert not list(tree.findall(nodes.raw)), document.number


def test_ids_are_single_within_a_document(binder: Binder) -> None:
    for document in binder.documents:
        named = [n for n in body(binder, document).findall() if isinstance(n, nodes.Element)]
        twice = [name for name, n in Counter(i for n in named for i in n["ids"]).items() if n > 1]
        assert twice == [], document.number


def test_a_body_is_made_anew_and_alike(binder: Binder) -> None:
    """Publishing changes the tree it is given; the next one must not see that."""
    document = next(d for d in binder.documents if d.kind == "packet")
    first, second = body(binder, document), body(binder, document)
    assert first.pformat() == second.pformat()
    assert not {id(n) for n in first.findall()} & {id(n) for n in second.findall()}


# Cells are letters -----------------------------------------------------------------------------------


def hostile(inventory: Inventory) -> Inventory:
    """Free texts of drives, motors, people and panels as markup."""
    texts = {"drives": "feeds", "motors": "serial", "people": "name", "panels": "place"}
    changed: dict[str, Any] = {}
    for name, field in texts.items():
        records = getattr(inventory, name)
        assert records, name
        changed[name] = tuple(replace(r, **{field: f"{HOSTILE[i % len(HOSTILE)]} {i}"}) for i, r in enumerate(records))
    return replace(inventory, **changed)


def test_no_cell_is_read_as_markup(study: SiteStudy) -> None:
    spoilt = assemble(study_site(hostile(study.inventory)))
    seen: set[str] = set()
    for document in spoilt.documents:
        tree = body(spoilt, document)
        seen |= {mark for text in words(tree) for mark in HOSTILE if mark in text}
        kinds = (nodes.problematic, nodes.system_message, nodes.raw, nodes.substitution_reference)
        assert not [n for n in tree.findall() if isinstance(n, kinds)]
    assert seen == set(HOSTILE)


# Digests ---------------------------------------------------------------------------------------------


def digests(study: SiteStudy, **options: Any) -> dict[str, str]:
    return {d.key: d.digest for d in document_set(study, **options)}


def test_sorting_the_sheets_changes_what_prints_cells_alone(study: SiteStudy, tmp_path: Path) -> None:
    """Rows from last to first, as after sorting by another column; only findings tell cells, and their rows move."""
    book = openpyxl.load_workbook(DEMO / "inventory.xlsx")
    for name in ("Drives", "Motors", "Machines", "Panels", "Supplies", "Isolation", "Cables"):
        sheet = book[name]
        filled = [row for row in sheet.iter_rows(min_row=2, values_only=True) if any(v is not None for v in row)]
        for number, row in enumerate(reversed(filled), start=2):
            for column, value in enumerate(row, start=1):
                sheet.cell(number, column).value = value
    book.save(tmp_path / "inventory.xlsx")
    sorted_again = study_of(tmp_path)
    before, after = digests(without_cells(study)), digests(without_cells(sorted_again))
    assert list(after) == list(before)
    assert [key for key in before if before[key] != after[key]] == []


def without_cells(study: SiteStudy) -> SiteStudy:
    def blind(found: tuple[Finding, ...]) -> tuple[Finding, ...]:
        return tuple(sorted((replace(f, cell="") for f in found), key=repr))

    drives = tuple(
        replace(
            s,
            findings=blind(s.findings),
            field=replace(
                s.field,
                findings=blind(s.field.findings),
                lockout=replace(s.field.lockout, findings=blind(s.field.lockout.findings)),
            ),
            wiring=replace(s.wiring, findings=blind(s.wiring.findings)),
            settings=replace(s.settings, findings=blind(s.settings.findings)),
        )
        for s in study.drives
    )
    return replace(study, drives=drives, findings=blind(study.findings))


def test_a_change_of_one_drive_leaves_the_other_packets(study: SiteStudy) -> None:
    first = study.inventory.drives[0]
    changed = replace(study.inventory, drives=(replace(first, feeds="other pump"), *study.inventory.drives[1:]))
    before, after = digests(study), digests(study_site(changed))
    packets = {d.key: d.subject for d in document_set(study) if d.subject}
    assert [packets[k] for k in packets if before[k] != after[k]] == [first.tag]


def test_the_labels_are_made_again_for_wires_and_tags_alone(study: SiteStudy) -> None:
    """They are the longest list of a site."""
    first, *rest = study.inventory.drives

    def labels(**changed: Any) -> str:
        drives = (replace(first, **changed), *rest)
        return digests(study_site(replace(study.inventory, drives=drives)))["labels"]

    assert labels(acceleration_time=measure("17", "s")) == labels()
    assert labels(tag="VFD-999") != labels()


def test_the_supplies_page_is_made_again_for_what_it_shows_alone(study: SiteStudy) -> None:
    """Its bars are the dearest thing that a change of one drive could draw again."""
    first = next(d for d in study.inventory.drives if d.tag == "VFD-101")

    def page(**changes: Any) -> str:
        drives = tuple(replace(d, **changes) if d is first else d for d in study.inventory.drives)
        return digests(study_site(replace(study.inventory, drives=drives)))["supply"]

    before = page()
    assert page(acceleration_time=measure("17", "s")) == before
    assert page(line_reactor=measure("5", "%")) != before
    found = Finding("E1", Grade.CAUTION, "Supplies", "", "", "found", "accepted", "mend")
    assert digests(replace(study, findings=(*study.findings, found)))["supply"] != digests(study)["supply"]


def test_an_issue_letter_on_the_site_sheet_changes_no_stamped_document(study: SiteStudy) -> None:
    stamps = {d.key: Stamp(d.number, "A", "issued", "2026-05-18") for d in document_set(study)}
    site = replace(study.inventory.site, revision="B")
    later = replace(study, inventory=replace(study.inventory, site=site))
    assert digests(study, stamps=stamps) == digests(later, stamps=stamps)


def test_a_stamp_is_carried_and_counts(study: SiteStudy) -> None:
    plain = {d.key: d for d in document_set(study)}
    key = next(d.key for d in plain.values() if d.subject)
    stamped = {d.key: d for d in document_set(study, stamps={key: Stamp("X-1", "C", "issued", "2026-05-18")})}
    d = stamped[key]
    assert (d.number, d.revision, d.status, d.issue_date) == ("X-1", "C", "issued", "2026-05-18")
    assert [k for k in plain if plain[k].digest != stamped[k].digest] == [key]


def test_every_part_of_a_stamp_is_in_the_digest(study: SiteStudy) -> None:
    key = document_set(study)[0].key
    stamp = Stamp("X-1", "C", "issued", "2026-05-18")
    made = [stamp, *(replace(stamp, **{f.name: "other"}) for f in fields(Stamp))]
    assert len({digests(study, stamps={key: one})[key] for one in made}) == len(made)
