"""Small pieces of wording that the topics share."""

from __future__ import annotations

from binder.inventory.quantities import Measure


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
