"""Cables core by core: both ends, number and colour, spare cores, and where the screen is landed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from binder.inventory.counting import counted
from binder.wiring.connections import Connection, Core, Kind, WireCable, Wiring
from binder.wiring.drawing_blocks import ROOM, Line
from binder.wiring.numbering import natural_key
from binder.wiring.screens import INSULATED, is_far_end, landing_words, pairs_of, screen_cable
from schemdraw_parts.base import Part
from schemdraw_parts.figure import SheetFigure
from schemdraw_parts.style import SMALL, TAG
from schemdraw_parts.text import width
from schemdraw_parts.wiring import Lines, Sheath

#: Distance of two cores, and of the first one from the block's upper edge. [mm]
CORE = 4.0
_HEAD = 6.4
SPARE = "spare"


@dataclass(frozen=True, slots=True)
class CoreColumns:
    """Widths that all cables of a drive share. [mm]"""

    near: float
    far: float
    number: float
    core: float
    shield: str  # 'screened' or 'shielded'

    @property
    def least(self) -> float:
        """Width of the whole block: ends, wire numbers, two sheaths, cores."""
        return self.near + self.far + 2 * self.number + self.core + 24.0


@dataclass(frozen=True, slots=True)
class CableBlock:
    """A cable, or as many of its cores as fit a column."""

    cable: WireCable
    cores: tuple[tuple[Core, Connection | None], ...]
    screens: tuple[Connection, ...]
    columns: CoreColumns
    part: int
    parts: int

    @property
    def height(self) -> float:
        """Room it takes downwards. [mm]"""
        rows = len(self.cores) + max(len(self.ends(far=far)) for far in (False, True))
        return _HEAD + CORE * (rows - 1) + 1.8

    @property
    def least(self) -> float:
        """Least width that holds all its texts. [mm]"""
        return self.columns.least

    def ends(self, *, far: bool) -> list[Connection]:
        """Records of the screen's end at one side."""
        return [r for r in self.screens if is_far_end(r) == far]

    def draw(self, figure: SheetFigure, x: float, y: float, room: float) -> None:
        """Place it with its upper left corner at (x, y), in a column `room` wide. [mm]"""
        c = self.columns
        start, end = x + c.near + 1.0, x + room - c.far - 1.0
        left, right = start + c.number + 5.0, end - c.number - 5.0
        self._name(figure, x, y, room)
        first = y + _HEAD
        for n, (core, record) in enumerate(self.cores):
            self._core(figure, core, record, (start, end), ((left + right) / 2, first + CORE * n))
        depth = CORE * (len(self.cores) - 1)
        marks = [core.mark for core, _ in self.cores]
        pairs = [(CORE * a, CORE * b) for a, b in pairs_of(marks)] if self.cable.paired else []
        for at in (left, right):
            part = Sheath(depth, screened=self.cable.screened, pairs=pairs if at == left else ())
            figure.place(part, at, first, kind="sheath")
            tip = part.point("screen")
            for n, record in enumerate(self.ends(far=at == right), start=1):
                tip = self._screen(figure, record, tip, (start if at == left else end, first + depth + CORE * n))

    def _name(self, figure: SheetFigure, x: float, y: float, room: float) -> None:
        """Places at both sides, the cable and what it is in the middle."""
        k = self.cable
        tag = k.tag if self.parts == 1 else f"{k.tag} ({self.part}/{self.parts})"
        pairs = len(k.cores) // 2 if k.paired and len(k.cores) % 2 == 0 else 0
        count = counted(pairs, "pair") if pairs else counted(len(k.cores), "core")
        what = ", ".join(
            t for t in (f"{count} {k.size}".strip(), self.columns.shield if k.screened else "", k.signal.value,
                        k.length or "length not given") if t
        )  # fmt: skip
        side = (room - width(tag, TAG, bold=True) - width(what, SMALL) - 8.0) / 2
        near, far = (figure.notes.fit(t, max(side, 10.0), SMALL) for t in (k.from_place, k.to_place))
        figure.place(Lines([(near, SMALL, False)]), x, y, kind="place")
        figure.place(Lines([(far, SMALL, False)], align="right"), x + room, y, kind="place")
        at = x + (room - width(tag, TAG, bold=True) - width(what, SMALL) - 2.0) / 2
        figure.place(Lines([(tag, TAG, True)], tag=k.tag), at, y, kind="cable")
        words = figure.notes.fit(what, room - 20.0 - width(tag, TAG, bold=True), SMALL)
        figure.place(Lines([(words, SMALL, False)]), at + width(tag, TAG, bold=True) + 2.0, y, kind="words")

    def _core(self, figure: SheetFigure, core: Core, record: Connection | None, ends: tuple[float, float],
              at: tuple[float, float]) -> None:  # fmt: skip
        (start, end), (middle, y) = ends, at
        name = f"{core.mark} {core.colour}".strip()
        labels = [(name, middle, "center")]
        if record is None:
            part = Line((start, y), (end, y), labels, tag=core.cable, before=SPARE, after=SPARE, dash="--")
            figure.place(part, kind=SPARE)
            return
        if record.potential:
            labels += [(record.potential, start + 1.0, "left"), (record.potential, end - 1.0, "right")]
        part = Line((start, y), (end, y), labels, tag=core.cable, before=str(record.a), after=str(record.b))
        figure.place(part, kind="wire", record=record.id)

    def _screen(self, figure: SheetFigure, record: Connection, sheath: tuple[float, float],
                end: tuple[float, float]) -> tuple[float, float]:  # fmt: skip
        """One end of the screen: to where it is landed, or to the word that it is insulated."""
        (x, y), near = end, end[0] < sheath[0]
        part = Part(self.cable.tag)
        part.line(sheath, (sheath[0], y), end)
        words = landing_words(record, self.cable.tag)
        part.write(words, x + (-1.0 if near else 1.0), y, size=SMALL, align="right" if near else "left", middle=True)
        if near:
            part.write(self.columns.shield.removesuffix("ed"), x + 1.0, y - 0.7, size=SMALL)
        figure.place(part, kind="screen", record=record.id)
        return sheath[0], y


def cable_blocks(wiring: Wiring, *, shield: str) -> list[CableBlock]:
    """Every control cable of a drive in the order of the cable schedule, in pieces that fit a column.

    Parameters
    ----------
    wiring : Wiring
    shield : str
        'screened' or 'shielded', as the site says it.
    """
    used: dict[Core, Connection] = {r.core: r for r in wiring.connections if r.core}
    screens: dict[str, list[Connection]] = {}
    known = {k.tag: k for k in wiring.cables}
    for record in wiring.connections:
        if record.kind is Kind.SCREEN:
            screens.setdefault(screen_cable(record, known), []).append(record)
    columns = _columns(wiring, screens, shield)
    most = int((ROOM - _HEAD) / CORE) - 1
    blocks = []
    for cable in sorted(wiring.cables, key=lambda k: natural_key(k.tag)):
        cores = [(core, used.get(core)) for core in cable.cores]
        pieces = [tuple(cores[n : n + most]) for n in range(0, len(cores), most)] or [()]
        for n, piece in enumerate(pieces, start=1):
            last = tuple(screens.get(cable.tag, [])) if n == len(pieces) else ()
            blocks.append(CableBlock(cable, piece, last, columns, n, len(pieces)))
    return blocks


def _columns(wiring: Wiring, screens: Mapping[str, Sequence[Connection]],
             shield: str) -> CoreColumns:  # fmt: skip
    records = [r for r in wiring.connections if r.core]
    landings = [landing_words(r, tag) for tag, ends in screens.items() for r in ends]
    words = [INSULATED, SPARE, *landings]
    near = [width(t, SMALL) for t in (*words, *(str(r.a) for r in records))]
    far = [width(t, SMALL) for t in (*words, *(str(r.b) for r in records))]
    numbers = [0.0, *(width(r.potential, SMALL) for r in records)]
    cores = [width(f"{c.mark} {c.colour}", SMALL) for k in wiring.cables for c in k.cores]
    return CoreColumns(max(near), max(far), max(numbers), max([6.0, *cores]), shield)
