"""What the plate of a three-phase induction motor says of itself."""

from __future__ import annotations

import math

from binder.engineering.ranges import OutOfRangeError, between, not_negative, positive
from binder.engineering.tables import load
from binder.engineering.three_phase import SQRT3, power_kw


def synchronous_speed_rpm(frequency_hz: float, poles: int) -> float:
    """Return the speed of the turning field.

    Parameters
    ----------
    frequency_hz : float
        Above 0. [Hz]
    poles : int
        Even, 2 or more.

    Returns
    -------
    float
        [rpm]

    Raises
    ------
    OutOfRangeError
        Frequency not above 0, or poles odd or below 2.

    Examples
    --------
    >>> synchronous_speed_rpm(60.0, 2)
    3600.0

    References
    ----------
    Textbook: n = 120 f / p.
    """
    positive(frequency_hz=frequency_hz)
    if poles < 2 or poles % 2:
        raise OutOfRangeError("poles", poles, "an even number from 2")
    return 120.0 * frequency_hz / poles


def poles_from_speed(frequency_hz: float, speed_rpm: float) -> int:
    """Return the number of poles that belongs to a full-load or synchronous speed.

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

    Notes
    -----
    Holds while the slip is below that between two pole numbers: 50 % at 2 poles, 14 % at 12.

    Examples
    --------
    >>> poles_from_speed(60.0, 1760.0)
    4
    >>> poles_from_speed(50.0, 290.0)
    20

    References
    ----------
    Textbook: n = 120 f / p, slip not negative for a motor.
    """
    positive(frequency_hz=frequency_hz, speed_rpm=speed_rpm)
    pairs = math.floor(60.0 * frequency_hz / speed_rpm + 1e-9)
    if pairs < 1:
        raise OutOfRangeError("speed rpm", speed_rpm, f"at most {60 * frequency_hz:g} at {frequency_hz:g} Hz")
    return 2 * pairs


def slip_percent(synchronous_rpm: float, speed_rpm: float) -> float:
    """Return the slip in percent of the synchronous speed.

    Parameters
    ----------
    synchronous_rpm : float
        Above 0. [rpm]
    speed_rpm : float
        0 up to the synchronous speed. [rpm]

    Returns
    -------
    float
        0 to 100. [%]

    Raises
    ------
    OutOfRangeError
        The speed lies outside 0 to the synchronous speed.

    Examples
    --------
    >>> round(slip_percent(3600.0, 3554.0), 1)
    1.3

    References
    ----------
    Textbook: s = (n_sync - n) / n_sync.
    """
    positive(synchronous_rpm=synchronous_rpm)
    between(0.0, synchronous_rpm, speed_rpm=speed_rpm)
    return 100.0 * (synchronous_rpm - speed_rpm) / synchronous_rpm


def speed_rpm(frequency_hz: float, poles: int, slip_percent: float = 0.0) -> float:
    """Return the shaft speed at a frequency and slip.

    Parameters
    ----------
    frequency_hz : float
        Above 0. [Hz]
    poles : int
        Even, 2 or more.
    slip_percent : float
        Of the synchronous speed at this frequency, 0 to 100. [%]

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
    >>> speed_rpm(50.0, 4, 4.0)
    1440.0
    """
    between(0.0, 100.0, slip_percent=slip_percent)
    return synchronous_speed_rpm(frequency_hz, poles) * (1.0 - slip_percent / 100.0)


def loaded_speed_rpm(frequency_hz: float, poles: int, rated_slip_rpm: float, load_share: float) -> float:
    """Return the shaft speed on a drive: synchronous less the slip, which follows the torque.

    Parameters
    ----------
    frequency_hz : float
        Output frequency, 0 or above. [Hz]
    poles : int
        Even, 2 or more.
    rated_slip_rpm : float
        Slip at rated torque, in rpm, 0 or above. [rpm]
    load_share : float
        Torque over rated torque, 0 or above. [-]

    Returns
    -------
    float
        Never below 0. [rpm]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Notes
    -----
    At constant flux the slip in rpm goes with the torque and not with the frequency.

    Examples
    --------
    >>> loaded_speed_rpm(30.0, 4, 40.0, 0.25)
    890.0

    References
    ----------
    Textbook, constant volts per hertz, below the base frequency, without slip compensation.
    """
    not_negative(frequency_hz=frequency_hz, rated_slip_rpm=rated_slip_rpm, load_share=load_share)
    if frequency_hz == 0:
        return 0.0
    return max(synchronous_speed_rpm(frequency_hz, poles) - rated_slip_rpm * load_share, 0.0)


def rated_torque_nm(shaft_power_kw: float, speed_rpm: float) -> float:
    """Return the torque that gives a power at a speed.

    Parameters
    ----------
    shaft_power_kw : float
        0 or above. [kW]
    speed_rpm : float
        Above 0. [rpm]

    Returns
    -------
    float
        [N·m]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(rated_torque_nm(7.5, 1450.0), 1)
    49.4

    References
    ----------
    T = P / omega; the trade's 9550 kW / rpm and 5252 hp / rpm are this, rounded.
    """
    not_negative(shaft_power_kw=shaft_power_kw)
    positive(speed_rpm=speed_rpm)
    return shaft_power_kw * 1000.0 / (2.0 * math.pi * speed_rpm / 60.0)


def plate_power_kw(
    voltage_v: float, current_a: float, power_factor: float, efficiency_percent: float, *, phases: int = 3
) -> float:
    """Return the shaft power that volts, amperes, power factor and efficiency of a plate amount to.

    Parameters
    ----------
    voltage_v, current_a, power_factor
        As printed, for one and the same connection.
    efficiency_percent : float
        Above 0 up to 100. [%]
    phases : int
        3 or 1.

    Returns
    -------
    float
        [kW]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(plate_power_kw(460.0, 14.0, 0.80, 89.5), 2)
    7.99

    References
    ----------
    P = sqrt(3) U I cos phi eta, on one phase U I cos phi eta; agreement within 5 % is common practice, no source.
    """
    positive(efficiency_percent=efficiency_percent)
    between(0.0, 100.0, efficiency_percent=efficiency_percent)
    electrical = power_kw(voltage_v, current_a, power_factor) / (1.0 if phases == 3 else SQRT3)
    return electrical * efficiency_percent / 100.0


def no_load_current_band_a(
    rated_current_a: float, shaft_power_kw: float, poles: int, power_factor: float
) -> tuple[float, float]:
    """Return the band in which the no-load current of an induction motor is expected.

    Parameters
    ----------
    rated_current_a : float
        Above 0. [A]
    shaft_power_kw : float
        Above 0. [kW]
    poles : int
        Even, 2 or more.
    power_factor : float
        At rated load, above 0, at most 1. [-]

    Returns
    -------
    tuple of float
        Low and high. [A]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Notes
    -----
    25 to 40 % of rated current with 2 or 4 poles above 10 kW, else 40 to 60 %; never above
    the reactive part of the rated current, In sqrt(1 - cos² phi).

    Examples
    --------
    >>> no_load_current_band_a(27.0, 15.0, 4, 0.85)
    (6.75, 10.8)

    References
    ----------
    Shares: common practice, no source. Upper bound: textbook equivalent circuit.
    """
    positive(rated_current_a=rated_current_a, shaft_power_kw=shaft_power_kw, power_factor=power_factor)
    between(0.0, 1.0, power_factor=power_factor)
    low, high = (0.25, 0.40) if poles <= 4 and shaft_power_kw > 10.0 else (0.40, 0.60)
    reactive = math.sqrt(1.0 - power_factor**2)
    return rated_current_a * min(low, reactive), rated_current_a * min(high, reactive)


def locked_rotor_current_a(power_hp: float, kva_per_hp: float, voltage_v: float) -> float:
    """Return the locked-rotor current from the kVA per horsepower of a code letter.

    Parameters
    ----------
    power_hp : float
        Above 0. [hp]
    kva_per_hp : float
        See `code_letter_band`, above 0. [kVA/hp]
    voltage_v : float
        Above 0. [V]

    Returns
    -------
    float
        Across the line at rated voltage, not on a drive. [A]

    Raises
    ------
    OutOfRangeError
        A number is not above 0.

    Examples
    --------
    >>> round(locked_rotor_current_a(100.0, 4.0, 460.0))
    502

    References
    ----------
    NEMA MG 1 10.37.2; US Department of Energy, Motor Systems Tip Sheet 6.
    """
    positive(power_hp=power_hp, kva_per_hp=kva_per_hp, voltage_v=voltage_v)
    return power_hp * kva_per_hp * 1000.0 / (SQRT3 * voltage_v)


def code_letter_band(letter: str) -> tuple[float, float]:
    """Return the locked-rotor kVA per horsepower of a code letter, low and high end.

    Parameters
    ----------
    letter : str
        A to V, without I, O and Q.

    Returns
    -------
    tuple of float
        Low and high end; the high end of V is open and infinite. [kVA/hp]

    Raises
    ------
    OutsideTableError
        No such letter.

    Examples
    --------
    >>> code_letter_band("G")
    (5.6, 6.29)

    References
    ----------
    NEMA MG 1 10.37.2, NEC Table 430.7(B).
    """
    row = load("nema_mg1_facts").row(key=f"code_letter_{letter.strip().lower()}")
    return float(row["value"]), float(row["value_max"] or "inf")


def voltage_at_frequency_v(plate_voltage_v: float, plate_frequency_hz: float, frequency_hz: float) -> float:
    """Return the voltage that gives a motor its rated flux at another frequency.

    Parameters
    ----------
    plate_voltage_v, plate_frequency_hz, frequency_hz : float
        Above 0. [V, Hz, Hz]

    Returns
    -------
    float
        [V]

    Raises
    ------
    OutOfRangeError
        A number is not above 0.

    Notes
    -----
    At this voltage the motor gives its rated torque, so its power goes with the frequency
    (400 V 50 Hz becomes 480 V 60 Hz at 1.2 times the power, at 1.2 times the speed).

    Examples
    --------
    >>> voltage_at_frequency_v(400.0, 50.0, 60.0)
    480.0

    References
    ----------
    Textbook: flux goes with U / f.
    """
    positive(plate_voltage_v=plate_voltage_v, plate_frequency_hz=plate_frequency_hz, frequency_hz=frequency_hz)
    return plate_voltage_v * frequency_hz / plate_frequency_hz
