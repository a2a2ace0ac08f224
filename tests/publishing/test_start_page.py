"""The start page and the banner of each page: whose binder it is, and where its stops are."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from invented_binder import CONF, invented_binder
from lxml.html import document_fromstring

from binder.project import Project
from binder.publishing.build import build_binder

LOGO = '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><rect width="40" height="20"/></svg>'


def page(folder: Path, name: str) -> Any:
    return document_fromstring((folder / "build/binder/html" / name).read_text("utf-8"))


def words(element: Any) -> str:
    return " ".join(element.text_content().split())


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("start")
    (folder / "conf.py").write_text(CONF)
    (folder / "logo.svg").write_text(LOGO)
    binder = invented_binder()
    build_binder(folder, replace(binder, site=replace(binder.site, logo_file="logo.svg")), pdf=False)
    return folder


def test_it_stands_where_the_command_says(built: Path) -> None:
    assert (Project(built).output / "html" / "index.html").is_file()


def test_logo_and_disclaimer_stand_on_it(built: Path) -> None:
    start = page(built, "index.html")
    logo = start.find(".//img")
    assert logo.get("alt") == "Logo of Halden Field Services"
    assert (built / "build/binder/html" / logo.get("src")).read_text() == LOGO
    assert "Computed figures are no approval. The engineer in charge decides." in words(start.find(".//main"))


def test_it_says_which_drives_have_stops_and_leads_there(built: Path) -> None:
    start = page(built, "index.html")
    box = start.find_class("caution-stop")[0]
    assert "1 open stop in the binder" in words(box)
    assert [(words(a), a.get("href")) for a in box.iter("a")] == [
        ("Packet P-101 raw water pump 1", "documents/k0031.html#findings")
    ]
    rows = [[words(cell) for cell in row] for row in start.find_class("data")[0].iter("tr")]
    assert rows[0][-1] == "Open stops"
    assert [row[-1] for row in rows[1:]] == ["1", ""]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("documents/k0031.html", "Open stops. This drive is not fit for handover: see its findings."),
        ("documents/k0032.html", None),
        ("documents/safety.html", "Open stops. This binder is not fit for handover. On P-101."),
    ],
)
def test_each_page_tells_its_own_truth(built: Path, name: str, said: str | None) -> None:
    banner = page(built, name).find_class("stops")
    assert [words(b) for b in banner] == ([said] if said else [])


def test_a_logo_that_is_no_picture_of_the_project_is_left_out(tmp_path: Path) -> None:
    (tmp_path / "conf.py").write_text(CONF)
    binder = invented_binder(packets=1)
    for name in ("../logo.svg", "https://example.org/logo.png", "conf.py"):
        build_binder(tmp_path, replace(binder, site=replace(binder.site, logo_file=name)), pdf=False)
        assert page(tmp_path, "index.html").find(".//img") is None


def test_a_logo_that_is_damaged_is_left_out_and_told(tmp_path: Path) -> None:
    (tmp_path / "conf.py").write_text(CONF)
    (tmp_path / "logo.svg").write_text(LOGO.removesuffix("</svg>"))
    binder = invented_binder(packets=1)
    made = build_binder(tmp_path, replace(binder, site=replace(binder.site, logo_file="logo.svg")), jobs=1)
    assert page(tmp_path, "index.html").find(".//img") is None
    assert made.pdf is not None
    assert ["logo.svg" in f.found for f in made.pdf.findings if f.code == "P103"] == [True]


@pytest.mark.parametrize("name", ["art/logo.svg", "art\\logo.svg", "{folder}/art/logo.svg"])
def test_a_logo_is_found_however_its_place_is_typed(tmp_path: Path, name: str) -> None:
    (tmp_path / "conf.py").write_text(CONF)
    (tmp_path / "art").mkdir()
    (tmp_path / "art" / "logo.svg").write_text(LOGO)
    binder = invented_binder(packets=1)
    named = replace(binder.site, logo_file=name.format(folder=tmp_path))
    build_binder(tmp_path, replace(binder, site=named), pdf=False)
    logo = page(tmp_path, "index.html").find(".//img")
    assert (tmp_path / "build/binder/html" / logo.get("src")).read_text() == LOGO


def test_the_list_goes_when_the_stop_is_closed(built: Path) -> None:
    build_binder(built, invented_binder(stops=0), pdf=False)
    assert "Open stops" not in words(page(built, "index.html"))
    assert page(built, "documents/k0031.html").find_class("stops") == []
