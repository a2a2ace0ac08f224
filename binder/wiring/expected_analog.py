"""Readings of potentiometers, voltage and current signals, and analog outputs."""

from __future__ import annotations

from collections.abc import Iterator

from binder.engineering.control_supply import conductor_ohm, volts_at_transmitter
from binder.engineering.speed_reference import loaded_wiper_percent, signal_at
from binder.inventory.conductor_sizes import parse_conductor
from binder.wiring.assembly import Assembly
from binder.wiring.connections import Connection, DriveTerminal, End, Expected, Kind, Wiring
from binder.wiring.demands import FORMATS, analog_place
from binder.wiring.scheme_rows import SchemeRow

_PERCENTS = (0.0, 25.0, 50.0, 75.0, 100.0)
_POT_SUPPLY_V = 10.0


def analog_readings(a: Assembly, wiring: Wiring) -> Iterator[Expected]:
    """Yield the readings of every analog signal at 0, 25, 50, 75 and 100 %.

    Parameters
    ----------
    a : Assembly
    wiring : Wiring

    Yields
    ------
    Expected
        Volts at the input; milliamperes in series with the conductor to the input, and the volts
        they make across the input's burden where that is known.
    """
    zero = next((t for t in wiring.terminals if t.role == "A0"), None)
    for row in a.rows:
        place = analog_place(a, row)
        if place is None or zero is None or row.recipe.analog not in FORMATS:
            continue
        terminal = next(t for t in wiring.terminals if t.number == place.terminals[0].terminal)
        yield from _input(a, wiring, row, terminal, zero)
    for t in wiring.terminals:
        if t.role == "AO" and t.function and zero:
            yield from _output(wiring, t, zero)


def _input(
    a: Assembly, wiring: Wiring, row: SchemeRow, terminal: DriveTerminal, zero: DriveTerminal
) -> Iterator[Expected]:
    wire = _wire(wiring, terminal)
    if wire is None:
        return
    between = (_point(wiring, terminal), _point(wiring, zero))
    if row.recipe.analog == "potentiometer":
        for percent, volts, tolerance in _potentiometer(a, row):
            yield Expected(between, f"reference {percent:g} %", volts, "V", tolerance, wire.id,
                           potential=wire.potential)  # fmt: skip
        return
    form = FORMATS[row.recipe.analog]
    for percent in _PERCENTS:
        value = signal_at(form, percent)
        state = f"{_word(terminal)} {percent:g} %"
        if form.endswith("V"):
            yield Expected(between, state, value, "V", 0.1, wire.id, potential=wire.potential)
        else:
            yield from _current(a, wiring, row, wire, between, state, value)


def _word(terminal: DriveTerminal) -> str:
    return "feedback" if terminal.function == "process_feedback" else "reference"


def _potentiometer(a: Assembly, row: SchemeRow) -> Iterator[tuple[float, float, float]]:
    """Wiper volts with the input's load; ends always, the middle only where both resistances are known."""
    track, load = row.control.value, a.model.analog_voltage_impedance if a.model else None
    known = track is not None and track.unit in {"Ω", "kΩ"} and track.amount > 0 and load is not None
    for percent in _PERCENTS:
        if percent in {0.0, 100.0}:
            # clean ends: 0.1 V left, the supply's own 2 % at full turn; common practice, no source
            yield percent, _POT_SUPPLY_V * percent / 100.0, 0.1 if percent == 0.0 else 0.2
        elif known and track is not None and load is not None:
            share = loaded_wiper_percent(percent, track.to("Ω"), load.to("Ω"))
            yield percent, round(_POT_SUPPLY_V * share / 100.0, 2), 0.5  # scale and track: 5 % of turn


def _current(
    a: Assembly, wiring: Wiring, row: SchemeRow, wire: Connection, between: tuple[str, str], state: str,
    milliamperes: float,
) -> Iterator[Expected]:  # fmt: skip
    ends = (str(wire.a), str(wire.b))
    yield Expected(ends, state, milliamperes, "mA", 0.05, wire.id, potential=wire.potential)
    burden = a.model.analog_current_burden.to("Ω") if a.model and a.model.analog_current_burden else None
    if burden is None:
        return
    yield Expected(between, state, round(burden * milliamperes / 1000.0, 3), "V", 0.05, wire.id,
                   potential=wire.potential)  # fmt: skip
    device = row.devices.get("B", "")
    if row.recipe.analog == "4-20 mA loop" and device:
        across = (f"{device}:{row.given['B:+']}", f"{device}:{row.given['B:-']}")
        ohm = loop_ohm(wiring, device)
        if ohm is not None:
            volts = volts_at_transmitter(24.0, burden, ohm, milliamperes)
            yield Expected(across, state, round(volts, 2), "V", 1.5, wire.id, potential=wire.potential)


def loop_ohm(wiring: Wiring, device: str) -> float | None:
    """Return the resistance of the cores that lead to a device and back; None when a length is missing."""
    total = 0.0
    for c in wiring.connections:
        if c.kind is Kind.CORE and device in {c.a.device, c.b.device}:
            cable = next((k for k in wiring.cables if c.core and k.tag == c.core.cable), None)
            if cable is None or cable.length_m is None or not cable.size:
                return None
            total += conductor_ohm(cable.length_m, parse_conductor(cable.size, data=True).area_mm2)
    return total


def _output(wiring: Wiring, terminal: DriveTerminal, zero: DriveTerminal) -> Iterator[Expected]:
    wire = _wire(wiring, terminal)
    form = next((d.value for d in wiring.demands
                 if d.function == "analog_output_format" and d.applies_to == terminal.label), "")  # fmt: skip
    if wire is None or not form:
        return
    for percent in _PERCENTS:
        value, state = signal_at(form, percent), f"output {percent:g} %"
        if form.endswith("V"):
            yield Expected((_point(wiring, terminal), _point(wiring, zero)), state, value, "V", 0.1, wire.id,
                           potential=wire.potential)  # fmt: skip
        else:
            yield Expected((str(wire.a), str(wire.b)), state, value, "mA", 0.2, wire.id, potential=wire.potential)


def _wire(wiring: Wiring, terminal: DriveTerminal) -> Connection | None:
    end = End(wiring.designation, terminal.number)
    return next((c for c in wiring.connections if c.kind is not Kind.SCREEN and end in {c.a, c.b}), None)


def _point(wiring: Wiring, terminal: DriveTerminal) -> str:
    return f"{wiring.designation}:{terminal.number}"
