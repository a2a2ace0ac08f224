"""Where rows stand on paper: heights and sheets.

Three lanes run down the sheet: the drive's terminal cells, the rows of the field side, and the
panel column between them. A straight row takes all three; an unused terminal takes only the
first, a jumper's row only the second, so they may stand beside each other.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from binder.wiring.connections import Connection, Wiring
from binder.wiring.joins import TOP, Frame, SheetRows, Stand, join_lines
from binder.wiring.row_order import Plan, loosest, plan_rows
from binder.wiring.rows import Row, Unit
from binder.wiring.sheet import SHEET_HEIGHT

#: Room above and below the line of a row; together one pitch of 6.5 mm. [mm]
ABOVE, BELOW = 3.4, 3.1
#: Height of an unused terminal, and of each further conductor of a strip terminal. [mm]
IDLE, MORE = 4.6, 4.6
#: Extra room above a row: below another unit, with a cable's name, as first row of a frame. [mm]
UNIT_GAP, CABLE_NAME, FRAME_NAME = 1.5, 2.4, 5.4
#: From a frame's last row to its lower edge, and from there to the next frame. [mm]
FRAME_EDGE, FRAME_GAP = 0.6, 2.4
#: Room for the note and the foot line. [mm]
FOOT = 11.5
_ROOM = SHEET_HEIGHT - FOOT


@dataclass(frozen=True, slots=True)
class _Item:
    """A row of the field side, a conductor that leaves a drive terminal as a flag, or an idle terminal."""

    terminal: int = -1
    record: Connection | None = None
    unit: Unit | None = None
    row: Row | None = None


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


Heights = Callable[[Unit], float]


@dataclass(frozen=True, slots=True)
class Layout:
    """All sheets of one drive, and the plan they were made from."""

    plan: Plan
    sheets: tuple[SheetRows, ...]


def lay_out(wiring: Wiring, text_height: Heights, *, reserve: float = 0.0) -> Layout:
    """Lay a drive's rows out on sheets.

    Parameters
    ----------
    wiring : Wiring
    text_height : callable
        Height that the words and chart of a unit need beside it. [mm]
    reserve : float
        Height to keep free on every sheet for numbered notes. [mm]

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
        tall = _too_tall(blocks, text_height, _ROOM - reserve)
        if tall:
            loose |= {tall}
            continue
        sheets = _pack(blocks, text_height, _ROOM - reserve)
        refused = join_lines(plan, sheets)
        if not refused - flagged:
            return Layout(plan, tuple(sheets))
        flagged |= refused


class _Blocks:
    """Groups items in order; a group is not cut: a unit with the terminals it spans, or one terminal."""

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._shown: set[int] = set()
        self.blocks: list[list[_Item]] = []

    def terminal(self, index: int) -> list[_Item]:
        """The stubs of a drive terminal, or its idle cell; nothing when it stands already."""
        if index in self._shown:
            return []
        self._shown.add(index)
        return [_Item(index, record) for record in self._plan.stubs.get(index, [])] or [_Item(index)]

    def before(self, target: int, following: int) -> list[_Item]:
        """Terminals between the last straight row and the next one, and the stubs of that one's terminal."""
        items = [item for index in range(following, target) for item in self.terminal(index)]
        if self._plan.stubs.get(target):
            items += self.terminal(target)
        self._shown.add(target)
        return items

    def unit(self, unit: Unit, following: int) -> int:
        """Add a unit; returns the first drive terminal that may follow it."""
        items: list[_Item] = []
        begun = False
        for row in unit.rows:
            if row.straight and row.target is not None:
                between = self.before(row.target, following)
                following = row.target
                if begun:
                    items += between
                else:
                    self.blocks += [[item] for item in between]
                    begun = True
            items.append(_Item(unit=unit, row=row))
        self.blocks.append(items)
        return following


def _blocks(plan: Plan) -> list[list[_Item]]:
    """All items of a drive in groups that are not cut."""
    made = _Blocks(plan)
    following = 0
    for unit in plan.units:
        following = made.unit(unit, following)
    for index in range(len(plan.terminals)):
        made.blocks += [[item] for item in made.terminal(index)]
    return made.blocks


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
    for item in block:
        if item.row is not None and item.unit is not None:
            unit = item.unit
            stand, state = _place_row(unit, item.row, state, first=first_y is None)
            first_y = stand.y if first_y is None else first_y
        elif item.record is not None:
            stand = Stand(max(state.drive, state.panel) + ABOVE, terminal=item.terminal, record=item.record)
            state = replace(state, drive=stand.y + BELOW, panel=stand.y + BELOW)
        else:
            stand = Stand(state.drive + IDLE / 2, terminal=item.terminal)
            state = replace(state, drive=state.drive + IDLE)
        stands.append(stand)
    if unit is not None and first_y is not None:
        state = replace(state, field=max(state.field, first_y - 2.0 + heights(unit)))
    return stands, state


def _place_row(unit: Unit, row: Row, state: _State, *, first: bool) -> tuple[Stand, _State]:
    """Put one row of the field side below what stands in the lanes it takes."""
    above, place = _above(state, unit, row, first)
    y = state.field + above
    target = row.target if row.straight and row.target is not None else -1
    if target >= 0:
        y = max(y, state.drive + ABOVE)
    if row.in_panel:
        y = max(y, state.panel + ABOVE)
    below = y + BELOW + MORE * max(len(row.more_left), len(row.more_right))
    after = replace(
        state, field=below, place=place, cable=row.cable or state.cable,
        drive=y + BELOW if target >= 0 else state.drive, panel=below if row.in_panel else state.panel,
    )  # fmt: skip
    return Stand(y, row=row, unit=unit, terminal=target), after


def _too_tall(blocks: Iterable[Sequence[_Item]], heights: Heights, room: float) -> str:
    """A straight record to give up because its block fits no sheet; '' when all fit."""
    for block in blocks:
        if len(block) > 1 and _place_block(block, _State(), heights)[1].bottom > room:
            rows = [item.row for item in block if item.row is not None]
            if record := loosest(rows):
                return record
    return ""


def _pack(blocks: Sequence[Sequence[_Item]], heights: Heights, room: float) -> list[SheetRows]:
    """Fill sheets from the top; a block that does not fit opens the next one."""
    sheets = [SheetRows()]
    state = _State()
    for block in blocks:
        stands, after = _place_block(block, state, heights)
        if after.bottom > room and sheets[-1].stands:
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
