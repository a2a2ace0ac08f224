"""The DC bus of a drive: its voltage, the energy it holds, and how it goes away."""

from __future__ import annotations

import math

from binder.engineering.ranges import OutOfRangeError, not_negative, positive

#: Below this DC voltage work may go on after proof (NFPA 70E and 29 CFR 1910.333: 50 V).
SAFE_VOLTS = 50.0


def no_load_volts(line_voltage_v: float) -> float:
    """Return the bus voltage without load: the peak of the line voltage.

    Parameters
    ----------
    line_voltage_v : float
        Between lines, above 0. [V]

    Returns
    -------
    float
        [V DC]

    Raises
    ------
    OutOfRangeError
        The voltage is not above 0.

    Examples
    --------
    >>> round(no_load_volts(480.0)), round(no_load_volts(230.0 * 3**0.5))
    (679, 563)

    References
    ----------
    Textbook: sqrt(2) U. Holds for three-phase and one-phase bridges with a capacitor.
    """
    positive(line_voltage_v=line_voltage_v)
    return math.sqrt(2.0) * line_voltage_v


def loaded_volts(line_voltage_v: float) -> float:
    """Return the mean bus voltage of a loaded three-phase six-pulse bridge.

    Parameters
    ----------
    line_voltage_v : float
        Between lines, above 0. [V]

    Returns
    -------
    float
        [V DC]

    Raises
    ------
    OutOfRangeError
        The voltage is not above 0.

    Examples
    --------
    >>> round(loaded_volts(480.0)), round(loaded_volts(400.0))
    (648, 540)

    References
    ----------
    Textbook: 3 sqrt(2) / pi U = 1.35 U, without commutation drop.
    """
    positive(line_voltage_v=line_voltage_v)
    return 3.0 * math.sqrt(2.0) / math.pi * line_voltage_v


def stored_energy_j(capacitance_f: float, volts: float) -> float:
    """Return the energy in the link capacitors.

    Parameters
    ----------
    capacitance_f : float
        Above 0. [F]
    volts : float
        0 or above. [V]

    Returns
    -------
    float
        [J]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(stored_energy_j(2e-3, 680.0))
    462

    References
    ----------
    Textbook: E = C U² / 2.
    """
    positive(capacitance_f=capacitance_f)
    not_negative(volts=volts)
    return 0.5 * capacitance_f * volts**2


def time_constant_s(resistance_ohm: float, capacitance_f: float) -> float:
    """Return the time constant R C.

    Parameters
    ----------
    resistance_ohm, capacitance_f : float
        Above 0. [Ω, F]

    Returns
    -------
    float
        [s]

    Raises
    ------
    OutOfRangeError
        A number is not above 0.

    Examples
    --------
    >>> time_constant_s(100e3, 2000e-6)
    200.0
    """
    positive(resistance_ohm=resistance_ohm, capacitance_f=capacitance_f)
    return resistance_ohm * capacitance_f


def discharge_time_s(resistance_ohm: float, capacitance_f: float, from_volts: float, to_volts: float) -> float:
    """Return the time in which the bleeder takes the bus down to a voltage.

    Parameters
    ----------
    resistance_ohm, capacitance_f : float
        Above 0. [Ω, F]
    from_volts : float
        At or above `to_volts`. [V]
    to_volts : float
        Above 0. [V]

    Returns
    -------
    float
        [s]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Notes
    -----
    A failed bleeder leaves the charge for hours: the time proves nothing, the meter does.

    Examples
    --------
    800 V, 2000 µF, 100 kΩ take 9.2 minutes to 50 V:

    >>> round(discharge_time_s(100e3, 2000e-6, 800.0, 50.0) / 60.0, 1)
    9.2

    References
    ----------
    Textbook: t = R C ln(U0 / U); OpenStax, College Physics, 21.6.
    """
    positive(to_volts=to_volts)
    if from_volts < to_volts:
        raise OutOfRangeError("from volts", from_volts, f"at least {to_volts:g}")
    return time_constant_s(resistance_ohm, capacitance_f) * math.log(from_volts / to_volts)


def volts_after(from_volts: float, seconds: float, time_constant: float) -> float:
    """Return the voltage left on a discharging capacitor.

    Parameters
    ----------
    from_volts : float
        At the start, 0 or above. [V]
    seconds : float
        0 or above. [s]
    time_constant : float
        Above 0. [s]

    Returns
    -------
    float
        [V]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(volts_after(200.0, 4.0, 4.0), 1)
    73.6

    References
    ----------
    Textbook: U = U0 exp(-t / RC).
    """
    not_negative(from_volts=from_volts, seconds=seconds)
    positive(time_constant=time_constant)
    return from_volts * math.exp(-seconds / time_constant)
