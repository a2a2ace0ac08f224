"""Devices that are no contacts: between two or three rows, or a block with as many ports as wanted.

IEC forms follow IEC 60617 (numbers of the printed edition of 1996), North American forms IEEE 315
and NEMA ICS 19; geometry from memory, see the symbol notes among the tables of the standards.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from schemdraw.util import Point

from schemdraw_parts.base import Part
from schemdraw_parts.contacts import REACH, Rows
from schemdraw_parts.style import PITCH, SMALL, TEXT, THIN, Symbols
from schemdraw_parts.text import width

#: Rows of a part on its own: one row for each terminal, one pitch apart.
BETWEEN: Rows = ((0.0,), (PITCH,))


class TwoTerminal(Part):
    """Base of devices between two rows: leads down from the upper row, up from the lower one.

    Parameters
    ----------
    tag : str
    upper, lower : str
        Terminal marks and anchors. The mark goes with its row, so a device may be wired upside down.
    rows : pair of sequence of float
        Rows of the upper and of the lower terminal, downwards; the body sits above the lower one. [mm]
    half : float
        Half the height of the symbol's body. [mm]

    Notes
    -----
    A base without a symbol of its own.
    """

    def __init__(self, tag: str, upper: str, lower: str, *, rows: Rows = BETWEEN, half: float = 1.6,
                 unwired: Collection[str] = ()) -> None:
        super().__init__(tag, unwired=unwired)
        self.middle = rows[1][0] - PITCH / 2
        self.leads(upper, rows[0], REACH, self.middle - half)
        self.leads(lower, rows[1], REACH, self.middle + half)


class Lamp(TwoTerminal):
    """Indicator lamp: crossed circle (IEC 60617 08-10-01) or circle with rays and colour letter (NEMA ICS 19).

    Anchors: the two terminal marks, with '/2' and so on at further rows, '>' on the side of the rails.
    """

    def __init__(self, tag: str, upper: str, lower: str, *, rows: Rows = BETWEEN, lens: str = "",
                 symbols: Symbols = Symbols.IEC, unwired: Collection[str] = ()) -> None:
        super().__init__(tag, upper, lower, rows=rows, unwired=unwired)
        y, r = self.middle, 1.6
        self.ring(REACH, y, r)
        d = r * 0.7071
        if symbols is Symbols.NORTH_AMERICAN:
            for sx in (-1, 1):
                for sy in (-1, 1):
                    self.line((REACH + sx * d, y + sy * d), (REACH + sx * d * 1.6, y + sy * d * 1.5))
            self.write(lens[:1], REACH, y, size=SMALL, align="center", middle=True)
        else:
            self.line((REACH - d, y - d), (REACH + d, y + d))
            self.line((REACH - d, y + d), (REACH + d, y - d))
            self.write(lens, REACH + 2.4, y, size=SMALL, middle=True)


class Meter(TwoTerminal):
    """Indicating instrument: circle with the quantity's letters (IEC 60617 08-01-01).

    Anchors: the two terminal marks, with '/2' and so on at further rows, '>' on the side of the rails.
    """

    def __init__(self, tag: str, upper: str, lower: str, *, rows: Rows = BETWEEN, quantity: str = "Hz",
                 unwired: Collection[str] = ()) -> None:
        super().__init__(tag, upper, lower, rows=rows, half=2.0, unwired=unwired)
        self.ring(REACH, self.middle, 2.0)
        self.write(quantity, REACH, self.middle, size=SMALL, align="center", middle=True)


class Transmitter(TwoTerminal):
    """Two-wire transmitter: box with a diagonal, quantity in, milliamperes out.

    Anchors: the two terminal marks, with '/2' and so on at further rows, '>' on the side of the rails. Common
    practice after IEC 60617 10-15 converters, from memory, check.
    """

    def __init__(self, tag: str, upper: str, lower: str, *, rows: Rows = BETWEEN, quantity: str = "p",
                 unwired: Collection[str] = ()) -> None:
        super().__init__(tag, upper, lower, rows=rows, half=1.8, unwired=unwired)
        y = self.middle
        self.box(REACH - 3.0, y - 1.8, 6.0, 3.6)
        self.line((REACH - 3.0, y + 1.8), (REACH + 3.0, y - 1.8), pen=THIN)
        self.write(quantity, REACH - 2.5, y - 0.1, size=SMALL * 0.8)
        self.write("mA", REACH - 0.2, y + 1.45, size=SMALL * 0.75)


class Coil(TwoTerminal):
    """Coil of a relay or contactor: rectangle (IEC 60617 07-15-01) or circle (NEMA ICS 19).

    `brake` adds the two shoes of a mechanical brake.

    Anchors: the two terminal marks, with '/2' and so on at further rows, '>' on the side of the rails.
    """

    def __init__(self, tag: str, upper: str, lower: str, *, rows: Rows = BETWEEN, brake: bool = False,
                 symbols: Symbols = Symbols.IEC, unwired: Collection[str] = ()) -> None:
        north_american = symbols is Symbols.NORTH_AMERICAN
        super().__init__(tag, upper, lower, rows=rows, half=1.8 if north_american else 1.3, unwired=unwired)
        y = self.middle
        if north_american:
            self.ring(REACH, y, 1.8)
        else:
            self.box(REACH - 2.3, y - 1.3, 4.6, 2.6)
        if brake:
            left = REACH - (1.8 if north_american else 2.3)
            self.line((left, y), (REACH - 4.3, y), pen=THIN, dash="--")
            self.box(REACH - 5.3, y - 1.4, 1.0, 2.8)
            self.line((REACH - 6.3, y - 1.4), (REACH - 6.3, y + 1.4))


class Resistor(TwoTerminal):
    """Resistor: rectangle (IEC 60617 04-01-01) or zigzag (IEEE 315).

    Anchors: the two terminal marks, with '/2' and so on at further rows, '>' on the side of the rails.
    """

    def __init__(self, tag: str, upper: str, lower: str, *, rows: Rows = BETWEEN,
                 symbols: Symbols = Symbols.IEC, unwired: Collection[str] = ()) -> None:
        super().__init__(tag, upper, lower, rows=rows, half=1.9, unwired=unwired)
        _resistor_body(self, REACH, self.middle, symbols)


class Thermistor(TwoTerminal):
    """Temperature-dependent resistor with positive coefficient (IEC 60617 04-01-05 with t).

    Anchors: the two terminal marks, with '/2' and so on at further rows, '>' on the side of the rails.
    """

    def __init__(self, tag: str, upper: str, lower: str, *, rows: Rows = BETWEEN,
                 symbols: Symbols = Symbols.IEC, unwired: Collection[str] = ()) -> None:
        super().__init__(tag, upper, lower, rows=rows, half=1.9, unwired=unwired)
        y = self.middle
        _resistor_body(self, REACH, y, symbols)
        self.line((REACH - 2.6, y + 1.9), (REACH - 1.5, y + 1.9), (REACH + 1.6, y - 1.7), pen=THIN)
        self.write("+θ", REACH - 2.0, y - 0.5, size=SMALL, align="right", middle=True)


class Potentiometer(Part):
    """Potentiometer on three rows (IEC 60617 04-01-07, or the zigzag of IEEE 315).

    Parameters
    ----------
    tag : str
    ports : sequence of (mark, rows)
        In row order, the slider anywhere among them.
    slider : str
        Mark of the slider.
    clockwise : str
        Mark of the end that the slider nears when turned clockwise; '' leaves the arrow out.
    symbols : Symbols

    Notes
    -----
    Anchors: the terminal marks.
    """

    def __init__(self, tag: str, ports: Sequence[tuple[str, Sequence[float]]], *, slider: str = "2",
                 clockwise: str = "", symbols: Symbols = Symbols.IEC, unwired: Collection[str] = ()) -> None:
        super().__init__(tag, unwired=unwired)
        first, last = [p for p in ports if p[0] != slider][:2]
        y = last[1][0] - PITCH
        wiper = next((p for p in ports if p[0] == slider), None)
        if wiper and first[1][-1] < wiper[1][0] < last[1][0]:
            y = min(max(wiper[1][0], first[1][-1] + 2.6), last[1][0] - 2.6)
        self.leads(first[0], first[1], REACH, y - 1.9)
        self.leads(last[0], last[1], REACH, y + 1.9)
        _resistor_body(self, REACH, y, symbols)
        if wiper:
            self._slider(wiper[0], wiper[1], y, REACH - (1.4 if symbols is Symbols.NORTH_AMERICAN else 0.75))
        if clockwise:
            way = -1.0 if clockwise == first[0] else 1.0
            x, end = REACH + 2.4, y + 1.4 * way
            self.line((x, y - 1.4 * way), (x, end), pen=THIN)
            self.solid((x, end), (x - 0.4, end - way), (x + 0.4, end - way))
            self.write("CW", x + 0.9, y, size=SMALL, middle=True)

    def _slider(self, name: str, rows: Sequence[float], y: float, tip: float) -> None:
        bend = REACH - 4.0
        with self.port(name, 0, rows[0]):
            for number, row in enumerate(rows, start=1):
                if number > 1:
                    self.anchors[f"{name}/{number}"] = Point((0, -row))
                self.line((0, row), (bend, row), (bend, y))
            self.line((bend, y), (tip - 1.0, y))
            self.mark(name, 3.0, rows[0])
        self.solid((tip, y), (tip - 1.4, y - 0.5), (tip - 1.4, y + 0.5))


class Block(Part):
    """A device drawn as a box with its ports at the left: controller, power supply, safety relay, sensor.

    Parameters
    ----------
    tag : str
    ports : sequence of (mark, rows, words)
        Terminal mark, its rows and what it is.
    body : float
        Width of the box; see `block_width`. [mm]

    Notes
    -----
    Anchors: the terminal marks.

    Common practice, no standard symbol.
    """

    def __init__(self, tag: str, ports: Sequence[tuple[str, Sequence[float], str]], *, body: float,
                 unwired: Collection[str] = ()) -> None:
        super().__init__(tag, unwired=unwired)
        left, top, bottom = 2.5, ports[0][1][0], ports[-1][1][-1]
        self.box(left, top - 2.7, body, bottom - top + 5.4)
        for name, rows, words in ports:
            with self.port(name, 0, rows[0]):
                for number, row in enumerate(rows, start=1):
                    if number > 1:
                        self.anchors[f"{name}/{number}"] = Point((0, -row))
                    if name not in self.unwired:
                        self.line((0, row), (left, row))
                self.write(name, left + 1.0, rows[0], size=TEXT, bold=True, middle=True)
                if words:
                    x = left + 1.0 + width(name, TEXT, bold=True) + 1.5
                    self.write(words, x, rows[0], size=SMALL, middle=True)
            self.anchors[f"{name}>"] = Point((left + body, -rows[0]))


def block_width(ports: Sequence[tuple[str, str]]) -> float:
    """Width of a `Block` that holds these (mark, words). [mm]"""
    return max(
        (2.0 + width(n, TEXT, bold=True) + (1.5 + width(w, SMALL) if w else 0.0) for n, w in ports), default=8.0
    ) + 1.0  # fmt: skip


def _resistor_body(part: Part, x: float, y: float, symbols: Symbols) -> None:
    """A standing resistor 3.8 mm high."""
    if symbols is Symbols.NORTH_AMERICAN:
        zigzag = [(x, y - 1.9), (x + 1.1, y - 1.58), (x - 1.1, y - 0.95), (x + 1.1, y - 0.32), (x - 1.1, y + 0.32),
                  (x + 1.1, y + 0.95), (x - 1.1, y + 1.58), (x, y + 1.9)]  # fmt: skip
        part.line(*zigzag)
    else:
        part.box(x - 0.75, y - 1.9, 1.5, 3.8)
