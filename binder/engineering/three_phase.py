"""Power, voltage and current of a balanced three-phase circuit."""

from __future__ import annotations

import math

from binder.engineering.ranges import between, not_negative, positive

SQRT3 = math.sqrt(3.0)


def power_kw(voltage_v: float, current_a: float, power_factor: float = 1.0) -> float:
    """Return the electrical power of a balanced three-phase load.

    Parameters
    ----------
    voltage_v : float
        Between lines, above 0. [V]
    current_a : float
        In each line, 0 or above. [A]
    power_factor : float
        0 to 1. [-]

    Returns
    -------
    float
        Active power; apparent power when `power_factor` is 1. [kW or kVA]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(power_kw(400.0, 20.0), 3)
    13.856

    References
    ----------
    Textbook: P = sqrt(3) U I cos phi.
    """
    positive(voltage_v=voltage_v)
    not_negative(current_a=current_a)
    between(0.0, 1.0, power_factor=power_factor)
    return SQRT3 * voltage_v * current_a * power_factor / 1000.0


def line_current_a(power_kw: float, voltage_v: float, power_factor: float = 1.0) -> float:
    """Return the line current of a balanced three-phase load.

    Parameters
    ----------
    power_kw : float
        Active power, or kVA with `power_factor` 1; 0 or above. [kW]
    voltage_v : float
        Between lines, above 0. [V]
    power_factor : float
        Above 0, at most 1. [-]

    Returns
    -------
    float
        [A]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(line_current_a(1.5, 400.0, 0.2), 3)
    10.825

    References
    ----------
    Textbook: I = P / (sqrt(3) U cos phi).
    """
    not_negative(power_kw=power_kw)
    positive(voltage_v=voltage_v, power_factor=power_factor)
    between(0.0, 1.0, power_factor=power_factor)
    return power_kw * 1000.0 / (SQRT3 * voltage_v * power_factor)
