"""The 24 V control supply: load, drop along a conductor, and what is left of a 4-20 mA loop."""

from __future__ import annotations

from binder.engineering.ranges import between, not_negative, positive

#: Copper at 20 °C, Ω mm²/m: 1 / 56, the trade's round figure (IEC 60228 conductors lie at or below it).
_COPPER = 1.0 / 56.0
#: A digital input of type 1 is on from this voltage (IEC 61131-2, from memory, check).
INPUT_ON_VOLTS = 15.0
#: Top of the live range of a 4-20 mA signal (NE 43, from memory, check).
LOOP_TOP_MA = 21.0


def conductor_ohm(length_m: float, area_mm2: float) -> float:
    """Return the resistance of one copper conductor at 20 °C.

    Parameters
    ----------
    length_m : float
        One way, 0 or above. [m]
    area_mm2 : float
        Above 0. [mm²]

    Returns
    -------
    float
        [Ω]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    18 AWG, 0.823 mm², 100 m there and back:

    >>> round(2 * conductor_ohm(100.0, 0.823), 2)
    4.34

    References
    ----------
    Textbook: R = L / (56 A).
    """
    not_negative(length_m=length_m)
    positive(area_mm2=area_mm2)
    return _COPPER * length_m / area_mm2


def drop_v(current_a: float, loop_ohm: float) -> float:
    """Return the volts lost in a loop.


    Parameters
    ----------
    current_a, loop_ohm : float
        0 or above. [A, Ω]

    Returns
    -------
    float
        [V]

    Raises
    ------
    OutOfRangeError
        A number is below 0.

    Examples
    --------
    350 ft of a pair with 1.27 Ω per 100 ft, at 1 A:

    >>> round(drop_v(1.0, 3.5 * 1.27), 3)
    4.445
    """
    not_negative(current_a=current_a, loop_ohm=loop_ohm)
    return current_a * loop_ohm


def lowest_supply_v(nominal_v: float, tolerance_percent: float) -> float:
    """Return the lowest voltage that a tolerance allows.


    Parameters
    ----------
    nominal_v : float
        Above 0. [V]
    tolerance_percent : float
        On the low side, 0 to 100. [%]

    Returns
    -------
    float
        [V]

    Raises
    ------
    OutOfRangeError
        The voltage is not above 0 or the tolerance not within 0 to 100.

    Examples
    --------
    >>> round(lowest_supply_v(24.0, 15.0), 1)
    20.4
    """
    positive(nominal_v=nominal_v)
    between(0.0, 100.0, tolerance_percent=tolerance_percent)
    return nominal_v * (1.0 - tolerance_percent / 100.0)


def largest_loop_ohm(allowed_drop_v: float, current_a: float) -> float:
    """Return the loop resistance that a drop allows.


    Parameters
    ----------
    allowed_drop_v : float
        0 or above. [V]
    current_a : float
        Above 0. [A]

    Returns
    -------
    float
        There and back. [Ω]

    Raises
    ------
    OutOfRangeError
        Drop below 0 or current not above 0.

    Examples
    --------
    >>> round(largest_loop_ohm(6.6, 23.0), 3)
    0.287
    """
    not_negative(allowed_drop_v=allowed_drop_v)
    positive(current_a=current_a)
    return allowed_drop_v / current_a


def volts_at_input(
    supply_v: float, *, input_ma: float, inputs_on_common: int, conductor: float
) -> float:
    """Return the voltage that reaches the farthest digital input.

    Parameters
    ----------
    supply_v : float
        Above 0. [V]
    input_ma : float
        What one input draws, 0 or above. [mA]
    inputs_on_common : int
        Inputs whose current flows through one shared conductor, 1 or more.
    conductor : float
        Resistance of one conductor, one way. [Ω]

    Returns
    -------
    float
        [V]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Notes
    -----
    The input's own conductor carries its current, the shared one that of all.

    Examples
    --------
    >>> round(volts_at_input(24.0, input_ma=10.0, inputs_on_common=6, conductor=2.0), 2)
    23.86
    """
    positive(supply_v=supply_v, inputs_on_common=inputs_on_common)
    not_negative(input_ma=input_ma, conductor=conductor)
    return supply_v - drop_v(input_ma / 1000.0, conductor) - drop_v(inputs_on_common * input_ma / 1000.0, conductor)


def volts_at_transmitter(supply_v: float, input_ohm: float, wire_ohm: float, current_ma: float = LOOP_TOP_MA) -> float:
    """Return the voltage left for a loop-powered transmitter.

    Parameters
    ----------
    supply_v : float
        Above 0. [V]
    input_ohm : float
        Burden of the drive's current input, 0 or above. [Ω]
    wire_ohm : float
        There and back, 0 or above. [Ω]
    current_ma : float
        0 or above; 21 mA unless said otherwise. [mA]

    Returns
    -------
    float
        [V]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(volts_at_transmitter(24.0, 250.0, 4.0), 2)
    18.67

    References
    ----------
    Ohm's law round the loop.
    """
    positive(supply_v=supply_v)
    not_negative(input_ohm=input_ohm, wire_ohm=wire_ohm, current_ma=current_ma)
    return supply_v - current_ma / 1000.0 * (input_ohm + wire_ohm)


def largest_burden_ohm(supply_v: float, transmitter_min_v: float, current_ma: float = LOOP_TOP_MA) -> float:
    """Return the largest burden, input and wire, that leaves a transmitter its lowest voltage.


    Parameters
    ----------
    supply_v : float
        Above 0. [V]
    transmitter_min_v : float
        0 to `supply_v`. [V]
    current_ma : float
        Above 0; 21 mA unless said otherwise. [mA]

    Returns
    -------
    float
        [Ω]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(largest_burden_ohm(24.0, 12.0))
    571
    """
    positive(supply_v=supply_v, current_ma=current_ma)
    between(0.0, supply_v, transmitter_min_v=transmitter_min_v)
    return (supply_v - transmitter_min_v) / current_ma * 1000.0
