"""Figures of the cables: motor conductors, voltage drop on both sides of the drive, reflected wave."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace

from binder.engineering import cable_length, conductors
from binder.engineering.figure import Figure, Rule, display
from binder.engineering.ranges import OutOfRangeError, positive
from binder.engineering.tables import OutsideTableError, load
from binder.engineering.voltage_drop import drop_percent, drop_v
from binder.inventory.findings import Finding, Grade
from binder.inventory.ranges import meant_instead
from binder.sizing import fault, line_iec, line_nec
from binder.sizing.context import Context
from binder.sizing.runs import Run, run_of
from binder.sizing.words import for_phases

_DROP = Rule(
    "sqrt 3 I (R cos phi + X sin phi) / U",
    "NFPA 70 (NEC), Chapter 9 Table 9 note 2; 210.19(A) informational note, 3 %: a recommendation",
)
_DROP_IEC = Rule(
    "sqrt 3 I (R cos phi + X sin phi) / U",
    "IEC 60364-5-52:2009, Annex G; IEC 60204-1:2016, 12.5: 5 % from supply to load (from memory)",
)
_LOW = Rule("the same at lowest frequency, X in proportion, over the motor voltage U f / f rated", "circuit theory")
_CRITICAL = Rule("v t_r / 2 with v 150 m/µs", "IEC TS 60034-25 (from memory); speed is common practice")
_PEAK = Rule(
    "U_dc (1 + min(1, l / l critical)), full reflection", "IEC TS 60034-25, NEMA MG 1 Part 30, from memory, check"
)
_CATEGORY = Rule("by peak over DC link", "IEC 60034-18-41:2014, clause 7 (limits from memory)")
_LENGTH = Rule("routed length not above the manual's longest", "drive manual, page on the Models sheet")
_APART = Rule("distance of motor cable from signal cables run beside it", "IEC 61000-5-2, from memory; common practice")
#: Power factor where none is known: that of the effective impedance of Table 9; IEC Annex G takes 0.8.
_NEC_POWER_FACTOR, _IEC_POWER_FACTOR = 0.85, 0.8
#: Filters whose output has no steep edge, and why.
_SOFTENED = {
    "sine filter": "a sine filter leaves no steep edge",
    "dv/dt filter": "a dv/dt filter keeps 500 V/µs, which is 1000 V over 2 µs",
}
#: Conductor temperature in service. [°C]
_WARM_IEC, _WARM_NEC = 70.0, 75.0


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield the motor cable's conductors, voltage drops, then length, peak, cure and spacing of the motor cable."""
    yield from (line_iec if context.iec else line_nec).motor_cable_figures(context)
    yield from _line(context)
    yield from _motor(context)
    yield _low_speed(context)
    yield _total(context)
    yield from _reflected(context)
    yield from _manual_length(context)
    yield _segregation(context)


def _warm(context: Context) -> float:
    return _WARM_IEC if context.iec else _WARM_NEC


def _line(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    current, voltage = need.of("model", "input_current", "A"), need.of("supply", "voltage", "V")
    frequency = need.of("supply", "frequency", "Hz")
    run = run_of(need, "line_cable")
    factor = need.state("power factor", _IEC_POWER_FACTOR if context.iec else _NEC_POWER_FACTOR, "", "rule")
    phases = 1 if context.model is not None and context.model.input_phases == 1 else fault.phases_of(context)

    def percent(label: str = "") -> float:
        z = run.impedance_ohm(temperature_c=_warm(context), frequency_hz=frequency, label=label)
        return drop_percent(drop_v(current, z, factor, phases=phases), voltage)

    figure = need.figure(
        "drop.line",
        "Voltage drop of the line cable",
        percent,
        "%",
        for_phases(_DROP_IEC if context.iec else _DROP, phases),
        limit="<= 5 %" if context.iec else "<= 3 % (recommended)",
        within=lambda drop: drop <= (5 if context.iec else 3),
    )
    yield _with_run(figure, run, f"rated input current; power factor {factor:g}, the rule's own figure")
    if figure.verdict == "outside":
        yield _too_much(context, "line_cable", figure, run, lambda label: percent(label) <= (5 if context.iec else 3))


def _motor(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    current, voltage = need.of("motor", "current", "A"), need.of("motor", "voltage", "V")
    frequency, factor = need.of("motor", "frequency", "Hz"), need.of("motor", "power_factor")
    run = run_of(need, "motor_cable")

    def percent(label: str = "") -> float:
        z = run.impedance_ohm(temperature_c=_warm(context), frequency_hz=frequency, label=label)
        return drop_percent(drop_v(current, z, factor), voltage)

    figure = need.figure(
        "drop.motor",
        "Voltage drop of the motor cable at full speed",
        percent,
        "%",
        _DROP_IEC if context.iec else _DROP,
        limit="<= 5 %" if context.iec else "<= 3 % (recommended)",
        within=lambda drop: drop <= (5 if context.iec else 3),
    )
    yield _with_run(figure, run, "plate current and power factor")
    if figure.verdict == "outside":
        yield _too_much(context, "motor_cable", figure, run, lambda label: percent(label) <= (5 if context.iec else 3))


def _low_speed(context: Context) -> Figure:
    need = context.needs()
    current, voltage = need.of("motor", "current", "A"), need.of("motor", "voltage", "V")
    frequency, factor = need.of("motor", "frequency", "Hz"), need.of("motor", "power_factor")
    lowest = need.of("drive", "min_frequency", "Hz")
    run = run_of(need, "motor_cable")

    def percent() -> float:
        positive(rated_frequency_hz=frequency)
        z = run.impedance_ohm(temperature_c=_warm(context), frequency_hz=lowest)
        return drop_percent(drop_v(current, z, factor), voltage * lowest / frequency)

    figure = need.figure("drop.motor_low_speed", "Voltage drop of the motor cable at lowest speed", percent, "%", _LOW)
    return _with_run(
        figure,
        run,
        "plate current: what rated torque asks for, a quadratic load takes less; "
        "the drive's voltage boost is not counted",
    )


def _total(context: Context) -> Figure:
    need = context.needs()
    line, motor = need.figure_of("drop.line"), need.figure_of("drop.motor")
    return need.figure(
        "drop.total",
        "Voltage drop of line and motor cable together",
        lambda: line + motor,
        "%",
        _DROP_IEC if context.iec else _DROP,
        limit="<= 5 %" if context.iec else "",
        within=(lambda drop: drop <= 5) if context.iec else None,
        note="without the feeder, which stands with its panel on the site pages",
    )


def _with_run(figure: Figure, run: Run, words: str) -> Figure:
    return figure if figure.value is None else replace(figure, note=f"{run.words()}; {words}")


def _too_much(context: Context, kind: str, figure: Figure, run: Run, fits: Callable[[str], bool]) -> Finding:
    return context.finding(
        "E230",
        Grade.CAUTION,
        (kind, "size"),
        found=f"{run.label} over {display(run.length_m)} m drops {figure.text()}",
        accepted=figure.limit,
        remedy=_better_size(run, fits),
    )


def _better_size(run: Run, fits: Callable[[str], bool]) -> str:
    for label in _ladder(run):
        try:
            if fits(label):
                return f"fit {label}, or shorten the run"
        except OutsideTableError:
            continue
    return "fit parallel conductors, or shorten the run"


def _ladder(run: Run) -> tuple[str, ...]:
    """Sizes above the fitted one, smallest first, in its own system."""
    if run.label.endswith("mm²"):
        labels = tuple(f"{float(r['nominal_mm2']):g} mm²" for r in load("iec_60228_conductor_resistance").rows)
    else:
        labels = conductors.sizes(run.material)
    return labels[labels.index(run.label) + 1 :] if run.label in labels else ()


def _reflected(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    rise = need.of("model", "rise_time", "µs")
    yield need.figure(
        "cable.critical_length",
        "Motor cable length of full reflection",
        lambda: cable_length.critical_length_m(rise),
        "m",
        _CRITICAL,
    )
    need = context.needs()
    rise, length = need.of("model", "rise_time", "µs"), need.of("motor_cable", "length", "m")
    bus = need.figure_of("bus.no_load")
    line = need.of("motor", "voltage", "V")
    output_filter = context.drive.output_filter
    limit, rise_limit, words = _motor_limit(context)
    figure = need.figure(
        "cable.peak_voltage",
        "Peak voltage at the motor terminals",
        lambda: _peak(output_filter, bus, line, length, rise),
        "V",
        _PEAK,
        limit=f"<= {display(limit)} V" if limit is not None else "",
        within=(lambda peak: peak <= limit) if limit is not None else None,
        note=f"{words}; DC link without load; reflection in full, the safe side; {_filter_words(output_filter)}",
    )
    yield figure
    if isinstance(figure.value, float):
        yield need.figure(
            "cable.stress_category",
            "Stress category of the winding",
            lambda: cable_length.stress_category(_peak(output_filter, bus, line, length, rise), bus),
            "",
            _CATEGORY,
            note="a motor marked with its impulse voltage class bears that category and those before it",
        )
        yield from _rise_time(context, rise, rise_limit, bus, told=figure.verdict == "outside")
    if figure.verdict == "outside" and limit is not None:
        yield context.finding(
            "E232",
            Grade.CAUTION if _plate_is_silent(context) else Grade.STOP,
            ("motor_cable", "length"),
            found=f"{figure.text()} peak at the motor after {display(length)} m of cable; {words}",
            accepted=f"<= {display(limit)} V",
            remedy=_cure(bus, line, length, limit, rise),
        )


def _peak(output_filter: str, bus: float, line: float, length: float, rise: float) -> float:
    """Peak at the motor with the filter that is fitted."""
    if output_filter == "sine filter":
        return cable_length.sine_filter_peak_v(line)
    if output_filter == "dv/dt filter":
        rise = max(rise, cable_length.filtered_rise_time_us(bus))
    return cable_length.peak_voltage_v(bus, length, rise)


def _filter_words(output_filter: str) -> str:
    return {
        "sine filter": "sine filter fitted: 1.5 times the line voltage (common practice)",
        "dv/dt filter": "dv/dt filter fitted, taken to keep 500 V/µs: confirm on its data sheet",
        "reactor": "output reactor fitted: its effect depends on cable and winding capacitance and is not computed",
    }.get(output_filter, "no filter")


def _motor_limit(context: Context) -> tuple[float | None, float | None, str]:
    """Return peak limit, shortest rise time, and where they come from."""
    motor = context.motor
    if motor is None:
        return None, None, "motor not known: no limit"
    given = motor.peak_voltage_limit.to("V") if motor.peak_voltage_limit is not None else None
    rise = motor.rise_time_limit.to("µs") if motor.rise_time_limit is not None else None
    if given is not None:
        return given, rise, "limit of the motor's maker"
    if motor.voltage is None:
        return None, rise, "motor voltage not known: no limit"
    try:
        peak, shortest = cable_length.motor_limits(motor.voltage.to("V"), inverter_duty=bool(motor.inverter_duty))
    except OutOfRangeError:
        return None, rise, "above 600 V: NEMA gives no limit, ask the motor's maker"
    words = (
        "inverter duty: 3.1 times rated volts (NEMA MG 1 Part 31)"
        if motor.inverter_duty
        else "general purpose: 1000 V (NEMA MG 1 Part 30)"
        + ("" if motor.inverter_duty is False else ", as the plate does not say inverter duty")
    )
    if context.iec:
        words += "; IEC TS 60034-25 has curves that are not held here: this limit is taken for comparison"
    return peak, rise if rise is not None else shortest, words


def _plate_is_silent(context: Context) -> bool:
    """Tell whether neither a limit nor inverter duty is recorded: the limit is then a presumption."""
    motor = context.motor
    return motor is not None and motor.inverter_duty is None and motor.peak_voltage_limit is None


def _rise_time(
    context: Context, rise: float, shortest: float | None, bus: float, *, told: bool
) -> Iterator[Figure | Finding]:
    """Judge the rise time; `told` when the peak already gave a finding."""
    if shortest is None:
        return
    need = context.needs()
    need.of("model", "rise_time", "µs")
    fitted = context.drive.output_filter
    at_motor = max(rise, cable_length.filtered_rise_time_us(bus)) if fitted == "dv/dt filter" else rise
    figure = need.figure(
        "cable.rise_time",
        "Rise time of the pulse",
        lambda: at_motor,
        "µs",
        Rule(
            "not shorter than the motor bears",
            "NEMA MG 1 Parts 30 and 31, 0.8 U / t_r for a filter"
            + ("; IEC TS 60034-25 has curves that are not held here" if context.iec else ""),
        ),
        limit=f">= {shortest:g} µs",
        within=lambda time: fitted in _SOFTENED or time >= shortest,
        note=_SOFTENED.get(fitted, "at the drive; cable slows it"),
    )
    yield figure
    if figure.verdict == "outside" and not told:
        yield context.finding(
            "E233",
            Grade.NOTE if _plate_is_silent(context) else Grade.CAUTION,
            ("motor", "inverter_duty"),
            found=f"pulses rise in {figure.text()}, the motor is meant for {shortest:g} µs or longer",
            accepted=f">= {shortest:g} µs",
            remedy="ask the motor's maker for its limits, or fit a dv/dt or sine filter",
        )


def _cure(bus: float, line: float, length: float, limit: float, rise: float) -> str:
    """Offer what brings the peak within the limit, with the peak computed again."""
    slow = _peak("dv/dt filter", bus, line, length, rise)
    sine = _peak("sine filter", bus, line, length, rise)
    offers = [
        f"{name}: {display(peak)} V" for name, peak in (("dv/dt filter", slow), ("sine filter", sine)) if peak <= limit
    ]
    shorter = cable_length.critical_length_m(rise) * (limit / bus - 1)
    if shorter >= length / 2:
        offers.append(f"cable of {display(shorter)} m or less")
    offers.append("a motor with a higher limit; an output reactor only with its maker's figures")
    return "; ".join(offers)


def _manual_length(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    longest, length = need.of("model", "max_motor_cable", "m"), need.of("motor_cable", "length", "m")
    figure = need.figure(
        "cable.length",
        "Motor cable length",
        lambda: length,
        "m",
        _LENGTH,
        limit="" if math.isnan(longest) else f"<= {display(longest)} m (manual)",
        within=lambda routed: routed <= longest,
        note="each pulse charges the cable: on a small drive with a long cable this takes current from the motor; "
        "not computed, the workbook holds no cable capacitance. Parallel motor cables add up",
    )
    yield figure
    if figure.verdict == "outside":
        filtered = context.drive.output_filter not in ("", "none")
        yield context.finding(
            "E231",
            Grade.CAUTION if filtered else Grade.STOP,
            ("motor_cable", "length"),
            found=f"motor cable of {figure.text()}, the manual allows {display(longest)} m",
            accepted=f"{display(longest)} m or less, or the length the manual gives with a filter",
            remedy=_feet(context)
            + "shorten the cable, or fit the output filter that the manual names for this length",
        )


def _feet(context: Context) -> str:
    """Ask whether a length typed in metres was feet, where feet would be within the manual's limit; else ''."""
    cable, model = context.motor_cable, context.model
    if context.iec or cable is None or cable.length is None or model is None:
        return ""
    meant = meant_instead(cable.length, None, model.max_motor_cable)
    return f"is {' or '.join(map(str, meant))} meant? " if meant else ""


def _segregation(context: Context) -> Figure:
    shielded = context.motor_cable.shielded if context.motor_cable is not None else None
    screen = {True: "motor cable screened", False: "motor cable not screened", None: "screen not known"}[shielded]
    return context.needs().figure(
        "cable.segregation",
        "Distance of motor cable from signal cables",
        lambda: 300.0,
        "mm",
        _APART,
        limit=">= 300 mm where run in parallel, crossings at 90°",
        note=f"{screen}; a conduit or tray compartment of its own for each drive's output",
    )
