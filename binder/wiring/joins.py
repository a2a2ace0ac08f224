"""Lines beside the rows: rails between devices, bridges in the strip, links inside the drive's block.

Each is drawn as a line only where nothing crosses it; the others become pairs of flags.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from binder.wiring.connections import Connection, End
from binder.wiring.row_order import Plan
from binder.wiring.rows import Row, Unit
from binder.wiring.sheet import BAND

#: Where rows begin on a sheet. [mm]
TOP = BAND + 10.0
_MOST_BRIDGE_TRACKS = 3


@dataclass(frozen=True, slots=True)
class Stand:
    """An item at its height: a row of the field side, or a conductor or idle terminal of the drive."""

    y: float
    row: Row | None = None
    unit: Unit | None = None
    terminal: int = -1
    record: Connection | None = None  # of a stub


@dataclass(slots=True)
class Frame:
    """Consecutive units of one place on one sheet."""

    place: str
    inside: bool
    top: float
    bottom: float
    units: list[Unit] = field(default_factory=list)


@dataclass(slots=True)
class SheetRows:
    """One sheet: everything with its height."""

    stands: list[Stand] = field(default_factory=list)
    frames: list[Frame] = field(default_factory=list)
    bottom: float = TOP
    rails: list[tuple[Connection, int]] = field(default_factory=list)  # record, track
    bridges: list[tuple[Connection, int]] = field(default_factory=list)
    links: list[tuple[int, int, Connection, int]] = field(default_factory=list)


def join_lines(plan: Plan, sheets: Sequence[SheetRows]) -> set[str]:
    """Give rails, bridges and links their tracks; returns the records that cannot be drawn as lines."""
    refused = {r.id for r in (*plan.rails, *plan.bridges)} | {r.id for _, _, r in plan.links}
    for sheet in sheets:
        sheet.frames = [f for f in sheet.frames if f.units]
        sheet.rails = _rails(plan, sheet)
        sheet.bridges = _bridges(plan, sheet)
        sheet.links = _links(plan, sheet)
        refused -= {r.id for r, _ in (*sheet.rails, *sheet.bridges)} | {r.id for *_, r, _ in sheet.links}
    return refused


def nest(spans: Sequence[tuple[float, float]]) -> dict[int, int]:
    """Tracks for brackets between points on one line, inner ones first, so that none crosses another.

    Parameters
    ----------
    spans : sequence of (start, end)
        Brackets may share an end; the outer one then goes on from where the inner one turns.

    Returns
    -------
    dict
        Position in `spans` -> track from 0; brackets that would cross are left out.

    Examples
    --------
    >>> nest([(1, 4), (2, 3), (3, 5)])
    {1: 0, 2: 0}
    """
    order = sorted(range(len(spans)), key=lambda i: (abs(spans[i][1] - spans[i][0]), i))
    taken: dict[int, int] = {}
    for i in order:
        low, high = sorted(spans[i])
        track = 0
        for j, other in taken.items():
            inner_low, inner_high = sorted(spans[j])
            if high <= inner_low or low >= inner_high:
                continue
            if inner_low < low < inner_high or inner_low < high < inner_high or (low, high) == (inner_low, inner_high):
                track = -1
                break
            track = max(track, other + 1)
        if track >= 0:
            taken[i] = track
    return taken


def _rails(plan: Plan, sheet: SheetRows) -> list[tuple[Connection, int]]:
    height = {s.row.port: s.y for s in reversed(sheet.stands) if s.row is not None and s.row.port is not None}
    sliders = {
        End(u.device.tag, s.form) for u in plan.units if u.device for s in u.symbols if s.kind == "potentiometer"
    }  # fmt: skip
    out: list[tuple[Connection, int]] = []
    for frame in sheet.frames:
        tags = {row.port for unit in frame.units for row in unit.rows}
        inside = [
            r for r in plan.rails
            if r.a in tags and r.b in tags and r.a in height and r.b in height
            and not {r.a, r.b} & sliders
        ]  # fmt: skip
        tracks = nest([(height[r.a], height[r.b]) for r in inside])
        out += [(inside[i], track) for i, track in tracks.items()]
    return out


def _bridges(plan: Plan, sheet: SheetRows) -> list[tuple[Connection, int]]:
    """Bridges over adjacent cells of one strip, on at most three tracks inside the cells."""
    column = [(s.y, s.row) for s in sheet.stands if s.row is not None and _crosses_strip(s.row)]
    column.sort(key=lambda entry: entry[0])
    at = {row.strip: i for i, (_, row) in enumerate(column) if row.strip is not None}
    out: list[tuple[Connection, int]] = []
    taken: list[tuple[int, int, int]] = []
    for record in plan.bridges:
        if record.a not in at or record.b not in at or record.a.device != record.b.device:
            continue
        low, high = sorted((at[record.a], at[record.b]))
        between = [row.strip for _, row in column[low : high + 1]]
        if any(end is None or end.device != record.a.device for end in between):
            continue
        busy = {t for a, b, t in taken if a < high and low < b}
        track = next((t for t in range(_MOST_BRIDGE_TRACKS) if t not in busy), None)
        if track is not None:
            taken.append((low, high, track))
            out.append((record, track))
    return out


def _crosses_strip(row: Row) -> bool:
    """True when something of the row stands in the strip column."""
    if row.screen is not None:
        return not row.far
    return row.strip is not None or (row.left is not None and not row.outside)


def _links(plan: Plan, sheet: SheetRows) -> list[tuple[int, int, Connection, int]]:
    present = {s.terminal for s in sheet.stands if s.terminal >= 0}
    relays = {i for i, t in enumerate(plan.terminals) if t.role.startswith("RO")}
    here = [x for x in plan.links if x[0] in present and x[1] in present and not {x[0], x[1]} & relays]
    tracks = nest([(a, b) for a, b, _ in here])
    return [(here[i][0], here[i][1], here[i][2], track) for i, track in tracks.items()]
