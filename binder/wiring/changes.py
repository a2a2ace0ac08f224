"""Single connections that a person adds, removes or found otherwise (sheet 'Wires')."""

from __future__ import annotations

from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import wire_changes_of
from binder.inventory.records import WireChange
from binder.wiring.assembly import Assembly
from binder.wiring.connections import Connection, End, Kind, Signal
from binder.wiring.routing import CableNeed, Routed, connection_id
from binder.wiring.vocabulary import signal_of


def apply_changes(assembly: Assembly, routed: Routed) -> tuple[dict[str, tuple[str, ...]], tuple[Finding, ...]]:
    """Apply the sheet Wires to the routed conductors, in place.

    Parameters
    ----------
    assembly : Assembly
    routed : Routed
        Changed: conductors are taken out and put in.

    Returns
    -------
    tuple of (dict of str to tuple of str, tuple of Finding)
        New terminal marks by device, and what could not be applied.

    Notes
    -----
    A connection 'as found' replaces every computed conductor at its two ends, so that old wiring
    can be entered as it is; strip terminals that then lead nowhere disappear.
    """
    changes = _Changes(assembly, routed)
    for change in wire_changes_of(assembly.inventory, assembly.drive):
        changes.apply(change)
    changes.prune()
    return {k: tuple(v) for k, v in changes.new_marks.items()}, tuple(changes.findings)


class _Changes:
    def __init__(self, assembly: Assembly, routed: Routed) -> None:
        self.a, self.routed = assembly, routed
        self.findings: list[Finding] = []
        self.new_marks: dict[str, list[str]] = {}
        self.found: set[End] = set()

    def apply(self, change: WireChange) -> None:
        ends = [self._end(change, "from_end", change.from_end), self._end(change, "to_end", change.to_end)]
        if ends[0] is None or ends[1] is None:
            return
        a, b = ends[0], ends[1]
        id_ = connection_id(a, b)
        if change.action == "remove":
            if not any(c.id == id_ for c in self.routed.connections):
                self._tell(change, "from_end", f"no conductor {a} to {b} to remove", "a conductor of the wire list")
            self._drop({id_})
            return
        if change.action == "as found":
            for end in (a, b):
                if end not in self.found:
                    self._drop({c.id for c in self.routed.connections if end in {c.a, c.b} and not c.status})
                self.found.add(end)
        elif any(c.id == id_ for c in self.routed.connections):
            return  # already there
        self._add(change, a, b, id_)

    def _end(self, change: WireChange, column: str, text: str) -> End | None:
        device, _, mark = text.strip().rpartition(":")
        a = self.a
        if device.casefold() in {a.style.drive.casefold(), a.drive.tag.casefold()}:
            for t in a.source:
                if mark.casefold() in {t.terminal.casefold(), t.label.casefold()}:
                    return End(a.style.drive, t.terminal)
            self._tell(change, column, f"the drive has no terminal '{mark}'", "a terminal of the sheet Terminals")
            return None
        known = next((d for d in a.devices if d.tag.casefold() == device.casefold()), None)
        if known:
            if mark not in known.terminals:
                self.new_marks.setdefault(known.tag, []).append(mark)
            return End(known.tag, mark)
        if device in {a.style.strip, a.style.supply, a.style.earth} and mark:
            return End(device, mark)
        self._tell(change, column, f"'{text}' is no end of this drive's wiring", "TAG:TERMINAL, for example -S1:13")
        return None

    def _add(self, change: WireChange, a: End, b: End, id_: str) -> None:
        if self._depth(a) > self._depth(b):
            a, b = b, a
        place_a, place_b = self._place(a), self._place(b)
        signal = self._signal(a, b)
        if a.device == b.device == self.a.style.drive:
            kind = Kind.LINK
        elif a.device == b.device == self.a.style.strip:
            kind = Kind.BRIDGE
        elif place_a == place_b:
            kind = Kind.JUMPER if place_a else Kind.WIRE
        else:
            kind = Kind.CORE
            self.routed.needs[id_] = CableNeed(place_b or place_a, signal)
        self.routed.connections.append(Connection(
            id_, a, b, kind, signal, colour=change.colour, size=change.size.label if change.size else "",
            scheme="by hand", status="as found" if change.action == "as found" else "added", reason=change.reason,
        ))  # fmt: skip

    def _depth(self, end: End) -> int:
        if end.device == self.a.style.drive:
            return 0
        return 2 if any(d.tag == end.device for d in self.a.devices) else 1

    def _place(self, end: End) -> str:
        """Place of an end; '' in the enclosure."""
        place = next((d.place for d in self.a.devices if d.tag == end.device), "")
        return "" if place in self.a.inside else place

    def _signal(self, a: End, b: End) -> Signal:
        roles = {End(self.a.style.drive, t.terminal): t.role for t in self.a.source}
        for end in (b, a):
            if end in self.a.routes:
                return self.a.routes[end].signal
        return signal_of(roles.get(a, roles.get(b, "DI")))

    def _drop(self, ids: set[str]) -> None:
        self.routed.connections[:] = [c for c in self.routed.connections if c.id not in ids]
        for id_ in ids:
            self.routed.needs.pop(id_, None)

    def prune(self) -> None:
        """Take out strip terminals that an 'as found' has left with one conductor only."""
        if not self.found:
            return
        while True:
            count: dict[End, int] = {}
            for c in self.routed.connections:
                for end in (c.a, c.b):
                    count[end] = count.get(end, 0) + 1
            loose = {
                c.id for c in self.routed.connections
                if not c.status
                and any(e.device == self.a.style.strip and count[e] == 1 for e in (c.a, c.b))
            }  # fmt: skip
            if not loose:
                return
            self._drop(loose)

    def _tell(self, change: WireChange, column: str, found: str, accepted: str) -> None:
        self.findings.append(Finding(
            "W130", Grade.CAUTION, change.origin.sheet or "Wires", change.origin.cell(column), change.drive, found,
            accepted, "correct the end; until then the line is left out", column,
        ))  # fmt: skip
