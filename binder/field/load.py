"""What the load of a drive asks for at an output frequency: torque, current, shaft power."""

from __future__ import annotations

from binder.engineering.pumps_and_fans import expected_current_a
from binder.engineering.ramps import load_torque_share
from binder.engineering.ranges import OutOfRangeError
from binder.field.bench import Bench, plain

#: Points of the sweep in percent of the signal; the sizing works with these percentages of maximum frequency.
PERCENTS = (0.0, 25.0, 50.0, 75.0, 100.0)


def full_torque_share(bench: Bench) -> float | None:
    """The load's torque over the motor's at plate frequency; None when a power is not known.

    Power over power: both turn at nearly the same speed there.
    """
    motor, machine = bench.motor, bench.machine
    shaft = plain(machine.shaft_power, "kW") if machine else None
    rated = plain(motor.power, "kW") if motor else None
    return shaft / rated if shaft is not None and rated else None


def expected_current(bench: Bench, frequency_hz: float) -> float | None:
    """Motor current at an output frequency.

    Parameters
    ----------
    bench : Bench
    frequency_hz : float
        [Hz]

    Returns
    -------
    float or None
        The sizing's figure where it has one for this frequency, else by the same rule; None at
        standstill, above the plate frequency, and where data are missing. [A]
    """
    sized = _sized_at(bench, "sweep.current", frequency_hz)
    motor, machine = bench.motor, bench.machine
    share, speed = full_torque_share(bench), _of_plate(bench, frequency_hz)
    if sized is not None or motor is None or machine is None or motor.permanent_magnet:
        return sized
    rated, idle = plain(motor.current, "A"), bench.figures.number("motor.no_load_current")
    if share is None or speed is None or rated is None or idle is None:
        return None
    try:
        return expected_current_a(
            speed,
            load_type=machine.load_type,
            full_share=share,
            rated_current_a=rated,
            no_load_current_a=idle,
        )
    except OutOfRangeError:  # a load type or plate that is none has its finding elsewhere
        return None


def expected_shaft_kw(bench: Bench, frequency_hz: float) -> float | None:
    """Power at the motor's shaft at an output frequency.

    Parameters
    ----------
    bench : Bench
    frequency_hz : float
        [Hz]

    Returns
    -------
    float or None
        As for `expected_current`. [kW]
    """
    sized = _sized_at(bench, "sweep.power", frequency_hz)
    rated = plain(bench.motor.power, "kW") if bench.motor else None
    share, speed = full_torque_share(bench), _of_plate(bench, frequency_hz)
    if sized is not None or bench.machine is None or rated is None or share is None or speed is None:
        return sized
    try:
        return load_torque_share(bench.machine.load_type, speed, share) * speed * rated
    except OutOfRangeError:
        return None


def _of_plate(bench: Bench, frequency_hz: float) -> float | None:
    """A frequency over the motor's plate; None at standstill, above the plate, and where it is not known."""
    plate = plain(bench.motor.frequency, "Hz") if bench.motor else None
    return frequency_hz / plate if plate and 0 < frequency_hz <= plate else None


def _sized_at(bench: Bench, topic: str, frequency_hz: float) -> float | None:
    """A figure that the sizing works out at the sweep's percentages of maximum frequency."""
    _, top = bench.running_hz
    if not top:
        return None
    share = frequency_hz / top * 100
    near = min(PERCENTS, key=lambda p: abs(p - share))
    return None if abs(near - share) > 1 else bench.figures.number(f"{topic}_{near:g}")
