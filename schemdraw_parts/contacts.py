"""Contacts and what operates them.

IEC forms follow IEC 60617 part 7 (numbers of the printed edition of 1996), North American forms
IEEE 315 and NEMA ICS 19; geometry from memory of both, see `iec_60617_symbol_notes.csv` and
`ieee315_nfpa79_symbol_notes.csv` for what was confirmed. In a row drawing the conductors lie
horizontally, so the ladder forms of `american` stand turned by 90 degrees.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from schemdraw_parts import american
from schemdraw_parts.base import Part
from schemdraw_parts.style import PITCH, SMALL, THIN, Symbols

#: Distance from where the wire lands to the line the contact stands on.
REACH = 11.0
#: Operators that `Contact` knows.
OPERATORS = (
    "", "push", "turn", "key", "mushroom", "relay", "temperature", "pressure", "level", "flow", "limit", "hand",
    "overload",
)  # fmt: skip
#: Rows of the upper and of the lower terminal of a part.
Rows = tuple[Sequence[float], Sequence[float]]
_OPERATOR_X = 4.6
_MIDDLE = PITCH / 2


class Contact(Part):
    """One make or break contact between two rows.

    Parameters
    ----------
    tag : str
        Designation of the device.
    upper, lower : str
        Terminal marks on the two rows; also the anchors.
    form : str
        'NO' (IEC 60617 07-02-01) or 'NC' (07-02-03).
    operator : str
        One of `OPERATORS`: push 02-13-05, turn 02-13-04, key 02-13-13, mushroom 02-13-08 with
        latch 02-12-08 and positive opening (IEC 60947-5-1 annex K), level, flow and limit by a small
        picture, others a box with a letter. North American: see `american`.
    rows : pair of tuple of float
        Rows of the upper and of the lower terminal, downwards; the symbol sits above the lower one. [mm]
    symbols : Symbols
    head : bool
        False leaves the operator out, for the second and later contacts of one device.
    unwired : collection of str
        See `Part`.

    Notes
    -----
    Anchors: the two terminal marks, 'link' where the operating member meets the contact.
    """

    def __init__(self, tag: str, upper: str, lower: str, form: str = "NO", *, operator: str = "",  # noqa: PLR0913
                 rows: Rows = ((0.0,), (PITCH,)), symbols: Symbols = Symbols.IEC, head: bool = True,
                 unwired: Collection[str] = ()) -> None:
        super().__init__(tag, unwired=unwired)
        top = rows[1][0] - PITCH
        self.leads(upper, rows[0], REACH, top + 1.7)
        self.leads(lower, rows[1], REACH, top + PITCH - 1.5)
        middle = top + _MIDDLE
        if symbols is Symbols.NORTH_AMERICAN:
            link = _american(self, top, form, operator)
            if head:
                american.head(self, operator, _OPERATOR_X, middle, link)
        else:
            link = self._blade(top, form)
            if head and operator:
                _head(self, operator, middle)
                self.line((_OPERATOR_X + 1.2, middle), (link, middle), pen=THIN, dash="--")
            if operator == "mushroom" and form == "NC":
                self._positive_opening(middle)
        self.anchors["link"] = (link, -middle)

    def _blade(self, top: float, form: str) -> float:
        """The hinged blade of IEC 60617; returns x of its middle."""
        hinge = (REACH, top + PITCH - 1.5)
        if form == "NC":
            self.line((REACH, top + 1.7), (REACH + 1.5, top + 1.7))
            self.line(hinge, (REACH + 1.35, top + 1.1))
            return REACH + 0.55
        self.line(hinge, (REACH - 1.6, top + 1.6))
        return REACH - 0.75

    def _positive_opening(self, middle: float) -> None:
        x, y = REACH - 2.6, middle - 1.5
        self.ring(x, y, 0.8, pen=THIN)
        self.line((x - 0.5, y), (x + 0.5, y), pen=THIN)
        self.line((x + 0.15, y - 0.3), (x + 0.5, y), (x + 0.15, y + 0.3), pen=THIN)


class Changeover(Part):
    """A changeover contact on three rows, common in the middle or at an end (IEC 60617 07-02-04).

    Parameters
    ----------
    tag : str
    common, make, brk : tuple of str and float
        Terminal mark and row of each. [mm]

    Notes
    -----
    Anchors: the three terminal marks.
    """

    def __init__(self, tag: str, common: tuple[str, float], make: tuple[str, float], brk: tuple[str, float]) -> None:
        super().__init__(tag)
        x = 8.0
        for name, y in (make, brk):
            with self.port(name, 0, y):
                self.line((0, y), (x, y))
                self.mark(name, 1.0, y)
        with self.port(common[0], 0, common[1]):
            self.line((0, common[1]), (x + 3.0, common[1]))
            self.mark(common[0], 1.0, common[1])
        away = -0.9 if brk[1] > common[1] else 0.9
        self.line((x + 3.0, common[1]), (x - 0.4, brk[1] + away))
        self.line((x, brk[1]), (x, brk[1] + away * 1.2))
        self.line((x, make[1]), (x, make[1] + (0.9 if make[1] < common[1] else -0.9)))


def _american(part: Part, top: float, form: str, operator: str) -> float:
    """The contact that goes with a North American operator; returns x of its middle."""
    if operator in american.BARS:
        return american.bars(part, REACH, top, form)
    if operator in american.BUTTONS:
        return american.button(part, REACH, top, form)
    return american.switch(part, REACH, top, form, foot=operator == "limit")


def _head(part: Part, operator: str, y: float) -> None:
    """Draw the operator's head with the operating member leaving at x = _OPERATOR_X + 1.2."""
    x = _OPERATOR_X
    if operator == "push":
        part.line((x + 1.0, y - 1.2), (x, y - 1.2), (x, y + 1.2), (x + 1.0, y + 1.2))
        part.line((x, y), (x + 1.2, y), pen=THIN)
    elif operator == "turn":
        part.line((x - 0.8, y - 1.2), (x, y - 1.2), (x, y + 1.2), (x + 0.8, y + 1.2))
        part.line((x, y), (x + 1.2, y), pen=THIN)
    elif operator == "key":
        part.ring(x - 0.4, y, 0.8)
        part.line((x + 0.4, y), (x + 1.2, y))
    elif operator == "hand":
        part.line((x, y - 1.2), (x, y + 1.2))
        part.line((x, y), (x + 1.2, y), pen=THIN)
    elif operator == "mushroom":
        part.arc(x, y, 1.3, 90, 270)
        part.line((x, y - 1.3), (x, y + 1.3))
        part.line((x, y), (x + 1.2, y), pen=THIN)
        part.line((x + 1.6, y), (x + 2.0, y + 0.7), (x + 2.4, y), pen=THIN)
    elif operator == "level":
        part.ring(x, y, 0.9)
        part.line((x - 1.5, y), (x + 1.2, y))
    elif operator == "flow":
        part.line((x + 1.2, y), (x - 0.2, y))
        part.line((x + 0.6, y - 1.2), (x + 0.6, y + 1.2))
        part.line((x - 1.0, y - 0.8), (x - 0.2, y), (x - 1.0, y + 0.8))
    elif operator == "limit":
        part.line((x - 0.6, y - 1.0), (x + 1.2, y), (x - 0.6, y + 1.0), (x - 0.6, y - 1.0))
    else:
        part.box(x - 1.4, y - 1.3, 2.6, 2.6)
        letter = {"temperature": "θ", "overload": "θ", "pressure": "p"}.get(operator, "")
        part.write(letter, x - 0.1, y, size=SMALL, align="center", middle=True)
