"""The contractor's own look from the project folder: colour, cover, title block, page style, templates."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pikepdf
import pytest
from invented_binder import CONF, invented_binder
from lxml.html import document_fromstring
from pdf_text import page_text, plain

from binder.publishing.build import BuildError, build_binder
from binder.publishing.house_style import ACCENT, HouseStyle, contrast_to_white, read_house_style
from binder.publishing.pdf import write_pdfs

COVER = """
#let cover(info) = page(header: none, {
  title-of(doc.number + "#top", 1, [Our own cover of #info.title])
  [Kept for #site.owner]
})
#let title-block() = [Block of the house, sheet #sheet() of #doc.number]
#let watermark() = none
"""


def project(folder: Path, **files: str) -> Path:
    (folder / "conf.py").write_text(CONF)
    (folder / "house_style").mkdir()
    for name, text in files.items():
        (folder / "house_style" / name.replace("_", ".")).write_text(text)
    return folder


def test_own_cover_and_title_block_take_the_place_of_ours(tmp_path: Path) -> None:
    folder = project(tmp_path, sheet_typ=COVER)
    made = build_binder(folder, invented_binder(packets=1), jobs=1).pdf
    assert made is not None
    with pikepdf.open(made.files["OWW-B-001"]) as pdf:
        assert "OurowncoverofDrivecommissioningbinder" in plain(page_text(pdf.pages[0]))
        assert "KeptforOstermarkDistrict" in plain(page_text(pdf.pages[0]))
    with pikepdf.open(made.files["OWW-P-101"]) as pdf:
        texts = [plain(page_text(page)) for page in pdf.pages]
    assert all(f"{n}of{len(texts)}" in text for n, text in enumerate(texts, 1))
    text = "".join(texts)
    assert "Blockofthehouse,sheetofOWW-P-101" in text
    assert "Preparedby" not in text
    assert not [f for f in made.findings if f.code == "P104"]


@pytest.mark.parametrize("block", ["rotate(90deg, [Sheet #sheet()])", 'text(font: "Arimo", [Sheet #sheet()])'])
def test_a_sheet_number_that_nobody_could_write_is_told(tmp_path: Path, block: str) -> None:
    folder = project(tmp_path, sheet_typ=f"#let title-block() = {block}")
    with pytest.raises(BuildError, match=r"sheet\.typ: what sheet\(\) gives can be neither turned"):
        build_binder(folder, invented_binder(packets=1), jobs=1)


def test_a_changed_definition_makes_every_document_anew_and_only_then(tmp_path: Path) -> None:
    binder = invented_binder(packets=1)
    for definitions, count in ((COVER, 4), (COVER, 0), ("#let watermark() = none", 4)):
        made = write_pdfs(
            binder, tmp_path / "o", cache_dir=tmp_path / "c", style=HouseStyle(definitions=definitions), jobs=1
        )
        assert len(made.typeset) == count


@pytest.mark.parametrize("text", ['#import "@preview/x:1.0.0": y', '#include "secret.typ"', "#let a = import"])
def test_a_definition_that_asks_for_files_is_left_out_and_told(tmp_path: Path, text: str) -> None:
    style, told = read_house_style(project(tmp_path, sheet_typ=text))
    assert style.definitions == ""
    assert [(f.code, f.sheet) for f in told] == [("P104", "house_style/sheet.typ")]


def test_a_broken_definition_names_its_file(tmp_path: Path) -> None:
    with pytest.raises(BuildError, match=r"with the definitions of house_style/sheet\.typ: unknown variable: nothing"):
        build_binder(
            project(tmp_path, sheet_typ="#let watermark() = nothing"), invented_binder(packets=1), html=False, jobs=1
        )


@pytest.mark.parametrize(
    ("text", "accent", "said"),
    [
        ('accent = "#7A1F2B"', "#7a1f2b", []),
        ("", ACCENT, []),
        ('accent = "#777777"', ACCENT, ["a contrast of 4.5 to 1"]),
        ('accent = "red"', ACCENT, ["its accent is 'red'"]),
        ("accent = ", ACCENT, ["it cannot be read"]),
    ],
)
def test_the_colour_must_be_one_that_letters_can_be_read_on(
    tmp_path: Path, text: str, accent: str, said: list[str]
) -> None:
    style, told = read_house_style(project(tmp_path, style_toml=text))
    assert style.accent == accent
    assert len(told) == len(said)
    assert all(words in finding.found for words, finding in zip(said, told, strict=True))
    assert contrast_to_white(ACCENT) > 12


def test_the_colour_is_on_paper_and_on_the_pages(tmp_path: Path) -> None:
    folder = project(tmp_path, style_toml='accent = "#7a1f2b"')
    made = build_binder(folder, invented_binder(packets=1), jobs=1)
    assert made.html is not None
    assert made.pdf is not None
    assert "--head: #7a1f2b" in made.html.read_text()
    with pikepdf.open(made.pdf.files["OWW-P-101"]) as pdf:
        content = pdf.pages[0].Contents.read_bytes()
    assert b"0.47843137 0.12156863 0.16862746 scn" in content


def test_own_page_style_and_template(tmp_path: Path) -> None:
    files = {
        "own_css": "h1 { letter-spacing: 1px; }",
        "layout_html": (
            '{% extends "!layout.html" %}{% block extrahead %}<meta name="house" content="ours">{% endblock %}'
        ),
    }
    made = build_binder(project(tmp_path, **files), invented_binder(packets=1), pdf=False)
    assert made.html is not None
    head = document_fromstring(made.html.read_text()).find("head")
    sheets = [link.get("href").partition("?")[0] for link in head.iter("link")]
    assert sheets.index("_static/own.css") > sheets.index("_static/binder.css")
    assert (made.html.parent / "_static/own.css").read_text() == files["own_css"]
    assert head.find("meta[@name='house']") is not None


def test_a_project_without_the_folder_looks_as_before(tmp_path: Path) -> None:
    (tmp_path / "conf.py").write_text(CONF)
    assert read_house_style(tmp_path) == (HouseStyle(), ())
    binder = invented_binder(packets=1)
    plainly = write_pdfs(binder, tmp_path / "a", cache_dir=tmp_path / "c", jobs=1)
    styled = write_pdfs(
        replace(binder), tmp_path / "b", cache_dir=tmp_path / "d", style=HouseStyle(definitions="\n"), jobs=1
    )
    assert plainly.joined[0].read_bytes() == styled.joined[0].read_bytes()
