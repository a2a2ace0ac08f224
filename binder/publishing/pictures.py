"""Pictures of the project folder: the logo, and what the contractor's own pages show."""

from __future__ import annotations

from pathlib import Path

from binder.publishing.sheet_data import Picture
from binder.publishing.typst import drawing_source

_KINDS = {".svg": "svg", ".png": "png", ".jpg": "jpg", ".jpeg": "jpg"}


def picture_file(project: Path, name: str) -> str:
    """A picture's place in the project folder; '' for anything outside it or of another kind."""
    root = project.resolve()
    path = (root / name.replace("\\", "/")).resolve()  # as typed on Windows
    if path.suffix.lower() not in _KINDS or not path.is_relative_to(root) or not path.is_file():
        return ""
    return path.relative_to(root).as_posix()


def picture(project: Path, name: str) -> Picture | None:
    """A picture of the project folder; None for anything else, and for an SVG file that is not well formed."""
    file = picture_file(project, name)
    if not file:
        return None
    kind, content = _KINDS[Path(file).suffix.lower()], (project / file).read_bytes()
    try:
        return kind, drawing_source(content.decode("utf-8")).encode() if kind == "svg" else content
    except ValueError:
        return None
