"""The fonts of the PDF: where they are, which signs they hold, how wide a text runs.

A sign that no font holds would be an empty box on paper. PDF/A forbids that, so every text is
checked here before it is typeset.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from pathlib import Path

FOLDER = Path(__file__).with_name("fonts")

#: What is printed for a sign that no font holds.
REPLACEMENT = "�"

_MM_PER_POINT = 25.4 / 72
_WIDEST = 1.0  # em, for signs outside the text face
_KEPT = "\n\u00a0\u200b"  # signs that need no glyph


@lru_cache(maxsize=1)
def font_files() -> tuple[Path, ...]:
    """Every font file of the PDF: text, drawings (the metrics of Liberation Sans), and a wide fallback."""
    return tuple(sorted(FOLDER.glob("*.ttf")))


@lru_cache(maxsize=1)
def signs() -> frozenset[int]:
    """Code points that at least one font holds."""
    from fontTools.ttLib import TTFont

    held: set[int] = set()
    for path in font_files():
        with TTFont(path, lazy=True) as font:
            held.update(font.getBestCmap())
    return frozenset(code for code in held if not _forbidden(chr(code)))


def _forbidden(sign: str) -> bool:
    """Control signs, private use and byte order marks: PDF/A refuses them even with a glyph."""
    return unicodedata.category(sign) in {"Cc", "Co", "Cs", "Cn"} or sign == "\ufeff"


@lru_cache(maxsize=4096)
def legible(text: str) -> tuple[str, str]:
    """The text as it can be printed, and the signs that had to be replaced.

    >>> legible("10\\t\u2126")
    ('10 Ω', '')
    >>> legible("bus \ue000 bar")
    ('bus � bar', '\\ue000')
    """
    flat = unicodedata.normalize("NFC", text).replace("\r\n", "\n").replace("\r", "\n").replace("\t", " ")
    if flat.isascii() and flat.isprintable():
        return flat, ""
    held = signs()
    missing = sorted({sign for sign in flat if ord(sign) not in held and sign not in _KEPT})
    for sign in missing:
        flat = flat.replace(sign, REPLACEMENT)
    return flat, "".join(missing)


@lru_cache(maxsize=2)
def _advances(bold: bool) -> dict[str, float]:
    """Advance width of every sign of the text face, in em."""
    from fontTools.ttLib import TTFont

    with TTFont(FOLDER / f"SourceSans3-{'Bold' if bold else 'Regular'}.ttf", lazy=True) as font:
        em, widths = font["head"].unitsPerEm, font["hmtx"].metrics
        return {chr(code): widths[name][0] / em for code, name in font.getBestCmap().items()}


@lru_cache(maxsize=16384)
def width_mm(text: str, points: float, *, bold: bool = False) -> float:
    """How wide one line of text runs.

    >>> round(width_mm("Required", 10), 1)
    13.4
    """
    advances = _advances(bold)
    return sum(advances.get(sign, _WIDEST) for sign in text) * points * _MM_PER_POINT
