"""What a finished document depends on besides its own content: the code and fonts that make it."""

from __future__ import annotations

import hashlib
import importlib.metadata
from functools import lru_cache
from pathlib import Path

from binder.publishing.typefaces import font_files

_PACKAGES = ("docutils", "matplotlib", "pikepdf", "schemdraw", "segno", "sphinx", "typst")


def sha256(*parts: str | bytes) -> str:
    """Digest of texts and bytes, each with its length so that no two runs of parts look alike."""
    digest = hashlib.sha256()
    for part in parts:
        data = part.encode("utf-8", "surrogatepass") if isinstance(part, str) else part
        digest.update(f"{len(data)}:".encode())
        digest.update(data)
    return digest.hexdigest()


@lru_cache(maxsize=1)
def software_digest() -> str:
    """Digest of our own code, of the template and theme, and of the versions of what makes a page.

    A page is made again when the code that made it has changed, without anybody raising a number.
    """
    here = Path(__file__).resolve().parents[2]
    parts: list[str | bytes] = []
    for folder in ("binder", "schemdraw_parts"):
        for path in sorted((here / folder).rglob("*")):
            if path.suffix in {".py", ".typ", ".csv", ".json", ".html", ".css", ".js", ".toml"}:
                # Line ends differ between checkouts; the code does not.
                parts += [path.relative_to(here).as_posix(), path.read_bytes().replace(b"\r\n", b"\n")]
    for name in _PACKAGES:
        parts += [name, importlib.metadata.version(name)]
    return sha256(*parts)


@lru_cache(maxsize=1)
def fonts_digest() -> str:
    """Digest of every font file."""
    return sha256(*(part for path in font_files() for part in (path.name, path.read_bytes())))
