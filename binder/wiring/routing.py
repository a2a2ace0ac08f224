"""From ties to conductors: wires inside, strip terminals at the border, cores outside.

One field core has one strip terminal and one row. Within a place a common is chained from device
to device; the drive's own terminal carries at most one wire to the strip and one to the inside.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from binder.wiring.assembly import Assembly, Route
from binder.wiring.connections import Connection, End, Kind, Signal, Wiring
from binder.wiring.numbering import Joined, Numbers, natural_key
from binder.wiring.vocabulary import signal_of

#: Supplies and commons: they say nothing of where a device stands in row order.
_COMMON_ROLES = frozenset({"P24", "N24", "DIC", "R10", "A0", "STOS", "STOC", "BUS.REF"})

_LATE = 10_000


@dataclass(frozen=True, slots=True)
class CableNeed:
    """Cores that need a cable: between which places, of which class, and whose."""

    place: str
    signal: Signal
    tag: str = ""
    own: str = ""
    both_ends: bool = False  # screen landed at both ends

    @property
    def key(self) -> str:
        """Text by which the ledger knows the cable."""
        return "|".join((self.place, self.signal.value, self.tag, self.own))


@dataclass(slots=True)
class Routed:
    """Conductors without numbers, and for each core the cable it needs."""

    connections: list[Connection]
    needs: dict[str, CableNeed]  # connection id -> cable
    strip: dict[End, str]  # far end of a core -> strip number


def connection_id(a: End, b: End) -> str:
    """Return the id of a conductor: its two ends, the lower first.

    Examples
    --------
    >>> connection_id(End("-T1", "13"), End("-S1", "14"))
    '-S1:14~-T1:13'
    """
    return "~".join(sorted((str(a), str(b)), key=natural_key))


def route(assembly: Assembly, former: Wiring | None = None) -> Routed:
    """Turn the ties of an assembly into conductors.

    Parameters
    ----------
    assembly : Assembly
    former : Wiring, optional
        As last issued: strip numbers and the order of chains are kept.

    Returns
    -------
    Routed
    """
    return _Router(assembly, former).run()


class _Router:
    def __init__(self, assembly: Assembly, former: Wiring | None) -> None:
        self.a = assembly
        self.devices = {d.tag: d for d in assembly.devices}
        drive = assembly.style.drive
        self.order = {End(drive, t.terminal): n for n, t in enumerate(assembly.source)}
        self.common = {End(drive, t.terminal) for t in assembly.source if t.role in _COMMON_ROLES}
        self.room = {End(drive, t.number): t.max_conductors for t in assembly.terminals()}
        self.scheme = {frozenset((a, b)): s for a, b, s in assembly.ties}
        self.named: dict[End, str] = {}
        for a, b, s in assembly.ties:
            self.named.setdefault(a, s)
            self.named.setdefault(b, s)
        self.chain_order = _former_order(former)
        self.issued = _former_strip(former, assembly.style.strip)
        retired = [n for what, n in former.retired if what == "strip"] if former else []
        self.numbers = Numbers((*self.issued.values(), *retired))
        self.done = Routed([], {}, {})

    def run(self) -> Routed:
        nets = Joined((a, b) for a, b, _ in self.a.ties).groups()
        self.rank = self._ranks(nets)
        for net in sorted(nets, key=self._net_key):
            self._net(sorted(net, key=self._end_key))
        return self.done

    # order

    def _ranks(self, nets: Sequence[tuple[End, ...]]) -> dict[str, int]:
        """Per device: the lowest drive terminal that only it uses; a device without takes its partner's."""
        rank: dict[str, int] = {}
        for net in nets:
            own = [self.order[e] for e in net if e in self.order and e not in self.common]
            for end in net:
                if own and end.device in self.devices:
                    rank[end.device] = min(rank.get(end.device, _LATE), *own)
        for _ in range(3):  # contacts in series: hand the rank back along the string
            for net in nets:
                near = [rank[e.device] for e in net if e.device in rank]
                if near and not any(e in self.common for e in net):
                    for end in net:
                        if end.device in self.devices:
                            rank.setdefault(end.device, min(near))
        return rank

    def _net_key(self, net: Sequence[End]) -> tuple[int, int, tuple[object, ...]]:
        lowest = min((self.order[e] for e in net if e in self.order), default=_LATE)
        near = min((self.rank.get(e.device, _LATE) for e in net), default=_LATE)
        return lowest, near, min(natural_key(str(e)) for e in net)

    def _end_key(self, end: End) -> tuple[int, int, int, tuple[object, ...]]:
        return (
            self.chain_order.get(end, _LATE),
            self.order.get(end, _LATE),
            self.rank.get(end.device, _LATE),
            natural_key(str(end)),
        )

    # one net

    def _net(self, net: list[End]) -> None:
        at_drive = sorted((e for e in net if e in self.order), key=self.order.__getitem__)
        outside = [e for e in net if e not in self.order and not self._is_inside(e)]
        inside = [e for e in net if e not in self.order and self._is_inside(e)]
        cores = self._cores(outside)
        self._each(at_drive, Kind.LINK)
        start = self._with_room(at_drive)
        self._each([start, *inside] if start else inside, Kind.WIRE)
        if not at_drive and not inside and len(cores) == 1:
            self._each(cores[0][1], Kind.JUMPER)
            return
        border = [End(self.a.style.strip, self._strip_number(chain[0])) for _, chain in cores]
        if border:
            spare = start is not None and self.room.get(start, 2) >= 2
            source = start if start and (spare or not inside) else (inside[-1] if inside else start)
            if source:
                self._add(source, border[0], Kind.WIRE, cores[0][0].signal)
            self._each(border, Kind.BRIDGE, cores[0][0].signal)
        for strip, (need, chain) in zip(border, cores, strict=True):
            self._add(strip, chain[0], Kind.CORE, need.signal, need)
            self._each(chain, Kind.JUMPER)

    def _with_room(self, at_drive: list[End]) -> End | None:
        """Return the drive terminal of a net that has most room beside its links; the first of equals."""
        if len(at_drive) < 2:
            return at_drive[0] if at_drive else None
        last = len(at_drive) - 1
        free = [self.room.get(e, 2) - (1 if n in {0, last} else 2) for n, e in enumerate(at_drive)]
        return at_drive[free.index(max(free))]

    def _is_inside(self, end: End) -> bool:
        device = self.devices.get(end.device)
        return device is None or device.place in self.a.inside  # supply terminals stand in the enclosure

    def _cores(self, ends: list[End]) -> list[tuple[CableNeed, list[End]]]:
        """Field ends by core: one for each cable, or one for each end where nothing may be chained."""
        found: list[tuple[CableNeed, list[End]]] = []
        for end in ends:
            way = self.a.routes.get(end, Route(Signal.DIGITAL))
            need = CableNeed(self.devices[end.device].place, way.signal, way.cable, way.own, way.both_ends)
            chain = None if way.star else next((c for n, c in found if n == need), None)
            if chain is None:
                found.append((need, [end]))
            else:
                chain.append(end)
        return found

    def _strip_number(self, far: End) -> str:
        number = self.issued.get(far) or self.numbers.take()
        self.done.strip[far] = number
        return number

    def _each(self, ends: Sequence[End], kind: Kind, signal: Signal | None = None) -> None:
        for a, b in pairwise(ends):
            self._add(a, b, kind, signal or self._signal(a, b))

    def _signal(self, a: End, b: End) -> Signal:
        for end in (b, a):
            if end in self.a.routes:
                return self.a.routes[end].signal
        roles = {t.terminal: t.role for t in self.a.source}
        return signal_of(roles.get(a.terminal, "DI")) if a in self.order else Signal.DIGITAL

    def _add(self, a: End, b: End, kind: Kind, signal: Signal, need: CableNeed | None = None) -> None:
        made = Connection(connection_id(a, b), a, b, kind, signal, scheme=self._scheme(a, b))
        self.done.connections.append(made)
        if need:
            self.done.needs[made.id] = need

    def _scheme(self, a: End, b: End) -> str:
        """Name the scheme that asked for the tie, or for one of the two ends."""
        asked = self.scheme.get(frozenset((a, b)))
        return asked or self.named.get(b) or self.named.get(a, "")


def _former_order(former: Wiring | None) -> dict[End, int]:
    order: dict[End, int] = {}
    for c in former.connections if former else ():
        for end in (c.a, c.b):
            order.setdefault(end, len(order))
    return order


def _former_strip(former: Wiring | None, strip: str) -> dict[End, str]:
    return {
        c.b: c.a.terminal for c in (former.connections if former else ()) if c.kind is Kind.CORE and c.a.device == strip
    }
