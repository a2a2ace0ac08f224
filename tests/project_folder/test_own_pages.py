"""Which documents a binder holds, in which order: the sheet Documents, and pages of one's own."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

from binder.documents.contents import Page, document_set, own_page
from binder.documents.document import Document
from binder.inventory.records import DocumentOption
from binder.reissue.current import binder_of, pages_of, study_of
from binder.study import SiteStudy

DEMO = Path(__file__).parents[2] / "demo_site"


@pytest.fixture(scope="module")
def small() -> SiteStudy:
    """The demo with two drives; `project_folder` tests ask for the order alone."""
    study = study_of(DEMO)
    return replace(study, drives=study.drives[:2])


def documents(study: SiteStudy, *options: DocumentOption, pages: tuple[Page, ...] = ()) -> tuple[Document, ...]:
    return document_set(replace(study, inventory=replace(study.inventory, document_options=options)), pages=pages)


def suffixes(made: tuple[Document, ...]) -> list[str]:
    return [d.subject or d.number.rpartition("-")[2] for d in made]


PLAIN = ["000", "001", "002", "VFD-101", "VFD-201", "901", "902", "903", "904", "905", "906", "907"]


def test_without_options_the_order_is_that_of_the_guide(small: SiteStudy) -> None:
    assert suffixes(documents(small)) == PLAIN


@pytest.mark.parametrize(
    ("name", "gone"),
    [
        ("903", ["903"]),
        ("cables", ["903"]),
        ("Cable schedule", ["903"]),
        (" CABLES ", ["903"]),
        ("QB26-903", ["903"]),
        ("VFD-101", ["VFD-101"]),
        ("QB26-VFD-101", ["VFD-101"]),
        ("VFD-101 Raw water pump", ["VFD-101"]),
        ("packet", ["VFD-101", "VFD-201"]),
        ("schedule", ["002", "901", "902", "903", "904", "905", "906", "907"]),
        ("safety", ["001"]),
        ("front", []),  # a binder without its cover and contents would be none
        ("000", []),
        ("nothing of the kind", []),
    ],
)
def test_a_document_is_switched_off_by_any_of_its_names(small: SiteStudy, name: str, gone: list[str]) -> None:
    made = documents(small, DocumentOption(name, include=False))
    assert suffixes(made) == [s for s in PLAIN if s not in gone]


def test_yes_and_blank_leave_it_in(small: SiteStudy) -> None:
    assert suffixes(documents(small, DocumentOption("903", include=True), DocumentOption("904"))) == PLAIN


@pytest.mark.parametrize(
    ("name", "order", "group"),
    [
        ("labels", 1, ["904", "901", "902", "903", "905", "906", "907"]),
        ("equipment", 3, ["902", "903", "901", "904", "905", "906", "907"]),
        ("907", 99, PLAIN[5:]),
        ("901", 99, ["902", "903", "904", "905", "906", "907", "901"]),
    ],
)
def test_order_is_the_place_within_the_group(small: SiteStudy, name: str, order: int, group: list[str]) -> None:
    assert suffixes(documents(small, DocumentOption(name, order=order))) == PLAIN[:5] + group


def test_drives_are_put_in_the_order_of_the_work(small: SiteStudy) -> None:
    made = documents(small, DocumentOption("VFD-201", order=1))
    assert suffixes(made)[3:5] == ["VFD-201", "VFD-101"]


def test_the_cover_stays_first(small: SiteStudy) -> None:
    made = documents(small, DocumentOption("front", order=9), DocumentOption("safety", order=1))
    assert suffixes(made)[:3] == ["000", "001", "002"]


def test_two_options_do_not_disturb_each_other(small: SiteStudy) -> None:
    options = (DocumentOption("907", order=1), DocumentOption("902", order=2), DocumentOption("904", include=False))
    assert suffixes(documents(small, *options))[5:] == ["907", "902", "901", "903", "905", "906"]


def test_another_title_is_printed_and_found_by_both(small: SiteStudy) -> None:
    renamed = DocumentOption("Cable schedule", title="Cables of the plant", order=1)
    made = documents(small, renamed)
    assert (made[5].title, made[5].number) == ("Cables of the plant", "QB26-903")


# Own pages -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "title", "place"),
    [
        ("Roof access\n===========\n\ntext\n", "Roof access", ""),
        (".. place: after safety\n\nRoof access\n===========\n", "Roof access", "after safety"),
        (".. place:   before   901  \n\n===========\nRoof access\n===========\n", "Roof access", "before 901"),
        ("\ufeff.. place: after VFD-101\r\n\r\nRoof access\r\n===========\r\n", "Roof access", "after VFD-101"),
        (".. a note\n\nRoof access\n~~~~~~~~~~~\n", "Roof access", ""),
        ("..  place: after\n\nRoof\n====\n", "Roof", ""),
        (":orphan:\n\nRoof\n====\n", "Roof", ""),
        ("no title at all\n", "roof", ""),
        ("", "roof", ""),
        ("泵房\n====\n", "泵房", ""),
    ],
    ids=lambda text: str(text)[:24].encode("unicode_escape").decode(),
)
def test_title_and_place_of_a_page(text: str, title: str, place: str) -> None:
    page = own_page("roof", text, "d")
    assert (page.title, page.place) == (title, place)


def pages(*places: str) -> tuple[Page, ...]:
    return tuple(Page(f"p{i}", f"Page {i}", f"d{i}", place) for i, place in enumerate(places, 1))


@pytest.mark.parametrize(
    ("places", "expected"),
    [
        (("", ""), [*PLAIN, "951", "952"]),
        (("after safety",), ["000", "001", "951", *PLAIN[2:]]),
        (("before 901",), [*PLAIN[:5], "951", *PLAIN[5:]]),
        (("after packet",), [*PLAIN[:5], "951", *PLAIN[5:]]),
        (("before packet",), [*PLAIN[:3], "951", *PLAIN[3:]]),
        (("after VFD-101",), [*PLAIN[:4], "951", *PLAIN[4:]]),
        (("after safety", "after safety"), ["000", "001", "951", "952", *PLAIN[2:]]),
        (("before safety", "before safety"), ["000", "951", "952", *PLAIN[1:]]),
        (("before front",), ["000", "951", *PLAIN[1:]]),  # nothing stands before the cover
        (("after nowhere", "after safety"), ["000", "001", "952", *PLAIN[2:], "951"]),
    ],
    ids=str,
)
def test_a_page_stands_where_it_says(small: SiteStudy, places: tuple[str, ...], expected: list[str]) -> None:
    assert suffixes(documents(small, pages=pages(*places))) == expected


def test_pages_are_switched_off_and_ordered_too(small: SiteStudy) -> None:
    off = documents(small, DocumentOption("page-p1", include=False), pages=pages("", "", "after safety"))
    assert suffixes(off) == ["000", "001", "953", *PLAIN[2:], "952"]
    first = documents(small, DocumentOption("Page 2", order=1), pages=pages("", ""))
    assert suffixes(first) == [*PLAIN, "952", "951"]


def test_a_page_beside_a_document_that_is_switched_off_stands_at_the_end(small: SiteStudy) -> None:
    made = documents(small, DocumentOption("safety", include=False), pages=pages("after safety"))
    assert suffixes(made) == ["000", *PLAIN[2:], "951"]


# The folder --------------------------------------------------------------------------------------------


@pytest.fixture
def project(tmp_path: Path) -> Path:
    shutil.copy(DEMO / "inventory.xlsx", tmp_path)
    (tmp_path / "pages").mkdir()
    return tmp_path


def write_options(project: Path, *rows: tuple[str, str, int | None, str]) -> None:
    book = openpyxl.load_workbook(project / "inventory.xlsx")
    sheet = book["Documents"]
    for number, row in enumerate(rows, 2):
        for column, value in enumerate(row, 1):
            sheet.cell(number, column).value = value or None
    book.save(project / "inventory.xlsx")


def test_sheet_and_pages_go_together(project: Path) -> None:
    (project / "pages" / "roof.rst").write_text(".. place: after safety\n\nRoof\n====\n", "utf-8")
    (project / "pages" / "wells.rst").write_text("Wells\n=====\n", "utf-8")
    write_options(project, ("labels", "no", None, ""), ("supply", "yes", 1, "Supply of the works"))
    made = binder_of(project).documents
    titles = [d.title for d in made]
    assert titles[:3] == ["Front matter", "Site safety", "Roof"]
    assert titles[-1] == "Wells"
    assert "Labels and markers" not in titles
    after = [d.title for d in made if d.kind == "schedule"]
    assert after[1] == "Supply of the works"
    assert not [f for f in study_of(project).findings if f.code.startswith("D")]


def test_names_that_lead_nowhere_are_told(project: Path) -> None:
    (project / "pages" / "roof.rst").write_text(".. place: after saftey\n\nRoof\n====\n", "utf-8")
    write_options(project, ("lables", "no", None, ""), ("page-roof", "", 1, ""), ("packet", "", None, ""))
    found = [f for f in study_of(project).findings if f.code.startswith("D")]
    assert [(f.code, f.sheet, f.cell, f.tag) for f in found] == [
        ("D101", "Documents", "A2", "lables"),
        ("D102", "pages/roof.rst", "", "roof"),
    ]
    assert "after saftey" in found[1].found
    (project / "pages" / "roof.rst").write_text(
        "Roof\n====\n", "utf-8"
    )  # mended: told no more, though the workbook stands
    assert [f.code for f in study_of(project).findings if f.code.startswith("D")] == ["D101"]


def test_odd_files_in_the_folder_do_no_harm(project: Path) -> None:
    (project / "pages" / "bytes.rst").write_bytes(b"\xff\xfe\x00bad")
    (project / "pages" / "notes.txt").write_text("not a page")
    (project / "pages" / "a folder.rst").mkdir()
    assert [p.name for p in pages_of(project)] == ["bytes"]
