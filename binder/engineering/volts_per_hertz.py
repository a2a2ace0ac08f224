"""The volts-per-hertz line of a drive."""

from __future__ import annotations

from binder.engineering.ranges import not_negative, positive


def ratio_v_per_hz(voltage_v: float, frequency_hz: float) -> float:
    """Return the volts per hertz of a plate.

    Parameters
    ----------
    voltage_v, frequency_hz : float
        Above 0. [V, Hz]

    Returns
    -------
    float
        [V/Hz]

    Raises
    ------
    OutOfRangeError
        A number is not above 0.

    Examples
    --------
    >>> round(ratio_v_per_hz(230.0, 60.0), 2)
    3.83
    """
    positive(voltage_v=voltage_v, frequency_hz=frequency_hz)
    return voltage_v / frequency_hz


def output_voltage_v(
    frequency_hz: float, *, plate_voltage_v: float, plate_frequency_hz: float, supply_voltage_v: float
) -> float:
    """Return the drive's output voltage at a frequency, without boost.

    Parameters
    ----------
    frequency_hz : float
        0 or above. [Hz]
    plate_voltage_v, plate_frequency_hz : float
        The point through which the line goes, above 0. [V, Hz]
    supply_voltage_v : float
        The most a drive can give, above 0. [V]

    Returns
    -------
    float
        [V]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Notes
    -----
    Straight from zero to the plate point, level above it, never above the supply.

    Examples
    --------
    >>> output_voltage_v(30.0, plate_voltage_v=460.0, plate_frequency_hz=60.0, supply_voltage_v=480.0)
    230.0

    References
    ----------
    Textbook: constant flux below base speed.
    """
    not_negative(frequency_hz=frequency_hz)
    positive(supply_voltage_v=supply_voltage_v)
    line = ratio_v_per_hz(plate_voltage_v, plate_frequency_hz) * frequency_hz
    return min(line, plate_voltage_v, supply_voltage_v)


def curve(
    plate_voltage_v: float, plate_frequency_hz: float, supply_voltage_v: float, max_frequency_hz: float
) -> tuple[tuple[float, float], ...]:
    """Return the corner points (Hz, V) of the line from 0 to the maximum frequency, for a plot.

    Parameters
    ----------
    plate_voltage_v, plate_frequency_hz, supply_voltage_v, max_frequency_hz : float
        Above 0. [V, Hz, V, Hz]

    Returns
    -------
    tuple of tuple of float
        Frequency and voltage of each corner. [Hz, V]

    Raises
    ------
    OutOfRangeError
        A number is not above 0.

    Examples
    --------
    >>> curve(460.0, 60.0, 480.0, 90.0)
    ((0.0, 0.0), (60.0, 460.0), (90.0, 460.0))
    """
    positive(max_frequency_hz=max_frequency_hz, supply_voltage_v=supply_voltage_v)
    corner = plate_frequency_hz * min(1.0, supply_voltage_v / plate_voltage_v)
    stops = sorted({0.0, min(corner, max_frequency_hz), max_frequency_hz})
    return tuple(
        (
            hz,
            output_voltage_v(
                hz,
                plate_voltage_v=plate_voltage_v,
                plate_frequency_hz=plate_frequency_hz,
                supply_voltage_v=supply_voltage_v,
            ),
        )
        for hz in stops
    )
