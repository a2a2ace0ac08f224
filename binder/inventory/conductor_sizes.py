"""Conductor sizes: AWG, kcmil and mm², never a bare number."""

from __future__ import annotations

import math
import re
from decimal import Decimal

from binder.inventory.cleaning import CellError, fold_quantity, show
from binder.inventory.grammar import parse_decimal
from binder.inventory.records import ConductorSize

#: Nominal sections. [mm²] IEC 60228:2004, table 1 (0.5 to 1000).
IEC_SIZES = (
    "0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "35", "50", "70", "95", "120", "150",
    "185", "240", "300", "400", "500", "630", "800", "1000",
)  # fmt: skip
#: Sections of data cables, smaller than those. [mm²] Common practice, no source.
_DATA_SIZES = ("0.14", "0.25", "0.34")
_AWG_WORDS = {"awg", "ga", "gauge", "gage"}
_KCMIL_WORDS = {"kcmil", "mcm"}
_MM2_WORDS = {"mm2", "mm^2", "sqmm", "mmsq", "mmq", "qmm"}
_SIZE = re.compile(r"(#|no\.? ?)?(awg ?)?(#)?([0-9][0-9.,]*(?:/0)?|[.,][0-9]+) ?([a-z²^2. ]*)")


def parse_conductor(text: str, *, data: bool = False) -> ConductorSize:
    """Return the conductor size that a cell means.

    Parameters
    ----------
    text : str
    data : bool
        True for a core of signals: the sections of data cables count as well, for which no table of power
        cables has a figure.

    Returns
    -------
    ConductorSize
        Label in one spelling, copper area. [mm²]

    Raises
    ------
    CellError
        No unit, several conductors, or no such size.

    Notes
    -----
    AWG n has the diameter 0.127 mm x 92^((36 - n) / 39), n = 0, -1, -2, -3 for 1/0 to 4/0;
    1 kcmil = 0.506707479 mm². A size of mm² is its nominal section.

    Examples
    --------
    >>> parse_conductor("#12").label, round(parse_conductor("12 AWG").area_mm2, 4)
    ('12 AWG', 3.3088)
    >>> parse_conductor("2/0").label, parse_conductor("250MCM").label, parse_conductor("2,5 mm2").label
    ('2/0 AWG', '250 kcmil', '2.5 mm²')

    References
    ----------
    ASTM B258 (definition of the American wire gauge); IEC 60228:2004, table 1.
    """
    clean = fold_quantity(text).casefold()
    match = _SIZE.fullmatch(clean)
    if match is None:
        remedy = "Type the size of one conductor; the number of conductors has its own column."
        raise CellError("B119", show(text), "", remedy)
    digits = match[4]
    word = match[5].replace(" ", "").replace(".", "").replace("²", "2")
    gauge = bool(match[1] or match[2] or match[3]) or digits.endswith("/0")
    if word in _AWG_WORDS or (gauge and not word):
        return _awg(digits, text)
    if gauge:
        raise CellError("B119", show(text), "", "Type the size with one unit.")
    if word in _KCMIL_WORDS:
        return _kcmil(parse_decimal(digits, "."), text)
    if word in _MM2_WORDS:
        return _square_mm(parse_decimal(digits, "."), text, (*_DATA_SIZES, *IEC_SIZES) if data else IEC_SIZES)
    if word:
        raise CellError("B111", show(text), "", "Type the size with AWG, kcmil or mm².")
    raise CellError("B113", f"{show(text)} without a unit", "", f"Type {digits} AWG or {digits} mm².")


def _awg(digits: str, text: str) -> ConductorSize:
    if digits.endswith("/0"):
        aughts = digits[:-2]
        number = 1 - int(aughts) if aughts.isdigit() else -9
    elif re.fullmatch(r"0{1,4}", digits):
        number = 1 - len(digits)
    else:
        number = int(digits) if digits.isdigit() and not digits.startswith("0") else -9
    if not -3 <= number <= 40:
        raise CellError("B119", show(text), "4/0 to 40 AWG", "Type a size that exists.")
    diameter = 0.127 * 92 ** ((36 - number) / 39)
    label = f"{number} AWG" if number > 0 else f"{1 - number}/0 AWG"
    return ConductorSize(label, math.pi / 4 * diameter**2)


def _kcmil(size: Decimal, text: str) -> ConductorSize:
    if not 200 <= size <= 2000:
        raise CellError("B119", show(text), "250 to 2000 kcmil", "Type a size that exists.")
    return ConductorSize(f"{size.normalize():f} kcmil", float(size) * 0.506707479)


def _square_mm(size: Decimal, text: str, known: tuple[str, ...]) -> ConductorSize:
    label = f"{size.normalize():f}"
    if label not in known:
        near = sorted(known, key=lambda s: abs(Decimal(s) - size))[:2]
        raise CellError("B119", show(text), ", ".join(f"{s} mm²" for s in near), f"Is {near[0]} mm² meant?")
    return ConductorSize(f"{label} mm²", float(size))
