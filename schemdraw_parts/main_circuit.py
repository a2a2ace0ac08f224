"""Parts of a main circuit, drawn left to right with the poles below each other.

IEC forms follow IEC 60617 part 7 (numbers of the printed edition of 1996), North American forms
IEEE 315; geometry from memory, see the symbol notes among the tables of the standards. Every
part lands its conductors at x = 0 and at its right edge, poles one `style.POLE` apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import asin, degrees

from schemdraw.util import Point

from schemdraw_parts.base import Part
from schemdraw_parts.style import HEAVY, POLE, SMALL, TEXT, THIN, Symbols
from schemdraw_parts.text import width

#: Width of a part between two conductors. [mm]
BODY = 22.0
_LEFT, _RIGHT = 7.5, 15.0


class Poles(Part):
    """Base of the three-pole parts: leads at both sides, marks, and a body drawn per pole.

    Parameters
    ----------
    tag : str
    line, load : sequence of str
        Terminal marks at the left and at the right, one a pole; also the anchors.
    symbols : Symbols

    Notes
    -----
    Subclasses draw one pole in `pole` between x = `left` and x = `right`, and what joins the
    poles in `joint`.

    A base without a symbol of its own.
    """

    left, right = _LEFT, _RIGHT

    def __init__(self, tag: str, line: Sequence[str], load: Sequence[str], *, symbols: Symbols = Symbols.IEC) -> None:
        super().__init__(tag)
        self.symbols = symbols
        self.rows = [POLE * i for i in range(len(line))]
        for y, inlet, outlet in zip(self.rows, line, load, strict=True):
            with self.port(inlet, 0, y):
                self.line((0, y), (self.left, y), pen=HEAVY)
                self.mark(inlet, 0.6, y)
            with self.port(outlet, BODY, y):
                self.line((self.right, y), (BODY, y), pen=HEAVY)
                self.mark(outlet, BODY - 0.6, y, align="right")
            self.pole(y)
        self.joint()

    def pole(self, y: float) -> None:
        """Draw one pole."""

    def joint(self) -> None:
        """Draw what joins the poles."""

    def link(self, x: float, dy: float, *, handle: bool = False) -> None:
        """Draw the dashed link between the poles, with a handle on top when worked by hand."""
        top = -4.0 if handle else dy
        self.line((x, top), (x, self.rows[-1] + dy), pen=THIN, dash="--")
        if handle:
            self.line((x - 1.2, top), (x + 1.2, top))

    def blade(self, y: float) -> None:
        """Draw the open blade of one pole, hinged at the load side."""
        self.line((self.right, y), (self.left + 0.4, y + 2.6), pen=HEAVY)


class Disconnect(Poles):
    """Switch-disconnector (IEC 60617 07-13-08), or the hinged blade of IEEE 315; worked by hand.

    Anchors: the terminal marks of both sides.
    """

    def pole(self, y: float) -> None:
        """Draw one pole."""
        if self.symbols is Symbols.NORTH_AMERICAN:
            self.ring(self.left + 0.5, y, 0.5)
            self.ring(self.right - 0.5, y, 0.5)
            self.line((self.right - 1.0, y - 0.2), (self.left + 1.2, y - 3.0), pen=HEAVY)
        else:
            self.line((self.left, y - 1.1), (self.left, y + 1.1), pen=HEAVY)
            self.ring(self.left + 0.6, y, 0.5)
            self.blade(y)

    def joint(self) -> None:
        """Draw link and handle."""
        if self.symbols is Symbols.NORTH_AMERICAN:
            x = (self.left + self.right) / 2
            self.line((x, -5.4), (x, self.rows[-1] - 1.6), pen=THIN, dash="--")
            self.line((x - 1.2, -5.4), (x + 1.2, -5.4))
        else:
            self.link((self.left + self.right) / 2, 1.3, handle=True)


class Breaker(Poles):
    """Circuit breaker (IEC 60617 07-13-05), or the arc of IEEE 315.

    Anchors: the terminal marks of both sides.
    """

    def pole(self, y: float) -> None:
        """Draw one pole."""
        if self.symbols is Symbols.NORTH_AMERICAN:
            radius = (self.right - self.left) / 2
            x, depth = self.left + radius, 1.6
            self.ring(self.left + 0.4, y, 0.4)
            self.ring(self.right - 0.4, y, 0.4)
            big = (radius * radius + depth * depth) / (2 * depth)
            self.chord_arc(x, y - 0.8 + big - depth, big, radius)
        else:
            for way in (-1, 1):
                self.line((self.left - 0.8, y - 0.8 * way), (self.left + 0.8, y + 0.8 * way), pen=HEAVY)
            self.blade(y)

    def chord_arc(self, x: float, centre: float, big: float, half: float) -> None:
        """Draw the flat arc above one pole."""
        angle = degrees(asin(min(1.0, half / big)))
        self.arc(x, centre, big, 90 - angle, 90 + angle, pen=HEAVY)

    def joint(self) -> None:
        """Draw link and handle."""
        if self.symbols is Symbols.NORTH_AMERICAN:
            x = (self.left + self.right) / 2
            self.line((x, -2.4), (x, self.rows[-1] - 2.4), pen=THIN, dash="--")
        else:
            self.link((self.left + self.right) / 2, 1.3, handle=True)


class Fuses(Poles):
    """Fuses: rectangle with the line through it (IEC 60617 07-21-01, IEEE 315).

    Anchors: the terminal marks of both sides.
    """

    def pole(self, y: float) -> None:
        """Draw one pole."""
        self.line((self.left, y), (self.right, y), pen=HEAVY)
        self.box(self.left, y - 1.3, self.right - self.left, 2.6, pen=HEAVY)


class Contactor(Poles):
    """Main contacts of a contactor (IEC 60617 07-13-02), or the two bars of NEMA ICS 19.

    Anchors: the terminal marks of both sides.
    """

    def pole(self, y: float) -> None:
        """Draw one pole."""
        if self.symbols is Symbols.NORTH_AMERICAN:
            x = (self.left + self.right) / 2
            for side, end in ((-0.8, self.left), (0.8, self.right)):
                self.line((x + side, y - 1.8), (x + side, y + 1.8), pen=HEAVY)
                self.line((end, y), (x + side, y), pen=HEAVY)
        else:
            self.arc(self.left, y, 0.9, 180, 360, pen=HEAVY)
            self.blade(y)

    def joint(self) -> None:
        """Draw the link between the poles."""
        if self.symbols is not Symbols.NORTH_AMERICAN:
            self.link((self.left + self.right) / 2, 1.3)


class Overload(Poles):
    """Overload relay (IEC 60617 07-15-21): a step in each pole inside one box.

    Anchors: the terminal marks of both sides.
    """

    def pole(self, y: float) -> None:
        """Draw one pole."""
        a, b = self.left + 2.4, self.right - 2.4
        self.line((self.left, y), (a, y), (a, y + 1.4), (b, y + 1.4), (b, y), (self.right, y), pen=HEAVY)

    def joint(self) -> None:
        """Draw the box."""
        self.box(self.left + 0.6, -1.6, self.right - self.left - 1.2, self.rows[-1] + 4.4)


class Reactor(Poles):
    """Reactor with iron core (IEC 60617 04-03-03, IEEE 315).

    Anchors: the terminal marks of both sides.
    """

    left, right = 5.5, 16.5

    def pole(self, y: float) -> None:
        """Draw one pole."""
        r = (self.right - self.left) / 8
        for i in range(4):
            self.arc(self.left + r * (2 * i + 1), y, r, 0, 180, pen=HEAVY)
        self.line((self.left, y - 2.2), (self.right, y - 2.2), pen=HEAVY)


class FilterBox(Poles):
    """A filter as a box with its name: radio-interference filter, dv/dt filter, sine filter.

    Anchors: the terminal marks of both sides. Common practice, no standard symbol.
    """

    left, right = 5.0, 17.0

    def __init__(self, tag: str, line: Sequence[str], load: Sequence[str], *, name: Sequence[str] = ("filter",),
                 symbols: Symbols = Symbols.IEC) -> None:
        self.name = name
        super().__init__(tag, line, load, symbols=symbols)

    def joint(self) -> None:
        """Draw box and name."""
        self.box(self.left, -2.6, self.right - self.left, self.rows[-1] + 5.2)
        middle = self.rows[-1] / 2 - 1.8 * (len(self.name) - 1)
        for i, line in enumerate(self.name):
            x = (self.left + self.right) / 2
            self.write(line, x, middle + 3.6 * i, size=SMALL, align="center", middle=True)


class Supply(Part):
    """Terminals of the incoming supply, one cell a conductor; anchors are the conductor names, '<L1' at the left.

    Common practice, no standard symbol.
    """

    def __init__(self, tag: str, conductors: Sequence[str]) -> None:
        super().__init__(tag)
        for i, name in enumerate(conductors):
            y = POLE * i
            with self.port(name, 9.0, y):
                self.box(0, y - 2.1, 9.0, 4.2)
                self.write(name, 4.5, y, bold=True, align="center", middle=True)
            self.anchors[f"<{name}"] = Point((0, -y))


class DrivePower(Part):
    """A drive's power terminals: line at the left, motor at the right, link and brake below.

    Parameters
    ----------
    tag : str
    line, motor : sequence of str
        Terminal marks downwards, protective conductor last; anchors 'line:L1' and 'motor:U'.
    below : sequence of str
        Terminals at the lower edge, anchors 'below:R+'.
    words : sequence of str
        Lines below the tag.

    Notes
    -----
    Converter symbol IEC 60617 02-17-06 with qualifiers: alternating current in, alternating current out.
    """

    WIDTH = 38.0

    def __init__(self, tag: str, line: Sequence[str], motor: Sequence[str], *, below: Sequence[str] = (),
                 words: Sequence[str] = ()) -> None:
        super().__init__(tag)
        rows = max(len(line), len(motor))
        head = 10.5 + 3.4 * max(0, len(words) - 1)
        self.height = POLE * (rows - 1) + (8.5 if below else 4.5)
        self.box(0, -head - 1.5, self.WIDTH, head + 1.5 + self.height)
        self.write(tag, 1.5, -head + 2.6, size=TEXT * 1.3, bold=True)
        for i, text in enumerate(words):
            self.write(text, 1.5, -head + 6.2 + 3.4 * i, size=SMALL)
        cells = max([6.0, *(width(t, TEXT, bold=True) + 1.6 for t in (*line, *motor))])
        for side, marks in (("line", line), ("motor", motor)):
            x = 0.0 if side == "line" else self.WIDTH - cells
            for i, mark in enumerate(marks):
                y = POLE * i
                with self.port(f"{side}:{mark}", 0.0 if side == "line" else self.WIDTH, y):
                    self.box(x, y - 2.0, cells, 4.0, pen=THIN)
                    self.write(mark, x + cells / 2, y, bold=True, align="center", middle=True)
        self._converter((self.WIDTH - 12) / 2, 0.5)
        pitch = max([8.0, *(width(t, TEXT, bold=True) + 2.6 for t in below)])
        for i, mark in enumerate(below):
            x = self.WIDTH / 2 + pitch * (i - (len(below) - 1) / 2)
            with self.port(f"below:{mark}", x, self.height):
                self.box(x - pitch / 2 + 0.4, self.height - 4.0, pitch - 0.8, 4.0, pen=THIN)
                self.write(mark, x, self.height - 2.0, bold=True, align="center", middle=True)

    def _converter(self, x: float, y: float) -> None:
        self.box(x, y, 12, 12, pen=THIN)
        self.line((x, y + 12), (x + 12, y), pen=THIN)
        self.write("~", x + 3.2, y + 3.4, size=TEXT * 1.4, align="center", middle=True)
        self.write("~", x + 8.8, y + 9.2, size=TEXT * 1.4, align="center", middle=True)


class Motor(Part):
    """A motor (IEC 60617 06-08-01): circle with M, its conductors from the left, earth from below.

    Anchors: the terminal marks, protective conductor last.
    """

    RADIUS = 9.0

    def __init__(self, tag: str, terminals: Sequence[str], *, phases: str = "3 ~") -> None:
        super().__init__(tag)
        r, x = self.RADIUS, 17.0
        *poles, earth = terminals
        middle = POLE * (len(poles) - 1) / 2
        for i, mark in enumerate(poles):
            y = POLE * i
            edge = x - (r * r - (y - middle) ** 2) ** 0.5
            with self.port(mark, 0, y):
                self.line((0, y), (edge, y), pen=HEAVY)
                self.mark(mark, 0.8, y)
        y = POLE * len(poles)
        with self.port(earth, 0, y):
            self.line((0, y), (x, y), (x, middle + r))
            self.mark(earth, 0.8, y)
        self.ring(x, middle, r, pen=HEAVY)
        self.write("M", x, middle - 2.0, size=TEXT * 1.5, bold=True, align="center", middle=True)
        self.write(phases, x, middle + 2.6, align="center", middle=True)


class BrakeResistor(Part):
    """A brake resistor below two terminals of the drive; anchors are its two marks, at the top.

    IEC 60617 04-01-01, or the zigzag of IEEE 315.
    """

    def __init__(self, tag: str, marks: tuple[str, str], distance: float, *, depth: float = 8.0,
                 symbols: Symbols = Symbols.IEC) -> None:
        super().__init__(tag)
        inset = max(0.0, (distance - 7.0) / 2)
        for mark, x, inner, align in ((marks[0], 0.0, inset, "right"), (marks[1], distance, distance - inset, "left")):
            with self.port(mark, x, 0):
                self.line((x, 0), (x, depth), (inner, depth))
                self.write(mark, x + (-0.8 if align == "right" else 0.8), depth - 2.0, size=SMALL, align=align)
        if symbols is Symbols.NORTH_AMERICAN:
            step = (distance - 2 * inset) / 6
            peaks = [(inset + step * (k + 0.5), depth + (1.0 if k % 2 else -1.0)) for k in range(6)]
            self.line((inset, depth), *peaks, (distance - inset, depth))
        else:
            self.box(inset, depth - 1.0, distance - 2 * inset, 2.0)


class TapFlag(Part):
    """A flag hung under a conductor that goes on: a dot, a stub downwards, the other end's name.

    No anchors. Common practice after IEC 61082-1 references, from memory, check.
    """

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ring(0, 0, 0.55, filled=True)
        y, h, end = POLE / 2, 1.6, width(text, SMALL) + 3.6
        self.line((0, 0), (0, y), (0.6, y))
        self.line((0.6, y), (1.8, y - h), (end, y - h), (end, y + h), (1.8, y + h), (0.6, y), pen=THIN)
        self.write(text, (1.8 + end) / 2, y, size=SMALL, align="center", middle=True)


def tap_width(text: str) -> float:
    """Width of a `TapFlag`. [mm]"""
    return width(text, SMALL) + 3.6
