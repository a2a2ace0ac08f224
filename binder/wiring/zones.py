"""Zones of a sheet: columns numbered from the left, rows lettered from the top, as references name them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping

from binder.wiring.connections import Connection, End
from binder.wiring.lanes import MORE, Layout
from binder.wiring.rows import other_end
from binder.wiring.sheet import BAND, SHEET_WIDTH

#: Columns of every sheet, and the height of a row of zones. [mm]
COLUMNS = 8
ROW = 28.0
#: Widest text of a reference to another sheet, for measuring.
WIDEST = " /9.D8"

#: Where each end of each record is drawn: sheet and zone.
Zones = Mapping[tuple[str, End], tuple[int, str]]
#: What the flag of a record says at one end.
Says = Callable[[Connection, End], str]


def zone(x: float, y: float) -> str:
    """The zone of a point, 'C4'. [mm]

    Examples
    --------
    >>> zone(4.0, 4.0), zone(254.0, 60.0)
    ('A1', 'C8')
    """
    across, down = (round(v - BAND, 2) for v in (x, y))  # as exact as the file: a border must not hang on a last bit
    column = min(COLUMNS, max(1, 1 + int(across * COLUMNS / (SHEET_WIDTH - BAND))))
    return f"{'ABCDEFGH'[max(0, int(down / ROW))]}{column}"


def widest_reference(layout: Layout) -> Says:
    """What the flag of a record at one end says at most, before the columns are measured: '-X1:11 /9.D8'.

    Parameters
    ----------
    layout : Layout

    Returns
    -------
    callable
        Of the record and the end where the flag hangs.
    """
    places = zones_of(layout, BAND, (BAND, BAND), BAND)

    def text(record: Connection, here: End) -> str:
        there = other_end(record, here)
        ends = [places.get((record.id, end), (0, ""))[0] for end in (here, there)]
        return str(there) if ends[0] == ends[1] or not all(ends) else f"{there}{WIDEST}"

    return text


def zones_of(layout: Layout, panel: float, strip: tuple[float, float], device: float) -> Zones:
    """Sheet and zone of each end that a flag may name.

    Parameters
    ----------
    layout : Layout
    panel : float
        x where conductors leave the drive's terminals. [mm]
    strip : pair of float
        Left and right edge of the strip's cells. [mm]
    device : float
        x where conductors reach devices. [mm]
    """
    found: dict[tuple[str, End], tuple[int, str]] = {}
    names: dict[int, tuple[End, End]] = defaultdict(lambda: (End("", ""), End("", "")))
    for i, terminal in enumerate(layout.plan.terminals):
        names[i] = (End(layout.plan.designation, terminal.number), End(layout.plan.designation, terminal.label))
    for number, sheet in enumerate(layout.sheets, start=1):
        for stand in sheet.stands:
            row, y = stand.row, stand.y
            own = stand.record or (row.left if row is not None and stand.terminal >= 0 else None)
            if own is not None:
                found.update({(own.id, end): (number, zone(panel, y)) for end in names[stand.terminal]})
            here = (row.strip or row.port) if row is not None else None
            if row is None or here is None:
                continue
            left = strip[0] if row.strip is not None else device
            lefts = [row.left, *row.more_left]
            rights = [row.right if row.port is None else None, *row.more_right] if row.strip is not None else []
            for x, records in ((left, lefts), (strip[1], rights)):
                for k, record in enumerate(records):
                    if record is not None:
                        found[record.id, here] = (number, zone(x, y + MORE * k))
    return found
