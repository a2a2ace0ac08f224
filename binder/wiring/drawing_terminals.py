"""Terminal strips as they stand on the rail: inside left, bridges in the terminals, field cables right."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from binder.wiring.connections import Connection, End, Kind, Strip, Wiring
from binder.wiring.drawing_blocks import ROOM, ROW, Line
from binder.wiring.drawing_columns import Economy, wire_label
from binder.wiring.drawing_rows import draw_bridge, numbers_of
from binder.wiring.rows import other_end
from schemdraw_parts.figure import SheetFigure
from schemdraw_parts.style import SMALL, TAG, TEXT
from schemdraw_parts.text import width
from schemdraw_parts.wiring import Lines, TerminalCell

_HEAD = 5.0
_TRACK = 2.0
_MOST_TRACKS = 3
_FIELD = {Kind.CORE, Kind.JUMPER, Kind.SCREEN}


@dataclass(frozen=True, slots=True)
class Terminal:
    """One strip terminal with its conductors on both sides."""

    mark: str
    inside: tuple[Connection, ...]
    outside: tuple[Connection, ...]

    @property
    def lines(self) -> int:
        """Rows it takes."""
        return max(1, len(self.inside), len(self.outside))


@dataclass(frozen=True, slots=True)
class StripColumns:
    """Widths that all strips of a drive share, so that their terminals stand below each other. [mm]"""

    inner_end: float
    inner_label: float
    cell: float
    tracks: float
    outer_label: float
    outer_end: float
    shield: str

    @property
    def least(self) -> float:
        """Width of the whole block."""
        return self.inner_end + self.inner_label + self.cell + self.outer_label + self.outer_end + 4.0


@dataclass(frozen=True, slots=True)
class StripBlock:
    """A strip, or the piece of it that fits a column."""

    strip: Strip
    terminals: tuple[Terminal, ...]
    bridges: tuple[tuple[Connection, int], ...]  # record, track
    columns: StripColumns
    part: int
    parts: int

    @property
    def height(self) -> float:
        """Room it takes downwards. [mm]"""
        return _HEAD + ROW * sum(t.lines for t in self.terminals)

    @property
    def least(self) -> float:
        """Least width that holds all its texts. [mm]"""
        return self.columns.least

    def draw(self, figure: SheetFigure, x: float, y: float, room: float) -> None:
        """Place it with its upper left corner at (x, y), in a column `room` wide. [mm]"""
        c = self.columns
        spare = max(0.0, room - c.least) / 2
        start = x + c.inner_end + 2.0
        cell = start + c.inner_label + spare
        end = cell + c.cell + c.outer_label + spare
        tag = self.strip.tag if self.parts == 1 else f"{self.strip.tag} ({self.part}/{self.parts})"
        kind = f"{self.strip.kind} in {self.strip.place}".removesuffix(" in ")
        words = figure.notes.fit(kind, cell - x - 2.0, SMALL)
        figure.place(Lines([(words, SMALL, False)]), x, y, kind="words")
        figure.place(Lines([(tag, TAG, True)], tag=self.strip.tag, align="center"), cell + c.cell / 2, y,
                     kind="strip name")  # fmt: skip
        figure.place(Lines([("field", SMALL, False)], align="right"), x + room - 1.0, y, kind="words")
        level = y + _HEAD + ROW / 2
        rows: dict[End, float] = {}
        for terminal in self.terminals:
            rows[End(self.strip.tag, terminal.mark)] = level
            part = TerminalCell(self.strip.tag, terminal.mark, terminal.mark, body=c.cell, tracks=c.tracks,
                                depth=ROW * (terminal.lines - 1))  # fmt: skip
            figure.place(part, cell, level, kind="terminal")
            self._conductors(figure, terminal, level, (start, cell, end))
            level += ROW * terminal.lines
        conductors = (r for t in self.terminals for r in (*t.inside, *t.outside))
        number = numbers_of([*conductors, *(record for record, _ in self.bridges)])
        for record, track in self.bridges:
            draw_bridge(figure, record, cell + c.cell - c.tracks + _TRACK * (track + 0.5), rows, number)

    def _conductors(self, figure: SheetFigure, terminal: Terminal, level: float,
                    at: tuple[float, float, float]) -> None:  # fmt: skip
        start, cell, end = at
        here = End(self.strip.tag, terminal.mark)
        for n, record in enumerate(terminal.inside):
            y = level + ROW * n
            label = wire_label(record, Economy())
            part = Line((start, y), (cell, y), [(label, start + 1.0, "left")], tag=self.strip.tag,
                        before=str(other_end(record, here)))  # fmt: skip
            figure.place(part, kind="wire", record=record.id)
        for n, record in enumerate(terminal.outside):
            y = level + ROW * n
            right = cell + self.columns.cell
            label = _outer_label(record, self.columns.shield)
            part = Line((right, y), (end, y), [(label, right + 1.0, "left")], tag=self.strip.tag,
                        after=str(other_end(record, here)))  # fmt: skip
            figure.place(part, kind="screen" if record.kind is Kind.SCREEN else "wire", record=record.id)


def _outer_label(record: Connection, shield: str) -> str:
    """'102 W1:3 BK': wire number, cable and core, colour."""
    if record.kind is Kind.SCREEN:
        return shield
    if record.core is None:
        return wire_label(record, Economy())
    core = f"{record.core.cable}:{record.core.mark}"
    return " ".join(x for x in (record.potential, core, record.core.colour) if x)


def strip_blocks(wiring: Wiring, *, shield: str) -> list[StripBlock]:
    """Every strip of a drive that something lands on, in pieces that fit a column.

    Parameters
    ----------
    wiring : Wiring
    shield : str
        The site's word for a cable screen.
    """
    here: dict[End, list[Connection]] = {}
    for record in wiring.connections:
        for end in (record.a, record.b):
            here.setdefault(end, []).append(record)
    drawn = [(strip, *piece) for strip in wiring.strips for piece in _pieces(strip, here)]
    as_bars = {record.id for *_, bars in drawn for record, _ in bars}
    made = [
        (strip, tuple(_terminal(End(strip.tag, mark), here, as_bars) for mark in marks), bars)
        for strip, marks, bars in drawn
    ]
    columns = _columns(made, shield)
    count = Counter(strip.tag for strip, *_ in made)
    blocks, number = [], dict.fromkeys(count, 0)
    for strip, terminals, bars in made:
        number[strip.tag] += 1
        blocks.append(StripBlock(strip, terminals, bars, columns, number[strip.tag], count[strip.tag]))
    return blocks


_Bars = tuple[tuple[Connection, int], ...]


def _pieces(strip: Strip, here: Mapping[End, Sequence[Connection]]) -> list[tuple[tuple[str, ...], _Bars]]:
    """Terminals of a strip in runs that fit a column, with their bridges; nothing for a strip without conductor."""
    if not any(here.get(End(strip.tag, mark)) for mark in strip.terminals):
        return []
    for spare in range(int(ROOM / ROW)):
        pieces = [(run, _bridges(strip, run, here)) for run in _runs(strip, here, spare)]
        if all(_rows(strip, run, bars, here) * ROW <= ROOM - _HEAD for run, bars in pieces):
            break
    return pieces


def _runs(strip: Strip, here: Mapping[End, Sequence[Connection]], spare: int) -> list[tuple[str, ...]]:
    """Runs of a strip as if all its bridges were bars, with room for `spare` rows that turn out not to be."""
    bars = {r.id for mark in strip.terminals for r in here.get(End(strip.tag, mark), []) if r.kind is Kind.BRIDGE}
    runs: list[list[str]] = [[]]
    used = 0
    for mark in strip.terminals:
        lines = _terminal(End(strip.tag, mark), here, bars).lines
        if runs[-1] and (used + lines + spare) * ROW > ROOM - _HEAD:
            runs.append([])
            used = 0
        runs[-1].append(mark)
        used += lines
    return [tuple(run) for run in runs]


def _rows(strip: Strip, run: Sequence[str], bars: _Bars, here: Mapping[End, Sequence[Connection]]) -> int:
    drawn = {record.id for record, _ in bars}
    return sum(_terminal(End(strip.tag, mark), here, drawn).lines for mark in run)


def _terminal(end: End, here: Mapping[End, Sequence[Connection]], as_bars: set[str]) -> Terminal:
    landing = [r for r in here.get(end, []) if r.id not in as_bars]
    inside = tuple(r for r in landing if r.kind not in _FIELD)
    return Terminal(end.terminal, inside, tuple(r for r in landing if r.kind in _FIELD))


def _bridges(strip: Strip, marks: Sequence[str], here: Mapping[End, Sequence[Connection]]) -> _Bars:
    """Bridges within one piece of a strip with their tracks; what finds no track stays a conductor."""
    place = {mark: n for n, mark in enumerate(marks)}
    found: dict[str, tuple[int, int, Connection]] = {}
    for mark in marks:
        for r in here.get(End(strip.tag, mark), []):
            inner = {r.a.device, r.b.device} == {strip.tag} and {r.a.terminal, r.b.terminal} <= set(place)
            if r.kind is Kind.BRIDGE and inner and r.a != r.b:
                low, high = sorted(place[e.terminal] for e in (r.a, r.b))
                found[r.id] = (low, high, r)
    out: list[tuple[Connection, int]] = []
    ends: list[int] = []
    for low, high, record in sorted(found.values(), key=lambda f: (f[0], f[1], f[2].id)):
        track = next((n for n, last in enumerate(ends) if last <= low), len(ends))
        if track == _MOST_TRACKS:
            continue
        ends[track : track + 1] = [high]
        out.append((record, track))
    return tuple(out)


def _columns(made: Sequence[tuple[Strip, tuple[Terminal, ...], _Bars]], shield: str) -> StripColumns:
    inner_end, inner_label, outer_label, outer_end = [8.0], [14.0], [14.0], [8.0]
    marks, tracks = [3.0], 0
    for strip, terminals, bars in made:
        tracks = max([tracks, *(t + 1 for _, t in bars)])
        for t in terminals:
            here = End(strip.tag, t.mark)
            marks.append(width(t.mark, TEXT, bold=True))
            inner_end += [width(str(other_end(r, here)), SMALL) for r in t.inside]
            inner_label += [width(wire_label(r, Economy()), SMALL) + 3.0 for r in t.inside]
            outer_end += [width(str(other_end(r, here)), SMALL) for r in t.outside]
            outer_label += [width(_outer_label(r, shield), SMALL) + 3.0 for r in t.outside]
    room = _TRACK * tracks
    return StripColumns(max(inner_end), max(inner_label), max(marks) + 2.4 + room, room, max(outer_label),
                        max(outer_end), shield)  # fmt: skip
