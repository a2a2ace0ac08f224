"""Every text of a control sheet is tied to what it names: found when it is moved by a hand's breadth.

The rules are those of the drafting style, one a kind of group; a text whose place no rule
explains is a finding.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from drawing_checks import CAP, Box, Group, Sheet, Stroke, Text

from binder.wiring.sheet import BAND
from binder.wiring.zones import COLUMNS, ROW
from schemdraw_parts.text import width

_NEAR = 0.15


def loose_texts(sheet: Sheet) -> Iterator[str]:
    """Texts that stand where no rule of the drawing puts them."""
    for group in sheet.groups:
        for text in group.texts:
            if not _RULES.get(group.kind, _nowhere)(text, group, sheet):
                yield f"text {text.text!r} of {group.kind} {group.tag} stands apart"


def _middle(text: Text) -> float:
    return text.y - CAP * text.size / 2


def _close(a: float, b: float, tolerance: float = _NEAR) -> bool:
    return abs(a - b) <= tolerance


def _boxes(groups: Sequence[Group]) -> list[Box]:
    return [s.bounds() for g in groups for s in g.strokes if s.closed]


def _of(sheet: Sheet, kind: str, tag: str = "") -> list[Group]:
    return [g for g in sheet.groups if g.kind == kind and (not tag or g.tag == tag)]


def _nowhere(text: Text, group: Group, sheet: Sheet) -> bool:
    return False


def _label(text: Text, group: Group, sheet: Sheet) -> bool:
    """Behind the drive's terminals, where core labels begin, or beside a rail."""
    block = _boxes([g for g in _of(sheet, "drive") if not g.end])[0]
    columns = [block[2] + 1.0, *(t.x for g in _of(sheet, "cable") for t in g.texts)]
    columns += [x1 + 3.5 for _, _, x1, _ in _boxes(_of(sheet, "terminal"))[:1]]
    rail = len(group.strokes[0].points) > 2
    return rail or any(_close(text.x, x) for x in columns)


def _flag(text: Text, group: Group, sheet: Sheet) -> bool:
    """The name inside the flag; the label at a fixed distance from the terminal or from the flag."""
    if text is group.texts[0]:
        x0, y0, x1, y1 = group.strokes[1].bounds()
        return _close(_middle(text), (y0 + y1) / 2) and x0 < text.x < x1
    (start, _), (tip, _) = group.strokes[0].points
    if text.align == "end":
        return _close(text.x, start - 2.2)
    return _close(text.x, tip + 1.2) if tip < start else _close(text.x, start + 1.0) or _close(text.x, start + 3.5)


def _terminal(text: Text, group: Group, sheet: Sheet) -> bool:
    """In the middle of its cell; bridge tracks narrow the cell from the right, alike in all cells."""
    x0, y0, x1, y1 = _boxes([group])[0]
    offsets = {round(g.texts[0].x - _boxes([g])[0][0], 1) for g in _of(sheet, "terminal") if g.texts}
    return len(offsets) == 1 and x0 < text.x < x1 and _close(_middle(text), (y0 + y1) / 2)


def _drive(text: Text, group: Group, sheet: Sheet) -> bool:
    block = _boxes([g for g in _of(sheet, "drive") if not g.end])[0]
    if not group.end:
        tag = next(t for t in group.texts if t.bold)
        places = {
            (round(block[0] + 1.5, 2), round(block[1] + 5.0, 2)),
            (round(tag.x + width(tag.text, tag.size, bold=True) + 2.0, 2), round(block[1] + 5.0, 2)),
            (round(block[2] - 1.2, 2), round(block[1] + 4.2, 2)),
        }
        return any(_close(text.x, x) and _close(text.y, y) for x, y in places)
    x0, y0, x1, y1 = _boxes([group])[0]
    lines = [t for t in group.texts if t.align == ""]
    level = (y0 + y1) / 2
    if text.align == "middle":
        return _close(text.x, (x0 + x1) / 2) and _close(_middle(text), level)
    if text.align == "end":
        others = [t.x for g in _of(sheet, "drive") if g.end for t in g.texts if t.align == "end"]
        return _close(_middle(text), level) and _close(text.x, sorted(others)[len(others) // 2])
    slots = [level] if len(lines) == 1 else [level - 1.45, level + 1.45]
    return _close(text.x, block[0] + 1.0) and any(_close(_middle(text), s) for s in slots)


def _vertices(group: Group) -> list[tuple[float, float]]:
    return [p for s in group.strokes for p in s.points]


def _device(text: Text, group: Group, sheet: Sheet) -> bool:
    whole = _of(sheet, "device", group.tag)
    if group.end:
        return _mark(text, group) or any(
            _close(text.x - 1.0, x0) and y0 < _middle(text) < y1 and _level(text, group, (y0 + 2.7, y1 - 2.7))
            for x0, y0, x1, y1 in _boxes([g for g in whole if not g.end])
        )  # fmt: skip
    for stroke in (s for g in whole if not g.end for s in g.strokes if s.closed):
        x0, y0, x1, y1 = stroke.bounds()
        if x0 <= text.x <= x1 and y0 <= _middle(text) <= y1:
            return True
        gap = text.x - x1 if text.align == "" else x0 - text.x
        if 0.0 < gap < 2.8 and _close(_middle(text), (y0 + y1) / 2, 0.6):
            return True
    return _beside_zigzag(text, whole)


def _beside_zigzag(text: Text, groups: Sequence[Group]) -> bool:
    """Words beside a resistor in zigzag form."""
    for stroke in (s for g in groups if not g.end for s in g.strokes if len(s.points) == 8):
        x0, y0, x1, y1 = stroke.bounds()
        gap = text.x - x1 if text.align == "" else x0 - text.x
        if 0.0 < gap < 2.8 and _close(_middle(text), (y0 + y1) / 2, 0.6):
            return True
    return False


def _level(text: Text, group: Group, ends: tuple[float, float]) -> bool:
    """A port's name is level with its conductor, or, without one, between the block's first and last port."""
    ys = [y for _, y in _vertices(group)]
    if ys:
        return any(_close(_middle(text), y) for y in ys)
    return ends[0] - _NEAR <= _middle(text) <= ends[1] + _NEAR


def _mark(text: Text, group: Group) -> bool:
    """A terminal mark stands on its line or hangs below it, one millimetre beyond its end, or on a slider."""
    points = _vertices(group)
    if not points:
        return False
    right, left = max(p[0] for p in points), min(p[0] for p in points)
    return any(
        (_close(text.x, right + 1.0) or _close(text.x, left + 3.0))
        and (_close(text.y, y - 0.7) or _close(text.y, y + 0.7 + CAP * text.size))
        for _, y in points
    )


def _words(text: Text, group: Group, sheet: Sheet) -> bool:
    """Level with the first row of one of the tag's symbols, lines below at one pitch, all left-aligned."""
    column = {round(g.texts[0].x, 1) for g in _of(sheet, "words")}
    rows = [y for g in _of(sheet, "device", group.tag) if g.end for _, y in _vertices(g)]
    rows += [_middle(t) for g in _of(sheet, "device", group.tag) if g.end for t in g.texts]
    first = group.texts[0]
    place = group.texts.index(text)
    tag_level = any(_close(first.y - CAP * first.size / 2, y) for y in rows)
    return len(column) == 1 and tag_level and _close(text.x, first.x) and _close(text.y, first.y + 3.7 * place)


def _chart(text: Text, group: Group, sheet: Sheet) -> bool:
    """In the middle of a cell of the chart's grid."""
    pieces = [s for s in group.strokes if not s.round]
    xs = sorted({round(s.points[0][0], 2) for s in pieces if _upright(s)} | _edges(pieces, 0))
    ys = sorted({round(s.points[0][1], 2) for s in pieces if _flat(s)} | _edges(pieces, 1))
    return _between(text.x, xs) and _between(_middle(text), ys)


def _upright(stroke: Stroke) -> bool:
    return len(stroke.points) == 2 and stroke.points[0][0] == stroke.points[1][0]


def _flat(stroke: Stroke) -> bool:
    return len(stroke.points) == 2 and stroke.points[0][1] == stroke.points[1][1]


def _edges(strokes: Sequence[Stroke], axis: int) -> set[float]:
    return {round(s.bounds()[axis + 2 * k], 2) for s in strokes if s.closed for k in (0, 1)}


def _between(value: float, lines: Sequence[float]) -> bool:
    return any(_close(value, (a + b) / 2, 0.2) for a, b in pairwise(lines))


def _place(text: Text, group: Group, sheet: Sheet) -> bool:
    x0, y0, _, _ = group.strokes[0].bounds()
    if _close(text.x, x0 + 1.0) and _close(text.y, y0 + 3.4):
        return True
    block = _boxes([g for g in _of(sheet, "drive") if not g.end])[0]
    return _close(text.x, block[2] + 2.0) and _close(text.y, 8.4)


def _cable(text: Text, group: Group, sheet: Sheet) -> bool:
    """4.5 mm above a conductor, all cable names in one column."""
    column = {round(g.texts[0].x, 1) for g in _of(sheet, "cable")}
    levels = [p[1] for g in sheet.groups if g.kind in ("wire", "flag") for s in g.strokes[:1] for p in s.points]
    tag = text.y - CAP * 9 * 25.4 / 72 / 2
    return len(column) == 1 and any(_close(tag, y - 4.5) for y in levels)


def _strip_name(text: Text, group: Group, sheet: Sheet) -> bool:
    cells = _boxes(_of(sheet, "terminal"))
    return _close(text.x, (cells[0][0] + cells[0][2]) / 2) and _close(_middle(text), 11.6)


def _on_line(text: Text, group: Group, sheet: Sheet) -> bool:
    """On a level stretch of the screen's own line, at its sheath or where core labels begin."""
    column = [t.x for g in _of(sheet, "cable") for t in g.texts]
    for stroke in group.strokes:
        for a, b in stroke.segments():
            if _close(a[1], b[1], 0.01) and _close(text.y, a[1] - 0.7):
                corner = a[0] if stroke.points[0][0] == a[0] else b[0]
                return _close(text.x, corner + 0.8) or any(_close(text.x, x) for x in column)
    return False


def _foot(text: Text, group: Group, sheet: Sheet) -> bool:
    """On the foot line or the note's line, at the left or right edge of the page."""
    tag = text.y - CAP * 9 * 25.4 / 72 / 2
    edge = text.x if text.align == "" else sheet.width - text.x
    line = group.texts[::-1].index(text) if group.kind == "note" else 0
    return _close(edge, 1.0) and _close(sheet.height - tag, (6.8 if group.kind == "note" else 2.6) + 3.4 * line, 0.2)


def _on_arm(text: Text, group: Group, sheet: Sheet) -> bool:
    """A link's number: on its lower arm, beside the cell."""
    (x, y) = group.strokes[0].points[-1]
    return _close(text.x, x - 0.8) and _close(text.y, y - 0.7)


def _zone(text: Text, group: Group, sheet: Sheet) -> bool:
    """A number over the middle of its column, a letter beside the middle of its row."""
    bottom = max(y for _, y in _vertices(group))
    if text.text.isdigit():
        middle = BAND + (sheet.width - BAND) / COLUMNS * (int(text.text) - 0.5)
        return _close(text.x, middle) and _close(_middle(text), BAND / 2)
    top = BAND + ROW * "ABCDEFGH".index(text.text)
    return _close(text.x, BAND / 2) and _close(_middle(text), (top + min(top + ROW, bottom)) / 2)


_RULES = {
    "zones": _zone,
    "terminal": _terminal, "drive": _drive, "device": _device, "words": _words, "chart": _chart, "place": _place,
    "cable": _cable, "strip name": _strip_name, "screen": _on_line, "note": _foot, "foot": _foot,
    "wire": _label, "flag": _flag, "link": _on_arm,
}  # fmt: skip
