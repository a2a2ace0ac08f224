"""Refuse numbers that a formula was never meant for."""

from __future__ import annotations

import math

from binder.errors import BinderError


class OutOfRangeError(BinderError, ValueError):
    """A number lies outside what a formula holds for.

    Attributes
    ----------
    name : str
        What the number is, with its unit.
    value : float
        The number given.
    accepted : str
        The range in words.
    """

    def __init__(self, name: str, value: float, accepted: str) -> None:
        super().__init__(f"{name} is {value:g}; accepted: {accepted}")
        self.args = (name, value, accepted)  # so that the error pickles
        self.name = name
        self.value = value
        self.accepted = accepted


def positive(**values: float) -> None:
    """Raise unless every value is a finite number above zero.

    Parameters
    ----------
    **values : float
        Named as the message shall name them, with their unit.

    Raises
    ------
    OutOfRangeError
        The first value that is not.

    Examples
    --------
    >>> positive(speed_rpm=1760.0)
    """
    for name, value in values.items():
        if not 0 < value < math.inf:
            raise OutOfRangeError(name.replace("_", " "), value, "above 0")


def not_negative(**values: float) -> None:
    """Raise unless every value is a finite number, zero or above.

    Parameters
    ----------
    **values : float
        Named as the message shall name them, with their unit.

    Raises
    ------
    OutOfRangeError
        The first value that is not.
    """
    for name, value in values.items():
        if not 0 <= value < math.inf:
            raise OutOfRangeError(name.replace("_", " "), value, "0 or above")


def between(low: float, high: float, **values: float) -> None:
    """Raise unless every value lies in `low`..`high`, ends included.

    Parameters
    ----------
    low, high : float
        Ends of the range.
    **values : float
        Named as the message shall name them, with their unit.

    Raises
    ------
    OutOfRangeError
        The first value that is not.
    """
    for name, value in values.items():
        if not low <= value <= high:
            raise OutOfRangeError(name.replace("_", " "), value, f"{low:g} to {high:g}")
