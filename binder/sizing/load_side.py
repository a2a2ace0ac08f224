"""Figures of the load over speed: current and shaft power of the sweep, pump at part flow, energy saved."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from binder.engineering import pumps_and_fans
from binder.engineering.figure import Figure, Rule
from binder.engineering.ramps import load_torque_share
from binder.inventory.findings import Finding
from binder.sizing.context import Context
from binder.sizing.motion import load_share

#: Sweep points in percent of highest frequency.
POINTS = (25, 50, 75, 100)

_CURRENT = Rule(
    "sqrt(I0² + (T / Tn)² (In² - I0²)), T by load type",
    "textbook equivalent circuit, simplified; ±15 %: common practice, no source",
)
_POWER = Rule("T / Tn x f / fn x Pn, T by load type", "textbook load types; slip left out")
_FLOW_SPEED = Rule(
    "sqrt((h + 0.25 q²) / 1.25) with h = static + (1 - static) q²",
    "affinity laws on a parabolic pump curve; shut-off head 1.25: common practice, no source",
)
_FLOW_POWER = Rule("q h, hydraulic efficiency kept", "affinity laws")
_SAVED = Rule(
    "shaft power x hours x (throttled - speed-controlled share) / motor efficiency, at 75 % flow",
    "0.5 + 0.5 q for the throttled pump: common practice, no source",
)


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield expected currents and powers of the sweep and, for a quadratic load, part flow and energy."""
    yield from _sweep(context)
    yield from _sweep_power(context)
    machine = context.machine
    if machine is not None and machine.load_type == "quadratic" and machine.static_head is not None:
        yield from _part_flow(context)


def _sweep(context: Context) -> Iterator[Figure]:
    if context.motor is not None and context.motor.permanent_magnet:
        return
    need = context.needs()
    kind, share = need.word("machine", "load_type"), load_share(need)
    rated, idle = need.of("motor", "current", "A"), need.figure_of("motor.no_load_current")
    top, plate = need.of("drive", "max_frequency", "Hz"), need.of("motor", "frequency", "Hz")

    def current(percent: int) -> float:
        return pumps_and_fans.expected_current_a(
            percent / 100.0 * top / plate,
            load_type=kind,
            full_share=share,
            rated_current_a=rated,
            no_load_current_a=idle,
        )

    for percent in POINTS:
        yield need.figure(
            f"sweep.current_{percent}",
            f"Motor current expected at {percent} % of highest frequency",
            partial(current, percent),
            "A",
            _CURRENT,
            note="±15 %; holds up to the plate frequency",
        )


def _sweep_power(context: Context) -> Iterator[Figure]:
    """Shaft power at each point: what the display of the drive should show, less the motor's losses."""
    need = context.needs()
    kind, share = need.word("machine", "load_type"), load_share(need)
    rated = need.of("motor", "power", "kW")
    top, plate = need.of("drive", "max_frequency", "Hz"), need.of("motor", "frequency", "Hz")

    def power(percent: int) -> float:
        speed = percent / 100.0 * top / plate
        return load_torque_share(kind, speed, share) * speed * rated

    for percent in POINTS:
        yield need.figure(
            f"sweep.power_{percent}",
            f"Shaft power expected at {percent} % of highest frequency",
            partial(power, percent),
            "kW",
            _POWER,
        )


def _part_flow(context: Context) -> Iterator[Figure]:
    need = context.needs()
    static = need.of("machine", "static_head", "%")
    for flow in (50, 75):
        yield need.figure(
            f"machine.speed_at_flow_{flow}",
            f"Speed for {flow} % flow, of full speed",
            partial(_speed_percent, flow / 100.0, static),
            "%",
            _FLOW_SPEED,
        )
        yield need.figure(
            f"machine.power_at_flow_{flow}",
            f"Shaft power at {flow} % flow, of full power",
            partial(_power_percent, flow / 100.0, static),
            "%",
            _FLOW_POWER,
        )
    if context.machine is not None and context.machine.running_hours is not None:
        yield _saving(context)


def _speed_percent(flow: float, static_percent: float) -> float:
    return 100.0 * pumps_and_fans.speed_for_flow(flow, static_percent / 100.0)


def _power_percent(flow: float, static_percent: float) -> float:
    return 100.0 * pumps_and_fans.power_share_for_flow(flow, static_percent / 100.0)


def _saving(context: Context) -> Figure:
    need = context.needs()
    shaft, hours = need.of("machine", "shaft_power", "kW"), need.of("machine", "running_hours", "h")
    static, efficiency = need.of("machine", "static_head", "%"), need.of("motor", "efficiency", "%")

    def saved() -> float:
        shares = pumps_and_fans.throttled_power_share(0.75) - pumps_and_fans.power_share_for_flow(0.75, static / 100.0)
        return shares * hours * pumps_and_fans.input_power_kw(shaft, efficiency, 100.0)

    return need.figure(
        "machine.energy_saved",
        "Energy saved in a year against throttling, at 75 % flow all the time",
        saved,
        "kWh",
        _SAVED,
        note="an order of size, before drive losses (2 to 4 %)",
    )
