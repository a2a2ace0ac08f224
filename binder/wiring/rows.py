"""Rows of a control drawing: one field conductor one row, in the order that keeps most lines straight.

This module decides what stands in which row and in which order; where it stands on paper is
`lanes`, how wide the columns are `columns`. No drawing library is used here.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from binder.wiring.connections import Connection, Device, DriveTerminal, End, Kind, Signal, Wiring
from binder.wiring.symbols import Symbol, marks_of, symbols_of
from binder.wiring.vocabulary import POWER_ROLES

# Tags of strips and earth bars where the records do not declare them.
_STRIP = re.compile(r"[-+]?(X|TB|TS|PE|GND)[\d.]*", re.IGNORECASE)
#: Most rows that one unit may have: a taller one is cut by ports.
_MOST_ROWS = 12


@dataclass(slots=True)
class Row:
    """One row: [drive] -- left -- [strip terminal] -- right -- [device terminal], any of them absent.

    `left` of a row without strip terminal runs from the drive, or from a flag, to the device.
    """

    port: End | None = None
    strip: End | None = None
    left: Connection | None = None
    right: Connection | None = None
    target: int | None = None  # position of the drive terminal that `left` comes from
    straight: bool = False
    more_left: list[Connection] = field(default_factory=list)  # further conductors of the strip terminal
    more_right: list[Connection] = field(default_factory=list)
    screen: Connection | None = None  # the row is a screen's, not a conductor's
    far: bool = False  # of a screen: its end away from the enclosure
    detached: bool = False  # of a screen: drawn apart from the sheath, since conductors lie between
    cable: str = ""  # cable of the conductor in the cable column
    outside: bool = False  # the conductor never enters the enclosure: its flag stands in the cable column

    @property
    def in_panel(self) -> bool:
        """True when something stands in the panel column of this row."""
        return (self.left is not None and not self.outside) or bool(self.more_left)


@dataclass(slots=True)
class Unit:
    """A device, or the part of it that stands by its drive terminals."""

    device: Device | None
    place: str
    inside: bool
    symbols: list[Symbol]
    rows: list[Row]
    part: int = 1
    parts: int = 1


def other_end(record: Connection, end: End) -> End:
    """The end of a record that is not `end`."""
    return record.b if record.a == end else record.a


def nets(connections: Iterable[Connection]) -> dict[End, End]:
    """Everything joined has one representative end (union-find; screens join nothing)."""
    parent: dict[End, End] = {}

    def find(end: End) -> End:
        root = parent.setdefault(end, end)
        while parent[root] != root:
            root = parent[root]
        while parent[end] != root:
            parent[end], end = root, parent[end]
        return root

    for record in connections:
        if record.kind is not Kind.SCREEN:
            a, b = find(record.a), find(record.b)
            if a != b:
                parent[max(a, b)] = min(a, b)
    return {end: find(end) for end in list(parent)}


class Planner:
    """Builds the plan of one drive; one instance per run, nothing shared."""

    def __init__(self, wiring: Wiring, flagged: frozenset[str]) -> None:
        self.wiring = wiring
        self.flagged = flagged
        self.cables = {c.tag: c for c in wiring.cables}
        self.strips = {s.tag: s.kind for s in wiring.strips}
        self.declared = {d.tag for d in wiring.devices}
        self.terminals = self._terminals()
        self.position = {End(wiring.designation, t.number): i for i, t in enumerate(self.terminals)}
        by_label = {End(wiring.designation, t.label): i for i, t in enumerate(self.terminals)}
        self.position = {**by_label, **self.position}
        self.records: dict[End, list[Connection]] = defaultdict(list)
        for record in wiring.connections:
            self.records[record.a].append(record)
            self.records[record.b].append(record)
        self.drawn_supply = {
            e for c in wiring.connections if self._supply(c.a) and self._supply(c.b) for e in (c.a, c.b)
        }  # fmt: skip
        self.devices = self._devices()
        self.rails: list[Connection] = []
        self.rows_of: dict[End, list[Row]] = {}
        self.claims = self._claims()

    def _terminals(self) -> tuple[DriveTerminal, ...]:
        """Control terminals in strip order; an end that no terminal answers to gets one of its own."""
        name = self.wiring.designation
        ends = {e.terminal: None for c in self.wiring.connections for e in (c.a, c.b) if e.device == name}
        known = sorted(self.wiring.terminals, key=lambda t: (t.order, t.number))
        keep = [t for t in known if t.role not in POWER_ROLES or t.number in ends]
        answers = {t.number for t in keep} | {t.label for t in keep}
        extra = [DriveTerminal(mark, mark, "", 10_000) for mark in ends if mark not in answers]
        return (*keep, *extra)

    def _supply(self, end: End) -> bool:
        return self.strips.get(end.device) == "control supply"

    def elsewhere(self, end: End) -> bool:
        """True for terminals that stand on the main circuit: conductors to them are one-ended flags."""
        return self._supply(end) and end not in self.drawn_supply

    def is_strip(self, end: End) -> bool:
        """True when the end is a terminal of a strip or an earth bar: '-X1:8', 'TB1:8', '-PE:1'."""
        if end.device in self.strips:
            return True
        return end.device not in self.declared and _STRIP.fullmatch(end.device) is not None

    def _devices(self) -> dict[str, Device]:
        """Devices by tag; a tag that only the records name gets a bare device."""
        devices = {d.tag: d for d in self.wiring.devices}
        for end, records in self.records.items():
            known = end.device in devices or end.device in self.cables or end.device == self.wiring.designation
            if not known and not self.is_strip(end) and any(r.kind is not Kind.SCREEN for r in records):
                marks = [e.terminal for e in self.records if e.device == end.device]
                devices[end.device] = Device(end.device, "", "", terminals=tuple(marks))
        return devices

    def _claims(self) -> dict[End, tuple[str, End]]:
        """Strip terminal -> (record, device end) that shares its row: cable cores before panel wires."""
        claims: dict[End, tuple[str, End]] = {}
        for kinds in ((Kind.CORE,), (Kind.WIRE, Kind.JUMPER)):
            for record in self.wiring.connections:
                if record.kind not in kinds:
                    continue
                for strip, port in ((record.a, record.b), (record.b, record.a)):
                    free = self.is_strip(strip) and not self.elsewhere(strip) and strip not in claims
                    if free and port.device in self.devices:
                        claims[strip] = (record.id, port)
        return claims

    def strip_row(self, strip: End, port: End | None, right: Connection | None) -> Row:
        """The row of a strip terminal: what comes to it from the left, what hangs below."""
        lefts: list[Connection] = []
        rights: list[Connection] = []
        for record in self.records[strip]:
            if right is not None and record.id == right.id:
                continue
            if record.kind is Kind.SCREEN or (record.kind is Kind.BRIDGE and record.id not in self.flagged):
                continue
            (rights if record.kind is Kind.CORE and not self._to_drive(record) else lefts).append(record)
        lefts.sort(key=lambda r: not self._to_drive(r))
        row = Row(port=port, strip=strip, right=right)
        if lefts:
            row.left, row.more_left = lefts[0], lefts[1:]
            row.target = self._target(lefts[0])
        if right is None and rights:
            row.right, rights = rights[0], rights[1:]
        row.more_right = rights
        if row.right is not None and row.right.core is not None:
            row.cable = row.right.core.cable
        return row

    def _to_drive(self, record: Connection) -> bool:
        return record.a in self.position or record.b in self.position

    def _target(self, record: Connection) -> int | None:
        return self.position.get(record.a, self.position.get(record.b))

    def port_rows(self, port: End) -> list[Row]:
        """All rows of one device terminal."""
        rows: list[Row] = []
        place = self.devices[port.device].place
        for record in self.records[port]:
            if record.kind is Kind.SCREEN:
                continue
            other = other_end(record, port)
            neighbour = self.devices.get(other.device)
            if other in self.position:
                cable = record.core.cable if record.core else ""
                rows.append(Row(port=port, left=record, target=self.position[other], cable=cable))
            elif self.claims.get(other) == (record.id, port):
                rows.append(self.strip_row(other, port, record))
            elif neighbour is not None and neighbour.place == place and record.id not in self.flagged and other != port:
                if record not in self.rails:
                    self.rails.append(record)
            else:
                away = record.kind is Kind.JUMPER or (record.kind is Kind.CORE and not self.is_strip(other))
                rows.append(Row(port=port, left=record, outside=away, cable=record.core.cable if record.core else ""))
        return rows or [Row(port=port)]

    def units(self) -> list[Unit]:
        """Units in the order of the devices, then the bare strip terminals."""
        units: list[Unit] = []
        for device in self.devices.values():
            used = [t for t in marks_of(device, self.records) if _lands(self.records[End(device.tag, t)])]
            groups = self._groups(device, symbols_of(device, used))
            for part, group in enumerate(groups, start=1):
                rows = [row for s in group for t in s.terminals for row in self.rows_of[End(device.tag, t)]]
                units.append(Unit(device, device.place, self._inside(device, rows), group, rows, part, len(groups)))
        taken = {row.strip for unit in units for row in unit.rows}
        bare = [
            Unit(None, "", True, [], [self.strip_row(end, None, None)]) for end in self.records
            if self.is_strip(end) and not self.elsewhere(end) and end not in taken and _lands(self.records[end])
        ]  # fmt: skip
        return units + bare

    def _groups(self, device: Device, symbols: list[Symbol]) -> list[list[Symbol]]:
        """Symbols of one device by signal class, ports sorted, tall groups cut."""
        for symbol in symbols:
            for mark in symbol.terminals:
                self.rows_of[End(device.tag, mark)] = self.port_rows(End(device.tag, mark))
        groups: dict[object, list[Symbol]] = {}
        for symbol in symbols:
            if symbol.kind == "block":
                groups |= {("block", cut): [Symbol("block", cut)] for cut in self._cards(device, symbol)}
            else:
                groups.setdefault((symbol.kind == "coil", self._signal(device, symbol.terminals)), []).append(symbol)
        out: list[list[Symbol]] = []
        for group in groups.values():
            for symbol in group:
                symbol.terminals = self._turned(device, symbol)
            group.sort(key=lambda s: self._key(device, s.terminals))
            out.extend(self._cut_symbols(device, group))
        return out

    def _cards(self, device: Device, block: Symbol) -> list[tuple[str, ...]]:
        """Ports of a block by signal class, so that each part stands by its drive terminals."""
        ports: dict[Signal | None, list[str]] = {}
        for mark in block.terminals:
            ports.setdefault(self._signal(device, (mark,)), []).append(mark)
        return [cut for marks in ports.values() for cut in self._cut(device, self._sorted(device, marks))]

    def _turned(self, device: Device, symbol: Symbol) -> tuple[str, ...]:
        """Terminals in the order of the drive's, a potentiometer's slider between its ends."""
        order = self._sorted(device, symbol.terminals)
        if symbol.kind == "potentiometer":  # outside of them, the slider's line would cross an end's
            order.remove(symbol.form)
            order.insert(1, symbol.form)
        return tuple(order)

    def _signal(self, device: Device, marks: Sequence[str]) -> Signal | None:
        classes = [r.signal for m in marks for r in self.records[End(device.tag, m)] if r.kind is not Kind.SCREEN]
        return classes[0] if classes else None

    def _reach(self, device: Device, mark: str) -> int | None:
        targets = [r.target for r in self.rows_of[End(device.tag, mark)] if r.target is not None]
        return min(targets, default=None)

    def _sorted(self, device: Device, marks: Sequence[str]) -> list[str]:
        """Terminals in the order of the drive's terminals; one without stays behind its neighbour."""
        keyed: list[tuple[int, int, str]] = []
        last = -1
        for i, mark in enumerate(marks):
            reach = self._reach(device, mark)
            last = last if reach is None else reach
            keyed.append((last, i, mark))
        for mark in marks:
            self.rows_of[End(device.tag, mark)].sort(key=lambda r: -1 if r.target is None else r.target)
        return [mark for _, _, mark in sorted(keyed)]

    def _key(self, device: Device, marks: Sequence[str]) -> int:
        reaches = [r for r in (self._reach(device, m) for m in marks) if r is not None]
        return max(reaches, default=10_000)

    def _cut(self, device: Device, marks: list[str]) -> list[tuple[str, ...]]:
        pieces: list[list[str]] = [[]]
        rows = 0
        for mark in marks:
            more = len(self.rows_of[End(device.tag, mark)])
            if pieces[-1] and rows + more > _MOST_ROWS:
                pieces.append([])
                rows = 0
            pieces[-1].append(mark)
            rows += more
        return [tuple(p) for p in pieces if p]

    def _cut_symbols(self, device: Device, group: list[Symbol]) -> list[list[Symbol]]:
        pieces: list[list[Symbol]] = [[]]
        rows = 0
        for symbol in group:
            more = sum(len(self.rows_of[End(device.tag, m)]) for m in symbol.terminals)
            if pieces[-1] and rows + more > _MOST_ROWS:
                pieces.append([])
                rows = 0
            pieces[-1].append(symbol)
            rows += more
        return [p for p in pieces if p]

    def _inside(self, device: Device, rows: list[Row]) -> bool:
        """True for devices that panel wires reach and cables do not."""
        if self.wiring.inside and device.place:
            return device.place in self.wiring.inside
        kinds = {r.kind for row in rows if row.port for r in self.records[row.port]}
        return Kind.CORE not in kinds and Kind.WIRE in kinds


def _lands(records: list[Connection]) -> bool:
    return any(r.kind is not Kind.SCREEN for r in records)
