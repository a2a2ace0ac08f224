"""Checks on finished drawing sheets: the SVG is parsed, no drawing code is asked.

Lengths are millimetres. `findings` returns what is wrong in words; an empty list is a good sheet.
"""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from binder.wiring.connections import Connection, End, Kind, Wiring
from binder.wiring.zones import zone
from schemdraw_parts.text import width

Point = tuple[float, float]
Box = tuple[float, float, float, float]

SVG = "{http://www.w3.org/2000/svg}"
LINES = {"wire", "link", "bridge", "screen"}
CONDUCTORS = {"wire", "flag", "link", "bridge", "screen"}
SYMBOLS = {"device", "terminal", "drive", "earth", "chart"}
CAP, DESCENT = 0.716, 0.212
_TOKEN = re.compile(r"([MLAZ])([^MLAZ]*)")


@dataclass(slots=True)
class Text:
    """One text with where it stands."""

    text: str
    x: float
    y: float
    size: float
    bold: bool
    align: str
    group: Group

    def box(self, family: str) -> Box:
        """Ink box with the widths of one family."""
        w = width(self.text, self.size, bold=self.bold, family=family)
        left = self.x - {"": 0.0, "middle": w / 2, "end": w}[self.align]
        low = DESCENT * self.size if set(self.text) & set("gjpqy,;()/") else 0.0
        return left, self.y - CAP * self.size, left + w, self.y + low


@dataclass(slots=True)
class Stroke:
    """One polyline; circles and arcs are polylines of twelve points."""

    points: list[Point]
    closed: bool
    thin: bool
    round: bool
    filled: bool

    def segments(self) -> Iterator[tuple[Point, Point]]:
        """Its straight pieces."""
        ring = [*self.points, self.points[0]] if self.closed else self.points
        return pairwise(ring)

    def bounds(self) -> Box:
        """Its bounding box."""
        xs, ys = [p[0] for p in self.points], [p[1] for p in self.points]
        return min(xs), min(ys), max(xs), max(ys)


@dataclass(slots=True)
class Group:
    """A part on the sheet, or the piece of it that belongs to one terminal."""

    kind: str
    record: str
    tag: str
    end: str
    texts: list[Text] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)


@dataclass(slots=True)
class Sheet:
    """A parsed sheet."""

    root: ET.Element
    width: float
    height: float
    groups: list[Group]

    @property
    def texts(self) -> list[Text]:
        return [t for g in self.groups for t in g.texts]

    def ends(self) -> dict[str, list[Group]]:
        """Groups by terminal address."""
        out: dict[str, list[Group]] = defaultdict(list)
        for group in self.groups:
            if group.end:
                out[group.end].append(group)
        return out


def parse(svg: str) -> Sheet:
    """Parse one sheet."""
    root = ET.fromstring(svg)
    _, _, w, h = (float(v) for v in root.get("viewBox", "").split())
    scale = float(root.get("width", "0mm").removesuffix("mm")) / w
    default = float(root.get("font-size", "0")) * scale
    groups: list[Group] = []
    for element in root.findall(f"{SVG}g"):
        kind, record, tag = (element.get(f"data-{k}", "") for k in ("k", "id", "tag"))
        for owner in [element, *element.findall(f"{SVG}g")]:
            group = Group(kind, record, tag, owner.get("data-end", ""))
            for child in owner:
                _child(child, group, scale, default)
            if group.texts or group.strokes:
                groups.append(group)
    return Sheet(root, w * scale, h * scale, groups)


def _child(child: ET.Element, group: Group, scale: float, default: float) -> None:
    name = child.tag.removeprefix(SVG)
    thin = float(child.get("stroke-width", "2.5")) < 2.0
    filled = child.get("fill") == "currentColor"
    if name == "text":
        size = float(child.get("font-size", "0")) * scale or default
        group.texts.append(Text(
            child.text or "", float(child.get("x", "0")) * scale, float(child.get("y", "0")) * scale, size,
            child.get("font-weight") == "bold", child.get("text-anchor", ""), group,
        ))  # fmt: skip
    elif name == "circle":
        cx, cy, r = (float(child.get(k, "0")) * scale for k in ("cx", "cy", "r"))
        ring = [(cx + r * math.cos(a * math.pi / 6), cy + r * math.sin(a * math.pi / 6)) for a in range(12)]
        group.strokes.append(Stroke(ring, True, thin, True, filled))
    elif name == "path":
        for points, closed, curved in _path(child.get("d", "")):
            scaled = [(x * scale, y * scale) for x, y in points]
            group.strokes.append(Stroke(scaled, closed, thin, curved, filled))


def _path(d: str) -> Iterator[tuple[list[Point], bool, bool]]:
    points: list[Point] = []
    curved = False
    for letter, rest in _TOKEN.findall(d):
        numbers = [float(v) for v in rest.split()]
        if letter == "M":
            if points:
                yield points, False, curved
            points, curved = [(numbers[0], numbers[1])], False
        elif letter == "L":
            points.append((numbers[0], numbers[1]))
        elif letter == "A":
            points += _arc(points[-1], numbers[0], bool(numbers[3]), (numbers[5], numbers[6]))
            curved = True
        else:
            yield points, True, curved
            points = []
    if points:
        yield points, False, curved


def _arc(start: Point, r: float, large: bool, end: Point) -> list[Point]:
    """Points on an arc that runs counter-clockwise on paper."""
    mx, my = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    dx, dy = end[0] - start[0], end[1] - start[1]
    half = math.hypot(dx, dy) / 2
    away = math.sqrt(max(0.0, r * r - half * half)) / (2 * half)
    side = -1 if large else 1
    cx, cy = mx + side * dy * away, my - side * dx * away
    a0, a1 = math.atan2(start[1] - cy, start[0] - cx), math.atan2(end[1] - cy, end[0] - cx)
    if a1 > a0:
        a1 -= 2 * math.pi
    return [(cx + r * math.cos(a0 + (a1 - a0) * k / 8), cy + r * math.sin(a0 + (a1 - a0) * k / 8)) for k in range(1, 9)]


# ---- geometry


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """True when two segments cross in their inside, or lie on each other."""
    if max(a[0], b[0]) < min(c[0], d[0]) - 0.1 or max(c[0], d[0]) < min(a[0], b[0]) - 0.1:
        return False
    if max(a[1], b[1]) < min(c[1], d[1]) - 0.1 or max(c[1], d[1]) < min(a[1], b[1]) - 0.1:
        return False

    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    la, lb = math.dist(a, b), math.dist(c, d)
    if la < 0.05 or lb < 0.05:
        return False
    s1, s2, s3, s4 = side(a, b, c) / la, side(a, b, d) / la, side(c, d, a) / lb, side(c, d, b) / lb
    tolerance = 0.08
    if max(abs(s1), abs(s2)) < tolerance:
        ux, uy = (b[0] - a[0]) / la, (b[1] - a[1]) / la
        t = sorted(((p[0] - a[0]) * ux + (p[1] - a[1]) * uy) for p in (c, d))
        return min(la, t[1]) - max(0.0, t[0]) > 0.15
    return s1 * s2 < 0 and s3 * s4 < 0 and min(abs(s1), abs(s2), abs(s3), abs(s4)) > tolerance


def _hits(box: Box, a: Point, b: Point, slack: float) -> bool:
    """True when a segment enters a box shrunk by `slack`."""
    x0, y0, x1, y1 = box[0] + slack, box[1] + slack, box[2] - slack, box[3] - slack
    if x0 >= x1 or y0 >= y1:
        return False
    t0, t1 = 0.0, 1.0
    dx, dy = b[0] - a[0], b[1] - a[1]
    for p, q in ((-dx, a[0] - x0), (dx, x1 - a[0]), (-dy, a[1] - y0), (dy, y1 - a[1])):
        if p == 0:
            if q < 0:
                return False
            continue
        t = q / p
        if p < 0:
            t0 = max(t0, t)
        else:
            t1 = min(t1, t)
        if t0 > t1:
            return False
    return True


def _distance(p: Point, stroke: Stroke) -> float:
    best = math.inf
    for a, b in stroke.segments():
        length = math.dist(a, b)
        t = 0.0 if length == 0 else max(0.0, min(1.0, sum((p[i] - a[i]) * (b[i] - a[i]) for i in (0, 1)) / length**2))
        best = min(best, math.dist(p, (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))))
    return best


# ---- checks on any sheet


def text_on_text(sheet: Sheet, family: str) -> Iterator[str]:
    """Two texts that overlap."""
    boxes = sorted(((t.box(family), t.text) for t in sheet.texts), key=lambda e: e[0][0])
    for i, (a, one) in enumerate(boxes):
        for b, two in boxes[i + 1 :]:
            if b[0] > a[2]:
                break
            if min(a[2], b[2]) - max(a[0], b[0]) > 0.1 and min(a[3], b[3]) - max(a[1], b[1]) > 0.15:
                yield f"text {one!r} on text {two!r}"


def line_through_text(sheet: Sheet, family: str) -> Iterator[str]:
    """Any line that enters a text."""
    segments = [
        (min(a[1], b[1]), max(a[1], b[1]), a, b, g.kind)
        for g in sheet.groups for s in g.strokes for a, b in s.segments()
    ]  # fmt: skip
    for text in sheet.texts:
        box = text.box(family)
        for low, high, a, b, kind in segments:
            if high >= box[1] and low <= box[3] and _hits(box, a, b, 0.12):
                yield f"{kind} line through text {text.text!r}"
                break


def crossings(sheet: Sheet) -> Iterator[str]:
    """Conductors that cross each other or a symbol."""
    conductors = [
        (g, a, b) for g in sheet.groups if g.kind in CONDUCTORS for s in g.strokes
        if not s.filled and (not s.thin or g.kind == "screen") for a, b in s.segments()
    ]  # fmt: skip
    for i, (g, a, b) in enumerate(conductors):
        for h, c, d in conductors[i + 1 :]:
            if g is not h and _cross(a, b, c, d):
                yield f"{g.kind} {g.record} over {h.kind} {h.record}"
    symbols = [(g, a, b) for g in sheet.groups if g.kind in SYMBOLS for s in g.strokes for a, b in s.segments()]
    for g, a, b in conductors:
        for h, c, d in symbols:
            if not (g.kind == "bridge" and h.kind == "terminal") and _cross(a, b, c, d):
                yield f"{g.kind} {g.record} over {h.kind} {h.tag} {h.end}"


def page(sheet: Sheet, family: str) -> Iterator[str]:
    """Everything inside the page, nothing too small to read."""
    for text in sheet.texts:
        x0, y0, x1, y1 = text.box(family)
        if x0 < 0 or y0 < 0 or x1 > sheet.width or y1 > sheet.height:
            yield f"text {text.text!r} leaves the page"
        if text.size < 1.8:
            yield f"text {text.text!r} is {text.size:.2f} mm high"
    for group in sheet.groups:
        for stroke in group.strokes:
            x0, y0, x1, y1 = stroke.bounds()
            if x0 < 0 or y0 < 0 or x1 > sheet.width or y1 > sheet.height:
                yield f"{group.kind} {group.tag} leaves the page"
    if sheet.width > 255.0 or sheet.height > 172.0:
        yield f"page of {sheet.width} x {sheet.height} mm"


def cut_words(sheet: Sheet) -> Iterator[str]:
    """Words cut with an ellipsis whose whole text stands in no note of the sheet."""
    foot = " ".join(t.text for g in sheet.groups if g.kind == "note" for t in g.texts)
    notes = dict(re.findall(r"\[(\d+)\] (.*?)(?= \[\d+\] |$)", foot))
    for group in sheet.groups:
        for text in group.texts:
            if "…" not in text.text:
                continue
            found = re.fullmatch(r"(.*)…\[(\d+)\]", text.text)
            whole = notes.get(found[2], "") if found else ""
            shown = found[1] if found else text.text
            if found is None and text is not group.texts[-1]:  # a cut line above the one with the number
                continue
            if shown not in whole or not whole:
                yield f"{text.text!r} is cut and stands whole in no note"


def text_in_symbol(sheet: Sheet, family: str) -> Iterator[str]:
    """Text that stands inside the outline of a symbol it does not belong to."""
    outlines = [
        (s.bounds(), g) for g in sheet.groups if g.kind in SYMBOLS for s in g.strokes if s.closed and not s.filled
    ]  # fmt: skip
    for text in sheet.texts:
        x0, y0, x1, y1 = text.box(family)
        for (a0, b0, a1, b1), g in outlines:
            apart = (g.kind, g.tag) != (text.group.kind, text.group.tag) and text.group.kind != "link"
            if apart and min(x1, a1) - max(x0, a0) > 0.1 and min(y1, b1) - max(y0, b0) > 0.15:
                yield f"text {text.text!r} of {text.group.kind} inside {g.kind} {g.tag}"


def access(sheet: Sheet) -> Iterator[str]:
    """Role, title, description and unique ids."""
    root = sheet.root
    if root.get("role") != "img":
        yield "no role"
    for name in ("title", "desc"):
        element = root.find(f"{SVG}{name}")
        if element is None or not (element.text or "").strip():
            yield f"no {name}"
        elif element.get("id") not in root.get("aria-labelledby", "").split():
            yield f"{name} is not named by aria-labelledby"
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    if len(ids) != len(set(ids)):
        yield "an id stands twice"


def general(svg: str) -> list[str]:
    """All checks that hold for any drawing."""
    sheet = parse(svg)
    out = [*crossings(sheet), *access(sheet), *cut_words(sheet)]
    each = (text_on_text, text_in_symbol, line_through_text, page)
    for family in ("Liberation Sans", "DejaVu Sans"):
        out += [f"{family}: {f}" for check in each for f in check(sheet, family)]
    return out


# ---- checks on the control sheets of one drive


def is_supply(end: End, wiring: Wiring) -> bool:
    """True for terminals that stand on the main circuit."""
    return any(s.tag == end.device and s.kind == "control supply" for s in wiring.strips)


def each_once(sheets: Sequence[Sheet], wiring: Wiring) -> Iterator[str]:
    """Every record is one line, or one pair of flags (one flag when an end is on the main circuit)."""
    lines: dict[str, int] = defaultdict(int)
    flags: dict[str, int] = defaultdict(int)
    for sheet in sheets:
        for group in sheet.groups:
            if group.record:
                (flags if group.kind == "flag" else lines)[group.record] += 1
    for record in wiring.connections:
        halves = 1 if is_supply(record.a, wiring) or is_supply(record.b, wiring) else 2
        drawn = lines.pop(record.id, 0), flags.pop(record.id, 0)
        if record.kind is Kind.SCREEN and drawn[0] == 1 and drawn[1] in (0, 2):
            continue
        if drawn not in ((1, 0), (0, halves)):
            yield f"{record.id} is drawn as {drawn[0]} lines and {drawn[1]} flags"
    yield from (f"{unknown} is drawn but not recorded" for unknown in (*lines, *flags))


def labels(sheets: Sequence[Sheet], wiring: Wiring) -> Iterator[str]:
    """Labels name their own record and stand on their own line."""
    records = {c.id: c for c in wiring.connections}
    for sheet in sheets:
        for group in sheet.groups:
            record = records.get(group.record)
            if record is None or group.kind not in ("wire", "flag", "link"):
                continue
            texts = group.texts[1:] if group.kind == "flag" else group.texts
            if not texts and group.kind != "link":
                yield f"{record.id} has no label"
            for text in texts:
                if not _names(text.text, record):
                    yield f"label {text.text!r} on {record.id}"
                if not _stands(text, group):
                    yield f"label {text.text!r} does not stand on {record.id}"


def _names(text: str, record: Connection) -> bool:
    """True when a label is made of the record's own number, core, colour and size."""
    core = f"{record.core.mark} {record.core.colour}".strip() if record.core else ""
    size = record.size.removesuffix("mm²").strip()
    whole = {
        " ".join(x for x in parts if x)
        for colour in (record.colour, "") for s in (size, "")
        for parts in ((record.potential, core), (core,), (record.potential, colour, s), (record.potential,))
    }  # fmt: skip
    if record.kind in (Kind.LINK, Kind.BRIDGE):
        whole = {record.potential, f"{record.potential} {record.kind}"}
    return text in whole


def _stands(text: Text, group: Group) -> bool:
    """True when a text stands 0.7 mm above a line of its group, or beside the end of its rail."""
    for stroke in group.strokes:
        for a, b in stroke.segments():
            level = abs(a[1] - b[1]) < 0.05
            inside = min(a[0], b[0]) - 0.05 <= text.x <= max(a[0], b[0]) + 0.05
            if level and inside and abs(a[1] - text.y - 0.7) < 0.1:
                return True
            upright = abs(a[0] - b[0]) < 0.05 and abs(text.x - a[0] - 0.7) < 0.1
            if upright and abs(max(a[1], b[1]) - text.y - 0.7) < 0.1:
                return True
    return False


def wire_ends(sheets: Sequence[Sheet], wiring: Wiring) -> Iterator[str]:
    """Lines land on the two terminals of their record, flags on one and name the other."""
    records = {c.id: c for c in wiring.connections}
    aliases = {f"{wiring.designation}:{t.label}": f"{wiring.designation}:{t.number}" for t in wiring.terminals}
    aliases |= {f"{wiring.designation}:{t.number}": f"{wiring.designation}:{t.number}" for t in wiring.terminals}
    where: dict[str, dict[str, str]] = defaultdict(dict)
    for number, sheet in enumerate(sheets, start=1):
        ends = sheet.ends()
        for group in sheet.groups:
            record = records.get(group.record)
            if record is None or record.kind is Kind.SCREEN or group.kind == "bridge":
                continue
            names = [aliases.get(str(e), str(e)) for e in (record.a, record.b)]
            tips = [group.strokes[0].points[0], group.strokes[0].points[-1]]
            if group.kind == "flag":
                here = next((n for n in names if _lands(tips[0], ends.get(n, []))), "")
                if not here:
                    yield f"flag of {record.id} hangs on no terminal of it"
                where[record.id][here] = f"{number}.{zone(*tips[0])}"
                continue
            found = [[n for n in names if _lands(tip, ends.get(n, [])) or _at_block(tip, n, sheet)] for tip in tips]
            for tip, landed in zip(tips, found, strict=True):
                joined = not landed and _joins(tip, group, sheet, records)
                if not landed and not joined:
                    yield f"{record.id} lands on no terminal of it"
            if found[0] and found[0] == found[1] and names[0] != names[1]:
                yield f"{record.id} lands twice on {found[0][0]}"
    yield from _flag_names(sheets, wiring, where)


def _lands(tip: Point, groups: Sequence[Group]) -> bool:
    return any(_distance(tip, s) < 0.12 for g in groups for s in g.strokes)


def _at_block(tip: Point, name: str, sheet: Sheet) -> bool:
    """True when a tip lies on the outline of a block, level with the mark of its port."""
    tag = name.rpartition(":")[0]
    marks = [t for g in sheet.groups if g.end == name for t in g.texts]
    level = any(abs(t.y - CAP * t.size / 2 - tip[1]) < 0.12 for t in marks)
    return level and any(
        _distance(tip, s) < 0.12 for g in sheet.groups if g.tag == tag and g.kind == "device" and not g.end
        for s in g.strokes
    )  # fmt: skip


def _joins(tip: Point, own: Group, sheet: Sheet, records: dict[str, Connection]) -> bool:
    """True when a tip meets another conductor of the same wire number."""
    potential = records[own.record].potential
    return any(
        g is not own and g.kind in ("wire", "link") and g.record in records and records[g.record].potential == potential
        and any(_distance(tip, s) < 0.12 for s in g.strokes)
        for g in sheet.groups
    )  # fmt: skip


def _flag_names(sheets: Sequence[Sheet], wiring: Wiring, where: dict[str, dict[str, str]]) -> Iterator[str]:
    """Each flag names the other end of its record, with sheet and zone of that end when it is another sheet."""
    records = {c.id: c for c in wiring.connections}
    for number, sheet in enumerate(sheets, start=1):
        for group in sheet.groups:
            record = records.get(group.record)
            if group.kind != "flag" or record is None:
                continue
            flag = group.texts[0]
            said, _, other_sheet = flag.text.partition(" /")
            ends = {str(record.a), str(record.b)}
            outline = group.strokes[1].bounds()
            if said not in ends:
                yield f"flag {flag.text!r} names no end of {record.id}"
            x0, y0, x1, y1 = flag.box("Liberation Sans")
            if not (outline[0] < x0 and x1 < outline[2] and outline[1] < y0 and y1 < outline[3]):
                yield f"flag text {flag.text!r} stands outside its flag"
            there = where[record.id].get(said, "")
            if len(where[record.id]) == 2 and (other_sheet or there) != there:
                yield f"flag {flag.text!r} names the wrong sheet or zone, it is {there}"
            if there and (there.partition(".")[0] == str(number)) == bool(other_sheet):
                yield f"flag {flag.text!r} names a sheet where none is asked for, or none where one is"


def terminals(sheets: Sequence[Sheet], wiring: Wiring) -> Iterator[str]:
    """Every terminal that a record names is drawn with its mark; every control terminal of the drive is drawn."""
    shown: dict[str, set[str]] = defaultdict(set)
    for sheet in sheets:
        for end, groups in sheet.ends().items():
            shown[end] |= {t.text for g in groups for t in g.texts}
    power = {"L1", "L2", "L3", "L", "N", "U", "V", "W", "PE", "DC+", "DC-", "BR"}
    labels_of = {f"{wiring.designation}:{t.label}": t.number for t in wiring.terminals}
    for terminal in wiring.terminals:
        texts = shown.get(f"{wiring.designation}:{terminal.number}", set())
        if terminal.role not in power and not {terminal.number, terminal.label} <= texts | {""}:
            yield f"drive terminal {terminal.number} {terminal.label} is not labelled"
    yield from _half_drawn(shown, wiring)
    for record in wiring.connections:
        if record.kind is Kind.SCREEN:
            continue
        for end in (record.a, record.b):
            if is_supply(end, wiring):
                continue
            name = f"{wiring.designation}:{labels_of[str(end)]}" if str(end) in labels_of else str(end)
            mark = name.rpartition(":")[2]
            texts = shown.get(name, set())
            if not any(t == mark or t.endswith(f":{mark}") for t in texts):
                yield f"terminal {end} is not drawn with its mark"


def _half_drawn(shown: dict[str, set[str]], wiring: Wiring) -> Iterator[str]:
    """A contact is drawn with both its terminals, wired or not; a potentiometer with all three."""
    for device in wiring.devices:
        whole = [c.terminals for c in device.contacts]
        whole += [device.terminals] if device.kind == "potentiometer" else []
        for marks in whole:
            there = [m in shown.get(f"{device.tag}:{m}", set()) for m in marks]
            if any(there) and not all(there):
                yield f"{device.tag} is drawn without one of its terminals {marks}"
