"""Every finding code of the workbook, its grade and what it means. Codes are never given another meaning."""

from __future__ import annotations

from binder.inventory.findings import Grade

_STOP, _CAUTION, _NOTE = Grade.STOP, Grade.CAUTION, Grade.NOTE

#: Code -> grade, title.
CODES: dict[str, tuple[Grade, str]] = {
    # a number
    "B100": (_STOP, "no number"),
    "B101": (_STOP, "a separator with two readings"),
    "B102": (_NOTE, "of a pair of voltages the line-to-line one is taken"),
    "B103": (_STOP, "separators that make no number"),
    "B104": (_STOP, "a footnote mark"),
    "B105": (_STOP, "arithmetic, exponent or comparison in a cell"),
    "B106": (_STOP, "more than one value"),
    "B107": (_STOP, "a formula typed as text"),
    "B108": (_STOP, "a date where none belongs"),
    "B109": (_STOP, "a time where none belongs"),
    "B110": (_STOP, "a unit of something else"),
    "B111": (_STOP, "unit missing or unknown"),
    "B112": (_STOP, "a unit whose case decides"),
    "B113": (_STOP, "conductor size without unit"),
    "B114": (_STOP, "out of range"),
    "B115": (_NOTE, "another unit than the heading"),
    "B116": (_STOP, "yes or no where none belongs"),
    "B117": (_STOP, "a fraction or a percentage"),
    "B118": (_CAUTION, "a usual number, but in another unit"),
    "B119": (_STOP, "no such conductor size"),
    # a word
    "B120": (_STOP, "required cell is blank"),
    "B121": (_STOP, "not one of the choices"),
    "B122": (_STOP, "a name that is not listed"),
    "B123": (_NOTE, "open item"),
    "B124": (_STOP, "neither yes nor no"),
    "B125": (_STOP, "no date"),
    "B126": (_STOP, "a date with two readings"),
    "B127": (_STOP, "a day number instead of a date"),
    "B128": (_STOP, "a date out of time"),
    "B130": (_STOP, "a number where zeros count"),
    "B131": (_STOP, "a number too long for a spreadsheet program"),
    "B132": (_STOP, "text too long"),
    "B133": (_NOTE, "a number typed as number where zeros may count"),
    "B134": (_STOP, "a list of choices that cannot be read"),
    "B135": (_STOP, "a ditto mark"),
    "B136": (_STOP, "a file outside the project folder"),
    "B137": (_STOP, "no IP address"),
    "B140": (_NOTE, "a hidden character was left out"),
    "B141": (_STOP, "a control character"),
    "B142": (_STOP, "a character that turns the direction of text"),
    "B143": (_STOP, "a letter of another alphabet"),
    "B144": (_STOP, "a picture sign in a tag"),
    # a row
    "B150": (_STOP, "the same name twice"),
    "B151": (_STOP, "two names that differ in case only"),
    "B152": (_CAUTION, "two names that look alike"),
    "B153": (_CAUTION, "the same row key twice"),
    "B154": (_STOP, "a row without its name"),
    "B155": (_STOP, "a heading or total among the rows"),
    "B156": (_NOTE, "a second heading row was passed over"),
    "B157": (_STOP, "cells merged downward"),
    "B158": (_STOP, "cells merged across"),
    "B160": (_STOP, "a formula without a result"),
    "B161": (_NOTE, "formulas are read by their last result"),
    "B162": (_STOP, "an error value"),
    "B163": (_CAUTION, "a value from another workbook"),
    "B164": (_STOP, "text that became a formula"),
    # a sheet
    "B170": (_NOTE, "a column of your own"),
    "B171": (_STOP, "a required column is missing"),
    "B172": (_STOP, "the same heading twice"),
    "B173": (_STOP, "a heading that is nearly known"),
    "B174": (_STOP, "a heading with an unknown unit"),
    "B175": (_STOP, "a required sheet is missing"),
    "B176": (_STOP, "two sheets of one meaning"),
    "B177": (_NOTE, "a sheet of your own"),
    "B178": (_NOTE, "hidden rows are read"),
    "B179": (_NOTE, "a hidden sheet is read"),
    "B180": (_STOP, "no heading row"),
    "B181": (_NOTE, "an item of your own on the Site sheet"),
    "B182": (_NOTE, "formats far below the last row"),
    "B183": (_STOP, "made by a newer version of the tool"),
    "B184": (_NOTE, "made by an older version of the tool"),
    # the file
    "B185": (_NOTE, "macros are not used"),
    "B189": (_CAUTION, "saved while it was read"),
    "B190": (_STOP, "no workbook"),
    "B191": (_STOP, "damaged file"),
    "B192": (_STOP, "password"),
    "B193": (_STOP, "old binary workbook"),
    "B194": (_STOP, "OpenDocument spreadsheet"),
    "B195": (_STOP, "text file"),
    "B196": (_STOP, "web page or XML named as workbook"),
    "B197": (_STOP, "too large when unpacked"),
    "B198": (_STOP, "a document type declaration"),
    "B199": (_NOTE, "the workbook is open"),
    # what does not fit together
    "B201": (_STOP, "speed and frequency of a plate do not fit"),
    "B202": (_STOP, "poles do not fit speed and frequency"),
    "B203": (_STOP, "lowest above highest"),
    "B204": (_CAUTION, "given alone, but used only together"),
    "B205": (_CAUTION, "one motor on two drives"),
    "B206": (_NOTE, "a date after the issue date"),
    "B207": (_CAUTION, "end before start"),
    "B208": (_CAUTION, "initials of nobody"),
    "B209": (_STOP, "an address twice on one network"),
    "B210": (_CAUTION, "a waiver that waives nothing"),
    "B211": (_STOP, "a name that refers to its own former name"),
    "B213": (_CAUTION, "the value connected is not on the plate"),
    "B214": (_NOTE, "nothing refers to it"),
    "B215": (_CAUTION, "a model that is here already"),
}  # fmt: skip


def grade_of(code: str) -> Grade:
    """Return how much a code matters."""
    return CODES[code][0]


def title_of(code: str) -> str:
    """Return a code's meaning in a few words."""
    return CODES[code][1]
