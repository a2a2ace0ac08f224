"""The drive's block on a control sheet: cells as tall as the rows they feed, relay contacts, links."""

from __future__ import annotations

from collections import defaultdict

from binder.wiring.drawing_columns import LEFT, relays_of, wire_label
from binder.wiring.drawing_sheet import ControlSheet
from binder.wiring.lanes import ABOVE, BELOW, IDLE
from binder.wiring.sheet import BAND
from binder.wiring.vocabulary import function_name, terminal_label
from schemdraw_parts.drive import RELAY, TRACK, Cell, ControlTerminals, LinkBracket, RelayContact

#: Upper edge of the block. [mm]
BLOCK_TOP = BAND + 2.5


def draw_drive(sheet: ControlSheet) -> None:
    """Draw the block with the terminals of this sheet, its links and the flags that leave it."""
    columns, plan = sheet.columns, sheet.layout.plan
    cells, indices = _cells(sheet)
    numbers = [c.number for c in cells]
    relays = [
        RelayContact(*three) for three in relays_of(plan.terminals)
        if all(n in numbers for n in three) and max(map(numbers.index, three)) - min(map(numbers.index, three)) == 2
    ]  # fmt: skip
    part = ControlTerminals(
        plan.designation, "drive", cells, relays=relays, columns=columns.block_columns,
        height=sheet.rows.bottom - BLOCK_TOP + 1.0, corner=f"{sheet.number}/{len(sheet.layout.sheets)}",
        notes=sheet.figure.notes, symbols=sheet.symbols,
    )  # fmt: skip
    sheet.figure.place(part, LEFT + 1.5, BLOCK_TOP, kind="drive")
    for cell, index in zip(cells, indices, strict=True):
        for k, row in enumerate(cell.rows, start=1):
            anchor = cell.number if k == 1 else f"{cell.number}/{k}"
            sheet.keep("drive", sheet.drive_end(index), round(row + BLOCK_TOP, 3), part, anchor)
    _links(sheet, part)
    for stand in sheet.rows.stands:
        if stand.record is not None:
            end = sheet.drive_end(stand.terminal)
            if stand.record.a.device == end.device and stand.record.b.device == end.device:
                own = stand.record.a if _answers(sheet, stand.terminal, stand.record.a.terminal) else stand.record.b
            else:
                own = stand.record.a if stand.record.a.device == end.device else stand.record.b
            at = sheet.points["drive", end, round(stand.y, 3)]
            label = wire_label(stand.record, columns.economy)
            sheet.flag(stand.record, own, at, stub=columns.label + 2.5, label=label, toward=1)


def _answers(sheet: ControlSheet, index: int, mark: str) -> bool:
    terminal = sheet.layout.plan.terminals[index]
    return mark in (terminal.number, terminal.label)


def _cells(sheet: ControlSheet) -> tuple[list[Cell], list[int]]:
    rows: dict[int, list[float]] = defaultdict(list)
    idle: dict[int, float] = {}
    for stand in sheet.rows.stands:
        if stand.terminal < 0:
            continue
        if stand.row is None and stand.record is None:
            idle[stand.terminal] = stand.y
        else:
            rows[stand.terminal].append(stand.y)
    cells, indices = [], sorted({*rows, *idle})
    said = ""  # relay output whose function stands at its first terminal already
    for index in indices:
        terminal = sheet.layout.plan.terminals[index]
        if index in rows:
            heights = sorted(rows[index])
            top, bottom = heights[0] - ABOVE, heights[-1] + BELOW
        else:
            heights = [idle[index]]
            top, bottom = idle[index] - IDLE / 2, idle[index] + IDLE / 2
        relay = terminal.role.partition(".")[0] if terminal.role.startswith("RO") else ""
        words = "" if relay and relay == said else function_name(terminal.function)
        said = relay
        label = terminal_label(terminal.number, terminal.label, terminal.role)
        cells.append(Cell(
            terminal.number, label, words, top - BLOCK_TOP, bottom - BLOCK_TOP,
            tuple(y - BLOCK_TOP for y in heights), index in sheet.layout.plan.used,
        ))  # fmt: skip
    return cells, indices


def _links(sheet: ControlSheet, part: ControlTerminals) -> None:
    """Brackets between terminals of the block, inner ones first."""
    reached: dict[int, float] = {}
    relay = RELAY if sheet.columns.block_columns.relays else 0.0
    for low, high, record, track in sorted(sheet.rows.links, key=lambda x: x[3]):
        ends = [part.point(f"{sheet.layout.plan.terminals[i].number}<") for i in (low, high)]
        x = ends[0][0] - relay - TRACK * (track + 0.7)
        starts = [(reached.get(i, end[0]), end[1]) for i, end in zip((low, high), ends, strict=True)]
        number = record.potential if record.id in sheet.columns.numbered else ""
        sheet.figure.place(LinkBracket(starts[0], starts[1], x, number), kind="link", record=record.id)
        reached.update({low: x, high: x})
