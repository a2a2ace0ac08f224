"""Control sheets: connection records in, finished SVG out."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from binder.inventory.records import Drive, Inventory
from binder.wiring.connections import Wiring
from binder.wiring.drawing_columns import Columns, Economy, economies, measure, unit_height
from binder.wiring.drawing_devices import draw_devices, draw_frames
from binder.wiring.drawing_drive import draw_drive
from binder.wiring.drawing_rows import draw_cables, draw_rows, draw_strips
from binder.wiring.drawing_sheet import ControlSheet, shield_word
from binder.wiring.joins import TOP
from binder.wiring.lanes import Layout, lay_out
from binder.wiring.sheet import BAND, SHEET_WIDTH, DrawingSheet, room_for_notes, sheet_key
from binder.wiring.zones import COLUMNS, ROW, zones_of
from schemdraw_parts.figure import SheetFigure
from schemdraw_parts.style import SMALL, TAG, Symbols
from schemdraw_parts.text import width, wrap
from schemdraw_parts.wiring import Lines
from schemdraw_parts.zones import ZoneGrid

TITLE = "Control wiring"
#: Room for words asked for and the step of economy allowed for it; at the last one words are cut. [mm]
_ATTEMPTS = ((40.0, 0), (30.0, 0), (30.0, 1), (30.0, 2), (26.0, 3), (26.0, 4), (18.0, 4))
#: Height kept for numbered notes at most; distance of their lines; lines of one text and of all. [mm, 1]
_MOST_RESERVE = 60.0
_NOTE_PITCH = 3.4
_LONGEST, _MOST_NOTES = 6, 16
_NOTE = (
    "Contacts shown without power. A flag names the other end of the conductor; /2.C4 = sheet 2, zone C4. Conductor: "
)


def symbols_of_site(inventory: Inventory) -> Symbols:
    """Symbol forms of the site: as chosen, else after the code basis."""
    chosen = inventory.site.symbols or ("North American" if inventory.site.code_basis == "NEC" else "IEC")
    return Symbols.NORTH_AMERICAN if chosen == Symbols.NORTH_AMERICAN.value else Symbols.IEC


def control_sheets(wiring: Wiring, inventory: Inventory, drive: Drive, *, reference: str = "") -> tuple[
    DrawingSheet, ...
]:  # fmt: skip
    """Draw the control wiring of one drive.

    Parameters
    ----------
    wiring : Wiring
        Its records; each is drawn exactly once, as a line or as a pair of flags.
    inventory : Inventory
        For the symbol forms of the site.
    drive : Drive
    reference : str
        Document number and revision, for the foot of each sheet.

    Returns
    -------
    tuple of DrawingSheet
        Empty when there is neither a terminal nor a record to draw.

    Notes
    -----
    The layout is a table: one field conductor one row, every text in a cell whose width was
    measured. A row is a straight line where rows and drive terminals both ascend (longest
    non-decreasing subsequence), so lines cannot cross; anything else is a pair of flags.
    """
    if not wiring.terminals and not wiring.connections:
        return ()
    symbols = symbols_of_site(inventory)

    def draw(reserve: float) -> tuple[DrawingSheet, ...]:
        layout, columns = _fitted(wiring, symbols, reserve)
        return tuple(
            _sheet(wiring, drive, layout, columns, number, symbols, reference)
            for number in range(1, len(layout.sheets) + 1)
        )

    return room_for_notes(draw, most=_MOST_RESERVE)


def _fitted(wiring: Wiring, symbols: Symbols, reserve: float) -> tuple[Layout, Columns]:
    """The layout and the fullest labels that leave room for words."""
    shield = shield_word(symbols)
    found: tuple[Layout, Columns] | None = None
    for room, economy in _attempts(wiring):
        heights = partial(unit_height, room=room, economy=economy)
        layout = lay_out(wiring, heights, reserve=reserve)
        columns = measure(wiring, layout, economy, shield=shield)
        found = layout, columns
        if columns.text_room >= room:
            break
    assert found is not None
    return found


def _attempts(wiring: Wiring) -> Iterator[tuple[float, Economy]]:
    steps = economies(wiring)
    return ((room, steps[step]) for room, step in _ATTEMPTS)


def _sheet(wiring: Wiring, drive: Drive, layout: Layout, columns: Columns, number: int, symbols: Symbols,
           reference: str) -> DrawingSheet:
    rows, count = layout.sheets[number - 1], len(layout.sheets)
    height = round(rows.bottom + 11.4, 1)
    alt = _alt(wiring, drive, layout, number)
    key = sheet_key("control", drive, number)
    title = f"{TITLE} of {drive.tag}, sheet {number} of {count}"
    figure = SheetFigure(SHEET_WIDTH, height, key=key, title=title, description=alt)
    strip = (columns.strip, columns.strip + columns.strip_body)
    zones = zones_of(layout, columns.panel, strip, columns.device)
    sheet = ControlSheet(figure, wiring, layout, rows, columns, number, symbols, zones)
    place = wiring.inside[0] if wiring.inside else drive.panel
    draw_frames(sheet, f"Enclosure {place}".strip())
    draw_drive(sheet)
    draw_strips(sheet)
    draw_devices(sheet)
    draw_cables(sheet)
    draw_rows(sheet)
    if len(columns.strips) == 1 and any(s.row is not None and s.row.strip is not None for s in rows.stands):
        heading = Lines([(columns.strips[0], TAG, True)], tag=columns.strips[0], align="center")
        figure.place(heading, columns.strip + columns.strip_body / 2, TOP - 1.8, kind="strip name")
    _foot(sheet, drive, count, reference)
    grid(figure, rows.bottom + 2.2)
    return DrawingSheet(TITLE, number, count, figure.svg(), SHEET_WIDTH, figure.sheet_height, alt, figure.places)


def _foot(sheet: ControlSheet, drive: Drive, count: int, reference: str) -> None:
    """The standing note, and the line that names the sheet when it is photographed alone."""
    economy, y = sheet.columns.economy, sheet.rows.bottom + 4.6
    units = [unit for unit in ("mm²", "AWG") if any(unit in c.size for c in sheet.wiring.connections)]
    size = f"size ({' or '.join(units)})" if units else "size"
    parts = ["wire number", *([] if economy.colour else ["colour"]), *([] if economy.size else [size])]
    rest = " ".join(x for x in (economy.size, economy.colour) if x)
    note = f"{_NOTE}{', '.join(parts)}." + (f" All loose conductors {rest}." if rest else "")
    colour, across = sheet.columns.rail
    said = (economy.size, economy.colour)
    rail = " ".join(x for x in (across, colour) if x not in said)
    note += f" Right of the symbols: {rail}." if rail and sheet.rows.rails else ""
    foot(sheet.figure, note, f"{TITLE} · {drive.tag} · sheet {sheet.number} of {count}", reference, y)


def grid(figure: SheetFigure, bottom: float) -> None:
    """Place the bands of the zones, down to `bottom`. [mm]"""
    part = ZoneGrid(SHEET_WIDTH, bottom, columns=COLUMNS, row=ROW, band=BAND)
    figure.place(part, kind="zones")


def foot(figure: SheetFigure, note: str, name: str, reference: str, y: float) -> None:
    """Place the note, the numbered notes and the foot line of a sheet; the sheet grows with further lines.

    Parameters
    ----------
    figure : SheetFigure
    note : str
    name : str
        Drawing title, drive and sheet n of m.
    reference : str
        Document number and revision.
    y : float
        Middle of the note's line. [mm]
    """
    room = SHEET_WIDTH - 6.0 - width(name, SMALL, bold=True)
    reference = figure.notes.fit(reference, room, SMALL)
    lines = [x for text in (note, *figure.notes.lines()) for x in wrap(text, SHEET_WIDTH - 2.0, SMALL, lines=_LONGEST)]
    if len(lines) > _MOST_NOTES:
        lines[_MOST_NOTES - 1 :] = ["Further words stand whole in the lists of this drive."]
    figure.place(Lines([(x, SMALL, False) for x in lines], pitch=_NOTE_PITCH), 1.0, y, kind="note")
    more = _NOTE_PITCH * (len(lines) - 1)
    figure.sheet_height = round(figure.sheet_height + more, 1)
    y += more + 4.2
    figure.place(Lines([(name, SMALL, True)]), 1.0, y, kind="foot")
    if reference:
        figure.place(Lines([(reference, SMALL, False)], align="right"), SHEET_WIDTH - 1.0, y, kind="foot")


def _alt(wiring: Wiring, drive: Drive, layout: Layout, number: int) -> str:
    """What the sheet shows, in one or two sentences."""
    stands = layout.sheets[number - 1].stands
    terminals = sorted({s.terminal for s in stands if s.terminal >= 0})
    marks = [layout.plan.terminals[i].number for i in terminals]
    devices = dict.fromkeys(
        f"{s.unit.device.tag} {s.unit.device.text or s.unit.device.kind}".strip()
        for s in stands if s.unit is not None and s.unit.device is not None
    )  # fmt: skip
    shown = f"terminals {marks[0]} to {marks[-1]}" if marks else "no terminal"
    wired = "; wired to " + ", ".join(devices) if devices else ""
    sheet = f"sheet {number} of {len(layout.sheets)}"
    return f"{TITLE} of {drive.tag}, {sheet}: drive {wiring.designation}, {shown}{wired}."
