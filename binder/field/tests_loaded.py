"""Test sheets with the load on: coupled run, trips, losses, safety, bypass, process control, endurance."""

from __future__ import annotations

from collections.abc import Iterator

from binder.engineering.figure import display
from binder.field.bench import ABSENT, MEMORY, PRACTICE, Bench, check, measured, plain, slug
from binder.field.energies import has_bypass
from binder.field.sweep import references
from binder.field.tests_dead import Item
from binder.field.tests_schemes import PROCESS, TRIPS, scheme_lines
from binder.settings.restart import rule

_SAFETY = "IEC 61800-5-2; ISO 13849-2"


def coupled(bench: Bench) -> Iterator[Item]:
    """Coupled run; the sweep from the real reference has its own tables."""
    drive, model = bench.drive, bench.model
    yield check("C1", "Process ready: valves, dampers, levels, people", "told and clear", severity="A")
    yield check(
        "C2",
        "First start",
        f"at minimum speed, {drive.min_frequency}" if drive.min_frequency else "at the lowest reference",
    )
    if not references(bench):
        yield "C3 reference sweep: no proportional reference in the inventory"
    for key, word, value, number in (
        ("C4.UP", "Ramp up, 0 to 100 %", drive.acceleration_time, "acceleration_time"),
        ("C4.DN", "Ramp down, 100 % to 0", drive.deceleration_time, "deceleration_time"),
    ):
        seconds = plain(value, "s")
        slack = None if seconds is None else max(0.05 * seconds, 0.5)
        yield measured(
            key,
            word,
            "s",
            low=None if seconds is None or slack is None else seconds - slack,
            high=None if seconds is None or slack is None else seconds + slack,
            expected=str(value or ""),
            source=f"set value ±5 % or 0.5 s, {PRACTICE}",
            proves=(number,),
        )
    yield measured(
        "C4.A",
        "Peak current while ramping up",
        "A",
        high=_peak_amps(bench),
        source="overload rating of the drive, its manual",
    )
    trip = plain(model.link_trip_voltage, "V") if model else None
    yield measured(
        "C4.DC",
        "Peak DC bus while ramping down",
        "V",
        high=None if trip is None else 0.95 * trip,
        source=f"5 % below the drive's trip voltage, {PRACTICE}; the manual gives the trip",
    )
    yield measured(
        "C5",
        "Normal stop from full speed: time to standstill",
        "s",
        expected=bench.setting_words("stop_mode") or drive.stop_mode,
        proves=("stop_mode",),
    )
    if drive.skip_frequency is not None:
        yield check(
            "C6",
            f"Skip band at {drive.skip_frequency}",
            "drive does not stay there",
            proves=("skip_frequency", "skip_width"),
        )
    else:
        yield "C6 skip band: none in the inventory"
    yield _vibration(bench)
    yield measured(
        "C8",
        "Bearing temperature, settled",
        "°C",
        high=90,
        expected="80 °C or less",
        condition="after 1 h at the highest load",
    )
    yield measured(
        "C9",
        "Joints by thermograph: like against like",
        "K",
        high=15,
        limit="1 to 3 watch, 4 to 15 plan, above 15 act",
        source=PRACTICE if bench.iec else f"ANSI/NETA, {MEMORY}",
    )
    yield measured("C10", "Highest load reached", "%", limit="record; below 100: full-load reading stays a punch item")
    yield measured(
        "C11",
        "Line voltage sag, no load to full load",
        "%",
        high=3,
        source="NEC 210.19(A), 215.2(A) informational notes" if not bench.iec else PRACTICE,
    )
    for phase in bench.line_phases:
        yield measured(
            f"C12.L{phase}",
            f"Line current L{phase} at the highest load",
            "A",
            condition="true rms; unequal phases at part load are no fault of a diode input",
            limit="record; baseline",
        )
    yield measured("C13", "Motor frame, hottest spot, settled", "°C", limit="record; baseline")


def _peak_amps(bench: Bench) -> float | None:
    model = bench.model
    if model is None:
        return None
    heavy = bench.drive.duty == "heavy"
    amps = plain(model.output_current_heavy if heavy else model.output_current_light, "A")
    share = plain(model.overload_heavy if heavy else model.overload_light, "%")
    return None if amps is None or share is None else amps * share / 100


def vibration_limit(power_kw: float) -> float | None:
    """Zone B/C boundary, rigid mounting: new machines lie below it. [mm/s]

    Parameters
    ----------
    power_kw : float
        Rated power of the motor. [kW]

    Returns
    -------
    float or None
        None below 15 kW, which the standard's groups do not hold.

    References
    ----------
    ISO 10816-3 / 20816-3, groups 1 and 2, from memory, check.
    """
    if power_kw < 15:
        return None
    return 2.8 if power_kw <= 300 else 4.5


def _vibration(bench: Bench) -> Item:
    power = plain(bench.motor.power, "kW") if bench.motor else None
    limit = vibration_limit(power) if power is not None else None
    return measured(
        "C7",
        "Vibration at its worst speed",
        "mm/s",
        high=limit,
        condition="rms, 10 to 1000 Hz, bearing housings",
        source=f"ISO 20816-3 zone B/C, rigid mounting, {MEMORY}" if limit else f"baseline, {PRACTICE}",
        why="" if limit else "no zone for motors below 15 kW in ISO 20816-3",
    )


def trips(bench: Bench) -> Iterator[Item]:
    """Trips: proved without harm or read back; every value lowered is restored."""
    row = bench.setting("overload_current")
    expected = f"{row.required} {row.unit}".strip() if row else ""
    setting = bench.figures.number("overload.setting")
    restore = f"{row.number} back to {expected}" if row else "the set value back to what it was"
    yield check(
        "T1",
        "Motor overload: set value read back",
        expected or (f"{display(setting)} A" if setting else "plate current"),
        source="NEC 430.32, 430.124" if not bench.iec else "IEC 60204-1 7.3",
        proves=("overload_current",),
        severity="A",
    )
    yield check(
        "T2",
        "Motor overload: lower the setting, trip, restore, read back",
        f"trips in the time of its class; then {restore} and read back",
        condition="on the defeat list until restored",
        proves=("overload_current", "overload_class"),
        defeat=f"Motor overload set lower: {restore}",
    )
    for key, function, what, how in (
        (
            "T3",
            "phase_loss_reaction",
            "Line phase lost",
            "one fuse open at light load, only if the manual permits; else read back",
        ),
        ("T4", "undervoltage_reaction", "Undervoltage", "dip of 0.5, 2 and 10 s"),
        ("T5", "external_fault_reaction", "External fault", "operate the real device, in every mode"),
    ):
        words = bench.setting_words(function)
        if key == "T5" and not any(bench.terminals_for("external_fault")):
            yield "T5 external fault: no external fault device is wired"
        elif words:
            yield check(
                key,
                what,
                words,
                condition=how,
                source=f"setting {bench.setting_number(function)}",
                proves=(function,),
                defeat="One line fuse out: refit it" if key == "T3" else "",
            )
        else:
            yield f"{key} {what.lower()}: the model has no such setting in the inventory"
    if "thermistor" in bench.schemes or any(t.role == "PTC+" and t.function for t in bench.wiring.terminals):
        yield measured(
            "T6",
            "Thermistor input, decade box: trips at",
            "Ω",
            low=1500,
            high=4000,
            severity="A",
            condition="1.5 kΩ runs; raise until it trips; open also trips",
            expected="3300 to 4000 Ω",
            source="motor instructions; IEC 60034-11 class from memory",
            proves=("thermistor_reaction",),
            defeat="Decade box in place of the thermistors: land their two wires again",
        )
    else:
        yield "T6 thermistor input: not used in the inventory"
    for key, scheme, what, expected_words in (
        ("T7", "thermal switch", "Motor thermal switch: lift its wire", "trips or stops"),
        ("T8", "brake resistor thermal switch", "Resistor thermal switch: lift its wire", "line contactor opens"),
        (
            "T9",
            "motor isolator contact",
            "Open the motor isolator at low speed, close again",
            "drive stops first; no start by itself",
        ),
        ("T10", "damper proof", "Hold the damper shut", "no start; time-out reported"),
        ("T11", "motor fan", "Open the motor fan's supply", "fault or stop as agreed"),
        ("T12", "mechanical brake", "Brake: release and hold", "no roll-back; brake shuts when torque is taken"),
    ):
        if scheme in bench.schemes:
            lifted = f"{what.split(':')[0]}, wire lifted: land it again" if "lift its wire" in what else ""
            yield check(key, what, expected_words, source="wiring record", severity="A", defeat=lifted)
        else:
            yield f"{key} {scheme}: {ABSENT}"
    count = bench.setting_words("fault_reset_count") or (
        "" if bench.drive.automatic_resets is None else str(bench.drive.automatic_resets)
    )
    yield check(
        "T13",
        "Automatic resets",
        f"{count or 'number not in the inventory'}; never on short circuit, earth fault, safety",
        proves=("fault_reset_count", "fault_reset_delay"),
    )
    yield from scheme_lines(bench, TRIPS)
    yield check("T14", "Every value lowered for a test", "restored and read back; defeat list empty", severity="A")


def detectable(signal_format: str) -> str:
    """Whether a broken wire of a signal can be noticed.

    Parameters
    ----------
    signal_format : str
        '0-10 V', '2-10 V', '0-20 mA', '4-20 mA'.

    Returns
    -------
    str

    Examples
    --------
    >>> detectable("0-10 V")
    'a broken wire is NOT noticed: zero is a legal signal'
    """
    if signal_format in ("4-20 mA", "2-10 V"):
        least = "3.6 mA" if signal_format == "4-20 mA" else "the live zero"
        return f"noticed below {least}"
    return "a broken wire is NOT noticed: zero is a legal signal"


def losses(bench: Bench) -> Iterator[Item]:
    """Loss of reference, of network, of supply, and what happens when it returns."""
    for r in references(bench):
        if not r.terminal:
            continue
        reaction = bench.setting_words("analog_input_loss", r.terminal) or bench.setting_words("analog_input_loss")
        live = r.format in ("4-20 mA", "2-10 V")
        want = (
            reaction
            if live and reaction
            else "reaction not in the inventory"
            if live
            else "falls to the lowest speed, or floats"
        )
        yield check(
            f"L1.{r.key}",
            f"Lift the {r.format} wire at {r.terminal}",
            f"{want}; {detectable(r.format)}",
            condition=f"mode {r.mode}" if r.mode else "",
            source=f"{'NE 43 signal bands' if r.format == '4-20 mA' else PRACTICE}; setting "
            f"{bench.setting_number('analog_input_loss', r.terminal) or 'not in the inventory'}",
            severity="A",
            proves=("analog_input_loss",),
            defeat=f"Signal wire at {r.terminal} lifted: land it again",
        )
    if bench.networks or "network" in bench.schemes:
        node = bench.networks[0] if bench.networks else None
        timeout = plain(node.timeout, "s") if node else None
        yield measured(
            "L2",
            "Pull the network plug: time to reaction",
            "s",
            high=timeout,
            expected=(node.loss_reaction if node else "") or bench.setting_words("network_loss"),
            source="time-out of the sheet Networks",
            severity="A",
            proves=("network_timeout", "network_loss"),
        )
    else:
        yield "L2 loss of network: no network in the inventory"
    yield from _restarts(bench)
    if bench.drive.flying_start:
        yield check("L5", "Start onto a turning motor", "caught, no overcurrent, no jerk", proves=("flying_start",))
    else:
        yield "L5 flying start: not asked for in the inventory"
    if bench.supply is not None and bench.supply.generator_rating is not None:
        yield check("L6", "Transfer to the generator and back", "rides through, or stops and restarts as agreed")
    else:
        yield "L6 generator transfer: no generator in the inventory"


def _restarts(bench: Bench) -> Iterator[Item]:
    """What may start the machine by itself, event by event, as settings and wiring say."""
    words = {
        "yes": "may start; label fitted, people clear",
        "no": "does not start",
        "not known": "not known: write down what it does",
    }
    hazards = bench.settings.hazards
    for h in hazards:
        yield check(
            f"L3.{slug(h.cause)}",
            h.cause[0].upper() + h.cause[1:],
            f"{words.get(h.starts, h.starts)}: {h.why}",
            condition=f"machine clear; {h.test[0].lower()}{h.test[1:]}",
            source=rule(iec=bench.iec),
            severity="A",
            proves=("power_return", "fault_reset_count"),
        )
    if not hazards:
        yield "L3 return of power, of signals, resets: no control scheme in the inventory, so nothing is known"


def safety(bench: Bench) -> Iterator[Item]:
    """Safe torque off: each channel alone, both, restore, reset."""
    if "safe torque off" not in bench.schemes:
        yield f"F1 to F6 safe torque off: {ABSENT}"
        return
    want = bench.setting_words("safe_torque_off_reaction")
    for key, what, expected in (
        ("F1", "Standstill: open channel 1 alone", "no start; difference reported"),
        ("F2", "Standstill: open channel 2 alone", "no start; difference reported"),
        ("F3", "Running slowly: open both", f"torque gone, coasts{'; ' + want if want else ''}"),
    ):
        yield check(key, what, expected, source=_SAFETY, severity="A", proves=("safe_torque_off_reaction",))
    yield measured(
        "F4",
        "Coast to standstill from operating speed",
        "s",
        limit="record; compare with the guard's access time",
        source="risk assessment",
        severity="A",
    )
    yield check(
        "F5",
        "Restore both with the run command kept",
        "does NOT start; a new start command is needed",
        source=_SAFETY,
        severity="A",
    )
    yield check(
        "F6", "Reset of the emergency stop", "does not start by itself", source="IEC 60204-1 9.2.3", severity="A"
    )
    needed = bench.drive.required_performance
    yield check(
        "F7",
        "Required performance level",
        needed or "not in the inventory: from the risk assessment",
        source="risk assessment, owner",
        severity="A",
    )


def bypass(bench: Bench) -> Iterator[Item]:
    """Bypass: interlock, overload, safeties."""
    if not has_bypass(bench):
        yield "B1 to B5 bypass: none in the inventory"
        return
    yield check("B1", "Command drive and bypass together", "only one contactor in", severity="A")
    yield check(
        "B2",
        "Overload of the bypass: set value",
        str(bench.motor.current) if bench.motor and bench.motor.current else "plate current",
        source="NEC 430.32" if not bench.iec else "IEC 60204-1 7.3",
        severity="A",
    )
    yield measured(
        "B3",
        "Current on line, each phase",
        "A",
        high=plain(bench.motor.current, "A") if bench.motor else None,
        source="motor plate",
    )
    yield check(
        "B4", "Transfer both ways", "motor stopped or decayed first; automatic delay as set", proves=("bypass",)
    )
    yield check("B5", "Every safety and permissive in bypass", "stops in bypass too", severity="A")


def process(bench: Bench) -> Iterator[Item]:
    """Process control: feedback, direction, sleep, loss."""
    yield from scheme_lines(bench, PROCESS)
    if "process control" not in bench.schemes:
        yield f"Q1 to Q5 process control: {ABSENT}"
        return
    span = bench.machine.feedback_range if bench.machine else ""
    yield check(
        "Q1",
        "Feedback against a gauge at zero, middle, full",
        f"±1 % of {span or 'its range'}",
        proves=("process_feedback_source",),
    )
    yield check(
        "Q2",
        "Raise the feedback by hand",
        bench.setting_words("process_direction") or "speed falls, or rises as agreed",
        severity="A",
        proves=("process_direction",),
    )
    yield check(
        "Q3",
        "Close the valve slowly: sleep; open: wake",
        " / ".join(
            f"{w} {bench.setting_words(f)}"
            for f, w in (("sleep_frequency", "below"), ("sleep_delay", "after"), ("wake_level", "wake at"))
            if bench.setting_words(f)
        )
        or "as agreed",
        proves=("sleep_frequency", "sleep_delay", "wake_level"),
    )
    yield check(
        "Q4",
        "Lift the feedback wire",
        bench.setting_words("analog_input_loss") or "reaction not in the inventory",
        severity="A",
        defeat="Feedback wire lifted: land it again",
    )
    yield measured("Q5", "Overshoot after a step of the setpoint", "%", high=10)


def endurance(bench: Bench) -> Iterator[Item]:
    """Endurance run and handover."""
    yield measured("H1", "Run without trip", "h", limit="as the contract asks; record")
    yield measured("H2", "Drive temperature, settled", "°C", condition="highest load, door shut")
    yield check(
        "H3", "Selectors, lock, bypass as agreed; automatic restart as agreed", "left so, labels fitted", severity="A"
    )
    yield check(
        "H4",
        "Power cycle, full read-back compare",
        "no difference between file, drive and table",
        proves=("save_settings",),
    )
    yield check("H5", "Backup handed over, restored once", bench.drive.backup_file or "owner, office, drive or keypad")
    yield check("H6", "Door card behind the door; lockout card walked with the owner", "done")
