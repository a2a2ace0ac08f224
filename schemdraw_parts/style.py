"""One style for every part: sizes in millimetres on paper, one ink, no meaning in colour."""

from __future__ import annotations

from enum import StrEnum

#: Type sizes. One point is 25.4 / 72 mm.
POINT = 25.4 / 72
TEXT = 8 * POINT
SMALL = 7 * POINT
TAG = 9 * POINT
TITLE = 11 * POINT

#: Height of capitals over the type size, Arial metrics; puts the baseline where it centres a line.
CAPITAL = 0.716
#: Depth of the letters g, j, p, q, y over the type size.
DESCENT = 0.212

#: Line widths: IEC 61082-1 asks for one width with a second at least twice as wide [from memory, check].
LINE = 0.25
THIN = 0.14
HEAVY = 0.39

#: Dash tables in millimetres, fine enough for small frames.
DASHES = {"--": (0.8, 0.5), "-.": (3.0, 0.7, 0.5, 0.7)}

#: Height of one row of a control drawing, and of an unused terminal.
PITCH = 6.5
#: Distance between the poles of a main circuit.
POLE = 7.0

FONTS = "Liberation Sans, Arial, Helvetica, sans-serif"


class Symbols(StrEnum):
    """Which symbol forms a drawing uses."""

    IEC = "IEC"  # IEC 60617
    NORTH_AMERICAN = "North American"  # IEEE 315, NEMA ICS 19
