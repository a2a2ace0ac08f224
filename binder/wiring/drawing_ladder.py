"""Ladder sheets: control circuits as rungs between two rails, with references from coils to contacts and back."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from binder.inventory.records import Drive, Inventory
from binder.wiring.connections import Device, Wiring
from binder.wiring.drawing import foot, grid, symbols_of_site
from binder.wiring.drawing_devices import lens_colour, operator_of
from binder.wiring.ladder import Element, Joint, Ladder, Rung, ladders, line_of
from binder.wiring.sheet import BAND, SHEET_HEIGHT, SHEET_WIDTH, DrawingSheet, room_for_notes, sheet_key
from binder.wiring.zones import zone
from schemdraw_parts.figure import SheetFigure
from schemdraw_parts.ladder import (
    BODY,
    InLine,
    LadderBox,
    LadderCoil,
    LadderContact,
    LadderLamp,
    LadderResistor,
    Riser,
    RungNumber,
)
from schemdraw_parts.style import HEAVY, SMALL, TEXT, Symbols
from schemdraw_parts.text import Notes, width
from schemdraw_parts.wiring import Flag, Lines, Wire

TITLE = "Control power ladder"
#: The two rails, the column of words, the distance of two lines. [mm]
_HOT, _NEUTRAL = 13.0, 192.0
_WORDS = 197.0
_PITCH = 17.0
#: Upper edge of the first ladder; room above its first line, and for note and foot line. [mm]
_TOP = BAND + 1.2
_HEAD, _FOOT = 17.0, 11.4
_LINE = 3.4
_NOTE = (
    "Without power. Lines are numbered at the left; (n) below a contact = line of its coil, /2.C4 = sheet 2, "
    "zone C4 of the control wiring. Same wire numbers as there."
)

Where = Callable[[str, Sequence[str]], str]


@dataclass(frozen=True, slots=True)
class _Block:
    """Lines of one ladder that stay together."""

    ladder: Ladder
    rungs: tuple[Rung, ...]


def ladder_sheets(wiring: Wiring, inventory: Inventory, drive: Drive, control: Sequence[DrawingSheet] = (), *,
                  reference: str = "") -> tuple[DrawingSheet, ...]:  # fmt: skip
    """Draw the circuits at control voltage of one drive as a ladder.

    Parameters
    ----------
    wiring : Wiring
    inventory : Inventory
        Ladders are drawn for sites with North American symbols.
    drive : Drive
    control : sequence of DrawingSheet
        The drive's control sheets, for references to what stands there alone.
    reference : str
        Document number and revision, for the foot of each sheet.

    Returns
    -------
    tuple of DrawingSheet
        Empty for IEC symbols, and when nothing stands between the rails of a source.

    Notes
    -----
    A second layout of the same records, read from rail to rail; strips and cables stand on the
    control sheets and on those of terminals and cables.
    """
    if symbols_of_site(inventory) is not Symbols.NORTH_AMERICAN:
        return ()
    longest = max((width(c.potential, SMALL) for c in wiring.connections), default=0.0)
    found = ladders(wiring, max(3, int((_NEUTRAL - _HOT) / (BODY + longest + 3.0))))
    if not found:
        return ()
    where = _finder(control)

    def draw(reserve: float) -> tuple[DrawingSheet, ...]:
        pages = _paginate(found, reserve)
        return tuple(
            _Page(drive, found, where, number, len(pages)).sheet(page, reference)
            for number, page in enumerate(pages, start=1)
        )

    return room_for_notes(draw)


def _finder(control: Sequence[DrawingSheet]) -> Where:
    """Sheet and zone of the control wiring that show a terminal: '/2.C4', '' when none does."""

    def where(tag: str, marks: Sequence[str]) -> str:
        for mark in marks:
            for sheet in control:
                if (tag, mark) in sheet.places:
                    return f"/{sheet.number}.{zone(*sheet.places[tag, mark])}"
        return ""

    return where


def _paginate(found: Sequence[Ladder], reserve: float) -> list[list[_Block]]:
    """Fill sheets with whole groups of lines; a ladder that goes on repeats its rails."""
    pages: list[list[_Block]] = []
    room = SHEET_HEIGHT - _TOP - _FOOT - reserve
    used = room
    for one in found:
        fresh = True
        for group in _groups(one):
            need = _PITCH * len(group) + (_HEAD if fresh else 0.0)
            if used + need > room:
                pages.append([])
                used, fresh = 0.0, True
                need = _PITCH * len(group) + _HEAD
            if fresh:
                pages[-1].append(_Block(one, ()))
            pages[-1][-1] = _Block(one, (*pages[-1][-1].rungs, *group))
            used, fresh = used + need, False
    return pages


def _groups(one: Ladder) -> Iterator[tuple[Rung, ...]]:
    starts = [n for n, rung in enumerate(one.rungs) if rung.first]
    for start, end in zip(starts, [*starts[1:], len(one.rungs)], strict=True):
        yield one.rungs[start:end]


@dataclass(slots=True)
class _Page:
    """Draws one sheet."""

    drive: Drive
    ladders: Sequence[Ladder]
    where: Where
    number: int
    count: int

    def sheet(self, blocks: Sequence[_Block], reference: str) -> DrawingSheet:
        """The finished sheet."""
        height = round(_TOP + sum(_HEAD + _PITCH * len(b.rungs) for b in blocks) + _FOOT, 1)
        rungs = [r for b in blocks for r in b.rungs]
        name = f"{TITLE} of {self.drive.tag}, sheet {self.number} of {self.count}"
        alt = f"{name}: " + "; ".join(f"line {r.number}: {_path(r)}" for r in rungs) + "."
        key = sheet_key("ladder", self.drive, self.number)
        figure = SheetFigure(SHEET_WIDTH, height, key=key, title=name, description=alt)
        y = _TOP
        for block in blocks:
            self._ladder(figure, block, y)
            y += _HEAD + _PITCH * len(block.rungs)
        words = f"{TITLE} · {self.drive.tag} · sheet {self.number} of {self.count}"
        foot(figure, _NOTE, words, reference, height - _FOOT + 4.6)
        grid(figure, height - _FOOT + 2.2)
        svg, count = figure.svg(), self.count
        return DrawingSheet(TITLE, self.number, count, svg, SHEET_WIDTH, figure.sheet_height, alt, figure.places)

    def _ladder(self, figure: SheetFigure, block: _Block, top: float) -> None:
        """Rails with their names, then line by line."""
        one, levels = block.ladder, {}
        for n, rung in enumerate(block.rungs):
            levels[rung.number] = top + _HEAD + _PITCH * n
        bottom = max(levels.values()) + 5.0
        for x, end, wire, align in ((_HOT, one.hot, one.hot_wire, "left"),
                                    (_NEUTRAL, one.neutral, one.neutral_wire, "right")):  # fmt: skip
            figure.place(Wire((x, top + 7.0), (x, bottom), pen=HEAVY), kind="wire")
            lines = [(str(end), TEXT, True), (f"wire {wire}".strip(), SMALL, False)]
            figure.place(Lines(lines, tag=end.device, pitch=3.6, align=align), x, top + 1.5, kind="words")
        for rung in block.rungs:
            self._rung(figure, one, rung, levels)

    def _x(self, one: Ladder, boundary: int) -> float:
        return _HOT + (_NEUTRAL - _HOT) / one.slots * boundary

    def _rung(self, figure: SheetFigure, one: Ladder, rung: Rung, levels: dict[int, float]) -> None:
        y = levels[rung.number]
        figure.place(RungNumber(str(rung.number)), 7.4, y, kind="rung")
        at = (self._x(one, rung.start), y)
        self._joint(figure, rung.left, at, levels, toward=-1)
        margin = ((_NEUTRAL - _HOT) / one.slots - BODY) / 2
        for n, (slot, element) in enumerate(rung.elements):
            part = self._part(element, figure.notes)
            figure.place(part, self._x(one, slot) + margin, y, kind="device")
            label = rung.wires[n] if n else ""
            self._wire(figure, at, part.point(element.a), label)
            at = part.point(element.b)
        end = (self._x(one, rung.end), y)
        self._wire(figure, at, end, "")
        self._joint(figure, rung.right, end, levels, toward=1)
        self._words(figure, rung, y)

    def _wire(self, figure: SheetFigure, start: tuple[float, float], end: tuple[float, float], label: str) -> None:
        labels = [(label, start[0] + 1.0)] if label else []
        figure.place(Wire(start, end, labels, size=SMALL), kind="wire")

    def _joint(self, figure: SheetFigure, joint: Joint, at: tuple[float, float], levels: dict[int, float], *,
               toward: int) -> None:  # fmt: skip
        if joint.above:
            upper = levels[joint.above]
            figure.place(Riser(at[1] - upper), at[0], upper, kind="wire")
        elif joint.says:
            figure.place(Flag(joint.says, stub=1.0, toward=toward), *at, kind="flag")

    def _part(self, element: Element, notes: Notes) -> InLine:
        """The symbol of an element with what is written round it."""
        tag, a, b, device = element.tag, element.a, element.b, element.device
        room = (_NEUTRAL - _HOT) / max(one.slots for one in self.ladders) - 1.0
        caption = notes.fit(tag, room, TEXT, bold=True)
        below = notes.wrap(self._below(element), room, SMALL, lines=2)
        if element.kind == "contact":
            operator = operator_of(device) if device is not None else ""
            return LadderContact(tag, a, b, element.form, operator=operator, caption=caption, below=below)
        if element.kind == "lamp":
            lens = lens_colour(device) if device is not None else ""
            return LadderLamp(tag, a, b, lens=lens, caption=caption, below=below)
        kind = {"coil": LadderCoil, "brake": LadderCoil, "resistor": LadderResistor}.get(element.kind, LadderBox)
        return kind(tag, a, b, caption=caption, below=below)

    def _below(self, element: Element) -> str:
        """Below a contact: line of its coil, positions in which a selector closes it, function of a drive's relay."""
        device = element.device
        if element.kind != "contact":
            return ""
        if device is None:
            here = self.where(element.tag, (element.a, element.b))
            return " ".join(x for x in (element.words, f"({here})" if here else "") if x)
        if device.positions:
            return _closed(device, (element.a, element.b))
        coil = line_of(self.ladders, device.tag, ("A1", "A2"))
        if coil is not None:
            return f"({coil})"
        place = self.where(device.tag, ("A1", "A2"))
        return f"({place})" if place else ""

    def _words(self, figure: SheetFigure, rung: Rung, y: float) -> None:
        """What the last element is for, and the lines of the contacts that its coil works."""
        element = rung.elements[-1][1]
        room = SHEET_WIDTH - 1.0 - _WORDS
        texts = [f"{element.tag} {element.words}".strip()] if element.kind != "contact" else []
        if element.kind == "coil" and element.device is not None:
            texts += self._contacts(element.device)
        lines = [line for text in texts for line in figure.notes.wrap(text, room, SMALL, lines=2)]
        if lines:
            up = _LINE * (len(lines) - 1) / 2 + 1.2
            figure.place(Lines([(t, SMALL, False) for t in lines], pitch=_LINE), _WORDS, y - up, kind="words")

    def _contacts(self, device: Device) -> Iterator[str]:
        """'contacts: 13-14 on 4, NC 21-22 on 1'"""
        told = []
        for contact in device.contacts:
            line = line_of(self.ladders, device.tag, contact.terminals)
            place = f"on {line}" if line is not None else self.where(device.tag, contact.terminals)
            if place:
                told.append(f"{'NC ' if contact.form == 'NC' else ''}{'-'.join(contact.terminals)} {place}")
        if told:
            yield f"contacts: {', '.join(told)}"


def _closed(device: Device, marks: Sequence[str]) -> str:
    """Positions in which a contact of a selector is closed: 'HAND, AUTO'."""
    for contact, chart in zip(device.contacts, device.chart or device.closed_in, strict=False):
        if set(contact.terminals) == set(marks):
            return ", ".join(p for p, on in zip(device.positions, chart, strict=False) if on)
    return ""


def _path(rung: Rung) -> str:
    """The elements of a line in words."""
    return ", ".join(f"{e.tag} {e.a}-{e.b} {e.form or e.kind}" for _, e in rung.elements)
