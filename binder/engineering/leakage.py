"""Leakage current of a drive: what it asks of the protective conductor and of a residual-current device."""

from __future__ import annotations

from dataclasses import dataclass

from binder.engineering.ranges import not_negative
from binder.engineering.tables import load


@dataclass(frozen=True, slots=True)
class Consequence:
    """What a leakage current asks of the protective conductor."""

    least_copper_mm2: float | None
    words: str


def leakage_limit_ma() -> float:
    """Return the leakage above which an added measure is needed.

    Returns
    -------
    float
        [mA AC]

    Examples
    --------
    >>> leakage_limit_ma()
    3.5

    References
    ----------
    IEC 61800-5-1:2007, 4.3.5.5.2 (touch current).
    """
    return load("iec_61800_facts").number("number", key="touch_current_limit")


def protective_conductor(leakage_ma: float) -> Consequence:
    """Say what a leakage current asks of the protective conductor.

    Parameters
    ----------
    leakage_ma : float
        Leakage of drive, filter and motor cable together, at or above 0. [mA AC]

    Returns
    -------
    Consequence

    Examples
    --------
    >>> protective_conductor(12.0).least_copper_mm2
    10.0

    References
    ----------
    IEC 61800-5-1:2007, 4.3.5.5.2; IEC 60204-1:2016, 8.2.6 (its own step is 10 mA, from memory).
    """
    not_negative(leakage_ma=leakage_ma)
    if leakage_ma <= leakage_limit_ma():
        return Consequence(None, "no added measure")
    least = load("iec_61800_facts").number("number", key="pe_min_copper")
    return Consequence(
        least,
        f"at least {least:g} mm² copper or 16 mm² aluminium, or a second conductor of the line's size on its own "
        "terminal, or disconnection when the conductor breaks",
    )


def residual_current_device(input_phases: int) -> str:
    """Return the type of residual-current device where one is fitted ahead of a drive.

    Parameters
    ----------
    input_phases : int
        Phases of the drive's input; a three-phase bridge can put smooth DC into the earth conductor.

    Returns
    -------
    str
        'type B' for three phases; for one phase 'see manual', as this rule does not settle it.

    Examples
    --------
    >>> residual_current_device(3)
    'type B'

    References
    ----------
    IEC 61800-5-1:2007, 6.4.3 (clause from memory).
    """
    return "type B" if input_phases == 3 else "see manual"
