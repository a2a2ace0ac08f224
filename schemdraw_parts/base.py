"""The base of every part: an ordinary schemdraw element, authored in millimetres with y downwards.

schemdraw's own axes have y upwards; the helpers here turn the sign once, so that a part reads
like the paper. Anchors keep schemdraw's axes, so parts work in any `schemdraw.Drawing`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager

from schemdraw.elements import Element
from schemdraw.segments import Segment, SegmentArc, SegmentCircle, SegmentText
from schemdraw.util import Point

from schemdraw_parts.style import CAPITAL, LINE, POINT, SMALL, TEXT, THIN
from schemdraw_parts.text import printable

#: Distance of a text standing on a line from that line.
STAND = 0.7


class Lettering(SegmentText):
    """One line of real text; `bold` and the size in millimetres are kept for the sheet figure."""

    def __init__(self, pos: tuple[float, float], text: str, align: str, size: float, bold: bool) -> None:
        super().__init__(pos, text, align=(align, "base"), fontsize=size / POINT)
        self.size = size
        self.bold = bold


class Part(Element):
    """A drawing element in millimetres.

    Parameters
    ----------
    tag : str
        Reference designation, '-S1'; terminals are addressed as 'tag:terminal'.
    unwired : collection of str
        Terminals that no conductor reaches from the left: their lead is left out.

    Notes
    -----
    Every segment drawn inside `port` belongs to that terminal: the sheet figure groups it
    under the terminal's address, and the terminal's anchor is the point where a wire lands.

    A base without a symbol of its own.
    """

    def __init__(self, tag: str = "", *, unwired: Collection[str] = ()) -> None:
        super().__init__()
        self.tag = tag
        self.unwired = unwired
        self.owners: list[str] = []
        self._owner = ""

    def _own(self, segment: Segment | SegmentArc | SegmentCircle | SegmentText) -> None:
        self.segments.append(segment)
        self.owners.append(self._owner)

    def line(self, *points: tuple[float, float], pen: float = LINE, dash: str = "") -> None:
        """Draw a polyline through `points`."""
        path = [(x, -y) for x, y in points]
        self._own(Segment(path, lw=pen / POINT, ls=dash or None))

    def box(self, x: float, y: float, w: float, h: float, *, pen: float = LINE, dash: str = "") -> None:
        """Draw a rectangle with its upper left corner at (x, y)."""
        self.line((x, y), (x + w, y), (x + w, y + h), (x, y + h), (x, y), pen=pen, dash=dash)

    def solid(self, *points: tuple[float, float]) -> None:
        """Draw a filled polygon, for arrow heads and the like."""
        path = [(x, -y) for x, y in points]
        self._own(Segment([*path, path[0]], lw=THIN / POINT, fill="currentColor"))

    def ring(self, x: float, y: float, r: float, *, pen: float = LINE, filled: bool = False) -> None:
        """Draw a circle."""
        self._own(SegmentCircle((x, -y), r, lw=pen / POINT, fill="currentColor" if filled else None))

    def arc(self, x: float, y: float, r: float, start: float, end: float, *, pen: float = LINE, dash: str = "") -> None:
        """Draw a circular arc counter-clockwise on paper from `start` to `end`. [degrees]"""
        self._own(SegmentArc((x, -y), 2 * r, 2 * r, theta1=start, theta2=end, lw=pen / POINT, ls=dash or None))

    def write(self, text: str, x: float, y: float, *, size: float = TEXT, bold: bool = False, align: str = "left",
              middle: bool = False) -> None:
        """Write one line with its baseline at y, or centred on y when `middle`."""
        text = printable(text)
        if text:
            baseline = y + (CAPITAL * size / 2 if middle else 0.0)
            self._own(Lettering((x, -baseline), text, align, size, bold))

    def mark(self, text: str, x: float, y: float, *, below: bool = False, align: str = "left") -> None:
        """Write a terminal mark standing on the line at y, or hanging below it."""
        self.write(text, x, y + STAND + CAPITAL * SMALL if below else y - STAND, size=SMALL, align=align)

    @contextmanager
    def port(self, name: str, x: float, y: float) -> Iterator[None]:
        """Make what is drawn inside belong to terminal `name`, where a wire lands at (x, y)."""
        self.anchors[name] = Point((x, -y))
        former, self._owner = self._owner, name
        try:
            yield
        finally:
            self._owner = former

    def leads(self, name: str, rows: Sequence[float], reach: float, inner: float) -> None:
        """Draw the conductors of one terminal: a line for each of its rows, joined and led to the symbol.

        Parameters
        ----------
        name : str
            Terminal mark; further rows get the anchors 'name/2', 'name/3'. The rail side is 'name>'.
        rows : sequence of float
            Where wires land, at x = 0. [mm]
        reach : float
            x of the line that the symbol stands on. [mm]
        inner : float
            y where the symbol's body begins. [mm]
        """
        below = inner < rows[0]
        outer = rows[-1] if below else rows[0]
        with self.port(name, 0, rows[0]):
            for number, row in enumerate(rows[1:], start=2):
                self.line((0, row), (reach, row))
                self.anchors[f"{name}/{number}"] = Point((0, -row))
            near = rows[0]
            self.line((reach if name in self.unwired else 0, near), (reach, near), (reach, inner))
            if outer != near:
                self.line((reach, near), (reach, outer))
            elif len(rows) > 1:
                self.line((reach, near), (reach, rows[-1]))
            self.mark(name, reach + 1.0, outer, below=below)
        self.anchors[f"{name}>"] = Point((reach, -outer))

    def point(self, name: str) -> tuple[float, float]:
        """Return where terminal `name` lies on the sheet, after placing. [mm, y downwards]"""
        x, y = self.absanchors[name]
        return float(x), -float(y)
