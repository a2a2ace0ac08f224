"""Whether a motor's plate holds together: power, voltage, current, power factor and efficiency."""

from __future__ import annotations

from collections.abc import Iterator

from binder.engineering import motor, plate_doubts
from binder.engineering.figure import Figure, Rule, display
from binder.inventory.findings import Finding, Grade
from binder.sizing.context import Context

_BALANCE = Rule("100 (sqrt(3) U I cos phi eta / P - 1)", "textbook; 5 % is common practice, no source")
_BALANCE_ONE = Rule("100 (U I cos phi eta / P - 1)", "textbook, one phase; 5 % is common practice, no source")

_WITHIN = 5.0  # percent, plate cross-check; common practice, no source


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield the cross-check of the plate, and what is doubtful about it."""
    need = context.needs()
    volts, amperes = need.of("motor", "voltage", "V"), need.of("motor", "current", "A")
    factor, efficiency = need.of("motor", "power_factor"), need.of("motor", "efficiency", "%")
    power = need.of("motor", "power", "kW")
    one_phase = context.motor is not None and context.motor.connection == "single-phase"
    phases = 1 if one_phase else 3
    balance = need.figure(
        "motor.power_balance",
        "Plate cross-check: volts x amperes x power factor x efficiency against power",
        lambda: 100.0 * (motor.plate_power_kw(volts, amperes, factor, efficiency, phases=phases) / power - 1.0),
        "%",
        _BALANCE_ONE if one_phase else _BALANCE,
        limit=f"-{_WITHIN:g} to +{_WITHIN:g} %",
        within=lambda v: abs(v) <= _WITHIN,
    )
    yield balance
    if balance.verdict == "outside" and isinstance(balance.value, float):
        amount = motor.plate_power_kw(volts, amperes, factor, efficiency, phases=phases)
        fitting = amperes * power / amount
        asked = _asked(context, phases, expected=factor * efficiency / 100.0)
        yield context.finding(
            "E101",
            Grade.CAUTION,
            ("motor", "current"),
            found=f"the plate's figures amount to {display(amount)} kW, the plate says {_said_power(context, power)}",
            accepted=f"agreement within {_WITHIN:g} %; at {display(volts)} V about {display(fitting)} A",
            remedy=f"{asked}read the plate again: power and its unit, current, power factor and efficiency must "
            "belong to the connected voltage",
        )
    elif balance.value is None:
        yield from _plate_doubt(context, phases)
    if one_phase:
        yield context.finding(
            "E111",
            Grade.STOP,
            ("motor", "connection"),
            found="a single-phase motor on a drive: its start winding and capacitor are not made for it",
            accepted="a three-phase motor, or a drive whose manual names single-phase motors",
            remedy="fit a three-phase motor, or waive this with the page of the manual that allows it",
        )


def _said_power(context: Context, power_kw: float) -> str:
    """Power as typed, and in kW where it was typed otherwise."""
    typed = context.motor.power if context.motor is not None else None
    if typed is None or typed.unit == "kW":
        return f"{display(power_kw)} kW"
    return f"{typed} ({display(power_kw)} kW)"


def volts_on(plate_voltages: str) -> list[float]:
    """Return the voltages that a plate names."""
    numbers = plate_voltages.replace("V", " ").replace("/", " ").replace("-", " ").replace(";", " ").split()
    return [float(n) for n in numbers if n.replace(".", "", 1).isdigit() and float(n) > 0]


def _asked(context: Context, phases: int, *, expected: float | None = None) -> str:
    """Ask for the slip of the pen that would explain the plate; '' when none would."""
    plate = context.motor
    if plate is None or plate.power is None or plate.voltage is None or plate.current is None:
        return ""
    volts, amperes = plate.voltage.to("V"), plate.current.to("A")
    meant = plate_doubts.slips(
        float(plate.power.amount),
        plate.power.unit,
        plate_doubts.share(plate.power.to("kW"), volts, amperes, phases=phases),
        voltage_v=volts,
        current_a=amperes,
        plate_voltages=volts_on(plate.plate_voltages),
        expected=expected,
        permanent_magnet=bool(plate.permanent_magnet),
    )
    return f"is {' or '.join(meant)} meant? " if meant else ""


def _plate_doubt(context: Context, phases: int) -> Iterator[Finding]:
    """Doubt power or current by themselves, where power factor or efficiency is blank."""
    plate = context.motor
    if plate is None or plate.power is None or plate.voltage is None or plate.current is None:
        return
    volts, amperes = plate.voltage.to("V"), plate.current.to("A")
    found = plate_doubts.share(plate.power.to("kW"), volts, amperes, phases=phases)
    magnets = bool(plate.permanent_magnet)
    if not plate_doubts.doubtful(float(plate.power.amount), plate.power.unit, found, permanent_magnet=magnets):
        return
    low, high = plate_doubts.share_limits(plate.power.to("kW"), permanent_magnet=magnets)
    yield context.finding(
        "E102",
        Grade.CAUTION,
        ("motor", "power"),
        found=f"{plate.power} at {plate.voltage} and {plate.current} would be power factor times efficiency "
        f"of {found:.2f}",
        accepted=f"usually {low:g} to {high:g} for this power (common practice, no source)",
        remedy=f"{_asked(context, phases)}read power with its unit, voltage and current from the plate again, "
        "and type power factor and efficiency",
    )
