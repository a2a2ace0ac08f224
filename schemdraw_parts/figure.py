"""A sheet that parts are placed on: SVG with real text, groups, ids, title and description.

schemdraw's own figure escapes no text, knows no bold, groups or ids, and costs three times as
long; the parts stay ordinary elements, only the writing of the file is done here.
"""

from __future__ import annotations

import math
from html import escape

from schemdraw.segments import Segment, SegmentArc, SegmentCircle
from schemdraw.util import Point

from schemdraw_parts.base import Lettering, Part
from schemdraw_parts.style import DASHES, FONTS, LINE, POINT, TEXT
from schemdraw_parts.text import Notes, printable

#: Drawing units per millimetre in the file: whole numbers stay short.
UNITS = 10

_ANCHOR = {"left": "", "center": ' text-anchor="middle"', "right": ' text-anchor="end"'}


def _n(value: float) -> str:
    """A length as written in the file: a tenth of a drawing unit, a hundredth of a millimetre."""
    text = f"{value * UNITS:.1f}"
    return text[:-2] if text.endswith(".0") else text


def _polyline(segment: Segment, dx: float, dy: float) -> str:
    parts = [f"{_n(x + dx)} {_n(dy - y)}" for x, y in segment.path]
    closed = len(parts) > 2 and parts[0] == parts[-1]
    return "M" + "L".join(parts[:-1] if closed else parts) + ("Z" if closed else "")


def _arc(segment: SegmentArc, dx: float, dy: float) -> str:
    radius = segment.width / 2
    (cx, cy), start, end = segment.center, math.radians(segment.theta1), math.radians(segment.theta2)
    large = int((segment.theta2 - segment.theta1) % 360 > 180)
    x1, y1 = cx + radius * math.cos(start) + dx, dy - cy - radius * math.sin(start)
    x2, y2 = cx + radius * math.cos(end) + dx, dy - cy - radius * math.sin(end)
    return f"M{_n(x1)} {_n(y1)}A{_n(radius)} {_n(radius)} 0 {large} 0 {_n(x2)} {_n(y2)}"


def _pen(width: float, dash: str, filled: bool) -> str:
    """Attributes of a stroke where they differ from those of the whole sheet."""
    out = ""
    if abs(width - LINE) > 1e-6:
        out += f' stroke-width="{_n(width)}"'
    if dash:
        out += f' stroke-dasharray="{" ".join(_n(d) for d in DASHES[dash])}"'
    return out + (' fill="currentColor"' if filled else "")


class SheetFigure:
    """A sheet of paper.

    Parameters
    ----------
    sheet_width, sheet_height : float
        Size. [mm]
    key : str
        Prefix of the ids, unique among the drawings of one page.
    title, description : str
        For those who do not see the drawing.

    Attributes
    ----------
    notes : Notes
        Takes words that are too long for their place; whoever writes the foot prints them.
    places : dict
        (Tag, anchor) of each placed part -> where it lies, the first one of equals. [mm]
    """

    def __init__(self, sheet_width: float, sheet_height: float, *, key: str, title: str, description: str) -> None:
        self.sheet_width = sheet_width
        self.sheet_height = sheet_height
        self.key = key
        self.title = title
        self.description = description
        self.notes = Notes()
        self.places: dict[tuple[str, str], tuple[float, float]] = {}
        self._groups: list[str] = []

    def place(self, part: Part, x: float = 0.0, y: float = 0.0, *, kind: str = "", record: str = "") -> Part:
        """Put a part on the sheet with its origin at (x, y), y downwards.

        Parameters
        ----------
        part : Part
        x, y : float
            Position. [mm]
        kind : str
            What the group is ('wire', 'flag', 'terminal', ...), kept as data-k.
        record : str
            Id of the record that the group draws, kept as data-id.

        Returns
        -------
        Part
            The same part, its anchors now on the sheet.
        """
        for name, (ax, ay) in part.anchors.items():
            part.absanchors[name] = Point((ax + x, ay - y))
            if part.tag:
                self.places.setdefault((part.tag, name), (ax + x, y - ay))
        attributes = f' data-k="{kind}"' if kind else ""
        if record:
            attributes += f' data-id="{escape(record)}"'
        if part.tag:
            attributes += f' data-tag="{escape(printable(part.tag))}"'
        self._groups.append(f"<g{attributes}>{_ink(part, x, y)}</g>")
        return part

    def svg(self) -> str:
        """Return the finished file."""
        w, h, key = _n(self.sheet_width), _n(self.sheet_height), escape(self.key)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" id="{key}" class="drawing-sheet" role="img" '
            f'aria-labelledby="{key}-t {key}-d" width="{self.sheet_width:g}mm" height="{self.sheet_height:g}mm" '
            f'viewBox="0 0 {w} {h}" fill="none" stroke="currentColor" stroke-width="{_n(LINE)}" '
            f'stroke-linecap="round" stroke-linejoin="round" font-family="{FONTS}" font-size="{_n(TEXT)}">'
            f'<title id="{key}-t">{escape(printable(self.title))}</title>'
            f'<desc id="{key}-d">{escape(printable(self.description))}</desc>'
            "<style>.drawing-sheet text{fill:currentColor;stroke:none}</style>\n"
            + "\n".join(self._groups)
            + "\n</svg>\n"
        )


def _ink(part: Part, x: float, y: float) -> str:
    """Everything a part draws, grouped by terminal, strokes of one pen joined to one path."""
    owners = dict.fromkeys(part.owners)
    out = []
    for owner in owners:
        strokes: dict[str, list[str]] = {}
        others: list[str] = []
        for segment, belongs in zip(part.segments, part.owners, strict=True):
            if belongs != owner:
                continue
            if isinstance(segment, Lettering):
                others.append(_lettering(segment, x, y))
            elif isinstance(segment, SegmentCircle):
                (cx, cy), pen = segment.center, _pen(segment.lw * POINT, "", bool(segment.fill))
                others.append(f'<circle cx="{_n(cx + x)}" cy="{_n(y - cy)}" r="{_n(segment.radius)}"{pen}/>')
            else:
                pen = _pen(segment.lw * POINT, segment.ls or "", bool(segment.fill))
                draw = _arc(segment, x, y) if isinstance(segment, SegmentArc) else _polyline(segment, x, y)
                strokes.setdefault(pen, []).append(draw)
        ink = "".join(f'<path d="{"".join(d)}"{pen}/>' for pen, d in strokes.items()) + "".join(others)
        if owner:
            ink = f'<g data-end="{escape(printable(part.tag))}:{escape(printable(owner))}">{ink}</g>'
        out.append(ink)
    return "".join(out)


def _lettering(segment: Lettering, dx: float, dy: float) -> str:
    size = "" if abs(segment.size - TEXT) < 1e-6 else f' font-size="{_n(segment.size)}"'
    weight = ' font-weight="bold"' if segment.bold else ""
    (x, y), anchor = segment.xy, _ANCHOR[segment.align[0]]
    return f'<text x="{_n(x + dx)}" y="{_n(dy - y)}"{size}{weight}{anchor}>{escape(segment.text)}</text>'
