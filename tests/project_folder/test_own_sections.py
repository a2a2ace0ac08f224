"""Sections of one's own at the end of generated documents, in the pages, on paper and in an issue."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from docutils import nodes

from binder.documents.assemble import assemble
from binder.documents.contents import Page, document_set, own_page, unplaced
from binder.documents.own_sections import own_sections
from binder.publishing.build import build_binder
from binder.reissue.current import binder_of, study_of
from binder.reissue.gather import facts_of
from binder.reissue.shows import facts_by_document
from binder.study import SiteStudy

DEMO = Path(__file__).parents[2] / "demo_site"
TEXT = ".. place: in {place}\n\nAccess to the pump house\n========================\n\nAsk at the *gate*; key 7.\n"


def page(name: str, place: str) -> Page:
    return own_page(name, TEXT.format(place=place), f"digest of {name} {place}")


@pytest.fixture(scope="module")
def small() -> SiteStudy:
    study = study_of(DEMO)
    return replace(study, drives=study.drives[:2])


@pytest.mark.parametrize(
    ("place", "where"),
    [
        ("safety", ["safety"]),
        ("903", ["cables"]),
        ("VFD-101", ["VFD-101"]),
        ("packet", ["VFD-101", "VFD-201"]),
        ("front", ["front"]),
        ("nowhere", []),
    ],
)
def test_a_section_stands_in_the_documents_that_it_names(small: SiteStudy, place: str, where: list[str]) -> None:
    plain, made = (document_set(small, pages=pages) for pages in ((), (page("access", place),)))
    assert [d.number for d in made] == [d.number for d in plain], "it is no document"
    assert [d.subject or d.key for d in made if d.sections] == where
    changed = [d.subject or d.key for d, before in zip(made, plain, strict=True) if d.digest != before.digest]
    assert changed == where, "and no other document is touched"


def test_it_stands_last_and_reads_as_written(small: SiteStudy) -> None:
    binder = assemble(small, pages=(page("access", "safety"),))
    body = binder.body(next(d for d in binder.documents if d.key == "safety"))
    assert body[-1].astext() == "Access to the pump house\n\nAsk at the gate; key 7."


def test_a_place_that_is_no_document_is_told(small: SiteStudy) -> None:
    (found,) = unplaced(small.inventory, (page("access", "nowhere"),))
    assert (found.code, found.sheet) == ("D102", "pages/access.rst")
    assert "it is left out" in found.found


@pytest.mark.parametrize("text", [".. include:: /etc/passwd", ".. raw:: html\n\n   <script>x</script>", "`broken"])
def test_a_section_reads_no_file_and_writes_no_markup(text: str) -> None:
    made = own_sections([Page("a", "A", "", "in safety", text)])
    said = "".join(node.astext() for node in made)
    assert "root:" not in said
    assert not [raw for node in made for raw in node.findall(nodes.raw)]


def test_an_issue_knows_its_text(small: SiteStudy) -> None:
    pages = (page("access", "safety"),)
    shown = facts_by_document(document_set(small, pages=pages), facts_of(small, pages))
    having = [key for key, facts in shown.items() if any(f.key[1:3] == ("page", "page-access") for f in facts)]
    assert having == ["safety"]


def test_it_is_on_screen_and_on_paper(tmp_path: Path) -> None:
    project = tmp_path / "site"
    shutil.copytree(DEMO, project, ignore=shutil.ignore_patterns("build", "documents", "made_from", "pages"))
    (project / "pages").mkdir()
    (project / "pages" / "access.rst").write_text(TEXT.format(place="safety"))
    binder = binder_of(project)
    few = replace(binder, documents=[d for d in binder.documents if d.kind in ("front", "safety")])
    made = build_binder(project, few, jobs=1)
    assert made.html is not None
    assert "Access to the pump house" in (made.html.parent / "documents" / "safety.html").read_text()
    assert not (made.html.parent / "pages").exists(), "it is no page"
    assert made.pdf is not None
    assert "Access to the pump house" in [title for _, title, *_ in made.pdf.sidecars["QB26-001"].outline]
