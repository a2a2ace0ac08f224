"""Cables and cores: allocated by place and class, kept over a revision, classes never sharing a cable."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import cables_of
from binder.inventory.quantities import Measure
from binder.inventory.records import Cable
from binder.wiring.assembly import Assembly
from binder.wiring.connections import Connection, Core, End, Kind, Signal, WireCable, Wiring
from binder.wiring.kinds import AMERICAN
from binder.wiring.numbering import Numbers
from binder.wiring.routing import CableNeed, Routed, connection_id
from binder.wiring.scheme_rows import row_finding

#: Numbers of cores sold; common practice, no source.
_SIZES = (2, 3, 4, 5, 7, 12, 18, 25)
_PAIRED_SIZES = (2, 4, 8, 16, 24)

_SCREENED = frozenset({Signal.ANALOG, Signal.SAFETY, Signal.SENSOR, Signal.NETWORK})

#: Conductor sizes by class: NEC basis, IEC basis. Least sizes of NFPA 79 12.6.2 to 12.6.4 (from memory,
#: check) kept; the rest is common practice, no source.
SIZES: dict[Signal, tuple[str, str]] = {
    Signal.DIGITAL: ("18 AWG", "0.75 mm²"), Signal.ANALOG: ("18 AWG", "0.75 mm²"),
    Signal.RELAY: ("16 AWG", "1 mm²"), Signal.SAFETY: ("18 AWG", "0.75 mm²"),
    Signal.SENSOR: ("18 AWG", "0.75 mm²"), Signal.NETWORK: ("22 AWG", "0.34 mm²"),
    Signal.POWER: ("14 AWG", "2.5 mm²"),
}  # fmt: skip

#: Core colours of data cables in pairs, DIN 47100, from memory, check.
_COLOURS = ("WH", "BN", "GN", "YE", "GY", "PK", "BU", "RD", "BK", "VT", "GYPK", "RDBU", "WHGN", "BNGN", "WHYE",
            "YEBN", "WHGY", "GYBN", "WHPK", "PKBN", "WHBU", "BNBU", "WHRD", "BNRD", "WHBK")  # fmt: skip
#: Pairs black and white, triads with red: common practice in North America, no source.
_AMERICAN_COLOURS = ("BK", "WH", "RD")


def size_of(assembly: Assembly, signal: Signal) -> str:
    """Return the usual conductor size of a class on this site's code basis."""
    return SIZES[signal][0 if assembly.inventory.site.code_basis == "NEC" else 1]


def _metres(length: Measure) -> float:
    return round(length.to("m"), 2)  # feet come out in whole centimetres


class Cabling:
    """Gives every core its cable; `cables`, `connections` and `findings` hold the result."""

    def __init__(self, assembly: Assembly, routed: Routed, former: Wiring | None) -> None:
        self.a, self.former = assembly, former
        self.findings: list[Finding] = []
        self._needs = routed.needs
        self._kept = {c.id: c.core for c in former.connections if c.core} if former else {}
        self._sheet = {c.tag.casefold(): c for c in cables_of(assembly.inventory, assembly.drive)}
        issued = [c.tag for c in former.cables] if former else []
        retired = [n for what, n in former.retired if what == "cable"] if former else []
        given = [n.tag for n in routed.needs.values() if n.tag]
        self._numbers = Numbers((*issued, *retired, *given), prefix=assembly.style.cable)
        self._taken: set[str] = set()
        self.cables: list[WireCable] = []
        self._core: dict[str, Core] = {}
        for need, ids in self._by_need(routed).items():
            self._allocate(need, ids)
        self.connections = [
            replace(c, core=self._core[c.id], colour=self._core[c.id].colour) if c.id in self._core else c
            for c in routed.connections
        ]
        self.connections += list(self._screens())

    def _by_need(self, routed: Routed) -> dict[CableNeed, list[str]]:
        """Core ids by cable, so that a pair serves one device, and of a safety device one contact."""
        found: dict[CableNeed, list[Connection]] = {}
        for c in routed.connections:
            if c.id in self._needs:
                found.setdefault(self._needs[c.id], []).append(c)
        ordered = {}
        for need, cores in found.items():
            first: dict[str, int] = {}
            for n, c in enumerate(cores):
                first.setdefault(c.b.device, n)
            safe = need.signal is Signal.SAFETY
            ordered[need] = [
                c.id for c in sorted(cores, key=lambda c: (first[c.b.device], self._contact(c.b) if safe else 0))
            ]
        return ordered

    def _contact(self, end: End) -> int:
        """Which contact of its device a terminal belongs to: a safety channel has one contact, and one pair."""
        device = next((d for d in self.a.devices if d.tag == end.device), None)
        contacts = device.contacts if device is not None else ()
        return next((n for n, c in enumerate(contacts) if end.terminal in c.terminals), len(contacts))

    def _allocate(self, need: CableNeed, ids: list[str]) -> None:
        pulled = [c for c in self.former.cables if c.key == need.key] if self.former else []
        waiting = []
        used: set[Core] = set()
        for id_ in ids:
            core = self._kept.get(id_)
            if core and any(core.cable == c.tag for c in pulled):
                self._core[id_] = core
                used.add(core)
            else:
                waiting.append(id_)
        spare = [core for cable in pulled for core in cable.cores if core not in used]
        for id_, core in zip(waiting, spare, strict=False):
            self._core[id_] = core
            used.add(core)
        still = [c for c in pulled if any(core.cable == c.tag for core in used)]
        self.cables += [self._described(replace(c, to_place=need.place)) for c in still]
        self._taken |= {c.tag for c in still}
        rest = waiting[len(spare):]
        while rest:
            cable = self._new(need, rest)
            self.cables.append(self._described(cable))
            self._core.update(zip(rest, cable.cores, strict=False))
            rest = rest[len(cable.cores):]

    def _new(self, need: CableNeed, ids: list[str]) -> WireCable:
        tag = need.tag
        if tag and tag in self._taken:
            other = next(c for c in self.cables if c.tag == tag)
            if other.signal is not need.signal:
                self._shared(need, tag, other)
            tag = ""
        tag = tag or self._numbers.take()
        self._taken.add(tag)
        paired = need.signal in _SCREENED and not self._has_potentiometer(ids)
        sizes = _PAIRED_SIZES if paired else _SIZES
        count = next((n for n in sizes if n >= len(ids)), sizes[-1])
        cores = tuple(Core(tag, *self._marking(n, need.signal, paired)) for n in range(count))
        return WireCable(
            tag, self.a.inside[0], need.place, need.signal, cores, need.signal in _SCREENED, paired,
            size=size_of(self.a, need.signal), key=need.key,
        )  # fmt: skip

    def _shared(self, need: CableNeed, tag: str, other: WireCable) -> None:
        row = next(r for r in self.a.rows if r.control.cable.strip() == tag)
        self.findings.append(row_finding(
            "W118", Grade.CAUTION, row, "cable",
            f"cable {tag} is asked for {other.signal.value} and for {need.signal.value}",
            accepted="one class of signal a cable (segregation)",
            remedy="give the second class its own cable; it is drawn so",
        ))  # fmt: skip

    def _has_potentiometer(self, ids: list[str]) -> bool:
        kinds = {d.tag: d.kind for d in self.a.devices}
        return any(kinds.get(id_.split("~")[n].rpartition(":")[0]) == "potentiometer" for id_ in ids for n in (0, 1))

    def _marking(self, n: int, signal: Signal, paired: bool) -> tuple[str, str]:
        american = self.a.style is AMERICAN
        if paired:
            colour = _AMERICAN_COLOURS[n % 2] if american else _COLOURS[n]
            return f"{n // 2 + 1}{'ab'[n % 2]}", colour
        if signal in {Signal.DIGITAL, Signal.RELAY} or n >= 3:
            return str(n + 1), "BK"  # black with printed numbers
        return str(n + 1), (_AMERICAN_COLOURS if american else _COLOURS)[n]

    def _described(self, cable: WireCable) -> WireCable:
        """Length and size from the sheets Cables and Controls; two lengths for one cable are told."""
        on_sheet: Cable | None = self._sheet.get(cable.tag.casefold())
        rows = [r for r in self.a.rows if self._serves(r.key, cable) and r.control.length]
        typed = {_metres(r.control.length): r.control.length for r in rows if r.control.length}
        lengths = sorted(typed)
        if len(lengths) > 1:
            self.findings.append(row_finding(
                "W133", Grade.CAUTION, rows[-1], "length",
                f"cable {cable.tag} has lengths {', '.join(f'{x:g} m' for x in lengths)}",
                accepted="one length a cable", remedy="write the routed length once, or name two cables",
            ))  # fmt: skip
        length = typed[lengths[-1]] if lengths else None
        if on_sheet is not None:
            length = on_sheet.length or length
            size = on_sheet.size.label if on_sheet.size else cable.size
            screened = cable.screened if on_sheet.shielded is None else on_sheet.shielded
            cable = replace(cable, size=size, screened=screened)
        return replace(cable, length_m=_metres(length), length=str(length)) if length else cable

    def _serves(self, row_key: str, cable: WireCable) -> bool:
        ids = {id_ for id_, core in self._core.items() if core.cable == cable.tag}
        ids |= {id_ for id_, need in self._needs.items() if need.key == cable.key}
        tags = {t for r in self.a.rows if r.key == row_key for t in r.devices.values()}
        return any(part.rpartition(":")[0] in tags for id_ in ids for part in id_.split("~"))

    def _screens(self) -> Iterator[Connection]:
        """One record for each end of a screen; the end that stays open is a record too."""
        both = {need.key for need in self._needs.values() if need.both_ends}
        for cable in self.cables:
            if not cable.screened:
                continue
            serial = self.a.end("BUS.SH") if cable.signal is Signal.NETWORK else None
            near = serial or End(self.a.style.earth, cable.tag.lstrip("-"))
            far = End(cable.tag, "shell" if cable.key in both else "insulated")
            for mark, landing in (("SH1", near), ("SH2", far)):
                a = End(cable.tag, mark)
                scheme = next((c.scheme for c in self.connections if c.core and c.core.cable == cable.tag), "")
                yield Connection(connection_id(a, landing), a, landing, Kind.SCREEN, cable.signal, scheme=scheme)
