"""Limits on harmonics: IEEE 519 at the point of common coupling, IEC 61000-3-12 for one drive."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from binder.engineering.ranges import OutOfRangeError, positive
from binder.engineering.tables import OutsideTableError, Row, load


@dataclass(frozen=True, slots=True)
class EmissionLimits:
    """Limits of IEC 61000-3-12 at one short-circuit ratio, in percent of the reference current."""

    table: str
    individual: Mapping[int, float]  # order -> limit
    thc: float
    pwhc: float


def _ieee_row(kind: str, ratio: float, **more: int) -> Row:
    for row in load("ieee_519_current_limits").rows_where(limit_kind=kind, **more):
        low, high = row["isc_il_ratio_min"], row["isc_il_ratio_max"]
        if (not low or ratio >= float(low)) and (not high or ratio < float(high)):
            return row
    raise OutsideTableError("ieee_519_current_limits", f"{kind} at a ratio of {ratio:g}")


def tdd_limit_percent(ratio: float) -> float:
    """Look up the limit on total demand distortion, 120 V to 69 kV.

    Parameters
    ----------
    ratio : float
        Short-circuit current over maximum demand load current at the common point, above 0.

    Returns
    -------
    float
        [% of the maximum demand load current]

    Examples
    --------
    >>> tdd_limit_percent(128.0), tdd_limit_percent(48.0)
    (15.0, 8.0)

    References
    ----------
    IEEE 519-2022, Table 2. A lower bound belongs to its row, an upper bound to the next.
    """
    positive(short_circuit_ratio=ratio)
    return float(_ieee_row("current_tdd", ratio)["limit_pct"])


def individual_limit_percent(ratio: float, order: int) -> float:
    """Look up the limit on one odd harmonic current, orders 3 to 50.

    Parameters
    ----------
    ratio : float
        As in `tdd_limit_percent`.
    order : int
        Odd, 3 to 50.

    Returns
    -------
    float
        [% of the maximum demand load current]

    Examples
    --------
    >>> individual_limit_percent(48.0, 5)
    7.0

    References
    ----------
    IEEE 519-2022, Table 2.
    """
    positive(short_circuit_ratio=ratio)
    for row in load("ieee_519_current_limits").rows_where(limit_kind="current_individual_odd"):
        if not int(row["harmonic_order_min"]) <= order <= int(row["harmonic_order_max"]):
            continue
        low, high = row["isc_il_ratio_min"], row["isc_il_ratio_max"]
        if (not low or ratio >= float(low)) and (not high or ratio < float(high)):
            return float(row["limit_pct"])
    raise OutsideTableError("ieee_519_current_limits", f"order {order} at a ratio of {ratio:g}")


def voltage_limits_percent(voltage_v: float) -> tuple[float, float]:
    """Look up the limits on one voltage harmonic and on their total.

    Parameters
    ----------
    voltage_v : float
        Line-to-line voltage of the bus, above 0. [V]

    Returns
    -------
    tuple of float
        Individual and total. [% of rated voltage]

    Examples
    --------
    >>> voltage_limits_percent(480.0)
    (5.0, 8.0)

    References
    ----------
    IEEE 519-2022, Table 1.
    """
    positive(voltage_v=voltage_v)
    table = load("ieee_519_current_limits")

    def limit(kind: str) -> float:
        for row in table.rows_where(limit_kind=kind):
            high = row["bus_voltage_max_kv"]
            if not high or voltage_v / 1000 <= float(high):
                return float(row["limit_pct"])
        raise OutsideTableError(table.name, f"{voltage_v:g} V")

    return limit("voltage_individual"), limit("voltage_thd")


def short_circuit_ratio(fault_power_kva: float, rated_kva: float) -> float:
    """Return Rsce of a drive: fault power at its connection over its own rated power.

    Parameters
    ----------
    fault_power_kva, rated_kva : float
        Each above 0. [kVA]

    Returns
    -------
    float
        Rsce.

    Examples
    --------
    >>> short_circuit_ratio(5000.0, 40.0)
    125.0

    References
    ----------
    IEC 61000-3-12:2011, clause 3.
    """
    positive(fault_power_kva=fault_power_kva, rated_kva=rated_kva)
    return fault_power_kva / rated_kva


def emission_limits(ratio: float, *, with_choke: bool) -> EmissionLimits:
    """Look up the emission limits of balanced three-phase equipment above 16 A to 75 A.

    Parameters
    ----------
    ratio : float
        Rsce, from 33.
    with_choke : bool
        True for a diode bridge with at least 3 % AC (or 4 % DC) choke: Table 4, else Table 3.

    Returns
    -------
    EmissionLimits
        Those of the next lower ratio in the table; the standard's linear interpolation would give a little more.

    Raises
    ------
    OutOfRangeError
        Below 33: the equipment does not comply without the operator's consent.

    Notes
    -----
    The limits are in the reference table with confidence 'from memory': read the standard before certifying.

    Examples
    --------
    >>> emission_limits(125.0, with_choke=True).thc
    48.0

    References
    ----------
    IEC 61000-3-12:2011, Tables 3 and 4.
    """
    if ratio < 33:
        raise OutOfRangeError("short-circuit ratio", ratio, "33 or above")
    steps, prefix = ((33, 120), "special_three_phase") if with_choke else ((33, 66, 120, 250, 350), "three_phase")
    row = max(s for s in steps if s <= ratio)
    facts = load("iec_61000_facts")

    def value(item: str) -> float:
        return facts.number("value", key=f"{prefix}_{item}_rsce_{row}")

    individual = {order: value(f"i{order}") for order in (5, 7, 11, 13)}
    return EmissionLimits("Table 4" if with_choke else "Table 3", individual, value("thc"), value("pwhc"))


def weighted_percent(percents: Mapping[int, float]) -> float:
    """Return the partial weighted harmonic current, orders 14 to 40, each square times its order.

    Parameters
    ----------
    percents : mapping of int to float
        Order -> harmonic in percent of the reference current. [%]

    Returns
    -------
    float
        PWHC. [%]

    Examples
    --------
    >>> round(weighted_percent({5: 30.0, 17: 2.0, 19: 1.5}), 2)
    10.52

    References
    ----------
    IEC 61000-3-12:2011, clause 3.
    """
    return math.sqrt(math.fsum(order * value**2 for order, value in percents.items() if 14 <= order <= 40))
