"""The control terminals of a drive as one block, drawn for the rows of the sheet it stands on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from schemdraw.util import Point

from schemdraw_parts.base import STAND, Part
from schemdraw_parts.style import SMALL, TEXT, THIN, TITLE, Symbols
from schemdraw_parts.text import Notes, fit, width, wrap

#: Width of the column of relay contacts, and of one link track.
RELAY = 6.0
TRACK = 2.2
_LINE = 2.9
#: Bars of a North American relay contact: left of the number cells, half their distance and their length. [mm]
_NEAR, _FAR = 1.7, 4.4
_GAP, _BAR = 0.6, 1.1


@dataclass(frozen=True, slots=True)
class Cell:
    """One terminal as it stands in the block.

    `rows` are the wires it feeds, measured from the block's top; a terminal without wires has
    one row, its middle. `used` decides between bold and light type.
    """

    number: str
    label: str
    words: str
    top: float
    bottom: float
    rows: tuple[float, ...]
    used: bool = True


@dataclass(frozen=True, slots=True)
class RelayContact:
    """A changeover relay output: the cells of its common, make and break terminal, by number."""

    common: str
    make: str
    brk: str


@dataclass(frozen=True, slots=True)
class BlockColumns:
    """Column widths of the block; `relays` makes room for relay contacts and for the numbers of links. [mm]"""

    words: float
    labels: float
    links: int
    relays: bool
    number: float

    @property
    def body(self) -> float:
        """Width of the whole block."""
        return self.words + self.labels + self.links * TRACK + (RELAY if self.relays else 0.0) + self.number + 5.0


def block_columns(cells: Sequence[Cell], *, links: int, relays: bool, words: float = 20.0) -> BlockColumns:
    """Measure the columns of a `ControlTerminals` block; `words` is the most that a function may take."""
    widest = max((width(c.words, SMALL) for c in cells), default=0.0)
    longest_word = max((width(w, SMALL) for c in cells for w in c.words.split()), default=0.0)
    functions = min(max(words, longest_word) if widest > words else widest, 30.0)
    labels = max((width(c.label, TEXT, bold=True) for c in cells), default=0.0)
    number = max([5.5, *(width(c.number, TEXT, bold=True) + 2.0 for c in cells)])
    return BlockColumns(functions + 1.5, labels + 1.5, links, relays, number)


class ControlTerminals(Part):
    """Control terminals of a drive: function, label, relay contacts, number cell.

    Parameters
    ----------
    tag : str
        Designation of the drive, '-T1'.
    name : str
        Written after the tag.
    cells : sequence of Cell
        Downwards.
    relays : sequence of RelayContact
    columns : BlockColumns
    height : float
        Of the outline. [mm]
    corner : str
        Written at the upper right, '1/3'.
    notes : Notes
        Takes words too long for their place; without it they are cut.
    symbols : Symbols

    Notes
    -----
    Anchors: number at the first row of each cell, 'number/2' and so on for further rows, all on the
    right edge; 'number<' at the cell's left edge, for links.

    Practice of drive manuals, no standard symbol; relay contacts as IEC 60617 07-02-04, North American
    ones as a make and a break contact of IEEE 315 with one common (from memory, check).
    """

    def __init__(self, tag: str, name: str, cells: Sequence[Cell], *,  # noqa: PLR0913
                 relays: Sequence[RelayContact] = (), columns: BlockColumns, height: float, corner: str = "",
                 notes: Notes | None = None, symbols: Symbols = Symbols.IEC) -> None:
        super().__init__(tag)
        self._notes = notes
        right, left = columns.body, columns.body - columns.number
        label_x = left - columns.links * TRACK - (RELAY if columns.relays else 0.0) - 1.5
        self.box(0, 0, right, height)
        room = right - width(corner, SMALL) - 5.0
        cut = notes.fit if notes else fit
        self.write(cut(tag, room, TITLE, bold=True), 1.5, 5.0, size=TITLE, bold=True)
        after = 1.5 + width(tag, TITLE, bold=True) + 2.0
        if after + width(name, TEXT) < room:
            self.write(name, after, 5.0)
        self.write(corner, right - 1.2, 4.2, size=SMALL, align="right")
        for cell in cells:
            middle = (cell.top + cell.bottom) / 2
            with self.port(cell.number, right, cell.rows[0]):
                self.box(left, cell.top, columns.number, cell.bottom - cell.top, pen=THIN)
                self.write(cell.number, left + columns.number / 2, middle, bold=cell.used, align="center", middle=True,
                           size=TEXT if cell.used else SMALL)
                self.write(cell.label, label_x, middle, bold=cell.used, align="right", middle=True,
                           size=TEXT if cell.used else SMALL)
                self._words(cell, columns.words, middle)
            for k, row in enumerate(cell.rows[1:], start=2):
                self.anchors[f"{cell.number}/{k}"] = Point((right, -row))
            self.anchors[f"{cell.number}<"] = Point((left, -middle))
        draw = self._bars if symbols is Symbols.NORTH_AMERICAN else self._relay
        for relay in relays:
            draw(relay, left)

    def _words(self, cell: Cell, room: float, middle: float) -> None:
        """What the terminal is used for, on two lines where the cell is tall enough."""
        most = 2 if cell.bottom - cell.top > 2 * _LINE else 1
        lines = (self._notes.wrap if self._notes else wrap)(cell.words, room, SMALL, lines=most)
        for k, line in enumerate(lines):
            self.write(line, 1.0, middle + _LINE * (k - (len(lines) - 1) / 2), size=SMALL, middle=True)

    def _relay(self, relay: RelayContact, left: float) -> None:
        """The contact without power: common on the break side (IEC 60617 07-02-04)."""
        common, make, brk = (-self.anchors[f"{n}<"][1] for n in (relay.common, relay.make, relay.brk))
        hinge = left - RELAY + 1.6
        self.line((left, common), (hinge, common))
        self.line((left, make), (left - 1.8, make))
        stop = left - 2.6
        self.line((left, brk), (stop, brk))
        self.line((hinge, common), (stop - 0.4, brk + (0.5 if brk > common else -0.5)))

    def _bars(self, relay: RelayContact, left: float) -> None:
        """Two bars between the common and each other terminal, a slanting line over those of the break contact.

        The contact to the terminal that is not beside the common stands further in, so that no lead crosses it.
        """
        common, make, brk = (-self.anchors[f"{n}<"][1] for n in (relay.common, relay.make, relay.brk))
        inner = min(common, make, brk) < common < max(common, make, brk)  # the common between the others
        for other, breaks in ((make, False), (brk, True)):
            near = inner or abs(other - common) == min(abs(make - common), abs(brk - common))
            x = left - (_NEAR if near else _FAR)
            between = (common if near else make if breaks else brk, other)
            middle = math.fsum(between) / 2
            toward = _GAP if other > common else -_GAP
            self.line((left, common), (x, common), (x, middle - toward))
            self.line((x, middle + toward), (x, other), (left, other))
            for y in (middle - _GAP, middle + _GAP):
                self.line((x - _BAR, y), (x + _BAR, y))
            if breaks:
                self.line((x - _BAR, middle + _GAP + 0.5), (x + _BAR, middle - _GAP - 0.5))


class LinkBracket(Part):
    """A link between two terminals of one block: a bracket at the left of the number cells.

    Parameters
    ----------
    start, end : tuple of float
        The upper and the lower cell it joins. [mm]
    track : float
        x of its long stretch. [mm]
    text : str
        Its number, standing on the lower arm.

    Notes
    -----
    No anchors: it ends on those of the block's cells, 'number<'.

    Common practice, no standard symbol.
    """

    def __init__(self, start: tuple[float, float], end: tuple[float, float], track: float, text: str = "") -> None:
        super().__init__()
        self.line(start, (track, start[1]), (track, end[1]), end)
        self.write(text, end[0] - 0.8, end[1] - STAND, size=SMALL, align="right")


