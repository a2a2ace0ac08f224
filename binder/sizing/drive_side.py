"""Figures of the drive's rating where it stands, and what would make it fit when it does not."""

from __future__ import annotations

import math
from collections.abc import Iterator

from binder.engineering import rating
from binder.engineering.figure import Figure, Rule, display
from binder.engineering.ranges import OutOfRangeError
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import derating_of
from binder.inventory.records import DriveModel
from binder.sizing.context import Context, Needs, cell_of

_MANUAL = "the drive's manual, as typed into the workbook"
_AMBIENT = Rule("1 - (ambient - rated ambient) x percent per K, at most 1", _MANUAL)
_ALTITUDE = Rule("1 - (altitude - rated altitude) / 100 m x percent, at most 1", _MANUAL)
_CARRIER = Rule("share of rated current at the carrier frequency, straight between the manual's points", _MANUAL)
_SINGLE = Rule("share of rated current on a one-phase supply", _MANUAL)
_CONTINUOUS = Rule("rated current of the duty x all factors", f"{_MANUAL}; the product: common practice, no source")
_MARGIN = Rule("continuous current - motor plate current", "common practice: size on amperes, never on power")
_OVERLOAD = Rule("continuous current x overload percent of the duty class", _MANUAL)
_PEAK = Rule("T / Tn = sqrt((I² - I0²) / (In² - I0²))", "textbook equivalent circuit, simplified")
_BAND = Rule("supply voltage within the model's range", _MANUAL)


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield derating factors, continuous and overload current, margin with its remedy, and the supply band."""
    yield from _supply_band(context)
    yield from _ambient(context)
    yield from _altitude(context)
    yield from _carrier(context)
    if context.supply is not None and context.supply.phases == 1 and not _takes_one_phase(context.model):
        yield _single_phase(context)
    yield _continuous(context)
    yield from _margin(context)
    yield from _overload(context)
    yield from _limits(context)


def _takes_one_phase(model: DriveModel | None) -> bool:
    return model is not None and model.input_phases == 1


def _supply_band(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    volts = need.of("supply", "voltage", "V")
    low, high = need.of("model", "min_voltage", "V"), need.of("model", "max_voltage", "V")
    figure = need.figure(
        "rating.supply_voltage",
        "Supply voltage against the model's range",
        lambda: volts,
        "V",
        _BAND,
        limit=f"{display(low)} to {display(high)} V" if context.model else "",
        within=lambda v: low <= v <= high,
    )
    yield figure
    if figure.verdict == "outside":
        yield context.finding(
            "E121",
            Grade.STOP,
            ("drive", "model"),
            found=f"supply {display(volts)} V",
            accepted=figure.limit,
            remedy="choose a model for this supply voltage, or correct the supply's voltage",
        )


def _ambient_of(need: Needs) -> float:
    """Ambient at the drive: its own, else the panel's inside, else the computed inside temperature."""
    context = need.context
    if context.drive.ambient is None and (context.panel is None or context.panel.ambient is None):
        if context.number("heat.inside") is not None:
            return need.figure_of("heat.inside")
        return need.first_of(("drive", "ambient"), ("panel", "ambient"), unit="°C")
    return need.first_of(("drive", "ambient"), ("panel", "ambient"), unit="°C")


def _ambient(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    ambient = _ambient_of(need)
    free, slope = need.of("model", "rated_ambient", "°C"), 0.0
    if not ambient <= free:  # NaN counts as above: then the slope is named as well
        slope = need.of("model", "ambient_derating", "%")
    yield need.figure(
        "rating.ambient_factor",
        "Derating factor for ambient",
        lambda: rating.slope_factor(ambient, free, slope),
        "",
        _AMBIENT,
    )
    highest = context.model.max_ambient.to("°C") if context.model and context.model.max_ambient else math.inf
    entered = context.drive.ambient is not None or (context.panel is not None and context.panel.ambient is not None)
    if entered and ambient > highest:  # a computed ambient has its own finding
        yield context.finding(
            "E123",
            Grade.STOP,
            ("drive", "ambient") if context.drive.ambient is not None else ("panel", "ambient"),
            found=f"ambient {display(ambient)} °C",
            accepted=f"at most {display(highest)} °C, limit of the model",
            remedy=f"cool or ventilate to {display(highest)} °C or below, or move the drive",
        )


def _altitude(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    altitude = need.of("site", "altitude", "m")
    free, slope = need.of("model", "rated_altitude", "m"), 0.0
    if not altitude <= free:
        slope = need.of("model", "altitude_derating", "%")
    yield need.figure(
        "rating.altitude_factor",
        "Derating factor for altitude",
        lambda: rating.slope_factor(altitude, free, slope, 100.0),
        "",
        _ALTITUDE,
    )
    highest = context.model.max_altitude.to("m") if context.model and context.model.max_altitude else math.inf
    if altitude > highest:
        yield context.finding(
            "E124",
            Grade.STOP,
            ("site", "altitude"),
            found=f"altitude {display(altitude)} m",
            accepted=f"at most {display(highest)} m, limit of the model",
            remedy="choose a model for this altitude, or ask its maker in writing",
        )


def _points(context: Context) -> list[tuple[float, float]]:
    rows = derating_of(context.inventory, context.model)
    return [(p.carrier.to("kHz"), p.factor.to("%") / 100.0) for p in rows if p.carrier and p.factor]


def _carrier(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    carrier = need.first_of(("drive", "carrier_frequency"), ("model", "default_carrier"), unit="kHz")
    points = _points(context)
    for (khz, share), row in zip(points, derating_of(context.inventory, context.model), strict=False):
        need.state(f"share at {khz:g} kHz", share * 100.0, "%", cell_of(row, "factor"))
    note = "" if context.drive.carrier_frequency is not None else "default carrier of the model"
    if not points:
        default = context.needs().of("model", "default_carrier", "kHz")
        if carrier <= default:
            points, note = [(default, 1.0)], "no derating points: full rating up to the model's default carrier"
        else:
            need.missing.append("derating points of the model")
    yield need.figure(
        "rating.carrier_factor",
        "Derating factor for carrier frequency",
        lambda: rating.carrier_factor(carrier, points),
        "",
        _CARRIER,
        note=note,
    )
    if points and carrier > points[-1][0]:
        yield context.finding(
            "E125",
            Grade.STOP,
            ("drive", "carrier_frequency"),
            found=f"carrier frequency {display(carrier)} kHz",
            accepted=f"at most {points[-1][0]:g} kHz, the last point of the model's derating",
            remedy=f"set {points[-1][0]:g} kHz or below, or enter the manual's point for {display(carrier)} kHz",
        )


def _single_phase(context: Context) -> Figure:
    need = context.needs()
    share = need.of("model", "single_phase_factor", "%")
    return need.figure(
        "rating.single_phase_factor", "Derating factor for one-phase supply", lambda: share / 100.0, "", _SINGLE
    )


def _rated(need: Needs, duty: str) -> float:
    return need.of("model", "output_current_heavy" if duty == "heavy" else "output_current_light", "A")


def _factors(need: Needs) -> dict[str, float]:
    factors = {
        "ambient": need.figure_of("rating.ambient_factor"),
        "altitude": need.figure_of("rating.altitude_factor"),
        "carrier": need.figure_of("rating.carrier_factor"),
    }
    if "rating.single_phase_factor" in need.context.figures:
        factors["single_phase"] = need.figure_of("rating.single_phase_factor")
    return factors


def _continuous(context: Context) -> Figure:
    need = context.needs()
    duty = need.word("drive", "duty")
    rated, factors = _rated(need, duty), _factors(need)
    return need.figure(
        "rating.continuous",
        f"Continuous output current, {duty or 'unknown'} duty",
        lambda: rating.continuous_current_a(rated, **factors),
        "A",
        _CONTINUOUS,
    )


def _margin(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    continuous, motor = need.figure_of("rating.continuous"), need.of("motor", "current", "A")
    margin = need.figure(
        "rating.margin",
        "Current left over the motor's plate current",
        lambda: continuous - motor,
        "A",
        _MARGIN,
        limit=">= 0 A",
        within=lambda v: v >= 0.0,
    )
    yield margin
    if margin.verdict == "outside" and isinstance(margin.value, float):
        ambient = _ambient_of(context.needs())
        yield context.finding(
            "E122",
            Grade.STOP,
            ("drive", "model"),
            found=f"drive is {display(-margin.value)} A short at {display(ambient)} °C: "
            f"{display(continuous)} A continuous, motor {display(motor)} A",
            accepted=f"at least {display(motor)} A continuous in {context.drive.duty} duty",
            remedy=": ".join(("one of", "; ".join(_remedies(context, motor)))),
        )


def _remedies(context: Context, motor_a: float) -> Iterator[str]:
    """What would make the drive fit, each computed with everything else left as it is."""
    need = context.needs()
    rated, factors = _rated(need, context.drive.duty), _factors(need)
    product = math.prod(factors.values())
    larger = _larger_model(context, motor_a, factors)
    yield f"next larger drive: {larger}" if larger else "a larger drive"
    points = _points(context)
    khz = rating.highest_carrier_khz(motor_a / (rated * product / factors["carrier"]), points)
    if khz is not None and factors["carrier"] < 1.0:
        yield f"carrier frequency {math.floor(khz * 10) / 10:g} kHz or below"
    model = context.model
    if model is not None and model.rated_ambient is not None and factors["ambient"] < 1.0:
        slope = model.ambient_derating.to("%") if model.ambient_derating else 0.0
        share = motor_a / (rated * product / factors["ambient"])
        celsius = rating.highest_value(share, model.rated_ambient.to("°C"), slope)
        if celsius is not None:
            yield f"ventilate to {math.floor(celsius)} °C or below"
    yield from _light_duty(context, motor_a, product)


def _light_duty(context: Context, motor_a: float, product: float) -> Iterator[str]:
    light = context.model.output_current_light if context.model else None
    if context.drive.duty == "heavy" and light is not None and light.to("A") * product >= motor_a:
        yield f"light duty ({display(light.to('A') * product)} A), where its smaller overload is enough for the load"


def _larger_model(context: Context, motor_a: float, factors: dict[str, float]) -> str:
    """Smallest other model of the workbook for this supply that carries the motor, with its own derating."""
    best: tuple[float, str] | None = None
    for model in context.inventory.models:
        rated = model.output_current_heavy if context.drive.duty == "heavy" else model.output_current_light
        if rated is None or context.model is None or model.model == context.model.model:
            continue
        if not _same_supply(model, context.model):
            continue
        current = _derated(context, model, rated.to("A"), factors)
        if current is not None and current >= motor_a and (best is None or (rated.to("A"), model.model) < best):
            best = rated.to("A"), f"{model.model} gives {display(current)} A here"
    return best[1] if best else ""


def _same_supply(model: DriveModel, present: DriveModel) -> bool:
    same_phases = model.input_phases == present.input_phases
    return same_phases and model.min_voltage == present.min_voltage and model.max_voltage == present.max_voltage


def _derated(context: Context, model: DriveModel, rated_a: float, factors: dict[str, float]) -> float | None:
    """Continuous current of another model in this place; None when its own data do not tell."""
    ambient, altitude = _ambient_of(context.needs()), context.needs().of("site", "altitude", "m")
    carrier = context.drive.carrier_frequency or model.default_carrier
    points = [
        (p.carrier.to("kHz"), p.factor.to("%") / 100.0)
        for p in derating_of(context.inventory, model)
        if p.carrier and p.factor
    ]
    if model.rated_ambient is None or model.rated_altitude is None or carrier is None or not points:
        return None
    hot, high = model.ambient_derating, model.altitude_derating
    try:
        per_kelvin, per_100_m = hot.to("%") if hot else 0.0, high.to("%") if high else 0.0
        own = {
            "ambient": rating.slope_factor(ambient, model.rated_ambient.to("°C"), per_kelvin),
            "altitude": rating.slope_factor(altitude, model.rated_altitude.to("m"), per_100_m, 100.0),
            "carrier": rating.carrier_factor(carrier.to("kHz"), points),
        }
    except OutOfRangeError:
        return None
    return rating.continuous_current_a(rated_a, **(factors | own))


def _overload(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    duty = context.drive.duty
    continuous = need.figure_of("rating.continuous")
    percent = need.of("model", "overload_heavy" if duty == "heavy" else "overload_light", "%")
    yield need.figure(
        "rating.overload",
        "Output current for 60 s",
        lambda: continuous * percent / 100.0,
        "A",
        _OVERLOAD,
    )
    if context.motor is not None and not context.motor.permanent_magnet:
        need = context.needs()
        current, rated = need.figure_of("rating.overload"), need.of("motor", "current", "A")
        idle = need.figure_of("motor.no_load_current")
        yield need.figure(
            "rating.peak_torque",
            "Torque for acceleration, of rated torque",
            lambda: 100.0 * min(rating.torque_share_at_current(current, rated, idle), 2.0),
            "%",
            _PEAK,
            note="counted up to twice rated torque, where the breakdown torque is near",
        )
    kind = context.machine.load_type if context.machine else ""
    if duty == "light" and kind in ("constant torque", "hoist"):
        yield context.finding(
            "E126",
            Grade.CAUTION,
            ("drive", "duty"),
            found=f"light duty for a {kind} load",
            accepted="heavy duty, or a statement that the load never asks for more than the light overload",
            remedy="choose heavy duty and check the current again",
        )


def _limits(context: Context) -> Iterator[Finding]:
    top, allowed = context.drive.max_frequency, context.model.max_frequency if context.model else None
    if top is not None and allowed is not None and top.to("Hz") > allowed.to("Hz"):
        yield context.finding(
            "E127",
            Grade.STOP,
            ("drive", "max_frequency"),
            found=f"highest frequency {top}",
            accepted=f"at most {allowed}, limit of the model",
            remedy=f"set {allowed} or below, or choose a model that goes higher",
        )
