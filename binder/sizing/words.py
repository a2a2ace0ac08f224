"""Small pieces of wording that the topics share."""

from __future__ import annotations

from dataclasses import replace

from binder.engineering.figure import Rule
from binder.inventory.quantities import Measure


def joined(*notes: str) -> str:
    """Join the notes that say something.

    Examples
    --------
    >>> joined("one", "", "two")
    'one; two'
    """
    return "; ".join(n for n in notes if n)


def for_phases(rule: Rule, phases: int) -> Rule:
    """Return a rule of three phases as it reads on one.

    Examples
    --------
    >>> for_phases(Rule("I = U / (sqrt 3 |Z source + Z cable|)", "theory"), 1).text
    'I = U / |Z source + 2 Z cable|'
    """
    if phases == 3:
        return rule
    text = rule.text.replace("(sqrt 3 |Z source + Z cable|)", "|Z source + 2 Z cable|")
    text = text.replace("(sqrt 3 U)", "U").replace("sqrt 3 I (", "2 I (").replace("sqrt 3 ", "")
    return replace(rule, text=text)


def amperes(rating: Measure | None) -> float | None:
    """Return a fitted rating in amperes; None where it is blank or not above zero."""
    value = rating.to("A") if rating is not None else None
    return value if value is not None and value > 0 else None
