"""What changes for a motor when a drive feeds it: field weakening, low speed, service factor."""

from __future__ import annotations

from binder.engineering.ranges import OutOfRangeError, positive
from binder.engineering.tables import OutsideTableError

#: MG 1 parts 30 and 31: the service factor of the plate is not used on converter supply.
SERVICE_FACTOR_ON_DRIVE = 1.0


def field_weakening_from_hz(plate_voltage_v: float, plate_frequency_hz: float, supply_voltage_v: float) -> float:
    """Return the frequency above which the motor no longer has its rated flux.

    Parameters
    ----------
    plate_voltage_v, plate_frequency_hz, supply_voltage_v : float
        Above 0. [V, Hz, V]

    Returns
    -------
    float
        The plate frequency, or less where the supply is below the plate voltage. [Hz]

    Raises
    ------
    OutOfRangeError
        A number is not above 0.

    Notes
    -----
    A drive gives at most about its supply voltage. The volts per hertz of the plate are kept
    until that is reached; above, the voltage stays and the flux falls with the frequency.

    Examples
    --------
    >>> field_weakening_from_hz(460.0, 60.0, 480.0)
    60.0
    >>> field_weakening_from_hz(460.0, 60.0, 414.0)
    54.0

    References
    ----------
    Textbook: flux goes with U / f.
    """
    positive(plate_voltage_v=plate_voltage_v, plate_frequency_hz=plate_frequency_hz, supply_voltage_v=supply_voltage_v)
    return plate_frequency_hz * min(1.0, supply_voltage_v / plate_voltage_v)


def continuous_torque_share(frequency_hz: float, weakening_from_hz: float) -> float:
    """Return the continuous torque over rated torque that cooling and flux allow at a frequency.

    Parameters
    ----------
    frequency_hz, weakening_from_hz : float
        Above 0. [Hz]

    Returns
    -------
    float
        1 up to the field-weakening frequency, then falling with 1 / f (constant power).

    Raises
    ------
    OutOfRangeError
        A number is not above 0.

    Examples
    --------
    >>> continuous_torque_share(90.0, 60.0)
    0.6666666666666666

    References
    ----------
    Textbook: constant power above base speed. Self-ventilated motors at low speed: `lowest_frequency_hz`.
    """
    positive(frequency_hz=frequency_hz, weakening_from_hz=weakening_from_hz)
    return min(1.0, weakening_from_hz / frequency_hz)


def highest_frequency_ratio(breakdown_torque_nm: float, required_torque_nm: float) -> float:
    """Return how far above base frequency the breakdown torque still covers a required one.

    Parameters
    ----------
    breakdown_torque_nm : float
        At base frequency, above 0. [N·m]
    required_torque_nm : float
        Above 0, at most the breakdown torque. [N·m]

    Returns
    -------
    float
        Frequency over base frequency, 1 or above.

    Raises
    ------
    OutOfRangeError
        The required torque lies outside its range.

    Notes
    -----
    In field weakening the breakdown torque falls with the square of the frequency ratio.

    Examples
    --------
    >>> round(highest_frequency_ratio(61.11, 35.0), 3)
    1.321

    References
    ----------
    Power Electronics: Devices, Circuits and Applications, 4th ed., example 15.5.
    """
    positive(breakdown_torque_nm=breakdown_torque_nm, required_torque_nm=required_torque_nm)
    if required_torque_nm > breakdown_torque_nm:
        raise OutOfRangeError("required torque nm", required_torque_nm, f"at most {breakdown_torque_nm:g}")
    return float((breakdown_torque_nm / required_torque_nm) ** 0.5)


def turn_down(load_type: str, cooling: str, *, inverter_duty: bool) -> float:
    """Return how many times below plate speed a motor may run continuously.

    Parameters
    ----------
    load_type : str
        'quadratic', 'constant torque', 'constant power' or 'hoist'.
    cooling : str
        'self' for a fan on the shaft, 'separate' for a fan with its own motor, 'none' for a
        motor that is not ventilated at all.
    inverter_duty : bool
        True when the plate says so.

    Returns
    -------
    float
        Plate speed over lowest continuous speed; 1000 where cooling does not fall with speed.

    Raises
    ------
    OutsideTableError
        The load type or the cooling is unknown.

    Notes
    -----
    Quadratic 10:1; constant torque, constant power and hoist 4:1 with an inverter-duty motor
    (makers state 4:1 to 10:1), else 2:1. The maker's own curve overrules these.

    Examples
    --------
    >>> turn_down("constant torque", "self", inverter_duty=False)
    2.0

    References
    ----------
    Common practice, no source; the need for a limit is NEMA MG 1 part 30 (from memory, check).
    """
    if load_type not in ("quadratic", "constant torque", "constant power", "hoist"):
        raise OutsideTableError("turn-down by load type", load_type or "a blank load type")
    if cooling in ("separate", "none"):
        return 1000.0
    if cooling != "self":
        raise OutsideTableError("turn-down by cooling", cooling or "unclear cooling")
    if load_type == "quadratic":
        return 10.0
    return 4.0 if inverter_duty else 2.0


def lowest_frequency_hz(plate_frequency_hz: float, ratio: float) -> float:
    """Return the lowest frequency for continuous running.

    Parameters
    ----------
    plate_frequency_hz : float
        Above 0. [Hz]
    ratio : float
        From `turn_down`, above 0.

    Returns
    -------
    float
        [Hz]

    Raises
    ------
    OutOfRangeError
        A number is not above 0.

    Examples
    --------
    >>> lowest_frequency_hz(60.0, 4.0)
    15.0
    """
    positive(plate_frequency_hz=plate_frequency_hz, ratio=ratio)
    return plate_frequency_hz / ratio


def cooling_kind(words: str) -> str:
    """Read 'self', 'separate' or 'none' out of the words of a plate or a cell; '' when unclear.


    Parameters
    ----------
    words : str
        As on the plate or in the workbook: 'TEFC', 'IC 416', 'separate fan'.

    Returns
    -------
    str
        'self', 'separate', 'none' or ''.

    Examples
    --------
    >>> cooling_kind("TEFC"), cooling_kind("IC 416"), cooling_kind("TENV"), cooling_kind("wet")
    ('self', 'separate', 'none', '')

    References
    ----------
    IEC 60034-6 codes IC 410, 411, 416; NEMA MG 1 1.26 enclosure words (from memory, check).
    """
    text = words.casefold().replace(" ", "").replace("-", "")
    if any(w in text for w in ("ic416", "tebc", "separate", "forced", "blower", "external", "water")):
        return "separate"
    if any(w in text for w in ("ic410", "tenv", "notventilated", "none")):
        return "none"
    if any(w in text for w in ("ic411", "ic01", "tefc", "odp", "wpi", "self", "shaft")):
        return "self"
    return ""
