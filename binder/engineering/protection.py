"""Protective device, disconnect, earth conductor and overload of a motor circuit by the NEC."""

from __future__ import annotations

import math
from dataclasses import dataclass

from binder.engineering.conductors import circular_mils
from binder.engineering.ranges import OutOfRangeError, between, not_negative, positive
from binder.engineering.tables import OutsideTableError, load

#: Kind of device -> column of Table 430.52(C)(1).
DEVICE_COLUMNS = {
    "nontime-delay fuse": "nontime_delay_fuse_pct",
    "dual-element time-delay fuse": "dual_element_time_delay_fuse_pct",
    "instantaneous-trip breaker": "instantaneous_trip_breaker_pct",
    "inverse-time breaker": "inverse_time_breaker_pct",
}
#: Nominal motor voltages of Tables 430.248 and 430.250 and the system voltages that use them.
_VOLTAGE_BANDS = ((110, 120, 115), (200, 200, 200), (208, 208, 208), (220, 240, 230), (440, 480, 460), (550, 600, 575))
#: A kilowatt plate stands for the horsepower rating within this share (7.5 kW = 10.05 hp).
HORSEPOWER_TOLERANCE = 0.02


@dataclass(frozen=True, slots=True)
class DeviceLimit:
    """The largest protective device allowed: what the percentage gives and the rating it is rounded to."""

    computed_a: float
    allowed_a: float


def table_full_load_current_a(power_hp: float, voltage_v: float, *, phases: int = 3) -> float:
    """Look up the full-load current that counts for conductors and short-circuit protection.

    Parameters
    ----------
    power_hp : float
        Rated power; the table's rating within 2 % of it is taken. [hp]
    voltage_v : float
        System or motor voltage, in one of the bands 110-120, 200, 208, 220-240, 440-480, 550-600. [V]
    phases : int
        1 or 3.

    Returns
    -------
    float
        Full-load current. [A]

    Raises
    ------
    OutsideTableError
        No such rating or voltage in the table; then the plate current is the only figure left.

    Examples
    --------
    >>> table_full_load_current_a(7.5, 230.0)
    22.0
    >>> table_full_load_current_a(1.0, 115.0, phases=1)
    16.0

    References
    ----------
    NFPA 70 (NEC) 2023, 430.6(A)(1), Tables 430.248 and 430.250.
    """
    positive(power_hp=power_hp, voltage_v=voltage_v)
    band = next((nominal for low, high, nominal in _VOLTAGE_BANDS if low <= voltage_v <= high), None)
    table = load("nec_430_250_three_phase_flc" if phases == 3 else "nec_430_248_single_phase_flc")
    column = f"induction_{band}v_a" if phases == 3 else f"flc_{band}v_a"
    if band is None or column not in table.columns:
        raise OutsideTableError(table.name, f"{voltage_v:g} V")
    for row in table.rows:
        if abs(float(row["hp"]) - power_hp) <= HORSEPOWER_TOLERANCE * power_hp and row[column]:
            return float(row[column])
    raise OutsideTableError(table.name, f"{power_hp:.4g} hp")


def next_standard_rating_a(current_a: float, *, fuse: bool) -> float:
    """Return the standard ampere rating at or above a current.

    Parameters
    ----------
    current_a : float
        Above 0, to 6000. [A]
    fuse : bool
        True for fuses, False for inverse-time breakers.

    Returns
    -------
    float
        Rating. [A]

    Raises
    ------
    OutsideTableError
        Above 6000 A.

    Examples
    --------
    >>> next_standard_rating_a(26.25, fuse=True)
    30.0

    References
    ----------
    NFPA 70 (NEC) 2023, 240.6(A) and Table 240.6(A).
    """
    positive(current_a=current_a)
    row = load("nec_240_6_standard_ratings").at_least("rating_a", current_a, **{"is_fuse" if fuse else "is_breaker": 1})
    return float(row["rating_a"])


def largest_device(
    full_load_a: float, device: str, *, motor_type: str = "ac_polyphase_other_than_wound_rotor"
) -> DeviceLimit:
    """Find the largest short-circuit and ground-fault device of a motor branch.

    Parameters
    ----------
    full_load_a : float
        Full-load current from the tables (430.6), above 0. [A]
    device : str
        Key of `DEVICE_COLUMNS`.
    motor_type : str
        Row of Table 430.52(C)(1).

    Returns
    -------
    DeviceLimit
        The percentage's result, and the next standard rating at or above it.

    Raises
    ------
    OutsideTableError
        Device or motor type not in the table.

    Notes
    -----
    430.52(C)(1)(a) permits the next higher standard rating where the percentage gives none. The larger
    values of (C)(1)(b), for a motor that will not start, are not taken: a drive draws no inrush. An
    instantaneous-trip breaker has no standard rating: its setting is the percentage itself.

    Examples
    --------
    >>> largest_device(16.0, "inverse-time breaker", motor_type="single_phase")
    DeviceLimit(computed_a=40.0, allowed_a=40.0)

    References
    ----------
    NFPA 70 (NEC) 2023, 430.130(A) with 430.52(C)(1) and Table 430.52(C)(1).
    """
    positive(full_load_a=full_load_a)
    if device not in DEVICE_COLUMNS:
        raise OutsideTableError("nec_430_52_max_ocpd_percent", f"a {device}")
    percent = load("nec_430_52_max_ocpd_percent").number(DEVICE_COLUMNS[device], motor_type=motor_type)
    computed = full_load_a * percent / 100
    if device == "instantaneous-trip breaker":
        return DeviceLimit(computed, computed)
    return DeviceLimit(computed, next_standard_rating_a(computed, fuse="fuse" in device))


def small_conductor_limit_a(size_awg: str) -> float | None:
    """Return the general limit on the protection of a small copper conductor; None above 10 AWG.

    Parameters
    ----------
    size_awg : str
        Size label.

    Returns
    -------
    float or None
        Largest device. [A]

    Notes
    -----
    Motor circuits with overload protection are excepted by 240.4(G); the figure is printed so that
    nobody misses which rule was taken.

    Examples
    --------
    >>> small_conductor_limit_a("14 AWG")
    15.0

    References
    ----------
    NFPA 70 (NEC) 2023, 240.4(D) and (G).
    """
    number = size_awg.partition(" ")[0]
    rows = load("nec_240_4_d_small_conductors").rows_where(size_awg=number, material="copper")
    return float(rows[0]["max_ocpd_a"]) if rows and size_awg.endswith("AWG") else None


def smallest_disconnect_a(input_current_a: float) -> float:
    """Return the smallest ampere rating of the disconnect in the drive's input line.

    Parameters
    ----------
    input_current_a : float
        Rated input current of the drive, above 0. [A]

    Returns
    -------
    float
        Rating. [A]

    Examples
    --------
    >>> smallest_disconnect_a(40.0)
    46.0

    References
    ----------
    NFPA 70 (NEC) 2023, 430.128: 115 % of the rated input current.
    """
    positive(rated_input_current_a=input_current_a)
    return 1.15 * input_current_a


def earth_size(device_a: float, *, material: str = "copper") -> str:
    """Look up the smallest equipment grounding conductor for a protective device.

    Parameters
    ----------
    device_a : float
        Rating or setting of the device ahead, above 0, to 6000. [A]
    material : str
        'copper' or 'aluminum'.

    Returns
    -------
    str
        Size label.

    Raises
    ------
    OutsideTableError
        Above 6000 A.

    Examples
    --------
    >>> earth_size(40.0)
    '10 AWG'

    References
    ----------
    NFPA 70 (NEC) 2023, Table 250.122.
    """
    positive(device_rating_a=device_a)
    row = load("nec_250_122_egc").at_least("ocpd_rating_max_a", device_a)
    return f"{row[f'{material}_size']} {row[f'{material}_size_unit']}"


def upsized_earth_cmil(table_size: str, *, smallest_phase: str, installed_phase: str, sets: int = 1) -> float:
    """Return the earth conductor area after the phase conductors were made larger than needed.

    Parameters
    ----------
    table_size : str
        Earth size of Table 250.122.
    smallest_phase, installed_phase : str
        Smallest phase conductor that would do, and the one installed.
    sets : int
        Parallel sets installed.

    Returns
    -------
    float
        Least area: the table's, times installed over smallest phase area where that is above 1,
        and no more than the phase conductor itself. [cmil]

    Examples
    --------
    >>> upsized_earth_cmil("10 AWG", smallest_phase="10 AWG", installed_phase="8 AWG")
    16510.0

    References
    ----------
    NFPA 70 (NEC) 2023, 250.122(A) and (B).
    """
    between(1, 12, parallel_sets=sets)
    ratio = max(1.0, sets * circular_mils(installed_phase) / circular_mils(smallest_phase))
    return min(circular_mils(table_size) * ratio, circular_mils(installed_phase))


def size_of_area(area_cmil: float) -> str:
    """Return the smallest size of Chapter 9 Table 8 that has an area.

    Parameters
    ----------
    area_cmil : float
        Area needed. [cmil]

    Returns
    -------
    str
        Size label.

    Examples
    --------
    >>> size_of_area(16510.0)
    '8 AWG'

    References
    ----------
    NFPA 70 (NEC), Chapter 9 Table 8.
    """
    row = load("nec_ch9_table8_conductor").at_least("area_cmil", area_cmil)
    return f"{row['size']} {row['size_unit']}"


def largest_overload_setting_a(
    plate_current_a: float, *, service_factor: float, rise_40_or_less: bool = False
) -> float:
    """Return the largest setting of a separate motor overload device.

    Parameters
    ----------
    plate_current_a : float
        Nameplate current (not the table's), above 0. [A]
    service_factor : float
        From the plate, 1.0 to 1.5.
    rise_40_or_less : bool
        The plate says 40 °C rise or less.

    Returns
    -------
    float
        125 % at service factor 1.15 and above or 40 °C rise, else 115 %. [A]

    Examples
    --------
    >>> largest_overload_setting_a(20.0, service_factor=1.0)
    23.0

    References
    ----------
    NFPA 70 (NEC) 2023, 430.32(A)(1); 430.124 for a drive that holds the overload itself.
    """
    positive(plate_current_a=plate_current_a)
    between(1.0, 1.5, service_factor=service_factor)
    return plate_current_a * (1.25 if service_factor >= 1.15 or rise_40_or_less else 1.15)


def feeder_ampacity_a(currents_a: list[float], *, other_continuous_a: float = 0.0) -> float:
    """Return the ampacity that a feeder to several drives and motors must have.

    Parameters
    ----------
    currents_a : list of float
        Rated input current of each drive, full-load current of each motor, none below 0. [A]
    other_continuous_a : float
        Continuous load other than motors, at or above 0. [A]

    Returns
    -------
    float
        125 % of the largest, 100 % of the others, 125 % of continuous other load. [A]

    Raises
    ------
    OutOfRangeError
        No current given, or one below 0.

    Examples
    --------
    >>> feeder_ampacity_a([40.0, 22.0, 10.0])
    82.0

    References
    ----------
    NFPA 70 (NEC) 2023, 430.24.
    """
    if not currents_a:
        raise OutOfRangeError("number of loads", 0, "1 or more")
    for current in currents_a:
        not_negative(load_current_a=current)
    not_negative(other_continuous_a=other_continuous_a)
    return math.fsum(currents_a) + 0.25 * max(currents_a) + 1.25 * other_continuous_a


def largest_feeder_device_a(largest_branch_a: float, other_currents_a: list[float]) -> float:
    """Return the largest protective device of a feeder to motors.

    Parameters
    ----------
    largest_branch_a : float
        Largest branch device allowed on the feeder, above 0. [A]
    other_currents_a : list of float
        Currents of the other loads. [A]

    Returns
    -------
    float
        Rating, not rounded up. [A]

    Examples
    --------
    >>> largest_feeder_device_a(60.0, [22.0, 10.0])
    92.0

    References
    ----------
    NFPA 70 (NEC) 2023, 430.62(A): largest branch device plus the other full-load currents; not rounded up.
    """
    positive(largest_branch_device_a=largest_branch_a)
    return largest_branch_a + math.fsum(other_currents_a)
