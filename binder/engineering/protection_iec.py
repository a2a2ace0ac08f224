"""Overcurrent protection and protective conductors by IEC 60364 and IEC 60204-1."""

from __future__ import annotations

from binder.engineering.ranges import OutOfRangeError, positive
from binder.engineering.tables import OutsideTableError, load

#: k in A s^0.5 / mm² for copper: (role, insulation limit in °C). IEC 60364-5-54:2011 Tables A.54.2 and
#: A.54.3 (Annex A), IEC 60364-4-43:2008 Table 43A for line conductors; from memory, check.
_K_COPPER = {
    ("line", 70): 115.0,
    ("line", 90): 143.0,
    ("protective core", 70): 115.0,
    ("protective core", 90): 143.0,
    ("protective separate", 70): 143.0,
    ("protective separate", 90): 176.0,
}
#: Standard nominal cross-sections, IEC 60228. [mm²]
_NOMINAL = tuple(float(r["nominal_mm2"]) for r in load("iec_60228_conductor_resistance").rows)


def conventional_operating_factor(device: str, rated_a: float) -> float:
    """Return I2 / In of a protective device.

    Parameters
    ----------
    device : str
        'miniature circuit-breaker' or 'gG fuse-link'.
    rated_a : float
        Rated current In, above 0. [A]

    Returns
    -------
    float
        1.45 for a miniature circuit-breaker; 1.6, 1.9 or 2.1 for gG by its rating.

    Raises
    ------
    OutsideTableError
        Any other device: its own standard or maker gives the figure.

    Examples
    --------
    >>> conventional_operating_factor("gG fuse-link", 32.0)
    1.6

    References
    ----------
    IEC 60898-1:2015, IEC 60269-1 (confidence of the factors: from memory).
    """
    positive(rated_current_a=rated_a)
    facts = load("iec_60269_60898_facts")
    if device == "miniature circuit-breaker":
        return facts.number("number", key="conventional_tripping")
    if device != "gG fuse-link":
        raise OutsideTableError(facts.name, f"conventional operating current of a {device or 'device not named'}")
    band = "up_to_4_a" if rated_a <= 4 else "over_4_below_16_a" if rated_a < 16 else "from_16_a"
    return facts.number("number", key=f"gg_fusing_{band}")


def next_standard_rating_a(current_a: float, device: str) -> float:
    """Return the preferred rated current at or above a current.

    Parameters
    ----------
    current_a : float
        Above 0. [A]
    device : str
        'miniature circuit-breaker' (6 to 125 A) or 'gG fuse-link' (2 to 1250 A).

    Returns
    -------
    float

    Raises
    ------
    OutsideTableError
        Above the largest rating.

    Examples
    --------
    >>> next_standard_rating_a(26.09, "miniature circuit-breaker")
    32.0

    References
    ----------
    IEC 60898-1:2015, IEC 60269-1.
    """
    positive(current_a=current_a)
    row = load("iec_60269_60898_standard_ratings").at_least("rated_current_a", current_a, device=device)
    return float(row["rated_current_a"])


def earth_mm2(line_mm2: float) -> float:
    """Return the smallest protective conductor of the same material, by the table.

    Parameters
    ----------
    line_mm2 : float
        Line conductor, above 0. [mm²]

    Returns
    -------
    float
        The line's size to 16 mm², 16 to 35 mm², above that half, rounded up to a nominal size. [mm²]

    Raises
    ------
    OutsideTableError
        Half the line is above the largest nominal size.

    Examples
    --------
    >>> earth_mm2(10.0), earth_mm2(25.0), earth_mm2(95.0)
    (10.0, 16.0, 50.0)

    References
    ----------
    IEC 60364-5-54:2011, Table 54.2; IEC 60204-1:2016, Table 1.
    """
    positive(line_mm2=line_mm2)
    if line_mm2 <= 16:
        return line_mm2
    return 16.0 if line_mm2 <= 35 else next_nominal_mm2(line_mm2 / 2)


def next_nominal_mm2(area_mm2: float) -> float:
    """Return the nominal cross-section at or above an area.

    Parameters
    ----------
    area_mm2 : float
        Area needed, to 630. [mm²]

    Returns
    -------
    float
        Nominal cross-section. [mm²]

    Examples
    --------
    >>> next_nominal_mm2(47.5)
    50.0

    References
    ----------
    IEC 60228:2004.
    """
    for nominal in _NOMINAL:
        if nominal >= area_mm2:
            return nominal
    raise OutsideTableError("iec_60228_conductor_resistance", f"{area_mm2:g} mm² or more")


def heating_constant(role: str, insulation_c: int) -> float:
    """Return k of a copper conductor.

    Parameters
    ----------
    role : str
        'line', 'protective core' (in the cable) or 'protective separate'.
    insulation_c : int
        70 (PVC) or 90 (XLPE). [°C]

    Returns
    -------
    float
        k. [A s^0.5 / mm²]

    Examples
    --------
    >>> heating_constant("protective core", 70)
    115.0

    References
    ----------
    IEC 60364-5-54:2011, Annex A; IEC 60364-4-43:2008, Table 43A; from memory, check.
    """
    if (role, insulation_c) not in _K_COPPER:
        raise OutsideTableError("k of IEC 60364", f"{role} at {insulation_c} °C")
    return _K_COPPER[role, insulation_c]


def adiabatic_area_mm2(fault_a: float, clearing_s: float, k: float) -> float:
    """Return the cross-section that a fault just fails to overheat.

    Parameters
    ----------
    fault_a : float
        Fault current, above 0. [A]
    clearing_s : float
        Time until the device has cleared, above 0, to 5. [s]
    k : float
        From `heating_constant`.

    Returns
    -------
    float
        sqrt(I² t) / k. [mm²]

    Raises
    ------
    OutOfRangeError
        Longer than 5 s: heat then leaves the conductor and the formula no longer holds.

    Examples
    --------
    >>> round(adiabatic_area_mm2(1000.0, 0.4, 115.0), 2)
    5.5

    References
    ----------
    IEC 60364-5-54:2011, 543.1.2.
    """
    positive(fault_a=fault_a, clearing_s=clearing_s, k=k)
    if clearing_s > 5:
        raise OutOfRangeError("clearing time s", clearing_s, "0 to 5 s")
    return fault_a * float(clearing_s**0.5) / k


def withstand_time_s(area_mm2: float, fault_a: float, k: float) -> float:
    """Return how long a conductor bears a fault, (k S / I)².

    Parameters
    ----------
    area_mm2, fault_a : float
        Conductor and fault current, above 0. [mm²], [A]
    k : float
        From `heating_constant`.

    Returns
    -------
    float
        [s]

    Notes
    -----
    Holds to 5 s. Below 0.1 s the let-through I²t of a current-limiting device counts instead.

    Examples
    --------
    >>> round(withstand_time_s(6.0, 6000.0, 115.0), 4)
    0.0132

    References
    ----------
    IEC 60364-4-43:2008, 434.5.2.
    """
    positive(area_mm2=area_mm2, fault_a=fault_a, k=k)
    return float((k * area_mm2 / fault_a) ** 2)
