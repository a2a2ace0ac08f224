"""Conductors by IEC 60364-5-52 and IEC 60204-1: capacity by method, ambient and grouping."""

from __future__ import annotations

from dataclasses import dataclass

from binder.engineering.ranges import between, positive
from binder.engineering.tables import OutsideTableError, load

#: Conductor limit -> column prefix of the capacity and ambient tables.
_INSULATION = {70: "pvc70", 90: "xlpe90"}
#: Reference method -> item of Table B.52.17 that is taken for it.
_GROUPING_ITEM = {"B1": 1, "B2": 1, "C": 2, "E": 4}


@dataclass(frozen=True, slots=True)
class Capacity:
    """Current-carrying capacity Iz of a conductor in its place, and the factors behind it."""

    allowed_a: float
    table_a: float
    ambient_factor: float
    grouping_factor: float

    def words(self) -> str:
        """Say which factors were taken."""
        return (
            f"table {self.table_a:g} A × {self.ambient_factor:g} ambient × {self.grouping_factor:g} grouping "
            f"= {self.allowed_a:.4g} A"
        )


def _column(insulation_c: int) -> str:
    if insulation_c not in _INSULATION:
        raise OutsideTableError("IEC 60364-5-52", f"insulation for {insulation_c} °C (70 or 90 °C)")
    return _INSULATION[insulation_c]


def table_capacity_a(nominal_mm2: float, method: str, insulation_c: int) -> float:
    """Look up the capacity of copper, three loaded conductors, 30 °C, one circuit.

    Parameters
    ----------
    nominal_mm2 : float
        Nominal cross-section of the table, 1.5 to 300. [mm²]
    method : str
        'B1', 'B2', 'C' or 'E'.
    insulation_c : int
        Conductor limit: 70 (PVC) or 90 (XLPE, EPR). [°C]

    Returns
    -------
    float
        Capacity. [A]

    Raises
    ------
    OutsideTableError
        Size, method or insulation not in the table; aluminium is not held at all.

    Examples
    --------
    >>> table_capacity_a(10, "B2", 70)
    46.0

    References
    ----------
    IEC 60364-5-52:2009, Tables B.52.4, B.52.5, B.52.10, B.52.12.
    """
    column = f"{_column(insulation_c)}_{method.lower()}_a"
    table = load("iec_60364_5_52_ampacity")
    if column not in table.columns:
        raise OutsideTableError(table.name, f"method {method!r} (B1, B2, C or E)")
    return table.number(column, nominal_mm2=nominal_mm2)


def ambient_factor(ambient_c: float, insulation_c: int) -> float:
    """Look up the factor for ambient air.

    Parameters
    ----------
    ambient_c : float
        Ambient air; between two rows the warmer one counts. [°C]
    insulation_c : int
        Conductor limit, 70 or 90. [°C]

    Returns
    -------
    float

    Raises
    ------
    OutsideTableError
        The insulation is not permitted at that ambient.

    Notes
    -----
    The table follows sqrt((limit - ambient) / (limit - 30)).

    Examples
    --------
    >>> ambient_factor(35.0, 70)
    0.94

    References
    ----------
    IEC 60364-5-52:2009, Table B.52.14.
    """
    row = load("iec_60364_5_52_ambient_correction").at_least("ambient_c", ambient_c)
    cell = row[f"{_column(insulation_c)}_factor"]
    if not cell:
        raise OutsideTableError("iec_60364_5_52_ambient_correction", f"{insulation_c} °C at {ambient_c:g} °C")
    return float(cell)


def grouping_factor(circuits: int, method: str) -> float:
    """Look up the reduction for circuits that touch each other.

    Parameters
    ----------
    circuits : int
        Loaded circuits or multicore cables together, this one included, from 1.
    method : str
        'B1' or 'B2' take item 1 (bunched or enclosed), 'C' item 2 (single layer on a wall),
        'E' item 4 (single layer on a perforated tray).

    Returns
    -------
    float

    Raises
    ------
    OutsideTableError
        Method unknown, or more than 20 enclosed circuits.

    Notes
    -----
    Between two counts the next larger one counts; in items 2 to 5 the factor of nine circuits holds above.

    Examples
    --------
    >>> grouping_factor(3, "E")
    0.82

    References
    ----------
    IEC 60364-5-52:2009, Table B.52.17.
    """
    between(1, 1000, circuits=circuits)
    item = _GROUPING_ITEM.get(method.upper())
    if item is None:
        raise OutsideTableError("iec_60364_5_52_grouping", f"method {method!r}")
    sought = circuits if item == 1 else min(circuits, 9)
    return float(load("iec_60364_5_52_grouping").at_least("circuit_count", sought, item_no=item)["factor"])


def capacity(
    nominal_mm2: float, method: str, *, insulation_c: int, ambient_c: float, circuits: int = 1, sets: int = 1
) -> Capacity:
    """Find the capacity Iz of a copper conductor in its place.

    Parameters
    ----------
    nominal_mm2, method, insulation_c
        As in `table_capacity_a`.
    ambient_c : float
        Ambient air. [°C]
    circuits : int
        Circuits together, from 1.
    sets : int
        Parallel sets, from 1; they must be counted among `circuits` where they lie together.

    Returns
    -------
    Capacity

    Raises
    ------
    OutsideTableError
        A table does not hold the case.

    Examples
    --------
    >>> round(capacity(6, "C", insulation_c=90, ambient_c=40, circuits=2).allowed_a, 1)
    40.2

    References
    ----------
    IEC 60364-5-52:2009, clause 523 and Annex B.
    """
    between(1, 12, parallel_sets=sets)
    table_a = table_capacity_a(nominal_mm2, method, insulation_c) * sets
    by_ambient, by_group = ambient_factor(ambient_c, insulation_c), grouping_factor(circuits, method)
    return Capacity(table_a * by_ambient * by_group, table_a, by_ambient, by_group)


def required_table_current_a(device_a: float, *, ambient: float, grouping: float) -> float:
    """Return the table capacity needed so that Iz reaches the device rating.

    Parameters
    ----------
    device_a : float
        Rated current In of the protective device (or Ib), above 0. [A]
    ambient, grouping : float
        Factors, above 0.

    Returns
    -------
    float
        In / (ambient × grouping). [A]

    Examples
    --------
    >>> round(required_table_current_a(32.0, ambient=0.94, grouping=1.0), 2)
    34.04

    References
    ----------
    IEC 60364-4-43:2008, 433.1 (Ib <= In <= Iz).
    """
    positive(device_rating_a=device_a, ambient_factor=ambient, grouping_factor=grouping)
    return device_a / (ambient * grouping)


def smallest_size_mm2(
    required_a: float, method: str, *, insulation_c: int, ambient_c: float, circuits: int = 1
) -> float:
    """Find the smallest cross-section whose Iz reaches a current.

    Parameters
    ----------
    required_a : float
        Capacity needed, above 0. [A]
    method, insulation_c, ambient_c, circuits
        As in `capacity`.

    Returns
    -------
    float
        Nominal cross-section. [mm²]

    Raises
    ------
    OutsideTableError
        Even 300 mm² is too small: parallel sets are needed.

    Examples
    --------
    >>> smallest_size_mm2(32.0, "B2", insulation_c=70, ambient_c=35)
    10.0

    References
    ----------
    IEC 60364-5-52:2009, Annex B.
    """
    positive(required_capacity_a=required_a)
    for row in load("iec_60364_5_52_ampacity").rows:
        nominal = float(row["nominal_mm2"])
        found = capacity(nominal, method, insulation_c=insulation_c, ambient_c=ambient_c, circuits=circuits)
        if found.allowed_a >= required_a * (1 - 1e-12):
            return nominal
    raise OutsideTableError("iec_60364_5_52_ampacity", f"one conductor for {required_a:g} A; use parallel sets")


def machine_capacity_a(nominal_mm2: float, method: str) -> float:
    """Look up the capacity of PVC copper on a machine at 40 °C, one circuit, three loaded conductors.

    Parameters
    ----------
    nominal_mm2 : float
        0.75 to 120. [mm²]
    method : str
        'B1', 'B2', 'C' or 'E'.

    Returns
    -------
    float
        Capacity. [A]

    Examples
    --------
    >>> machine_capacity_a(2.5, "B2")
    17.4

    References
    ----------
    IEC 60204-1:2016, 12.4, Table 6.
    """
    table = load("iec_60204_1_ampacity")
    column = f"{method.lower()}_a"
    if column not in table.columns:
        raise OutsideTableError(table.name, f"method {method!r}")
    return table.number(column, nominal_mm2=nominal_mm2)
