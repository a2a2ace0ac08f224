"""The efficiency a motor must have by law, and the class that a plate figure reaches."""

from __future__ import annotations

import math

from binder.engineering.ranges import OutOfRangeError, positive
from binder.engineering.tables import OutsideTableError, load


def us_minimum_percent(power_hp: float, poles: int, *, enclosed: bool) -> float:
    """Return the minimum nominal efficiency of a 60 Hz Design A or B motor by federal rule.

    Parameters
    ----------
    power_hp : float
        1 to 500. [hp]
    poles : int
        2, 4, 6 or 8.
    enclosed : bool
        True for a totally enclosed motor, False for an open one.

    Returns
    -------
    float
        Nominal full-load efficiency. [%]

    Raises
    ------
    OutsideTableError
        The table does not cover this motor.

    Notes
    -----
    Between two ratings: at or above the midpoint the higher row holds, below it the lower.

    Examples
    --------
    >>> us_minimum_percent(10.0, 4, enclosed=True)
    91.7

    References
    ----------
    10 CFR 431.25, Table 5 (motors made from June 1, 2016).
    """
    table = load("cfr_431_25_motor_efficiency")
    rows = table.rows_where(poles=poles, enclosure="enclosed" if enclosed else "open")
    ratings = sorted(float(r["hp"]) for r in rows)
    if not ratings or not ratings[0] <= power_hp <= ratings[-1]:
        raise OutsideTableError(table.name, f"{power_hp:g} hp, {poles} poles")
    above = next(r for r in ratings if r >= power_hp - 1e-9)
    below = max((r for r in ratings if r <= power_hp + 1e-9), default=above)
    chosen = above if power_hp >= (above + below) / 2.0 else below
    kind = "enclosed" if enclosed else "open"
    return table.number("nominal_efficiency_pct", hp=chosen, poles=poles, enclosure=kind)


def iec_limit_percent(ie_class: str, power_kw: float, poles: int, frequency_hz: float) -> float:
    """Return the efficiency that a class asks for.

    Parameters
    ----------
    ie_class : str
        'IE1' to 'IE4'.
    power_kw : float
        At 50 Hz 0.12 to 1000, at 60 Hz 0.75 to 150. [kW]
    poles : int
        2, 4, 6 or 8.
    frequency_hz : float
        50 or 60. [Hz]

    Returns
    -------
    float
        Rounded to one decimal as the standard does. [%]

    Raises
    ------
    OutsideTableError
        The standard gives no limit for this motor.

    Notes
    -----
    Listed ratings come from the table. Between them, at 50 Hz and 0.75 to 200 kW, the formula
    A lg³P + B lg²P + C lgP + D of 5.4.5 holds; above 200 kW the value of 200 kW. At 60 Hz the
    nearer listed rating counts, at the midpoint the upper.

    Examples
    --------
    >>> iec_limit_percent("IE3", 7.5, 4, 50.0)
    90.4
    >>> iec_limit_percent("IE3", 8.0, 4, 50.0)
    90.6

    References
    ----------
    IEC 60034-30-1:2014, efficiency tables and 5.4.5.
    """
    positive(power_kw=power_kw)
    table = load("iec_60034_30_1_efficiency")
    rows = table.rows_where(frequency_hz=frequency_hz, ie_class=ie_class, poles=poles)
    listed = {float(r["rated_output_kw"]): float(r["efficiency_pct"]) for r in rows}
    if power_kw in listed:
        return listed[power_kw]
    if not listed or not min(listed) <= power_kw <= max(listed):
        raise OutsideTableError(table.name, f"{ie_class} {power_kw:g} kW, {poles} poles, {frequency_hz:g} Hz")
    if frequency_hz == 60.0:
        return listed[min(listed, key=lambda p: (abs(p - power_kw), -p))]
    if power_kw > 200.0:
        return listed[200.0]
    return formula_percent(ie_class, power_kw, poles)


def formula_percent(ie_class: str, power_kw: float, poles: int) -> float:
    """Return the 50 Hz limit by the interpolation formula, 0.75 to 200 kW.


    Parameters
    ----------
    ie_class : str
        'IE1' to 'IE4'.
    power_kw : float
        0.75 to 200. [kW]
    poles : int
        2, 4, 6 or 8.

    Returns
    -------
    float
        Rounded to one decimal. [%]

    Raises
    ------
    OutsideTableError
        There are no coefficients for this class and number of poles.
    OutOfRangeError
        The power lies outside 0.75 to 200 kW.

    Examples
    --------
    >>> formula_percent("IE2", 11.0, 4)
    89.8

    References
    ----------
    IEC 60034-30-1:2014, 5.4.5.
    """
    if not 0.75 <= power_kw <= 200.0:
        raise OutOfRangeError("power kw", power_kw, "0.75 to 200")
    row = load("iec_60034_30_1_coefficients").row(frequency_hz=50, ie_class=ie_class, poles=poles)
    x = math.log10(power_kw)
    a, b, c, d = (float(row[n]) for n in "abcd")
    return round(((a * x + b) * x + c) * x + d, 1)


def iec_class(efficiency_percent: float, power_kw: float, poles: int, frequency_hz: float) -> str:
    """Return the highest class whose limit a plate efficiency reaches; 'below IE1' when none.

    Parameters
    ----------
    efficiency_percent : float
        From the plate, above 0. [%]
    power_kw, poles, frequency_hz
        As in `iec_limit_percent`.

    Returns
    -------
    str

    Raises
    ------
    OutsideTableError
        The standard gives no limit in any class for this motor.

    Examples
    --------
    >>> iec_class(91.0, 7.5, 4, 50.0)
    'IE3'

    References
    ----------
    IEC 60034-30-1:2014.
    """
    positive(efficiency_percent=efficiency_percent)
    reached, lowest = "", ""
    for name in ("IE1", "IE2", "IE3", "IE4"):
        try:
            limit = iec_limit_percent(name, power_kw, poles, frequency_hz)
        except OutsideTableError:
            continue
        lowest = lowest or name
        if efficiency_percent >= limit:
            reached = name
    if not lowest:
        raise OutsideTableError("iec_60034_30_1_efficiency", f"{power_kw:g} kW, {poles} poles, {frequency_hz:g} Hz")
    return reached or f"below {lowest}"


def is_enclosed(words: str) -> bool | None:
    """Tell from a plate's enclosure words whether the motor is totally enclosed; None when unclear.


    Parameters
    ----------
    words : str
        As on the plate: 'TEFC', 'ODP', 'IP55'.

    Returns
    -------
    bool or None

    Examples
    --------
    >>> is_enclosed("TEFC"), is_enclosed("ODP"), is_enclosed("IP55"), is_enclosed("IP23"), is_enclosed("?")
    (True, False, True, False, None)

    References
    ----------
    NEMA MG 1 1.25 and 1.26; IEC 60529: first numeral 4 and up counts as enclosed (10 CFR 431.12; from memory, check).
    """
    text = words.casefold().replace(" ", "").replace("-", "")
    if text.startswith("ip") and text[2:3].isdigit():
        return int(text[2]) >= 4
    if text.startswith(("te", "xp")) or "enclosed" in text:
        return True
    if text.startswith(("odp", "dp", "wp")) or "open" in text or "drip" in text:
        return False
    return None
