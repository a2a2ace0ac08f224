"""Where rows stand on paper: heights, sheets, and which rails, bridges and links can be drawn as lines.

Three lanes run down the sheet: the drive's terminal cells, the rows of the field side, and the
panel column between them. A straight row takes all three; an unused terminal takes only the
first, a jumper's row only the second, so they may stand beside each other.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace

from binder.wiring.connections import Connection, End, Wiring
from binder.wiring.row_order import Plan, loosest, plan_rows
from binder.wiring.rows import Row, Unit

#: Room above and below the line of a row; together one pitch of 6.5 mm. [mm]
ABOVE, BELOW = 3.4, 3.1
#: Height of an unused terminal, and of each further conductor of a strip terminal. [mm]
IDLE, MORE = 4.6, 4.6
#: Extra room above a row: below another unit, with a cable's name, as first row of a frame. [mm]
UNIT_GAP, CABLE_NAME, FRAME_NAME = 1.5, 2.4, 5.4
#: From a frame's last row to its lower edge, and from there to the next frame. [mm]
FRAME_EDGE, FRAME_GAP = 0.6, 2.4
#: Where rows may begin and end on a sheet. [mm]
TOP, FOOT = 10.0, 11.5
_ROOM = 172.0 - FOOT
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


@dataclass(frozen=True, slots=True)
class _State:
    """Lower edges of the three lanes, and what stands last in the field lane."""

    drive: float = TOP
    field: float = TOP
    panel: float = TOP
    place: tuple[str, bool] | None = None
    cable: str = ""

    @property
    def bottom(self) -> float:
        edge = FRAME_EDGE if self.place is not None else 0.0
        return max(self.drive, self.field + edge, self.panel)


_Item = tuple[str, object]  # ('idle', terminal) | ('stub', (terminal, record)) | ('row', (unit, row))
Heights = Callable[[Unit], float]


@dataclass(frozen=True, slots=True)
class Layout:
    """All sheets of one drive, the plan they were made from, and the sheet of each drawn end."""

    plan: Plan
    sheets: tuple[SheetRows, ...]
    where: dict[tuple[str, End], int]  # (record, end) -> sheet number


def lay_out(wiring: Wiring, text_height: Heights) -> Layout:
    """Lay a drive's rows out on sheets.

    Parameters
    ----------
    wiring : Wiring
    text_height : callable
        Height that the words and chart of a unit need beside it. [mm]

    Returns
    -------
    Layout

    Notes
    -----
    What cannot be drawn as a rail, bridge or link becomes a pair of flags, and everything is laid
    out again; the set of such records only grows, so this ends.
    """
    flagged: frozenset[str] = frozenset()
    loose: frozenset[str] = frozenset()
    while True:
        plan = plan_rows(wiring, flagged, loose)
        blocks = _blocks(plan)
        tall = _too_tall(blocks, text_height)
        if tall:
            loose |= {tall}
            continue
        sheets = _pack(blocks, text_height)
        refused = _join(plan, sheets)
        if not refused - flagged:
            return Layout(plan, tuple(sheets), _where(plan, sheets))
        flagged |= refused


def _blocks(plan: Plan) -> list[list[_Item]]:
    """Items in order, in groups that are not cut: a unit with the terminals it spans, or one terminal."""
    blocks: list[list[_Item]] = []
    shown: set[int] = set()
    following = 0

    def terminal_items(index: int) -> list[_Item]:
        if index in shown:
            return []
        shown.add(index)
        stubs: list[_Item] = [("stub", (index, record)) for record in plan.stubs.get(index, [])]
        return stubs or [("idle", index)]

    straight_at = {row.target for unit in plan.units for row in unit.rows if row.straight}
    for unit in plan.units:
        items: list[_Item] = []
        begun = False
        for row in unit.rows:
            if row.straight and row.target is not None:
                between: list[_Item] = []
                for index in range(following, row.target):
                    between += terminal_items(index)
                if row.target not in shown and plan.stubs.get(row.target):
                    between += terminal_items(row.target)
                shown.add(row.target)
                following = row.target
                if begun:
                    items += between
                else:
                    blocks += [[item] for item in between]
                    begun = True
            items.append(("row", (unit, row)))
        blocks.append(items)
    for index in range(len(plan.terminals)):
        if index not in straight_at:
            blocks += [[item] for item in terminal_items(index)]
    return blocks


def _above(state: _State, unit: Unit, row: Row, first: bool) -> tuple[float, tuple[str, bool] | None]:
    """Room a row needs above its line, and the frame it stands in."""
    place = (unit.place, unit.inside) if unit.device is not None else None
    need = ABOVE
    if first:
        if place != state.place:
            need += FRAME_NAME if place is not None else UNIT_GAP
            need += FRAME_EDGE + FRAME_GAP if state.place is not None else 0.0
        else:
            need += UNIT_GAP
    if row.cable and row.cable != state.cable:
        need = max(need, ABOVE + CABLE_NAME)
    return need, place


def _place_block(block: Sequence[_Item], state: _State, heights: Heights) -> tuple[list[Stand], _State]:
    """Put one block below what stands already."""
    stands: list[Stand] = []
    first_y: float | None = None
    unit: Unit | None = None
    for kind, what in block:
        if kind == "idle":
            index = what
            assert isinstance(index, int)
            stands.append(Stand(state.drive + IDLE / 2, terminal=index))
            state = replace(state, drive=state.drive + IDLE)
        elif kind == "stub":
            index, record = what  # type: ignore[misc]
            y = max(state.drive + ABOVE, state.panel + ABOVE)
            stands.append(Stand(y, terminal=index, record=record))
            state = replace(state, drive=y + BELOW, panel=y + BELOW)
        else:
            unit, row = what  # type: ignore[misc]
            assert isinstance(unit, Unit) and isinstance(row, Row)
            above, place = _above(state, unit, row, first_y is None)
            y = state.field + above
            if row.straight:
                y = max(y, state.drive + ABOVE)
            if row.in_panel:
                y = max(y, state.panel + ABOVE)
            target = row.target if row.straight and row.target is not None else -1
            stands.append(Stand(y, row=row, unit=unit, terminal=target))
            below = y + BELOW + MORE * max(len(row.more_left), len(row.more_right))
            state = replace(
                state, field=below, place=place, cable=row.cable or state.cable,
                drive=y + BELOW if row.straight else state.drive, panel=below if row.in_panel else state.panel,
            )  # fmt: skip
            first_y = y if first_y is None else first_y
    if unit is not None and first_y is not None:
        state = replace(state, field=max(state.field, first_y - 2.0 + heights(unit)))
    return stands, state


def _too_tall(blocks: Iterable[Sequence[_Item]], heights: Heights) -> str:
    """A straight record to give up because its block fits no sheet; '' when all fit."""
    for block in blocks:
        if len(block) < 2:
            continue
        _, state = _place_block(block, _State(), heights)
        if state.bottom > _ROOM:
            rows = [what[1] for kind, what in block if kind == "row"]  # type: ignore[index]
            unit = next(what[0] for kind, what in block if kind == "row")  # type: ignore[index]
            if record := loosest(unit, rows):
                return record
    return ""


def _pack(blocks: Sequence[Sequence[_Item]], heights: Heights) -> list[SheetRows]:
    """Fill sheets from the top; a block that does not fit opens the next one."""
    sheets = [SheetRows()]
    state = _State()
    for block in blocks:
        stands, after = _place_block(block, state, heights)
        if after.bottom > _ROOM and sheets[-1].stands:
            sheets.append(SheetRows())
            stands, after = _place_block(block, _State(), heights)
        state = after
        sheets[-1].stands += stands
        sheets[-1].bottom = state.bottom
        _frame(sheets[-1], stands, state)
    return sheets


def _frame(sheet: SheetRows, stands: Sequence[Stand], state: _State) -> None:
    rows = [s for s in stands if s.row is not None]
    unit = rows[0].unit if rows else None
    if unit is None or unit.device is None:
        if unit is not None:
            sheet.frames.append(Frame("", True, 0.0, 0.0))
        return
    last = sheet.frames[-1] if sheet.frames else None
    bottom = state.field + FRAME_EDGE
    if last is not None and last.units and (last.place, last.inside) == (unit.place, unit.inside):
        last.bottom = bottom
        last.units.append(unit)
    else:
        top = rows[0].y - ABOVE - FRAME_NAME + 0.6
        sheet.frames.append(Frame(unit.place, unit.inside, top, bottom, [unit]))


def _join(plan: Plan, sheets: Sequence[SheetRows]) -> set[str]:
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


def _where(plan: Plan, sheets: Sequence[SheetRows]) -> dict[tuple[str, End], int]:
    """On which sheet each end of each record is drawn."""
    where: dict[tuple[str, End], int] = {}
    names: dict[int, list[End]] = defaultdict(list)
    for i, terminal in enumerate(plan.terminals):
        names[i] = [End(plan.designation, terminal.number), End(plan.designation, terminal.label)]
    for number, sheet in enumerate(sheets, start=1):
        for stand in sheet.stands:
            if stand.record is not None:
                where.update({(stand.record.id, end): number for end in names[stand.terminal]})
            row = stand.row
            if row is None:
                continue
            if row.left is not None and stand.terminal >= 0:
                where.update({(row.left.id, end): number for end in names[stand.terminal]})
            records = [r for r in (row.left, row.right, *row.more_left, *row.more_right) if r is not None]
            for record in records:
                for end in (record.a, record.b):
                    if end in (row.strip, row.port):
                        where[record.id, end] = number
    return where
