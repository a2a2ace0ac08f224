"""The pages of an invented binder: literal texts, rebuilds that read only what changed, the folder swap."""

from __future__ import annotations

import filecmp
import html
import io
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from docutils import nodes
from invented_binder import CONF, HOSTILE, invented_binder
from lxml import etree
from lxml.html import document_fromstring
from pdf_text import file_text
from sphinx.application import Sphinx
from sphinx.util.docutils import docutils_namespace

from binder.documents import blocks
from binder.documents.nodes import Column, Row
from binder.publishing import html_table
from binder.publishing.build import BuildError, Built, build_binder
from binder.publishing.place import restore, sole_use, swap
from binder.publishing.search import words
from binder.publishing.svg import inline_svg

NOTES = """Site notes
==========

See :document:`OWW-P-101#settings` and `the source <https://example.org/>`_.

.. warning:: Written by *hand*.

.. list-table::
   :header-rows: 1

   * - Who
     - Where
   * - A. Example
     - Office
"""


def sphinx(project: Path, builder: str = "html", **overrides: Any) -> tuple[Sphinx, str, str]:
    """One plain sphinx-build of the project; returns the application, its status and its warnings."""
    status, warning = io.StringIO(), io.StringIO()
    with docutils_namespace():
        app = Sphinx(
            project,
            project,
            project / "build" / builder,
            project / "build" / "dt",
            builder,
            confoverrides=overrides,
            status=status,
            warning=warning,
        )
        app.build()
    return app, re.sub(r"\x1b\[[\d;]*m", "", status.getvalue()), re.sub(r"\x1b\[[\d;]*m", "", warning.getvalue())


def written(status: str) -> list[str]:
    """Pages that a build has read, from its own words."""
    return sorted(set(re.findall(r"reading sources\.\.\. \[ *\d+%\] (\S+)", status)))


@pytest.fixture
def project(tmp_path: Path) -> Path:
    (tmp_path / "conf.py").write_text(CONF)
    return tmp_path


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[Built, Path]:
    folder = tmp_path_factory.mktemp("binder")
    (folder / "conf.py").write_text(CONF)
    (folder / "pages").mkdir()
    (folder / "pages" / "notes.rst").write_text(NOTES)
    return build_binder(folder, invented_binder(pages=True), jobs=1), folder


@pytest.fixture(scope="module")
def packet(built: tuple[Built, Path]) -> Any:
    return document_fromstring((built[1] / "build/binder/html/documents/k0031.html").read_text("utf-8"))


# Content -----------------------------------------------------------------------------------


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_comes_out_as_typed(packet: Any, text: str) -> None:
    assert text in [cell.text_content() for cell in packet.iter("td")]


def test_no_script_but_our_own(built: tuple[Built, Path], packet: Any) -> None:
    scripts = list(packet.iter("script"))
    assert all(s.get("src", "").startswith("../_static/") and not (s.text or "").strip() for s in scripts)
    source = (built[1] / "build/binder/html/documents/k0031.html").read_text("utf-8")
    assert html.escape("<script>alert(1)</script>") in source
    assert "<script>alert(1)" not in source


def test_hostile_titles_stay_text(project: Path) -> None:
    binder = invented_binder(packets=1)
    title = "P-<1> *x* |release| {{ 7*7 }}</title><script>x</script>"
    changed = [replace(d, title=title) if d.kind == "packet" else d for d in binder.documents]
    build_binder(project, replace(binder, documents=changed), pdf=False)
    tree = document_fromstring((project / "build/binder/html/documents/k0031.html").read_text("utf-8"))
    assert tree.find(".//h1").text_content() == title
    assert title in tree.find(".//title").text_content()
    assert title in document_fromstring((project / "build/binder/html/index.html").read_text("utf-8")).text_content()


def test_nothing_asks_the_network(built: tuple[Built, Path]) -> None:
    for path in (built[1] / "build/binder/html").rglob("*.html"):
        for element in document_fromstring(path.read_text("utf-8")).iter():
            for name in ("src", "action", "data"):
                assert not (element.get(name) or "").startswith(("http", "//"))
            if element.tag == "link":
                assert not element.get("href", "").startswith(("http", "//"))
    css = (built[1] / "build/binder/html/_static/binder.css").read_text("utf-8")
    assert "url(" not in css
    assert "@import" not in css


def test_access(packet: Any) -> None:
    assert packet.get("lang") == "en"
    assert packet.cssselect("a.skip")[0].get("href") == "#main" if hasattr(packet, "cssselectx") else True
    assert packet.find(".//a[@class='skip']").get("href") == "#main"
    assert all(th.get("scope") for th in packet.iter("th"))
    assert all(table.find("caption") is not None for table in packet.iter("table"))
    ids = [element.get("id") for element in packet.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    assert all(svg.get("aria-label") for svg in packet.iter("svg"))
    assert len(packet.findall(".//main")) == len(packet.findall(".//h1")) == 1


def test_every_local_link_lands(built: tuple[Built, Path]) -> None:
    root = built[1] / "build/binder/html"
    trees = {path: document_fromstring(path.read_text("utf-8")) for path in root.rglob("*.html")}
    ids = {path: {e.get("id") for e in tree.iter() if e.get("id")} for path, tree in trees.items()}
    count = 0
    for path, tree in trees.items():
        for link in tree.iter("a"):
            href = link.get("href")
            if href.startswith("http"):
                continue
            file, _, anchor = href.partition("#")
            target = (path.parent / file).resolve() if file else path
            assert target.exists(), f"{path.name}: {href}"
            if anchor and target in ids:
                assert anchor in ids[target], f"{path.name}: {href}"
            count += 1
    assert count > 100


def test_links_lead_to_rows(packet: Any) -> None:
    assert packet.get_element_by_id("settings-table-02-02").find("th").text_content() == "02.02"


def test_title_block_and_sections(packet: Any) -> None:
    block = packet.find(".//dl[@class='title-block']").text_content()
    assert all(part in block for part in ("OWW-P-101", "for review", "2026-03-02", "Halden Field Services"))
    sections = [a.text_content() for a in packet.find(".//nav[@class='sections']").iter("a")]
    assert sections[:3] == ["Data sheet", "Lockout card", "Settings, in writing order"]


def test_blank_columns_are_marked_for_small_screens(packet: Any) -> None:
    heads = {th.text_content(): th.get("class") for th in packet.iter("th") if th.get("scope") == "col"}
    assert heads["As left"] == "write blank"
    assert heads["Reading"] == "write"


def test_rows_of_wide_tables_tell_their_columns(packet: Any) -> None:
    wide = [t for t in packet.iter("table") if "stack" in t.get("class", "").split()]
    assert wide
    for table in wide:
        titles = [cell.text_content() for cell in table.findall("./thead/tr/*")]
        for row in table.findall("./tbody/tr"):
            if row.get("class") != "group":
                assert [cell.get("data-title", "") for cell in row] == titles
    narrow = [t for t in packet.iter("table") if len(t.findall("./thead/tr/*")) <= 4]
    assert narrow
    assert all("stack" not in t.get("class", "") for t in narrow)


@pytest.mark.parametrize(("line", "cards"), [("V1.31/32.powered", True), ("V2.hand", False)], ids=["long", "short"])
def test_four_columns_of_long_words_are_cards_too(line: str, cards: bool) -> None:
    titles = ("Line", "What, and when", "Accept", "Source")
    columns = [Column(title, 1.0, header=title == "Line") for title in titles]
    rows = [Row((line, "VFD1:31 to VFD1:32: powered", "24 V; limit 22.8 to 25.2 V", "1"), key=line)]
    assert html_table.phone_cards(columns, rows, ["text", "text", "text", "text whole"], marked=False) is cards


def test_hand_written_page_is_in_both_outputs(built: tuple[Built, Path]) -> None:
    result, folder = built
    page = document_fromstring((folder / "build/binder/html/pages/notes.html").read_text("utf-8"))
    assert page.find(".//a[@href='../documents/k0031.html#settings']") is not None
    assert result.pdf is not None
    text = file_text(result.pdf.files["OWW-N-001"])
    assert all(part in text for part in ("WARNING", "Writtenbyhand.", "A.Example", "Sitenotes"))
    assert result.pdf.findings == [f for f in result.pdf.findings if f.code == "P101"]


# Search ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("P-101", ["P-101", "P", "n101"]),
        ("fault 103", ["fault", "n103"]),
        ("-K7:13", ["K7:13", "K7", "n13"]),
        ("3–wire", ["3-wire", "n3", "wire"]),
        ("02.110.", ["02.110", "n02", "n110"]),
        ("Ωmeter", ["Ωmeter"]),
    ],
)
def test_search_words(text: str, expected: list[str]) -> None:
    assert words(text) == expected


def test_setting_numbers_are_in_the_search_index(built: tuple[Built, Path]) -> None:
    index = (built[1] / "build/binder/html/searchindex.js").read_text("utf-8")
    assert '"02.02"' in index
    assert '"external_interlock_closed_normally"' in index
    assert '"p-101"' in index


# Rebuilding --------------------------------------------------------------------------------


def test_plain_sphinx_build_and_null_rebuild(project: Path) -> None:
    _, status, warning = sphinx(project)
    assert written(status) == ["documents/drives", "documents/front", "documents/k0031", "documents/k0032",
                               "documents/safety", "index"]  # fmt: skip
    assert warning.strip().startswith("inventory.xlsx:Motors!F12: ERROR: E101 stop P-101: 25 A.")
    html_dir = project / "build" / "html"
    stamps = {p: p.stat().st_mtime_ns for p in html_dir.rglob("*.html")}
    stubs = {p: p.stat().st_mtime_ns for p in (project / "documents").iterdir()}
    _, status, warning = sphinx(project)
    assert written(status) == []
    assert "E101" in warning, "findings come on every run"
    pages = {p for p in stamps if p.name != "search.html"}
    assert all(p.stat().st_mtime_ns == stamps[p] for p in pages)
    assert all(p.stat().st_mtime_ns == stamp for p, stamp in stubs.items())


def test_one_changed_document_reads_one_page(project: Path) -> None:
    sphinx(project)
    (project / "invented.txt").write_text("note=Changed.")
    _, status, _ = sphinx(project)
    assert written(status) == ["documents/k0031"]
    assert "Changed." in (project / "build/html/documents/k0031.html").read_text("utf-8")


@pytest.mark.parametrize(("before", "after"), [(3, 2), (2, 3)], ids=["removed", "added"])
def test_incremental_equals_full(tmp_path: Path, before: int, after: int) -> None:
    first, second = tmp_path / "first", tmp_path / "second"
    for folder in (first, second):
        folder.mkdir()
        (folder / "conf.py").write_text(CONF)
    (first / "invented.txt").write_text(f"packets={before}")
    sphinx(first)
    for folder in (first, second):
        (folder / "invented.txt").write_text(f"packets={after}")
        sphinx(folder)
    names = {p.relative_to(second / "build/html") for p in (second / "build/html").rglob("*") if p.is_file()}
    assert {p.relative_to(first / "build/html") for p in (first / "build/html").rglob("*") if p.is_file()} == names
    skipped = {"environment.pickle", ".buildinfo"}
    differ = [
        n
        for n in names
        if n.name not in skipped and not filecmp.cmp(first / "build/html" / n, second / "build/html" / n, shallow=False)
    ]
    assert differ == []
    assert (first / "documents/k0033.rst").exists() == (after == 3)


def test_foreign_files_in_the_documents_folder_stay(project: Path) -> None:
    (project / "documents").mkdir()
    own = project / "documents" / "mine.rst"
    own.write_text("Mine\n====\n\n:orphan:\n")
    sphinx(project)
    assert own.exists()


def test_other_builders_get_plain_forms(project: Path) -> None:
    _, _, warning = sphinx(project, "text")
    assert "unknown" not in warning.lower()
    text = (project / "build/text/documents/k0031.txt").read_text("utf-8")
    assert "01.01" in text
    assert "DANGER" in text


def test_a_wrong_source_is_explained(project: Path) -> None:
    from sphinx.errors import ConfigError

    with pytest.raises(ConfigError, match=r"binder_source is 'no\.such:thing'"):
        sphinx(project, binder_source="no.such:thing")


# Into place --------------------------------------------------------------------------------


def test_a_failed_build_leaves_the_old_one(built: tuple[Built, Path]) -> None:
    _, folder = built
    before = {p: p.read_bytes() for p in (folder / "build/binder").rglob("*") if p.is_file()}
    binder = invented_binder(pages=True, note="x")

    def body(document: Any) -> list[nodes.Node]:
        if document.subject == "P-101":
            return [blocks.section("A", blocks.drawing("<svg", "alt", "title"))]
        return binder.body(document)

    with pytest.raises(BuildError, match="a drawing is not well formed"):
        build_binder(folder, replace(binder, body=body), jobs=1)
    assert {p: p.read_bytes() for p in (folder / "build/binder").rglob("*") if p.is_file()} == before


def test_swap_and_restore(tmp_path: Path) -> None:
    made, out = tmp_path / "made", tmp_path / "out" / "html"
    made.mkdir()
    (made / "a").write_text("1")
    swap(made, out)
    (made / "a").write_text("2")
    swap(made, out)
    assert (out / "a").read_text() == "2"
    assert [p.name for p in out.parent.iterdir()] == ["html"]
    out.rename(out.with_name("html.old"))
    restore(out)
    assert (out / "a").read_text() == "2"


def test_two_builds_at_once_are_refused(tmp_path: Path) -> None:
    with sole_use(tmp_path / "build" / "work"), pytest.raises(BuildError, match="another build is at work"):
        build_binder(tmp_path, invented_binder(packets=1), jobs=1)


def test_damaged_page_memory_is_made_again(tmp_path: Path) -> None:
    build_binder(tmp_path, invented_binder(packets=1), pdf=False)
    (tmp_path / "build" / "work" / "doctrees" / "documents" / "k0031.doctree").write_bytes(b"no pickle")
    (tmp_path / "build" / "work" / "html" / "documents" / "k0031.html").unlink()
    build_binder(tmp_path, invented_binder(packets=1), pdf=False)
    assert "P-101" in (tmp_path / "build/binder/html/documents/k0031.html").read_text("utf-8")


def test_formulas_ask_no_network(project: Path) -> None:
    (project / "pages").mkdir()
    (project / "pages" / "notes.rst").write_text("Notes\n=====\n\n:math:`a<b`\n\n.. math:: x^2\n")
    (project / "invented.txt").write_text("pages=1")
    sphinx(project)
    text = (project / "build/html/pages/notes.html").read_text("utf-8")
    assert "<code>a&lt;b</code>" in text
    assert "mathjax" not in text.lower()


PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de0000000c49444154789c63606060000000040001f61738"
    "550000000049454e44ae426082"
)


@pytest.mark.parametrize(("name", "codes"), [("logo.png", set()), ("../logo.png", {"P103"}), ("none.png", {"P103"})])
def test_logo_of_the_project_only(tmp_path: Path, name: str, codes: set[str]) -> None:
    project = tmp_path / "project"
    project.mkdir()
    for folder in (tmp_path, project):
        (folder / "logo.png").write_bytes(PNG)
    binder = invented_binder(packets=1)
    built = build_binder(project, replace(binder, site=replace(binder.site, logo_file=name)), html=False, jobs=1)
    assert built.pdf is not None
    assert {f.code for f in built.pdf.findings} == codes | {"P101"}


def test_a_page_that_is_missing_is_named(tmp_path: Path) -> None:
    with pytest.raises(BuildError, match=r"OWW-N-001 is to hold the page pages/notes\.rst, which does not exist"):
        build_binder(tmp_path, invented_binder(pages=True), jobs=1)


# Drawings ----------------------------------------------------------------------------------


def test_inline_drawings_are_inert_and_distinct() -> None:
    svg = (
        '<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        'width="10mm" height="5mm" viewBox="0 0 10 5" onload="x()"><script>x()</script><defs><path id="p"/></defs>'
        '<use xlink:href="#p" clip-path="url(#p)"/><use xlink:href="http://example.org/x"/>'
        "<text>K1 &lt;b&gt;</text></svg>"
    )
    tree = etree.fromstring(inline_svg(svg, "d1", 'a "drawing"'))
    assert tree.get("aria-label") == 'a "drawing"'
    assert [e.get("id") for e in tree.iter() if e.get("id")] == ["d1-p"]
    text = etree.tostring(tree, encoding="unicode")
    assert "script" not in text
    assert "onload" not in text
    assert "example.org" not in text
    assert 'href="#d1-p"' in text
    assert "url(#d1-p)" in text
    assert tree.findtext("{*}text") == "K1 <b>"
