"""What a broken or shorted conductor does, and who notices: computed from the wiring."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from binder.wiring.assembly import Assembly
from binder.wiring.circuit import Circuit, State, circuit_of, is_guard, state_words
from binder.wiring.connections import Connection, Hazard, Kind, Signal, Wiring
from binder.wiring.hazards_analog import analog_hazards
from binder.wiring.vocabulary import TERMINAL_FUNCTIONS, function_name

OPEN, TO_ZERO, TO_PLUS = "open", "short to 0 V", "short to +24 V"
ACROSS = "short to the other wire"  # of a relay contact

_RUNS = frozenset(k for k, f in TERMINAL_FUNCTIONS.items() if f.commands and k != "start_pulse")
_SAFETY = frozenset({"safe_torque_off_1", "safe_torque_off_2"})
_STOPS = frozenset({"stop_enable", "run_permit", "enable"}) | _SAFETY

#: Worst first: what becomes active that should not be, with result and effect.
_GAINED: tuple[tuple[frozenset[str], str, str], ...] = (
    (frozenset({"stop_enable"}), "stop ineffective", "the stop button no longer stops the drive"),
    (_RUNS | {"run_permit", "enable", "start_pulse"}, "permissive ineffective",
     "an open permissive no longer stops the drive"),
    (_SAFETY, "one safety channel lost", "one of the two safety channels stays closed"),
    (frozenset({"external_fault"}), "protection ineffective", "the protection no longer trips the drive"),
)  # fmt: skip

#: Function of a relay -> what it does with its make contact bridged, whether that is dangerous, result.
_BRIDGED = {  # a fault relay is energized while healthy: bridged, it stays closed in a fault
    "fault": ("no fault of the drive is ever reported", True, "no alarm"),
    "brake_release": ("the brake stays open: nothing holds the load at standstill", True, "brake open"),
}


@dataclass(frozen=True, slots=True)
class _Change:
    """What one fault changes over all states: function -> first state in which it does."""

    lost: dict[str, str]
    gained: dict[str, str]  # while no guard is open: nothing but this fault speaks for it
    gained_guarded: dict[str, str]  # although a guard is open
    shorted: bool


def broken_wires(a: Assembly, wiring: Wiring) -> tuple[Hazard, ...]:
    """Return the single faults of every conductor and what each does.

    Parameters
    ----------
    a : Assembly
    wiring : Wiring
        With conductors marked.

    Returns
    -------
    tuple of Hazard
        A break for each conductor; a short once for each potential, at its first conductor.

    Notes
    -----
    Contacts: every state of every operator and guard is compared with and without the fault.
    Analog signals by the kind of signal. A conductor that leads nowhere is left out.
    """
    circuit = circuit_of(wiring)
    states = _states(circuit)
    normal = [circuit.active(s)[0] for s in states]
    analog = analog_hazards(a, wiring)
    contacts = _contact_nodes(circuit)
    found: list[Hazard] = []
    shorts: set[str] = set()
    for c in wiring.connections:
        if c.kind in {Kind.SCREEN, Kind.LINK, Kind.BRIDGE}:  # solid pieces: not counted among what breaks
            continue
        first = c.potential not in shorts
        shorts.add(c.potential)
        if c.id in analog:
            found += (h for h in analog[c.id] if h.fault == OPEN or first)
        elif c.signal in {Signal.RELAY, Signal.NETWORK}:
            found += _other(wiring, c, shorts=first)
        elif c.signal is Signal.ANALOG and circuit.node(c.a) not in contacts:
            found.append(Hazard(c.id, OPEN, "the signal is lost", "", False, "signal lost"))
        elif c.signal is Signal.SENSOR and circuit.node(c.a) not in contacts:
            found += _sensor(c)
        else:
            found += _contact_faults(circuit, c, states, normal, shorts=first)
    return tuple(found)


def _contact_nodes(circuit: Circuit) -> frozenset[str]:
    return frozenset(n for e in circuit.edges for n in (e.a, e.b))


def _states(circuit: Circuit) -> tuple[State, ...]:
    """Every state in which some input is read, once each."""
    found = chain.from_iterable(circuit.states(n) for n in (*circuit.inputs, *circuit.safety))
    return tuple({tuple(sorted(s.items())): s for s in found}.values()) or (circuit.rest(),)


def _compare(circuit: Circuit, states: Sequence[State], normal: Sequence[frozenset[str]],
             extra: tuple[tuple[str, str], ...] = ()) -> _Change:  # fmt: skip
    change = _Change({}, {}, {}, False)
    shorted = False
    guards = {d.tag: d.rest for d in circuit.wiring.devices if is_guard(d)}
    for state, before in zip(states, normal, strict=True):
        after, short = circuit.active(state, extra)
        shorted = shorted or short
        opened = any(state[tag] != rest for tag, rest in guards.items())
        for functions, found in ((before - after, change.lost),
                                 (after - before, change.gained_guarded if opened else change.gained)):  # fmt: skip
            if functions - found.keys():
                words = ", ".join(
                    state_words(d, state[d.tag]) for d in circuit.wiring.devices
                    if d.states and (d.tag not in guards or state[d.tag] != d.rest)
                )  # fmt: skip
                found.update({f: words for f in functions if f not in found})
    return replace(change, shorted=shorted)


def _contact_faults(
    circuit: Circuit, c: Connection, states: Sequence[State], normal: Sequence[frozenset[str]], *, shorts: bool
) -> Iterator[Hazard]:  # fmt: skip
    yield _hazard(c.id, OPEN, _compare(circuit.opened(c), states, normal))
    if not shorts:
        return
    node = circuit.node(c.a)
    for fault, rails in ((TO_ZERO, circuit.zero), (TO_PLUS, circuit.plus)):
        if rails:
            extra = () if node in rails else ((node, min(rails)),)
            yield _hazard(c.id, fault, _compare(circuit, states, normal, extra))


def _hazard(id_: str, fault: str, change: _Change) -> Hazard:
    running = sorted(change.gained.keys() & (_RUNS | {"start_pulse"}))
    if running:
        effect = f"the drive starts without a command ({change.gained[running[0]]})"
        return Hazard(id_, fault, effect, "", True, "starts")
    gained = change.gained | change.gained_guarded
    for functions, result, effect in _GAINED:
        if gained.keys() & functions:
            noticed = "the drive, when the other channel opens (discrepancy)" if functions is _SAFETY else ""
            return Hazard(id_, fault, effect, noticed, True, result)
    result, effect, noticed = _lost(change)
    return Hazard(id_, fault, effect, noticed, False, result)


def _lost(change: _Change) -> tuple[str, str, str]:
    """Result, effect and who notices, of a fault that makes nothing active that should not be."""
    lost = frozenset(change.lost)
    halted = lost & (_STOPS | _RUNS)
    names = ", ".join(function_name(f) for f in sorted(halted or lost | change.gained.keys()))
    wordings = (
        (change.shorted, "stops", "the 24 V supply is shorted, at the latest when a contact closes: every input drops",
         "the drive: 24 V supply overloaded"),
        (bool(lost & _SAFETY), "stops", "the torque goes and the motor coasts", "the drive: safe torque off"),
        (bool(halted), "stops", f"the drive stops or cannot start: {names} lost", "the operator"),
        ("external_fault" in lost, "stops", "the drive trips", "the drive: external fault"),
        ("start_pulse" in lost, "no start", "the drive cannot be started; stop still works", "the operator"),
        (bool(names), "other speed", f"other speed or mode: {names} wrong", ""),
        (True, "no change", "nothing changes", ""),
    )  # fmt: skip
    return next((result, effect, noticed) for holds, result, effect, noticed in wordings if holds)


def _other(wiring: Wiring, c: Connection, *, shorts: bool) -> Iterator[Hazard]:
    """Relay circuits and serial lines: what a break does, and a short across a make contact of the drive."""
    if c.signal is Signal.NETWORK:
        effect = "the network is lost: reaction as the sheet Networks says"
        yield Hazard(c.id, OPEN, effect, "the drive, after its timeout", False, "network lost")
        return
    function, role = _relay_contact(wiring, c)
    what = function_name(function) if function else "the device"
    if function == "fault":
        yield Hazard(c.id, OPEN, "a fault is reported although there is none", "whoever watches the alarm", False,
                     "false alarm")  # fmt: skip
    else:
        yield Hazard(c.id, OPEN, f"{what} is not reported or does not act", "", False, "no report")
    if shorts and role.endswith(".NO"):
        generic = (f"{what} is reported or acts all the time", False, "false report")
        effect, dangerous, result = _BRIDGED.get(function, generic)
        yield Hazard(c.id, ACROSS, effect, "", dangerous, result)


def _relay_contact(wiring: Wiring, c: Connection) -> tuple[str, str]:
    """Function and terminal role of the drive's relay contact on this potential; '' when there is none."""
    ends = {e for x in wiring.connections if x.potential == c.potential for e in (x.a, x.b)}
    reports = ((t.function, t.role) for t in wiring.terminals
               if t.role.startswith("RO") and t.function
               and any(e.device == wiring.designation and e.terminal == t.number for e in ends))  # fmt: skip
    return next(reports, ("", ""))


def _sensor(c: Connection) -> Iterator[Hazard]:
    yield Hazard(c.id, OPEN, "reads as a hot motor: the drive trips", "the drive", False, "stops")
    effect = "reads as a cold motor: no protection, unless the input detects a short (below about 50 Ω)"
    yield Hazard(c.id, TO_ZERO, effect, "", True, "protection ineffective")
