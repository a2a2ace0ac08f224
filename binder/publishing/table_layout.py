"""How wide the columns of a printed table are, from what stands in them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from binder.documents.nodes import Cell, Column, Row
from binder.publishing.typefaces import width_mm

POINTS = 8.5  # size of table text, as in template.typ
PADDING_MM = 3.0  # both sides of a cell together, as in template.typ
_SLACK = 1.03  # kerning and figures of equal width run a little wider than the sum of advances

_SEPARATORS = re.compile(r"(?<=[_/.,;:=+\-])(?=\w)")
_LONE_FIGURE = re.compile(r" (?=[\d.,]{1,3}$)")
_VALUE_AND_UNIT = re.compile(r"(?<=\d) (?=[A-Za-zµΩ°%/³²·]{1,4}(?:$|[ ,;)]))")

_BOX_MM = {"tick": 9.0, "passfail": 10.0}
_SMALLEST_WRITE_MM = 17.0


@dataclass(frozen=True, slots=True)
class PrintedColumn:
    """A column as printed: a pass/fail column of the record is two of these."""

    title: str
    kind: str  # 'text', 'number', 'code', 'write', 'tick', 'pass', 'fail'
    width_mm: float
    header: bool


def _words(text: str) -> Iterable[str]:
    """Pieces that a line can break between; long codes may break after their separators."""
    for word in text.split():
        yield from _SEPARATORS.split(word) if len(word) > 10 else (word,)


def _measure(texts: Iterable[str], *, bold: bool) -> tuple[float, float]:
    """(narrowest, natural) width of a column, in millimetres."""
    narrow = natural = 0.0
    for text in texts:
        for line in text.split("\n"):
            natural = max(natural, width_mm(line, POINTS, bold=bold))
        for word in _words(text):
            narrow = max(narrow, width_mm(word, POINTS, bold=bold))
    return narrow * _SLACK + PADDING_MM, natural * _SLACK + PADDING_MM


def text_of(cell: str | Cell) -> str:
    """What a cell says, its mark included."""
    if isinstance(cell, str):
        return cell
    return f"{cell.mark.upper()} {cell.text}" if cell.mark else cell.text


def column_widths(columns: Sequence[Column], rows: Sequence[Row], available_mm: float) -> list[float]:
    """Widths that sum to `available_mm`.

    Boxes to write in get their share by weight, boxes to tick a fixed width. Text columns get what
    their longest word needs, and of the rest in proportion to what they would like; where nothing
    is short, weight spreads the surplus.
    """
    weights = sum(column.weight for column in columns)
    narrow, natural = [], []
    for index, column in enumerate(columns):
        least, head = _measure([column.title], bold=True)
        if column.kind in _BOX_MM:
            width = _BOX_MM[column.kind] * (2 if column.kind == "passfail" else 1)
            narrow.append(width)
            natural.append(width)
            continue
        filled, wanted = _measure(
            (text_of(row.cells[index]) for row in rows if row.kind != "group"), bold=column.header
        )
        if column.kind == "write":
            share = max(_SMALLEST_WRITE_MM, available_mm * column.weight / weights)
            narrow.append(max(_SMALLEST_WRITE_MM, least, filled))
            natural.append(max(share, narrow[-1]))
        else:
            narrow.append(max(least, filled))
            natural.append(max(narrow[-1], wanted, min(head, 1.6 * least)))
    return _share(columns, narrow, natural, available_mm)


def _share(columns: Sequence[Column], narrow: list[float], natural: list[float], available: float) -> list[float]:
    """Divide the room between columns that know what they need and what they would like."""
    if sum(natural) <= available:
        free = [0.0 if c.kind in _BOX_MM else n for c, n in zip(columns, natural, strict=True)]
        spare, total = available - sum(natural), sum(free) or 1.0
        return [n + spare * f / total for n, f in zip(natural, free, strict=True)]
    if sum(narrow) <= available:
        wishes = [(n - least) ** 0.75 for n, least in zip(natural, narrow, strict=True)]
        spare, total = available - sum(narrow), sum(wishes) or 1.0
        return [least + spare * w / total for least, w in zip(narrow, wishes, strict=True)]
    return [least * available / sum(narrow) for least in narrow]


def fit(text: str, width: float) -> str:
    """The text with breaks where a word is wider than its column, and figures kept with their word.

    >>> fit("EXTERNAL_INTERLOCK", 20).split("\\u200b")
    ['EXTERNAL_', 'INTERLOCK']
    """
    room = width - PADDING_MM
    if width_mm(text, POINTS) * _SLACK <= room:
        return text
    text = _VALUE_AND_UNIT.sub("\u00a0", _LONE_FIGURE.sub("\u00a0", text))
    return "".join(part if part.isspace() else _break_word(part, room) for part in re.split(r"([ \n]+)", text))


def _break_word(word: str, room: float) -> str:
    """Zero-width spaces in a word that would run out of its cell."""
    if width_mm(word, POINTS) * _SLACK <= room:
        return word
    pieces: list[str] = []
    for piece in re.split(r"(?<=[_/.,;:=+\-])|(?<=\u00a0)", word):
        length = len(piece)
        while length > 1 and width_mm(piece[:length], POINTS) * _SLACK > room:
            length -= 1
        pieces += [piece[start : start + length] for start in range(0, len(piece), max(length, 1))]
    return "\u200b".join(pieces)
