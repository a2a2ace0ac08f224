"""The reference sweep: what the real source must give at 0, 25, 50, 75 and 100 %, mode by mode."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from binder.engineering.figure import display
from binder.engineering.motor import loaded_speed_rpm, poles_from_speed, synchronous_speed_rpm
from binder.engineering.ramps import load_torque_share
from binder.engineering.ranges import OutOfRangeError
from binder.engineering.speed_reference import FORMATS, SignalFormat, scaled
from binder.engineering.transmission import machine_speed_rpm, ratio_from_sheaves
from binder.field.bench import PRACTICE, Bench, measured, plain, slug
from binder.field.load import PERCENTS, expected_current, expected_shaft_kw, full_torque_share
from binder.field.sheets import Sweep, SweepPoint, TestLine
from binder.inventory.findings import Finding, Grade
from binder.inventory.records import Control

CURRENT_TOLERANCE = 0.15  # of the expected current, common practice, no source
SPEED_TOLERANCE = 0.02  # of the speed at maximum frequency, open loop, common practice, no source
FREQUENCY_TOLERANCE = 0.01  # of maximum frequency, common practice, no source

#: A value written by a network master or at the keypad: no signal, but swept the same way.
PERCENT = SignalFormat("percent", 0.0, 100.0, "%")
_DECIMALS = {"V": 2, "mA": 1, "%": 0}

#: Scheme that sets a speed -> (part of the line ids, its source in words, signal format when no setting
#: says otherwise).
_SOURCES: dict[str, tuple[str, str, str]] = {
    "speed potentiometer": ("POT", "speed potentiometer", "0-10 V"),
    "0-10 V reference": ("VOLT", "0-10 V output of the controller", "0-10 V"),
    "2-10 V reference": ("LIVE", "2-10 V output of the controller", "2-10 V"),
    "4-20 mA reference": ("LOOP", "4-20 mA output of the controller", "4-20 mA"),
    "4-20 mA transmitter": ("TX", "4-20 mA transmitter", "4-20 mA"),
    "network": ("NET", "speed value written by the network master", "percent"),
}
_BY_HAND = frozenset({"hand", "local"})


@dataclass(frozen=True, slots=True)
class Reference:
    """One real source of the speed reference."""

    key: str  # 'hand-POT': part of the line ids, the same whatever else is wired
    mode: str
    text: str
    format: str
    terminal: str = ""  # label of the analog input, 'AI1'

    @property
    def span(self) -> SignalFormat:
        """Ends and unit of the signal."""
        return FORMATS.get(self.format, PERCENT)

    def signal(self, percent: float) -> float:
        """The signal at a percentage of its span, in its unit."""
        return scaled(percent, self.span.low, self.span.high)

    def words(self, percent: float) -> str:
        """The signal as printed."""
        return f"{self.signal(percent):.{_DECIMALS[self.span.unit]}f} {self.span.unit}"


def references(bench: Bench) -> tuple[Reference, ...]:
    """Every proportional speed reference of a drive.

    Parameters
    ----------
    bench : Bench

    Returns
    -------
    tuple of Reference
        From the Controls sheet; a drive without any is swept from its keypad.
    """
    found: dict[str, Reference] = {}
    for control in bench.controls:
        if control.scheme in _SOURCES and _sets_speed(bench, control):
            reference = _reference(bench, control)
            found.setdefault(reference.key, reference)
    if not found and bench.setting_words("reference_source") in ("keypad", "built-in potentiometer"):
        return (Reference("KEY", "", bench.setting_words("reference_source"), "percent"),)
    return tuple(found.values())


def _sets_speed(bench: Bench, control: Control) -> bool:
    """A transmitter is feedback, unless nothing else sets the speed."""
    if control.scheme != "4-20 mA transmitter":
        return True
    others = any(c.scheme in _SOURCES and c.scheme != control.scheme for c in bench.controls)
    return not others and "process control" not in bench.schemes


def _reference(bench: Bench, control: Control) -> Reference:
    short, text, form = _SOURCES[control.scheme]
    terminal = _input_of(bench, control)
    wanted = bench.setting_words("analog_input_format", terminal) if terminal else ""
    if wanted in FORMATS and form in FORMATS and FORMATS[wanted].unit == FORMATS[form].unit:
        form = wanted
    device = control.devices and f" ({control.devices})"
    key = f"{slug(control.mode)}-{short}".strip("-")
    return Reference(key, control.mode, f"{text}{device}", form, terminal)


def _input_of(bench: Bench, control: Control) -> str:
    """Label of the analog input that this row's signal reaches: the row's own binding, else by function."""
    if control.scheme == "network":
        return ""
    by_hand = control.mode in _BY_HAND
    functions = ("hand_reference", "speed_reference") if by_hand else ("speed_reference", "hand_reference")
    for function in functions:
        if bound := re.search(rf"\b{function.replace('_', '[_ ]')}\s*=\s*([^;,\s]+)", control.terminals):
            return bound[1]
    sources = sum(c.scheme in _SOURCES and c.scheme != "network" for c in bench.controls)
    for function in functions[: 1 if sources > 1 else 2]:
        terminal = next(bench.terminals_for(function), None)
        if terminal is not None:
            return terminal.label or terminal.number
    return ""


def sweeps(bench: Bench) -> tuple[tuple[Sweep, ...], tuple[Finding, ...]]:
    """Work out the sweep of every mode.

    Parameters
    ----------
    bench : Bench

    Returns
    -------
    tuple of Sweep
        Empty when maximum frequency or motor speed are not known.
    tuple of Finding
        Why a sweep could not be worked out, or rests on a choice that nobody made.

    References
    ----------
    Points and tolerances: common practice, no source. Slip in proportion to torque at equal
    flux: textbook of induction machines.
    """
    sources = references(bench)
    if not sources:
        return (), ()
    _, top = bench.running_hz
    if top is None or expected_rpm(bench, top) is None:
        return (), (_not_known(bench),)
    findings = [f for s in sources for f in _convention_doubt(bench, s)]
    return tuple(_sweep(bench, s) for s in sources), tuple(dict.fromkeys(findings))


def _not_known(bench: Bench) -> Finding:
    motor = bench.motor
    cell = motor.origin.cell("speed") if motor else bench.drive.origin.cell("motor")
    return Finding(
        "F116",
        Grade.CAUTION,
        (motor.origin.sheet or "Motors") if motor else "Drives",
        cell,
        bench.drive.tag,
        found="no reference sweep: maximum frequency, plate frequency or plate speed is not known",
        accepted="plate frequency in Hz and speed in rpm",
        remedy="Complete the motor's plate.",
        column="speed",
    )


def _scale(bench: Bench, source: Reference) -> tuple[float, float, bool]:
    """Percent of maximum frequency at both ends of the signal, and whether a setting says so."""
    low = _number(bench, "analog_input_low", source.terminal)
    high = _number(bench, "analog_input_high", source.terminal)
    return (low or 0.0, 100.0 if high is None else high, low is not None or not source.terminal)


def _number(bench: Bench, function: str, applies_to: str) -> float | None:
    row = bench.settings.required(function, applies_to) if applies_to else None
    if row is None:
        return None
    word = row.required.strip().split(" ")[0].replace(",", ".")
    try:
        value = float(word)
    except ValueError:
        return None
    if row.unit == "Hz":
        _, top = bench.running_hz
        return None if not top else value / top * 100
    return value


def _convention_doubt(bench: Bench, source: Reference) -> Iterator[Finding]:
    bottom, _ = bench.running_hz
    _, _, known = _scale(bench, source)
    if bottom and not known:
        yield Finding(
            "F117",
            Grade.CAUTION,
            bench.drive.origin.sheet or "Drives",
            bench.drive.origin.cell("min_frequency"),
            bench.drive.tag,
            found=f"nobody says whether zero signal means 0 Hz or {display(bottom)} Hz at {source.text}",
            accepted="a model setting with function analog input low, or an override of it",
            remedy="Agree it with the controls contractor and write it down; the sweep takes 0 Hz, held at minimum.",
            column="min_frequency",
        )


def _sweep(bench: Bench, source: Reference) -> Sweep:
    points = tuple(_point(bench, source, percent) for percent in PERCENTS)
    where = f" at {source.terminal}" if source.terminal else ""
    return Sweep(
        source.mode, f"{source.text}{where}", _convention(bench, source), points, note=_note(bench), key=source.key
    )


def _convention(bench: Bench, source: Reference) -> str:
    bottom, top = bench.running_hz
    low, high, _ = _scale(bench, source)
    start, end = low / 100 * (top or 0), high / 100 * (top or 0)
    text = f"Zero signal means {display(start)} Hz, full signal {display(end)} Hz."
    if bottom and start < bottom:
        text += f" The drive does not go below {display(bottom)} Hz."
    return text


def _note(bench: Bench) -> str:
    kind = (bench.machine.load_type if bench.machine else "") or "load type not in the inventory: constant torque taken"
    share = full_torque_share(bench)
    torque = f"{100 * share:.0f} % of rated torque" if share is not None else "rated torque, no power of the load known"
    return (
        f"Speed with the slip of the load's torque ({kind}; at plate frequency {torque}). "
        f"Current bands: expected current ±15 %, cut off at the motor's plate ({PRACTICE}). "
        "Bands are for the load of the inventory; at less load the current is lower, and no fault."
        f"{_above_plate(bench)}"
    )


def _above_plate(bench: Bench) -> str:
    """Why a point may ask for more than the plate gives, or ''."""
    plate = plain(bench.motor.current, "A") if bench.motor else None
    asked = {p: bench.figures.number(f"sweep.current_{p:g}") or 0.0 for p in PERCENTS}
    over = {p: amps for p, amps in asked.items() if plate and amps > plate * (1 + 1e-9)}
    if plate is None or not over:
        return ""
    points = ", ".join(f"{p:g} %" for p in over)
    return (
        f" At {points} the load of the inventory asks for {display(max(over.values()))} A, above the motor's plate of "
        f"{display(plate)} A: the limit stays the plate. Stop there and look at load, ratio and top speed."
    )


def frequency_at(bench: Bench, source: Reference, percent: float) -> float:
    """Output frequency at a percentage of the signal span. [Hz]"""
    bottom, top = bench.running_hz
    low, high, _ = _scale(bench, source)
    return max(bottom or 0.0, scaled(scaled(percent, low, high), 0.0, top or 0.0))


def poles_of(bench: Bench) -> int | None:
    """Poles of the motor: the figure, the plate, else from plate speed and frequency."""
    motor = bench.motor
    poles = bench.figures.number("motor.poles") or (motor.poles if motor else None)
    if poles or motor is None or motor.speed is None or motor.frequency is None:
        return int(poles) if poles else None
    try:
        return poles_from_speed(motor.frequency.to("Hz"), motor.speed.to("rpm"))
    except OutOfRangeError:  # an impossible plate has its finding elsewhere
        return None


def expected_rpm(bench: Bench, frequency_hz: float) -> float | None:
    """Motor speed at an output frequency with the slip that its load makes.

    Parameters
    ----------
    bench : Bench
    frequency_hz : float
        Output frequency, 0 or above. [Hz]

    Returns
    -------
    float or None
        Shaft speed; None when poles or plate frequency are not known. [rpm]

    Notes
    -----
    Slip in rpm goes with the load's torque. At plate frequency that is the machine's shaft power
    over the motor's; where one of them is not known, rated torque. Permanent-magnet motors run
    without slip.

    References
    ----------
    Textbook, constant volts per hertz, see `engineering.motor.loaded_speed_rpm`.
    """
    motor, poles = bench.motor, poles_of(bench)
    hertz = plain(motor.frequency, "Hz") if motor else None
    if motor is None or poles is None or not hertz:
        return None
    plate = plain(motor.speed, "rpm")
    rated = synchronous_speed_rpm(hertz, poles)
    slip = 0.0 if motor.permanent_magnet or plate is None else max(0.0, rated - plate)
    kind = (bench.machine.load_type if bench.machine else "") or "constant torque"
    full = full_torque_share(bench)
    full = 1.0 if full is None else full
    share = load_torque_share(kind, frequency_hz / hertz, full) if 0 < frequency_hz <= hertz else full
    return loaded_speed_rpm(frequency_hz, poles, slip, share)


def machine_ratio(bench: Bench) -> float | None:
    """Motor rpm over machine rpm: gear ratio, sheaves, 1 when direct; None when not known."""
    machine = bench.machine
    if machine is None:
        return None
    if machine.gear_ratio is not None:
        return float(machine.gear_ratio) or None
    if machine.motor_sheave is not None and machine.machine_sheave is not None:
        return ratio_from_sheaves(machine.motor_sheave.to("mm"), machine.machine_sheave.to("mm"))
    return 1.0 if machine.transmission == "direct" else None


def current_band(bench: Bench, frequency_hz: float) -> tuple[float, float] | None:
    """Expected current band at a frequency, where one can be worked out; never above the plate. [A]"""
    expected = expected_current(bench, frequency_hz)
    if expected is None:
        return None
    plate = plain(bench.motor.current, "A") if bench.motor else None
    held = expected if plate is None else min(expected, plate)
    high = held * (1 + CURRENT_TOLERANCE)
    return held * (1 - CURRENT_TOLERANCE), high if plate is None else min(high, plate)


def _point(bench: Bench, source: Reference, percent: float) -> SweepPoint:
    hertz = frequency_at(bench, source, percent)
    rpm = expected_rpm(bench, hertz) or 0.0
    ratio = machine_ratio(bench)
    band = current_band(bench, hertz)
    shaft = expected_shaft_kw(bench, hertz)
    stem = f"C3.{source.key}.{percent:g}"
    return SweepPoint(
        percent=percent,
        signal=source.words(percent),
        frequency_hz=hertz,
        speed_rpm=rpm,
        machine_rpm=None if ratio is None else machine_speed_rpm(rpm, ratio),
        current_low_a=None if band is None else band[0],
        current_high_a=None if band is None else band[1],
        shaft_kw=shaft,
        lines=(
            *_lines(bench, source, stem, percent, hertz, rpm, band),
            *([_power_line(source, stem, percent, shaft)] if hertz else []),
        ),
    )


def _lines(
    bench: Bench,
    source: Reference,
    stem: str,
    percent: float,
    hertz: float,
    rpm: float,
    band: tuple[float, float] | None,
) -> Iterator[TestLine]:
    """What is read at one point: signal at the drive, Hz, rpm, three currents, DC volts."""
    _, top = bench.running_hz
    span = source.span
    at = f"{percent:g} % from the {source.text}"
    if source.terminal:
        slack = (span.high - span.low) * 0.01
        value = source.signal(percent)
        yield measured(
            f"{stem}.REF",
            f"Signal at {source.terminal}",
            span.unit,
            low=value - slack,
            high=value + slack,
            condition=at,
            expected=source.words(percent),
            source=f"±1 % of span, {PRACTICE}",
            proves=("analog_input_format",),
        )
    spread = FREQUENCY_TOLERANCE * (top or 0)
    yield measured(
        f"{stem}.HZ",
        "Output frequency",
        "Hz",
        low=max(0.0, hertz - spread),
        high=hertz + spread,
        condition=at,
        expected=f"{hertz:.1f} Hz",
        source=f"±1 % of maximum frequency, {PRACTICE}",
        proves=("reference_source", "max_frequency", "min_frequency"),
    )
    slack = SPEED_TOLERANCE * (expected_rpm(bench, top or 0) or 0)
    yield measured(
        f"{stem}.RPM",
        "Motor speed by tachometer",
        "rpm",
        low=max(0.0, rpm - slack),
        high=rpm + slack,
        condition=at,
        expected=f"{rpm:.0f} rpm",
        source=f"±2 % of full speed, open loop, {PRACTICE}",
    )
    plate = plain(bench.motor.current, "A") if bench.motor else None
    for phase in "UVW":
        yield measured(
            f"{stem}.{phase}",
            f"Output current {phase}",
            "A",
            low=band[0] if band else None,
            high=band[1] if band else plate,
            condition=at,
            expected=f"{display(band[0])} to {display(band[1])} A" if band else "",
            source=f"expected ±15 %, never above the motor plate, {PRACTICE}",
            proves=("motor_current",),
        )
    yield measured(
        f"{stem}.S",
        "Spread of the three",
        "%",
        high=10,
        condition=at,
        limit="up to 5 % good, above 10 % stop",
        source=f"trade article on unbalanced current; {PRACTICE}",
        kind="computed",
        why="greatest deviation from the mean, from U, V, W",
    )
    yield measured(f"{stem}.DC", "DC bus voltage", "V", condition=at)


def _power_line(source: Reference, stem: str, percent: float, shaft: float | None) -> TestLine:
    """Power at a point that turns: nothing to judge by, but what the planner compares with in later years."""
    return measured(
        f"{stem}.KW",
        "Power, as the drive shows it or a meter on its line",
        "kW",
        condition=f"{percent:g} % from the {source.text}",
        expected="" if shaft is None else f"{display(shaft)} kW at the shaft, and the losses",
        limit="record; baseline",
    )
