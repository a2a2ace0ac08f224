"""Available short-circuit current: transformer, generator, along a cable, motor contribution."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

from binder.engineering.ranges import between, not_negative, positive
from binder.engineering.supply import rated_current_a


@dataclass(frozen=True, slots=True)
class PointToPoint:
    """A fault current at the end of a run, with the two factors of the hand method."""

    factor: float  # f
    multiplier: float  # M = 1 / (1 + f)
    current_a: float


def transformer_fault_a(
    power_kva: float,
    voltage_v: float,
    impedance_percent: float,
    *,
    primary_mva: float = math.inf,
    impedance_tolerance: float = 1.0,
    phases: int = 3,
) -> float:
    """Return the symmetrical fault current at the secondary terminals.

    Parameters
    ----------
    power_kva : float
        Rating, above 0. [kVA]
    voltage_v : float
        Secondary line-to-line voltage, above 0. [V]
    impedance_percent : float
        Nameplate impedance, above 0, to 30. [%]
    primary_mva : float
        Fault power at the primary; infinite gives the largest current. [MVA]
    impedance_tolerance : float
        0.9 where the impedance is a design value that may come out 10 % low; 1 for a plate's own.
    phases : int
        1 or 3.

    Returns
    -------
    float
        I = I_rated / (z + S / S_primary). [A]

    Examples
    --------
    >>> round(transformer_fault_a(1000.0, 480.0, 5.0))
    24056

    Notes
    -----
    Primary and transformer impedances are added as numbers, as if at one angle.

    References
    ----------
    Circuit theory; IEC 60909-0; hand method of the trade.
    """
    between(0.01, 30.0, impedance_percent=impedance_percent)
    between(0.5, 1.5, impedance_tolerance=impedance_tolerance)
    positive(power_kva=power_kva)
    if primary_mva != math.inf:
        positive(primary_mva=primary_mva)
    per_unit = impedance_percent / 100 * impedance_tolerance + power_kva / 1000 / primary_mva
    return rated_current_a(power_kva, voltage_v, phases=phases) / per_unit


def generator_fault_a(
    power_kva: float, voltage_v: float, subtransient_percent: float, *, phases: int = 3
) -> float:
    """Return the first symmetrical fault current of a generator.

    Parameters
    ----------
    power_kva, voltage_v : float
        Rating and line-to-line voltage, above 0. [kVA], [V]
    subtransient_percent : float
        Subtransient reactance X"d, 1 to 60. [%]
    phases : int
        1 or 3.

    Returns
    -------
    float
        [A]

    Examples
    --------
    >>> round(generator_fault_a(5000.0, 6600.0, 12.0))
    3645

    References
    ----------
    Circuit theory: I = I_rated / X"d; IEC 60909-0 adds a voltage factor that is not taken here.
    """
    between(1.0, 60.0, subtransient_percent=subtransient_percent)
    return rated_current_a(power_kva, voltage_v, phases=phases) / (subtransient_percent / 100)


def fault_power_mva(current_a: float, voltage_v: float) -> float:
    """Return the fault power that belongs to a three-phase fault current.

    Parameters
    ----------
    current_a, voltage_v : float
        Fault current and line-to-line voltage. [A], [V]

    Returns
    -------
    float
        [MVA]

    Examples
    --------
    >>> round(fault_power_mva(3644.9, 6600.0), 1)
    41.7

    References
    ----------
    Circuit theory: S = sqrt(3) U I.
    """
    return math.sqrt(3) * voltage_v * current_a / 1e6


def source_impedance_ohm(
    fault_a: float, voltage_v: float, x_over_r: float | None = None, *, phases: int = 3
) -> complex:
    """Return the impedance behind a fault current: per phase, or of the loop on one phase.

    Parameters
    ----------
    fault_a : float
        Above 0. [A]
    voltage_v : float
        Line-to-line, above 0. [V]
    x_over_r : float, optional
        When not known the impedance is taken as all reactance: the vector sum with a cable is
        then smallest and the current at its end largest, on the safe side for ratings.
    phases : int
        3, or 1 for a line-to-line fault of a single-phase source.

    Returns
    -------
    complex
        [Ω]

    Examples
    --------
    >>> source_impedance_ohm(24056.0, 480.0).real
    0.0

    References
    ----------
    Circuit theory.
    """
    positive(fault_a=fault_a, voltage_v=voltage_v)
    size = voltage_v / ((math.sqrt(3) if phases == 3 else 1.0) * fault_a)
    if x_over_r is None:
        return complex(0.0, size)
    positive(x_over_r=x_over_r)
    return cmath.rect(size, math.atan(x_over_r))


def fault_at_end_a(
    start_a: float, voltage_v: float, cable_ohm: complex, *, x_over_r: float | None = None, phases: int = 3
) -> float:
    """Return the fault current at the far end of a cable.

    Parameters
    ----------
    start_a : float
        Fault current at the near end, above 0. [A]
    voltage_v : float
        Line-to-line, above 0. [V]
    cable_ohm : complex
        Impedance of one conductor over the run. [Ω]
    x_over_r : float, optional
        Of the near end, see `source_impedance_ohm`.
    phases : int
        3, or 1 for out and back on a single-phase source.

    Returns
    -------
    float
        [A]

    Examples
    --------
    >>> round(fault_at_end_a(24056.0, 480.0, complex(0.05, 0.003)))
    5323

    References
    ----------
    Circuit theory: I = U / (sqrt(3) |Z|), single-phase U / |Z| with the cable twice; added as vectors.
    """
    total = source_impedance_ohm(start_a, voltage_v, x_over_r, phases=phases) + cable_ohm * (1 if phases == 3 else 2)
    return voltage_v / ((math.sqrt(3) if phases == 3 else 1.0) * abs(total))


def point_to_point(
    start_a: float, length_ft: float, constant: float, voltage_v: float, *, parallel: int = 1, phases: int = 3
) -> PointToPoint:
    """Return the fault current at the end of a run by the hand method.

    Parameters
    ----------
    start_a : float
        Fault current at the near end, above 0. [A]
    length_ft : float
        Run, at or above 0. [ft]
    constant : float
        C of the conductor: 1 over its impedance in ohm per foot, above 0.
    voltage_v : float
        Line-to-line, above 0. [V]
    parallel : int
        Conductors in parallel, from 1.
    phases : int
        3, or 1 for a line-to-line run.

    Returns
    -------
    PointToPoint

    Examples
    --------
    >>> found = point_to_point(46296.0, 150.0, 13923.0, 240.0, phases=1)
    >>> round(found.factor, 3), round(found.multiplier, 3), round(found.current_a)
    (4.156, 0.194, 8978)

    Notes
    -----
    Impedances are added as numbers, which gives less current than the vector sum.

    References
    ----------
    Point-to-point method of the trade: f = 1.732 (or 2) L I / (n C U), M = 1 / (1 + f).
    """
    positive(start_a=start_a, constant=constant, voltage_v=voltage_v, parallel=parallel)
    not_negative(length_ft=length_ft)
    factor = (math.sqrt(3) if phases == 3 else 2.0) * length_ft * start_a / (parallel * constant * voltage_v)
    return PointToPoint(factor, 1 / (1 + factor), start_a / (1 + factor))


def motor_contribution_a(motor_current_a: float, *, multiple: float = 4.0) -> float:
    """Return what running motors feed into a fault in its first cycles.

    Parameters
    ----------
    motor_current_a : float
        Sum of full-load currents of motors that run straight on the line, at or above 0. [A]
    multiple : float
        4 to 6 times full load.

    Returns
    -------
    float
        [A]

    Notes
    -----
    A motor behind a drive with a diode input feeds nothing back; it counts only on its bypass.

    Examples
    --------
    >>> motor_contribution_a(124.0)
    496.0

    References
    ----------
    IEEE Std 141 (from memory, check): about 4 times full load for a mixed group of induction motors.
    """
    not_negative(motor_current_a=motor_current_a)
    between(3.0, 8.0, multiple=multiple)
    return multiple * motor_current_a
