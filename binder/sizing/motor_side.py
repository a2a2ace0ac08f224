"""Figures of the motor: what its plate says, what the law asks, what a drive makes of it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from binder.engineering import motor, motor_efficiency
from binder.engineering.figure import Figure, Rule, display
from binder.inventory.findings import Finding, Grade
from binder.sizing import motor_plate
from binder.sizing.context import Context

_MG1 = "NEMA MG 1, IEC 60034-1"
_POLES = Rule("even number p with 120 f / p at or above the plate speed", f"textbook, {_MG1}")
_SYNCHRONOUS = Rule("n_s = 120 f / p", f"textbook, {_MG1}")
_SLIP = Rule("s = (n_s - n) / n_s", f"textbook, {_MG1}")
_TORQUE = Rule("T = P / omega = 9550 kW / rpm", "textbook")
_IDLE_SHARE = Rule(
    "25 to 40 % of plate current with 2 or 4 poles above 10 kW, else 40 to 60 %, at most I sqrt(1 - cos² phi)",
    "common practice, no source",
)
_CFR = Rule(
    "minimum nominal efficiency by power, poles and enclosure; at the midpoint between ratings the higher row",
    "10 CFR 431.25 Table 5, motors made from June 1, 2016",
)
_IE = Rule("highest class whose limit the plate efficiency reaches", "IEC 60034-30-1:2014, tables and 5.4.5")
_LOCKED = Rule("hp x kVA/hp / (sqrt(3) U), high end of the code letter", "NEMA MG 1 10.37.2, NEC Table 430.7(B)")
_RERATED = Rule("U f / f_plate keeps the flux", "textbook: flux goes with U / f")
_RERATED_POWER = Rule("P f / f_plate at the re-rated voltage", "textbook: same torque, other speed")
_CONNECTED = Rule("100 (supply voltage / connected voltage - 1), within ±10 %", "NEMA MG 1 12.44.1(a), IEC 60034-1 7.3")

_LARGEST_SLIP = 20.0  # percent; a plate speed further off belongs to another frequency: common practice, no source


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield the figures of the motor plate and the findings on it."""
    yield from _speed(context)
    yield from _torque(context)
    yield from motor_plate.figures(context)
    if context.motor is None or not context.motor.permanent_magnet:
        yield from _idle_current(context)
    yield from _efficiency(context)
    yield from _connection(context)
    if context.motor is not None and context.motor.code_letter:
        yield _locked_rotor(context)


def _speed(context: Context) -> Iterator[Figure | Finding]:
    plate = context.motor
    need = context.needs()
    frequency = need.of("motor", "frequency", "Hz")
    if plate is not None and plate.poles is not None:
        poles = need.of("motor", "poles")
        found = need.figure("motor.poles", "Poles", lambda: poles, "", _POLES, note="from the plate")
    else:
        speed = need.of("motor", "speed", "rpm")
        found = need.figure("motor.poles", "Poles", lambda: float(motor.poles_from_speed(frequency, speed)), "", _POLES)
    yield found
    need = context.needs()
    frequency, poles = need.of("motor", "frequency", "Hz"), need.figure_of("motor.poles")
    yield need.figure(
        "motor.synchronous_speed",
        "Synchronous speed",
        lambda: motor.synchronous_speed_rpm(frequency, int(poles)),
        "rpm",
        _SYNCHRONOUS,
    )
    need = context.needs()
    synchronous, speed = need.figure_of("motor.synchronous_speed"), need.of("motor", "speed", "rpm")
    slip = need.figure("motor.slip", "Slip at rated load", lambda: motor.slip_percent(synchronous, speed), "%", _SLIP)
    yield slip
    yield from _speed_findings(context, slip)


def _speed_findings(context: Context, slip: Figure) -> Iterator[Finding]:
    plate = context.motor
    if plate is None or plate.speed is None or plate.frequency is None:
        return
    at = ("motor", "speed")
    said = f"{plate.speed} at {plate.frequency}" + (f" with {plate.poles} poles" if plate.poles else "")
    if slip.value is None or (isinstance(slip.value, float) and slip.value > _LARGEST_SLIP):
        why = f": slip {display(slip.value)} %" if isinstance(slip.value, float) else " is above the synchronous speed"
        yield context.finding(
            "E103",
            Grade.STOP,
            at,
            found=f"{said}{why}, no plate reads so",
            accepted=f"a full-load speed with at most {_LARGEST_SLIP:g} % slip",
            remedy="compare speed, frequency and poles with the plate; they must belong to one line of it",
        )
    elif isinstance(slip.value, float) and slip.value < 0.05 and not plate.permanent_magnet:
        yield context.finding(
            "E104",
            Grade.CAUTION,
            at,
            found=f"{said} is the synchronous speed",
            accepted="the full-load speed of the plate, a little below it",
            remedy="enter the plate speed; with the synchronous speed the drive cannot compensate slip",
        )


def _torque(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    power, speed = need.of("motor", "power", "kW"), need.of("motor", "speed", "rpm")
    yield need.figure("motor.rated_torque", "Rated torque", lambda: motor.rated_torque_nm(power, speed), "N·m", _TORQUE)


def _idle_current(context: Context) -> Iterator[Figure]:
    need = context.needs()
    current, power = need.of("motor", "current", "A"), need.of("motor", "power", "kW")
    factor, poles = need.of("motor", "power_factor"), need.figure_of("motor.poles")
    band: tuple[float, float] | None = None

    def end(index: int) -> float:
        nonlocal band
        band = band or motor.no_load_current_band_a(current, power, int(poles), factor)
        return band[index]

    yield need.figure("motor.no_load_current_low", "No-load current, low end", partial(end, 0), "A", _IDLE_SHARE)
    yield need.figure("motor.no_load_current_high", "No-load current, high end", partial(end, 1), "A", _IDLE_SHARE)
    yield need.figure(
        "motor.no_load_current",
        "No-load current expected",
        lambda: (end(0) + end(1)) / 2.0,
        "A",
        _IDLE_SHARE,
        note="middle of the band; the identification run gives the true value",
    )


def _efficiency(context: Context) -> Iterator[Figure | Finding]:
    plate = context.motor
    if plate is None or plate.frequency is None or plate.permanent_magnet:
        return
    if context.iec:
        need = context.needs()
        plate_efficiency, power = need.of("motor", "efficiency", "%"), need.of("motor", "power", "kW")
        poles, frequency = need.figure_of("motor.poles"), need.of("motor", "frequency", "Hz")
        yield need.figure(
            "motor.efficiency_class",
            "Efficiency class reached by the plate",
            lambda: motor_efficiency.iec_class(plate_efficiency, power, int(poles), frequency),
            "",
            _IE,
        )
        return
    if plate.frequency.to("Hz") != 60.0:
        return
    yield from _federal_minimum(context)


def _federal_minimum(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    power, poles = need.of("motor", "power", "hp"), need.figure_of("motor.poles")
    efficiency, enclosure = need.of("motor", "efficiency", "%"), need.word("motor", "enclosure")
    enclosed = motor_efficiency.is_enclosed(enclosure)
    if enclosed is None and enclosure:
        need.missing.append("motor enclosure as open or enclosed")
    least = need.figure(
        "motor.efficiency_minimum",
        "Least nominal efficiency by federal rule",
        lambda: motor_efficiency.us_minimum_percent(power, int(poles), enclosed=bool(enclosed)),
        "%",
        _CFR,
        limit=f"plate {display(efficiency)} %",
        within=lambda v: efficiency >= v - 1e-9,
        note="counts for new motors; a motor made before the rule may stay in service",
    )
    yield least
    if least.verdict == "outside" and isinstance(least.value, float):
        yield context.finding(
            "E106",
            Grade.NOTE,
            ("motor", "efficiency"),
            found=f"plate efficiency {display(efficiency)} %",
            accepted=f"{display(least.value)} % and up for a motor made from June 1, 2016",
            remedy="check the date of manufacture; a replacement must reach the figure",
        )


def _locked_rotor(context: Context) -> Figure:
    need = context.needs()
    power, volts = need.of("motor", "power", "hp"), need.of("motor", "voltage", "V")
    letter = need.word("motor", "code_letter")
    return need.figure(
        "motor.locked_rotor_current",
        "Locked-rotor current across the line (bypass)",
        lambda: motor.locked_rotor_current_a(power, _top_of_letter(letter), volts),
        "A",
        _LOCKED,
    )


def _top_of_letter(letter: str) -> float:
    low, high = motor.code_letter_band(letter)
    return low if high == float("inf") else high


def _connection(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    connected, supply = need.of("motor", "voltage", "V"), need.of("supply", "voltage", "V")
    deviation = need.figure(
        "motor.voltage_deviation",
        "Supply voltage against the voltage the motor is connected for",
        lambda: 100.0 * (supply / connected - 1.0),
        "%",
        _CONNECTED,
        limit="-10 to +10 %",
        within=lambda v: abs(v) <= 10.0,
    )
    yield deviation
    if deviation.verdict == "outside":
        yield _wrong_connection(context, connected, supply)
    plate_hz = context.motor.frequency if context.motor else None
    supply_hz = context.supply.frequency if context.supply else None
    if plate_hz is not None and supply_hz is not None and abs(plate_hz.to("Hz") - supply_hz.to("Hz")) > 1.0:
        yield from _rerating(context)


def _wrong_connection(context: Context, connected: float, supply: float) -> Finding:
    plate = context.motor
    others = [] if plate is None else motor_plate.volts_on(plate.plate_voltages)
    fitting = next((v for v in others if abs(supply / v - 1.0) <= 0.10), None)
    if fitting is not None:
        remedy = f"link the winding for {display(fitting)} V, check the box, enter the current for that voltage"
    elif supply < connected:
        remedy = "full torque ends below rated speed: accept and lower the highest frequency, or change the motor"
    else:
        remedy = "set the drive's motor voltage to the plate; check the insulation for this bus; no bypass operation"
    bypass = context.drive.bypass not in ("", "none")
    stop = fitting is not None or bypass or supply > 1.5 * connected
    return context.finding(
        "E105",
        Grade.STOP if stop else Grade.CAUTION,
        ("motor", "voltage"),
        found=f"motor connected for {display(connected)} V on a supply of {display(supply)} V",
        accepted=f"{display(supply / 1.1)} to {display(supply / 0.9)} V",
        remedy=remedy,
    )


def _rerating(context: Context) -> Iterator[Figure]:
    need = context.needs()
    volts, plate_hz = need.of("motor", "voltage", "V"), need.of("motor", "frequency", "Hz")
    site_hz = need.of("supply", "frequency", "Hz")
    yield need.figure(
        "motor.rerated_voltage",
        f"Voltage for rated flux at {display(site_hz)} Hz",
        lambda: motor.voltage_at_frequency_v(volts, plate_hz, site_hz),
        "V",
        _RERATED,
        note="insulation, bearings and the machine must stand the other speed",
    )
    need = context.needs()
    power, plate_hz = need.of("motor", "power", "kW"), need.of("motor", "frequency", "Hz")
    site_hz = need.of("supply", "frequency", "Hz")
    yield need.figure(
        "motor.rerated_power",
        f"Power at {display(site_hz)} Hz with that voltage",
        lambda: power * site_hz / plate_hz,
        "kW",
        _RERATED_POWER,
    )
