"""Open and save PDF files where the library alone would fail: odd folders, full disks."""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pikepdf


@contextmanager
def open_pdf(path: Path) -> Iterator[pikepdf.Pdf]:
    """Open a PDF in any folder: the library takes no path that is no text.

    Raises
    ------
    pikepdf.PdfError
        It is no PDF.
    """
    with path.open("rb") as file, pikepdf.open(file) as pdf:
        yield pdf


def pdf_bytes(pdf: pikepdf.Pdf) -> bytes:
    """A PDF as it is written, with the same bytes for the same content."""
    made = io.BytesIO()
    pdf.save(made, object_stream_mode=pikepdf.ObjectStreamMode.generate, deterministic_id=True)
    return made.getvalue()


def save_pdf(pdf: pikepdf.Pdf, out: Path) -> None:
    """Write a PDF with the same bytes for the same content.

    Parameters
    ----------
    pdf : pikepdf.Pdf
    out : Path

    Raises
    ------
    OSError
        The file cannot be written.

    Notes
    -----
    It is made in memory first: the library ends the whole process when a write fails while it is
    closing the file.
    """
    out.write_bytes(pdf_bytes(pdf))
