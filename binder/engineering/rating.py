"""The current a drive can carry where it stands, from its own manual's derating data."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from binder.engineering.ranges import OutOfRangeError, between, not_negative, positive


def slope_factor(value: float, free_up_to: float, percent_per_step: float, step: float = 1.0) -> float:
    """Return a derating factor that is 1 up to a point and then falls by so much a step.

    Parameters
    ----------
    value : float
        Ambient [°C] or altitude [m] of the place.
    free_up_to : float
        Where derating begins, same unit.
    percent_per_step : float
        From the model's manual, 0 or above. [%]
    step : float
        Size of a step: 1 K for ambient, 100 m for altitude; above 0.

    Returns
    -------
    float
        0 to 1.

    Raises
    ------
    OutOfRangeError
        A number lies outside its range, or the factor would fall to nothing.

    Notes
    -----
    The free value is a property of the model, not a constant of the trade.

    Examples
    --------
    >>> slope_factor(50.0, 40.0, 1.0)
    0.9
    >>> slope_factor(1500.0, 1000.0, 1.0, 100.0)
    0.95

    References
    ----------
    The drive's manual (typed into the workbook); worked pages in public drive manuals.
    """
    not_negative(percent_per_step=percent_per_step)
    positive(step=step)
    excess = max(value - free_up_to, 0.0)
    factor = 1.0 - excess / step * percent_per_step / 100.0
    if factor <= 0.0:
        raise OutOfRangeError("derated share of rated current", factor, "above 0")
    return factor


def carrier_factor(carrier_khz: float, points: Sequence[tuple[float, float]]) -> float:
    """Return the share of rated current at a carrier frequency.

    Parameters
    ----------
    carrier_khz : float
        Above 0. [kHz]
    points : sequence of tuple of float
        The model's derating points (carrier in kHz, share 0 to 1), rising carrier, one or more.

    Returns
    -------
    float

    Raises
    ------
    OutOfRangeError
        The carrier lies above the last point, or there is no point.

    Notes
    -----
    Straight lines between the manual's points. At or below the first point its share holds,
    never more; above the last nothing is known.

    Examples
    --------
    >>> carrier_factor(6.0, [(4.0, 1.0), (8.0, 0.9)])
    0.95

    References
    ----------
    The drive's manual; straight lines between points are common practice, no source.
    """
    positive(carrier_khz=carrier_khz)
    if not points or carrier_khz > points[-1][0]:
        raise OutOfRangeError("carrier khz", carrier_khz, f"at most {points[-1][0]:g}" if points else "no point given")
    if carrier_khz <= points[0][0]:
        return points[0][1]
    for (x0, y0), (x1, y1) in pairwise(points):
        if carrier_khz <= x1:
            return y0 + (y1 - y0) * (carrier_khz - x0) / (x1 - x0)
    raise AssertionError("points do not rise")  # pragma: no cover


def continuous_current_a(
    rated_a: float, *, ambient: float = 1.0, altitude: float = 1.0, carrier: float = 1.0, single_phase: float = 1.0
) -> float:
    """Return the continuous output current after all derating.

    Parameters
    ----------
    rated_a : float
        Of the duty class, above 0. [A]
    ambient, altitude, carrier, single_phase : float
        Factors above 0, at most 1.

    Returns
    -------
    float
        [A]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Notes
    -----
    The factors multiply unless the manual says otherwise.

    Examples
    --------
    >>> round(continuous_current_a(31.0, ambient=0.92, carrier=0.95), 2)
    27.09

    References
    ----------
    Common practice, no source; each factor from the drive's manual.
    """
    positive(rated_a=rated_a, ambient=ambient, altitude=altitude, carrier=carrier, single_phase=single_phase)
    between(0.0, 1.0, ambient=ambient, altitude=altitude, carrier=carrier, single_phase=single_phase)
    return rated_a * ambient * altitude * carrier * single_phase


def drive_power_for_single_phase(motor_power: float, factor: float) -> float:
    """Return the three-phase drive rating that carries a motor on a one-phase supply.

    Parameters
    ----------
    motor_power : float
        Above 0, any power unit.
    factor : float
        Share of the rating left on one phase, above 0, at most 1.

    Returns
    -------
    float
        In the unit of `motor_power`.

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> drive_power_for_single_phase(50.0, 0.5)
    100.0
    """
    positive(motor_power=motor_power, factor=factor)
    between(0.0, 1.0, factor=factor)
    return motor_power / factor


def highest_value(needed_factor: float, free_up_to: float, percent_per_step: float, step: float = 1.0) -> float | None:
    """Return the highest ambient or altitude at which a factor is still reached.

    Parameters
    ----------
    needed_factor : float
        Above 0.
    free_up_to, percent_per_step, step
        As in `slope_factor`.

    Returns
    -------
    float or None
        None when even the free value is not enough; infinite when nothing is derated.

    Examples
    --------
    >>> highest_value(0.95, 40.0, 1.0)
    45.0
    >>> highest_value(1.02, 40.0, 1.0) is None
    True
    """
    positive(needed_factor=needed_factor, step=step)
    not_negative(percent_per_step=percent_per_step)
    if needed_factor > 1.0:
        return None
    if percent_per_step == 0.0:
        return float("inf")
    return free_up_to + round((1.0 - needed_factor) * 100.0 / percent_per_step * step, 9)


def highest_carrier_khz(needed_factor: float, points: Sequence[tuple[float, float]]) -> float | None:
    """Return the highest carrier frequency at which a factor is still reached; None when nowhere.

    Parameters
    ----------
    needed_factor : float
        Above 0.
    points
        As in `carrier_factor`, shares not rising.

    Returns
    -------
    float or None
        [kHz]

    Examples
    --------
    >>> highest_carrier_khz(0.95, [(4.0, 1.0), (8.0, 0.9)])
    6.0
    """
    positive(needed_factor=needed_factor)
    best = None
    previous: tuple[float, float] | None = None
    for x, y in points:
        if y >= needed_factor:
            best = x
        elif previous is not None and previous[1] >= needed_factor:
            x0, y0 = previous
            best = round(x0 + (y0 - needed_factor) / (y0 - y) * (x - x0), 9)
        previous = (x, y)
    return best


def torque_share_at_current(current_a: float, rated_current_a: float, no_load_current_a: float) -> float:
    """Return the torque over rated torque that a motor gives at a current.

    Parameters
    ----------
    current_a : float
        At or above the no-load current. [A]
    rated_current_a : float
        Above the no-load current. [A]
    no_load_current_a : float
        0 or above. [A]

    Returns
    -------
    float

    Raises
    ------
    OutOfRangeError
        The currents do not follow on each other.

    Notes
    -----
    The active part of the current carries the torque: I² = I0² + (T/Tn)² (In² - I0²). Holds to about
    1.5 times rated torque, before the motor saturates.

    Examples
    --------
    >>> torque_share_at_current(27.0, 27.0, 10.0)
    1.0

    References
    ----------
    Textbook equivalent circuit, simplified; common practice, no source.
    """
    not_negative(no_load_current_a=no_load_current_a)
    if not no_load_current_a < rated_current_a:
        raise OutOfRangeError("rated current a", rated_current_a, f"above the no-load current {no_load_current_a:g}")
    if current_a < no_load_current_a:
        raise OutOfRangeError("current a", current_a, f"at least the no-load current {no_load_current_a:g}")
    idle = no_load_current_a**2
    return float(((current_a**2 - idle) / (rated_current_a**2 - idle)) ** 0.5)
