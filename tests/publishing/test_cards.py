"""Lockout and door cards stand on one sheet each, in letters that are read in a dim panel room."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from docutils import nodes
from pdf_text import page_text, plain

from binder.documents import blocks
from binder.documents.assemble import assemble
from binder.documents.document import Binder, Document
from binder.documents.drive_packet import _door_cards, _lockout_cards
from binder.documents.packet_cards import door_card_section, lockout_section
from binder.field.sheets import EnergySource
from binder.publishing.pdf import write_pdfs
from binder.reissue.current import study_of
from binder.study import SiteStudy

LEAST_POINTS = 8.0


@pytest.fixture(scope="module")
def study() -> SiteStudy:
    return study_of(Path(__file__).parents[2] / "demo_site")


def typeset(binder: Binder, folder: Path) -> dict[str, Path]:
    """Each document's PDF by its subject."""
    write_pdfs(binder, folder / "out", cache_dir=folder / "cache", jobs=1)
    return {d.subject: folder / "out" / "documents" / f"{d.number}.pdf" for d in binder.documents}


def cards_of(study: SiteStudy, paper: str, language: str) -> Binder:
    """A binder of the drives' cards alone, as the packets hold them."""
    site = replace(study.inventory.site, paper=paper, language=language)
    study = replace(study, inventory=replace(study.inventory, site=site))
    whole = assemble(study)
    drives = {s.drive.tag: s for s in study.drives}

    def body(document: Document) -> list[nodes.Node]:
        drive = drives[document.subject]
        return [*_lockout_cards(drive, language), *_door_cards(drive, f"{document.number} rev A", language)]

    packets = tuple(replace(d, digest="") for d in whole.documents if d.kind == "packet")
    return replace(whole, documents=packets, body=body)


def sizes(page: pikepdf.Page) -> set[float]:
    """Sizes of the letters between running head and title block. [pt]"""
    found: set[float] = set()
    size, places, tall = 0.0, [0.0], float(page.mediabox[3])
    for operands, operator in pikepdf.parse_content_stream(page):
        name = str(operator)
        if name == "q":
            places.append(places[-1])
        elif name == "Q":
            places.pop()
        elif name == "cm":  # the typesetter places each run of text by one of these, from the sheet's corner
            places[-1] = float(operands[5])
        elif name == "Tf":
            size = float(operands[1])
        elif name in {"Tj", "TJ"} and 85 < places[-1] < tall - 55:
            found.add(round(size, 1))
    return found


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_each_card_of_each_demo_drive_is_one_sheet(study: SiteStudy, tmp_path: Path, paper: str) -> None:
    """Lockout card and door card, each in English and in Spanish."""
    made = typeset(cards_of(study, paper, "English and Spanish"), tmp_path)
    assert len(made) == len(study.drives)
    for tag, path in made.items():
        with pikepdf.open(path) as pdf:
            assert len(pdf.pages) == 1 + 4, tag  # the first sheet holds the document's own title
            small = {size for page in list(pdf.pages)[1:] for size in sizes(page)}
            assert min(small) >= LEAST_POINTS, tag


def test_a_door_card_of_very_many_settings_says_how_many_it_leaves_out(study: SiteStudy, tmp_path: Path) -> None:
    card = study.drives[0].field.door_card
    assert card is not None
    many = replace(card, settings=tuple((f"Z{n}", f"Invented setting {n}", "1") for n in range(90)))
    binder = cards_of(study, "Letter", "English")
    binder = replace(binder, documents=binder.documents[:1],
                     body=lambda _: [blocks.page_break(), door_card_section(many, "X-1 rev A")])  # fmt: skip
    path = next(iter(typeset(binder, tmp_path).values()))
    with pikepdf.open(path) as pdf:
        texts = [plain(page_text(page)) for page in pdf.pages]
    assert len(texts) == 2
    assert "and54morechangedsettings:seethesettingsofthisdrive" in texts[1]


def with_energies(study: SiteStudy, count: int) -> Any:
    card = study.drives[0].field.lockout
    more = EnergySource(
        "incoming supply", "480 V", "DS-77, DS-78", "far room", "open, lock, tag", "0 V AC", "drive", "x"
    )
    return replace(card, sources=(*card.sources, *[more] * count))


@pytest.mark.parametrize(("count", "sheets"), [(0, 1), (60, 2)])
def test_a_card_of_two_sheets_says_so_on_both(study: SiteStudy, tmp_path: Path, count: int, sheets: int) -> None:
    binder = cards_of(study, "A4", "English")
    card = with_energies(study, count)
    binder = replace(binder, documents=binder.documents[:1],
                     body=lambda _: [blocks.page_break(), lockout_section(card), blocks.page_break(),
                                     blocks.paragraph("What follows the card.")])  # fmt: skip
    path = next(iter(typeset(binder, tmp_path).values()))
    with pikepdf.open(path) as pdf:
        texts = [plain(page_text(page)) for page in pdf.pages]
    assert len(texts) == 1 + sheets + 1
    told = [f"LOCKOUTCARD,SHEET{n}of{sheets}" in text for n, text in enumerate(texts)]
    assert told == [sheets > 1 and 1 <= n <= sheets for n in range(len(texts))]
    assert "Whatfollowsthecard." in texts[-1]
