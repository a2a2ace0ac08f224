"""Stamp a superseded document on every sheet with what stands in its place; the issued file is never touched."""

from __future__ import annotations

import io
import json
from functools import lru_cache
from pathlib import Path

import pikepdf

from binder.publishing.packet import PrintError, typeset
from binder.publishing.saving import save_pdf
from binder.publishing.typefaces import legible

TEMPLATE = Path(__file__).with_name("stamp.typ")


def stamp(source: Path, out: Path, *, word: str, by: str, date: str) -> None:
    """Write a copy of a document with a stamp on every sheet.

    Structure, bookmarks, links and page labels stay as they are: the stamp is an artifact, which no
    reader of the structure meets.

    Parameters
    ----------
    source, out : Path
    word : str
        Across the sheet, 'SUPERSEDED'.
    by : str
        By what, since when: 'by X-901 revision B, 2026-06-01'. Below the word and at the head of the sheet.
    date : str
        Year-month-day of the issue that superseded it.

    Raises
    ------
    PrintError
        The stamp cannot be typeset, or the document cannot be read.

    References
    ----------
    ISO 32000-1:2008, 14.8.2.2: artifacts are no part of a document's logical content (from memory, check).
    """
    try:
        data = io.BytesIO(source.read_bytes())
        pdf = pikepdf.open(data)
    except pikepdf.PdfError as error:
        raise PrintError(f"{source.name} cannot be stamped: {error}") from error
    with pdf:
        forms: dict[tuple[float, float], pikepdf.Object] = {}
        for sheet in pdf.pages:
            left, low, right, high = (float(edge) for edge in sheet.mediabox)
            size = right - left, high - low
            if size not in forms:
                forms[size] = _form(pdf, _stamp(*size, word, by, date))
            name = pikepdf.Name(f"/Stamp{list(forms).index(size)}")
            sheet.add_resource(forms[size], pikepdf.Name.XObject, name)
            sheet.contents_add(b"q\n", prepend=True)
            sheet.contents_add(f"\nQ\nq 1 0 0 1 {left:g} {low:g} cm {name} Do Q\n".encode())
        with pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as metadata:
            title = f"{word}: {metadata.get('dc:title', source.stem)}"
            metadata["dc:title"] = title
        if "/Title" in pdf.docinfo:
            pdf.docinfo["/Title"] = title
        save_pdf(pdf, out)


def _form(pdf: pikepdf.Pdf, stamped: bytes) -> pikepdf.Object:
    """The stamp as a picture that all sheets of one size share."""
    with pikepdf.open(io.BytesIO(stamped)) as made:
        return pdf.copy_foreign(made.make_indirect(made.pages[0].as_form_xobject()))


@lru_cache(maxsize=64)
def _stamp(width: float, height: float, word: str, by: str, date: str) -> bytes:
    """One sheet with nothing but the stamp."""
    line = legible(f"{word} {by}")[0]
    data = {"width": width, "height": height, "word": word, "by": legible(by)[0], "title": line}
    return typeset(TEMPLATE.read_bytes(), json.dumps(data), date, f"the stamp '{line}'")
