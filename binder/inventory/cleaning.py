"""Typed text made comparable: widths, dashes, spaces and hidden characters, and what is refused."""

from __future__ import annotations

import re
import unicodedata

from binder.errors import BinderError

_FRACTIONS = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip
_DASHES = dict.fromkeys(map(ord, "\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe58\ufe63\uff0d"), "-")
_PRIMES = str.maketrans(
    {"\u2032": "'", "\u2019": "'", "\u2018": "'", "\u2033": '"', "\u201c": '"', "\u201d": '"', "º": "°"}
)
#: Full-width letters, figures and signs -> the usual ones.
_WIDE = {wide: wide - 0xFEE0 for wide in range(0xFF01, 0xFF5F)}
_BIDI = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_RAISED = "⁰¹²³⁴⁵⁶⁷⁸⁹"
#: Letters of other alphabets that look like Latin ones (Unicode confusables, the usual ones).
_LOOKALIKE = {
    **dict(zip("АВЕЅІЈКМНОРСТУХЗ", "ABESIJKMHOPCTYX3", strict=True)),
    **dict(zip("аеіјорсухѕ", "aeijopcyxs", strict=True)),
    **dict(zip("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", "ABEZHIKMNOPTYX", strict=True)),
    **dict(zip("οινυ", "oivu", strict=True)),
}  # fmt: skip


class CellError(BinderError, ValueError):
    """A cell that is not taken, in the words of a finding.

    Parameters
    ----------
    code, found, accepted, remedy : str
        As in `findings.Finding`.
    """

    def __init__(self, code: str, found: str = "", accepted: str = "", remedy: str = "") -> None:
        super().__init__(code, remedy)
        self.args = (code, found, accepted, remedy)  # what pickle rebuilds it from
        self.code = code
        self.found = found
        self.accepted = accepted
        self.remedy = remedy

    def __str__(self) -> str:
        return f"{self.code} {self.found}: {self.remedy}"


def show(text: str, *, limit: int = 80) -> str:
    """Return text as a finding prints it: hidden characters spelled, long text cut.

    Examples
    --------
    >>> show("P-3\\u200b12")
    'P-3<U+200B>12'
    """
    spelled = "".join(c if _printable(c) else f"<U+{ord(c):04X}>" for c in text[: limit + 1])
    return spelled if len(text) <= limit else f"{spelled[:limit]}... ({len(text)} characters)"


def _printable(char: str) -> bool:
    if char == " ":
        return True
    return unicodedata.category(char)[0] not in "CZ"


def has_hidden(text: str) -> bool:
    """Return whether format characters such as a zero-width space stand in the text."""
    return any(unicodedata.category(c) == "Cf" for c in text)


def check_characters(text: str, *, lines: bool = False) -> None:
    """Refuse control characters and text-direction overrides.

    Parameters
    ----------
    text : str
    lines : bool
        Line breaks and tabs are allowed.

    Raises
    ------
    CellError
    """
    if text.isascii() and text.isprintable():
        return
    for place, char in enumerate(text, start=1):
        if char in _BIDI:
            raise CellError(
                "B142",
                f"{show(text)} (character {place} changes the direction of the text)",
                "text without direction marks",
                "Type it again; do not paste it.",
            )
        if unicodedata.category(char) in {"Cc", "Cs", "Co", "Cn"} and not (lines and char in "\n\t\r"):
            raise CellError(
                "B141",
                f"{show(text)} (character {place} is a control character)",
                "letters, figures and signs",
                "Type it again; do not paste it.",
            )


def fold_text(text: str, *, lines: bool = False) -> str:
    """Return text in one spelling: compatible widths, one kind of dash and space, nothing hidden.

    Examples
    --------
    >>> fold_text(" Ｐ\\u20113\\u00a0 12 ")
    'P-3 12'
    """
    if not text.isascii():  # in plain letters nothing is hidden and nothing has a second spelling
        text = unicodedata.normalize("NFKC", text.translate(_DASHES)).translate(_DASHES)
        text = "".join(c for c in text if unicodedata.category(c) != "Cf")
    return _single_spaced(text, lines=lines)


def _single_spaced(text: str, *, lines: bool) -> str:
    if lines and not text.isprintable():
        rows = (" ".join(row.split()) for row in text.replace("\r\n", "\n").replace("\r", "\n").split("\n"))
        return "\n".join(rows).strip()
    return " ".join(text.split())


def fold_dashes(text: str) -> str:
    """Return text with every kind of dash as '-'."""
    return text.translate(_DASHES)


def plain_text(text: str, *, lines: bool = False) -> str:
    """Return words as typed, without outer spaces, doubled spaces and hidden characters.

    Signs such as ² and ½ stay what they are.
    """
    if not text.isascii():
        text = unicodedata.normalize("NFC", text.translate(_WIDE))
        text = "".join(c for c in text if unicodedata.category(c) != "Cf" or c in "\u200c\u200d")
    return _single_spaced(text, lines=lines)


def fold_quantity(text: str) -> str:
    """Return the text of a number cell in one spelling.

    Raises
    ------
    CellError
        A raised figure or star follows the number: a footnote mark.

    Examples
    --------
    >>> fold_quantity("2¼ hp")
    '2 1/4 hp'
    """
    for sign, words in _FRACTIONS.items():
        text = text.replace(sign, f" {words}")
    text = re.sub(r"(?i)min\s*[⁻−-]\s*[¹1]\b|min\s*⁻¹", "min-1", text)
    if re.search(rf"[0-9.,]\s*[{_RAISED}†‡*]", text):
        raise CellError("B104", show(text), "", "Take the footnote mark away; write the note in a remark.")
    return fold_text(text.translate(_PRIMES)).translate(_PRIMES)


def look_alike(text: str) -> str:
    """Return which letter of another alphabet stands in the text as if it were Latin, else ''.

    Examples
    --------
    >>> look_alike("\\u0420-12")
    'character 1 is CYRILLIC CAPITAL LETTER ER, not P'
    """
    letters = [c for c in text if c.isalpha()]
    others = [c for c in letters if not c.isascii() and unicodedata.name(c, "").split(" ")[0] in {"CYRILLIC", "GREEK"}]
    strange = [c for c in others if c in _LOOKALIKE]
    latin = any(c.isascii() or unicodedata.name(c, "").startswith("LATIN") for c in letters)
    if not strange or not (latin or len(strange) == len(others) == len(letters)):
        return ""
    char = strange[0]
    return f"character {text.index(char) + 1} is {unicodedata.name(char)}, not {_LOOKALIKE[char]}"


def has_pictograph(text: str) -> bool:
    """Return whether an emoji or another picture sign stands in the text."""
    return any(ord(c) >= 0x1F000 or (ord(c) > 0x2000 and unicodedata.category(c) == "So") for c in text)


def skeleton(tag: str) -> str:
    """Return a tag with the letters that look like figures turned into them.

    Examples
    --------
    >>> skeleton("P-1O1") == skeleton("P-101")
    True
    """
    return tag.casefold().translate(str.maketrans("oil", "011"))
