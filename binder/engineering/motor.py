"""What the plate of a three-phase motor says of itself."""

from __future__ import annotations

from binder.engineering.ranges import OutOfRangeError, positive


def poles_from_speed(frequency_hz: float, speed_rpm: float) -> int:
    """Return the number of poles that belongs to a full-load speed.

    Parameters
    ----------
    frequency_hz : float
        Plate frequency, above 0. [Hz]
    speed_rpm : float
        Plate speed at full load, above 0. [rpm]

    Returns
    -------
    int
        The largest even number of poles whose synchronous speed is at or above the plate speed.

    Raises
    ------
    OutOfRangeError
        The speed is above that of two poles, or a number is not above zero.

    Examples
    --------
    >>> poles_from_speed(60.0, 1760.0)
    4
    """
    positive(frequency_hz=frequency_hz, speed_rpm=speed_rpm)
    pairs = int(60.0 * frequency_hz / speed_rpm)
    if pairs < 1:
        raise OutOfRangeError("speed rpm", speed_rpm, f"at most {60 * frequency_hz:g} at {frequency_hz:g} Hz")
    return 2 * pairs
