"""Voltage drop along conductors, at any frequency and power factor."""

from __future__ import annotations

import math

from binder.engineering.ranges import between, not_negative, positive


def drop_v(current_a: float, impedance_ohm: complex, power_factor: float, *, phases: int = 3) -> float:
    """Return the line-to-line voltage drop along a run.

    Parameters
    ----------
    current_a : float
        At or above 0. [A]
    impedance_ohm : complex
        Of one conductor over the run. [Ω]
    power_factor : float
        Lagging, 0 to 1.
    phases : int
        3, or 1 for out and back.

    Returns
    -------
    float
        sqrt(3) I (R cos phi + X sin phi), single-phase 2 I (...). [V]

    Examples
    --------
    >>> round(drop_v(100.0, complex(0.02, 0.005), 0.85), 2)
    3.4

    References
    ----------
    NFPA 70 (NEC), Chapter 9 Table 9, note 2; IEC 60364-5-52:2009, Annex G.
    """
    not_negative(current_a=current_a)
    between(0.0, 1.0, power_factor=power_factor)
    factor = math.sqrt(3) if phases == 3 else 2.0
    sine = math.sqrt(1 - power_factor**2)
    return factor * current_a * (impedance_ohm.real * power_factor + impedance_ohm.imag * sine)


def drop_percent(drop: float, voltage_v: float) -> float:
    """Return a drop as a share of a voltage.

    Parameters
    ----------
    drop : float
        [V]
    voltage_v : float
        Voltage it is compared with, above 0. [V]

    Returns
    -------
    float
        [%]

    Examples
    --------
    >>> round(drop_percent(4.4, 240.0), 2)
    1.83

    References
    ----------
    Arithmetic.
    """
    positive(voltage_v=voltage_v)
    return 100 * drop / voltage_v


def table_drop_v(millivolt_per_a_m: float, current_a: float, length_m: float) -> float:
    """Return the drop from a tabulated value per ampere and metre.

    Parameters
    ----------
    millivolt_per_a_m : float
        From the cable's own table, for its number of phases, at or above 0. [mV/(A m)]
    current_a, length_m : float
        At or above 0. [A], [m]

    Returns
    -------
    float
        [V]

    Examples
    --------
    >>> round(table_drop_v(1.1, 100.0, 150.0), 2)
    16.5

    References
    ----------
    Form of the tables of BS 7671, Appendix 4.
    """
    not_negative(millivolt_per_a_m=millivolt_per_a_m, current_a=current_a, length_m=length_m)
    return millivolt_per_a_m * current_a * length_m / 1000


def allowed_table_value(drop_limit_v: float, current_a: float, length_m: float) -> float:
    """Return the largest tabulated value that keeps a drop within its limit.

    Parameters
    ----------
    drop_limit_v, current_a, length_m : float
        Each above 0. [V], [A], [m]

    Returns
    -------
    float
        [mV/(A m)]

    Examples
    --------
    >>> round(allowed_table_value(10.5, 100.0, 150.0), 3)
    0.7

    References
    ----------
    `table_drop_v`, solved for the table value.
    """
    positive(drop_limit_v=drop_limit_v, current_a=current_a, length_m=length_m)
    return drop_limit_v * 1000 / (current_a * length_m)
