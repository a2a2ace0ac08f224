"""How many lines a table's texts take, where that is certain: such a row need not be measured by the typesetter.

Kerning and the rules of line breaking are the typesetter's. So lines are counted twice: with letters a little wider
and few places to break at, and with letters a little narrower and many. Where both counts agree, so does it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache

from binder.publishing.typefaces import in_text_face, width_mm

_WIDER, _NARROWER = 1.03, 0.97
_MOST_LINES = 12  # higher rows are measured: one could be higher than a sheet

# Signs beside which a line may not break even at a space (Unicode Standard Annex 14, rules 13 to 19, from memory).
_CLOSING, _OPENING = "!?/),.:;]}’”»%", "([{‘“«"
_MAY_BREAK_BEHIND = re.compile(r"(?<=[^\w\s])(?=\S)")

Piece = tuple[float, float]  # width of what cannot be parted, and of the space before it; both at one point [mm]


def certain_lines(text: str, room_mm: float, points: float, *, bold: bool) -> int | None:
    """Lines that a text takes in a column, or None where that is not certain.

    Parameters
    ----------
    text : str
        With the zero-width spaces of `table_layout.fit`.
    room_mm : float
        Width between the paddings.
    points : float
    bold : bool

    Examples
    --------
    >>> certain_lines("Motor stopped", 40, 8.5, bold=False), certain_lines("Motor stopped", 15, 8.5, bold=False)
    (1, 2)
    >>> certain_lines("Motor stopped", 18.5, 8.5, bold=False) is None
    True
    """
    if not in_text_face(text):
        return None
    room = room_mm / points
    if "\n" not in text and width_mm(text, 1.0, bold=bold) * _WIDER <= room:
        return 1
    few, many = _pieces(text, bold)
    count = _filled(few, room / _WIDER)
    return count if count and count <= _MOST_LINES and count == _filled(many, room / _NARROWER) else None


def row_lines(counts: Iterable[int | None]) -> int | None:
    """Lines of the highest cell of a row.

    >>> row_lines([1, 3, 2]), row_lines([1, None])
    (3, None)
    """
    known = list(counts)
    return None if None in known else max((count for count in known if count), default=1)


@lru_cache(maxsize=16384)
def _pieces(text: str, bold: bool) -> tuple[list[list[Piece]], list[list[Piece]]]:
    """What a line can end behind, in each paragraph: at certain places alone, and at every place that is possible."""
    few: list[list[Piece]] = []
    many: list[list[Piece]] = []
    for paragraph in text.split("\n"):
        few.append([])
        many.append([])
        before = " "
        for part in re.findall(r"[ \u200b]+[^ \u200b]*|[^ \u200b]+", paragraph):
            word = part.lstrip(" \u200b")
            if not word:
                continue  # spaces at the end of a line take no room
            space = width_mm(" ", 1.0, bold=bold) if part.startswith(" ") else 0.0
            wide = width_mm(word, 1.0, bold=bold)
            if few[-1] and (word[0] in _CLOSING or before in _OPENING):
                held, gap = few[-1][-1]
                few[-1][-1] = held + space + wide, gap
            else:
                few[-1].append((wide, space))
            pieces = _MAY_BREAK_BEHIND.split(word)
            many[-1] += [(width_mm(piece, 1.0, bold=bold), 0.0 if n else space) for n, piece in enumerate(pieces)]
            before = word[-1]
    return few, many


def _filled(paragraphs: Sequence[Sequence[Piece]], room: float) -> int:
    """Lines that pieces fill one after the other; 0 where one is wider than a line."""
    count = 0
    for pieces in paragraphs:
        count += 1
        used = 0.0
        for wide, space in pieces:
            if wide > room:
                return 0
            if used and used + space + wide > room:
                count += 1
                used = wide
            else:
                used += (space if used else 0.0) + wide
    return count
