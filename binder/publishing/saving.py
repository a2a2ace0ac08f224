"""Save a PDF so that a full disk is an error and not the end of the program."""

from __future__ import annotations

import io
from pathlib import Path

import pikepdf


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
    made = io.BytesIO()
    pdf.save(made, object_stream_mode=pikepdf.ObjectStreamMode.generate, deterministic_id=True)
    out.write_bytes(made.getbuffer())
