"""Conductors by the NEC: ampacity at the terminals and in place, and the smallest size that will do."""

from __future__ import annotations

from dataclasses import dataclass

from binder.engineering.ranges import between, positive
from binder.engineering.tables import OutsideTableError, load

#: One circular mil is the area of a circle 0.001 in across (ASTM B258). [mm²]
MM2_PER_CMIL = 0.000506707


@dataclass(frozen=True, slots=True)
class Capacity:
    """What a conductor may carry, and the two limits it comes from.

    Parameters
    ----------
    allowed_a : float
        The lower of the two limits, all parallel sets together. [A]
    terminal_a : float
        Ampacity of the terminal temperature's column, uncorrected. [A]
    in_place_a : float
        Ampacity of the insulation's column times both factors. [A]
    terminal_c, insulation_c : int
        The two columns taken. [°C]
    ambient_factor, count_factor : float
    """

    allowed_a: float
    terminal_a: float
    in_place_a: float
    terminal_c: int
    insulation_c: int
    ambient_factor: float
    count_factor: float

    def words(self) -> str:
        """Say which columns and factors were taken."""
        return (
            f"terminals {self.terminal_c} °C column {self.terminal_a:g} A; insulation {self.insulation_c} °C column × "
            f"{self.ambient_factor:g} ambient × {self.count_factor:g} count = {self.in_place_a:.4g} A; the lower counts"
        )


def split_size(label: str) -> tuple[str, str]:
    """Part a size label into number and unit.

    Parameters
    ----------
    label : str
        '12 AWG', '1/0 AWG', '250 kcmil' or '2.5 mm²'.

    Returns
    -------
    tuple of str
        Number as the tables write it, and unit.

    Raises
    ------
    OutsideTableError
        The label has no such unit.

    Examples
    --------
    >>> split_size("1/0 AWG")
    ('1/0', 'AWG')
    """
    number, _, unit = label.strip().partition(" ")
    if unit not in ("AWG", "kcmil", "mm²"):
        raise OutsideTableError("conductor sizes", f"size {label!r}")
    return number, unit


def sizes(material: str = "copper") -> tuple[str, ...]:
    """List the size labels of Table 310.16, smallest first.

    Parameters
    ----------
    material : str
        'copper' or 'aluminum'.

    Returns
    -------
    tuple of str
        Size labels.

    References
    ----------
    NFPA 70 (NEC) 2023, Table 310.16.
    """
    return tuple(f"{r['size']} {r['size_unit']}" for r in load("nec_310_16_ampacity").rows_where(material=material))


def circular_mils(label: str) -> float:
    """Return the area of a size in circular mils.

    Parameters
    ----------
    label : str
        '12 AWG' or '250 kcmil'.

    Returns
    -------
    float
        Area. [cmil]

    Raises
    ------
    OutsideTableError
        Chapter 9 Table 8 does not hold the size.

    Examples
    --------
    >>> circular_mils("12 AWG")
    6530.0

    References
    ----------
    NFPA 70 (NEC), Chapter 9 Table 8.
    """
    number, unit = split_size(label)
    rows = load("nec_ch9_table8_conductor").rows_where(size=number, size_unit=unit)
    if not rows:
        raise OutsideTableError("nec_ch9_table8_conductor", f"size {label}")
    return float(rows[0]["area_cmil"])


def table_ampacity_a(label: str, temperature_c: int, *, material: str = "copper") -> float:
    """Look up the ampacity of a conductor before any factor.

    Parameters
    ----------
    label : str
        '12 AWG' or '250 kcmil'.
    temperature_c : int
        Column: 60, 75 or 90. [°C]
    material : str
        'copper' or 'aluminum'.

    Returns
    -------
    float
        Ampacity. [A]

    Raises
    ------
    OutsideTableError
        The table does not hold the size, material or column.

    Examples
    --------
    >>> table_ampacity_a("10 AWG", 75)
    35.0

    References
    ----------
    NFPA 70 (NEC) 2023, Table 310.16: not more than three current-carrying conductors, 30 °C.
    """
    if temperature_c not in (60, 75, 90):
        raise OutsideTableError("nec_310_16_ampacity", f"a {temperature_c} °C column")
    number, unit = split_size(label)
    return load("nec_310_16_ampacity").number(
        f"ampacity_{temperature_c}c_a", size=number, size_unit=unit, material=material
    )


def ambient_factor(ambient_c: float, temperature_c: int) -> float:
    """Look up the correction for ambient temperature.

    Parameters
    ----------
    ambient_c : float
        Ambient of the conductor; between two bands the warmer one counts. [°C]
    temperature_c : int
        Temperature rating of the conductor: 60, 75 or 90. [°C]

    Returns
    -------
    float
        Factor on the ampacity of Table 310.16.

    Raises
    ------
    OutsideTableError
        The insulation may not be used at that ambient.

    Notes
    -----
    The table follows sqrt((Tc - Ta) / (Tc - 30)) with Ta the warm end of each 5 K band.

    Examples
    --------
    >>> ambient_factor(45.0, 75)
    0.82

    References
    ----------
    NFPA 70 (NEC) 2023, Table 310.15(B)(1)(1).
    """
    row = load("nec_310_15_ambient_correction").at_least("ambient_max_c", ambient_c)
    cell = row.get(f"factor_{temperature_c}c", "")
    if not cell:
        raise OutsideTableError("nec_310_15_ambient_correction", f"{temperature_c} °C insulation at {ambient_c:g} °C")
    return float(cell)


def count_factor(current_carrying: int) -> float:
    """Look up the adjustment for more than three current-carrying conductors together.

    Parameters
    ----------
    current_carrying : int
        Current-carrying conductors in one raceway or cable, from 1.

    Returns
    -------
    float
        Factor on the ampacity after the ambient correction.

    Examples
    --------
    >>> count_factor(6)
    0.8

    References
    ----------
    NFPA 70 (NEC) 2023, Table 310.15(C)(1). Earth conductors do not count.
    """
    between(1, 1000, current_carrying_conductors=current_carrying)
    row = load("nec_310_15_conductor_count_adjustment").band("conductors_min", "conductors_max", current_carrying)
    return float(row["adjustment_factor"])


def terminal_temperature_c(circuit_a: float) -> int:
    """Return the terminal temperature that counts where no marking is known.

    Parameters
    ----------
    circuit_a : float
        Rating of the circuit, above 0. [A]

    Returns
    -------
    int
        60 to 100 A, 75 above. [°C]

    Notes
    -----
    75 °C is allowed at 100 A and below where the equipment is listed and marked so; then the
    conductor may come out one size smaller.

    Examples
    --------
    >>> terminal_temperature_c(18.1)
    60

    References
    ----------
    NFPA 70 (NEC) 2023, 110.14(C)(1)(a) and (b).
    """
    positive(circuit_current_a=circuit_a)
    return 60 if circuit_a <= 100 else 75


def capacity(
    label: str,
    *,
    insulation_c: int,
    terminal_c: int,
    ambient_c: float,
    current_carrying: int = 3,
    material: str = "copper",
    sets: int = 1,
) -> Capacity:
    """Find what a conductor may carry at its terminals and in its place.

    Parameters
    ----------
    label : str
        '12 AWG' or '250 kcmil'.
    insulation_c, terminal_c : int
        Temperature rating of the insulation and of the terminals: 60, 75 or 90. [°C]
    ambient_c : float
        Ambient along the run. [°C]
    current_carrying : int
        Current-carrying conductors in the raceway or cable, from 1.
    material : str
        'copper' or 'aluminum'.
    sets : int
        Parallel sets, from 1; each in its own raceway.

    Returns
    -------
    Capacity

    Raises
    ------
    OutsideTableError
        A table does not hold the case; or sets in parallel smaller than 1/0 AWG.

    Notes
    -----
    The factors apply to the column of the insulation, the terminal limit to the bare column of the
    terminals; the lower of the two counts.

    Examples
    --------
    >>> capacity("14 AWG", insulation_c=75, terminal_c=60, ambient_c=45).allowed_a
    15.0

    References
    ----------
    NFPA 70 (NEC) 2023, 110.14(C), 310.15(B) and (C), 310.10(G), Table 310.16.
    """
    between(1, 12, parallel_sets=sets)
    if sets > 1 and circular_mils(label) < circular_mils("1/0 AWG"):
        raise OutsideTableError("NEC 310.10(G)", f"{label} in parallel (1/0 AWG is the smallest)")
    at_terminals = table_ampacity_a(label, min(terminal_c, insulation_c), material=material) * sets
    by_ambient, by_count = ambient_factor(ambient_c, insulation_c), count_factor(current_carrying)
    in_place = table_ampacity_a(label, insulation_c, material=material) * by_ambient * by_count * sets
    return Capacity(
        allowed_a=min(at_terminals, in_place),
        terminal_a=at_terminals,
        in_place_a=in_place,
        terminal_c=terminal_c,
        insulation_c=insulation_c,
        ambient_factor=by_ambient,
        count_factor=by_count,
    )


def smallest_size(
    required_a: float,
    *,
    insulation_c: int,
    terminal_c: int,
    ambient_c: float,
    current_carrying: int = 3,
    material: str = "copper",
) -> str:
    """Find the smallest single conductor that may carry a current.

    Parameters
    ----------
    required_a : float
        Ampacity needed, above 0. [A]
    insulation_c, terminal_c, ambient_c, current_carrying, material
        As in `capacity`.

    Returns
    -------
    str
        Size label.

    Raises
    ------
    OutsideTableError
        Even the largest size of the table is too small: parallel sets are needed.

    Examples
    --------
    NEC 430.22 with 22 A table current on 75 °C terminals: 27.5 A, 10 AWG (12 AWG carries 25 A).

    >>> smallest_size(27.5, insulation_c=75, terminal_c=75, ambient_c=30)
    '10 AWG'

    References
    ----------
    NFPA 70 (NEC) 2023, Table 310.16 with 110.14(C) and 310.15.
    """
    positive(required_ampacity_a=required_a)
    for label in sizes(material):
        found = capacity(
            label,
            insulation_c=insulation_c,
            terminal_c=terminal_c,
            ambient_c=ambient_c,
            current_carrying=current_carrying,
            material=material,
        )
        if found.allowed_a >= required_a * (1 - 1e-12):
            return label
    raise OutsideTableError("nec_310_16_ampacity", f"one conductor for {required_a:g} A; use parallel sets")


def required_ampacity_a(input_current_a: float, *, bypass_motor_a: float = 0.0) -> float:
    """Return the ampacity that conductors to a drive must have.

    Parameters
    ----------
    input_current_a : float
        Rated input current of the drive, above 0. [A]
    bypass_motor_a : float
        Table full-load current of the motor where a bypass is fitted, else 0. [A]

    Returns
    -------
    float
        125 % of the input current, or of the motor current with a bypass if that is larger. [A]

    Examples
    --------
    >>> required_ampacity_a(14.48)
    18.1

    References
    ----------
    NFPA 70 (NEC) 2023, 430.122(A) and (C); the same 125 % in 430.22 and 430.122(B).
    """
    positive(rated_input_current_a=input_current_a)
    return 1.25 * max(input_current_a, bypass_motor_a)
