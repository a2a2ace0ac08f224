"""Conductors, strip terminals, cables and screens of a control sheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from binder.wiring.connections import Connection, End, Kind
from binder.wiring.drawing_columns import cable_name, core_label, screen_label, strip_caption, wire_label
from binder.wiring.drawing_sheet import ControlSheet, Point
from binder.wiring.joins import Stand
from binder.wiring.lanes import MORE
from binder.wiring.rows import Row
from binder.wiring.screens import INSULATED, landing_of, pairs_of
from schemdraw_parts.figure import SheetFigure
from schemdraw_parts.style import SMALL, TEXT
from schemdraw_parts.text import width
from schemdraw_parts.wiring import Bridge, Earth, Lines, Screen, Sheath, TerminalCell, Wire


def draw_strips(sheet: ControlSheet) -> None:
    """Draw the cells of the strip terminals, and the bridges inside them."""
    columns = sheet.columns
    for stand in sheet.stands:
        row = stand.row
        assert row is not None
        if row.strip is None:
            continue
        depth = MORE * max(len(row.more_left), len(row.more_right))
        caption = strip_caption(row.strip, columns.strips)
        part = TerminalCell(
            row.strip.device, row.strip.terminal, caption, body=columns.strip_body, tracks=columns.tracks, depth=depth
        )  # fmt: skip
        sheet.figure.place(part, columns.strip, stand.y, kind="terminal")
        sheet.keep("left", row.strip, stand.y, part, row.strip.terminal)
        sheet.keep("right", row.strip, stand.y, part, f"{row.strip.terminal}>")
    height = {s.row.strip: s.y for s in sheet.stands if s.row is not None and s.row.strip is not None}
    number = numbers_of(sheet.wiring.connections)
    for record, track in sheet.rows.bridges:
        x = columns.strip + columns.strip_body - columns.tracks + 2.0 * track + 1.0
        draw_bridge(sheet.figure, record, x, height, number)


def numbers_of(records: Iterable[Connection]) -> dict[End, str]:
    """Wire number at each end; that of a screen's end is none."""
    return {end: c.potential for c in records if c.kind is not Kind.SCREEN for end in (c.a, c.b)}


def draw_bridge(figure: SheetFigure, record: Connection, x: float, height: Mapping[End, float],
                number: Mapping[End, str]) -> None:  # fmt: skip
    """Place a bridge between its two cells; it jumps over each cell between them that has another number."""
    top, bottom = sorted((height[record.a], height[record.b]))
    passed = [y - top for end, y in height.items() if top < y < bottom and number.get(end) != record.potential]
    figure.place(Bridge(bottom - top, passed), x, top, kind="bridge", record=record.id)


def draw_rows(sheet: ControlSheet) -> None:
    """Draw every conductor of the field side, after drive, strips and devices are placed."""
    for stand in sheet.stands:
        row = stand.row
        assert row is not None
        if row.screen is None:
            _left(sheet, stand, row)
            _right(sheet, stand, row)


def _left(sheet: ControlSheet, stand: Stand, row: Row) -> None:
    """What comes from the left: a line from the drive, or flags."""
    columns, y = sheet.columns, stand.y
    if row.strip is not None:
        at: Point = sheet.points["left", row.strip, y]
        here = row.strip
    elif row.port is not None:
        at, here = sheet.points["port", row.port, y], row.port
    else:
        return
    if row.left is not None:
        if row.straight:
            start = sheet.points["drive", sheet.drive_end(stand.terminal), round(y, 3)]
            sheet.wire(row.left, start, at, _labels(sheet, row.left, direct=row.strip is None))
        elif row.outside:
            label = core_label(row.left, columns.economy)
            sheet.flag(row.left, here, at, stub=width(label, TEXT) + 4.0, label=label, toward=-1, inset=2.2)
        else:
            _panel_flag(sheet, row.left, here, at)
    for k, record in enumerate(row.more_left, start=1):
        _panel_flag(sheet, record, here, (at[0], at[1] + MORE * k))


def _panel_flag(sheet: ControlSheet, record: Connection, here: End, at: Point) -> None:
    columns = sheet.columns
    to_strip = at[0] - columns.strip
    sheet.flag(
        record, here, at, stub=to_strip + columns.label + 2.5, label=wire_label(record, columns.economy), toward=-1,
        inset=None,
    )  # fmt: skip


def _labels(sheet: ControlSheet, record: Connection, *, direct: bool) -> list[tuple[str, float]]:
    """Labels of a straight line that comes from the drive."""
    columns = sheet.columns
    panel = columns.panel + 1.0
    if direct and record.core is not None:
        return [(record.potential, panel), (core_label(record, columns.economy), columns.cable + 0.5)]
    return [(wire_label(record, columns.economy), panel)]


def _right(sheet: ControlSheet, stand: Stand, row: Row) -> None:
    """Between strip terminal and device, or flags at the strip's right."""
    if row.strip is None:
        return
    columns, at = sheet.columns, sheet.points["right", row.strip, stand.y]
    flagged = list(row.more_right)
    offset = MORE
    if row.right is not None and row.port is not None:
        end = sheet.points["port", row.port, stand.y]
        sheet.wire(row.right, at, end, [(core_label(row.right, columns.economy), columns.cable + 0.5)])
    elif row.right is not None:
        flagged.insert(0, row.right)
        offset = 0.0
    for k, record in enumerate(flagged):
        label = core_label(record, columns.economy)
        inset = columns.cable - at[0] + 0.5
        stub = inset + width(label, TEXT) + 1.5
        point = (at[0], at[1] + offset + MORE * k)
        sheet.flag(record, row.strip, point, stub=stub, label=label, toward=1, inset=inset)


def draw_cables(sheet: ControlSheet) -> None:
    """Draw sheaths, cable names and screens."""
    columns, plan = sheet.columns, sheet.layout.plan
    last = ""
    run: list[Stand] = []
    bottoms: dict[str, Point] = {}
    for stand in [*sheet.stands, None]:
        row = stand.row if stand is not None else None
        tag = row.cable if row is not None and _in_sheath(row) else ""
        if stand is not None and row is not None and not tag and not _in_cable_column(row):
            continue
        if run and (stand is None or run[0].row is None or run[0].row.cable != tag):
            bottoms.update(_sheath(sheet, run))
            run = []
        if stand is not None and tag:
            run.append(stand)
    for stand in sheet.stands:
        row = stand.row
        if row is not None and row.cable and row.cable != last:
            last = row.cable
            name = cable_name(plan.cables.get(last), last, shield=sheet.shield)
            if row.screen is None:
                part = Lines([(name, SMALL, False)], tag=last)
                sheet.figure.place(part, columns.cable + 0.5, stand.y - 4.5, kind="cable")
        if row is not None and row.screen is not None:
            _screen(sheet, stand, row, bottoms)


def _in_sheath(row: Row) -> bool:
    return bool(row.cable) and row.screen is None and row.port is not None and not row.outside


def _in_cable_column(row: Row) -> bool:
    return row.screen is not None or row.right is not None or bool(row.more_right) or row.left is not None


def _sheath(sheet: ControlSheet, run: list[Stand]) -> dict[str, Point]:
    row = run[0].row
    assert row is not None
    cable = sheet.layout.plan.cables.get(row.cable)
    rows = [s.y - run[0].y for s in run]
    marks = [s.row.right.core.mark if s.row and s.row.right and s.row.right.core else "" for s in run]
    pairs = [(rows[a], rows[b]) for a, b in pairs_of(marks)] if cable is not None and cable.paired else []
    part = Sheath(rows[-1], screened=cable is not None and cable.screened, pairs=pairs)
    part.tag = row.cable
    sheet.figure.place(part, sheet.columns.sheath, run[0].y, kind="sheath")
    return {row.cable: part.point("screen")}


def _screen(sheet: ControlSheet, stand: Stand, row: Row, bottoms: dict[str, Point]) -> None:
    """A screen's own row: from the sheath to the earth symbol, the drive, or a note that it is insulated."""
    record, columns, y = row.screen, sheet.columns, stand.y
    assert record is not None
    label = screen_label(record, row, shield=sheet.shield)
    side = 0.7 if row.far else -0.7
    x = columns.sheath + side
    top = y if row.detached or row.cable not in bottoms else bottoms[row.cable][1]
    landing = landing_of(record, row.cable)
    if row.straight:
        end = sheet.points["drive", sheet.drive_end(stand.terminal), round(y, 3)]
    elif row.far:
        end = (columns.device, y)
    else:
        end = (columns.strip + columns.strip_body / 2, y)
    label_x = (0.8 if row.far else columns.cable + 0.5 - x)
    part = Screen(y - top, end[0] - x, label, label_x)
    part.tag = row.cable
    sheet.figure.place(part, x, top, kind="screen", record=record.id)
    if landing.terminal == INSULATED:
        sheet.figure.place(Wire((end[0], y - 1.0), (end[0], y + 1.0)), kind="open end")
    elif landing.device != row.cable and not row.straight:
        sheet.figure.place(Earth(), *end, kind="earth")
