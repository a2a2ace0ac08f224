"""Figures of ramps and braking: shortest times, energy of a stop, and the brake resistor."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from binder.engineering import braking, ramps, transmission
from binder.engineering.figure import Figure, Rule, display
from binder.inventory.findings import Finding, Grade
from binder.inventory.records import Machine
from binder.sizing.context import Context, Needs, at_least, at_most, not_above, not_below
from binder.sizing.motion import load_share

_INERTIA = Rule("J_motor + J_machine / ratio²", "textbook: equal kinetic energy")
_RAMP = Rule("integral of J d(omega) / (T_motor - T_load), Simpson, 32 steps", "textbook: equation of motion")
_WITH_MARGIN = "shortest ramp and 20 %: common practice, no source"
_TURNS = Rule("n / 60 x t / 2 at the machine shaft", "textbook, even ramp")
_ENERGY = Rule("J omega² / 2", "textbook")
_PEAK = Rule("((J omega / t) - T_load) omega x efficiency", "textbook, even ramp from highest frequency")
_RESISTOR = Rule("U_chopper² / R", "textbook")
_BRAKE = Rule(
    "released by the drive once it holds the load, applied without supply; drops with safe torque off",
    "IEC 61800-5-2 on hanging loads (from memory, check)",
)
_CYCLE = Rule("energy of a stop x efficiency / continuous rating", "textbook: mean power")

_MARGIN = 1.2


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield inertia, ramps and braking of a drive whose machine is known."""
    if context.machine is not None:
        yield from _ramps(context)
        yield from _braking(context)
        yield from _holding(context, context.machine)


def _holding(context: Context, machine: Machine) -> Iterator[Figure | Finding]:
    """Mechanical brake: how it must be fed, and a hanging load without one."""
    if machine.mechanical_brake:
        fed = "fed apart from the drive's output"
        yield context.needs().figure("brake.mechanical", "Mechanical brake", lambda: fed, "", _BRAKE)
    elif machine.gravity or machine.load_type == "hoist":
        yield context.finding(
            "E146",
            Grade.CAUTION if machine.mechanical_brake is None else Grade.STOP,
            ("machine", "mechanical_brake"),
            found="the load can fall and no mechanical brake is entered",
            accepted="a brake that holds the load when the drive gives no torque, or a counterweight",
            remedy="enter the brake, or write in the remark what holds the load during safe torque off and power loss",
        )


def _drive_torque(need: Needs) -> float:
    """Torque the motor may give for acceleration: rated torque x what the overload current allows. [N·m]"""
    rated = need.figure_of("motor.rated_torque")
    peak = need.figure_of("rating.peak_torque")
    return rated * peak / 100.0


def _ramps(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    own, load = need.of("motor", "inertia", "kg·m²"), need.of("machine", "inertia", "kg·m²")
    ratio = need.figure_of("motion.ratio")
    yield need.figure(
        "ramp.inertia",
        "Inertia at the motor shaft",
        lambda: transmission.reflected_inertia_kg_m2(own, load, ratio),
        "kg·m²",
        _INERTIA,
    )
    yield from _acceleration(context)
    yield from _deceleration(context)


def _acceleration(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    inertia, speed = need.figure_of("ramp.inertia"), need.figure_of("motion.motor_speed")
    torque, rated = _drive_torque(need), need.figure_of("motor.rated_torque")
    kind, share = need.word("machine", "load_type"), load_share(need)
    weak, top = need.figure_of("motion.field_weakening"), need.of("drive", "max_frequency", "Hz")
    hertz = need.of("motor", "frequency", "Hz")

    def left_over(x: float) -> float:
        flux = 1.0 if x * top <= weak else (weak / (x * top)) ** 2  # breakdown torque above base speed
        return torque * flux - rated * ramps.load_torque_share(kind, x * top / hertz, share)

    shortest = need.figure(
        "ramp.acceleration",
        "Shortest acceleration to highest frequency",
        lambda: ramps.ramp_s(inertia, speed, left_over),
        "s",
        _RAMP,
        limit=_set_time(context, "acceleration_time"),
        within=_long_enough(context, "acceleration_time"),
        note=_WITH_MARGIN,
    )
    yield shortest
    if shortest.verdict == "outside" and isinstance(shortest.value, float):
        yield _too_short(context, "E142", "acceleration_time", shortest.value, "or it trips on overcurrent or stalls")


def _set_time(context: Context, name: str) -> str:
    seconds = context.needs().of("drive", name, "s")
    return at_most(seconds / _MARGIN, "s", f"the set {display(seconds)} s less its margin")


def _long_enough(context: Context, name: str) -> Callable[[float], bool] | None:
    return not_above(context.needs().of("drive", name, "s") / _MARGIN)


def _too_short(context: Context, code: str, name: str, shortest: float, else_what: str) -> Finding:
    seconds = context.needs().of("drive", name, "s")
    needed = math.ceil(shortest * _MARGIN)
    return context.finding(
        code,
        Grade.CAUTION,
        ("drive", name),
        found=f"{name.replace('_', ' ')} {display(seconds)} s, shortest possible {display(shortest)} s",
        accepted=f"{needed} s or more, the shortest and 20 %",
        remedy=f"set {needed} s or more, {else_what}",
    )


def _deceleration(context: Context) -> Iterator[Figure | Finding]:
    if context.drive.stop_mode == "coast":
        return
    need = context.needs()
    inertia, speed = need.figure_of("ramp.inertia"), need.figure_of("motion.motor_speed")
    rated, efficiency = need.figure_of("motor.rated_torque"), need.of("motor", "efficiency", "%")
    power, kind = need.of("motor", "power", "kW"), need.word("machine", "load_type")
    share = load_share(need)
    resistor_w = 0.0
    if context.drive.brake_resistance is not None:
        volts, ohms = need.of("model", "chopper_voltage", "V"), need.of("drive", "brake_resistance", "Ω")
        resistor_w = volts**2 / ohms if ohms else math.nan
    peak = need.figure_of("rating.peak_torque")
    top, hertz = need.of("drive", "max_frequency", "Hz"), need.of("motor", "frequency", "Hz")

    def braking_torque(x: float) -> float:
        omega = ramps.radians_per_second(speed) * max(x, 0.05)  # below 5 % speed the torque limit holds anyway
        electric = (power * 1000.0 * (100.0 / efficiency - 1.0) + resistor_w) / omega
        helps = ramps.load_torque_share(kind, x * top / hertz, share)
        load = -helps if kind == "hoist" else helps
        return min(rated * peak / 100.0, electric) + rated * load

    shortest = need.figure(
        "ramp.deceleration",
        "Shortest deceleration from highest frequency",
        lambda: ramps.ramp_s(inertia, speed, braking_torque),
        "s",
        _RAMP,
        limit=_set_time(context, "deceleration_time"),
        within=_long_enough(context, "deceleration_time"),
        note=f"slowed by motor losses at rated load, the load's torque and {'the' if resistor_w else 'no'} resistor; "
        f"{_WITH_MARGIN}",
    )
    yield shortest
    if shortest.verdict == "outside" and isinstance(shortest.value, float):
        other = "use a lower resistance" if resistor_w else "let it coast, or fit a brake resistor"
        yield _too_short(context, "E143", "deceleration_time", shortest.value, f"{other}; else it trips on overvoltage")
    need = context.needs()
    speed, seconds = need.figure_of("motion.machine_speed"), need.of("drive", "deceleration_time", "s")
    name = "Turns of the machine while it stops"
    yield need.figure("ramp.turns", name, lambda: ramps.turns(speed, seconds), "", _TURNS)


def _braking(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    inertia, speed = need.figure_of("ramp.inertia"), need.figure_of("motion.motor_speed")
    name = "Energy of a stop from highest frequency"
    yield need.figure("brake.energy", name, lambda: braking.kinetic_energy_j(inertia, speed), "J", _ENERGY)
    if context.drive.brake_resistance is None:
        return
    yield from _resistor(context)


def _resistor(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    inertia, speed = need.figure_of("ramp.inertia"), need.figure_of("motion.motor_speed")
    seconds, efficiency = need.of("drive", "deceleration_time", "s"), need.of("motor", "efficiency", "%")
    rated, share = need.figure_of("motor.rated_torque"), load_share(need)
    torque = -rated * share if context.machine and context.machine.load_type == "hoist" else rated * share
    yield need.figure(
        "brake.peak_power",
        "Peak power into the brake resistor at the set ramp",
        lambda: braking.returned_power_w(
            braking.shaft_braking_power_w(inertia, speed, seconds, load_torque_nm=torque), efficiency
        ),
        "W",
        _PEAK,
    )
    need = context.needs()
    volts, ohms = need.of("model", "chopper_voltage", "V"), need.of("drive", "brake_resistance", "Ω")
    wanted = context.number("brake.peak_power")
    takes = need.figure(
        "brake.resistor_power",
        "Power the resistor takes while the chopper is on",
        lambda: braking.resistor_peak_power_w(volts, ohms),
        "W",
        _RESISTOR,
        limit=at_least(math.nan if wanted is None else wanted, "W", "peak power"),
        within=not_below(math.nan if wanted is None else wanted),
    )
    yield takes
    yield from _resistance(context, takes, volts, wanted)
    need = context.needs()
    energy, efficiency = need.figure_of("brake.energy"), need.of("motor", "efficiency", "%")
    rating = need.of("drive", "brake_power", "W")
    yield need.figure(
        "brake.cycle",
        "Shortest time between stops for the resistor",
        lambda: braking.shortest_cycle_s(energy * efficiency / 100.0, rating),
        "s",
        _CYCLE,
        note="the load's own braking is not counted",
    )


def _resistance(context: Context, takes: Figure, volts: float, wanted: float | None) -> Iterator[Figure | Finding]:
    need = context.needs()
    ohms = need.of("drive", "brake_resistance", "Ω")
    least = context.needs().of("model", "min_brake_resistance", "Ω")
    fitted = need.figure(
        "brake.resistance",
        "Brake resistor fitted",
        lambda: ohms,
        "Ω",
        Rule("not below the model's limit", "the drive's manual"),
        limit=at_least(least, "Ω", "limit of the model"),
        within=not_below(least),
    )
    yield fitted
    if fitted.verdict == "outside":
        yield context.finding(
            "E144",
            Grade.STOP,
            ("drive", "brake_resistance"),
            found=f"brake resistor {fitted.text()}",
            accepted=f"{display(least)} Ω or more, limit of the model's chopper",
            remedy=f"fit {display(least)} Ω or more; a lower one destroys the chopper",
        )
    if takes.verdict == "outside" and wanted:
        largest = braking.largest_resistance_ohm(volts, wanted)
        yield context.finding(
            "E145",
            Grade.CAUTION,
            ("drive", "brake_resistance"),
            found=f"the resistor takes {takes.text()}, the set ramp returns {display(wanted)} W",
            accepted=f"{'up' if math.isnan(least) else display(least)} to {display(largest)} Ω",
            remedy="fit a resistor within that range, or lengthen the deceleration",
        )
