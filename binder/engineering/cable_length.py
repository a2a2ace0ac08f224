"""Long motor cables: critical length, reflected peak at the motor, and what a filter makes of it."""

from __future__ import annotations

import math

from binder.engineering.ranges import between, not_negative, positive
from binder.engineering.tables import load

#: Speed of a pulse in motor cable, half of light's; common practice, confirmed by no standard. [m/µs]
WAVE_SPEED_M_PER_US = 150.0
#: Slope that a dv/dt filter is asked to keep, that of a general-purpose motor. [V/µs]
FILTER_SLOPE_V_PER_US = load("nema_mg1_facts").number("value", key="general_purpose_dv_dt_max")


def critical_length_m(rise_time_us: float, *, speed_m_per_us: float = WAVE_SPEED_M_PER_US) -> float:
    """Return the cable length from which the pulse is reflected in full.

    Parameters
    ----------
    rise_time_us : float
        Rise time of the drive's output pulse, above 0. [µs]
    speed_m_per_us : float
        Speed of the pulse in the cable, above 0. [m/µs]

    Returns
    -------
    float
        v t_r / 2. [m]

    Examples
    --------
    >>> critical_length_m(0.1), critical_length_m(0.4)
    (7.5, 30.0)

    References
    ----------
    IEC TS 60034-25 and handbooks of the trade; speed from memory, check with the cable maker.
    """
    positive(rise_time_us=rise_time_us, speed_m_per_us=speed_m_per_us)
    return speed_m_per_us * rise_time_us / 2


def reflection_factor(load_ohm: float, cable_ohm: float) -> float:
    """Return the share of a pulse that is thrown back at the end of a cable.

    Parameters
    ----------
    load_ohm : float
        Surge impedance of the motor, at or above 0. [Ω]
    cable_ohm : float
        Surge impedance of the cable, above 0. [Ω]

    Returns
    -------
    float
        (Z_m - Z_0) / (Z_m + Z_0), from -1 to 1; the voltage at the end is 1 + this.

    Examples
    --------
    >>> reflection_factor(0.0, 50.0)
    -1.0

    References
    ----------
    Transmission line theory.
    """
    not_negative(load_ohm=load_ohm)
    positive(cable_ohm=cable_ohm)
    return (load_ohm - cable_ohm) / (load_ohm + cable_ohm)


def surge_impedance_ohm(inductance_h_per_m: float, capacitance_f_per_m: float) -> float:
    """Return the surge impedance of a line from its values per length.

    Parameters
    ----------
    inductance_h_per_m, capacitance_f_per_m : float
        Each above 0. [H/m], [F/m]

    Returns
    -------
    float
        [Ω]

    Examples
    --------
    >>> round(surge_impedance_ohm(0.97e-6, 0.0115e-9), 2)
    290.43

    References
    ----------
    Transmission line theory: sqrt(L / C).
    """
    positive(inductance_h_per_m=inductance_h_per_m, capacitance_f_per_m=capacitance_f_per_m)
    return math.sqrt(inductance_h_per_m / capacitance_f_per_m)


def wave_speed_m_per_us(inductance_h_per_m: float, capacitance_f_per_m: float) -> float:
    """Return the speed of a pulse on a line from its values per length.

    Parameters
    ----------
    inductance_h_per_m, capacitance_f_per_m : float
        Each above 0. [H/m], [F/m]

    Returns
    -------
    float
        [m/µs]

    Examples
    --------
    >>> round(wave_speed_m_per_us(0.97e-6, 0.0115e-9), 1)
    299.4

    References
    ----------
    Transmission line theory: 1 / sqrt(L C).
    """
    positive(inductance_h_per_m=inductance_h_per_m, capacitance_f_per_m=capacitance_f_per_m)
    return 1e-6 / math.sqrt(inductance_h_per_m * capacitance_f_per_m)


def charging_current_a(bus_v: float, cable_ohm: float) -> float:
    """Return the current with which each pulse charges the cable while it runs along it.

    Parameters
    ----------
    bus_v, cable_ohm : float
        DC link voltage and surge impedance of the cable, above 0. [V], [Ω]

    Returns
    -------
    float
        [A]

    Examples
    --------
    >>> charging_current_a(680.0, 85.0)
    8.0

    References
    ----------
    Transmission line theory: u / Z_0.
    """
    positive(bus_v=bus_v, cable_ohm=cable_ohm)
    return bus_v / cable_ohm


def peak_voltage_v(bus_v: float, length_m: float, rise_time_us: float, *, reflection: float = 1.0) -> float:
    """Return the peak between motor terminals at the end of a cable.

    Parameters
    ----------
    bus_v : float
        DC link voltage, above 0. [V]
    length_m : float
        Routed length, at or above 0. [m]
    rise_time_us : float
        Rise time at the drive's terminals, above 0. [µs]
    reflection : float
        0 to 1; 1 (full) is the safe side where the motor's surge impedance is not known.

    Returns
    -------
    float
        U_dc (1 + reflection x min(1, l / l_critical)). [V]

    Notes
    -----
    Below the critical length the overshoot grows with the length, as for a straight ramp. Double
    transitions of the modulator and braking (a higher link voltage) can give more than twice the link.

    Examples
    --------
    >>> peak_voltage_v(648.0, 60.0, 0.1)
    1296.0

    References
    ----------
    IEC TS 60034-25 and NEMA MG 1 Part 30 application notes in the form used by the trade; from memory, check.
    """
    positive(bus_v=bus_v)
    not_negative(length_m=length_m)
    between(0.0, 1.0, reflection=reflection)
    return bus_v * (1 + reflection * min(1.0, length_m / critical_length_m(rise_time_us)))


def filtered_rise_time_us(bus_v: float, *, slope_v_per_us: float = FILTER_SLOPE_V_PER_US) -> float:
    """Return the rise time behind a dv/dt filter that keeps a slope.

    Parameters
    ----------
    bus_v : float
        DC link voltage, above 0. [V]
    slope_v_per_us : float
        Slope that the filter keeps, above 0. [V/µs]

    Returns
    -------
    float
        [µs]

    Examples
    --------
    >>> round(filtered_rise_time_us(650.0), 2)
    1.04

    References
    ----------
    IEC 60034-25: dv/dt = 0.8 U / t_r (10 to 90 %).
    """
    positive(bus_v=bus_v, slope_v_per_us=slope_v_per_us)
    return 0.8 * bus_v / slope_v_per_us


def sine_filter_peak_v(line_v: float) -> float:
    """Return the peak behind a sine filter.

    Parameters
    ----------
    line_v : float
        Rated line-to-line voltage of the motor, above 0. [V]

    Returns
    -------
    float
        [V]

    Examples
    --------
    >>> sine_filter_peak_v(480.0)
    720.0

    References
    ----------
    Common practice: 1.5 times the rated line voltage (one maker's figure, no standard).
    """
    positive(line_voltage_v=line_v)
    return load("iec_60034_18_41_or_25_facts").number("number", key="sine_filter_peak") * line_v


def motor_limits(rated_v: float, *, inverter_duty: bool) -> tuple[float, float]:
    """Return the peak a motor winding may see and the shortest rise time.

    Parameters
    ----------
    rated_v : float
        Rated line-to-line voltage, above 0, to 600. [V]
    inverter_duty : bool
        True for a motor marked inverter duty (Part 31), False for general purpose (Part 30).

    Returns
    -------
    tuple of float
        Peak and rise time. [V], [µs]

    Examples
    --------
    >>> peak, rise = motor_limits(460.0, inverter_duty=True)
    >>> round(peak), rise
    (1426, 0.1)

    References
    ----------
    NEMA MG 1 Part 31, 31.4.4.2 (3.1 times rated volts, 0.1 µs) and Part 30, 30.2.2.8 (1000 V, 2 µs); one source each.
    """
    between(1.0, 600.0, rated_voltage_v=rated_v)
    facts = load("nema_mg1_facts")
    if inverter_duty:
        peak = facts.number("value", key="inverter_duty_peak_voltage_multiple_max") * rated_v
        return peak, facts.number("value", key="inverter_duty_rise_time_min")
    return (
        facts.number("value", key="general_purpose_peak_voltage_max"),
        facts.number("value", key="general_purpose_rise_time_min"),
    )


def stress_category(peak_v: float, bus_v: float) -> str:
    """Return the stress category of a winding between phases, by its overshoot.

    Parameters
    ----------
    peak_v, bus_v : float
        Peak at the motor and DC link voltage, above 0. [V]

    Returns
    -------
    str
        'A' benign, 'B' moderate, 'C' severe, 'D' extreme, or 'beyond D'.

    Examples
    --------
    >>> stress_category(1296.0, 648.0)
    'C'

    References
    ----------
    IEC 60034-18-41:2014, clause 7 (category limits from memory, check).
    """
    positive(peak_v=peak_v, bus_v=bus_v)
    facts = load("iec_60034_18_41_or_25_facts")
    for letter, word in zip("ABCD", ("benign", "moderate", "severe", "extreme"), strict=True):
        if peak_v / bus_v <= facts.number("number_max", key=f"stress_category_{letter.lower()}_{word}") + 1e-9:
            return letter
    return "beyond D"
