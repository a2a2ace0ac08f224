"""Texts in a second language are marked with it, for voices that read a PDF aloud."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from pathlib import Path

import pikepdf
from docutils import nodes
from invented_binder import CONF, invented_binder
from lxml.html import document_fromstring

from binder.documents import blocks as b
from binder.documents.document import Document
from binder.documents.language import marked, spoken_paragraph
from binder.publishing.build import build_binder
from binder.publishing.pdf import write_pdfs


def bilingual(_: Document) -> list[nodes.Node]:
    """An English section with one Spanish paragraph, then a Spanish one with all kinds of blocks."""
    spanish = b.section(
        "Tarjeta de bloqueo",
        b.paragraph("Antes de abrir."),
        b.data_table([b.Column("Energía", header=True), b.Column("Prueba")], [b.Row(("Red", "medir"))]),
        b.steps(["Abrir.", "Bloquear."]),
    )
    english = b.section("Lockout card", b.paragraph("Lock."), spoken_paragraph("Bloquear.", "Spanish"))
    return [english, marked(spanish, "Spanish"), b.section("Wiring", b.paragraph("Follow the wire."))]


def test_spanish_parts_are_marked_and_nothing_else(tmp_path: Path) -> None:
    binder = replace(invented_binder(packets=1), body=bilingual)
    result = write_pdfs(binder, tmp_path / "out", cache_dir=tmp_path / "cache", jobs=1)
    for path in (result.files["OWW-P-101"], result.joined[0]):
        with pikepdf.open(path) as pdf:
            marks = Counter(
                (str(o.S), str(o.Lang))
                for o in pdf.objects
                if isinstance(o, pikepdf.Dictionary) and "/S" in o and "/Lang" in o
            )
            documents = len(binder.documents) if path == result.joined[0] else 1
            assert marks == {
                ("/P", "es"): 2 * documents,
                ("/H2", "es"): documents,
                ("/Table", "es"): documents,
                ("/L", "es"): documents,
            }
            assert str(pdf.Root.Lang) == "en"


def test_pages_mark_them_too(tmp_path: Path) -> None:
    (tmp_path / "conf.py").write_text(CONF)
    build_binder(tmp_path, replace(invented_binder(packets=1), body=bilingual), pdf=False)
    page = document_fromstring((tmp_path / "build/binder/html/documents/k0031.html").read_text("utf-8"))
    assert page.get("lang") == "en"
    spanish = [element for element in page.iter() if element.get("lang") == "es"]
    assert "Antes de abrir." in "".join(element.text_content() for element in spanish)
    assert "Bloquear." in "".join(element.text_content() for element in spanish)
    assert "Lock." not in "".join(element.text_content() for element in spanish)
