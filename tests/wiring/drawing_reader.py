"""What a person reads off control sheets: conductors with both ends, number, core, colour and size.

Only lines and printed texts count. What the file says about itself for a program (`data-id`,
`data-end`, `data-tag`) is not looked at; the kind of a part and which strokes belong to one
terminal stand for what the eye sees as one shape.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from drawing_checks import Group, Point, Sheet, Text, _distance
from drawing_ties import _middle

from binder.wiring.numbering import Joined

_NEAR = 0.15
_LABEL = re.compile(
    r"^(?P<number>\d{3,})?\s*(?:(?P<core>\d{1,2}[ab]?)(?= [A-Z]))?\s*(?P<colour>[A-Z]{2,8}\b)?\s*(?P<size>\S.*)?$"
)
_CABLE = re.compile(r"^(?P<tag>\S+) \d+×(?P<size>[\d./]+ (?:mm²|AWG))")
_SAID = r" (?P<size>[\d.×/ ]+ (?:mm²|AWG))?\s*(?P<colour>[A-Z]+)?\.(?: |$)"
_LOOSE, _RAILS = (re.compile(words + _SAID) for words in ("All loose conductors", "Right of the symbols:"))


@dataclass(slots=True)
class Drawn:
    """One conductor as read; halves of a pair of flags are one."""

    ends: frozenset[str]
    kind: str
    number: str = ""
    core: str = ""
    cable: str = ""
    colour: str = ""
    size: str = ""
    piece: bool = False  # a link or a bridge, no conductor
    halves: int = 0
    trouble: list[str] = field(default_factory=list)

    def take(self, **read: str) -> None:
        """Add what a label says; two labels of one conductor must not disagree."""
        for name, value in read.items():
            if value and getattr(self, name) not in ("", value):
                self.trouble.append(f"{name} {value} and {getattr(self, name)}")
            if value:
                setattr(self, name, value)


@dataclass(slots=True)
class _Terminal:
    name: str
    group: Group
    edge: bool  # a cell: wires land on its left and right edge


def read(sheets: Sequence[Sheet]) -> dict[frozenset[str], Drawn]:
    """Read all sheets of one drive.

    Returns
    -------
    dict
        The two ends -> conductor; `trouble` of a conductor names what cannot be read for certain.
    """
    found: dict[frozenset[str], Drawn] = {}
    for sheet in sheets:
        for one in _Reading(sheet).conductors():
            drawn = found.setdefault(one.ends, one)
            if drawn is one:
                continue
            if drawn.kind != "flag" or one.kind != "flag":
                drawn.trouble.append("drawn twice")
            drawn.halves += one.halves
            drawn.trouble += one.trouble
            drawn.take(number=one.number, core=one.core, cable=one.cable, colour=one.colour, size=one.size)
    _number(found.values())
    return found


def _number(drawn: Iterable[Drawn]) -> None:
    """One number for everything joined: a conductor without its own takes that of its neighbours."""
    joined = Joined(tuple(d.ends) for d in drawn if d.kind != "screen" and len(d.ends) == 2)  # type: ignore[misc]
    said: dict[str, set[str]] = defaultdict(set)
    for d in drawn:
        if d.number:
            said[joined.root(min(d.ends))].add(d.number)
    for d in drawn:
        if d.kind == "screen":
            continue
        numbers = said[joined.root(min(d.ends))]
        if len(numbers) != 1:
            d.trouble.append(f"joined conductors are numbered {sorted(numbers) or 'nowhere'}")
        else:
            d.number = next(iter(numbers))


class _Reading:
    """One sheet."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.cables = sorted(
            ((_middle(g.texts[0]), g.texts[0].text) for g in sheet.groups if g.kind == "cable"), key=lambda c: c[0]
        )
        self.cable_column = min((g.texts[0].x for g in sheet.groups if g.kind == "cable"), default=1e6)
        words = ((_middle(g.texts[0]), g.texts[0].text) for g in sheet.groups if g.kind == "words")
        self.tags = sorted((y, text.partition(" (")[0]) for y, text in words)
        note = " ".join(t.text for g in sheet.groups if g.kind == "note" for t in g.texts)
        self.common, rails = (_said(pattern, note) for pattern in (_LOOSE, _RAILS))
        self.rails = {k: v or self.common[k] for k, v in rails.items()}
        self.cells = [*self._drive(), *self._strips()]
        self.ports = [
            _Terminal(f"{_above(self.tags, _level(g))}:{g.texts[0].text}", g, False)
            for g in sheet.groups if g.kind == "device" and g.end and g.texts
        ]  # fmt: skip

    def _drive(self) -> Iterator[_Terminal]:
        tag = next(t.text for g in self.sheet.groups if g.kind == "drive" and not g.end for t in g.texts if t.bold)
        for g in self.sheet.groups:
            if g.kind == "drive" and g.end:
                number = next(t.text for t in g.texts if t.align == "middle")
                yield _Terminal(f"{tag}:{number}", g, True)

    def _strips(self) -> Iterator[_Terminal]:
        heading = next((g.texts[0].text for g in self.sheet.groups if g.kind == "strip name"), "")
        for g in self.sheet.groups:
            if g.kind == "terminal" and g.end:
                caption = g.texts[0].text
                yield _Terminal(caption if ":" in caption else f"{heading}:{caption}", g, True)

    def conductors(self) -> Iterator[Drawn]:
        for group in self.sheet.groups:
            if group.kind == "wire":
                yield self._wire(group)
            elif group.kind == "flag":
                yield self._flag(group)
            elif group.kind in ("link", "bridge"):
                yield self._piece(group)
            elif group.kind == "screen":
                yield self._screen(group)

    def _wire(self, group: Group) -> Drawn:
        points = group.strokes[0].points
        rail = len(points) > 2
        ends = frozenset(self._beside(p) if rail else self._landing(p) for p in (points[0], points[-1]))
        drawn = Drawn(ends, "rail" if rail else "wire")
        for text in group.texts:
            self._label(drawn, text)
        return self._whole(drawn, points[0][1])

    def _flag(self, group: Group) -> Drawn:
        at = group.strokes[0].points[0]
        named = group.texts[0].text.partition(" /")[0]
        drawn = Drawn(frozenset((self._landing(at), named)), "flag", halves=1)
        for text in group.texts[1:]:
            self._label(drawn, text)
        return self._whole(drawn, at[1])

    def _piece(self, group: Group) -> Drawn:
        """A bracket beside the drive's cells or a bar over strip cells: what lies level with its ends."""
        levels = [y for s in group.strokes if not s.filled for _, y in s.points]
        kind = "drive" if group.kind == "link" else "terminal"
        ends = []
        for y in (min(levels), max(levels)):
            level = [c.name for c in self.cells if c.group.kind == kind and self._level_cell(c, y)]
            ends.append(level[0] if len(level) == 1 else f"?{len(level)} cells at {y:.1f}")
        return Drawn(frozenset(ends), group.kind, "".join(t.text for t in group.texts), piece=True)

    @staticmethod
    def _level_cell(cell: _Terminal, y: float) -> bool:
        _, top, _, bottom = cell.group.strokes[0].bounds()
        return abs((top + bottom) / 2 - y) < _NEAR if cell.group.kind == "drive" else top < y < bottom

    def _screen(self, group: Group) -> Drawn:
        text = group.texts[0]
        before, _, landing = re.split(r"(screen|shield)", text.text, maxsplit=1)
        points = [p for s in group.strokes for p in s.points]
        cable = before.strip() or _above(self.cables, points[0][1]).split(" ")[0]
        far = max(p[0] for p in points) > points[0][0] + _NEAR
        landing = landing.strip().removeprefix("on ")
        there = landing if ":" in landing else f"{cable}:{landing}"
        return Drawn(frozenset((f"{cable}:SH{2 if far else 1}", there)), "screen")

    def _label(self, drawn: Drawn, text: Text) -> None:
        if text.text.endswith((" link", " bridge")):
            drawn.take(number=text.text.split()[0])
            drawn.piece = True
            return
        found = _LABEL.match(text.text)
        if found is None:
            drawn.trouble.append(f"label {text.text!r} says nothing")
            return
        drawn.take(**{k: v or "" for k, v in found.groupdict().items()})

    def _whole(self, drawn: Drawn, y: float) -> Drawn:
        """What the label leaves to the cable's name and to the note."""
        if drawn.core:
            found = _CABLE.match(_above(self.cables, y))
            if found and self._in_cable_column(drawn, y):
                drawn.take(cable=found["tag"], size=found["size"].removesuffix(" mm²"))
        elif not drawn.piece:
            most = self.rails if drawn.kind == "rail" else self.common
            drawn.take(size=drawn.size or most["size"].removesuffix(" mm²"), colour=drawn.colour or most["colour"])
        return drawn

    def _in_cable_column(self, drawn: Drawn, y: float) -> bool:
        """A flag in the panel names a core without standing in its cable; so does a second core of a terminal."""
        return any(
            g.kind in ("wire", "flag") and abs(p[1] - y) < _NEAR and t.x > self.cable_column - _NEAR
            for g in self.sheet.groups if g.kind in ("wire", "flag")
            for p in g.strokes[0].points[:1] for t in (g.texts if g.kind == "wire" else g.texts[1:])
        )  # fmt: skip

    def _landing(self, tip: Point) -> str:
        names = [c.name for c in self.cells if _at_edge(tip, c.group)]
        names += [p.name for p in self.ports if any(_distance(tip, s) < _NEAR for s in p.group.strokes)]
        return names[0] if len(names) == 1 else f"?{names} at {tip[0]:.1f}, {tip[1]:.1f}"

    def _beside(self, tip: Point) -> str:
        """The device terminal that is level with the turn of a rail."""
        names = {
            p.name for p in self.ports
            if any(abs(y - tip[1]) < _NEAR for s in p.group.strokes for _, y in s.points)
            or (not p.group.strokes and abs(_middle(p.group.texts[0]) - tip[1]) < _NEAR)
        }  # fmt: skip
        return next(iter(names)) if len(names) == 1 else f"?{sorted(names)} at {tip[0]:.1f}, {tip[1]:.1f}"


def _said(pattern: re.Pattern[str], note: str) -> dict[str, str]:
    found = pattern.search(note)
    return {k: v or "" for k, v in found.groupdict().items()} if found else {"size": "", "colour": ""}


def _level(group: Group) -> float:
    """Where a device terminal's first conductor lies."""
    ys = [y for s in group.strokes for _, y in s.points]
    return min(ys) if ys else _middle(group.texts[0])


def _above(column: Sequence[tuple[float, str]], y: float) -> str:
    """The text of a column that stands at this height or next above it."""
    return next((text for level, text in reversed(column) if level <= y + 0.6), "")


def _at_edge(tip: Point, cell: Group) -> bool:
    x0, top, x1, bottom = cell.strokes[0].bounds()
    level = top - 0.05 < tip[1] < bottom + 0.05
    return level and (abs(tip[0] - x1) < _NEAR or (cell.kind == "terminal" and abs(tip[0] - x0) < _NEAR))
