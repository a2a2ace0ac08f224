"""Two hundred hostile texts wherever text is taken: letters come out, nothing else. Every place with `-m slow`."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import redirect_stdout
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

import harm
import pytest
from hostile_site import TAGS, Place, as_read, base, list_all, places, plant, rename, tag_of
from injection_corpus import CORPUS
from lxml import etree
from pdf_text import file_text, plain
from short_press import Html, html_writer
from small_site import Rows, project

from binder.cli import main
from binder.documents import nodes as own
from binder.documents.document import Binder
from binder.export_files import csv_bytes, planner_bytes
from binder.exports import site_exports
from binder.field.returns import READING_COLUMNS, SETTING_COLUMNS
from binder.inventory.cleaning import show
from binder.inventory.notes import mark_copy
from binder.inventory.reader import read_workbook
from binder.inventory.spreadsheet_text import guarded
from binder.publishing.packet import Job, make_packet
from binder.publishing.press import Press
from binder.publishing.typefaces import legible
from binder.reissue.current import binder_of, study_of
from binder.report import findings_text
from binder.returning import form_text

TEXTS = tuple(h.text for h in CORPUS)
PLACES = places()
_RIGHT_TO_LEFT = re.compile("[\u0590-\u08ff]")  # painted the other way round
#: Shown by way of another row, which the text in another place may cut off.
_BY_WAY = frozenset({("Settings", "Variant default"), ("Panels", "Place")})
#: Lists such as 'S=S1; K=K4': what is no part of one is told piece by piece.
_LISTS = frozenset({("Controls", "Place"), ("Controls", "Devices"), ("Controls", "Terminals")})
_JOINERS = set("\u200c\u200d")  # signs of no width that some scripts need


def said(*arguments: str) -> str:
    """What a command prints."""
    out = io.StringIO()
    with redirect_stdout(out):
        assert main([*arguments]) in (0, 1)
    return out.getvalue()


def commands_in(text: str) -> set[str]:
    """Signs that a terminal obeys instead of showing them."""
    return {sign for sign in text if sign != "\n" and not sign.isprintable()} - _JOINERS


@dataclass
class Papers:
    """All that is made of one project."""

    site: Path
    pages: dict[str, Any]
    pdfs: list[Path]
    binder: Binder
    read: bool = True  # the letters of the PDF too, which takes as long as setting them

    @cached_property
    def tables(self) -> dict[str, str]:
        """The CSV files for planner and field."""
        study = study_of(self.site)
        lists = {e.name: csv_bytes(e).decode("utf-8-sig") for e in site_exports(study)}
        return lists | {f"form {s}": form_text(study, settings=s) for s in (False, True)}

    @cached_property
    def texts(self) -> dict[str, str]:
        """All words by kind of paper, without breaks and blanks."""
        drawn = [d for page in self.pages.values() for d in harm.drawings(page)]
        found = {
            "HTML": "".join(map(harm.words, self.pages.values())),
            "SVG": "".join(d.text_content() for d in drawn),
            "CSV": "\n".join(cell for text in self.tables.values() for cell in harm.csv_cells(text)),
            "xlsx": "\n".join(str(v) for v, _ in harm.cells_of(self.planner).values()),
            "PDF": "".join(map(file_text, self.pdfs)) if self.read else "",
        }
        return {kind: plain(text) for kind, text in found.items() if text}

    @cached_property
    def planner(self) -> Path:
        """The lists as a workbook."""
        study = study_of(self.site)
        path = self.site / "planner.xlsx"
        path.write_bytes(planner_bytes(study, site_exports(study)))
        return path

    def drawings(self) -> list[etree._Element]:
        """Every drawing as it is made, before any page takes it; none is mended."""
        return [
            etree.fromstring(drawing["svg"].encode())
            for document in self.binder.documents
            for node in self.binder.body(document)
            for drawing in node.findall(own.drawing)
        ]


def built(folder: Path, rows: Rows) -> Papers:
    """A project with its pages as `binder build` makes them."""
    site = project(folder, rows)
    said("build", str(site), "--html")
    json.loads(said("check", str(site), "--json"))
    json.loads(said("figures", str(site), "--connections", "--json"))
    return Papers(site, harm.pages(site), [], binder_of(site))


def pressed(folder: Path, rows: Rows, html: Html) -> Papers:
    """A project with its documents set one by one, pages without the frame that is round all of them."""
    site = project(folder, rows)
    binder = binder_of(site)
    pages = {d.docname: harm.parsed(html(binder, d)) for d in binder.documents}
    return Papers(site, pages, typeset(folder, binder), binder)


def typeset(folder: Path, binder: Binder) -> list[Path]:
    """The PDF of each document."""
    press, made = Press(binder, folder / "cache", pages=None, jobs=1, progress=lambda *_: None), []
    for n, document in enumerate(binder.documents):
        job, _ = press._job(document)
        if job is not None:
            made.append(folder / f"{n}.pdf")
            make_packet(Job(job.number, job.data, made[-1], job.date))
    return made


@dataclass
class Harmless:
    """What papers with harmless words consist of, and where they show each word."""

    shapes: set[harm.Shape] = field(default_factory=set)
    drawn: set[harm.Shape] = field(default_factory=set)
    active: Counter[str] = field(default_factory=Counter)
    scripts: set[str] = field(default_factory=set)
    styles: set[str] = field(default_factory=set)
    shown: dict[Place, set[str]] = field(default_factory=dict)

    def learn(self, papers: Papers) -> None:
        """Take in what stands in pages and drawings."""
        self.shapes |= harm.shapes(papers.pages.values())
        self.drawn |= harm.shapes(papers.drawings())
        for page in papers.pages.values():
            self.active |= harm.active(page)
            self.styles |= harm.styles(page)
            self.scripts |= harm.scripts(page)


@pytest.fixture(scope="module")
def html(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Html]:
    with html_writer(tmp_path_factory.mktemp("writer")) as write:
        yield write


@pytest.fixture(scope="module")
def harmless(tmp_path_factory: pytest.TempPathFactory, html: Html) -> Harmless:
    """Papers with short words, and with long texts, long words and refused signs."""
    folder, found = tmp_path_factory.mktemp("harmless"), Harmless()
    marks = {place: f"zq{n:03d}x" for n, place in enumerate(PLACES)}
    short = pressed(folder / "short", plant(base(), marks), html)
    assert sum(map(harm.actions, short.pdfs), Counter()) == Counter()
    found.learn(short)
    found.shown = {place: {kind for kind, text in short.texts.items() if mark in text} for place, mark in marks.items()}
    odd = ("word " * 30, "W" * 190, "a\x9bb", "1")
    words = {place: odd[n % 4] for n, place in enumerate(PLACES)}
    found.learn(built(folder / "odd", list_all(plant(base(), words), [f"word {n}" for n in range(200)])))
    return found


def planted(turn: int) -> tuple[Rows, dict[Place, str], list[str]]:
    """The site with another text in each place and as each tag; every text once at most."""
    words = {place: TEXTS[(n + turn) % len(TEXTS)] for n, place in enumerate(PLACES)}
    tags = {tag: TEXTS[(len(PLACES) + n + turn) % len(TEXTS)] for n, tag in enumerate(TAGS)}
    assert len(words) + len(tags) <= len(TEXTS)
    taken = {tag: text for tag, text in tags.items() if tag_of(text)}
    return rename(plant(base(), words), taken), words, [str(tag_of(text)) for text in taken.values()]


def no_harm(papers: Papers, harmless: Harmless) -> None:
    """Nothing in what is made is more than with harmless words."""
    assert harm.shapes(papers.pages.values()) <= harmless.shapes
    assert harm.shapes(papers.drawings()) <= harmless.drawn
    for name, page in papers.pages.items():
        assert harm.harm_in_page(page) == [], name
        assert harm.styles(page) <= harmless.styles, name
        assert harm.scripts(page) <= harmless.scripts, name
        assert harm.active(page) <= harmless.active, name
    assert sum(map(harm.actions, papers.pdfs), Counter()) == Counter()
    for name, text in papers.tables.items():
        for delimiter in ",;\t":
            assert [c for c in harm.csv_cells(text, delimiter) if harm.runs_as_formula(c)] == [], (name, delimiter)
    workbook, marked = papers.site / "inventory.xlsx", papers.site / "marked.xlsx"
    findings = study_of(papers.site).findings
    assert commands_in(findings_text(findings, workbook.name)) == set()
    mark_copy(workbook, findings, marked)
    before, after = harm.cells_of(workbook), harm.cells_of(marked)
    assert {place: after.get(place) for place in before} == before
    for cells in (after, harm.cells_of(papers.planner)):
        assert "f" not in {kind for _, kind in cells.values()}


def stands(text: str, kind: str, papers: Papers) -> bool:
    """Whether a text stands on a kind of paper."""
    if kind == "PDF":
        printed = {re.sub("[\u200c\u200d]", "", plain(legible(text, drawn=drawn)[0])) for drawn in (False, True)}
        return _RIGHT_TO_LEFT.search(text) is not None or any(p in papers.texts[kind] for p in printed)
    return plain(text) in papers.texts[kind] or (kind == "CSV" and plain(guarded(text)) in papers.texts[kind])


def gone(papers: Papers, harmless: Harmless, words: Mapping[Place, str]) -> Iterator[str]:
    """Places whose text is neither shown where a harmless word is, nor told in a finding."""
    findings = read_workbook(papers.site / "inventory.xlsx").findings
    told = {(f.sheet, f.column) for f in findings if f.code < "B2"} & set(PLACES)
    cut_off = {sheet for sheet, _ in told} - {"Site"}  # the rest of the row rests on the cell
    turned = {sheet for (sheet, _), word in words.items() if _RIGHT_TO_LEFT.search(word)}  # and its neighbours
    for place, word in words.items():
        text = as_read(word, place)
        if text is None and place not in told and any(map(str.isprintable, word)):
            yield f"{place} {word!r}: refused, and nothing said"
        listed = place in _LISTS and re.search("[=;,\n]", word)
        whole = text is not None and place not in _BY_WAY and place[0] not in cut_off and not listed
        for kind in sorted(harmless.shown[place] & set(papers.texts)) if whole else ():
            if kind == "PDF" and place[0] in turned:
                continue
            if not stands(text, kind, papers) and not stands(show(text)[:60], kind, papers):  # as a finding quotes it
                yield f"{place} {word!r}: not in {kind}"


def test_the_corpus_is_two_hundred_different_texts() -> None:
    assert len(set(TEXTS)) == len(CORPUS) == 200
    assert all(h.reason for h in CORPUS)


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> tuple[Papers, dict[Place, str], list[str]]:
    """One text in each place, and all of them in two lists."""
    rows, words, tags = planted(0)
    folder = tmp_path_factory.mktemp("hostile")
    papers = built(folder / "site", list_all(rows, TEXTS))
    papers.pdfs = typeset(folder, papers.binder)
    return papers, words, tags


def test_every_text_in_two_lists_and_one_in_every_place(
    hostile: tuple[Papers, dict[Place, str], list[str]], harmless: Harmless
) -> None:
    papers, words, tags = hostile
    no_harm(papers, harmless)
    assert list(gone(papers, harmless, words)) == []
    letters = [text for text in (as_read(t, ("Punch list", "Text")) for t in TEXTS) if text]
    assert [
        (kind, text) for text in letters for kind in papers.texts if kind != "SVG" and not stands(text, kind, papers)
    ] == []
    assert [tag for tag in tags if not stands(tag, "HTML", papers)] == []
    index = (papers.site / "build/binder/html/searchindex.js").read_text("utf-8")
    json.loads(index.removeprefix("Search.setIndex(").removesuffix(")"))


@pytest.mark.slow
@pytest.mark.parametrize("start", range(0, 200, 10))
def test_every_text_in_every_place_and_as_every_tag(tmp_path: Path, harmless: Harmless, html: Html, start: int) -> None:
    failed: list[str] = []
    for turn in range(start, start + 10):
        rows, words, tags = planted(turn)
        papers = pressed(tmp_path / str(turn), rows, html)
        papers.read = turn % 4 == 0
        no_harm(papers, harmless)
        failed += gone(papers, harmless, words)
        failed += [f"tag {tag!r}" for tag in tags if not stands(tag, "HTML", papers)]
    assert failed == []


def returned(path: Path, columns: Sequence[str], rows: Sequence[Mapping[str, str]]) -> str:
    """A returned file with the exported heading row."""
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.DictWriter(file, columns, restval="")
        writer.writeheader()
        writer.writerows(rows)
    return str(path)


def test_recorded_texts_stay_texts_and_change_no_other_cell(tmp_path: Path) -> None:
    site = project(tmp_path / "site", base())
    workbook = site / "inventory.xlsx"
    before = harm.cells_of(workbook)
    texts = (*TEXTS, "a\x01b", "a\x1b[31mb", "a\ufffeb")
    who = {"Drive": "VFD-101", "Date": "2026-05-04", "Initials": "JP"}
    readings = [
        {**who, "Test": "E1.L12", "Instrument": "DM-1", "Value": "not done", "Remark": t, "Condition": t} for t in texts
    ]
    left = [{**who, "Setting": "M40", "As left": "a", "Reason": t} for t in texts]
    files = [
        returned(tmp_path / "readings.csv", READING_COLUMNS, readings),
        returned(tmp_path / "settings.csv", SETTING_COLUMNS, left),
    ]
    terminal = said("record", str(site), *files)
    assert commands_in(terminal) == set()
    after = harm.cells_of(workbook)
    assert {place: after[place] for place in before} == before
    assert {kind for _, kind in after.values()} <= {"s", "n", "inlineStr"}
    book = read_workbook(workbook)
    kept = {r.remark for r in book.readings}, {r.condition for r in book.readings}, {r.reason for r in book.as_left}
    for text in TEXTS:
        letters = as_read(text, ("Readings", "Remark"))
        assert letters is None or all(letters in column for column in kept), text
    said("record", str(site), *files)
    assert harm.cells_of(workbook) == after, "recorded again, nothing is added"


def test_in_a_browser_nothing_runs_and_nothing_is_asked_for(
    hostile: tuple[Papers, dict[Place, str], list[str]], tmp_path: Path
) -> None:
    pytest.importorskip("fcntl", reason="the browser is spoken to over pipes, which Windows has not")
    from browser import CHROMIUM, Browser

    if CHROMIUM is None:
        pytest.skip("needs a Chromium browser")
    home = hostile[0].site / "build/binder/html"
    pages = sorted(home.rglob("*.html"))
    with Browser(tmp_path) as browser:
        for page in pages:
            browser.open(page.as_uri())
            assert browser.run("window.__hit") is None, page
            if browser.run("!!document.querySelector('[data-action=start]')"):
                browser.click('[data-action="start"]')
        browser.open(f"{pages[-1].with_name('search.html').as_uri()}?q=%3Cscript%3Ewindow.__hit%3D1%3C/script%3E")
        assert browser.run("window.__hit") is None
        events = browser.events
    assert not [e for e in events if e["method"] in ("Page.javascriptDialogOpening", "Runtime.exceptionThrown")]
    asked = {e["params"]["request"]["url"] for e in events if e["method"] == "Network.requestWillBeSent"}
    assert {url.split(":")[0] for url in asked} <= {"file", "data", "blob", "about"}
    assert {url for url in asked if url.startswith("file:") and not url.startswith(home.as_uri())} == set()
