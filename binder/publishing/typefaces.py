"""The fonts of the PDF: where they are, which signs they hold, how wide a text runs.

A sign that no font holds would be an empty box on paper. PDF/A forbids that, so every text is
checked here before it is typeset.
"""

from __future__ import annotations

import math
import re
import unicodedata
from functools import lru_cache
from pathlib import Path

FOLDER = Path(__file__).with_name("fonts")

#: What is printed for a sign that no font holds.
REPLACEMENT = "�"

_MM_PER_POINT = 25.4 / 72
_WIDEST = 1.0  # em, for signs outside the text face
_DRAWING_FACES = ("Arimo", "DejaVuSans")
_TAKEN_APART = re.compile("[\u07c0-\u07ff\u0eb3\u1680\u2d30-\u2d7f]")  # by the typesetter, in pictures; measured
_KEPT = "\n\u00a0\u200b"  # signs that need no glyph


@lru_cache(maxsize=1)
def font_files() -> tuple[Path, ...]:
    """Every font file of the PDF: text, drawings (the metrics of Liberation Sans), and a wide fallback."""
    return tuple(sorted(FOLDER.glob("*.ttf")))


@lru_cache(maxsize=2)
def signs(*, drawn: bool = False) -> frozenset[int]:
    """Code points that at least one font holds, or one of those for drawings."""
    from fontTools.ttLib import TTFont

    held: set[int] = set()
    for path in font_files():
        if path.stem.startswith(_DRAWING_FACES if drawn else ""):
            with TTFont(path, lazy=True) as font:
                held.update(font.getBestCmap())
    return frozenset(code for code in held if not _forbidden(chr(code)))


def _forbidden(sign: str) -> bool:
    """Control signs, private use and byte order marks: PDF/A refuses them even with a glyph."""
    return unicodedata.category(sign) in {"Cc", "Co", "Cs", "Cn"} or sign == "\ufeff"


@lru_cache(maxsize=1)
def _drawing_signs() -> frozenset[int]:
    """Code points of the face of the drawings."""
    from fontTools.ttLib import TTFont

    with TTFont(FOLDER / "Arimo-Regular.ttf", lazy=True) as font:
        return frozenset(font.getBestCmap())


def _joins(sign: str) -> bool:
    """Whether a sign is set as a mark on another one."""
    held, parts = _drawing_signs(), unicodedata.normalize("NFD", sign)
    if ord(sign) in held or not held.issuperset(map(ord, parts)):
        parts = sign
    return _TAKEN_APART.match(sign) is not None or any(unicodedata.category(part)[0] == "M" for part in parts)


@lru_cache(maxsize=4096)
def legible(text: str, *, drawn: bool = False) -> tuple[str, str]:
    """The text as it can be printed, and the signs that had to be replaced.

    Parameters
    ----------
    text : str
    drawn : bool
        In a picture the typesetter does not know which text marks joined to a letter stand for, and
        PDF/A refuses the whole file.

    >>> legible("10\\t\u2126")
    ('10 Ω', '')
    >>> legible("bus \ue000 bar")
    ('bus � bar', '\\ue000')
    """
    flat = unicodedata.normalize("NFC", text).replace("\r\n", "\n").replace("\r", "\n").replace("\t", " ")
    if flat.isascii() and flat.isprintable():
        return flat, ""
    if drawn:
        flat = re.sub("[\u200c\u200d]", "", flat)  # they only tell how neighbours join
    held = signs(drawn=drawn)
    lost = {sign for sign in flat if ord(sign) not in held or (drawn and _joins(sign))}
    missing = sorted(lost.difference(_KEPT))
    for sign in missing:
        flat = flat.replace(sign, REPLACEMENT)
    return flat, "".join(missing)


@lru_cache(maxsize=2)
def _advances(*, bold: bool) -> dict[str, float]:
    """Advance width of every sign of the text face, in em."""
    from fontTools.ttLib import TTFont

    with TTFont(FOLDER / f"SourceSans3-{'Bold' if bold else 'Regular'}.ttf", lazy=True) as font:
        em, widths = font["head"].unitsPerEm, font["hmtx"].metrics
        return {chr(code): widths[name][0] / em for code, name in font.getBestCmap().items()}


def in_text_face(text: str) -> bool:
    """Whether the text face has every sign, so that no other face makes a line higher."""
    return text.isascii() or _advances(bold=False).keys() >= set(text).difference(_KEPT)


@lru_cache(maxsize=16384)
def width_mm(text: str, points: float, *, bold: bool = False) -> float:
    """How wide one line of text runs.

    >>> round(width_mm("Required", 10), 1)
    13.4
    """
    advances = _advances(bold=bold)
    return math.fsum(advances.get(sign, _WIDEST) for sign in text) * points * _MM_PER_POINT
