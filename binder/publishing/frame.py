"""The frame of all sheets of a document: head, title block, watermark and thumb tab, drawn on each as one form.

The typesetter lays it out once, on leading pages that are dropped here. It knows no sheet numbers, since
asking for them would have it lay everything out a second time: words that stand in their places are taken
out of the frame, and numbers written there on each sheet with the signs of the same font.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import takewhile
from typing import Any

import pikepdf

from binder.publishing.streams import shorter, write_packed

#: Addresses of the marks that say that a card begins or ends on their page.
CARD_START, CARD_END = "x-card:start", "x-card:end"

_SIZE_PT = 10.0  # of the words on the leading pages
_SLOT_EM = 7.0  # width of a sheet's number that ends at the right, as in template.typ
_GAP_EM = 0.25
_INK = b"0.1 g"
_FORM, _FONT = "/Frame", "/Number"  # resources of every sheet
# Pages: signs, letters, digits, "0 of 0", "Sheet" and three frames; behind them names of cards, ten points high.
_LEADING = 8

_NUMBER = rb"([-\d.]+)"
_TEXT = re.compile(
    rb"q 1 0 0 -1 " + _NUMBER + b" " + _NUMBER + rb" cm[^\n]*\nBT/(\w+) " + _NUMBER
    + rb" Tf 1 0 0 -1 0 0 Tm\[?<([0-9A-F]*)>\]?T[Jj]\nET\nQ\n"
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Words:
    """A text on a page of its own: its signs, four figures each, and its width in the size of its letters."""

    codes: bytes
    width_em: float


@dataclass(frozen=True, slots=True)
class _Slot:
    """Where something is to be written. [points]"""

    x: float
    y: float
    size: float


@dataclass(frozen=True, slots=True)
class _Frame:
    form: Any
    left: Sequence[_Slot]
    right: Sequence[_Slot]
    card: _Slot


class FrameError(Exception):
    """A frame in which no sheet number can be written."""


class Frames:
    """Takes the leading pages from a document, and draws frames on the others.

    Parameters
    ----------
    pdf : Pdf
        As the typesetter made it; loses its leading pages.

    Raises
    ------
    FrameError
        The place of a number cannot be told.
    """

    def __init__(self, pdf: pikepdf.Pdf) -> None:
        self._pdf = pdf
        _, letters, digits, around, sheet, *frames = (pdf.pages[n] for n in range(_LEADING))
        cards = list(takewhile(lambda page: float(page.mediabox[3]) == _SIZE_PT, list(pdf.pages)[_LEADING:]))
        self._letters, self._font = _font(letters), _font(digits)
        self._places = [_words(letters).codes[4 * n :][:4] for n in range(3)]
        self._digits, self._names = _words(digits), [_words(page) for page in cards]
        zero, zeros = self._digits.codes[:4], _words(around)
        self._of = _Words(zeros.codes.removeprefix(zero).removesuffix(zero), zeros.width_em - self._digits.width_em / 5)
        self._sheet = _words(sheet)
        self._first, self._upright, self._landscape = (self._frame(page) for page in frames)
        del pdf.pages[: _LEADING + len(cards)]

    def _frame(self, page: pikepdf.Page) -> _Frame:
        """A leading page as a form, without the letters that only keep places."""
        slots: dict[bytes, list[_Slot]] = {letter: [] for letter in self._places}
        names = {
            name[1:].encode() for name, font in page.resources["/Font"].items() if font.objgen == self._letters.objgen
        }

        def take(text: re.Match[bytes]) -> bytes:
            x, y, font, size, codes = text.groups()
            if font not in names or codes not in slots:
                return text[0]
            slots[codes].append(_Slot(float(x), float(y), float(size)))
            return b""

        content = _TEXT.sub(take, shorter(page.obj.Contents.read_bytes()))
        if any(b"/%s " % name in content for name in names):
            raise FrameError("what sheet() gives can be neither turned nor stretched, and no text be set in Arimo")
        form = self._pdf.make_indirect(page.as_form_xobject())
        write_packed(form, content)
        left, right, (card,) = slots.values()
        return _Frame(form, left, right, card)

    def draw(self, marks: Sequence[tuple[int, str]]) -> None:
        """Draw the frame of every page below what stands on it, and write in it.

        Parameters
        ----------
        marks : sequence of (int, str)
            Where cards begin and end: index of the page and address, in the order of reading.
        """
        starts, ends = ([n for n, what in marks if what == edge] for edge in (CARD_START, CARD_END))
        goes_on = {
            n: (name, self._numbered(n - first + 1, last - first + 1))
            for name, first, last in zip(self._names, starts, ends, strict=True)
            for n in range(first, last + 1)
            if last > first
        }
        for n, page in enumerate(self._pdf.pages):
            across, high = (float(edge) for edge in page.mediabox[2:])
            turned = self._landscape if across > high else self._upright
            self._draw(page, turned if n else self._first, self._numbered(n + 1, len(self._pdf.pages)), goes_on.get(n))

    def _draw(self, page: pikepdf.Page, frame: _Frame, sheet: _Words, card: tuple[_Words, _Words] | None) -> None:
        page.add_resource(frame.form, pikepdf.Name.XObject, pikepdf.Name(_FORM))
        page.add_resource(self._font, pikepdf.Name.Font, pikepdf.Name(_FONT))
        drawn = [b"q %s Do Q\n/Artifact BMC\n%s\n" % (_FORM.encode(), _INK)]
        drawn += [_shown(sheet, slot, 0) for slot in frame.left]
        before = _SLOT_EM - sheet.width_em
        for slot in frame.right:
            drawn += [_shown(self._sheet, slot, before - _GAP_EM - self._sheet.width_em), _shown(sheet, slot, before)]
        if card is not None:
            name, number = card
            drawn += [_shown(name, frame.card, 0), _shown(number, frame.card, name.width_em + _GAP_EM)]
        drawn.append(b"EMC\n")
        write_packed(page.obj.Contents, b"".join(drawn) + shorter(page.obj.Contents.read_bytes()))

    def _numbered(self, number: int, count: int) -> _Words:
        """'3 of 45' in signs of the font."""
        first, last = (b"".join(self._digits.codes[4 * int(d) :][:4] for d in str(n)) for n in (number, count))
        width_em = self._of.width_em + self._digits.width_em / 10 * (len(first + last) / 4)
        return _Words(first + self._of.codes + last, width_em)


def _shown(words: _Words, slot: _Slot, after_em: float) -> bytes:
    x = slot.x + after_em * slot.size
    return b"BT %s %g Tf 1 0 0 1 %.2f %.2f Tm<%s>Tj ET\n" % (_FONT.encode(), slot.size, x, slot.y, words.codes)


def _font(page: pikepdf.Page) -> Any:
    """The one font of a page."""
    (font,) = dict(page.resources["/Font"]).values()
    return font


def _words(page: pikepdf.Page) -> _Words:
    (text,) = _TEXT.finditer(shorter(page.obj.Contents.read_bytes()))
    return _Words(text[5], float(page.mediabox[2]) / _SIZE_PT)
