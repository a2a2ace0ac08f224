"""From a value to what the keypad shows, and back."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from functools import lru_cache

import pint

from binder.inventory.quantities import measure
from binder.inventory.records import Choice, ModelSetting

#: Spellings of units met on keypads and in manuals -> the trade spelling used here.
_UNIT_SPELLINGS = {"sec": "s", "ohm": "Ω", "ohms": "Ω", "r/min": "rpm", "1/min": "rpm", "percent": "%", "HP": "hp"}


@dataclass(frozen=True, slots=True)
class Encoded:
    """A value as the keypad shows it, or why it cannot be shown.

    Parameters
    ----------
    display : str
        Exactly as on the display; '' when `fault` is set.
    text : str
        In words: our word of a choice, or number with unit.
    fault : str
        '', 'range', 'choice', 'unit' or 'not a number'.
    wanted : str
        What was asked for, in the setting's unit, for the finding.
    """

    display: str
    text: str
    fault: str = ""
    wanted: str = ""


@lru_cache(maxsize=4096)
def plain(word: str) -> str:
    """A word without case, hyphens and doubled spaces, so that two spellings can be compared.

    Examples
    --------
    >>> plain("Two_wire  Run") == plain("two-wire run")
    True
    """
    return " ".join(word.casefold().replace("_", " ").replace("-", " ").split())


def printed(key: str) -> str:
    """A word of our vocabulary as it is printed and may be typed.

    Examples
    --------
    >>> printed("run_forward")
    'run forward'
    """
    return key.replace("_", " ")


def unit_of(setting: ModelSetting) -> str:
    """The setting's unit in trade spelling."""
    return _UNIT_SPELLINGS.get(setting.unit, setting.unit)


def find_choice(setting: ModelSetting, value: str) -> Choice | None:
    """The choice that has `value` as our word, else as its code, else as the manual's words.

    Parameters
    ----------
    setting : ModelSetting
    value : str

    Returns
    -------
    Choice or None
    """
    wanted = plain(value)
    for choice in setting.choices:
        if wanted and plain(choice.value) == wanted:
            return choice
    for choice in setting.choices:
        if choice.code == value.strip() or (choice.words and plain(choice.words) == wanted):
            return choice
    return None


def number_in(text: str, *, decimal_mark: str = ".") -> Decimal | None:
    """The number at the start of a display text, without its unit; None when there is none.

    Parameters
    ----------
    text : str
        For example '10.0 s'.
    decimal_mark : str
        '.' or ',' as the Site sheet says.

    Returns
    -------
    Decimal or None

    Examples
    --------
    >>> number_in("10.0 s"), number_in("7,5", decimal_mark=","), number_in("7,5")
    (Decimal('10.0'), Decimal('7.5'), None)
    """
    word = text.strip().split(" ")[0]
    if decimal_mark == ",":
        word = word.replace(",", ".")
    try:
        number = Decimal(word)
    except InvalidOperation:
        return None
    return number if number.is_finite() else None


def on_grid(setting: ModelSetting, amount: Decimal) -> Decimal:
    """The nearest value that the keypad can show; a half step goes away from zero.

    Parameters
    ----------
    setting : ModelSetting
    amount : Decimal
        In the setting's unit.

    Returns
    -------
    Decimal
    """
    step = setting.resolution
    if not step:
        return amount
    return (amount / step).quantize(Decimal(1), ROUND_HALF_UP) * step


def show(setting: ModelSetting, amount: Decimal) -> str:
    """A number with as many decimals as the setting's resolution has.

    Parameters
    ----------
    setting : ModelSetting
    amount : Decimal
        In the setting's unit.

    Returns
    -------
    str

    Examples
    --------
    >>> show(ModelSetting("A", "7", resolution=Decimal("0.1")), Decimal("5"))
    '5.0'
    """
    number = on_grid(setting, amount)
    if setting.resolution:
        exponent = setting.resolution.normalize().as_tuple().exponent
        decimals = max(0, -exponent) if isinstance(exponent, int) else 0
        return f"{number:.{decimals}f}"
    return format(number.normalize(), "f")


def _in_unit(amount: Decimal, unit: str, target: str) -> Decimal | None:
    if unit == target or not unit:
        return amount
    try:
        return Decimal(repr(measure(amount, unit).to(target)))
    except (KeyError, pint.DimensionalityError):
        return None


def encode(setting: ModelSetting, value: Decimal | str, *, unit: str = "") -> Encoded:
    """Turn a value into the setting's display text.

    Parameters
    ----------
    setting : ModelSetting
    value : Decimal or str
        A number in `unit`, or a word of our vocabulary.
    unit : str
        Unit of the number; '' means the setting's own.

    Returns
    -------
    Encoded
        With `fault` set when the setting cannot hold the value; nothing is ever clamped.

    Examples
    --------
    >>> ramp = ModelSetting("A", "7", unit="s", resolution=Decimal("0.1"), maximum=Decimal(600))
    >>> encode(ramp, Decimal("0.5"), unit="min").display
    '30.0'
    >>> encode(ramp, Decimal(20), unit="min").fault
    'range'
    """
    if setting.choices:
        word = value if isinstance(value, str) else format(value.normalize(), "f")
        choice = find_choice(setting, word)
        if choice is None:
            return Encoded("", "", "choice", word)
        return Encoded(choice.code, choice.value)
    if isinstance(value, str):
        number = number_in(value)
        if number is None:
            return Encoded("", "", "not a number", value)
        value = number
    own = unit_of(setting)
    amount = _in_unit(value, unit, own)
    if amount is None:
        return Encoded("", "", "unit", f"{format(value.normalize(), 'f')} {unit}")
    shown = show(setting, amount)
    number = Decimal(shown)
    text = f"{shown} {own}".strip()
    low, high = setting.minimum, setting.maximum
    if (low is not None and number < low) or (high is not None and number > high):
        return Encoded("", "", "range", text)
    return Encoded(shown, text)


def decode(setting: ModelSetting, display: str, *, decimal_mark: str = ".") -> Decimal | str | None:
    """What a display text means: our word of a choice, or the number in the setting's unit.

    Parameters
    ----------
    setting : ModelSetting
    display : str
    decimal_mark : str

    Returns
    -------
    Decimal, str or None
        None when the text is neither a choice of this setting nor a number.
    """
    if setting.choices:
        for choice in setting.choices:
            if choice.code == display.strip():
                return choice.value or choice.words
        choice_by_word = find_choice(setting, display)
        if choice_by_word is None:
            number = number_in(display, decimal_mark=decimal_mark)
            choice_by_word = next(
                (c for c in setting.choices if number is not None and number_in(c.code) == number), None
            )
        return (choice_by_word.value or choice_by_word.words) if choice_by_word else None
    return number_in(display, decimal_mark=decimal_mark)


def canonical(setting: ModelSetting, text: str, *, decimal_mark: str = ".") -> str:
    """The display text in its one spelling ('50' -> '50.0', 'Terminals' -> '1'); unreadable text unchanged.

    Parameters
    ----------
    setting : ModelSetting
    text : str
    decimal_mark : str

    Returns
    -------
    str
    """
    text = text.strip()
    if not text:
        return ""
    if setting.choices:
        if any(c.code == text for c in setting.choices):
            return text
        word = decode(setting, text, decimal_mark=decimal_mark)
        choice = find_choice(setting, word) if isinstance(word, str) else None
        return choice.code if choice else text
    if setting.resolution is None and setting.minimum is None and setting.maximum is None:
        return text  # codes such as '0042' keep their zeros
    number = number_in(text, decimal_mark=decimal_mark)
    return text if number is None else show(setting, number)


def words_for(setting: ModelSetting, display: str) -> str:
    """Our word of the choice that a display text stands for, as printed ('run forward'); '' for a number."""
    value = decode(setting, display)
    return printed(value) if isinstance(value, str) else ""
