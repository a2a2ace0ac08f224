"""Cells that hold words: tags, codes, choices, references, lists."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Sequence
from difflib import get_close_matches
from pathlib import PurePosixPath, PureWindowsPath

from binder.inventory.cleaning import (
    CellError,
    check_characters,
    fold_dashes,
    fold_text,
    has_hidden,
    has_pictograph,
    look_alike,
    plain_text,
    show,
)
from binder.inventory.declarations import Column
from binder.inventory.kinds import KINDS
from binder.inventory.records import Choice
from binder.inventory.trade_words import loose, meant_by, question_for

Told = list[CellError]

_LINES = frozenset({"remark", "choice list", "references", "file", "text"})
_AS_SHOWN = frozenset({"display", "reading"})
_NUMBERS_WELCOME = frozenset(
    {"text", "remark", "references", "file", "choice", "word", "plate voltages", "choice list"}
)
_YES, _NO = frozenset({"yes", "y", "true"}), frozenset({"no", "n", "false"})
_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october",
    "november", "december",
)  # fmt: skip


def refuse_characters(text: str) -> None:
    """Refuse hidden direction marks and control characters in a number cell."""
    check_characters(text.strip())


def text_of(value: object, number_format: str, column: Column, told: Told) -> str:
    """Return the words of a cell, whatever type the spreadsheet program gave it.

    Raises
    ------
    CellError
        The type shows that what was typed is lost, or a character is not taken.
    """
    if not isinstance(value, str):
        return _from_other_type(value, number_format, column, told)
    if len(value) > KINDS[column.kind].length:
        limit = KINDS[column.kind].length
        raise CellError("B132", f"{len(value)} characters: {show(value)}", f"up to {limit} characters", "Shorten it.")
    check_characters(value.strip(), lines=column.kind in _LINES)
    return value


def _from_other_type(value: object, number_format: str, column: Column, told: Told) -> str:
    remedy = "Format the cell as text, then type it again."
    if isinstance(value, bool):
        if column.kind in {"yes/no", *_NUMBERS_WELCOME}:
            return "yes" if value else "no"
        raise CellError("B116", f"the yes/no value {'TRUE' if value else 'FALSE'}", "", remedy)
    if isinstance(value, dt.datetime | dt.date):
        if column.kind in {"text", "remark"}:
            return f"{value:%Y-%m-%d}"
        raise CellError("B108", f"the date {value:%Y-%m-%d}", "", remedy)
    if isinstance(value, dt.time | dt.timedelta):
        raise CellError("B109", f"the time {value}", "", remedy)
    assert isinstance(value, int | float)  # the types a workbook can hold end here
    return _from_number(value, number_format, column, told)


def _from_number(value: int | float, number_format: str, column: Column, told: Told) -> str:
    remedy = "Format the cell as text, then type it again."
    if not abs(value) < 1e300:  # infinity and no-number as well
        raise CellError("B114", f"{value}", "", remedy)
    if abs(value) >= 1e15:
        raise CellError("B131", f"the number {value:.0f}", "", f"Figures after the 15th are lost. {remedy}")
    shown = as_shown(value, number_format)
    if column.kind in _AS_SHOWN or column.kind in _NUMBERS_WELCOME:
        return shown
    if value != int(value):
        raise CellError("B130", f"the number {shown}", "", f"Zeros at its end may be lost. {remedy}")
    if column.kind == "setting number":
        told.append(CellError("B133", f"the number {shown}", "", f"Zeros at its beginning would be lost. {remedy}"))
    return shown


def as_shown(value: int | float, number_format: str) -> str:
    """Return a number as its cell shows it where the format fixes the decimals, else shortest.

    Examples
    --------
    >>> as_shown(5, "0.0"), as_shown(2.5, "General"), as_shown(7, "000")
    ('5.0', '2.5', '007')
    """
    match = re.fullmatch(r"(0+)(?:\.(0+))?", number_format)
    if match is not None and value >= 0:
        decimals = len(match[2] or "")
        return f"{value:0{len(match[1]) + (decimals + 1 if decimals else 0)}.{decimals}f}"
    return str(int(value)) if value == int(value) else f"{value:.15g}"


def nearest(word: str, known: Sequence[str], *, cutoff: float = 0.6) -> str:
    """Return the remedy that offers the nearest known word, '' where none is near."""
    by_fold = {k.casefold(): k for k in sorted(known)}
    close = get_close_matches(word.casefold(), list(by_fold), n=1, cutoff=cutoff)
    return f"Is {by_fold[close[0]]} meant? Type it so." if close else ""


def tag_of(text: str, column: Column, told: Told) -> str:
    """Return a tag in one spelling; look-alike letters and picture signs are refused."""
    if has_hidden(text):
        told.append(CellError("B140", show(text), "", "Nothing to do; the hidden character was left out."))
    tag = fold_text(text)
    alike = look_alike(tag)
    if alike:
        raise CellError("B143", f"{show(tag)}: {alike}", "", "Type the tag again on your own keyboard.")
    if has_pictograph(tag):
        raise CellError("B144", show(tag), "", "Type the tag without picture signs.")
    return tag


def _code(text: str, column: Column, told: Told) -> str:
    return plain_text(fold_dashes(text))


def _text(text: str, column: Column, told: Told) -> str:
    return plain_text(text, lines=True)


def _choice(text: str, column: Column, told: Told) -> str:
    typed = plain_text(text)
    for choice in column.choices:
        if typed.casefold() == choice.casefold():
            return choice
    matches = [c for c in column.choices if loose(c) == loose(typed)]
    if len(matches) == 1:
        return matches[0]
    if meant := meant_by(typed, column):
        return meant
    shown = ", ".join(column.choices) if len(column.choices) <= 12 else "one of the Lists sheet"
    # A choice is a word of its own: only a slip of the hand is near enough, not any word with an equal ending.
    offered = question_for(typed, column) or nearest(typed, column.choices, cutoff=0.75) or "Choose one of the list."
    raise CellError("B121", show(text), shown, offered)


def _word(text: str, column: Column, told: Told) -> str:
    """Return the key of a word of ours: 'acceleration time' is held as 'acceleration_time'."""
    return _choice(text, column, told).replace(" ", "_")


def _yes_no(text: str, column: Column, told: Told) -> bool:
    word = plain_text(text).casefold()
    if word in _YES or word in _NO:
        return word in _YES
    raise CellError("B124", show(text), "yes or no", "Type yes or no.")


def split_list(text: str) -> tuple[str, ...]:
    """Return the parts between semicolons, commas or line breaks."""
    return tuple(part for part in (p.strip() for p in re.split(r"[;,\n]", text)) if part)


def _references(text: str, column: Column, told: Told) -> tuple[str, ...]:
    return tuple(dict.fromkeys(tag_of(part, column, told) for part in split_list(text)))


def _choice_list(text: str, column: Column, told: Told) -> tuple[Choice, ...]:
    found: dict[str, Choice] = {}
    for part in re.split(r"[;\n](?![^()]*\))", plain_text(text, lines=True)):
        if not part.strip():
            continue
        match = re.fullmatch(r"\s*([^=]+?)\s*=\s*([^()]*?)\s*(?:\((.*)\))?\s*", part)
        if match is None or not (match[2] or match[3]):
            raise CellError(
                "B134", show(part.strip()), "", "Type the code, =, our word, and the manual's words in brackets."
            )
        code = fold_dashes(match[1])
        if code in found:
            raise CellError("B134", f"the code {show(code)} twice", "", "Give each code once.")
        found[code] = Choice(code, match[2], match[3] or "")
    return tuple(found.values())


def _plate_voltages(text: str, column: Column, told: Told) -> str:
    folded = re.sub(r"\s*(v|vac|volts?)\s*$", "", fold_text(text), flags=re.IGNORECASE)
    parts = [p.strip() for p in re.split(r"[/-]", folded)]
    if not all(re.fullmatch(r"[0-9]{2,5}", p) and 10 <= int(p) <= 40000 for p in parts) or len(parts) > 6:
        raise CellError("B106", show(text), "", "Type the voltages of the plate with / between.")
    return "/".join(parts)


def _ip_address(text: str, column: Column, told: Told) -> str:
    folded = fold_text(text)
    parts = folded.split(".")
    if len(parts) != 4 or not all(re.fullmatch(r"[0-9]{1,3}", p) and int(p) <= 255 for p in parts):
        raise CellError(
            "B137", show(text), "", "Type the four figures with points between; the cell formatted as text."
        )
    return ".".join(str(int(p)) for p in parts)


def _file(text: str, column: Column, told: Told) -> str:
    parts = [p for p in (plain_text(p) for p in re.split(r"[;\n]", text)) if p]
    for part in parts:
        posix, windows = PurePosixPath(part), PureWindowsPath(part)
        outside = ".." in windows.parts or posix.is_absolute() or windows.drive or windows.root or part.startswith("~")
        if outside or "://" in part:
            raise CellError(
                "B136", show(part), "", "Copy the file into the project folder and type its name from there."
            )
    return "; ".join(p.replace("\\", "/") for p in parts)


def date_of(text: str) -> dt.date:
    """Return the date that a text means.

    Raises
    ------
    CellError
        It is no date, or day and month can be exchanged.

    Examples
    --------
    >>> date_of("14 Mar 2026") == date_of("2026-03-14") == date_of("March 14, 2026")
    True
    """
    folded = fold_text(text).casefold()
    if re.fullmatch(r"[0-9]{4}", folded):
        raise CellError("B125", folded, "", f"Type a full date; where only the year is known {folded}-01-01.")
    match = re.fullmatch(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})(?:[ t]0?0:00(?::00)?)?", folded)
    if match is not None:
        return _made(int(match[1]), int(match[2]), int(match[3]), text)
    match = re.fullmatch(r"([0-9]{1,2})[./ -]+([a-z]{3,9})[./ ,-]*([0-9]{4})", folded)
    if match is not None:
        return _made(int(match[3]), _month(match[2], text), int(match[1]), text)
    match = re.fullmatch(r"([a-z]{3,9})[. ]+([0-9]{1,2})(?:st|nd|rd|th)?,? +([0-9]{4})", folded)
    if match is not None:
        return _made(int(match[3]), _month(match[1], text), int(match[2]), text)
    match = re.fullmatch(r"([0-9]{1,2})[./-]([0-9]{1,2})[./-]([0-9]{4})", folded)
    if match is None:
        raise CellError("B125", show(text), "", "Type the date as year-month-day.")
    first, second, year = (int(part) for part in match.groups())
    if first <= 12 and second <= 12 and first != second:
        one, other = _made(year, first, second, text), _made(year, second, first, text)
        raise CellError("B126", show(text), f"{one} or {other}", "Day and month can be exchanged. Type one of the two.")
    return _made(year, second, first, text) if first > 12 else _made(year, first, second, text)


def _month(word: str, text: str) -> int:
    for number, name in enumerate(_MONTHS, start=1):
        if word in {name, name[:3], name[:4]}:
            return number
    raise CellError("B125", show(text), "", "Type the date as year-month-day.")


def _made(year: int, month: int, day: int, text: str) -> dt.date:
    try:
        return dt.date(year, month, day)
    except ValueError:
        raise CellError("B125", show(text), "", "There is no such day. Type the date again.") from None


READERS: dict[str, Callable[[str, Column, Told], object]] = {
    "tag": tag_of,
    "text": _text,
    "remark": _text,
    "code": _code,
    "setting number": _code,
    "display": _code,
    "reading": _code,
    "choice": _choice,
    "word": _word,
    "reference": tag_of,
    "references": _references,
    "yes/no": _yes_no,
    "choice list": _choice_list,
    "plate voltages": _plate_voltages,
    "ip address": _ip_address,
    "file": _file,
}
