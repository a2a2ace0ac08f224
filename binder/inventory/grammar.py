"""Numbers and units as the trade writes them; exact, and refused where two readings are possible.

No arithmetic, no exponents, no guessing: a cell gives one number with one unit, or is refused
with a code and a remedy.
"""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache

from binder.inventory.cleaning import CellError, fold_quantity, show
from binder.inventory.kinds import CASE_DECIDES, FAMILIES, Kind, family_words, folded, plain, spellings
from binder.inventory.quantities import Measure

_DENOMINATORS = frozenset({2, 3, 4, 8, 16, 32})  # what tape measures and motor plates use
_FRACTION = re.compile(r"([+-]?)(?:([0-9]+)[ -]+)?([0-9]+) ?/ ?([0-9]+)(?![0-9.,/]) ?(.*)", re.DOTALL)
_RUN = re.compile(r"([+-]?)([0-9.,' ]+)(.*)", re.DOTALL)
_PLAIN = re.compile(r"[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+")
_SPACED = re.compile(r"[0-9]{1,3}(?:[ '][0-9]{3})+(?:[.,][0-9]+)?")
_BOTH = re.compile(r"[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]+|[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]+")
_GROUPED = re.compile(r"[0-9]{1,3}(?:,[0-9]{3}){2,}|[0-9]{1,3}(?:\.[0-9]{3}){2,}")
_AMBIGUOUS = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")
_ARITHMETIC = re.compile(r"^\s*[~≈]|[=<>≥≤±^]|\*\*|[0-9)] ?[*+] ?[0-9(]|[0-9] ?[eExX] ?[+-]?[0-9]")
# Families that a bare unit may name where a column takes any measure; kelvin would claim '10K'.
_ANY = tuple(f for f in FAMILIES if f not in {"temperature", "interval", "area"})


@lru_cache(maxsize=8192)
def split_number(text: str, decimal_mark: str = "") -> tuple[Decimal, str]:
    """Split a cell into its number and what follows.

    Parameters
    ----------
    text : str
        The cell.
    decimal_mark : str
        '.' or ',' as the Site sheet says, '' where it does not.

    Returns
    -------
    tuple of Decimal and str
        The number, exact (thirds to 28 figures), and the rest without outer spaces.

    Raises
    ------
    CellError
        There is no number, or it has two readings.

    Examples
    --------
    >>> split_number("7 1/2 hp")
    (Decimal('7.5'), 'hp')
    >>> split_number("1 200,5 m")
    (Decimal('1200.5'), 'm')
    """
    if text.lstrip().startswith("="):
        raise CellError("B107", show(text), "", "Format the cell as a number and type the number.")
    bare = re.sub(r"min\s*\^\s*-\s*1|m\^[23]|ft\^[23]", "", text)
    if _ARITHMETIC.search(bare):
        raise CellError("B105", show(text), "", "Type one number, worked out, without signs of arithmetic.")
    clean = re.sub(r"(?<=[0-9] )1 ?/ ?min\b", "/min", fold_quantity(text))
    fraction = _FRACTION.fullmatch(clean)
    if fraction is not None:
        return _fraction(fraction, text)
    run = _RUN.fullmatch(clean)
    if run is None or not re.search(r"[0-9]", run[2]):
        raise CellError("B100", show(text), "", "Type a number; a remark belongs in the remark column.")
    sign, digits, rest = run.groups()
    if digits.rstrip().endswith("'"):  # feet, not a thousands mark
        cut = digits.rstrip().rindex("'")
        digits, rest = digits[:cut], digits[cut:].strip() + rest
    number = parse_decimal(digits.strip(), decimal_mark)
    return (-number if sign == "-" else number), rest.strip()


def _fraction(match: re.Match[str], text: str) -> tuple[Decimal, str]:
    sign, whole, above, below, rest = match.groups()
    if int(below) not in _DENOMINATORS or int(above) >= int(below):
        raise CellError("B106", show(text), "", "Type the one value that is meant here.")
    number = Decimal(whole or 0) + Decimal(above) / Decimal(below)
    return (-number if sign == "-" else number), rest.strip()


def parse_decimal(digits: str, decimal_mark: str = "") -> Decimal:
    """Return the number that figures and separators mean.

    Parameters
    ----------
    digits : str
        Figures, points, commas, apostrophes, spaces.
    decimal_mark : str
        '.', ',' or '' where it is not declared.

    Raises
    ------
    CellError
        They mean no number, or two.

    Examples
    --------
    >>> parse_decimal("1.234,5")
    Decimal('1234.5')
    >>> parse_decimal("1,800", ".")
    Decimal('1800')
    """
    if _AMBIGUOUS.fullmatch(digits):
        mark = "," if "," in digits else "."
        if not decimal_mark:
            one, other = digits.replace(mark, ""), digits.replace(mark, ".").rstrip("0").rstrip(".")
            remedy = "Type one of the two, or fill Decimal mark on the Site sheet."
            raise CellError("B101", digits, f"{one} or {other}", remedy)
        return Decimal(digits.replace(mark, "." if mark == decimal_mark else ""))
    if _PLAIN.fullmatch(digits):
        return Decimal(digits.replace(",", "."))
    if _SPACED.fullmatch(digits):
        return Decimal(digits.replace(" ", "").replace("'", "").replace(",", "."))
    if _BOTH.fullmatch(digits):
        last = max(digits.rindex("."), digits.rindex(","))
        return Decimal(re.sub(r"[.,]", "", digits[:last]) + "." + digits[last + 1 :])
    if _GROUPED.fullmatch(digits):
        return Decimal(re.sub(r"[.,]", "", digits))
    if not re.search(r"[0-9]", digits):
        raise CellError("B100", digits, "", "Type a number; a remark belongs in the remark column.")
    raise CellError("B103", digits, "", "Type the number again with one decimal mark and no other separator.")


@lru_cache(maxsize=4096)
def unit_named(word: str, family: str) -> str:
    """Return the unit that a word means within a family.

    Parameters
    ----------
    word : str
        As typed.
    family : str
        Key of `kinds.FAMILIES`, or 'any'.

    Raises
    ------
    CellError
        The word is a unit of something else (B110), no unit (B111), or its case decides (B112).

    Examples
    --------
    >>> unit_named("HP", "power"), unit_named("Amps", "current")
    ('hp', 'A')
    """
    units = _meanings(word, _ANY if family == "any" else (family,))
    if len(units) == 1:
        unit = next(iter(units))
        by_case = unit in CASE_DECIDES and plain(word).casefold() == plain(unit).casefold()
        if not by_case or plain(word)[0] == unit[0]:
            return unit
    if units:
        other = {u for unit in units for u in (unit, _swapped(unit))}
        raise CellError("B112", word, " or ".join(sorted(other)), "Type the unit again; its first letter decides.")
    elsewhere = sorted({f for f in FAMILIES if _meanings(word, (f,))})
    if elsewhere and family != "any":
        what = " or ".join(family_words(f) for f in elsewhere)
        raise CellError("B110", f"{word} ({what})", "", f"This cell takes a {family_words(family)}; type that.")
    if re.search(r"[0-9]", word) or re.match(r"(-|/|to\b|\.\.|or\b|and\b)", word):
        raise CellError("B106", word, "", "Type the one value that is meant here.")
    raise CellError("B111", word, "", "Type the number and one of the units.")


def _swapped(unit: str) -> str:
    return (unit[0].upper() if unit[0].islower() else unit[0].lower()) + unit[1:]


def _meanings(word: str, families: tuple[str, ...]) -> set[str]:
    token = plain(word).replace("⋅", "·").replace("•", "·").replace("∙", "·")
    exact = {spellings(f)[token] for f in families if token in spellings(f)}
    if exact:
        return exact
    lower = token.casefold().replace("\u03bc", "µ")
    return {unit for f in families for unit in folded(f).get(lower, ())}


def parse_measure(text: str, kind: Kind, *, unit: str = "", decimal_mark: str = "") -> Measure:
    """Return the measured value that a cell means.

    Parameters
    ----------
    text : str
        The cell.
    kind : Kind
        Its family decides which units are legal.
    unit : str
        Unit of the heading, taken where the cell names none.
    decimal_mark : str
        '.', ',' or '' where it is not declared.

    Returns
    -------
    Measure
        In the unit that was typed.

    Raises
    ------
    CellError

    Examples
    --------
    >>> from binder.inventory.kinds import KINDS
    >>> str(parse_measure("9,2kW", KINDS["power"])), str(parse_measure("2-1/4 HP", KINDS["power"]))
    ('9.2 kW', '2.25 hp')
    """
    number, word = split_number(text, decimal_mark)
    if word:
        try:
            return Measure(number, unit_named(word, kind.family or "any"))
        except CellError as refused:
            raise CellError(refused.code, show(text), refused.accepted, refused.remedy) from None
    if not unit:
        raise CellError("B111", f"{show(text)} without a unit", "", "Type the number and its unit.")
    return Measure(number, unit)
