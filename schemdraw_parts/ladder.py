"""Parts of a ladder diagram: contacts and loads lying on a rung, North American forms.

Forms follow IEEE 315 and NEMA ICS 19 as control ladders are drawn; geometry from memory, see the
symbol notes among the tables of the standards. Every part lies on y = 0 from x = 0 to `BODY`, its
two terminals are its anchors.
"""

from __future__ import annotations

from collections.abc import Sequence

from schemdraw_parts.american import BARS, BUTTONS
from schemdraw_parts.base import Part
from schemdraw_parts.style import CAPITAL, SMALL, TAG, TEXT, THIN
from schemdraw_parts.text import width

#: Width of a part on a rung, and the middle of it. [mm]
BODY = 15.0
_MIDDLE = BODY / 2


#: Letter of a switch by what works it.
_LETTERS = {"temperature": "T", "pressure": "P", "level": "L", "flow": "F", "limit": "LS"}


class InLine(Part):
    """Base of parts on a rung: two leads, terminal marks below them, the tag above, words below.

    Parameters
    ----------
    tag : str
    left, right : str
        Terminal marks and anchors.
    reach : float
        Half the width of the symbol. [mm]
    clear : float
        From the middle to where the marks may begin; they reach outwards from there. [mm]
    caption : str
        Written above the symbol: the tag, as a rule.
    below : sequence of str
        Lines written below it: line of the coil, closed positions.

    Notes
    -----
    A base without a symbol of its own.
    """

    def __init__(self, tag: str, left: str, right: str, *, reach: float, clear: float = 0.0, caption: str = "",
                 below: Sequence[str] = ()) -> None:
        super().__init__(tag)
        side, level = max(reach, clear) + 0.5, 0.7 + CAPITAL * SMALL
        with self.port(left, 0, 0):
            self.line((0, 0), (_MIDDLE - reach, 0))
            self.write(left, _MIDDLE - side, level, size=SMALL, align="right")
        with self.port(right, BODY, 0):
            self.line((_MIDDLE + reach, 0), (BODY, 0))
            self.write(right, _MIDDLE + side, level, size=SMALL)
        self.write(caption, _MIDDLE, -4.1, size=TEXT, bold=True, align="center")
        for n, line in enumerate(below):
            self.write(line, _MIDDLE, 6.3 + 3.1 * n, size=SMALL, align="center")


class LadderContact(InLine):
    """Contact on a rung: bars of a relay, circles and bar of a button, circles and blade of a switch.

    IEEE 315 and NEMA ICS 19, from memory, check.

    Parameters
    ----------
    form : str
        'NO' or 'NC'.
    operator : str
        As `contacts.OPERATORS`; those of `american.BARS` are two bars, those of `american.BUTTONS` circles with
        a bar, others a switch with a letter.

    Notes
    -----
    Anchors: the two terminal marks.
    """

    def __init__(self, tag: str, left: str, right: str, form: str = "NO", *, operator: str = "", caption: str = "",
                 below: Sequence[str] = ()) -> None:
        bars = operator in BARS
        super().__init__(tag, left, right, reach=1.1 if bars else 3.4, clear=2.3, caption=caption, below=below)
        x = _MIDDLE
        if bars:
            for side in (-1.1, 1.1):
                self.line((x + side, -2.2), (x + side, 2.2))
            if form == "NC":
                self.line((x - 2.2, 2.2), (x + 2.2, -2.2))
            return
        for side in (-2.9, 2.9):
            self.ring(x + side, 0, 0.5)
        if operator in BUTTONS:
            self._bar(form, operator)
        else:
            self._blade(form, _LETTERS.get(operator, ""))

    def _bar(self, form: str, operator: str) -> None:
        """The bridging bar: above the circles when open, on their lower side when closed."""
        x, y = _MIDDLE, -1.5 if form == "NO" else 0.5
        self.line((x - 3.2, y), (x + 3.2, y))
        self.line((x, y), (x, -2.6))
        if operator == "mushroom":
            self.arc(x, -2.2, 1.4, 20, 160)
        elif operator in ("turn", "key"):
            self.line((x - 1.2, -2.2), (x + 1.2, -3.0))

    def _blade(self, form: str, letter: str) -> None:
        """The blade of a switch, hinged at the left; its letter below."""
        x = _MIDDLE
        tip = (x + 2.6, 2.0) if form == "NO" else (x + 3.2, -0.6)
        self.line((x - 2.4, 0.1), tip)
        self.write(letter, x - 1.0, 3.6 if form == "NO" else 2.6, size=SMALL, align="center")


class LadderCoil(InLine):
    """Coil of a relay or contactor: circle (NEMA ICS 19, IEEE 315, from memory, check).

    Anchors: the two terminal marks.
    """

    def __init__(self, tag: str, left: str, right: str, *, caption: str = "", below: Sequence[str] = ()) -> None:
        super().__init__(tag, left, right, reach=2.8, clear=3.0, caption=caption, below=below)
        self.ring(_MIDDLE, 0, 2.8)


class LadderLamp(InLine):
    """Pilot light: circle with rays and the letter of its colour (NEMA ICS 19, from memory, check).

    Anchors: the two terminal marks.
    """

    def __init__(self, tag: str, left: str, right: str, *, lens: str = "", caption: str = "",
                 below: Sequence[str] = ()) -> None:
        super().__init__(tag, left, right, reach=1.9, clear=2.5, caption=caption, below=below)
        self.ring(_MIDDLE, 0, 1.9)
        for sx in (-1, 1):
            for sy in (-1, 1):
                self.line((_MIDDLE + sx * 1.35, sy * 1.35), (_MIDDLE + sx * 2.3, sy * 2.3))
        self.write(lens[:1], _MIDDLE, 0, size=SMALL, align="center", middle=True)


class LadderResistor(InLine):
    """Resistor or heater: zigzag (IEEE 315, from memory, check).

    Anchors: the two terminal marks.
    """

    def __init__(self, tag: str, left: str, right: str, *, caption: str = "", below: Sequence[str] = ()) -> None:
        super().__init__(tag, left, right, reach=3.6, caption=caption, below=below)
        x, step = _MIDDLE - 3.6, 7.2 / 6
        peaks = [(x + step * (k + 0.5), 1.3 if k % 2 else -1.3) for k in range(6)]
        self.line((x, 0), *peaks, (x + 7.2, 0))


class LadderBox(InLine):
    """A load or part without a symbol of its own: a box; what it is stands in the words of its line.

    Anchors: the two terminal marks. Common practice, no standard symbol.
    """

    def __init__(self, tag: str, left: str, right: str, *, caption: str = "", below: Sequence[str] = ()) -> None:
        super().__init__(tag, left, right, reach=3.6, caption=caption, below=below)
        self.box(_MIDDLE - 3.6, -2.0, 7.2, 4.0)


class Riser(Part):
    """A conductor down from a rung to the branch below it, with a dot where it leaves.

    No anchors. Dot where conductors join: IEEE 315, from memory, check.
    """

    def __init__(self, length: float) -> None:
        super().__init__()
        self.line((0, 0), (0, length))
        self.ring(0, 0, 0.55, filled=True)


class RungNumber(Part):
    """Number of a rung, in a circle beside the left rail.

    No anchors. Common practice of ladder diagrams, no standard symbol.
    """

    def __init__(self, number: str) -> None:
        super().__init__()
        self.ring(0, 0, max(2.4, width(number, TAG, bold=True) / 2 + 0.9), pen=THIN)
        self.write(number, 0, 0, size=TAG, bold=True, align="center", middle=True)
