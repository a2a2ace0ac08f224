"""What a technician wrote in the column 'Value', made into a number, an answer, or a refusal."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from binder.inventory.cleaning import CellError
from binder.inventory.grammar import split_number, unit_named
from binder.inventory.kinds import FAMILIES
from binder.inventory.quantities import Measure

_YES = frozenset({"yes", "y", "ok", "okay", "done", "pass", "passed", "good", "x", "✓", "✔", "true"})
_NO = frozenset({"no", "n", "fail", "failed", "not ok", "nok", "bad", "false"})
_LEFT = frozenset({"not done", "n/d", "nd", "not tested", "not measured", "skipped"})
_OVER = frozenset({"ol", "o.l.", "o.l", "over", "overload", "over range", "overrange", "∞", "inf", "infinite"})
#: A difference in kelvin may be read in degrees; the scale's zero plays no part in it.
_KELVIN_DIFFERENCE = {"K": 1.0, "°C": 1.0, "°F": 5 / 9}


@dataclass(frozen=True, slots=True)
class Amount:
    """A number in a line's unit; `sign` is '>' or '<' when the instrument gave only a bound."""

    number: float
    sign: str = ""


class UnreadError(Exception):
    """A value that cannot be taken.

    Attributes
    ----------
    fault : str
        'text', 'unit', 'no unit', 'over range'.
    words : str
        What is wrong, in words.
    """

    def __init__(self, fault: str, words: str) -> None:
        super().__init__(fault, words)
        self.fault = fault
        self.words = words

    def __str__(self) -> str:
        return self.words


def answer(text: str) -> str:
    """What an answer means: 'yes', 'no', 'not done', or '' when it is none of them.

    Examples
    --------
    >>> answer("OK"), answer("Not done"), answer("5.2")
    ('yes', 'not done', '')
    """
    word = " ".join(text.casefold().split())
    return "yes" if word in _YES else "no" if word in _NO else "not done" if word in _LEFT else ""


def amount(text: str, unit: str, wanted: str, *, decimal_mark: str = "") -> Amount:
    """Read a number and bring it to the unit of its line.

    Parameters
    ----------
    text : str
        The value cell: '5.02', '>2000', '2 GΩ'.
    unit : str
        The unit cell; may be blank when the value names its unit.
    wanted : str
        Unit of the line; '' for a pure number.
    decimal_mark : str
        '.', ',' or '' where the Site sheet does not say.

    Returns
    -------
    Amount

    Raises
    ------
    UnreadError
        Text, a unit of something else, no unit at all, or an over-range sign.

    Examples
    --------
    >>> amount(">2", "GΩ", "MΩ")
    Amount(number=2000.0, sign='>')
    >>> amount("7,5", "V", "V", decimal_mark=",").number
    7.5
    """
    clean = text.strip()
    if clean.casefold() in _OVER:
        raise UnreadError("over range", f"'{clean}' is no number; write the end of the range, for example >2000")
    sign = ""
    if match := re.match(r"(>=?|<=?|≥|≤)\s*", clean):
        sign = ">" if match[1][0] in ">≥" else "<"
        clean = clean[match.end() :]
    try:
        number, word = split_number(clean, decimal_mark)
    except CellError as refused:
        raise UnreadError("text", f"'{text.strip()}' is no number: {refused.remedy}") from None
    return Amount(_converted(number, word or unit.strip(), wanted), sign)


def _converted(number: Decimal, given: str, wanted: str) -> float:
    if not wanted:
        if given:
            raise UnreadError("unit", f"this line has no unit; '{given}' was written")
        return float(number)
    if not given:
        raise UnreadError("no unit", f"no unit; this line is in {wanted}")
    family = next(f for f, units in FAMILIES.items() if wanted in units)
    try:
        unit = unit_named(given, family)
    except CellError:
        raise UnreadError("unit", f"'{given}' where {wanted} belongs") from None
    if wanted == "K":
        return float(number) * _KELVIN_DIFFERENCE[unit]
    return Measure(number, unit).to(wanted)
