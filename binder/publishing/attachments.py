"""Files that travel inside a PDF: the project that a binder was made from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import pikepdf

from binder.publishing.saving import open_pdf, save_pdf


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file inside a PDF.

    Parameters
    ----------
    name : str
    data : bytes
    mime : str
        Its media type.
    relation : str
        'Source' for what the PDF was made from, 'Data' for what it is judged by, 'Supplement' for the rest.
    description : str
    """

    name: str
    data: bytes
    mime: str
    relation: str
    description: str


def attach(source: Path, out: Path, files: Sequence[Attachment], *, date: str) -> None:
    """Write a copy of a PDF that carries files, as PDF/A-3a.

    Parameters
    ----------
    source, out : Path
    files : sequence of Attachment
    date : str
        Year-month-day, given as the day the files were last changed.

    References
    ----------
    ISO 19005-3:2012, 6.8 and annex E: associated files with relationship, media type and date (from memory, check).
    """
    stamp = f"D:{date.replace('-', '')}000000Z"
    with open_pdf(source) as pdf:
        specs = pikepdf.Array()
        for file in files:
            spec = pikepdf.AttachedFileSpec(
                pdf,
                file.data,
                description=file.description,
                filename=file.name,
                mime_type=file.mime,
                creation_date=stamp,
                mod_date=stamp,
            )
            spec.obj.AFRelationship = pikepdf.Name(f"/{file.relation}")
            pdf.attachments[file.name] = spec
            specs.append(pdf.attachments[file.name].obj)
        pdf.Root.AF = specs
        with pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as metadata:
            metadata["pdfaid:part"] = "3"
        save_pdf(pdf, out)


def attached(path: Path) -> dict[str, bytes]:
    """The files that a PDF carries, by name.

    Raises
    ------
    ValueError
        It is no PDF, or is damaged.
    """
    try:
        with open_pdf(path) as pdf:
            return {name: pdf.attachments[name].get_file().read_bytes() for name in sorted(pdf.attachments)}
    except pikepdf.PdfError as error:
        raise ValueError(f"{path.name} is no PDF, or a damaged one") from error
