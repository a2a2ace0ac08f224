"""How wide the columns of a control drawing are: every text lives in a cell whose width was measured."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from binder.wiring.connections import Connection, Device, DriveTerminal, End, Kind, WireCable, Wiring
from binder.wiring.lanes import Layout
from binder.wiring.rows import Row, Unit, other_end
from binder.wiring.screens import landing_words
from binder.wiring.sheet import BAND, SHEET_WIDTH
from binder.wiring.vocabulary import function_name, terminal_label
from binder.wiring.zones import Says, Zones, widest_reference
from schemdraw_parts.contacts import REACH
from schemdraw_parts.drive import BlockColumns, Cell, block_columns
from schemdraw_parts.instruments import block_width
from schemdraw_parts.style import SMALL, TEXT
from schemdraw_parts.text import width, wrap
from schemdraw_parts.wiring import Chart, chart_width, flag_width

#: Outer edge of the enclosure's frame and of the device frames. [mm]
LEFT, RIGHT = BAND + 1.0, SHEET_WIDTH - 1.0
#: Room of one bridge track inside a strip cell. [mm]
_TRACK = 2.0
#: Distance of the lines of a device's words. [mm]
LINE_PITCH = 3.7


@dataclass(frozen=True, slots=True)
class Economy:
    """What labels leave out because it is the same on every conductor, and is said in the note instead.

    `alone` holds wire numbers that no wire in the enclosure carries: there the cores say them.
    """

    size: str = ""
    colour: str = ""
    words: float = 20.0
    chart_below: bool = False
    alone: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Columns:
    """Where the columns of a drive's sheets begin. [mm]"""

    block: float
    block_columns: BlockColumns
    panel: float  # right edge of the drive's terminals
    strip: float
    strip_body: float
    tracks: float
    boundary: float  # of the enclosure
    cable: float
    sheath: float
    device: float
    link: float
    rails: float
    rail_pitch: float
    text: float
    chart: float
    text_room: float
    label: float  # room for the widest label in the panel column
    core: float  # and in the cable column
    rail: tuple[str, str]  # colour and size of the conductors right of the symbols that their labels leave out
    numbered: frozenset[str]  # links that carry their number, since no conductor does
    economy: Economy
    strips: tuple[str, ...] = ()


def size_text(size: str) -> str:
    """A conductor size as it stands on a label: square millimetres without their unit."""
    return size.removesuffix("mm²").strip()


def wire_label(record: Connection, economy: Economy) -> str:
    """Wire number, colour and size, or wire number, core and colour of a cable's core."""
    if record.core is not None:
        return " ".join(x for x in (record.potential, record.core.mark, record.core.colour) if x)
    if record.kind in (Kind.LINK, Kind.BRIDGE):  # in flags only: no conductor to be cut and marked
        return f"{record.potential} {record.kind}".strip()
    size = "" if record.size == economy.size else size_text(record.size)
    colour = "" if record.colour == economy.colour else record.colour
    return " ".join(x for x in (record.potential, colour, size) if x)


def rail_label(record: Connection, columns: Columns) -> str:
    """Wire number of a conductor right of the symbols; colour and size where they are not those of most."""
    differs = (record.colour, record.size) != columns.rail
    return wire_label(record, columns.economy) if differs else record.potential


def core_label(record: Connection, economy: Economy) -> str:
    """Core number and colour of a cable's core; of a loose conductor its wire label."""
    if record.core is not None and record.potential not in economy.alone:
        return " ".join(x for x in (record.core.mark, record.core.colour) if x)
    return wire_label(record, economy)


def cable_name(cable: WireCable | None, tag: str, *, shield: str) -> str:
    """'-W11 3×0.75 mm² screened 18 m'"""
    if cable is None:
        return tag
    cores = f"{len(cable.cores)}×{cable.size}" if cable.size else f"{len(cable.cores)} cores"
    return " ".join(x for x in (cable.tag, cores, shield if cable.screened else "", cable.length) if x)


def chart_of(device: Device) -> tuple[tuple[str, ...], list[tuple[str, tuple[bool, ...]]]]:
    """Positions and rows of a selector's contact chart; empty for other devices."""
    if not device.positions or not device.chart or "selector" not in device.kind:
        return (), []
    rows = [
        ("-".join(c.terminals), marks) for c, marks in zip(device.contacts, device.chart, strict=False)
    ]  # fmt: skip
    return device.positions, rows


def unit_words(unit: Unit, *, cross: str = "") -> tuple[str, list[str]]:
    """Tag and the lines below it: text, legend, rating, cross-reference."""
    device = unit.device
    if device is None:
        return "", []
    tag = device.tag if unit.parts == 1 else f"{device.tag} ({unit.part}/{unit.parts})"
    legend = f"legend {device.legend}" if device.legend else ""
    here = {end.terminal for row in unit.rows if (end := row.port) is not None and end.device == device.tag}
    uses = "; ".join(dict.fromkeys(words for mark, words in device.uses if mark in here)) or device.text
    text = uses[:1].upper() + uses[1:]
    return tag, [x for x in (text or device.kind, legend, device.rating, cross) if x]


def economies(wiring: Wiring) -> list[Economy]:
    """From full labels to the shortest: first the size goes when all are equal, then the colour."""
    loose = [c for c in wiring.connections if c.core is None and c.kind in (Kind.WIRE, Kind.JUMPER)]
    sizes = {c.size for c in loose}
    colours = {c.colour for c in loose}
    size = next(iter(sizes)) if len(sizes) == 1 else ""
    colour = next(iter(colours)) if len(colours) == 1 else ""
    carried = {c.potential for c in wiring.connections if wiring.designation in (c.a.device, c.b.device)}
    carried |= {c.potential for c in loose}
    alone = frozenset(c.potential for c in wiring.connections if c.core is not None) - carried
    steps = [Economy(), Economy(size), Economy(size, colour), Economy(size, colour, 15.0)]
    steps.append(Economy(size, colour, 15.0, chart_below=True))
    return [replace(step, alone=alone) for step in steps]


def flag_text(zones: Zones, record: Connection, end: End, sheet: int) -> str:
    """What a flag at `end` on this sheet says: the other end, and its sheet and zone when it is another sheet."""
    other = other_end(record, end)
    there, zone = zones.get((record.id, other), (sheet, ""))
    return str(other) if there == sheet else f"{other} /{there}.{zone}"


def unit_height(unit: Unit, room: float, economy: Economy) -> float:
    """Height that words and chart of a unit need beside its rows. [mm]"""
    tag, lines = unit_words(unit, cross="x" if unit.parts > 1 else "")
    if not tag:
        return 0.0
    words = 4.0 + LINE_PITCH * sum(len(wrap(x, room, SMALL)) for x in lines)
    _, rows = chart_of(unit.device) if unit.device and unit.part == 1 else ((), [])
    chart = Chart.ROW * (len(rows) + 1) + 1.0 if rows else 0.0
    return words + chart + 1.0 if economy.chart_below else max(words, chart)


def measure(wiring: Wiring, layout: Layout, economy: Economy, *, shield: str) -> Columns:
    """Measure all columns for one layout.

    Parameters
    ----------
    wiring : Wiring
    layout : Layout
    economy : Economy
        What the labels leave out.
    shield : str
        'screened' or 'shielded', as the site says it.

    Returns
    -------
    Columns
    """
    plan = layout.plan
    links = max((track + 1 for sheet in layout.sheets for *_, track in sheet.links), default=0)
    numbered = _numbered(wiring, layout)
    block = block_columns(
        [_cell(t) for t in plan.terminals], links=links, relays=bool(numbered or relays_of(plan.terminals)),
        words=economy.words,
    )  # fmt: skip
    panel = LEFT + 1.5 + block.body
    rows = [row for unit in plan.units for row in unit.rows]
    says = widest_reference(layout)
    label, panel_flags = _panel(layout, rows, economy, says)
    strip = panel + label + (panel_flags + 5.5 if panel_flags else 4.0)
    strips = tuple(dict.fromkeys(r.strip.device for r in rows if r.strip is not None))
    tracks = _TRACK * max((track + 1 for sheet in layout.sheets for _, track in sheet.bridges), default=0)
    captions = [width(strip_caption(r.strip, strips), TEXT, bold=True) for r in rows if r.strip is not None]
    body = max([5.0, *(c + 2.4 for c in captions)]) + tracks if captions else 4.0
    boundary = strip + body + 2.0
    cable = boundary + 1.0
    core, room = _cable(layout, rows, economy, says, shield)
    device = cable + room + 1.5
    link = device + _symbols_width(layout)
    tracks_out = max((track + 1 for sheet in layout.sheets for _, track in sheet.rails), default=0)
    drawn = [r for sheet in layout.sheets for r, _ in sheet.rails]
    rail = max(((r.colour, r.size) for r in drawn), key=[(r.colour, r.size) for r in drawn].count, default=("", ""))
    words = (r.potential if (r.colour, r.size) == rail else wire_label(r, economy) for r in drawn)
    pitch = max((width(x, SMALL) for x in words), default=0.0) + 2.4
    rails = link + 1.5
    text = rails + tracks_out * pitch + 1.5
    chart = RIGHT - 2.0 - max((chart_width(*chart_of(d))[0] for d in wiring.devices if chart_of(d)[0]), default=0.0)
    edge = RIGHT - 2.0 if economy.chart_below or chart > RIGHT - 3.0 else chart - 2.0
    return Columns(
        LEFT + 1.5, block, panel, strip, body, tracks, boundary, cable, cable + core + 3.5, device, link, rails, pitch,
        text, text if economy.chart_below else chart, edge - text, label, core, rail,
        numbered, economy, strips,
    )  # fmt: skip


def _numbered(wiring: Wiring, layout: Layout) -> frozenset[str]:
    """One link of each potential that is nothing but links: its number stands on no conductor."""
    drawn = [r for sheet in layout.sheets for _, _, r, _ in sorted(sheet.links, key=lambda x: (x[3], x[0]))]
    inside = {r.id for r in drawn} | {c.id for c in wiring.connections if c.kind is Kind.SCREEN}
    said = {c.potential for c in wiring.connections if c.id not in inside}
    first: dict[str, str] = {}
    for record in drawn:
        if record.potential not in said:
            first.setdefault(record.potential, record.id)
    return frozenset(first.values())


def strip_caption(strip: End, strips: tuple[str, ...]) -> str:
    """'8', or 'X1:8' where the sheets hold several strips."""
    return strip.terminal if len(strips) == 1 else f"{strip.device.lstrip('-')}:{strip.terminal}"


def relays_of(terminals: Iterable[DriveTerminal]) -> list[tuple[str, str, str]]:
    """Numbers of the common, make and break terminal of each changeover relay output."""
    by_role: dict[str, str] = {}
    for terminal in terminals:
        if terminal.role.startswith("RO"):
            by_role.setdefault(terminal.role, terminal.number)
    names = dict.fromkeys(role.split(".")[0] for role in by_role)
    triples = [tuple(by_role.get(f"{n}.{part}", "") for part in ("C", "NO", "NC")) for n in names]
    return [(c, no, nc) for c, no, nc in triples if c and no and nc]


def _cell(terminal: DriveTerminal) -> Cell:
    label = terminal_label(terminal.number, terminal.label, terminal.role)
    return Cell(terminal.number, label, function_name(terminal.function), 0, 0, (0.0,))


def _panel(layout: Layout, rows: list[Row], economy: Economy, says: Says) -> tuple[float, float]:
    """Widest label and widest flag of the panel column."""
    labels, flags = [8.0], [0.0]
    for row in rows:
        if row.in_panel:
            lefts = [row.left] if row.left is not None and not row.outside else []
            labels += [width(wire_label(r, economy), TEXT) for r in (*lefts, *row.more_left)]
            here = row.strip or row.port
            loose = ([] if row.straight else lefts) + row.more_left
            if here is not None:
                flags += [flag_width(says(r, here)) for r in loose]
    for index, stubs in layout.plan.stubs.items():
        terminal = layout.plan.terminals[index]
        ends = {End(layout.plan.designation, terminal.number), End(layout.plan.designation, terminal.label)}
        labels += [width(wire_label(r, economy), TEXT) for r in stubs]
        flags += [flag_width(says(r, r.a if r.a in ends else r.b)) for r in stubs]
    return max(labels), max(flags)


def _cable(layout: Layout, rows: list[Row], economy: Economy, says: Says, shield: str) -> tuple[float, float]:
    """Widest label of the cable column, and the room that column needs."""
    labels, rooms = [6.0], [16.0]
    far = 0.0
    for row in rows:
        drawn = row.right or (row.left if row.cable or row.outside else None)
        if drawn is not None and row.screen is None:
            labels.append(width(core_label(drawn, economy), TEXT))
        flagged = [(row.left, row.port)] if row.outside and row.left else []
        flagged += [(r, row.strip) for r in row.more_right]
        flagged += [(row.right, row.strip)] if row.right and row.port is None else []
        for record, end in flagged:
            if record is not None and end is not None:
                words = width(core_label(record, economy), TEXT)
                rooms.append(words + flag_width(says(record, end)) + 5.0)
        if row.cable:
            rooms.append(width(cable_name(layout.plan.cables.get(row.cable), row.cable, shield=shield), SMALL) + 1.0)
        if row.screen is not None:
            words = width(screen_label(row.screen, row, shield=shield), SMALL)
            if row.far:
                far = max(far, words)
            else:
                labels.append(words - 1.0)
    rooms.append(max(labels) + max(9.0, far + 5.5 if far else 0.0))
    return max(labels), max(rooms)


def screen_label(record: Connection, row: Row, *, shield: str) -> str:
    """'screen -PE:1', 'screen insulated', with the cable where it stands apart."""
    words = f"{shield.removesuffix('ed')} {landing_words(record, row.cable)}"
    return f"{row.cable} {words}" if row.detached else words


def _symbols_width(layout: Layout) -> float:
    """From the column's left edge to where the mechanical links stand."""
    least = REACH + 3.0
    for unit in layout.plan.units:
        for symbol in unit.symbols:
            marks = max((width(t, SMALL) for t in symbol.terminals), default=0.0)
            if symbol.kind == "block":
                least = max(least, 2.5 + block_width([(t, "") for t in symbol.terminals]) + 1.0)
            else:
                extra = 6.5 if symbol.kind in ("potentiometer", "lamp", "transmitter") else 0.0
                least = max(least, REACH + 2.0 + max(marks, extra))
    return least
