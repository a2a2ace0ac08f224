"""A workbook built by the command: markup in cells stays letters, two builds give the same bytes."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
from pathlib import Path

import openpyxl
import pikepdf
import pytest
from lxml.html import document_fromstring
from pdf_text import page_text, plain

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_site"
#: Sheet -> how a heading begins, and the markup typed into its first row.
TYPED = {
    "Drives": ("Feeds", ".. include:: /etc/x"),
    "People": ("Name", "<script>alert('x')</script>"),
    "Panels": ("Place", '#panic() #eval("1")'),
    "Site": ("Site name", "*bold* `code`_ $x$"),
}


def hostile(folder: Path) -> Path:
    """The demo with one drive, and markup in four of its sheets."""
    folder.mkdir(parents=True)
    for name in ("conf.py", "index.rst"):
        shutil.copy(DEMO / name, folder)
    book = openpyxl.load_workbook(DEMO / "inventory.xlsx")
    drives = book["Drives"]
    drives.delete_rows(3, drives.max_row)
    for sheet, (heading, text) in TYPED.items():
        cells = next(cell for row in book[sheet].iter_rows() for cell in row if str(cell.value).startswith(heading))
        place = (cells.row, cells.column + 1) if sheet == "Site" else (cells.row + 1, cells.column)
        book[sheet].cell(*place).value = text
    book.save(folder / "inventory.xlsx")
    return folder


def build(folder: Path, seed: str, zone: str) -> dict[str, bytes]:
    """Build by the command in a process of its own; every output by its path."""
    environment = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "PYTHONPATH": str(ROOT), "LC_ALL": "C"}
    done = subprocess.run(
        [sys.executable, "-m", "binder", "build", str(folder), "--out", str(folder / "out")],
        cwd=folder, env=environment, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    out = folder / "out"
    return {p.relative_to(out).as_posix(): p.read_bytes() for p in sorted(out.rglob("*")) if p.is_file()}


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, bytes], dict[str, bytes]]:
    """The same workbook built in two folders, with other hash seeds and time zones."""
    top = tmp_path_factory.mktemp("two")
    first = hostile(top / "one")
    second = top / "a folder with spaces ü"
    shutil.copytree(first, second)
    return build(first, "1", "UTC"), build(second, "2", "Pacific/Auckland")


def test_two_builds_give_the_same_bytes(built: tuple[dict[str, bytes], dict[str, bytes]]) -> None:
    one, two = built
    assert sorted(one) == sorted(two)
    assert any(name.endswith(".pdf") for name in one)
    assert any(name.endswith(".html") for name in one)
    assert [name for name in one if one[name] != two[name]] == []


@pytest.fixture(scope="module")
def said(built: tuple[dict[str, bytes], dict[str, bytes]]) -> tuple[str, str]:
    """What a reader of the pages sees, and of the whole binder on paper."""
    pages = [document_fromstring(data) for name, data in built[0].items() if name.endswith(".html")]
    assert not [s for page in pages for s in page.iter("script") if "alert(" in (s.text or "")]
    whole = max((data for name, data in built[0].items() if name.endswith(".pdf")), key=len)
    with pikepdf.open(io.BytesIO(whole)) as pdf:
        paper = "".join(page_text(page) for page in pdf.pages)
    return "\n".join(page.text_content() for page in pages), plain(paper)


@pytest.mark.parametrize("text", [text for _, text in TYPED.values()])
def test_markup_in_cells_is_read_as_typed(said: tuple[str, str], text: str) -> None:
    screen, paper = said
    assert text in screen
    assert plain(text) in paper
