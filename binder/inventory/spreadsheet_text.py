"""Texts on their way into spreadsheet programs: the same letters there, and never a formula."""

from __future__ import annotations

import re

#: Longest text of a cell.
LONGEST = 32767
#: Characters that no part of a workbook can hold (XML 1.0, production 2).
FORBIDDEN = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff\ud800-\udfff]")

_ESCAPED = r"(?=x[0-9A-Fa-f]{4}_)"
_SIGNS = "[=+@＝＋－＠-]"
_STARTS = re.compile(rf"^(?={_SIGNS}|[\t\r\n])|(?<=[;\t\r\n])(?={_SIGNS})")


def guarded(text: str, mark: str = "'") -> str:
    """A text of a CSV file that no spreadsheet program takes for a formula or a command.

    Parameters
    ----------
    text : str
    mark : str
        Goes before each sign that begins a formula: at the start, and behind what parts cells in
        programs of other countries, whose quotes end where ours do not.

    Returns
    -------
    str

    Examples
    --------
    >>> guarded("-K1:13"), guarded("K1:13"), guarded("a;=1+1")
    ("'-K1:13", 'K1:13', "a;'=1+1")

    References
    ----------
    OWASP, 'CSV Injection': signs, wide signs, separators; from memory, check. No standard.
    """
    return _STARTS.sub(mark, text)


def clean_text(text: str) -> str:
    """Return a text as a cell or note can hold it: what is forbidden shows as a replacement sign."""
    return FORBIDDEN.sub("\ufffd", text)[:LONGEST]


def escaped(text: str) -> str:
    """Return a text as a part of a workbook spells it, where '_x0041_' would be read as 'A'.

    Examples
    --------
    >>> escaped("AB_x0041_"), unescaped(escaped("AB_x0041_"))
    ('AB_x005F_x0041_', 'AB_x0041_')

    References
    ----------
    ECMA-376 part 1, 22.9.2.19 (ST_Xstring).
    """
    return re.sub(f"_{_ESCAPED}", "_x005F_", text)


def unescaped(text: str) -> str:
    """Undo `escaped`."""
    return re.sub(f"_x005F_{_ESCAPED}", "_", text)
