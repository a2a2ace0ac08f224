"""Figures of motion: speeds behind belt or gear, field weakening, low speed, load of the motor."""

from __future__ import annotations

import math
from collections.abc import Iterator

from binder.engineering import motor, motor_on_drive, ramps, transmission, volts_per_hertz
from binder.engineering.figure import Figure, Rule, display
from binder.inventory.findings import Finding, Grade
from binder.sizing.context import Context, Needs, at_least, at_most, not_above, not_below

_RATIO = Rule("motor rpm over machine rpm: gear ratio, machine sheave / motor sheave, or 1 when direct", "textbook")
_SPEED = Rule("(120 f / p - slip x load) / ratio", "textbook; slip in rpm goes with the torque")
_WEAKENING = Rule("plate frequency x min(1, supply / plate voltage)", "textbook: flux goes with U / f")
_TORQUE_TOP = Rule("100 f_weakening / f above that frequency, else 100", "textbook: constant power above base speed")
_LOAD_TOP = Rule("shaft power / motor power, by load type at highest frequency", "textbook load types")
_LOWEST = Rule(
    "plate frequency / turn-down: quadratic 10, else 4 inverter duty, 2 general purpose; separate fan: none",
    "common practice, no source; NEMA MG 1 part 30 and IEC TS 60034-25 leave it to the motor's maker",
)
_SERVICE = Rule(
    "1.0 on a drive, whatever the plate says",
    "NEMA MG 1 parts 30 and 31 (from memory, check); IEC plates have no service factor",
)
_VOLTS = Rule("U / f of the plate", "textbook: constant flux below base speed")


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield speeds, limits of frequency and the load of the motor."""
    yield from _speeds(context)
    yield from _high_end(context)
    yield from _low_end(context)
    yield from _load(context)


def ratio_of(need: Needs) -> float:
    """Motor rpm over machine rpm; NaN when the workbook does not tell."""
    machine = need.context.machine
    if machine is not None and machine.transmission == "direct":
        need.word("machine", "transmission")
        return 1.0
    if machine is not None and machine.gear_ratio is None and machine.motor_sheave is not None:
        small, large = need.of("machine", "motor_sheave", "mm"), need.of("machine", "machine_sheave", "mm")
        return math.nan if need.missing else transmission.ratio_from_sheaves(small, large)
    return need.of("machine", "gear_ratio")


def _speeds(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    frequency, poles = need.of("drive", "max_frequency", "Hz"), need.figure_of("motor.poles")
    synchronous, plate = need.figure_of("motor.synchronous_speed"), need.of("motor", "speed", "rpm")
    yield need.figure(
        "motion.motor_speed",
        "Motor speed at highest frequency, full torque",
        lambda: motor.loaded_speed_rpm(frequency, int(poles), synchronous - plate, 1.0),
        "rpm",
        _SPEED,
    )
    need = context.needs()
    volts, plate_hz = need.of("motor", "voltage", "V"), need.of("motor", "frequency", "Hz")
    yield need.figure(
        "motion.volts_per_hertz",
        "Volts per hertz of the plate",
        lambda: volts_per_hertz.ratio_v_per_hz(volts, plate_hz),
        "V/Hz",
        _VOLTS,
    )
    if context.machine is None:
        return
    need = context.needs()
    ratio = ratio_of(need)
    yield need.figure("motion.ratio", "Motor speed over machine speed", lambda: ratio, "", _RATIO)
    need = context.needs()
    speed, ratio = need.figure_of("motion.motor_speed"), need.figure_of("motion.ratio")
    limit = context.needs().of("machine", "max_speed", "rpm")
    fastest = need.figure(
        "motion.machine_speed",
        "Machine speed at highest frequency",
        lambda: transmission.machine_speed_rpm(speed, ratio),
        "rpm",
        _SPEED,
        limit=at_most(limit, "rpm", "limit of the machine"),
        within=not_above(limit),
    )
    yield fastest
    if fastest.verdict == "outside" and isinstance(fastest.value, float):
        yield _too_fast(context, fastest.value, limit)
    if context.machine.min_speed is not None and context.drive.min_frequency is not None:
        yield from _slow_end(context)


def _too_fast(context: Context, speed: float, limit: float) -> Finding:
    top = context.drive.max_frequency
    hertz = math.floor(10.0 * (top.to("Hz") if top else 0.0) * limit / speed) / 10.0
    return context.finding(
        "E141",
        Grade.STOP,
        ("drive", "max_frequency"),
        found=f"the machine reaches {display(speed)} rpm",
        accepted=f"at most {display(limit)} rpm, limit of the machine",
        remedy=f"set the highest frequency to {hertz:g} Hz or below, or change the ratio",
    )


def _slow_end(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    frequency, poles = need.of("drive", "min_frequency", "Hz"), need.figure_of("motor.poles")
    ratio, limit = need.figure_of("motion.ratio"), need.of("machine", "min_speed", "rpm")
    slowest = need.figure(
        "motion.machine_speed_low",
        "Machine speed at lowest frequency, without slip",
        lambda: transmission.machine_speed_rpm(motor.loaded_speed_rpm(frequency, int(poles), 0.0, 0.0), ratio),
        "rpm",
        _SPEED,
        limit=at_least(limit, "rpm", "lowest speed of the machine"),
        within=not_below(limit),
    )
    yield slowest
    if slowest.verdict == "outside" and isinstance(slowest.value, float):
        hertz = math.ceil(10.0 * int(poles) * limit * ratio / 120.0) / 10.0
        yield context.finding(
            "E110",
            Grade.CAUTION,
            ("drive", "min_frequency"),
            found=f"the machine turns at {slowest.text()} at {display(frequency)} Hz",
            accepted=f"{display(limit)} rpm or more, lowest speed of the machine",
            remedy=f"set the lowest frequency to {hertz:g} Hz or above",
        )


def load_share(need: Needs) -> float:
    """Load torque over rated torque at the motor's plate speed: power over power; NaN when not known."""
    shaft, power = need.of("machine", "shaft_power", "kW"), need.of("motor", "power", "kW")
    return shaft / power if power else math.nan


def _high_end(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    volts, hertz = need.of("motor", "voltage", "V"), need.of("motor", "frequency", "Hz")
    supply = need.of("supply", "voltage", "V")
    yield need.figure(
        "motion.field_weakening",
        "Field weakening begins at",
        lambda: motor_on_drive.field_weakening_from_hz(volts, hertz, supply),
        "Hz",
        _WEAKENING,
    )
    top = context.drive.max_frequency
    begins = context.number("motion.field_weakening")
    if top is None or begins is None or top.to("Hz") <= begins * (1.0 + 1e-9):
        return
    need = context.needs()
    kind, share = need.word("machine", "load_type"), load_share(need)
    hertz, highest = need.of("motor", "frequency", "Hz"), need.of("drive", "max_frequency", "Hz")
    yield need.figure(
        "motion.load_torque_top",
        "Torque the load asks for at highest frequency, of rated torque",
        lambda: 100.0 * ramps.load_torque_share(kind, highest / hertz, share),
        "%",
        _LOAD_TOP,
    )
    need = context.needs()
    highest, weak = need.of("drive", "max_frequency", "Hz"), need.figure_of("motion.field_weakening")
    asked = context.number("motion.load_torque_top")
    limit = math.nan if asked is None else asked
    available = need.figure(
        "motion.torque_top",
        "Continuous torque left at highest frequency, of rated torque",
        lambda: 100.0 * motor_on_drive.continuous_torque_share(highest, weak),
        "%",
        _TORQUE_TOP,
        limit=at_least(limit, "%", "asked for by the load"),
        within=not_below(limit),
    )
    yield available
    if available.verdict == "outside":
        yield _too_little_torque(context, available, limit, (kind, share, hertz, weak))


def _too_little_torque(
    context: Context, available: Figure, asked: float, load: tuple[str, float, float, float]
) -> Finding:
    kind, share, plate_hz, weak_hz = load
    tenths = int(10 * (context.drive.max_frequency.to("Hz") if context.drive.max_frequency else 0.0))
    fitting = next(
        (
            t / 10.0
            for t in range(tenths, 0, -1)
            if ramps.load_torque_share(kind, t / 10.0 / plate_hz, share)
            <= motor_on_drive.continuous_torque_share(t / 10.0, weak_hz)
        ),
        None,
    )
    return context.finding(
        "E107",
        Grade.CAUTION,
        ("drive", "max_frequency"),
        found=f"at highest frequency the motor has {available.text()} torque, the load asks for {display(asked)} %",
        accepted="torque of the motor not below that of the load",
        remedy=f"lower the highest frequency to {fitting:g} Hz" if fitting else "choose a larger motor",
    )


def _low_end(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    hertz, kind = need.of("motor", "frequency", "Hz"), need.word("machine", "load_type")
    cooling = _cooling(need)
    duty = bool(context.motor and context.motor.inverter_duty)
    lowest = need.figure(
        "motion.lowest_frequency",
        "Lowest frequency for continuous running",
        lambda: motor_on_drive.lowest_frequency_hz(hertz, motor_on_drive.turn_down(kind, cooling, inverter_duty=duty)),
        "Hz",
        _LOWEST,
        note=f"cooling {cooling or 'unclear'}; {'inverter duty' if duty else 'general purpose'}; maker's curve rules",
    )
    yield lowest
    set_hz = context.drive.min_frequency
    if isinstance(lowest.value, float) and set_hz is not None and set_hz.to("Hz") < lowest.value * (1.0 - 1e-9):
        yield context.finding(
            "E108",
            Grade.CAUTION,
            ("drive", "min_frequency"),
            found=f"lowest frequency {set_hz}, {cooling}-ventilated motor, {kind} load",
            accepted=f"{lowest.text()} or above for continuous running",
            remedy=f"set {lowest.text()}, fit a fan with its own motor, or get the maker's word for the lower speed",
        )


def _cooling(need: Needs) -> str:
    plate = need.context.motor
    if plate is not None and not plate.cooling and plate.enclosure:
        return motor_on_drive.cooling_kind(need.word("motor", "enclosure"))
    return motor_on_drive.cooling_kind(need.word("motor", "cooling"))


def _load(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    if context.motor is not None and context.motor.service_factor is not None:
        need.of("motor", "service_factor")
    yield need.figure(
        "motor.service_factor",
        "Service factor that may be used",
        lambda: motor_on_drive.SERVICE_FACTOR_ON_DRIVE,
        "",
        _SERVICE,
    )
    if context.machine is None or context.machine.shaft_power is None:
        return
    need = context.needs()
    shaft, power = need.of("machine", "shaft_power", "kW"), need.of("motor", "power", "kW")
    share = need.figure(
        "machine.load",
        "Load at full speed, of motor power",
        lambda: 100.0 * shaft / power,
        "%",
        Rule("shaft power / motor power", "textbook; without the service factor on a drive"),
        limit="<= 100 %",
        within=lambda v: v <= 100.0 + 1e-9,
    )
    yield share
    if share.verdict == "outside":
        yield context.finding(
            "E109",
            Grade.CAUTION,
            ("machine", "shaft_power"),
            found=f"the machine needs {display(shaft)} kW, the motor gives {display(power)} kW",
            accepted="at most the motor's power: its service factor does not count on a drive",
            remedy="choose a larger motor, or hold the speed or the flow down so that the motor's current is kept",
        )
