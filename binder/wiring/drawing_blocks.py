"""Blocks of a sheet of terminals and cables: what each must offer, and how blocks fill columns and sheets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from binder.wiring.sheet import BAND, SHEET_HEIGHT, SHEET_WIDTH
from schemdraw_parts.base import Part
from schemdraw_parts.figure import SheetFigure
from schemdraw_parts.style import SMALL, THIN

#: Distance of two rows, and from one block to the next below it. [mm]
ROW, GAP = 4.6, 3.4
#: Outer edges, and the gap between two columns. [mm]
LEFT, RIGHT, BETWEEN = BAND + 1.0, SHEET_WIDTH - 1.0, 4.0
#: Upper edge of the first block, and room for the note and the foot line. [mm]
TOP, FOOT = BAND + 3.0, 11.4
#: Greatest height of a block. [mm]
ROOM = SHEET_HEIGHT - FOOT - TOP
#: Widest block that leaves room for another one beside it. [mm]
HALF = (RIGHT - LEFT - BETWEEN) / 2


class Block(Protocol):
    """Part of a sheet that is not cut."""

    @property
    def height(self) -> float:
        """Room it takes downwards. [mm]"""
        ...

    @property
    def least(self) -> float:
        """Least width that holds all its texts. [mm]"""
        ...

    def draw(self, figure: SheetFigure, x: float, y: float, room: float) -> None:
        """Place it with its upper left corner at (x, y), in a column `room` wide. [mm]"""
        ...


@dataclass(frozen=True, slots=True)
class Placed:
    """A block with its place on a sheet. [mm]"""

    block: Block
    x: float
    y: float
    room: float


def pack(blocks: Sequence[Block], reserve: float = 0.0) -> list[list[Placed]]:
    """Fill columns from the top, two on a sheet where every block is narrow enough, else one.

    Columns are no higher than the least number of sheets asks for, so that a short drawing is not
    one long column beside an empty one.

    Parameters
    ----------
    blocks : sequence of Block
        None higher than `ROOM`.
    reserve : float
        Height to keep free on every sheet for numbered notes. [mm]

    Returns
    -------
    list of list of Placed
        One list a sheet.
    """
    room = HALF if all(b.least <= HALF for b in blocks) else RIGHT - LEFT
    lefts = [LEFT, LEFT + HALF + BETWEEN] if room == HALF else [LEFT]
    columns = _columns(blocks, ROOM - reserve)
    for limit in range(int(max(b.height for b in blocks)) + 1, int(ROOM - reserve)):
        shorter = _columns(blocks, float(limit))
        if -(-len(shorter) // len(lefts)) == -(-len(columns) // len(lefts)):
            columns = shorter
            break
    sheets: list[list[Placed]] = [[] for _ in range(-(-len(columns) // len(lefts)))]
    for n, column in enumerate(columns):
        y = TOP
        for block in column:
            sheets[n // len(lefts)].append(Placed(block, lefts[n % len(lefts)], y, room))
            y += block.height + GAP
    return sheets


def _columns(blocks: Sequence[Block], limit: float) -> list[list[Block]]:
    """Blocks in columns no higher than `limit`. [mm]"""
    columns: list[list[Block]] = []
    used = 0.0
    for block in blocks:
        if not columns or used + block.height > limit:
            columns.append([])
            used = 0.0
        columns[-1].append(block)
        used += block.height + GAP
    return columns


class Line(Part):
    """One conductor of a plan: a level line, texts standing on it, and a text at each free end.

    Parameters
    ----------
    start, end : tuple of float
        From left to right. [mm]
    labels : sequence of (text, x, align)
        Standing on the line.
    before, after : str
        Level with the line, left of its start and right of its end.
    dash : str
        '--' for what is no conductor in use.
    """

    def __init__(
        self,
        start: tuple[float, float],
        end: tuple[float, float],
        labels: Sequence[tuple[str, float, str]] = (),
        *,
        tag: str = "",
        before: str = "",
        after: str = "",
        dash: str = "",
    ) -> None:
        super().__init__(tag)
        self.line(start, end, dash=dash, **({"pen": THIN} if dash else {}))
        for text, x, align in labels:
            self.write(text, x, start[1] - 0.7, size=SMALL, align=align)
        self.write(before, start[0] - 1.0, start[1], size=SMALL, align="right", middle=True)
        self.write(after, end[0] + 1.0, end[1], size=SMALL, middle=True)
