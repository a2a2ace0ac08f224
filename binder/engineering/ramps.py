"""How fast a motor can bring its load up to speed, and down again."""

from __future__ import annotations

import math
from collections.abc import Callable

from binder.engineering.ranges import OutOfRangeError, not_negative, positive

_STEPS = 32  # Simpson intervals; the error is below 0.01 % for the torque curves used here


def radians_per_second(speed_rpm: float) -> float:
    """Return an angular speed.


    Parameters
    ----------
    speed_rpm : float
        [rpm]

    Returns
    -------
    float
        [rad/s]

    Examples
    --------
    >>> round(radians_per_second(1500.0), 2)
    157.08
    """
    return speed_rpm * math.pi / 30.0


def accelerating_torque_nm(inertia_kg_m2: float, speed_change_rpm: float, seconds: float) -> float:
    """Return the torque that changes a speed in a time, evenly.

    Parameters
    ----------
    inertia_kg_m2 : float
        At the shaft of the torque, above 0. [kg·m²]
    speed_change_rpm : float
        0 or above. [rpm]
    seconds : float
        Above 0. [s]

    Returns
    -------
    float
        [N·m]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(accelerating_torque_nm(0.5221716, 1200.0, 8.0), 1)
    8.2

    References
    ----------
    Textbook: T = J omega / t.
    """
    not_negative(speed_change_rpm=speed_change_rpm)
    positive(inertia_kg_m2=inertia_kg_m2, seconds=seconds)
    return inertia_kg_m2 * radians_per_second(speed_change_rpm) / seconds


def even_ramp_s(inertia_kg_m2: float, speed_change_rpm: float, torque_nm: float) -> float:
    """Return the time of a speed change under a torque that stays the same.

    Parameters
    ----------
    inertia_kg_m2 : float
        Above 0. [kg·m²]
    speed_change_rpm : float
        0 or above. [rpm]
    torque_nm : float
        Torque left over for the inertia, above 0. [N·m]

    Returns
    -------
    float
        [s]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(even_ramp_s(630.0, 750.0, 166.4 * 9.81), 1)
    30.3

    References
    ----------
    Textbook: t = J omega / T; the trade's WK² dN / (308 T) is the same in lb·ft², rpm and lb·ft.
    """
    not_negative(speed_change_rpm=speed_change_rpm)
    positive(inertia_kg_m2=inertia_kg_m2, torque_nm=torque_nm)
    return inertia_kg_m2 * radians_per_second(speed_change_rpm) / torque_nm


def ramp_s(inertia_kg_m2: float, speed_rpm: float, torque_at: Callable[[float], float]) -> float:
    """Return the shortest time between standstill and a speed under a torque that follows the speed.

    Parameters
    ----------
    inertia_kg_m2 : float
        Above 0. [kg·m²]
    speed_rpm : float
        Above 0. [rpm]
    torque_at : callable
        Torque left over for the inertia [N·m] at a share of that speed, 0 to 1.

    Returns
    -------
    float
        [s]

    Raises
    ------
    OutOfRangeError
        The torque left over is nowhere to be zero or below: the speed is then never reached.

    Notes
    -----
    Simpson's rule over J d(omega) / T in 32 steps.

    Examples
    --------
    A quadratic load of 80 % at full speed against 110 % motor torque, 100 N·m rated:

    >>> round(ramp_s(2.0, 1480.0, lambda x: 110.0 - 80.0 * x * x), 2)
    4.18

    References
    ----------
    Textbook: equation of motion.
    """
    positive(inertia_kg_m2=inertia_kg_m2, speed_rpm=speed_rpm)
    total = 0.0
    for step in range(_STEPS + 1):
        torque = torque_at(step / _STEPS)
        if torque <= 0.0:
            raise OutOfRangeError(f"torque left over at {100 * step / _STEPS:.0f} % speed", torque, "above 0")
        weight = 1.0 if step in (0, _STEPS) else 4.0 if step % 2 else 2.0
        total += weight / torque
    return inertia_kg_m2 * radians_per_second(speed_rpm) * total / (3.0 * _STEPS)


def load_torque_share(load_type: str, speed_share: float, full_share: float) -> float:
    """Return the load's torque over rated torque at a share of full speed.

    Parameters
    ----------
    load_type : str
        'quadratic', 'constant torque', 'constant power' or 'hoist'.
    speed_share : float
        Speed over full speed, 0 or above.
    full_share : float
        Load torque over rated torque at full speed, 0 or above.

    Returns
    -------
    float

    Raises
    ------
    OutOfRangeError
        The load type is unknown, or a number lies outside its range.

    Notes
    -----
    Constant power is taken as constant torque below half speed, where no winder or spindle
    asks for more than twice its torque.

    Examples
    --------
    >>> load_torque_share("quadratic", 0.5, 0.8)
    0.2

    References
    ----------
    Textbook load types; the bound at half speed: common practice, no source.
    """
    not_negative(speed_share=speed_share, full_share=full_share)
    if load_type == "quadratic":
        return full_share * speed_share**2
    if load_type in ("constant torque", "hoist"):
        return full_share
    if load_type == "constant power":
        return full_share / max(speed_share, 0.5)
    raise OutOfRangeError(f"load type '{load_type}'", 0.0, "quadratic, constant torque, constant power, hoist")


def turns(speed_rpm: float, seconds: float) -> float:
    """Return the turns of a shaft during an even ramp between standstill and a speed.


    Parameters
    ----------
    speed_rpm : float
        At the fast end, 0 or above. [rpm]
    seconds : float
        0 or above. [s]

    Returns
    -------
    float

    Raises
    ------
    OutOfRangeError
        A number is below 0.

    Examples
    --------
    >>> round(turns(750.0, 30.31155))
    189

    References
    ----------
    Textbook: half the speed times the time.
    """
    not_negative(speed_rpm=speed_rpm, seconds=seconds)
    return speed_rpm / 60.0 * seconds / 2.0
