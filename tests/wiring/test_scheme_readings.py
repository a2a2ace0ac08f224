"""Expected readings and broken-wire table against an independent nodal analysis, both logics."""

from __future__ import annotations

import re
from itertools import product

import pytest
from invented_drives import COMPLETE, FULL, wire
from nodal import Bench

from binder.wiring.connections import Expected, Hazard, Kind, Wiring

_CONTACT_SCHEMES = ("CS01", "CS02", "CS03", "CS04", "CS05", "CS06", "CS11", "CS12", "CS16", "CS17", "CS21", "CS31")
_ANALOG_SCHEMES = ("CS07", "CS08", "CS09", "CS10")
_BOTH = [(code, logic) for code in (*_CONTACT_SCHEMES, *_ANALOG_SCHEMES) for logic in ("positive", "negative")]
_SIZES = ("12", "24", "40")


def _set(bench: Bench, state: str) -> bool:
    """Put the bench into a printed state; False when the state says nothing of devices."""
    bench.states = {d.tag: d.rest for d in bench.w.devices if d.states}
    percent = re.search(r"([\d.]+) %", state)
    if percent:
        bench.percent = float(percent[1])
        return True
    if state not in {"at rest", "powered", "line off, control supply on"}:
        for word in state.split(", "):
            tag, _, name = word.replace(" in ", " ").partition(" ")
            assert tag in bench.states, state
            bench.states[tag] = name
    return True


def _check(bench: Bench, e: Expected) -> None:
    _set(bench, e.state)
    if e.unit == "mA":
        terminal = next(
            f"{bench.w.designation}:{t.number}" for t in bench.w.terminals
            if t.role == "AI" and any(
                c.id == e.connection and f"{bench.w.designation}:{t.number}" in {str(c.a), str(c.b)}
                for c in bench.w.connections
            )
        )  # fmt: skip
        read = bench.milliamperes(terminal)
    else:
        read = bench.volts(*e.between)
    low = -1e9 if e.low is None else e.low
    high = 1e9 if e.high is None else e.high
    assert low <= read <= high, f"{e.between} {e.state}: expected {e.text()}, solved {read:.3f} {e.unit}"


@pytest.mark.parametrize("size", _SIZES)
@pytest.mark.parametrize(("code", "logic"), _BOTH, ids=[f"{c} {g}" for c, g in _BOTH])
def test_every_reading_agrees_with_kirchhoff(code: str, logic: str, size: str) -> None:
    wiring = wire(COMPLETE[code], size, logic=logic)
    bench = Bench(wiring)
    electrical = [e for e in wiring.expected if e.unit in {"V", "mA"}]
    assert len(electrical) >= 6
    for e in electrical:
        _check(bench, e)


@pytest.mark.parametrize("logic", ["positive", "negative"])
def test_everything_on_one_drive_agrees_with_kirchhoff(logic: str) -> None:
    wiring = wire(FULL, "40", logic=logic)
    bench = Bench(wiring)
    for e in wiring.expected:
        if e.unit in {"V", "mA"}:
            _check(bench, e)


def test_potentiometer_middle_is_loaded_by_the_input() -> None:
    wiring = wire(COMPLETE["CS01"], "24")
    middle = next(e for e in wiring.expected if e.state == "reference 50 %")
    # textbook divider: 5 V from 2.5 kΩ and 2.5 kΩ with 20 kΩ across the lower half
    assert middle.value == pytest.approx(10 * (2500 * 20000 / 22500) / (2500 + 2500 * 20000 / 22500), abs=0.005)


def test_transmitter_keeps_its_volts_at_20_ma() -> None:
    wiring = wire(COMPLETE["CS10"], "24")
    reading = next(e for e in wiring.expected if e.unit == "V" and e.between[0].startswith("-B1") and "100" in e.state)
    # 24 V - 20 mA x (250 Ω + 2 x 100 m / 56 / 0.75 mm²)
    assert reading.value == pytest.approx(24 - 0.020 * (250 + 200 / 56 / 0.75), abs=0.01)


# broken wires


def _states(wiring: Wiring) -> list[dict[str, str]]:
    devices = [d for d in wiring.devices if d.states]
    return [dict(zip((d.tag for d in devices), c, strict=True)) for c in product(*(d.states for d in devices))]


def _faulty(wiring: Wiring, hazard: Hazard) -> Bench:
    bench = Bench(wiring)
    c = next(c for c in wiring.connections if c.id == hazard.connection)
    if hazard.fault == "open":
        bench.missing.add(c.id)
    else:
        rail = {"short to 0 V": "N24", "short to +24 V": "P24", "short to +10 V": "R10"}[hazard.fault]
        bench.shorts.append((str(c.a), bench.role(rail)[0]))
    return bench


def _verdict(wiring: Wiring, hazard: Hazard) -> str:
    """What the solved circuit says of a fault on a contact conductor, in the words of the table."""
    sound, faulty = Bench(wiring), _faulty(wiring, hazard)
    guards = {d.tag: d.rest for d in wiring.devices
              if d.states and not d.positions and any(ch[d.states.index(d.rest)] for ch in d.closed_in)}  # fmt: skip
    runs = {"run_forward", "run_reverse", "jog", "start_pulse"}
    gained_free: set[str] = set()
    gained: set[str] = set()
    lost: set[str] = set()
    for state in _states(wiring):
        sound.states = faulty.states = state
        before, after = sound.active(), faulty.active()
        gained |= after - before
        lost |= before - after
        if all(state[tag] == rest for tag, rest in guards.items()):
            gained_free |= after - before
    if gained_free & runs:
        return "starts"
    for words, functions in (("stop ineffective", {"stop_enable"}),
                             ("permissive ineffective", runs | {"run_permit", "enable"}),
                             ("one safety channel lost", {"safe_torque_off_1", "safe_torque_off_2"})):  # fmt: skip
        if gained & functions:
            return words
    if lost & {"run_forward", "run_reverse", "jog", "stop_enable", "enable", "run_permit", "safe_torque_off_1",
               "safe_torque_off_2"}:  # fmt: skip
        return "stops"
    if "start_pulse" in lost:
        return "no start"
    return "other speed" if lost | gained else "no change"


_FAULTS = [(code, logic) for code in ("CS01", "CS02", "CS04", "CS05", "CS12", "CS16", "CS17")
           for logic in ("positive", "negative")]  # fmt: skip


@pytest.mark.parametrize(("code", "logic"), _FAULTS, ids=[f"{c} {g}" for c, g in _FAULTS])
def test_contact_faults_agree_with_kirchhoff(code: str, logic: str) -> None:
    wiring = wire(COMPLETE[code], "24", logic=logic)
    kinds = {c.id: c.signal.value for c in wiring.connections}
    judged = [h for h in wiring.hazards if kinds[h.connection] in {"24 V digital", "safety"}]
    assert len(judged) >= 6
    for h in judged:
        if h.result == "stops" and "24 V supply" in h.noticed:
            continue  # the dead supply takes every input: judged below
        assert h.result == _verdict(wiring, h), (h.connection, h.fault, h.effect)


@pytest.mark.parametrize("logic", ["positive", "negative"])
def test_shorted_supply_is_noticed_as_such(logic: str) -> None:
    wiring = wire(COMPLETE["CS01"], "24", logic=logic)
    told = [h for h in wiring.hazards if "24 V supply" in h.noticed]
    assert told
    for h in told:
        faulty = _faulty(wiring, h)
        dead = []
        for state in _states(wiring):
            faulty.states = state
            faulty.solve()
            dead.append(not faulty.live["24"])
        assert any(dead), h


def _analog_verdict(wiring: Wiring, hazard: Hazard) -> str:
    sound, faulty = Bench(wiring), _faulty(wiring, hazard)
    terminal = next(f"{wiring.designation}:{t.number}" for t in wiring.terminals
                    if t.role == "AI" and t.function)  # fmt: skip
    zero = sound.role("A0")[0]
    before, after = sound.solve(), faulty.solve()
    if not faulty.live["24"]:
        return "stops"
    if sound.load(terminal) == 250.0:
        now = (after[terminal] - after[zero]) / 250 * 1000
        was = (before[terminal] - before[zero]) / 250 * 1000
        words = (("signal lost", now < 3.6), ("full speed", now > 20), ("no change", abs(now - was) < 0.3))
    else:
        now, was = after[terminal] - after[zero], before[terminal] - before[zero]
        words = (("zero speed", now < 0.5), ("full speed", now > 8), ("no change", abs(now - was) < 0.1))
    return next((word for word, holds in words if holds), "something else")


@pytest.mark.parametrize("code", ["CS07", "CS08", "CS09", "CS10"])
def test_analog_faults_agree_with_kirchhoff(code: str) -> None:
    wiring = wire(COMPLETE[code], "24")
    kinds = {c.id: c for c in wiring.connections}
    judged = [h for h in wiring.hazards if kinds[h.connection].signal.value == "analog"]
    assert len(judged) >= 5
    for h in judged:
        if h.result == "unknown speed":
            continue  # floats: no circuit can say
        assert h.result == _analog_verdict(wiring, h), (h.connection, h.fault)


def test_open_low_end_of_a_potentiometer_is_the_dangerous_one() -> None:
    wiring = wire(COMPLETE["CS07"], "24")
    low_end = next(c.id for c in wiring.connections if "-R1:3" in {str(c.a), str(c.b)} and c.kind is not Kind.SCREEN)
    worst = next(h for h in wiring.hazards if h.connection == low_end and h.fault == "open")
    assert (worst.result, worst.dangerous, worst.noticed) == ("full speed", True, "")


def test_earth_fault_starts_only_with_negative_logic() -> None:
    """IEC 60204-1 9.4.3 (from memory): the reason to prefer positive logic."""
    for logic, starts in (("positive", False), ("negative", True)):
        wiring = wire(COMPLETE["CS01"], "24", logic=logic)
        assert any(h.result == "starts" for h in wiring.hazards if h.fault == "short to 0 V") is starts


def test_bridged_fault_contact_is_told_once_as_dangerous() -> None:
    wiring = wire(COMPLETE["CS14"], "24")
    (bridged,) = (h for h in wiring.hazards if h.fault == "short to the other wire")
    assert (bridged.effect, bridged.noticed, bridged.dangerous) == ("no fault of the drive is ever reported", "", True)


@pytest.mark.parametrize(
    ("scheme", "effect", "dangerous"),
    [
        ("CS23", "running is reported or acts all the time", False),
        ("CS19", "the brake stays open: nothing holds the load at standstill", True),
    ],
)
def test_bridged_contacts_of_other_relays_are_told(scheme: str, effect: str, dangerous: bool) -> None:
    wiring = wire(COMPLETE[scheme], "24")
    told = [(h.effect, h.dangerous) for h in wiring.hazards if h.fault == "short to the other wire"]
    assert (effect, dangerous) in told
