"""A motor plate whose power and current cannot belong together, and which slip of the pen would mend it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from binder.engineering.ranges import positive
from binder.engineering.supply import apparent_power_kva

#: Horsepower in one kilowatt, NEMA practice: 1 hp is 746 W.
_KW_PER_HP = 0.746
_KW_IN = {"kW": 1.0, "W": 1e-3, "MW": 1e3, "hp": _KW_PER_HP, "PS": 0.73549875}  # SI; PS is 75 kgf·m/s
#: Shaft power up to here -> least and largest share of the apparent power that reaches the shaft. [kW]
#: Common practice, no source; the largest stands above efficiency class IE4 (IEC 60034-30-1) with a power factor
#: of 0.88 to 0.92, the least below an eight-pole motor of class IE1.
_SHARES = (
    (0.75, 0.25, 0.74), (1.5, 0.40, 0.78), (4.0, 0.42, 0.82), (7.5, 0.50, 0.85), (22.0, 0.55, 0.88),
    (75.0, 0.60, 0.90), (math.inf, 0.62, 0.92),
)  # fmt: skip
#: No magnetizing current is drawn: power factor up to 1. Common practice, no source.
_PERMANENT_MAGNET = 0.97
#: Ratings usual in one unit only. NEMA MG 1 10.32.4 and IEC 60072-1, from memory, check.
_IN_HP_ONLY = frozenset({0.33, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 25.0, 40.0, 50.0, 60.0, 100.0, 125.0, 150.0, 350.0})
_IN_KW_ONLY = frozenset({0.18, 0.37, 0.55, 1.1, 2.2, 4.0, 5.5, 11.0, 18.5, 22.0, 37.0, 45.0, 55.0, 90.0, 110.0, 132.0})
_AGREES = 0.08  # of a known power factor times efficiency: plates are rounded; common practice, no source
_HIGH = 0.9  # of the largest share; from here a rating of the other unit is doubted; common practice, no source
_OTHER_VOLTAGE = 0.05  # voltages of a plate nearer to each other than this are one; common practice, no source


def share_limits(power_kw: float, *, permanent_magnet: bool = False) -> tuple[float, float]:
    """Return the least and largest power factor times efficiency of a motor of this size.

    Parameters
    ----------
    power_kw : float
        Shaft power, above 0. [kW]
    permanent_magnet : bool

    Returns
    -------
    tuple of float

    Examples
    --------
    >>> share_limits(11.0)
    (0.55, 0.88)

    References
    ----------
    Common practice, no source; see the table above.
    """
    positive(power_kw=power_kw)
    least, largest = next((low, high) for top, low, high in _SHARES if power_kw <= top)
    return least, _PERMANENT_MAGNET if permanent_magnet else largest


def share(power_kw: float, voltage_v: float, current_a: float, *, phases: int = 3) -> float:
    """Return shaft power over apparent power: power factor times efficiency, if the plate is right.

    Parameters
    ----------
    power_kw, voltage_v, current_a : float
        Above 0. [kW], [V], [A]
    phases : int
        1 or 3.

    Returns
    -------
    float

    Examples
    --------
    >>> round(share(15.0, 460.0, 18.5), 2)
    1.02

    References
    ----------
    Textbook: P = sqrt(3) U I cos phi eta; on one phase P = U I cos phi eta.
    """
    positive(power_kw=power_kw, voltage_v=voltage_v, current_a=current_a)
    return power_kw / apparent_power_kva(current_a, voltage_v, phases=phases)


def doubtful(power: float, unit: str, found: float, *, permanent_magnet: bool = False) -> bool:
    """Return whether a share found from power and current is out of the usual.

    Parameters
    ----------
    power : float
        As typed.
    unit : str
        'kW', 'W', 'MW', 'hp' or 'PS', as typed.
    found : float
        From `share`.
    permanent_magnet : bool

    Returns
    -------
    bool
        Outside the limits; near the largest with a rating that is usual in horsepower only; or a rating that is
        usual in kilowatts only, and that fits as such.

    Examples
    --------
    >>> doubtful(15.0, "kW", 1.02), doubtful(15.0, "kW", 0.76), doubtful(5.0, "kW", 0.83), doubtful(11.0, "hp", 0.57)
    (True, False, True, True)
    """
    low, high = share_limits(power * _KW_IN[unit], permanent_magnet=permanent_magnet)
    if unit == "kW" and power in _IN_HP_ONLY and found > _HIGH * high:
        return True
    if unit == "hp" and power in _IN_KW_ONLY and found / _KW_PER_HP <= high:
        return True
    return not low <= found <= high


def slips(
    power: float, unit: str, found: float, *, voltage_v: float, current_a: float,
    plate_voltages: Sequence[float] = (), expected: float | None = None, permanent_magnet: bool = False,
) -> tuple[str, ...]:  # fmt: skip
    """Name the slips of the pen that would explain a share.

    Parameters
    ----------
    power : float
        As typed.
    unit : str
        'kW', 'W', 'MW', 'hp' or 'PS', as typed.
    found : float
        From `share`.
    voltage_v, current_a : float
        As typed. [V], [A]
    plate_voltages : sequence of float
        All voltages of the plate. [V]
    expected : float, optional
        Power factor times efficiency of the plate.
    permanent_magnet : bool

    Returns
    -------
    tuple of str
        Questions, the likeliest first, at most two.

    Examples
    --------
    >>> slips(15.0, "kW", 1.02, voltage_v=460.0, current_a=18.5)
    ('15 hp',)
    >>> slips(7.5, "kW", 0.38, voltage_v=460.0, current_a=25.0, plate_voltages=(230.0, 460.0))
    ('25 A at 230 V',)
    """
    fitting = []
    for rank, words, factor, kilowatts in _candidates(power, unit, voltage_v, current_a, plate_voltages):
        would_be = found * factor
        low, high = share_limits(kilowatts, permanent_magnet=permanent_magnet)
        if abs(would_be / expected - 1) <= _AGREES if expected else low <= would_be <= high:
            fitting.append((rank, words))
    return tuple(words for _, words in sorted(fitting)[:2])


def _candidates(
    power: float, unit: str, voltage_v: float, current_a: float, plate_voltages: Sequence[float]
) -> Iterator[tuple[int, str, float, float]]:
    """Yield (rank, what may be meant, factor on the share, shaft power it would then be in kW)."""
    kilowatts = power * _KW_IN[unit]
    if unit == "kW":
        yield 3 if power in _IN_KW_ONLY else 0, f"{power:g} hp", _KW_PER_HP, power * _KW_PER_HP
        yield 1, f"{power:g} W", 1e-3, power * 1e-3
    elif unit == "hp":
        yield 3 if power in _IN_HP_ONLY else 0, f"{power:g} kW", 1 / _KW_PER_HP, power
    for other in plate_voltages:
        if abs(other / voltage_v - 1) > _OTHER_VOLTAGE:
            yield 1, f"{current_a:g} A at {other:g} V", voltage_v / other, kilowatts
    yield 2, f"{current_a:g} mA", 1e3, kilowatts
    yield 4, f"{current_a * 10:g} A", 0.1, kilowatts
    yield 4, f"{current_a / 10:g} A", 10.0, kilowatts
