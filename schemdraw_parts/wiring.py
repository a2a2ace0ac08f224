"""What lies between the devices: wires, reference flags, terminals, cable sheaths, earths, frames, charts.

Numbers of IEC 60617 are those of the printed edition of 1996, from memory, check.
"""

from __future__ import annotations

from collections.abc import Sequence

from schemdraw.util import Point

from schemdraw_parts.base import Part
from schemdraw_parts.style import CAPITAL, HEAVY, LINE, PITCH, SMALL, TAG, TEXT, THIN, Symbols
from schemdraw_parts.text import width

#: Height of a flag's outline and of a terminal cell.
FLAG_HEIGHT = 3.4
CELL_HEIGHT = 4.6
_POINT = 1.4
#: Radius of a bridge's jump over a terminal that it does not join.
_HOP = 0.9


def flag_width(text: str) -> float:
    """Width of a `Flag` with this text, its point included. [mm]"""
    return width(text, SMALL) + _POINT + 1.8


class Wire(Part):
    """A straight conductor with labels standing on it.

    Parameters
    ----------
    start, end : tuple of float
        Where it lands: take them from the anchors of the parts it joins. [mm]
    labels : sequence of (text, x)
        Standing on the line from x on.
    pen : float

    Notes
    -----
    IEC 60617 03-01-01, IEEE 315: a conductor is a line.
    """

    def __init__(self, start: tuple[float, float], end: tuple[float, float],
                 labels: Sequence[tuple[str, float]] = (), *, pen: float = LINE, size: float = TEXT) -> None:
        super().__init__()
        self.line(start, end, pen=pen)
        for text, x in labels:
            self.write(text, x, start[1] - 0.7, size=size)


class Rail(Part):
    """A conductor between two rows on the far side of the symbols: out, along, back.

    Parameters
    ----------
    start, end : tuple of float
        The two contact lines it joins. [mm]
    track : float
        x of the long stretch. [mm]
    text : str
        Wire number, written beside the stretch.

    Notes
    -----
    No anchors: it is drawn between two. IEC 60617 03-01-01, IEEE 315: a conductor is a line.
    """

    def __init__(self, start: tuple[float, float], end: tuple[float, float], track: float, text: str = "") -> None:
        super().__init__()
        self.line(start, (track, start[1]), (track, end[1]), end)
        self.write(text, track + 0.7, max(start[1], end[1]) - 0.7, size=SMALL)


class Flag(Part):
    """One half of a pair of reference flags: stub, wire label and the name of the other end.

    Parameters
    ----------
    text : str
        The other end, and its sheet where it is another one: '-X1:11 /2'.
    stub : float
        Length of the stub, from the terminal at the origin to the flag. [mm]
    wire : str
        Wire label standing on the stub.
    toward : int
        1 when the flag lies right of its terminal, -1 when left.
    inset : float or None
        Distance of the label from the terminal; None lets it begin beside the flag, for a flag at the left. [mm]
    pen, size : float
        Of the stub and its label, as for `Wire`. [mm]

    Notes
    -----
    No anchors: it hangs on one at its origin. Common practice after IEC 61082-1 references, from memory, check.
    """

    def __init__(self, text: str, *, stub: float, wire: str = "", toward: int = 1,
                 inset: float | None = 1.0, pen: float = LINE, size: float = TEXT) -> None:
        super().__init__()
        tip, far = stub * toward, (stub + flag_width(text)) * toward
        near, h = tip + _POINT * toward, FLAG_HEIGHT / 2
        self.line((0, 0), (tip, 0), pen=pen)
        self.line((tip, 0), (near, -h), (far, -h), (far, h), (near, h), (tip, 0), pen=THIN)
        self.write(text, (near + far) / 2, 0, size=SMALL, align="center", middle=True)
        if inset is None:
            self.write(wire, tip + 1.2, -0.7, size=size)
        else:
            self.write(wire, inset * toward, -0.7, size=size, align="left" if toward > 0 else "right")


class TerminalCell(Part):
    """A strip terminal: a box with its number, as tall as the conductors it takes.

    Parameters
    ----------
    tag : str
        The strip, '-X1'.
    number : str
        The terminal; anchor and address.
    caption : str
        What is written, '8' or 'X1:8'.
    body : float
        Width of the whole cell. [mm]
    tracks : float
        Room at the right edge for bridges. [mm]
    depth : float
        How far the cell reaches below its first row, for further conductors. [mm]

    Notes
    -----
    Anchors: the number at the left edge, 'number>' at the right edge.

    A strip terminal as in a terminal diagram, IEC 61082-1, from memory, check.
    """

    def __init__(self, tag: str, number: str, caption: str, *, body: float, tracks: float = 0.0,
                 depth: float = 0.0) -> None:
        super().__init__(tag)
        with self.port(number, 0, 0):
            self.box(0, -CELL_HEIGHT / 2, body, CELL_HEIGHT + depth, pen=THIN)
            self.write(caption, (body - tracks) / 2, depth / 2, bold=True, align="center", middle=True)
        self.anchors[f"{number}>"] = Point((body, 0))


class Bridge(Part):
    """A strip piece between two terminals: a thick bar with a dot at each end.

    Parameters
    ----------
    length : float
        From the first to the last conductor. [mm]
    passed : sequence of float
        Heights of terminals that it passes without joining them: the bar jumps over each. [mm]

    Notes
    -----
    No anchors: it stands on the cells of a strip.

    Common practice of terminal diagrams, no standard symbol.
    """

    def __init__(self, length: float, passed: Sequence[float] = ()) -> None:
        super().__init__()
        level = 0.0
        for y in sorted(passed):
            self.line((0, level), (0, y - _HOP), pen=1.5 * HEAVY)
            self.arc(0, y, _HOP, 90, 270, pen=HEAVY)
            level = y + _HOP
        self.line((0, level), (0, length), pen=1.5 * HEAVY)
        self.ring(0, 0, 0.6, filled=True)
        self.ring(0, length, 0.6, filled=True)


class Sheath(Part):
    """The sheath of a cable round its conductors, dashed when it is a screen (IEC 60617 03-01-07).

    Parameters
    ----------
    height : float
        From the first to the last conductor. [mm]
    screened : bool
    pairs : sequence of (float, float)
        The two conductors of each twisted pair, below the first; marked where they are neighbours. [mm]

    Notes
    -----
    Anchors: 'screen', where the screen's conductor leaves.
    """

    def __init__(self, height: float, *, screened: bool = False, pairs: Sequence[tuple[float, float]] = ()) -> None:
        super().__init__()
        r, out, dash = 1.3, 1.7, "--" if screened else ""
        top, bottom = r - out, height + out - r
        self.arc(0, top, r, 0, 180, pen=THIN, dash=dash)
        self.arc(0, bottom, r, 180, 360, pen=THIN, dash=dash)
        self.line((-r, top), (-r, bottom), pen=THIN, dash=dash)
        self.line((r, top), (r, bottom), pen=THIN, dash=dash)
        for upper, lower in pairs:
            if abs(lower - upper) < 1.5 * PITCH:
                self.line((2.2, lower), (3.4, upper), pen=THIN)
                self.line((2.2, upper), (3.4, lower), pen=THIN)
        self.anchors["screen"] = Point((0, -(height + out)))


class Earth(Part):
    """Protective earth (IEC 60617 02-15-03), functional earth (02-15-02) or plain earth (02-15-01, IEEE 315).

    The conductor lands at the origin, the symbol hangs below.

    Anchors: 'E'.
    """

    def __init__(self, kind: str = "protective") -> None:
        super().__init__()
        self.line((0, 0), (0, 2.0))
        for half, y in ((1.1, 2.0), (0.7, 2.5), (0.3, 3.0)):
            self.line((-half, y), (half, y))
        if kind == "protective":
            self.ring(0, 2.2, 1.7, pen=THIN)
        elif kind == "functional":
            self.arc(0, 2.2, 1.7, 0, 180, pen=THIN)
        self.anchors["E"] = Point((0, 0))


class Screen(Part):
    """The conductor of a screen: from the sheath down, along its own row to where it is landed.

    Parameters
    ----------
    depth : float
        From the sheath to the row. [mm]
    run : float
        From the sheath sideways to the landing; negative to the left. [mm]
    words : str
        Standing on the run.
    words_x : float
        Where they stand. [mm]

    Notes
    -----
    No anchors: it is drawn between two. IEC 60617 03-01-07, IEEE 315: from the dashed sheath to where it is
    landed.
    """

    def __init__(self, depth: float, run: float, words: str, words_x: float) -> None:
        super().__init__()
        self.line((0, 0), (0, depth), (run, depth))
        self.write(words, words_x, depth - 0.7, size=SMALL)


class Frame(Part):
    """The frame of a place or enclosure, dash-dot, with its name at the upper left.

    No anchors. IEC 60617 02-01-06, a boundary line, from memory, check.
    """

    def __init__(self, outline: Sequence[tuple[float, float]], name: str = "",
                 name_at: tuple[float, float] = (0, 0)) -> None:
        super().__init__()
        self.line(*outline, pen=THIN, dash="-.")
        self.write(name, *name_at, size=TAG, bold=True)


class Chart(Part):
    """Contact chart of a selector: one row a contact, one column a position, x = closed.

    Open is a dot, or a circle in the North American form (X O chart, NEMA ICS 19, from memory, check).

    Parameters
    ----------
    tag : str
    positions : sequence of str
        Column heads, left to right as on the selector.
    contacts : sequence of (name, closed)
        Row head and one mark per position.
    columns : float
        Width of a position's column. [mm]
    symbols : Symbols
    corner : str
        Written in the empty corner: the number of a note.

    Notes
    -----
    No anchors: it stands beside the device.
    """

    ROW = 3.9

    def __init__(self, tag: str, positions: Sequence[str], contacts: Sequence[tuple[str, Sequence[bool]]], *,
                 columns: float, symbols: Symbols = Symbols.IEC, corner: str = "") -> None:
        super().__init__(tag)
        ring = symbols is Symbols.NORTH_AMERICAN
        head = chart_head(contacts)
        right, bottom = head + columns * len(positions), self.ROW * (len(contacts) + 1)
        self.box(0, 0, right, bottom, pen=THIN)
        self.write(corner, head / 2, self.ROW / 2, size=SMALL, align="center", middle=True)
        for i in range(len(positions)):
            self.line((head + columns * i, 0), (head + columns * i, bottom), pen=THIN)
        for i, position in enumerate(positions):
            self.write(position, head + columns * (i + 0.5), self.ROW / 2, size=SMALL, align="center", middle=True)
        for k, (name, closed) in enumerate(contacts, start=1):
            y = self.ROW * k
            self.line((0, y), (right, y), pen=THIN)
            self.write(name, head / 2, y + self.ROW / 2, size=SMALL, align="center", middle=True)
            for i, mark in enumerate(closed):
                x, centre, d = head + columns * (i + 0.5), y + self.ROW / 2, 0.75
                if mark:
                    self.line((x - d, centre - d), (x + d, centre + d))
                    self.line((x - d, centre + d), (x + d, centre - d))
                else:
                    self.ring(x, centre, d if ring else 0.15, filled=not ring)


def chart_head(contacts: Sequence[tuple[str, Sequence[bool]]]) -> float:
    """Width of the column of contact names of a `Chart`. [mm]"""
    return max((width(name, SMALL) for name, _ in contacts), default=0.0) + 2.0


def chart_width(positions: Sequence[str], contacts: Sequence[tuple[str, Sequence[bool]]]) -> tuple[float, float]:
    """Width of a whole `Chart` and of one of its position columns. [mm]"""
    columns = max([5.0, *(width(p, SMALL) + 1.6 for p in positions)])
    return chart_head(contacts) + columns * len(positions), columns


class Lines(Part):
    """Lines of plain text below each other.

    Parameters
    ----------
    lines : sequence of (text, size, bold)
    pitch : float
        Distance of the base lines. [mm]

    Notes
    -----
    No anchors. Text, no symbol; IEC 81346 puts the designation first, from memory, check.
    """

    def __init__(self, lines: Sequence[tuple[str, float, bool]], *, tag: str = "", pitch: float = 3.7,
                 align: str = "left") -> None:
        super().__init__(tag)
        for number, (text, size, bold) in enumerate(lines):
            self.write(text, 0, CAPITAL * TAG / 2 + number * pitch, size=size, bold=bold, align=align)


class Link(Part):
    """Mechanical link between parts that move together, dashed (IEC 60617 02-12-01).

    No anchors: it is drawn between two.
    """

    def __init__(self, start: tuple[float, float], end: tuple[float, float], side: float) -> None:
        super().__init__()
        self.line(start, (side, start[1]), (side, end[1]), end, pen=THIN, dash="--")
