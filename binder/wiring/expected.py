"""What a meter should show at every point of the wiring in every state, computed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from binder.wiring.assembly import Assembly
from binder.wiring.circuit import Circuit, circuit_of
from binder.wiring.connections import Connection, DriveTerminal, End, Expected, Kind, Wiring
from binder.wiring.expected_analog import analog_readings
from binder.wiring.vocabulary import FAIL_SAFE

#: Limits: 24 V within 5 % (control_supply practice), an open input below 1 V on a meter, the end of
#: a string of permissives at least 20 V, an input loop at most 20 Ω; common practice, no source.
SUPPLY_V, SUPPLY_TOLERANCE_V = 24.0, 1.2
_ZERO_TOLERANCE_V = 1.0
_PULLED_TOLERANCE_V = 2.0
_STRING_END_V = 20.0

#: Motor thermistors cold, three in series: 60 to 750 Ω (DIN 44081: at most 250 Ω each, from memory, check).
_COLD_LOW_OHM, _COLD_HIGH_OHM = 60.0, 750.0


def expected_readings(a: Assembly, wiring: Wiring) -> tuple[Expected, ...]:
    """Return the expected meter readings of one drive.

    Parameters
    ----------
    a : Assembly
    wiring : Wiring
        With conductors marked.

    Returns
    -------
    tuple of Expected
        Supplies, then contacts by drive terminal, relays, sensors, analog signals.

    Notes
    -----
    Volts of contacts are read against 0 V of their supply. A conductor carries the readings of its
    potential: what proves it is the pair of states in which they differ.
    """
    circuit = circuit_of(wiring)
    zero = _zero_point(wiring)
    found = [*_supplies(wiring, zero), *_contacts(wiring, circuit, zero), *_relays(wiring), *_sensors(wiring),
             *analog_readings(a, wiring)]  # fmt: skip
    return tuple(found)


def point(wiring: Wiring, terminal: DriveTerminal) -> str:
    """Return a drive terminal as printed, '-T1:13'."""
    return f"{wiring.designation}:{terminal.number}"


def by_role(wiring: Wiring, role: str) -> DriveTerminal | None:
    """Return the first drive terminal of a role."""
    return next((t for t in wiring.terminals if t.role == role), None)


def landing(wiring: Wiring, end: End) -> Connection | None:
    """Return the first conductor that lands on an end."""
    return next((c for c in wiring.connections if c.kind is not Kind.SCREEN and end in {c.a, c.b}), None)


def _zero_point(wiring: Wiring) -> str:
    if wiring.supply == "external":
        supply = next((d for d in wiring.devices if d.kind == "power supply"), None)
        outer = next((s for s in wiring.strips if s.kind == "control supply" and "24-" in s.terminals), None)
        if supply:
            return f"{supply.tag}:{next(m for m in supply.terminals if m.endswith('-'))}"
        if outer:
            return f"{outer.tag}:24-"
    zero = by_role(wiring, "N24") or by_role(wiring, "DIC") or by_role(wiring, "A0")
    return point(wiring, zero) if zero else "0 V"


def _supplies(wiring: Wiring, zero: str) -> Iterator[Expected]:
    plus, minus = by_role(wiring, "P24"), by_role(wiring, "N24")
    if plus and minus:
        yield Expected(
            (point(wiring, plus), point(wiring, minus)), "powered", SUPPLY_V, "V", SUPPLY_TOLERANCE_V,
            _id(landing(wiring, End(wiring.designation, plus.number))),
        )  # fmt: skip
    supply = next((d for d in wiring.devices if d.kind == "power supply"), None)
    if supply:
        positive = next(m for m in supply.terminals if m.endswith("+"))
        yield Expected((f"{supply.tag}:{positive}", zero), "line off, control supply on", SUPPLY_V, "V",
                       SUPPLY_TOLERANCE_V, _id(landing(wiring, End(supply.tag, positive))))  # fmt: skip
    ten, analog_zero = by_role(wiring, "R10"), by_role(wiring, "A0")
    if ten and analog_zero:
        yield Expected((point(wiring, ten), point(wiring, analog_zero)), "powered", 10.0, "V", 0.2,
                       _id(landing(wiring, End(wiring.designation, ten.number))))  # fmt: skip


def _id(connection: Connection | None) -> str:
    return connection.id if connection else ""


def _contacts(wiring: Wiring, circuit: Circuit, zero: str) -> Iterator[Expected]:
    """Volts of every potential between the rails and the inputs, in each of its states."""
    terminals = {End(wiring.designation, t.number): t for t in wiring.terminals}
    seen: set[str] = set()
    told = {e.between[0] for e in _supplies(wiring, zero)}
    live = _reached(circuit)
    for c in _by_terminal(wiring, terminals):
        node = circuit.node(c.a)
        if c.kind is Kind.SCREEN or node in seen or node not in live or node == circuit.node(_end(zero)):
            continue
        seen.add(node)
        ends = [e for x in wiring.connections if x.potential == c.potential for e in (x.a, x.b)]
        here = min(ends, key=lambda e: (e not in terminals, terminals[e].order if e in terminals else 0))
        string_end = here in terminals and terminals[here].function in FAIL_SAFE
        rail = node in circuit.plus or node in circuit.zero
        for state in () if rail and str(here) in told else circuit.states(node)[:1] if rail else circuit.states(node):
            yield _reading(circuit, c, node, (str(here), zero), state, string_end=string_end)


def _end(printed: str) -> End:
    device, _, terminal = printed.rpartition(":")
    return End(device, terminal)


def _by_terminal(wiring: Wiring, terminals: dict[End, DriveTerminal]) -> Sequence[Connection]:
    def order(c: Connection) -> int:
        return min((terminals[e].order for e in (c.a, c.b) if e in terminals), default=len(terminals))

    return sorted(wiring.connections, key=order)


def _reached(circuit: Circuit) -> frozenset[str]:
    """Nodes that contacts can join to a rail of the inputs or to an input: the contact world."""
    joined = circuit.groups({}, [(e.a, e.b) for e in circuit.edges])
    roots = {joined.root(n) for n in (*circuit.plus, *circuit.zero, *circuit.inputs, *circuit.safety)}
    return frozenset(n for n in circuit.nodes() if joined.root(n) in roots)


def _reading(
    circuit: Circuit, c: Connection, node: str, between: tuple[str, str], state: dict[str, str], *, string_end: bool
) -> Expected:
    high = node in circuit.high(state)[0]
    name = "powered" if node in circuit.plus or node in circuit.zero else circuit.name(state, node)
    if high and string_end and (node in circuit.safety or not circuit.pull_high):
        return Expected(between, name, _STRING_END_V, "V", 0.0, c.id, "at least", c.potential)
    if not high:
        return Expected(between, name, 0.0, "V", _ZERO_TOLERANCE_V, c.id, "about", c.potential)
    joined = circuit.groups(state)
    driven = joined.root(node) in {joined.root(n) for n in circuit.plus}
    tolerance = SUPPLY_TOLERANCE_V if driven else _PULLED_TOLERANCE_V
    return Expected(between, name, SUPPLY_V, "V", tolerance, c.id, "about", c.potential)


def _relays(wiring: Wiring) -> Iterator[Expected]:
    """Ohms of the relay contacts in use, conductors lifted at one side."""
    active = {"fault": "no fault", "run": "running", "brake_release": "brake released", "start_next": "next one asked"}
    for common in (t for t in wiring.terminals if t.role.startswith("RO") and t.role.endswith(".C") and t.function):
        relay = common.role.partition(".")[0]
        for t in wiring.terminals:
            wire = landing(wiring, End(wiring.designation, t.number))
            if not t.role.startswith(relay + ".") or t is common or wire is None:
                continue
            word = active.get(common.function, common.function.replace("_", " "))
            closed = t.role.endswith(".NO")
            between = (point(wiring, t), point(wiring, common))
            for state, on in ((word, True), ("power off", False)):
                if on is closed:
                    yield Expected(between, state, 1.0, "Ω", 0.0, wire.id, "at most", wire.potential)
                else:
                    yield Expected(between, state, 1.0, "MΩ", 0.0, wire.id, "at least", wire.potential)


def _sensors(wiring: Wiring) -> Iterator[Expected]:
    """Ohms of cold thermistors. Nobody heats a motor for a reading: a decade box proves the trip."""
    plus, minus = by_role(wiring, "PTC+"), by_role(wiring, "PTC-")
    relay = next((d for d in wiring.devices if d.kind == "thermistor relay"), None)
    if plus and minus and plus.function:
        between, end = (point(wiring, plus), point(wiring, minus)), End(wiring.designation, plus.number)
    elif relay:
        between, end = (f"{relay.tag}:T1", f"{relay.tag}:T2"), End(relay.tag, "T1")
    else:
        yield from _network(wiring)
        return
    wire = landing(wiring, end)
    middle = (_COLD_LOW_OHM + _COLD_HIGH_OHM) / 2
    yield Expected(between, "motor cold, conductors lifted", middle, "Ω", middle - _COLD_LOW_OHM, _id(wire),
                   potential=wire.potential if wire else "")  # fmt: skip
    yield from _network(wiring)


def _network(wiring: Wiring) -> Iterator[Expected]:
    """Two terminators of 120 Ω in parallel across the pair, power off; TIA-485 practice, from memory, check."""
    a, b = by_role(wiring, "BUS.A"), by_role(wiring, "BUS.B")
    wire = landing(wiring, End(wiring.designation, a.number)) if a else None
    if a and b and wire:
        yield Expected((point(wiring, a), point(wiring, b)), "all nodes off", 60.0, "Ω", 6.0, wire.id,
                       potential=wire.potential)  # fmt: skip
