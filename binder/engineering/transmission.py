"""Belts and gears between motor and machine."""

from __future__ import annotations

from binder.engineering.ranges import between, not_negative, positive


def ratio_from_sheaves(motor_sheave_mm: float, machine_sheave_mm: float) -> float:
    """Return motor speed over machine speed of a belt, or of a gear given by its teeth.

    Parameters
    ----------
    motor_sheave_mm, machine_sheave_mm : float
        Pitch diameters in one unit, or numbers of teeth; above 0. [mm]

    Returns
    -------
    float

    Raises
    ------
    OutOfRangeError
        A number is not above 0.

    Examples
    --------
    >>> ratio_from_sheaves(30, 75)
    2.5

    References
    ----------
    Textbook: n1 d1 = n2 d2, without belt slip (1 to 2 %); an idler drops out.
    """
    positive(motor_sheave_mm=motor_sheave_mm, machine_sheave_mm=machine_sheave_mm)
    return machine_sheave_mm / motor_sheave_mm


def machine_speed_rpm(motor_speed_rpm: float, ratio: float) -> float:
    """Return the machine's speed behind a ratio (motor rpm over machine rpm).

    Parameters
    ----------
    motor_speed_rpm : float
        0 or above. [rpm]
    ratio : float
        Motor rpm over machine rpm, above 0.

    Returns
    -------
    float
        [rpm]

    Raises
    ------
    OutOfRangeError
        Speed below 0 or ratio not above 0.

    Examples
    --------
    >>> round(machine_speed_rpm(250.0, ratio_from_sheaves(53.0, 32.0)), 2)
    414.06
    """
    not_negative(motor_speed_rpm=motor_speed_rpm)
    positive(ratio=ratio)
    return motor_speed_rpm / ratio


def sheave_for_speed_mm(machine_sheave_mm: float, motor_speed_rpm: float, machine_speed: float) -> float:
    """Return the motor sheave that gives the machine a speed.

    Parameters
    ----------
    machine_sheave_mm : float
        Pitch diameter, above 0. [mm]
    motor_speed_rpm, machine_speed : float
        Above 0. [rpm]

    Returns
    -------
    float
        In the unit of `machine_sheave_mm`. [mm]

    Raises
    ------
    OutOfRangeError
        A number is not above 0.

    Examples
    --------
    >>> sheave_for_speed_mm(20.0, 1500.0, 300.0)
    4.0
    """
    positive(machine_sheave_mm=machine_sheave_mm, motor_speed_rpm=motor_speed_rpm, machine_speed=machine_speed)
    return machine_sheave_mm * machine_speed / motor_speed_rpm


def reflected_inertia_kg_m2(motor_kg_m2: float, machine_kg_m2: float, ratio: float) -> float:
    """Return the inertia at the motor shaft: the motor's and the machine's behind the ratio.

    Parameters
    ----------
    motor_kg_m2, machine_kg_m2 : float
        Each at its own shaft, 0 or above. [kg·m²]
    ratio : float
        Motor rpm over machine rpm, above 0.

    Returns
    -------
    float
        [kg·m²]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Notes
    -----
    Wk² in lb·ft² is 0.04214 kg·m²; GD² in kgf·m² is 4 times J in kg·m².

    Examples
    --------
    >>> reflected_inertia_kg_m2(0.4, 10.0, 10.0)
    0.5

    References
    ----------
    Textbook: equal kinetic energy at both shafts, J + J_load / i².
    """
    not_negative(motor_kg_m2=motor_kg_m2, machine_kg_m2=machine_kg_m2)
    positive(ratio=ratio)
    return motor_kg_m2 + machine_kg_m2 / ratio**2


def torque_at_motor_nm(machine_torque_nm: float, ratio: float, efficiency_percent: float = 100.0) -> float:
    """Return the motor torque that a machine torque asks for.

    Parameters
    ----------
    machine_torque_nm : float
        0 or above. [N·m]
    ratio : float
        Motor rpm over machine rpm, above 0.
    efficiency_percent : float
        Of the transmission, above 0 up to 100. [%]

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
    >>> round(torque_at_motor_nm(50.0, 10.0, 90.0), 3)
    5.556
    """
    not_negative(machine_torque_nm=machine_torque_nm)
    positive(ratio=ratio, efficiency_percent=efficiency_percent)
    between(0.0, 100.0, efficiency_percent=efficiency_percent)
    return machine_torque_nm / ratio * 100.0 / efficiency_percent
