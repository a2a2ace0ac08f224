"""Energy that comes back when a drive slows its load, and the resistor that takes it."""

from __future__ import annotations

from binder.engineering.ramps import radians_per_second
from binder.engineering.ranges import between, not_negative, positive


def kinetic_energy_j(inertia_kg_m2: float, speed_rpm: float) -> float:
    """Return the energy of a turning inertia.

    Parameters
    ----------
    inertia_kg_m2 : float
        At the shaft that turns at `speed_rpm`, 0 or above. [kg·m²]
    speed_rpm : float
        0 or above. [rpm]

    Returns
    -------
    float
        [J]

    Raises
    ------
    OutOfRangeError
        A number is below 0.

    Examples
    --------
    >>> round(kinetic_energy_j(2.0, 1500.0))
    24674

    References
    ----------
    Textbook: E = J omega² / 2.
    """
    not_negative(inertia_kg_m2=inertia_kg_m2, speed_rpm=speed_rpm)
    return 0.5 * inertia_kg_m2 * radians_per_second(speed_rpm) ** 2


def shaft_braking_power_w(
    inertia_kg_m2: float, speed_rpm: float, seconds: float, *, load_torque_nm: float = 0.0
) -> float:
    """Return the power at the motor shaft when an even ramp to standstill begins.

    Parameters
    ----------
    inertia_kg_m2 : float
        At the motor shaft, above 0. [kg·m²]
    speed_rpm : float
        At the start, above 0. [rpm]
    seconds : float
        Ramp time, above 0. [s]
    load_torque_nm : float
        Torque of the load that helps to slow down, at the start of the ramp; negative for a load that
        drives, as a hoist lowering. [N·m]

    Returns
    -------
    float
        0 when the load alone slows it fast enough. [W]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(shaft_braking_power_w(2.0, 1500.0, 5.0))
    9870

    References
    ----------
    Textbook: P = (J omega / t - T_load) omega.
    """
    positive(inertia_kg_m2=inertia_kg_m2, speed_rpm=speed_rpm, seconds=seconds)
    omega = radians_per_second(speed_rpm)
    return max((inertia_kg_m2 * omega / seconds - load_torque_nm) * omega, 0.0)


def returned_power_w(shaft_power_w: float, efficiency_percent: float) -> float:
    """Return the power that reaches the DC bus after the motor's losses.

    Parameters
    ----------
    shaft_power_w : float
        0 or above. [W]
    efficiency_percent : float
        Of the motor, above 0 up to 100. [%]

    Returns
    -------
    float
        [W]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(returned_power_w(9870.0, 91.0))
    8982
    """
    not_negative(shaft_power_w=shaft_power_w)
    positive(efficiency_percent=efficiency_percent)
    between(0.0, 100.0, efficiency_percent=efficiency_percent)
    return shaft_power_w * efficiency_percent / 100.0


def resistor_peak_power_w(chopper_volts: float, resistance_ohm: float) -> float:
    """Return the power of a brake resistor while the chopper is on.


    Parameters
    ----------
    chopper_volts : float
        Bus voltage at which the chopper is on, above 0. [V]
    resistance_ohm : float
        Above 0. [Ω]

    Returns
    -------
    float
        [W]

    Raises
    ------
    OutOfRangeError
        A number is not above 0.

    Examples
    --------
    >>> round(resistor_peak_power_w(780.0, 60.0))
    10140

    References
    ----------
    Textbook: P = U² / R.
    """
    positive(chopper_volts=chopper_volts, resistance_ohm=resistance_ohm)
    return chopper_volts**2 / resistance_ohm


def largest_resistance_ohm(chopper_volts: float, needed_power_w: float) -> float:
    """Return the largest resistance that still takes a power at the chopper's voltage.


    Parameters
    ----------
    chopper_volts : float
        Bus voltage at which the chopper is on, above 0. [V]
    needed_power_w : float
        Above 0. [W]

    Returns
    -------
    float
        [Ω]

    Raises
    ------
    OutOfRangeError
        A number is not above 0.

    Examples
    --------
    >>> round(largest_resistance_ohm(780.0, 8982.0), 1)
    67.7
    """
    positive(chopper_volts=chopper_volts, needed_power_w=needed_power_w)
    return chopper_volts**2 / needed_power_w


def shortest_cycle_s(energy_j: float, resistor_power_w: float) -> float:
    """Return the shortest time between stops that keeps a resistor within its continuous rating.

    Parameters
    ----------
    energy_j : float
        Into the resistor at each stop, 0 or above. [J]
    resistor_power_w : float
        Continuous rating, above 0. [W]

    Returns
    -------
    float
        [s]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(shortest_cycle_s(22454.0, 600.0), 1)
    37.4

    References
    ----------
    Textbook: mean power = energy over cycle time.
    """
    not_negative(energy_j=energy_j)
    positive(resistor_power_w=resistor_power_w)
    return energy_j / resistor_power_w
