"""Pictures of the project folder: the logo, and what the contractor's own pages show."""

from __future__ import annotations

from pathlib import Path

from binder.publishing.sheet_data import Picture
from binder.publishing.typst import drawing_source

_KINDS = {".svg": "svg", ".png": "png", ".jpg": "jpg", ".jpeg": "jpg"}


def picture(project: Path, name: str) -> Picture | None:
    """A picture of the project folder; None for anything outside it or of another kind."""
    root = project.resolve()
    path = (root / name.replace("\\", "/")).resolve()  # as typed on Windows
    kind = _KINDS.get(path.suffix.lower())
    if kind is None or not path.is_relative_to(root) or not path.is_file():
        return None
    content = path.read_bytes()
    return kind, drawing_source(content.decode("utf-8")).encode() if kind == "svg" else content
