"""Sheets of terminals and cables told by their own text: what each group says, and where its texts may stand."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from drawing_checks import Group, Sheet, Text
from drawing_ties import _foot as foot_rule
from drawing_ties import _middle
from drawing_ties import _zone as zone_rule

from binder.wiring.connections import Kind, Wiring
from binder.wiring.drawing_blocks import BETWEEN, HALF, LEFT, RIGHT, TOP
from binder.wiring.schedules import core_schedule, terminal_plan
from schemdraw_parts.text import width

_NEAR = 0.12
_SECOND = LEFT + HALF + BETWEEN  # left edge of the second column


def texts_of(group: Group) -> list[str]:
    """Texts of a group in the order of the file."""
    return [t.text for t in group.texts]


def cores_differ(sheets: Sequence[Sheet], wiring: Wiring) -> Iterator[str]:
    """Each core stands once, with both ends, number and colour as in the core schedule; spares stand as spares."""
    drawn: dict[str, list[list[str]]] = defaultdict(list)
    spares: list[tuple[str, str]] = []
    cables = {k.tag for k in wiring.cables}
    for sheet in sheets:
        for group in sheet.groups:
            if group.tag in cables and group.kind == "wire":
                drawn[group.record].append(texts_of(group))
            if group.kind == "spare":
                spares.append((group.tag, group.texts[0].text))
    for line in core_schedule(wiring):
        name = f"{line.core} {line.colour}".strip()
        if not line.id:
            if spares.count((line.cable, name)) != 1:
                yield f"spare core {line.cable} {name} stands {spares.count((line.cable, name))} times"
            continue
        numbers = [line.number, line.number] if line.number else []
        told = [name, *numbers, line.from_end, line.to_end]
        if drawn.pop(line.id, []) != [told]:
            yield f"core {line.id} is not told as {told}"
    yield from (f"core {unknown} is in no list" for unknown in drawn)


def screens_differ(sheets: Sequence[Sheet], wiring: Wiring) -> Iterator[str]:
    """Each end of a cable's screen stands once at its cable, with where it is landed."""
    cables = {k.tag for k in wiring.cables}
    drawn = {g.record: texts_of(g) for s in sheets for g in s.groups if g.kind == "screen" and g.tag in cables}
    for record in wiring.connections:
        if record.kind is Kind.SCREEN and {record.a.device, record.b.device} & cables:
            landing = record.b if record.a.device in cables else record.a
            word = landing.terminal if landing.terminal == "insulated" else f"on {landing.terminal}"
            word = word if landing.device in cables else str(landing)
            if word not in drawn.get(record.id, []):
                yield f"screen {record.id} does not say {word}"


def strips_differ(sheets: Sequence[Sheet], wiring: Wiring) -> Iterator[str]:
    """Each strip terminal stands once, with what the terminal plan says of both its sides and its bridges."""
    shown: dict[str, list[str]] = defaultdict(list)
    landing: dict[str, list[str]] = defaultdict(list)
    strips = {s.tag for s in wiring.strips}
    for sheet in sheets:
        for group in sheet.groups:
            if group.kind == "terminal":
                shown[group.end] += texts_of(group)
    for here, other in _landings(sheets, wiring):
        landing[here].append(other)
    for line in terminal_plan(wiring):
        end = f"{line.strip}:{line.terminal}"
        told = [*line.inside, *line.outside, *line.bridges]
        if line.strip not in strips or (not told and end not in shown):
            continue
        if shown.get(end) != [line.terminal]:
            yield f"terminal {end} stands as {shown.get(end)}"
        if sorted(landing.get(end, [])) != sorted(told):
            yield f"terminal {end} shows {sorted(landing.get(end, []))}, the plan has {sorted(told)}"
    yield from _strip_labels(sheets, wiring)


def _landings(sheets: Sequence[Sheet], wiring: Wiring) -> Iterator[tuple[str, str]]:
    """Strip terminal and the other end, as drawn: the name beside the line, or a bridge's two ends."""
    records = {c.id: c for c in wiring.connections}
    strips = {s.tag for s in wiring.strips}
    for group in (g for s in sheets for g in s.groups if g.record):
        record = records[group.record]
        if group.kind == "bridge":
            yield str(record.a), str(record.b)
            yield str(record.b), str(record.a)
        elif group.tag in strips:
            other = group.texts[-1].text
            yield str(record.a if str(record.b) == other else record.b), other


def _strip_labels(sheets: Sequence[Sheet], wiring: Wiring) -> Iterator[str]:
    """At a strip terminal a conductor carries its number, and a core its cable and mark."""
    records = {c.id: c for c in wiring.connections}
    strips = {s.tag for s in wiring.strips}
    for group in (g for s in sheets for g in s.groups if g.record and g.tag in strips and g.kind != "bridge"):
        record, label = records[group.record], group.texts[0].text.split()
        if record.potential and record.potential not in label:
            yield f"{record.id} does not carry its number"
        if record.core and f"{record.core.cable}:{record.core.mark}" not in label:
            yield f"{record.id} does not name its core"


def loose_texts(sheet: Sheet) -> Iterator[str]:
    """Each text stands where its kind of group puts it."""
    for group in sheet.groups:
        for text in group.texts:
            if group.kind in ("wire", "spare", "screen", "run"):
                good = _tied(text, group)
            elif group.kind == "terminal":
                good = _in_cell(text, group)
            elif group.kind in ("note", "foot"):
                good = foot_rule(text, group, sheet)
            elif group.kind == "zones":
                good = zone_rule(text, group, sheet)
            elif group.strokes:
                good = _in_box(text, group)
            else:
                good = _heads(text, group, sheet)
            if not good:
                yield f"text {text.text!r} of {group.kind} {group.tag} stands apart"


def loose_lines(sheet: Sheet) -> Iterator[str]:
    """A conductor is level; each of its ends is at a terminal, at a box, or has its name beside it."""
    cells = [s.bounds() for g in sheet.groups if g.kind in ("terminal", "place") for s in g.strokes]
    for group in sheet.groups:
        if group.kind not in ("wire", "spare", "run"):
            continue
        (x0, y0), (x1, y1) = group.strokes[0].points[0], group.strokes[0].points[-1]
        if abs(y0 - y1) > 0.01:
            yield f"{group.kind} {group.record} is not level"
        for x, y, side in ((x0, y0, -1.0), (x1, y1, 1.0)):
            named = any(abs(t.x - x - side) < _NEAR and abs(_middle(t) - y) < _NEAR for t in group.texts)
            lands = any(abs(x - edge) < _NEAR and c[1] < y < c[3] for c in cells for edge in (c[0], c[2]))
            if not named and not lands:
                yield f"{group.kind} {group.record} ends nowhere"


def _in_box(text: Text, group: Group) -> bool:
    x0, y0, x1, y1 = group.strokes[0].bounds()
    lines = [_middle(t) for t in group.texts]
    return abs(text.x - (x0 + x1) / 2) < _NEAR and abs(sum(lines) / len(lines) - (y0 + y1) / 2) < _NEAR


def _heads(text: Text, group: Group, sheet: Sheet) -> bool:
    """Heads stand on one line with their tag: at an edge of the column, behind the tag, or above the cells."""
    cells = [g.strokes[0].bounds() for g in sheet.groups if g.kind == "terminal" and g.tag == group.tag]
    if group.kind == "strip name":
        above = [c for c in cells if c[0] < text.x < c[2] and 0 < c[1] - text.y < 4.5]
        return any(abs(text.x - (c[0] + c[2]) / 2) < _NEAR for c in above)
    tags = [g.texts[0] for g in sheet.groups if g.kind in ("strip name", "cable") and g.texts]
    two = any(abs(t.x - _SECOND) < _NEAR for g in sheet.groups if g.kind in ("words", "place") for t in g.texts)
    if group.kind == "words" and text.bold:
        return abs(text.x - LEFT) < _NEAR and text.y < TOP + 3.0
    if group.kind == "cable":
        level = [t for g in sheet.groups if g.kind == "words" for t in g.texts if _base(t) == _base(text)]
        first = min(
            (s.bounds()[1] for g in sheet.groups if g.kind == "sheath" for s in g.strokes if s.bounds()[1] > text.y),
            default=text.y,
        )
        return first - text.y < 4.5 and any(abs(t.x - text.x - _wide(text) - 2.0) < _NEAR for t in level)
    gap = _SECOND - 2.0
    level = [t for t in tags if _base(t) == _base(text) and (not two or (t.x > gap) == (text.x > gap))]
    behind = any(abs(text.x - t.x - _wide(t) - 2.0) < _NEAR for t in level)
    rights = (LEFT + HALF, RIGHT)
    edges = (LEFT, _SECOND, *rights, *(x - 1.0 for x in rights))
    return bool(level) and (behind or any(abs(text.x - x) < _NEAR for x in edges))


def _base(text: Text) -> float:
    """Base line of a head; all heads of one block share it."""
    return round(text.y, 1)


def _wide(text: Text) -> float:
    return width(text.text, text.size, bold=text.bold)


def _tied(text: Text, group: Group) -> bool:
    for stroke in group.strokes:
        for a, b in stroke.segments():
            if abs(a[1] - b[1]) > 0.01:
                continue
            left, right = min(a[0], b[0]), max(a[0], b[0])
            if abs(text.y - a[1] + 0.7) < _NEAR and left - _NEAR < text.x < right + _NEAR:
                return _placed(text, group, left, right)
            beside = {left - 1.0, right + 1.0}
            if abs(_middle(text) - a[1]) < _NEAR and any(abs(text.x - x) < _NEAR for x in beside):
                return True
    return False


def _placed(text: Text, group: Group, left: float, right: float) -> bool:
    """On the line at a fixed place: a millimetre from an end, in the middle, or behind a cable's tag."""
    places = [left + 1.0, right - 1.0, (left + right) / 2]
    if group.kind == "run":
        places = [left + 1.2, left + 3.0 + width(group.texts[-1].text, text.size, bold=True)]
    return any(abs(text.x - x) < _NEAR for x in places)


def _in_cell(text: Text, group: Group) -> bool:
    x0, y0, x1, y1 = group.strokes[0].bounds()
    return x0 < text.x < x1 and abs(_middle(text) - (y0 + y1) / 2) < _NEAR


def judged(sheets: Sequence[Sheet], wiring: Wiring) -> list[str]:
    """Findings of all these checks on the sheets of one drive."""
    found = [f for check in (cores_differ, screens_differ, strips_differ) for f in check(sheets, wiring)]
    return found + [f for sheet in sheets for check in (loose_texts, loose_lines) for f in check(sheet)]
