"""Devices of a control sheet: symbols on their rows, links, rails, words, contact charts, frames."""

from __future__ import annotations

import re
from itertools import pairwise

from binder.wiring.connections import Device, End
from binder.wiring.drawing_columns import LINE_PITCH, RIGHT, chart_of, rail_label, unit_words
from binder.wiring.drawing_sheet import ControlSheet
from binder.wiring.joins import Stand
from binder.wiring.rows import Unit
from binder.wiring.sheet import BAND, SHEET_WIDTH
from binder.wiring.symbols import Symbol
from binder.wiring.zones import zone
from schemdraw_parts.base import Part
from schemdraw_parts.contacts import Contact, Rows
from schemdraw_parts.instruments import (
    Block,
    Coil,
    Lamp,
    Meter,
    Potentiometer,
    Resistor,
    Thermistor,
    Transmitter,
    TwoTerminal,
    block_width,
)
from schemdraw_parts.style import SMALL, TAG
from schemdraw_parts.text import width
from schemdraw_parts.wiring import Chart, Frame, Lines, Link, Rail, chart_head, chart_width

#: Words in a device kind -> what operates its contacts.
OPERATORS = {
    "push": "push", "selector": "turn", "key": "key", "emergency": "mushroom", "thermal": "temperature",
    "thermostat": "temperature", "temperature": "temperature", "overload": "overload", "pressure": "pressure",
    "level": "level", "float": "level", "flow": "flow", "limit": "limit", "position": "limit", "isolator": "hand",
    "disconnect": "hand", "relay": "relay", "contact": "relay",
}  # fmt: skip
#: Shorter than this, the enclosure's boundary does not step back between two frames. [mm]
_STEP = 4.0
_SWITCH_WORDS = ("pressure", "level", "float", "flow", "temperature", "limit", "damper", "door", "freeze", "frost")

#: Tag of a process switch, 'PSL-1': measured quantity, S, high or low or open or closed (ISA-5.1, from memory, check).
_ISA = re.compile(r"-?([PTLFZ])S[HLOC]{1,2}(?![A-Z])")
_QUANTITY = {"P": "pressure", "T": "temperature", "L": "level", "F": "flow", "Z": "limit"}


def operator_of(device: Device) -> str:
    """What operates the contacts of a device, from its kind and, for process switches, its text or tag."""
    kind, text = device.kind.lower(), device.text.lower()
    if kind == "switch":
        word = next((w for w in _SWITCH_WORDS if w in text), "")
        letters = _ISA.match(device.tag)
        word = word or (_QUANTITY[letters[1]] if letters else "")
        return {"freeze": "temperature", "frost": "temperature", "damper": "limit", "door": "limit", "": "relay"}.get(
            word, OPERATORS.get(word, "relay")
        )
    return next((head for word, head in OPERATORS.items() if word in kind), "relay")


def draw_devices(sheet: ControlSheet) -> None:
    """Draw every unit of the sheet; afterwards its terminals' anchors are known."""
    stands: dict[int, list[Stand]] = {}
    units: dict[int, Unit] = {}
    for stand in sheet.stands:
        if stand.unit is not None and stand.unit.device is not None:
            stands.setdefault(id(stand.unit), []).append(stand)
            units[id(stand.unit)] = stand.unit
    rails: dict[End, tuple[float, float]] = {}
    for key, unit in units.items():
        rows: dict[str, list[float]] = {}
        for stand in stands[key]:
            if stand.row is not None and stand.row.port is not None:
                rows.setdefault(stand.row.port.terminal, []).append(stand.y)
        _unit(sheet, unit, rows, rails)
        _words(sheet, unit, stands[key][0].y)
    _rails(sheet, rails)


def _unit(sheet: ControlSheet, unit: Unit, rows: dict[str, list[float]], rails: dict[End, tuple[float, float]]) -> None:
    device, columns = unit.device, sheet.columns
    assert device is not None
    links: list[tuple[float, float]] = []
    wired = {row.port.terminal for row in unit.rows if row.port is not None and (row.left or row.right)}
    for symbol in unit.symbols:
        top = rows[symbol.terminals[0]][0]
        ports = {mark: tuple(y - top for y in rows[mark]) for mark in symbol.terminals}
        bare = {m for m in symbol.terminals if m not in wired}
        part = _symbol(sheet, device, symbol, ports, head=not links, unwired=bare)
        sheet.figure.place(part, columns.device, top, kind="device")
        for mark in symbol.terminals:
            for k, y in enumerate(rows[mark], start=1):
                sheet.keep("port", End(device.tag, mark), y, part, mark if k == 1 else f"{mark}/{k}")
            if f"{mark}>" in part.anchors:
                rails[End(device.tag, mark)] = part.point(f"{mark}>")
        if "link" in part.anchors:
            links.append(part.point("link"))
    for upper, lower in pairwise(links):
        sheet.figure.place(Link(upper, lower, columns.link), kind="link line")


def _symbol(sheet: ControlSheet, device: Device, symbol: Symbol, ports: dict[str, tuple[float, ...]], *,
            head: bool, unwired: set[str]) -> Part:
    """The part for one symbol on its rows."""
    marks, forms = symbol.terminals, sheet.symbols
    if symbol.kind == "block":
        body = block_width([(m, "") for m in marks])
        return Block(device.tag, [(m, ports[m], "") for m in marks], body=body, unwired=unwired)
    if symbol.kind == "potentiometer":
        clockwise = next((t for t in device.terminals if t != symbol.form), "")
        return Potentiometer(
            device.tag, [(m, ports[m]) for m in marks], slider=symbol.form, clockwise=clockwise, symbols=forms,
            unwired=unwired,
        )  # fmt: skip
    upper, lower = marks[0], marks[1]
    rows = (ports[upper], ports[lower])
    if symbol.kind == "contact":
        return Contact(
            device.tag, upper, lower, symbol.form, operator=operator_of(device), rows=rows, symbols=forms, head=head,
            unwired=unwired,
        )  # fmt: skip
    return _two_terminal(device, symbol, rows, sheet, unwired)


def _two_terminal(device: Device, symbol: Symbol, rows: Rows, sheet: ControlSheet, unwired: set[str]) -> TwoTerminal:
    forms, tag, kind = sheet.symbols, device.tag, symbol.kind
    upper, lower = symbol.terminals
    if kind == "lamp":
        return Lamp(tag, upper, lower, rows=rows, unwired=unwired, lens=lens_colour(device), symbols=forms)
    if kind == "meter":
        quantity = "A" if "current" in device.text.lower() else "Hz"
        return Meter(tag, upper, lower, rows=rows, unwired=unwired, quantity=quantity)
    if kind == "transmitter":
        return Transmitter(tag, upper, lower, rows=rows, unwired=unwired, quantity=measured_letter(device))
    if kind == "thermistor":
        return Thermistor(tag, upper, lower, rows=rows, unwired=unwired, symbols=forms)
    if kind == "resistor":
        return Resistor(tag, upper, lower, rows=rows, unwired=unwired, symbols=forms)
    return Coil(tag, upper, lower, rows=rows, unwired=unwired, brake=kind == "brake", symbols=forms)


def lens_colour(device: Device) -> str:
    """Two letters of IEC 60757 for the lens, when the device's words name a colour."""
    words = f"{device.text} {device.rating}".lower()
    colours = {"red": "RD", "green": "GN", "yellow": "YE", "amber": "YE", "blue": "BU", "white": "WH"}
    return next((code for name, code in colours.items() if name in words.split()), "")


def measured_letter(device: Device) -> str:
    """Letter of the measured quantity: p pressure, T temperature, q flow, h level."""
    words = device.text.lower()
    return {"pressure": "p", "temperature": "T", "flow": "q", "level": "h"}.get(
        next((w for w in ("pressure", "temperature", "flow", "level") if w in words), ""), "x"
    )  # fmt: skip


def _words(sheet: ControlSheet, unit: Unit, y: float) -> None:
    """Tag, words and chart of a unit, level with its first row."""
    columns, device, notes = sheet.columns, unit.device, sheet.figure.notes
    assert device is not None
    tag, lines = unit_words(unit, cross=_cross(sheet, unit))
    room = columns.text_room
    last = [notes.fit(lines.pop(), room, SMALL)] if unit.parts > 1 else []  # where its other parts are: always one line
    wrapped = [x for line in lines for x in notes.wrap(line, room, SMALL)] + last
    text = [(notes.fit(tag, room, TAG, bold=True), TAG, True), *((x, SMALL, False) for x in wrapped)]
    sheet.figure.place(Lines(text, tag=device.tag, pitch=LINE_PITCH), columns.text, y, kind="words")
    positions, rows = chart_of(device)
    if rows and unit.part == 1:
        total, pitch = chart_width(positions, rows)
        x, top, corner = RIGHT - 2.0 - total, y - 1.9, ""
        if columns.economy.chart_below:
            x, top = columns.text, y + 2.2 + LINE_PITCH * len(wrapped)
            pitch = min(pitch, (columns.text_room - chart_head(rows)) / len(positions))
            if any(width(p, SMALL) > pitch - 1.2 for p in positions):
                corner = notes.mark(f"{device.tag}: {', '.join(f'{n} {p}' for n, p in enumerate(positions, start=1))}")
                positions = tuple(str(n) for n in range(1, len(positions) + 1))
        chart = Chart(device.tag, positions, rows, columns=pitch, symbols=sheet.symbols, corner=corner)
        sheet.figure.place(chart, x, top, kind="chart")


def _cross(sheet: ControlSheet, unit: Unit) -> str:
    """Where the other parts of a cut device stand: 'coil /B6, 13-14 /2.C6'."""
    if unit.parts == 1 or unit.device is None:
        return ""
    found = []
    for number, rows in enumerate(sheet.layout.sheets, start=1):
        others = dict.fromkeys(
            id(s.unit) for s in rows.stands if s.unit and s.unit.device is unit.device and s.unit is not unit
        )  # fmt: skip
        named = {id(s.unit): (s.unit, s.y) for s in reversed(rows.stands) if s.unit}
        for other, y in (named[key] for key in others):
            what = ", ".join("-".join(s.terminals) if s.kind == "contact" else s.kind for s in other.symbols)
            place = "" if number == sheet.number else f"{number}."
            found.append(f"{'ports' if what == 'block' else what} /{place}{zone(sheet.columns.device, y)}")
    return ", ".join(found)


def _rails(sheet: ControlSheet, anchors: dict[End, tuple[float, float]]) -> None:
    """Jumpers between devices of one place, beyond their symbols; the inner ones first."""
    columns = sheet.columns
    reached: dict[End, tuple[float, float]] = {}
    for record, track in sorted(sheet.rows.rails, key=lambda x: x[1]):
        start = reached.get(record.a, anchors[record.a])
        end = reached.get(record.b, anchors[record.b])
        x = columns.rails + columns.rail_pitch * track
        part = Rail(start, end, x, rail_label(record, columns))
        sheet.figure.place(part, kind="wire", record=record.id)
        reached[record.a], reached[record.b] = (x, start[1]), (x, end[1])


def draw_frames(sheet: ControlSheet, enclosure: str) -> None:
    """Frames of the places, and the boundary of the enclosure that steps round what it holds."""
    columns, bottom = sheet.columns, sheet.rows.bottom + 1.8
    left, edge, out, upper = BAND + 0.9, columns.boundary, SHEET_WIDTH - 0.3, BAND + 1.0
    outline = [(left, upper), (edge, upper)]
    for frame in sheet.rows.frames:
        x, right = columns.device - 1.0, RIGHT - 1.0
        corners = [(x, frame.top), (right, frame.top), (right, frame.bottom), (x, frame.bottom), (x, frame.top)]
        name = sheet.figure.notes.fit(frame.place, right - x - 2.0, TAG, bold=True)
        sheet.figure.place(Frame(corners, name, (x + 1.0, frame.top + 3.4)), kind="place")
        if frame.inside:
            top, low = frame.top - 1.0, frame.bottom + 1.0
            if outline[-1][0] == edge and len(outline) > 2 and top - outline[-1][1] < _STEP:
                outline[-2:] = [(out, low)]  # no step in and out again between two frames
            else:
                outline += [(edge, top), (out, top), (out, low)]
            outline.append((edge, low))
    if outline[-1][0] == edge and outline[-1][1] > bottom - 2.0 and len(outline) > 2:
        outline.pop()
        outline[-1] = (out, bottom)
        outline += [(left, bottom), (left, upper)]
    else:
        outline += [(edge, bottom), (left, bottom), (left, upper)]
    edge_of_name = columns.strip if len(columns.strips) == 1 else columns.boundary
    room = edge_of_name - columns.panel - 3.0
    if width(enclosure, TAG, bold=True) > room:
        enclosure = enclosure.removeprefix("Enclosure ")
    enclosure = sheet.figure.notes.fit(enclosure, room, TAG, bold=True)
    sheet.figure.place(Frame(outline, enclosure, (columns.panel + 2.0, BAND + 5.0)), kind="place")


