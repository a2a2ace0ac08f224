"""The supply: rated currents, power, and unbalance with what it costs a motor."""

from __future__ import annotations

import math
from collections.abc import Sequence

from binder.engineering.ranges import OutOfRangeError, between, positive
from binder.engineering.tables import load


def rated_current_a(power_kva: float, voltage_v: float, *, phases: int = 3) -> float:
    """Return the rated current of a transformer or generator.

    Parameters
    ----------
    power_kva : float
        Above 0. [kVA]
    voltage_v : float
        Line-to-line voltage, above 0. [V]
    phases : int
        1 or 3.

    Returns
    -------
    float
        [A]

    Examples
    --------
    >>> round(rated_current_a(1000.0, 480.0))
    1203

    References
    ----------
    Circuit theory: I = S / (sqrt(3) U), single-phase S / U.
    """
    positive(power_kva=power_kva, voltage_v=voltage_v)
    return 1000 * power_kva / (voltage_v * _phase_root(phases))


def apparent_power_kva(current_a: float, voltage_v: float, *, phases: int = 3) -> float:
    """Return the apparent power of a line current.

    Parameters
    ----------
    current_a, voltage_v : float
        Line current and line-to-line voltage. [A], [V]
    phases : int
        1 or 3.

    Returns
    -------
    float
        [kVA]

    Examples
    --------
    >>> round(apparent_power_kva(1203.0, 480.0))
    1000

    References
    ----------
    Circuit theory: S = sqrt(3) U I, single-phase U I.
    """
    return current_a * voltage_v * _phase_root(phases) / 1000


def _phase_root(phases: int) -> float:
    if phases not in (1, 3):
        raise OutOfRangeError("phases", phases, "1 or 3")
    return math.sqrt(3) if phases == 3 else 1.0


def unbalance_percent(values: Sequence[float]) -> float:
    """Return the unbalance of three line voltages or three line currents.

    Parameters
    ----------
    values : sequence of float
        Three readings in one unit, each at or above 0, not all 0.

    Returns
    -------
    float
        Largest deviation from the mean over the mean. [%]

    Raises
    ------
    OutOfRangeError
        Not three readings, one below 0, or all 0.

    Notes
    -----
    IEC defines unbalance as negative over positive sequence; the two agree closely only for small values.

    Examples
    --------
    >>> round(unbalance_percent([462.0, 463.0, 455.0]), 1)
    1.1

    References
    ----------
    NEMA MG 1, 14.36 and 12.45.
    """
    if len(values) != 3:
        raise OutOfRangeError("number of readings", len(values), "3")
    if min(values) < 0 or sum(values) == 0:
        raise OutOfRangeError("smallest reading", min(values), "0 or above, not all 0")
    mean = math.fsum(values) / 3
    return 100 * max(abs(v - mean) for v in values) / mean


def unbalance_derating(percent: float) -> float:
    """Return the share of rated power that a motor may give on an unbalanced supply.

    Parameters
    ----------
    percent : float
        Voltage unbalance, 0 to 5. [%]

    Returns
    -------
    float
        Factor; the curve was read at whole percents, between two of them the worse one counts.

    Raises
    ------
    OutOfRangeError
        Above 5 %: operation is not recommended at all.

    Examples
    --------
    >>> unbalance_derating(1.0), unbalance_derating(2.4)
    (1.0, 0.88)

    References
    ----------
    NEMA MG 1, 14.36, Figure 14-1, read off the curve (confidence: one source but for 2 %).
    """
    between(0.0, 5.0, voltage_unbalance_percent=percent)
    whole = max(1, math.ceil(percent - 1e-9))
    return load("nema_mg1_facts").number("value", key=f"voltage_unbalance_derating_at_{whole}_pct")


def unbalance_extra_rise_k(rise_k: float, percent: float) -> float:
    """Return the extra temperature rise of a motor winding from voltage unbalance.

    Parameters
    ----------
    rise_k : float
        Rise on a balanced supply, at or above 0. [K]
    percent : float
        Voltage unbalance, 0 to 5. [%]

    Returns
    -------
    float
        rise x 2 u² / 100. [K]

    Examples
    --------
    >>> unbalance_extra_rise_k(80.0, 2.0)
    6.4

    References
    ----------
    US Department of Energy, Motor Systems Tip Sheet 7.
    """
    between(0.0, 5.0, voltage_unbalance_percent=percent)
    return rise_k * 2 * percent**2 / 100
