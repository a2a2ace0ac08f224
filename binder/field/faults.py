"""Fault finding by symptom: checks in order, with what a meter shows at this drive's own terminals."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from binder.engineering.figure import display
from binder.engineering.insulation import WINDING_SPREAD_PERCENT
from binder.field.bench import Bench, between, plain
from binder.field.energies import has_bypass
from binder.field.sheets import FaultCheck, FaultPage
from binder.field.sweep import Reference, references
from binder.wiring.connections import DriveTerminal, Expected, Kind
from binder.wiring.expected import SUPPLY_TOLERANCE_V, SUPPLY_V

_RUN = ("run_forward", "run_reverse", "start_pulse")
_HOLD = ("stop_enable", "run_permit", "enable", "external_fault")

#: A check before it has its number: check, expected, if not, setting number.
Step = tuple[str, str, str, str]


def fault_pages(bench: Bench) -> tuple[FaultPage, ...]:
    """Make the fault pages of a drive, the commonest first.

    Parameters
    ----------
    bench : Bench

    Returns
    -------
    tuple of FaultPage
        Only symptoms that this drive's wiring and settings can show.

    References
    ----------
    Order of checks: common practice, no source. Volts: wiring record; where it gives none, 24 V
    logic with thresholds of IEC 61131-2 (from memory, check).
    """
    pages = []
    for symptom, steps in _SYMPTOMS:
        made = [s for s in steps(bench) if s[0]]
        if made:
            checks = tuple(FaultCheck(n, *step) for n, step in enumerate(made, 1))
            pages.append(FaultPage(symptom, checks))
    return tuple(pages)


def monitors(bench: Bench) -> tuple[str, ...]:
    """The four monitors that answer nearly every 'will not start, will not follow' call."""
    return (
        f"1 Who owns the command: must be {owned(bench, 'command_source') or 'as the settings table'}",
        f"2 Who owns the speed: must be {owned(bench, 'reference_source') or 'as the settings table'}",
        f"3 What the raw input reads: {_inputs(bench) or 'see the terminal plan'}",
        f"4 What inhibits: {_inhibits(bench) or 'nothing is wired to inhibit; fault, limits'}",
    )


def owned(bench: Bench, function: str) -> str:
    """Setting number and required value of a source, for each set of sources there is."""
    rows = [r for r in (*bench.settings.rows, *bench.settings.untouched) if r.function == function]
    return "; ".join(
        f"{r.number} = {r.required}{': ' + r.required_text if r.required_text not in ('', r.required) else ''}"
        f"{' (' + r.applies_to + ')' if r.applies_to else ''}"
        for r in rows
    )


def _inputs(bench: Bench) -> str:
    return ", ".join(f"{r.terminal} {r.words(0)} to {r.words(100)}" for r in references(bench) if r.terminal)


def _inhibits(bench: Bench) -> str:
    names = [t.number if t.label in ("", t.number) else f"{t.number} {t.label}" for t in bench.terminals_for(*_HOLD)]
    names += bench.permissives
    if "safe torque off" in bench.schemes:
        names.append("safe torque off")
    return ", ".join(names)


def _name(bench: Bench, t: DriveTerminal) -> str:
    return f"{bench.wiring.designation}:{t.number}" + (f" ({t.label})" if t.label and t.label != t.number else "")


def at_terminal(bench: Bench, t: DriveTerminal) -> str:
    """What a meter shows at a terminal of this drive, state by state.

    Parameters
    ----------
    bench : Bench
    t : DriveTerminal

    Returns
    -------
    str
        From the wiring record; for a digital input that it does not cover, from the input logic.
    """
    own = f"{bench.wiring.designation}:{t.number}"
    found = _telling([e for e in bench.wiring.expected if own in e.between])
    if found:
        parts = []
        for e in found:
            other = e.between[1] if e.between[0] == own else e.between[0]
            parts.append(f"{e.state}: {e.text()} to {other}")
        return "; ".join(parts)
    if t.role in ("DI", "EN"):
        common = bench.terminal("N24") or "0 V"
        closed, opened = ("24 V", "0 V") if bench.drive.control_logic != "negative" else ("0 V", "24 V")
        return f"contact closed about {closed} to {common}, open about {opened}"
    return "see the check sheet"


def _telling(every: list[Expected]) -> list[Expected]:
    """A first and a last state for each value, without the states that act further devices."""
    least = min((e.state.count(",") for e in every), default=0)
    plain_states = [e for e in every if e.state.count(",") == least]
    by_value: dict[tuple[float, str], list[Expected]] = {}
    for e in plain_states:
        by_value.setdefault((e.value, e.unit), []).append(e)
    chosen = [e for group in by_value.values() for e in ((group[0], group[-1]) if len(group) > 1 else group)]
    return chosen[:4]


def _volts(bench: Bench, what: str, if_not: str, *functions: str) -> Iterator[Step]:
    """Measure every terminal that carries one of the functions."""
    for t in bench.terminals_for(*functions):
        applies = t.label or t.number
        yield (
            f"{what} at {_name(bench, t)}",
            at_terminal(bench, t),
            if_not,
            bench.setting_number("digital_input_function", applies) if t.role == "DI" else "",
        )


def _look(bench: Bench, function: str, check: str, if_not: str, applies_to: str = "") -> Iterator[Step]:
    """Compare a setting with the table."""
    row = bench.setting(function, applies_to)
    if row is not None:
        words = f": {row.required_text}" if row.required_text not in ("", row.required) else ""
        yield check, f"{row.number} = {row.required}{words} {row.unit}".strip(), if_not, row.number


def _sources(bench: Bench, function: str, check: str, if_not: str) -> Iterator[Step]:
    text = owned(bench, function)
    if text:
        yield check, text, if_not, bench.setting_number(function)


def _no_start(bench: Bench) -> Iterator[Step]:
    yield "Display: fault, inhibit or lock shown?", "none", "read the fault list; write it down before any reset", ""
    yield from _factory_links(bench)
    yield from _sources(bench, "command_source", "Who owns the command?", "set it back; leave local at the keypad")
    yield from _volts(bench, "Run command", "follow the wire back to its contact", *_RUN)
    yield from _volts(bench, "Stop, permit, enable", "find the open contact of the string", *_HOLD)
    yield from _string(bench)
    yield from _supply(bench)
    yield from _look(bench, "input_logic", "Input logic", "switch and setting must both fit the wiring")
    yield from _look(bench, "start_method", "Start method", "two-wire and three-wire differ: runs only while pressed")
    if "safe torque off" in bench.schemes:
        yield "Safe torque off inputs", "both at 24 V", "see the page on safe torque off", ""


def _factory_links(bench: Bench) -> Iterator[Step]:
    """Safe torque off terminals without a device: the drive only runs with its links in."""
    if "safe torque off" in bench.schemes:
        return
    inputs = [t for t in bench.wiring.terminals if t.role in ("STO1", "STO2")]
    if not inputs:
        return
    own = {(bench.wiring.designation, t.number) for t in inputs}
    links = [
        f"{c.a} to {c.b}"
        for c in bench.wiring.connections
        if c.kind in (Kind.LINK, Kind.BRIDGE) and own & {(e.device, e.terminal) for e in (c.a, c.b)}
    ]
    where = "; ".join(links) or ", ".join(_name(bench, t) for t in inputs)
    yield (
        f"Factory links of safe torque off: {where}",
        "fitted and tight",
        "out or loose: no torque. Nothing is wired there: lock out, refit as the manual shows",
        "",
    )


def _string(bench: Bench) -> Iterator[Step]:
    if bench.permissives:
        names = ", ".join(bench.permissives)
        yield f"Permissives: {names}", "all closed", "walk the string, volts before and behind each contact", ""


def _supply(bench: Bench) -> Iterator[Step]:
    if bench.terminal("P24"):
        yield (
            f"Control supply at {bench.wiring.designation}:{bench.terminal('P24')} to {bench.terminal('N24') or '0 V'}",
            f"24 V, {between(SUPPLY_V - SUPPLY_TOLERANCE_V, SUPPLY_V + SUPPLY_TOLERANCE_V, 'V')}",
            "unplug the control terminals: back means a short outside",
            "",
        )


def _no_speed(bench: Bench) -> Iterator[Step]:
    if not references(bench) and not owned(bench, "reference_source"):
        return
    yield from _sources(bench, "reference_source", "Who owns the speed?", "set it back")
    yield from _signal(bench)
    yield from _look(bench, "min_frequency", "Minimum frequency", _at_zero(bench))
    yield from _look(bench, "max_frequency", "Maximum frequency", "set it back")


def _at_zero(bench: Bench) -> str:
    """What the motor does at zero signal, by its lowest frequency."""
    row = bench.setting("min_frequency")
    if row is None or not row.required.strip("0."):
        return "0 Hz and zero signal stand still: no fault"
    return f"set it back; at zero signal the motor runs on at {row.required} {row.unit}".rstrip()


def _signal(bench: Bench) -> Iterator[Step]:
    wired = [r for r in references(bench) if r.terminal]
    for r in wired:
        t = next((t for t in bench.wiring.terminals if t.label == r.terminal), None)
        mode = f", mode {r.mode}" if r.mode else ""
        here = _name(bench, t) if t else r.terminal
        yield (
            f"Signal at {here} from the {r.text}{mode}",
            f"0 %: {r.words(0)}, 50 %: {r.words(50)}, 100 %: {r.words(100)}",
            _signal_mend(r),
            bench.setting_number("analog_input_format", r.terminal),
        )
    for r in wired:
        yield from _look(bench, "analog_input_format", f"Format of {r.terminal}", "switch AND setting", r.terminal)


def _signal_mend(r: Reference) -> str:
    if r.format.endswith("mA"):
        return "0 mA: loop open, no supply, or reversed; over 20 mA: two supplies or input set to volts"
    return "0 V: high end or wiper open; full: low end open; wrong: common missing or input set to milliamperes"


def _ignores(bench: Bench) -> Iterator[Step]:
    if not any(r.terminal for r in references(bench)):
        return
    yield from _sources(bench, "reference_source", "Who owns the speed?", "built-in or keypad source: set it back")
    yield from _volts(
        bench, "Reference select", "wrong set is called: follow the wire", "reference_select", "set_select"
    )
    yield from _volts(
        bench, "Preset inputs", "presets mask the signal: release them", "preset_1", "preset_2", "preset_3"
    )
    yield from _signal(bench)


def _keypad_only(bench: Bench) -> Iterator[Step]:
    if not any(bench.terminals_for(*_RUN)):
        return
    yield from _sources(
        bench, "command_source", "Who owns the command?", "set to terminals; press remote on the keypad"
    )
    yield from _volts(bench, "Run command", "input not reached: logic, common, broken wire", *_RUN)
    yield from _look(bench, "input_logic", "Input logic", "set switch and setting as required")
    yield from _volts(bench, "Local / remote", "local is called", "local_remote")


def _wrong_end(bench: Bench) -> Iterator[Step]:
    for r in references(bench):
        if not r.terminal:
            continue
        yield from _look(bench, "analog_input_low", f"{r.terminal}, low end", "set it back", r.terminal)
        yield from _look(bench, "analog_input_high", f"{r.terminal}, high end", "set it back", r.terminal)
        yield (
            f"Zero signal from the {r.text}",
            f"{r.words(0)} at {r.terminal}",
            "pot: ends swapped or low end open; 4-20 set as 0-20: 20 % too fast at zero",
            bench.setting_number("analog_input_format", r.terminal),
        )


def _direction(bench: Bench) -> Iterator[Step]:
    yield (
        "Arrow against shaft, bump at 3 to 5 Hz",
        _arrow(bench),
        "swap two leads at the MOTOR side, dead and locked",
        "",
    )
    yield from _look(bench, "direction_enable", "Reverse permitted", "set it back")
    yield from _volts(bench, "Direction input", "follow the wire", "direction", "run_reverse")
    if has_bypass(bench):
        yield (
            "Bypass direction",
            "as in drive mode",
            "drive right, bypass wrong: swap two LINE conductors, locked out",
            "",
        )


def _arrow(bench: Bench) -> str:
    return (bench.machine.rotation if bench.machine else "") or "as the arrow on the machine"


def _trips_on_stop(bench: Bench) -> Iterator[Step]:
    trip = plain(bench.model.link_trip_voltage, "V") if bench.model else None
    bus = bench.figures.number("bus.no_load")
    yield (
        "DC bus while stopping",
        f"from {display(bus)} V at rest; trips at {display(trip)} V"
        if bus and trip
        else "below the trip in the manual",
        "lengthen the ramp, or coast"
        if bench.drive.brake_resistance is None
        else "lengthen the ramp, or coast; look at the brake resistor",
        "",
    )
    yield from _look(bench, "deceleration_time", "Ramp down", "set it back, or longer")
    yield from _look(bench, "stop_mode", "Stop mode", "set it back")
    if bench.drive.brake_resistance is not None:
        yield (
            "Brake resistor, dead and locked",
            f"{bench.drive.brake_resistance} ±10 %",
            "open: replace; chopper: see settings",
            "",
        )
        yield from _look(bench, "brake_chopper", "Brake chopper", "must be on")


def _trips_on_start(bench: Bench) -> Iterator[Step]:
    amps = plain(bench.motor.current, "A") if bench.motor else None
    yield "Turn the shaft by hand, locked out", "free", "machine jammed, brake shut, valve or damper wrong", ""
    if amps:
        yield "Current at the trip", f"plate {display(amps)} A", "above 150 %: load; no rise of speed: brake or jam", ""
    yield from _look(bench, "acceleration_time", "Ramp up", "set it back, or longer")
    yield from _look(bench, "motor_current", "Motor current set", "set it to the plate")
    yield from _look(bench, "flying_start", "Flying start", "on for fans that turn by themselves")
    yield "Motor insulation, drive disconnected", "see sheet R", "cable or motor: dry, repair", ""


def _overload(bench: Bench) -> Iterator[Step]:
    for share in (50, 100):
        amps = bench.figures.number(f"sweep.current_{share}")
        if amps is not None:
            yield (
                f"Current at {share} % speed",
                f"{display(amps)} A ±15 %",
                "higher: load, belts, bearing, valve, density",
                "",
            )
    yield from _look(bench, "overload_current", "Overload current", "set it to the required value, never higher")
    yield from _look(bench, "overload_cooling", "Motor cooling", "set it back; slow running heats a self-cooled motor")
    yield "Three currents", "spread 5 % or less", "one lead loose, or a winding", ""
    yield from _sensor(bench)


def _sensor(bench: Bench) -> Iterator[Step]:
    """Thermistors or thermal switch of the motor; the ohms are those of test line R4."""
    kind = bench.motor.thermal_sensor if bench.motor else ""
    if "thermistor" in bench.schemes or kind == "thermistor":
        yield (
            "Winding sensor, dead, its wires lifted at the drive",
            "60 to 750 Ω for three when cold, by a meter of 2.5 V a sensor or less",
            "cold and far above: sensor or wire open; right and it still trips: input, or the motor is hot",
            bench.setting_number("thermistor_reaction"),
        )
    elif "thermal switch" in bench.schemes or kind == "thermal switch":
        yield (
            "Winding sensor, dead, its wires lifted at the drive",
            "closed when cold, below 1 Ω",
            "open and cold: switch or wire; open and hot: let it cool, find the load",
            "",
        )


def _self_start(bench: Bench) -> Iterator[Step]:
    yield "DANGER: lock out first, then look", "nothing turns", "nobody near the machine until it is found", ""
    yield from _look(bench, "power_return", "Return of power", "restart is set: is it meant? label fitted?")
    yield from _look(bench, "fault_reset_count", "Automatic resets", "set it back")
    yield from _sources(bench, "command_source", "Who owns the command?", "network or keypad may start it")
    yield from _volts(bench, "Run input with the contact open", "input held on: leak, pickup, logic, short", *_RUN)


def _not_written(bench: Bench) -> Iterator[Step]:
    if not bench.settings.rows:
        return
    yield "Drive stopped, enable open?", "yes", "some settings are refused while running", ""
    yield from _look(bench, "access_code", "Access", "enter its code; the holder is named on the settings page")
    yield from _look(bench, "parameter_lock", "Setting lock", "unlock, write, lock again")
    yield from _look(bench, "preset_macro", "Preset", "a preset may rule the function: free preset first")
    yield from _look(bench, "save_settings", "Lost after power-off", "save, cycle, read back")
    if "network" in bench.schemes:
        yield "Value comes back by itself", "network master silent", "the master writes it: change it there", ""


def _stops(bench: Bench) -> Iterator[Step]:
    yield "Fault list: which, at what Hz, A and DC V?", "none", "go by the fault; write all three down", ""
    yield from _volts(bench, "Permit string while running", "20 V or less at its end: bad contact", *_HOLD)
    yield from _string(bench)
    line = bench.supply.voltage if bench.supply else None
    if line is not None:
        yield "Line at the drive, loaded", f"{line} ±10 %, spread 1 % or less", "fuse, joint, supply", ""
    yield from _look(bench, "undervoltage_reaction", "Undervoltage", "a dip stops it: is that meant?")
    for r in references(bench):
        if r.terminal:
            yield from _look(
                bench, "analog_input_loss", f"Loss of {r.terminal}", "signal lost: see the signal page", r.terminal
            )
    yield "Fan, filter, air of the drive", "clean, blows", "overtemperature: clean, check the fan", ""


def _earth_fault(bench: Bench) -> Iterator[Step]:
    yield "Lock out, prove dead, drive disconnected", "DC below 50 V", "wait on", ""
    yield "Motor and cable insulation, apart", "see sheet R, 5 MΩ at 40 °C", "dry or replace the bad one", ""
    # a short from phase to phase or from turn to turn passes every test to earth
    yield (
        "Winding ohms U-V, V-W and W-U, at the motor",
        f"alike within {WINDING_SPREAD_PERCENT:g} % of the mean; compare with lines R3 of sheet R",
        "one pair lower: turns or phases shorted, motor to the workshop",
        "",
    )
    yield "Motor cable core to core, both ends off", "as lines R1 of sheet R", "replace the cable, look at its ends", ""
    if bench.motor is not None and bench.motor.space_heater_voltage is not None:
        yield "Space heater", f"{bench.motor.space_heater_voltage} when stopped", "heater off lets water in the box", ""
    yield "Drive alone, leads off, started", "no trip", "drive is faulty: spare", ""


def _safe_torque_off(bench: Bench) -> Iterator[Step]:
    if "safe torque off" not in bench.schemes:
        yield from _factory_links(bench)
        return
    yield from _volts(
        bench, "Channel", "device open, or links out and nothing wired", "safe_torque_off_1", "safe_torque_off_2"
    )
    yield "Difference between the channels", "both change together", "one contact or wire: repair, never bridge", ""
    yield from _look(bench, "safe_torque_off_reaction", "Reaction", "set it back")


def _network(bench: Bench) -> Iterator[Step]:
    if "network" not in bench.schemes and not bench.networks:
        return
    yield "Pair, all off, line to line", "60 Ω", "120: one terminator missing; 40: one too many", ""
    yield from _look(bench, "network_address", "Address", "two nodes with one address both fail")
    yield from _look(bench, "network_speed", "Speed", "set it back")
    yield from _look(bench, "network_parity", "Parity", "set it back")
    yield from _look(bench, "network_timeout", "Time-out", "set it back; never switch it off to make it run")
    yield from _sources(bench, "command_source", "Who owns the command?", "both sources must be network")
    yield from _sources(bench, "reference_source", "Who owns the speed?", "both sources must be network")


def _process(bench: Bench) -> Iterator[Step]:
    if "process control" not in bench.schemes:
        return
    span = (bench.machine.feedback_range if bench.machine else "") or "its range"
    yield "Feedback against the gauge", f"equal, {span}", "range set wrong, sensor behind a shut valve", ""
    yield from _look(bench, "process_direction", "Direction", "wrong: runs to full speed")
    yield from _look(bench, "process_setpoint", "Setpoint", "set it back")
    yield from _look(bench, "sleep_frequency", "Sleep", "below minimum frequency it never sleeps, above it cycles")
    yield from _look(bench, "process_gain", "Gain", "hunts: halve it")


_SYMPTOMS: tuple[tuple[str, Callable[[Bench], Iterator[Step]]], ...] = (
    ("Does not start", _no_start),
    ("Run is given, speed stays 0", _no_speed),
    ("Speed does not follow the signal", _ignores),
    ("Runs only from the keypad", _keypad_only),
    ("Trips on overload, runs hot", _overload),
    ("Trips while stopping", _trips_on_stop),
    ("Trips while starting", _trips_on_start),
    ("Stops by itself", _stops),
    ("Starts by itself", _self_start),
    ("Runs at the wrong end of the signal", _wrong_end),
    ("Turns the wrong way", _direction),
    ("A setting cannot be written, or comes back", _not_written),
    ("Earth fault or short circuit", _earth_fault),
    ("Safe torque off is shown", _safe_torque_off),
    ("Network lost", _network),
    ("Process control hunts, or runs to full speed", _process),
)
