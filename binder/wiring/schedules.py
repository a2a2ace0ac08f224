"""The papers that follow from the connection records: lists, plans, check sheets, labels.

Each is a join over the same records; none holds a connection of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from binder.engineering.control_supply import conductor_ohm
from binder.inventory.conductor_sizes import parse_conductor
from binder.wiring.connections import Connection, Core, Device, End, Expected, Kind, WireCable, Wiring
from binder.wiring.kinds import KINDS
from binder.wiring.numbering import natural_key
from binder.wiring.vocabulary import function_name, terminal_label

#: Contacts and test leads in an end-to-end reading; common practice, no source. [Ω]
_CONTACTS_OHM = 1.0


@dataclass(frozen=True, slots=True)
class WireLine:
    """One conductor of the wire list."""

    id: str
    number: str
    from_end: str
    to_end: str
    kind: str
    signal: str
    colour: str
    size: str
    cable: str
    core: str
    scheme: str
    status: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True)
class TerminalLine:
    """One terminal of the drive or of a strip: what lands on it from inside and from the field."""

    strip: str
    terminal: str
    label: str
    function: str
    number: str
    inside: tuple[str, ...]
    outside: tuple[str, ...]
    cable: str
    core: str
    bridges: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CableLine:
    """One control cable with its use."""

    tag: str
    from_place: str
    to_place: str
    signal: str
    cores: int
    used: int
    spare: tuple[str, ...]
    size: str
    screened: bool
    paired: bool
    length_m: float | None
    screen: str  # where the screen is landed, and where not
    serves: tuple[str, ...]  # devices
    length: str = ""  # as typed, with its unit


@dataclass(frozen=True, slots=True)
class CoreLine:
    """One core of a cable; without ends it is a spare."""

    cable: str
    core: str
    colour: str
    number: str
    from_end: str
    to_end: str
    id: str


@dataclass(frozen=True, slots=True)
class DeviceLine:
    """One device with its contacts."""

    tag: str
    kind: str
    place: str
    text: str
    legend: str
    rating: str
    contacts: tuple[str, ...]  # '13-14 NO closed in HAND'
    terminals: tuple[str, ...]
    scheme: str


@dataclass(frozen=True, slots=True)
class CheckLine:
    """One conductor of the point-to-point check: where to probe and what to see."""

    id: str
    number: str
    from_end: str
    to_end: str
    marking: str
    dead: str  # with the power off
    live: tuple[tuple[str, str, str], ...]  # (between, state, reading)


@dataclass(frozen=True, slots=True)
class LabelLine:
    """One label or marker to make."""

    on: str
    text: str
    kind: str
    quantity: int = 1


def wire_list(wiring: Wiring) -> tuple[WireLine, ...]:
    """Return every connection record, by wire number, then along the conductor."""
    return tuple(
        WireLine(
            c.id, c.potential, str(c.a), str(c.b), c.kind.value, c.signal.value, c.colour, c.size,
            c.core.cable if c.core else "", c.core.mark if c.core else "", c.scheme, c.status, c.reason,
        )
        for c in sorted(wiring.connections, key=lambda c: natural_key(c.potential or "~"))
    )  # fmt: skip


def terminal_plan(wiring: Wiring) -> tuple[TerminalLine, ...]:
    """Return the drive's control terminals, unused ones too, then every strip terminal in order."""
    ordered = sorted(wiring.terminals, key=lambda t: t.order)
    rows = [
        (wiring.designation, t.number, terminal_label(t.number, t.label, t.role), function_name(t.function))
        for t in ordered
    ]
    rows += [(s.tag, mark, "", "") for s in wiring.strips for mark in s.terminals]
    here: dict[End, list[Connection]] = {}
    for c in wiring.connections:
        for end in (c.a, c.b):
            here.setdefault(end, []).append(c)
    return tuple(_terminal_line(End(tag, mark), label, function, here) for tag, mark, label, function in rows)


def _terminal_line(end: End, label: str, function: str, here: dict[End, list[Connection]]) -> TerminalLine:
    landing = here.get(end, [])
    core = next((c.core for c in landing if c.core), None)

    def far(*kinds: Kind) -> tuple[str, ...]:
        return tuple(str(c.b if c.a == end else c.a) for c in landing if c.kind in kinds)

    return TerminalLine(
        end.device, end.terminal, label, function, next((c.potential for c in landing if c.potential), ""),
        far(Kind.WIRE), far(Kind.CORE, Kind.JUMPER, Kind.SCREEN), core.cable if core else "",
        core.mark if core else "", far(Kind.BRIDGE, Kind.LINK),
    )  # fmt: skip


def cable_schedule(wiring: Wiring) -> tuple[CableLine, ...]:
    """Return every control cable with cores used and spare, and where its screen is landed."""
    return tuple(_cable_line(wiring, k) for k in sorted(wiring.cables, key=lambda k: natural_key(k.tag)))


def _cable_line(wiring: Wiring, cable: WireCable) -> CableLine:
    used = {c.core: c for c in wiring.connections if c.core and c.core.cable == cable.tag}
    screens = [str(c.b) for c in wiring.connections if c.kind is Kind.SCREEN and c.a.device == cable.tag]
    devices = {d.tag for d in wiring.devices}
    serves = dict.fromkeys(e.device for c in used.values() for e in (c.a, c.b) if e.device in devices)
    return CableLine(
        cable.tag, cable.from_place, cable.to_place, cable.signal.value, len(cable.cores), len(used),
        tuple(f"{c.mark} {c.colour}" for c in cable.cores if c not in used), cable.size, cable.screened, cable.paired,
        cable.length_m, ", ".join(screens), tuple(serves), cable.length,
    )  # fmt: skip


def core_schedule(wiring: Wiring) -> tuple[CoreLine, ...]:
    """Return every core of every cable, spares without ends."""
    used: dict[Core, Connection] = {c.core: c for c in wiring.connections if c.core}
    found = []
    for cable in sorted(wiring.cables, key=lambda k: natural_key(k.tag)):
        for core in cable.cores:
            c = used.get(core)
            ends = (c.potential, str(c.a), str(c.b), c.id) if c else ("", "", "", "")
            found.append(CoreLine(core.cable, core.mark, core.colour, *ends))
    return tuple(found)


def device_list(wiring: Wiring) -> tuple[DeviceLine, ...]:
    """Return every device with contact arrangement and legend text, by tag."""
    return tuple(
        DeviceLine(
            d.tag, kind_name(d.kind), d.place, d.text, d.legend, d.rating,
            _contact_texts(d), d.terminals, d.scheme,
        )
        for d in sorted(wiring.devices, key=lambda d: natural_key(d.tag))
    )  # fmt: skip


def kind_name(kind: str) -> str:
    """Return the words for a kind of device."""
    return KINDS[kind].name if kind in KINDS else kind


def _contact_texts(device: Device) -> tuple[str, ...]:
    texts = []
    for contact, chart in zip(device.contacts, device.closed_in, strict=True):
        closed = ", ".join(s for s, on in zip(device.states, chart, strict=True) if on) or "no state"
        texts.append(f"{'-'.join(contact.terminals)} {contact.form} closed in {closed}")
    return tuple(texts)


def check_sheet(wiring: Wiring) -> tuple[CheckLine, ...]:
    """Return the point-to-point check: one line for each connection record, in the order of the wire list.

    Returns
    -------
    tuple of CheckLine
        `live` holds, of the readings of this conductor's potential, one for each level that it can
        have: two states that differ prove the conductor. Empty where only continuity proves it.

    Notes
    -----
    End to end a conductor may have its own resistance at 20 °C (R = L / (56 A), textbook) and 1 Ω for
    contacts and leads (common practice, no source). Loose wires are short and have the 1 Ω alone; a
    core without length or size has no limit.
    """
    cables = {k.tag: k for k in wiring.cables}
    by_potential: dict[str, list[Expected]] = {}
    for e in wiring.expected:
        by_potential.setdefault(e.potential or _potential(wiring, e), []).append(e)
    records = {c.id: c for c in wiring.connections}
    return tuple(
        CheckLine(
            w.id, w.number, w.from_end, w.to_end, _marking(w), _dead(records[w.id], cables),
            _telling(by_potential.get(w.number, ()) if w.number else ()),
        )
        for w in wire_list(wiring)
    )  # fmt: skip


def _potential(wiring: Wiring, e: Expected) -> str:
    return next((c.potential for c in wiring.connections if c.id == e.connection), "")


def _marking(w: WireLine) -> str:
    core = f"{w.cable} {w.core}" if w.cable else ""
    return " ".join(word for word in (core, w.colour, w.size) if word)


def _dead(c: Connection, cables: Mapping[str, WireCable]) -> str:
    if c.kind is Kind.SCREEN:
        open_end = c.b.terminal == "insulated"
        return "cut back and insulated, over 1 MΩ to earth" if open_end else "landed all round, at most 1 Ω to earth"
    if c.kind in {Kind.LINK, Kind.BRIDGE}:
        return "fitted"
    return f"{_end_to_end(cables.get(c.core.cable) if c.core else None, c)}, open to its neighbours"


def _end_to_end(cable: WireCable | None, c: Connection) -> str:
    """Limit of the ohms end to end; a long core has more than a loose wire."""
    if c.kind is not Kind.CORE:
        return f"at most {_CONTACTS_OHM:g} Ω end to end"
    if cable is None or cable.length_m is None or not (size := c.size or cable.size):
        return "closed end to end, ohms noted (no limit: length or size of the cable open)"
    ohm = conductor_ohm(cable.length_m, parse_conductor(size, data=True).area_mm2) + _CONTACTS_OHM
    return f"at most {ohm:.1f} Ω end to end: {cable.length or f'{cable.length_m:g} m'} of {size}"


def _telling(readings: list[Expected] | tuple[Expected, ...]) -> tuple[tuple[str, str, str], ...]:
    """The first reading of each level, in order."""
    seen: set[str] = set()
    found = []
    for e in readings:
        text = e.text()
        if text not in seen:
            seen.add(text)
            found.append((" to ".join(e.between), e.state, text))
    return tuple(found)


def label_schedule(wiring: Wiring) -> tuple[LabelLine, ...]:
    """Return every marker and label: wire markers at both ends, strip, cable and device labels, legend plates.

    Notes
    -----
    Engraved texts are as written on the drawing. A circuit that stays live with the drive isolated
    gets its warning (NFPA 79 13.2.4 and 16, from memory, check).
    """
    found: list[LabelLine] = []
    for c in wiring.connections:
        if c.kind in {Kind.WIRE, Kind.CORE, Kind.JUMPER}:
            found += (LabelLine(str(end), c.potential, "wire marker") for end in (c.a, c.b))
    for s in wiring.strips:
        found.append(LabelLine(s.place, s.tag, s.kind))
        if s.kind == "terminal strip":
            found += (LabelLine(f"{s.tag}:{t}", t, "terminal marker") for t in s.terminals)
    found += (LabelLine(f"{k.tag}, both ends", k.tag, "cable label", 2) for k in wiring.cables)
    for d in sorted(wiring.devices, key=lambda d: natural_key(d.tag)):
        found.append(LabelLine(d.place, d.tag, "device label"))
        if d.legend:
            found.append(LabelLine(d.tag, d.legend, "legend plate"))
    foreign = sorted({s for c in wiring.connections if c.colour in {"OG", "WHOG"} for s in [c.scheme]})
    found += (
        LabelLine(wiring.inside[0] if wiring.inside else "", f"LIVE WITH {wiring.drive} OFF: {s}", "warning label")
        for s in foreign
    )
    return tuple(found)


def switch_table(wiring: Wiring) -> tuple[tuple[str, str], ...]:
    """Return hardware switches and jumpers with their position, links between drive terminals included."""
    links = (
        (f"link {c.a} to {c.b}", f"fitted ({c.scheme})" if c.scheme else "fitted")
        for c in wiring.connections
        if c.kind is Kind.LINK
    )
    return (*wiring.switches, *links)
