"""Limits of the tests on a dead motor: insulation, polarization, winding spread, thermistors."""

from __future__ import annotations

import math
from collections.abc import Sequence

from binder.engineering.ranges import OutOfRangeError, between, not_negative, positive
from binder.engineering.tables import OutsideTableError, load

#: Line-to-line winding resistances should lie within this of their mean (common practice, no source).
WINDING_SPREAD_PERCENT = 2.0
#: Thermistor of one winding, cold (IEC 60034-11, DIN 44081/44082; from memory, check).
PTC_COLD_MAX_OHM = 250.0


def halving_factor(winding_c: float) -> float:
    """Return K that brings a reading to 40 °C when insulation halves for every 10 K.

    Parameters
    ----------
    winding_c : float
        0 to 100. [°C]

    Returns
    -------
    float
        R40 = K x reading.

    Raises
    ------
    OutOfRangeError
        The temperature lies outside 0 to 100 °C.

    Examples
    --------
    >>> halving_factor(20.0)
    0.25

    References
    ----------
    IEEE 43, rule for older (thermoplastic) systems: 0.5^((40 - T) / 10).
    """
    between(0.0, 100.0, winding_c=winding_c)
    return float(0.5 ** ((40.0 - winding_c) / 10.0))


def thermoset_factor(winding_c: float) -> float:
    """Return K that brings a reading of a thermosetting winding to 40 °C.

    Parameters
    ----------
    winding_c : float
        0 to 100. [°C]

    Returns
    -------
    float
        R40 = K x reading.

    Raises
    ------
    OutOfRangeError
        The temperature lies outside 0 to 100 °C.

    Examples
    --------
    >>> round(5.0 / thermoset_factor(20.0), 1)
    6.6

    References
    ----------
    IEEE 43-2013 (from memory, check): exp(-1245 (1/(T+273) - 1/313)) below 40 °C, -4230 above.
    """
    between(0.0, 100.0, winding_c=winding_c)
    slope = -1245.0 if winding_c < 40.0 else -4230.0
    return math.exp(slope * (1.0 / (winding_c + 273.0) - 1.0 / 313.0))


def raw_limit_mohm(limit_at_40_mohm: float, winding_c: float) -> tuple[float, float]:
    """Return the reading that the meter must show at a winding temperature, by both rules.

    Parameters
    ----------
    limit_at_40_mohm : float
        Above 0. [MΩ]
    winding_c : float
        0 to 100. [°C]

    Returns
    -------
    tuple of float
        By the halving rule and by the thermosetting rule. The larger holds unless the winding system is known. [MΩ]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> [round(x, 1) for x in raw_limit_mohm(5.0, 20.0)]
    [20.0, 6.6]

    References
    ----------
    IEEE 43.
    """
    positive(limit_at_40_mohm=limit_at_40_mohm)
    return limit_at_40_mohm / halving_factor(winding_c), limit_at_40_mohm / thermoset_factor(winding_c)


def at_temperature_mohm(reading_mohm: float, from_c: float, to_c: float) -> float:
    """Return an insulation reading as it would be at another temperature, by the halving rule.


    Parameters
    ----------
    reading_mohm : float
        0 or above. [MΩ]
    from_c, to_c : float
        Winding temperatures, 0 to 100. [°C]

    Returns
    -------
    float
        [MΩ]

    Raises
    ------
    OutOfRangeError
        Reading below 0 or a temperature outside 0 to 100 °C.

    Examples
    --------
    >>> at_temperature_mohm(150.0, 20.0, 30.0)
    75.0
    """
    not_negative(reading_mohm=reading_mohm)
    return reading_mohm * halving_factor(from_c) / halving_factor(to_c)


def winding_limit_mohm(rated_voltage_v: float) -> float:
    """Return the least insulation resistance at 40 °C of a random-wound motor below 1 kV.


    Parameters
    ----------
    rated_voltage_v : float
        Line to line, below 1000. [V]

    Returns
    -------
    float
        [MΩ]

    Raises
    ------
    OutsideTableError
        The voltage is not below 1 kV.

    Examples
    --------
    >>> winding_limit_mohm(460.0)
    5.0

    References
    ----------
    IEEE 43-2013.
    """
    kind = "random-wound stator windings and form-wound below 1 kV"
    table = load("ieee_43_insulation")
    row = table.row(parameter="min_insulation_resistance_40c", applies_to=kind)
    if not rated_voltage_v <= float(row["winding_voltage_max_v"]):
        raise OutsideTableError(table.name, f"{rated_voltage_v:g} V, random-wound")
    return float(row["value_min"])


def winding_test_voltage_v(rated_voltage_v: float) -> tuple[float, float]:
    """Return the DC test voltage for a winding, lowest and highest.


    Parameters
    ----------
    rated_voltage_v : float
        Line to line. [V]

    Returns
    -------
    tuple of float
        Lowest and highest. [V DC]

    Raises
    ------
    OutsideTableError
        The table gives no band for the voltage.

    Examples
    --------
    >>> winding_test_voltage_v(460.0)
    (500.0, 500.0)

    References
    ----------
    IEEE 43-2013.
    """
    row = load("ieee_43_insulation").band(
        "winding_voltage_min_v", "winding_voltage_max_v", rated_voltage_v, parameter="dc_test_voltage"
    )
    return float(row["value_min"]), float(row["value_max"])


def circuit_limit(voltage_v: float) -> tuple[float, float]:
    """Return DC test voltage [V] and least insulation [MΩ] of a low-voltage circuit.


    Parameters
    ----------
    voltage_v : float
        Nominal, above 0. [V]

    Returns
    -------
    tuple of float
        Test voltage and least insulation. [V DC, MΩ]

    Raises
    ------
    OutOfRangeError
        The voltage is not above 0.

    Examples
    --------
    >>> circuit_limit(400.0), circuit_limit(690.0), circuit_limit(24.0)
    ((500.0, 1.0), (1000.0, 1.0), (250.0, 0.5))

    References
    ----------
    IEC 60364-6:2016, Table 6.1.
    """
    positive(voltage_v=voltage_v)
    key = "selv_pelv" if voltage_v <= 50.0 else "up_to_500_v" if voltage_v <= 500.0 else "above_500_v"
    row = load("iec_60364_6_insulation").row(circuit_key=key)
    return float(row["test_voltage_dc_v"]), float(row["min_resistance_mohm"])


def polarization_index(one_minute_mohm: float, ten_minutes_mohm: float) -> float:
    """Return the polarization index of two readings.


    Parameters
    ----------
    one_minute_mohm : float
        Above 0. [MΩ]
    ten_minutes_mohm : float
        0 or above. [MΩ]

    Returns
    -------
    float

    Raises
    ------
    OutOfRangeError
        First reading not above 0, or second below 0.

    Examples
    --------
    >>> polarization_index(500.0, 2000.0)
    4.0

    References
    ----------
    IEEE 43: 10 minutes over 1 minute.
    """
    positive(one_minute_mohm=one_minute_mohm)
    not_negative(ten_minutes_mohm=ten_minutes_mohm)
    return ten_minutes_mohm / one_minute_mohm


def least_polarization_index(insulation_class: str) -> float:
    """Return the least polarization index for a thermal class.


    Parameters
    ----------
    insulation_class : str
        Thermal class A, B, F or H.

    Returns
    -------
    float

    Raises
    ------
    OutsideTableError
        The class is not A, B, F or H.

    Examples
    --------
    >>> least_polarization_index("F")
    2.0

    References
    ----------
    IEEE 43-2013; not meaningful above 5000 MΩ or for small random-wound motors.
    """
    letter = insulation_class.strip().upper()[:1]
    table = load("ieee_43_insulation")
    for row in table.rows_where(parameter="min_polarization_index"):
        if letter and row["applies_to"].startswith(f"class {letter} "):
            return float(row["value_min"])
    raise OutsideTableError(table.name, f"insulation class {insulation_class or 'blank'}")


def most_meaningful_mohm() -> float:
    """Return the one minute reading above which a polarization index says nothing.

    Returns
    -------
    float
        [MΩ]

    Examples
    --------
    >>> most_meaningful_mohm()
    5000.0

    References
    ----------
    IEEE 43-2013: the current is then too small to be read well.
    """
    table = load("ieee_43_insulation")
    [row] = table.rows_where(parameter="polarization_index_not_meaningful_above_1_min_resistance")
    return float(row["value_min"])


def spread_percent(readings: Sequence[float]) -> float:
    """Return the largest distance of a reading from the mean, in percent of the mean.

    Parameters
    ----------
    readings : sequence of float
        Two or more, above 0.

    Returns
    -------
    float
        [%]

    Raises
    ------
    OutOfRangeError
        Fewer than two readings, or one not above 0.

    Examples
    --------
    >>> round(spread_percent([462.0, 463.0, 455.0]), 2)
    1.09
    """
    if len(readings) < 2:
        raise OutOfRangeError("number of readings", len(readings), "2 or more")
    for reading in readings:
        positive(reading=reading)
    mean = math.fsum(readings) / len(readings)
    return 100.0 * max(abs(r - mean) for r in readings) / mean
