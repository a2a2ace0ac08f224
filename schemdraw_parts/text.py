"""Widths of text without a font engine: exact for the table's characters, on the safe side for others."""

from __future__ import annotations

import math
import re
from functools import lru_cache

from schemdraw_parts import widths

#: Width in thousandths of a character that is in neither table: full-width signs fill the em square.
_UNKNOWN = 1000

_FAMILIES = {
    ("Liberation Sans", False): dict(zip(widths.CHARACTERS, widths.LIBERATION, strict=True)),
    ("Liberation Sans", True): dict(zip(widths.CHARACTERS, widths.LIBERATION_BOLD, strict=True)),
    ("DejaVu Sans", False): dict(zip(widths.CHARACTERS, widths.DEJAVU, strict=True)),
    ("DejaVu Sans", True): dict(zip(widths.CHARACTERS, widths.DEJAVU_BOLD, strict=True)),
}
_WIDEST = {
    bold: {
        c: max(_FAMILIES["Liberation Sans", bold][c], _FAMILIES["DejaVu Sans", bold][c]) for c in widths.CHARACTERS
    }
    for bold in (False, True)
}
# Signs that XML 1.0 cannot hold at all, and line ends.
_UNPRINTABLE = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]+")


@lru_cache(maxsize=20_000)
def width(text: str, size: float, *, bold: bool = False, family: str = "") -> float:
    """Return the width of one line of text.

    Parameters
    ----------
    text : str
    size : float
        Type size. [mm]
    bold : bool
    family : str
        'Liberation Sans' or 'DejaVu Sans'; '' takes the wider of the two, character by character.

    Returns
    -------
    float
        Advance width. [mm]

    Examples
    --------
    >>> round(width("102 BU 0.75", 10, family="Liberation Sans"), 2)
    55.59
    """
    table = _FAMILIES[family, bold] if family else _WIDEST[bold]
    return math.fsum(table.get(c, _UNKNOWN) for c in text) * size / 1000


def printable(text: str) -> str:
    """Return the text as one printable line: control characters become single spaces.

    Examples
    --------
    >>> printable("Start\\n& stop")
    'Start & stop'
    """
    return _UNPRINTABLE.sub(" ", text).strip()


def fit(text: str, room: float, size: float, *, bold: bool = False) -> str:
    """Cut a line with an ellipsis so that it is no wider than `room`.

    Examples
    --------
    >>> fit("Freeze protection thermostat", 20, 2.5)
    'Freeze protec…'
    """
    text = printable(text)
    return text if width(text, size, bold=bold) <= room else _cut(text, room, size, "…", bold=bold)


def _cut(text: str, room: float, size: float, end: str, *, bold: bool = False) -> str:
    while text and width(text + end, size, bold=bold) > room:
        text = text[:-1].rstrip()
    return text + end


def wrap(text: str, room: float, size: float, *, lines: int = 3) -> list[str]:
    """Break text at spaces into at most `lines` lines no wider than `room`; the rest is cut.

    Examples
    --------
    >>> wrap("Freeze protection thermostat", 25, 2.5)
    ['Freeze protection', 'thermostat']
    """
    done: list[str] = []
    words = [word for word in printable(text).split(" ") if word]  # no-break spaces hold
    while words and len(done) < lines:
        line = words.pop(0)
        while words and width(f"{line} {words[0]}", size) <= room:
            line = f"{line} {words.pop(0)}"
        if words and len(done) == lines - 1:
            line = f"{line} {' '.join(words)}"
            words = []
        done.append(fit(line, room, size))
    return done


class Notes:
    """Numbered notes of one sheet: words too long for their place are cut there and stand whole at the foot.

    Attributes
    ----------
    texts : list of str
        The whole texts in the order of their numbers, for whoever writes the foot.

    Examples
    --------
    >>> notes = Notes()
    >>> notes.fit("Freeze protection thermostat", 20, 2.5), notes.fit("stop", 20, 2.5)
    ('Freeze pro…[1]', 'stop')
    >>> notes.lines()
    ['[1] Freeze protection thermostat']
    """

    def __init__(self) -> None:
        self.texts: list[str] = []

    def fit(self, text: str, room: float, size: float, *, bold: bool = False) -> str:
        """Return a line no wider than `room`; a cut one ends with the number of its note."""
        text = printable(text)
        if width(text, size, bold=bold) <= room:
            return text
        return _cut(text, room, size, f"…{self.mark(text)}", bold=bold)

    def wrap(self, text: str, room: float, size: float, *, lines: int = 3) -> list[str]:
        """Break text at spaces as `wrap` does; the last line of a cut text ends with the number of its note."""
        whole = " ".join(word for word in printable(text).split(" ") if word)
        made = wrap(text, room, size, lines=lines)
        if " ".join(made) != whole:
            made[-1] = _cut(made[-1].rstrip("…"), room, size, f"…{self.mark(whole)}")
        return made

    def mark(self, text: str) -> str:
        """Take a text as a note and return its number as printed, '[1]'."""
        if text not in self.texts:
            self.texts.append(text)
        return f"[{self.texts.index(text) + 1}]"

    def lines(self) -> list[str]:
        """Return the notes as they are printed."""
        return [f"[{n}] {text}" for n, text in enumerate(self.texts, start=1)]
