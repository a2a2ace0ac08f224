"""How wide the columns of a printed table are, from what stands in them."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from binder.documents.nodes import Cell, Column, Row
from binder.engineering.figure import firm
from binder.publishing.typefaces import width_mm

POINTS = 8.5  # size of table text
DENSE_POINTS = 7.6  # of tables with more text than fits
PADDING_MM = 3.0  # both sides of a cell together, as in template.typ
_HAIR_MM = 0.001  # of rounding, where a column is as wide as its longest word
_SLACK = 1.03  # kerning and figures of equal width run a little wider than the sum of advances

# A break stands behind a separator, but neither inside a number nor behind the sign of one.
_SEPARATORS = re.compile(r"(?<=[_/.,;:=+\-])(?!(?<=\d[.,])\d)(?<!^[+\-])(?=\w)")
_LONE_FIGURE = re.compile(r" (?=[\d.,]{1,3}$)")

_BOX_MM = {"tick": 9.0, "passfail": 10.0}
_SMALLEST_WRITE_MM = 12.0
_LARGEST_WRITE_MM = 45.0
_LONGEST_VALUE_MM = 18.0
_SHORT_MM = 20.0  # a text that looks worse broken than its neighbours do narrow
_SHORT_SHARE = 0.7  # of the width that columns of short texts may take, all together
_TYPICAL = 0.85  # share of cells that a column is laid out for
_DENSE_LINES = 2.2
_MOST_LINES = 4  # that the longest text takes where a typical one takes a single line
_WHOLE = 9  # letters of a text that is never broken: a value with its unit


def _words(text: str) -> Iterable[str]:
    """Pieces that a line can break between; long codes may break after their separators."""
    if len(text) <= _WHOLE:
        yield text
        return
    for word in text.split():
        yield from _SEPARATORS.split(word) if len(word) > 10 else (word,)


@dataclass(frozen=True, slots=True)
class _Need:
    """What a column asks for: its longest word, and a long but not the longest of its texts on one line."""

    least: float
    typical: float
    longest: float


@lru_cache(maxsize=16384)
def _measured(text: str, bold: bool) -> tuple[tuple[float, ...], float]:
    """Widths of a text's lines and of its longest word, at one point. Most texts stand in many tables."""
    lines = tuple(width_mm(line, 1.0, bold=bold) * _SLACK for line in text.split("\n"))
    return lines, max((width_mm(word, 1.0, bold=bold) * _SLACK for word in _words(text)), default=0.0)


def _need(texts: Iterable[str], points: float, *, bold: bool) -> _Need:
    """Measure a column's texts, in millimetres, padding left out."""
    measured = [_measured(text, bold) for text in texts if text]
    if not measured:
        return _Need(0.0, 0.0, 0.0)
    lines = sorted(width for widths, _ in measured for width in widths)
    longest_word = max(word for _, word in measured)
    return _Need(longest_word * points, lines[int(_TYPICAL * (len(lines) - 1))] * points, lines[-1] * points)


def text_of(cell: str | Cell) -> str:
    """What a cell says, its mark included."""
    if isinstance(cell, str):
        return cell
    return f"{cell.mark.upper()} {cell.text}" if cell.mark else cell.text


@dataclass(frozen=True, slots=True)
class Layout:
    """Widths of a table's columns and the size its text is set in."""

    widths: list[float]
    points: float


def lay_out(columns: Sequence[Column], rows: Sequence[Row], available_mm: float) -> Layout:
    """Column widths that sum to `available_mm`.

    Boxes to write in get a share by weight, boxes to tick a fixed width. The other columns get what
    lets all of them come out at about the same number of lines, for the tallest cell makes the row.
    A table that would still need three lines and more is set smaller.
    """
    layout, lines = _lay_out(columns, rows, available_mm, POINTS)
    if lines > _DENSE_LINES:
        layout, _ = _lay_out(columns, rows, available_mm, DENSE_POINTS)
    return layout


def _lay_out(columns: Sequence[Column], rows: Sequence[Row], available: float, points: float) -> tuple[Layout, float]:
    """Widths at one text size, and the lines that a typical row then has."""
    fixed: dict[int, float] = {}
    needs: dict[int, _Need] = {}
    short: dict[int, _Need] = {}
    weights = math.fsum(column.weight for column in columns)
    for index, column in enumerate(columns):
        head = _need([column.title], points, bold=True).least
        cells = [row.cells[index] for row in rows if row.kind != "group"]
        texts = [text_of(cell) for cell in cells]
        bold = column.header or any(isinstance(cell, Cell) and cell.bold for cell in cells)
        need = _need(texts, points, bold=bold)
        if column.kind in _BOX_MM:
            fixed[index] = _BOX_MM[column.kind] * (2 if column.kind == "passfail" else 1)
        elif column.kind == "write":
            share = min(max(_SMALLEST_WRITE_MM, available * column.weight / weights), _LARGEST_WRITE_MM)
            fixed[index] = max(share, head + PADDING_MM, need.least + PADDING_MM)
        else:
            # Short texts look worse broken than long ones, and a row's name worst of all.
            eager = (1 + 20 / (need.typical + 20)) * (1.2 if column.header else 1.0)
            typical = max(head, min(need.typical * eager, need.longest), need.longest / _MOST_LINES)
            # A value beside its unit: one line, unless it is a sentence.
            whole = min(need.longest, _LONGEST_VALUE_MM) if column.kind == "number" else 0.0
            needs[index] = _Need(max(head, need.least, whole), typical, max(head, need.longest))
            if need.typical <= _SHORT_MM:
                short[index] = replace(needs[index], least=max(needs[index].least, need.typical))
    room = available - math.fsum(fixed.values())
    unbroken = needs | short
    if math.fsum(need.least + PADDING_MM for need in unbroken.values()) <= _SHORT_SHARE * room:
        needs = unbroken
    widths, lines = _equal_lines(list(needs.values()), room)
    shared = fixed | dict(zip(needs, widths, strict=True))
    if not needs and fixed:
        shared = {index: width * available / math.fsum(fixed.values()) for index, width in fixed.items()}
    return Layout([shared[index] for index in range(len(columns))], points), lines


def _equal_lines(needs: Sequence[_Need], room: float) -> tuple[list[float], float]:
    """Widths at which typical cells of all columns have the same number of lines, and that number."""

    def widths(lines: float) -> list[float]:
        return [max(need.least, need.typical / lines) + PADDING_MM for need in needs]

    narrowest = math.fsum(need.least + PADDING_MM for need in needs)
    if narrowest > room:
        return [(need.least + PADDING_MM) * room / narrowest for need in needs], 9.0
    # A line that is not the last is rarely full, hence the margin beyond the first line.
    low, high = 1.0, 40.0
    if math.fsum(widths(1.0)) <= room:
        high = 1.0
    while high - low > 0.02:
        middle = (low + high) / 2
        low, high = (low, middle) if math.fsum(widths(middle)) <= room else (middle, high)
    made = widths(high)
    wanted = [max(need.longest + PADDING_MM - width, 0.0) for need, width in zip(needs, made, strict=True)]
    spare = room - math.fsum(made)
    given = [w * min(1.0, spare / math.fsum(wanted)) if math.fsum(wanted) else 0.0 for w in wanted]
    rest = spare - math.fsum(given)
    total = math.fsum(made) or 1.0
    return [w + g + rest * w / total for w, g in zip(made, given, strict=True)], high


def fit(text: str, width: float, points: float = POINTS) -> str:
    """The text with breaks where a word is wider than its column, and figures kept with their word.

    >>> fit("EXTERNAL_INTERLOCK", 20).split("\\u200b")
    ['EXTERNAL_', 'INTERLOCK']
    """
    room = width - PADDING_MM + _HAIR_MM
    if width_mm(text, points) * _SLACK <= room:
        return text
    text = firm(_LONE_FIGURE.sub("\u00a0", text))
    return "".join(part if part.isspace() else _break_word(part, room, points) for part in re.split(r"([ \n]+)", text))


def _break_word(word: str, room: float, points: float) -> str:
    """A word that would run out of its cell with zero-width spaces: one a line and no more, since a copy keeps them."""
    if width_mm(word, points) * _SLACK <= room:
        return word
    lines = [""]
    for piece in (part for code in re.split(r"(?<=\u00a0)", word) for part in _SEPARATORS.split(code)):
        length = len(piece)
        while length > 1 and width_mm(piece[:length], points) * _SLACK > room:
            length -= 1
        for part in (piece[start : start + length] for start in range(0, len(piece), max(length, 1))):
            if not lines[-1] or width_mm(lines[-1] + part, points) * _SLACK <= room:
                lines[-1] += part
            else:
                lines.append(part)
    return "\u200b".join(lines)
