"""What stays together on the sheets of the typeset demo: rows, headings, sign-off blocks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from pdf_layout import Placed, placed, stranded

from binder.publishing.pdf import PdfResult, write_pdfs
from binder.reissue.current import binder_of

DEMO = Path(__file__).resolve().parents[2] / "demo_site"
#: Before rows were bound together, these packets had 17 lonely rows, and the whole demo 43.
DRIVES = {"VFD-101", "VFD-301", "VFD-602"}


def typeset(folder: Path, paper: str, drives: set[str]) -> PdfResult:
    binder = binder_of(DEMO)
    kept = [d for d in binder.documents if d.kind != "page" and (d.kind != "packet" or d.subject in drives)]
    binder = replace(binder, documents=kept, site=replace(binder.site, paper=paper))
    return write_pdfs(binder, folder / "out", cache_dir=folder / "cache")


@pytest.fixture(scope="module", params=["Letter", pytest.param("A4", marks=pytest.mark.slow)])
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> PdfResult:
    return typeset(tmp_path_factory.mktemp(request.param), request.param, DRIVES)


def trees(made: PdfResult) -> Iterator[tuple[str, Placed]]:
    for number, path in made.files.items():
        with pikepdf.open(path) as pdf:
            yield number, placed(pdf)


def test_no_row_stands_alone_and_none_is_split(made: PdfResult) -> None:
    tables = 0
    for number, tree in trees(made):
        for table in tree.all("Table"):
            tables += 1
            assert stranded(table) == [], f"{number}: sheets of lonely rows, from 0"
            assert all(len(row.sheets) <= 1 for row in table.all("TR")), number
    assert tables > 200


def test_no_heading_is_left_behind(made: PdfResult) -> None:
    headings = 0
    for number, tree in trees(made):
        for above, below in all_pairs(tree):
            if above.kind in {"H1", "H2", "H3", "H4"} and below.sheets:
                headings += 1
                assert above.sheets[-1] == below.sheets[0], f"{number}: a heading ends sheet {above.sheets[-1] + 1}"
    assert headings > 200


def all_pairs(tree: Placed) -> Iterator[tuple[Placed, Placed]]:
    """Every element with the one after it."""
    yield from pairwise(tree.kids)
    for kid in tree.kids:
        yield from all_pairs(kid)


def test_no_signing_block_is_split(made: PdfResult) -> None:
    blocks: dict[tuple[str, str], set[int]] = {}
    for number, path in made.files.items():
        with pikepdf.open(path) as pdf:
            for sheet, page in enumerate(pdf.pages):
                for widget in page.get("/Annots", ()):
                    names = full_name(widget)
                    if names[1:2] == ["sign"]:
                        blocks.setdefault((number, names[2]), set()).add(sheet)
    assert len(blocks) > 10
    assert [block for block, sheets in blocks.items() if len(sheets) > 1] == []


def full_name(node: Any) -> list[str]:
    """Parts of a field's name; none of a link's."""
    above = full_name(node.Parent) if "/Parent" in node and "/T" in node else []
    return [*above, str(node.T)] if "/T" in node else above


@pytest.mark.slow
def test_no_lonely_row_in_the_whole_demo(tmp_path: Path) -> None:
    drives = {d.subject for d in binder_of(DEMO).documents if d.subject}
    made = typeset(tmp_path, "Letter", drives)
    assert {n: found for n, tree in trees(made) if (found := [s for t in tree.all("Table") for s in stranded(t)])} == {}
