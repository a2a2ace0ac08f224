"""A stamp on every sheet of a superseded document, and nothing else touched."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from invented_binder import invented_binder
from pdf_text import page_text, plain

from binder.publishing.packet import PrintError
from binder.publishing.pdf import write_pdfs
from binder.publishing.stamping import stamp

BY = "by OWW-P-101 revision C, 2026-06-01"


@pytest.fixture(scope="module")
def pair(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A document with sheets upright and lying, and its stamped copy."""
    folder = tmp_path_factory.mktemp("stamp")
    made = write_pdfs(invented_binder(packets=1), folder / "out", cache_dir=folder / "cache", jobs=1)
    source = made.files["OWW-P-101"]
    stamp(source, folder / "stamped.pdf", word="SUPERSEDED", by=BY, date="2026-06-01")
    return source, folder / "stamped.pdf"


def marked_content(page: pikepdf.Page) -> list[int]:
    """Numbers of the page's marked content, in order."""
    found = []
    for operands, operator in pikepdf.parse_content_stream(page):
        if str(operator) == "BDC" and isinstance(operands[1], pikepdf.Dictionary) and "/MCID" in operands[1]:
            found.append(int(operands[1].MCID))
    return found


def structure(element: Any) -> Iterator[str]:
    """Kinds of the elements of a structure tree, in order."""
    kids = element.get("/K", ())
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield str(kid.S)
            yield from structure(kid)


def test_every_sheet_says_by_what_and_since_when(pair: tuple[Path, Path]) -> None:
    with pikepdf.open(pair[1]) as pdf:
        assert len({tuple(map(float, sheet.mediabox)) for sheet in pdf.pages}) == 2
        for sheet in pdf.pages:
            assert f"SUPERSEDED {BY}. Do not work from this sheet." in page_text(sheet)


def test_what_the_sheets_said_stays(pair: tuple[Path, Path]) -> None:
    with pikepdf.open(pair[0]) as before, pikepdf.open(pair[1]) as after:
        for old, new in zip(before.pages, after.pages, strict=True):
            assert page_text(old) in page_text(new)
            assert [str(a.Subtype) for a in old.get("/Annots", ())] == [str(a.Subtype) for a in new.get("/Annots", ())]


def test_tags_stay_whole_and_the_stamp_is_none(pair: tuple[Path, Path]) -> None:
    with pikepdf.open(pair[0]) as before, pikepdf.open(pair[1]) as after:
        assert list(structure(before.Root.StructTreeRoot)) == list(structure(after.Root.StructTreeRoot)) != []
        for old, new in zip(before.pages, after.pages, strict=True):
            assert marked_content(old) == marked_content(new)
            assert old.get("/StructParents") == new.get("/StructParents")
        (name,) = set(after.pages[0].Resources.XObject.keys()) - set(
            before.pages[0].Resources.get("/XObject", {}).keys()
        )
        operators = [(str(o), [str(x) for x in args]) for args, o in
                     pikepdf.parse_content_stream(after.pages[0].Resources.XObject[name])]  # fmt: skip
        assert operators[0][1][:1] == ["/Artifact"]
        depth = 0
        for operator, _ in operators:
            depth += {"BDC": 1, "BMC": 1, "EMC": -1}.get(operator, 0)
            assert depth == 1 or operator == "EMC"
        with after.open_metadata() as metadata:
            assert (metadata["pdfaid:part"], metadata["pdfaid:conformance"]) == ("2", "A")
            assert metadata["dc:title"].startswith("SUPERSEDED: ")


def test_every_font_of_a_stamped_sheet_is_inside(pair: tuple[Path, Path]) -> None:
    with pikepdf.open(pair[1]) as pdf:
        fonts = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/Type") == "/FontDescriptor"]
        assert fonts
        assert all("/FontFile2" in font or "/FontFile3" in font for font in fonts)


def test_the_same_stamp_gives_the_same_bytes(pair: tuple[Path, Path], tmp_path: Path) -> None:
    before = pair[0].read_bytes()
    stamp(pair[0], tmp_path / "again.pdf", word="SUPERSEDED", by=BY, date="2026-06-01")
    assert (tmp_path / "again.pdf").read_bytes() == pair[1].read_bytes()
    assert pair[0].read_bytes() == before


@pytest.mark.parametrize(("by", "printed"), [("OWW-泵 rev C", "OWW-� rev C"), ("OWW-⌀1 rev C", "OWW-⌀1 rev C")])
def test_a_number_with_signs_that_no_font_holds_can_be_stamped(
    pair: tuple[Path, Path], tmp_path: Path, by: str, printed: str
) -> None:
    stamp(pair[0], tmp_path / "x.pdf", word="SUPERSEDED", by=by, date="2026-06-01")
    with pikepdf.open(tmp_path / "x.pdf") as pdf:
        assert plain(f"SUPERSEDED {printed}") in plain(page_text(pdf.pages[0]))


def test_what_is_no_pdf_cannot_be_stamped(tmp_path: Path) -> None:
    (tmp_path / "x.pdf").write_bytes(b"no PDF")
    with pytest.raises(PrintError, match=r"x\.pdf cannot be stamped"):
        stamp(tmp_path / "x.pdf", tmp_path / "out.pdf", word="SUPERSEDED", by=BY, date="2026-06-01")
