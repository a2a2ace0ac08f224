"""Which cable runs between which places: drive, panel, motor, operator stations, field devices."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from binder.inventory.lookup import cables_of
from binder.inventory.records import Cable, Drive, Inventory
from binder.wiring.connections import Wiring
from binder.wiring.drawing_blocks import Line
from binder.wiring.schedules import CableLine, cable_schedule
from schemdraw_parts.base import Part
from schemdraw_parts.figure import SheetFigure
from schemdraw_parts.style import SMALL, TAG, TEXT, THIN
from schemdraw_parts.text import Notes, width, wrap
from schemdraw_parts.wiring import Lines

_HEAD = 6.6
_ROW = 4.2
_LINE = 3.4
_APART = 1.4
_MOST_BOX = 34.0
_MOST_LINES = 2
_UNKNOWN = "place not given"


@dataclass(frozen=True, slots=True)
class Run:
    """One cable between two places."""

    tag: str
    a: str
    b: str
    words: str


@dataclass(frozen=True, slots=True)
class PlacesBlock:
    """All cables of a drive, gathered by the places they join."""

    groups: tuple[tuple[str, tuple[tuple[str, tuple[Run, ...]], ...]], ...]  # from -> (to -> runs)
    title: str

    @property
    def height(self) -> float:
        """Room it takes downwards. [mm]"""
        return _HEAD + math.fsum(_height(far) + _APART for _, far in self.groups) - _APART

    @property
    def boxes(self) -> tuple[float, float]:
        """Widths of the boxes at the left and at the right. [mm]"""
        near = max(width(a, TEXT, bold=True) for a, _ in self.groups)
        far = max(width(b, TEXT, bold=True) for _, group in self.groups for b, _ in group)
        return min(near, _MOST_BOX) + 3.0, min(far, _MOST_BOX) + 3.0

    @property
    def least(self) -> float:
        """Least width that holds all its texts. [mm]"""
        runs = [r for _, group in self.groups for _, runs in group for r in runs]
        return math.fsum(self.boxes) + max(_label_width(r) for r in runs) + 3.0

    def draw(self, figure: SheetFigure, x: float, y: float, room: float) -> None:
        """Place it with its upper left corner at (x, y), in a column `room` wide. [mm]"""
        near, far = self.boxes
        figure.place(Lines([(self.title, TAG, True)]), x, y, kind="words")
        level = y + _HEAD
        for a, group in self.groups:
            figure.place(_Box(_name_lines(a, figure.notes), near, _height(group)), x, level, kind="place")
            for b, runs in group:
                height = _far_height(b, runs)
                figure.place(_Box(_name_lines(b, figure.notes), far, height), x + room - far, level, kind="place")
                first = level + (height - _ROW * (len(runs) - 1)) / 2 + 0.9
                for n, run in enumerate(runs):
                    _draw_run(figure, run, x + near, x + room - far, first + _ROW * n)
                level += height + _APART


class _Box(Part):
    """A place as a box with its name in the middle."""

    def __init__(self, lines: Sequence[str], body: float, height: float) -> None:
        super().__init__()
        self.box(0, 0, body, height, pen=THIN)
        for n, line in enumerate(lines):
            y = height / 2 + _LINE * (n - (len(lines) - 1) / 2)
            self.write(line, body / 2, y, bold=True, align="center", middle=True)


def _name_lines(name: str, notes: Notes | None = None) -> list[str]:
    """The name in bold lines no wider than a box; bold letters are up to a sixth wider."""
    return (notes.wrap if notes else wrap)(name, _MOST_BOX * 0.85, TEXT, lines=_MOST_LINES)


def _far_height(name: str, runs: Sequence[Run]) -> float:
    return max(_ROW * len(runs) + 0.8, _LINE * len(_name_lines(name)) + 1.6)


def _height(group: Sequence[tuple[str, Sequence[Run]]]) -> float:
    return math.fsum(_far_height(b, runs) + _APART for b, runs in group) - _APART


def _label_width(run: Run) -> float:
    return width(run.tag, SMALL, bold=True) + width(run.words, SMALL) + 5.0


def _draw_run(figure: SheetFigure, run: Run, left: float, right: float, y: float) -> None:
    words = figure.notes.fit(run.words, right - left - width(run.tag, SMALL, bold=True) - 5.0, SMALL)
    part = Line((left, y), (right, y), [(words, left + width(run.tag, SMALL, bold=True) + 3.0, "left")], tag=run.tag)
    part.write(run.tag, left + 1.2, y - 0.7, size=SMALL, bold=True)
    figure.place(part, kind="run")


def places_block(inventory: Inventory, drive: Drive, wiring: Wiring, *, shield: str) -> PlacesBlock | None:
    """The cables of a drive between their places; None when it has no cable.

    Parameters
    ----------
    inventory : Inventory
        For the power cables.
    drive : Drive
    wiring : Wiring
        For the control cables.
    shield : str
        'screened' or 'shielded', as the site says it.
    """
    runs = [_power(c, shield) for c in cables_of(inventory, drive)]
    runs += [_control(line, shield) for line in cable_schedule(wiring)]
    if not runs:
        return None
    groups = []
    for a in dict.fromkeys(r.a for r in runs):
        own = [r for r in runs if r.a == a]
        groups.append((a, tuple((b, tuple(r for r in own if r.b == b)) for b in dict.fromkeys(r.b for r in own))))
    return PlacesBlock(tuple(groups), "Cables between places")


def _power(cable: Cable, shield: str) -> Run:
    sets = f"{cable.sets} × " if cable.sets and cable.sets > 1 else ""
    size = f"{sets}{cable.size}" if cable.size else "size not given"
    length = str(cable.length) if cable.length else "length not given"
    words = [cable.role, size, shield if cable.shielded else "", length]
    return Run(cable.tag, cable.from_place or _UNKNOWN, cable.to_place or _UNKNOWN, ", ".join(w for w in words if w))


def _control(line: CableLine, shield: str) -> Run:
    words = [line.signal, f"{line.used} of {line.cores} × {line.size}".removesuffix(" × "),
             shield if line.screened else "", line.length or "length not given"]  # fmt: skip
    return Run(line.tag, line.from_place or _UNKNOWN, line.to_place or _UNKNOWN, ", ".join(w for w in words if w))
