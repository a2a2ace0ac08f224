"""Speed reference signals: what a meter shows and what the drive makes of it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from binder.engineering.ranges import OutOfRangeError, between, not_negative, positive
from binder.engineering.tables import OutsideTableError


@dataclass(frozen=True, slots=True)
class SignalFormat:
    """A signal range: its ends and unit; where 0 % is above zero, a broken wire can be told from it."""

    name: str
    low: float
    high: float
    unit: str


#: The formats that `analog_input_format` knows, and the two that drives also offer.
FORMATS = {
    f.name: f
    for f in (
        SignalFormat("0-10 V", 0.0, 10.0, "V"),
        SignalFormat("2-10 V", 2.0, 10.0, "V"),
        SignalFormat("0-20 mA", 0.0, 20.0, "mA"),
        SignalFormat("4-20 mA", 4.0, 20.0, "mA"),
        SignalFormat("-10..+10 V", -10.0, 10.0, "V"),
    )
}


class Convention(StrEnum):
    """What the low end of a signal means when the minimum frequency is above zero."""

    FROM_MINIMUM = "low end of the signal = minimum frequency"
    FROM_ZERO = "low end of the signal = 0 Hz, held at the minimum frequency"


def signal_format(name: str) -> SignalFormat:
    """Return a format by its name.

    Parameters
    ----------
    name : str
        A key of `FORMATS`.

    Returns
    -------
    SignalFormat

    Raises
    ------
    OutsideTableError
        The format is not known.

    Examples
    --------
    >>> signal_format("4-20 mA").low
    4.0
    """
    if name not in FORMATS:
        raise OutsideTableError("signal formats", name or "a blank format")
    return FORMATS[name]


def scaled(percent: float, low: float, high: float) -> float:
    """Return the value that a percentage of a range means.

    Parameters
    ----------
    percent : float
        Of the span; values outside 0 to 100 lie outside the range.
    low, high : float
        Ends of the range; `low` may lie below zero.

    Returns
    -------
    float
        In the unit of the range.

    Examples
    --------
    >>> round(scaled(40.0, -1.0, 1.0), 6)
    -0.2

    References
    ----------
    Straight line through both ends.
    """
    return low + (high - low) * percent / 100.0


def percent_of(value: float, low: float, high: float) -> float:
    """Return the percentage of its range that a value stands for.

    Parameters
    ----------
    value : float
        In the unit of the range; may lie outside it.
    low, high : float
        Ends of the range, not equal.

    Returns
    -------
    float
        [%]

    Raises
    ------
    OutOfRangeError
        The ends are equal.

    Examples
    --------
    >>> percent_of(12.0, 4.0, 20.0)
    50.0
    """
    if low == high:
        raise OutOfRangeError("span", 0.0, "ends that differ")
    return 100.0 * (value - low) / (high - low)


def signal_at(name: str, percent: float) -> float:
    """Return the volts or milliamperes of a signal at a percentage.

    Parameters
    ----------
    name : str
        A key of `FORMATS`.
    percent : float
        0 to 100, for '-10..+10 V' of the whole span: 50 is standstill. [%]

    Returns
    -------
    float
        [V or mA]

    Raises
    ------
    OutsideTableError
        The format is not known.
    OutOfRangeError
        The percentage lies outside 0 to 100.

    Examples
    --------
    >>> signal_at("4-20 mA", 75.0), signal_at("2-10 V", 0.0)
    (16.0, 2.0)
    """
    between(0.0, 100.0, percent=percent)
    chosen = signal_format(name)
    return scaled(percent, chosen.low, chosen.high)


def frequency_at(
    percent: float,
    *,
    min_frequency_hz: float,
    max_frequency_hz: float,
    convention: Convention = Convention.FROM_MINIMUM,
) -> float:
    """Return the frequency that a reference commands.

    Parameters
    ----------
    percent : float
        Reference, 0 to 100. [%]
    min_frequency_hz : float
        0 or above. [Hz]
    max_frequency_hz : float
        At or above the minimum. [Hz]
    convention : Convention
        What the low end of the signal means.

    Returns
    -------
    float
        [Hz]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> frequency_at(50.0, min_frequency_hz=10.0, max_frequency_hz=60.0)
    35.0
    >>> frequency_at(10.0, min_frequency_hz=10.0, max_frequency_hz=60.0, convention=Convention.FROM_ZERO)
    10.0

    References
    ----------
    Both schools are in use; the page must say which: common practice, no source.
    """
    between(0.0, 100.0, percent=percent)
    not_negative(min_frequency_hz=min_frequency_hz)
    if max_frequency_hz < min_frequency_hz:
        raise OutOfRangeError("max frequency hz", max_frequency_hz, f"at least the minimum, {min_frequency_hz:g}")
    if convention is Convention.FROM_MINIMUM:
        return scaled(percent, min_frequency_hz, max_frequency_hz)
    return max(scaled(percent, 0.0, max_frequency_hz), min_frequency_hz)


def low_end_percent(min_frequency_hz: float, max_frequency_hz: float) -> float:
    """Return the reference that stands for the minimum frequency, in percent of the maximum.

    Parameters
    ----------
    min_frequency_hz : float
        0 up to the maximum. [Hz]
    max_frequency_hz : float
        Above 0. [Hz]

    Returns
    -------
    float
        [%]

    Raises
    ------
    OutOfRangeError
        The minimum is below 0 or the maximum not above it.

    Notes
    -----
    The gain of the input is 100 less this.

    Examples
    --------
    >>> round(low_end_percent(10.0, 60.0), 1)
    16.7
    """
    not_negative(min_frequency_hz=min_frequency_hz)
    positive(max_frequency_hz=max_frequency_hz)
    between(0.0, max_frequency_hz, min_frequency_hz=min_frequency_hz)
    return 100.0 * min_frequency_hz / max_frequency_hz


def potentiometer_current_ma(supply_v: float, resistance_ohm: float) -> float:
    """Return the current a potentiometer draws from the reference supply.

    Parameters
    ----------
    supply_v, resistance_ohm : float
        Above 0. [V, Ω]

    Returns
    -------
    float
        [mA]

    Raises
    ------
    OutOfRangeError
        A number is not above 0.

    Examples
    --------
    >>> potentiometer_current_ma(10.0, 5000.0)
    2.0
    """
    positive(supply_v=supply_v, resistance_ohm=resistance_ohm)
    return 1000.0 * supply_v / resistance_ohm


def potentiometer_power_w(supply_v: float, resistance_ohm: float) -> float:
    """Return the power in a potentiometer's track.

    Parameters
    ----------
    supply_v, resistance_ohm : float
        Above 0. [V, Ω]

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
    >>> potentiometer_power_w(10.0, 5000.0)
    0.02
    """
    positive(supply_v=supply_v, resistance_ohm=resistance_ohm)
    return supply_v**2 / resistance_ohm


def loaded_wiper_percent(turn_percent: float, resistance_ohm: float, input_ohm: float) -> float:
    """Return the volts at the wiper in percent of the supply, with the input's load on it.

    Parameters
    ----------
    turn_percent : float
        Of a linear potentiometer's turn, 0 to 100. [%]
    resistance_ohm, input_ohm : float
        Of the track and of the drive's input, above 0. [Ω]

    Returns
    -------
    float
        [%]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(loaded_wiper_percent(50.0, 5000.0, 20000.0), 2)
    47.06

    References
    ----------
    Textbook: a divider loaded at its tap, x / (1 + x (1 - x) R / R_in).
    """
    between(0.0, 100.0, turn_percent=turn_percent)
    positive(resistance_ohm=resistance_ohm, input_ohm=input_ohm)
    x = turn_percent / 100.0
    return 100.0 * x / (1.0 + x * (1.0 - x) * resistance_ohm / input_ohm)


def loading_error_percent(resistance_ohm: float, input_ohm: float) -> tuple[float, float]:
    """Return the largest error that the input's load causes, and the turn where it stands.

    Parameters
    ----------
    resistance_ohm, input_ohm : float
        As in `loaded_wiper_percent`.

    Returns
    -------
    tuple of float
        Error in percent of full reference, never negative, and turn in percent; the least error is 0, at both ends.

    Raises
    ------
    OutOfRangeError
        A number is not above 0.

    Notes
    -----
    Found on the whole percents of the turn, where it lies close to two thirds.

    Examples
    --------
    >>> error, turn = loading_error_percent(5000.0, 20000.0)
    >>> round(error, 2), turn
    (3.51, 67.0)
    """
    errors = [(t - loaded_wiper_percent(t, resistance_ohm, input_ohm), float(t)) for t in range(50, 101)]
    return max(errors)


def pulse_frequency_hz(speed_rpm: float, pulses_per_turn: float) -> float:
    """Return the frequency of one encoder channel.

    Parameters
    ----------
    speed_rpm : float
        0 or above. [rpm]
    pulses_per_turn : float
        Above 0.

    Returns
    -------
    float
        [Hz]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(pulse_frequency_hz(3100.0, 1024.0), 1)
    52906.7
    """
    not_negative(speed_rpm=speed_rpm)
    positive(pulses_per_turn=pulses_per_turn)
    return speed_rpm / 60.0 * pulses_per_turn


def speed_from_pulses_rpm(pulses: float, seconds: float, pulses_per_turn: float) -> float:
    """Return the speed that a count of pulses in a time stands for.

    Parameters
    ----------
    pulses : float
        Counted on one channel, 0 or above.
    seconds : float
        Time of counting, above 0. [s]
    pulses_per_turn : float
        Above 0.

    Returns
    -------
    float
        [rpm]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> speed_from_pulses_rpm(60.0, 10.0, 250.0)
    1.44
    """
    not_negative(pulses=pulses)
    positive(seconds=seconds, pulses_per_turn=pulses_per_turn)
    return pulses / pulses_per_turn / seconds * 60.0
