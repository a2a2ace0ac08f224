"""Small pieces of wording that the topics share."""

from __future__ import annotations

import math

from binder.engineering.figure import display
from binder.inventory.quantities import Measure


def at_least(value: float, unit: str) -> str:
    """Word a lower limit; '' while the value is not known.

    Examples
    --------
    >>> at_least(18.1, "A"), at_least(float("nan"), "A")
    ('>= 18.1 A', '')
    """
    return "" if math.isnan(value) else f">= {display(value)} {unit}"


def joined(*notes: str) -> str:
    """Join the notes that say something.

    Examples
    --------
    >>> joined("one", "", "two")
    'one; two'
    """
    return "; ".join(n for n in notes if n)


def amperes(rating: Measure | None) -> float | None:
    """Return a fitted rating in amperes; None where it is blank or not above zero."""
    value = rating.to("A") if rating is not None else None
    return value if value is not None and value > 0 else None
