"""Pumps and fans at other speeds: flow, head, power, motor current, and what a drive saves."""

from __future__ import annotations

from binder.engineering.ramps import load_torque_share
from binder.engineering.ranges import OutOfRangeError, between, not_negative, positive


def flow_at(flow: float, speed_ratio: float) -> float:
    """Return the flow at another speed, in the unit given.


    Parameters
    ----------
    flow : float
        At full speed, 0 or above, any unit.
    speed_ratio : float
        New speed over old, 0 or above.

    Returns
    -------
    float
        In the unit of `flow`.

    Raises
    ------
    OutOfRangeError
        A number is below 0.

    Examples
    --------
    >>> flow_at(400.0, 2.0)
    800.0

    References
    ----------
    Affinity law: Q goes with n (no static head, same impeller).
    """
    not_negative(flow=flow, speed_ratio=speed_ratio)
    return flow * speed_ratio


def head_at(head: float, speed_ratio: float) -> float:
    """Return the head or pressure at another speed, in the unit given.


    Parameters
    ----------
    head : float
        At full speed, 0 or above, any unit.
    speed_ratio : float
        New speed over old, 0 or above.

    Returns
    -------
    float
        In the unit of `head`.

    Raises
    ------
    OutOfRangeError
        A number is below 0.

    Examples
    --------
    >>> head_at(48.0, 2.0)
    192.0

    References
    ----------
    Affinity law: H goes with n².
    """
    not_negative(head=head, speed_ratio=speed_ratio)
    return head * speed_ratio**2


def power_at(power: float, speed_ratio: float) -> float:
    """Return the shaft power at another speed, in the unit given.


    Parameters
    ----------
    power : float
        At full speed, 0 or above, any unit.
    speed_ratio : float
        New speed over old, 0 or above.

    Returns
    -------
    float
        In the unit of `power`.

    Raises
    ------
    OutOfRangeError
        A number is below 0.

    Examples
    --------
    >>> power_at(45.0, 2.0)
    360.0

    References
    ----------
    Affinity law: P goes with n³; not with static head, see `speed_for_flow`.
    """
    not_negative(power=power, speed_ratio=speed_ratio)
    return power * speed_ratio**3


def system_head_share(flow_share: float, static_share: float) -> float:
    """Return the head that a system asks for over its head at full flow.

    Parameters
    ----------
    flow_share : float
        Flow over full flow, 0 or above.
    static_share : float
        Static head over the head at full flow, 0 to 1.

    Returns
    -------
    float

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(system_head_share(0.5, 0.4), 2)
    0.55

    References
    ----------
    Textbook system curve: static head plus friction that goes with the square of the flow.
    """
    not_negative(flow_share=flow_share)
    between(0.0, 1.0, static_share=static_share)
    return static_share + (1.0 - static_share) * flow_share**2


def speed_for_flow(flow_share: float, static_share: float, shut_off_share: float = 1.25) -> float:
    """Return the speed over full speed at which a pump gives a flow into a system with static head.

    Parameters
    ----------
    flow_share : float
        0 to 1.
    static_share : float
        0 to 1.
    shut_off_share : float
        Head at no flow over head at full flow, at full speed; 1 or above. The pump's own curve gives it.

    Returns
    -------
    float
        0 to 1.

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Notes
    -----
    The pump curve is taken as h = s n² - (s - 1) q², with s the shut-off share; solved for n where it meets
    the system curve. Without static head this gives n = q.

    Examples
    --------
    >>> speed_for_flow(0.5, 0.0), round(speed_for_flow(0.5, 0.5), 3)
    (0.5, 0.742)

    References
    ----------
    Affinity laws on a parabolic pump curve; the shut-off share 1.25 is common practice, no source.
    """
    between(0.0, 1.0, flow_share=flow_share)
    if shut_off_share < 1.0:
        raise OutOfRangeError("shut off share", shut_off_share, "1 or above")
    head = system_head_share(flow_share, static_share)
    return float(((head + (shut_off_share - 1.0) * flow_share**2) / shut_off_share) ** 0.5)


def power_share_for_flow(flow_share: float, static_share: float, shut_off_share: float = 1.25) -> float:
    """Return the shaft power over full power at a flow, speed-controlled, hydraulic efficiency kept.

    Parameters
    ----------
    flow_share, static_share, shut_off_share
        As in `speed_for_flow`.

    Returns
    -------
    float

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Notes
    -----
    Power is flow times head. With static head the pump leaves its best point at low flow, so the
    true power is somewhat higher.

    Examples
    --------
    >>> power_share_for_flow(0.5, 0.0)
    0.125
    """
    between(0.0, 1.0, flow_share=flow_share)
    if shut_off_share < 1.0:
        raise OutOfRangeError("shut off share", shut_off_share, "1 or above")
    return flow_share * system_head_share(flow_share, static_share)


def throttled_power_share(flow_share: float, no_flow_share: float = 0.5) -> float:
    """Return the shaft power over full power of a centrifugal pump throttled at full speed.

    Parameters
    ----------
    flow_share : float
        0 to 1.
    no_flow_share : float
        Power at a shut valve over full power, 0 to 1.

    Returns
    -------
    float

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> throttled_power_share(0.5)
    0.75

    References
    ----------
    Straight line from the no-flow power; 0.5 for radial pumps is common practice, no source.
    """
    between(0.0, 1.0, flow_share=flow_share, no_flow_share=no_flow_share)
    return no_flow_share + (1.0 - no_flow_share) * flow_share


def input_power_kw(shaft_power_kw: float, motor_efficiency_percent: float, drive_efficiency_percent: float) -> float:
    """Return the power from the line for a shaft power.

    Parameters
    ----------
    shaft_power_kw : float
        0 or above. [kW]
    motor_efficiency_percent, drive_efficiency_percent : float
        Above 0 up to 100. [%]

    Returns
    -------
    float
        [kW]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(0.2 * input_power_kw(36.45 * 0.746, 91.6, 96.0), 2)
    6.18

    References
    ----------
    Textbook: P_in = P / (eta_motor eta_drive).
    """
    not_negative(shaft_power_kw=shaft_power_kw)
    positive(motor_efficiency_percent=motor_efficiency_percent, drive_efficiency_percent=drive_efficiency_percent)
    between(
        0.0,
        100.0,
        motor_efficiency_percent=motor_efficiency_percent,
        drive_efficiency_percent=drive_efficiency_percent,
    )
    return shaft_power_kw * 1e4 / (motor_efficiency_percent * drive_efficiency_percent)


def expected_current_a(
    speed_share: float, *, load_type: str, full_share: float, rated_current_a: float, no_load_current_a: float
) -> float:
    """Return the motor current to expect at a share of full speed, on a drive.

    Parameters
    ----------
    speed_share : float
        Speed over full speed, 0 up to 1.
    load_type : str
        'quadratic', 'constant torque', 'constant power' or 'hoist'.
    full_share : float
        Load torque over rated torque at full speed, 0 or above.
    rated_current_a : float
        Above the no-load current. [A]
    no_load_current_a : float
        0 or above. [A]

    Returns
    -------
    float
        [A]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Notes
    -----
    I² = I0² + (load torque over rated torque)² (In² - I0²), at constant flux. Readings outside
    plus or minus 15 % are worth a look.

    Examples
    --------
    >>> [round(expected_current_a(n, load_type="quadratic", full_share=1.0, rated_current_a=27.0,
    ...     no_load_current_a=10.0), 1) for n in (0.25, 0.5, 0.75, 1.0)]
    [10.1, 11.8, 17.3, 27.0]

    References
    ----------
    Textbook equivalent circuit, simplified; the band is common practice, no source.
    """
    between(0.0, 1.0, speed_share=speed_share)
    not_negative(no_load_current_a=no_load_current_a)
    if not no_load_current_a < rated_current_a:
        raise OutOfRangeError("rated current a", rated_current_a, f"above the no-load current {no_load_current_a:g}")
    torque = load_torque_share(load_type, speed_share, full_share)
    idle = no_load_current_a**2
    return float((idle + torque**2 * (rated_current_a**2 - idle)) ** 0.5)
