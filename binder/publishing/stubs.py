"""The two-line source files that let plain sphinx-build see generated documents.

A stub holds a directive and the document's key, both made by the tool. No text of the workbook is
ever in a source file.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from binder.inventory.files import put_in_place

if TYPE_CHECKING:
    from binder.documents.document import Document

MARKER = ".. Made by the binder extension. Do not edit; changes are overwritten."
FOLDER = "documents"


def write_stubs(source: Path, documents: Iterable[Document]) -> None:
    """Bring the stubs in `source` in line with the documents.

    Files are written only when they differ, so that nothing is read again without cause; of the
    others only those that carry our marker are deleted.

    Raises
    ------
    OSError
        The folder cannot be written.
    """
    wanted = {
        source / f"{document.docname}.rst": f"{MARKER}\n\n.. binder-document:: {document.key}\n"
        for document in documents
        if document.kind != "page"
    }
    index = source / "index.rst"
    if not index.exists() or _ours(index):
        wanted[index] = f"{MARKER}\n\n.. binder-index::\n"
    for path, text in wanted.items():
        if not path.exists() or path.read_text("utf-8", "replace") != text:
            path.parent.mkdir(parents=True, exist_ok=True)
            put_in_place(path, text.encode())  # half of a marker would look like a page of the contractor's
    for path in sorted((source / FOLDER).glob("*.rst")):
        if path not in wanted and _ours(path):
            path.unlink()


def _ours(path: Path) -> bool:
    """True when the file carries our marker."""
    return path.read_text("utf-8", "replace").startswith(MARKER)
