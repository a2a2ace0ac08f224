"""One cell to one value: a value, a blank, or one reason why not. Never two, never none."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal

from binder.inventory import cells_text as words
from binder.inventory.cleaning import CellError, fold_quantity, plain_text, show
from binder.inventory.conductor_sizes import parse_conductor
from binder.inventory.declarations import Column
from binder.inventory.grammar import parse_measure, split_number
from binder.inventory.kinds import KINDS
from binder.inventory.quantities import Measure
from binder.inventory.ranges import meant_instead, range_of, usual_of

Raw = str | int | float | bool | dt.datetime | dt.date | dt.time | dt.timedelta | None

#: What people type when they do not know yet.
_OPEN = frozenset({"-", "--", "---", "?", "??", "???", "tbd", "tbc", "tba", "n/a", "na", "unknown", "open"})
_WHEN_KNOWN = "Type the value when it is known."
_DITTO = frozenset({'"', "''", "〃", "ditto", "do.", "as above", "same", "same as above", "dto", "dto."})
_NO_REACTOR = frozenset({"none", "no", "no reactor", "not fitted", "without"})
#: '480Y/277', '120/240 V': two voltages of one source, line to line and line to neutral.
_VOLTAGE_PAIR = re.compile(r"(?i)([0-9]{2,5}) ?v? ?y? ?/ ?([0-9]{2,5}) ?v? ?(?:ac)? ?y?")
#: Of the ratio: 480 / 277 is sqrt(3) but for a part in a thousand, 400 / 230 is 0.4 % off. Common practice, no source.
_PAIR_SLACK = 0.02
_SERIAL_DATES = (36526, 55153)  # 2000 to 2050 as day numbers of a spreadsheet program


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell as the workbook holds it.

    Parameters
    ----------
    address : str
        'F12'.
    value : str, number, bool, date, time or None
        The stored value; of a formula its last result.
    number_format : str
    formula : str
        Text of the formula, '' where there is none.
    error : bool
        The value is an error value such as #REF!.
    computed : bool
        A formula with a stored result, be it empty text.
    """

    address: str
    value: Raw = None
    number_format: str = "General"
    formula: str = ""
    error: bool = False
    computed: bool = True


@dataclass(slots=True)
class Context:
    """What the reading of a cell needs besides the cell.

    Parameters
    ----------
    decimal_mark : str
        '.' or ',' as declared, else ''.
    unit : str
        Unit of the heading.
    told : list of CellError
        Notes that do not keep the value from being taken.
    """

    decimal_mark: str = ""
    unit: str = ""
    told: list[CellError] = field(default_factory=list)


def read_cell(cell: Cell, column: Column, context: Context) -> object:
    """Return the value of a cell, or None when it is blank.

    Parameters
    ----------
    cell : Cell
    column : Column
    context : Context
        Its `told` gets the notes.

    Returns
    -------
    object
        What the record's field takes.

    Raises
    ------
    CellError
        The cell is not taken.
    """
    _refuse_formula_trouble(cell)
    if is_blank(cell.value):
        return None
    if isinstance(cell.value, str):
        if _is_open(cell.value, column):
            remedy = "Type none where there is none, else the value." if "none" in column.choices else _WHEN_KNOWN
            context.told.append(CellError("B123", show(cell.value), "", remedy))
            return None
        if cell.value.strip().casefold() in _DITTO:
            raise CellError(
                "B135", show(cell.value), "", "Type the value again; a ditto mark is lost when rows are sorted."
            )
    reader = _READERS.get(column.kind, _measure)
    return reader(cell, column, context)


def is_blank(value: Raw) -> bool:
    """Return whether a cell holds nothing that can be seen."""
    return value is None or (isinstance(value, str) and not plain_text(value, lines=True))


def _is_open(text: str, column: Column) -> bool:
    if column.kind in {"text", "remark", "reading"} or text.strip() in column.choices:
        return False
    return text.strip().casefold() in _OPEN


def _refuse_formula_trouble(cell: Cell) -> None:
    if cell.error:
        if cell.value == "#NAME?" and cell.formula and "(" not in cell.formula:
            raise CellError(
                "B164", f"#NAME? from {show(cell.formula)}", "", "Format the cell as text, then type it again."
            )
        raise CellError("B162", f"the error {cell.value}", "", "Mend or clear the formula, or type the value.")
    if cell.formula and not cell.computed:
        remedy = "Open the workbook in a spreadsheet program, save it, close it; or type the value."
        raise CellError("B160", f"a formula without a result: {show(cell.formula)}", "", remedy)


def _number(cell: Cell, column: Column, context: Context) -> tuple[Decimal, str] | None:
    """Return number and unit of a cell that is no text, or None for text."""
    value = cell.value
    if isinstance(value, bool):
        raise CellError("B116", f"the yes/no value {'TRUE' if value else 'FALSE'}", "", "Type the number.")
    if isinstance(value, dt.datetime | dt.date):
        remedy = "The spreadsheet program turned what was typed into a date. Type it as a decimal number, such as 0.5."
        raise CellError("B108", f"the date {value:%Y-%m-%d}", "", remedy)
    if isinstance(value, dt.time | dt.timedelta):
        remedy = "The spreadsheet program turned what was typed into a time. Format the cell as text and type it again."
        raise CellError("B109", f"the time {value}", "", remedy)
    if isinstance(value, int | float):
        number = exact(value)
        if "%" in cell.number_format:
            return number * 100, "%"
        return number, context.unit
    return None


def exact(value: int | float) -> Decimal:
    """Return the number that a spreadsheet program shows: 15 figures, no binary dust."""
    if isinstance(value, int):
        return Decimal(value)
    text = f"{value:.15g}"
    if not re.fullmatch(r"-?[0-9.]+(e[+-]?[0-9]+)?", text) or abs(value) > 1e300:
        raise CellError("B114", text, "", "Type the number again.")
    return Decimal(text)


def _measure(cell: Cell, column: Column, context: Context) -> Measure:
    kind = KINDS[column.kind]
    typed = _number(cell, column, context)
    if typed is not None:
        number, unit = typed
        if unit == "%" and kind.family != "percent":
            raise CellError(
                "B110", f"{number.normalize():f} % (percentage)", "", "Format the cell as a number and type it again."
            )
        if not unit:
            raise CellError("B111", f"{number.normalize():f} without a unit", "", "Type the number and its unit.")
        value = Measure(number, unit)
        named = "%" in cell.number_format
    else:
        text = str(cell.value)
        words.refuse_characters(text)
        try:
            value = parse_measure(text, kind, unit=context.unit, decimal_mark=context.decimal_mark)
        except CellError as refused:
            if refused.code != "B106":
                raise
            raise CellError("B106", refused.found, "", f"{refused.remedy} {column.help}".strip()) from None
        named = bool(split_number(text, context.decimal_mark)[1])
        if named and context.unit and value.unit != context.unit:
            context.told.append(CellError("B115", show(text)))
    if kind.name in {"percent", "reactor"} and not named and 0 < value.amount < 1:
        low, high = _percent_readings(value.amount)
        raise CellError("B117", str(value.amount), f"{high} or {low}", "Type the value with its % sign.")
    _check_range(value, column)
    _check_usual(value, column, context)
    return value


def _reactor(cell: Cell, column: Column, context: Context) -> Measure:
    if isinstance(cell.value, str) and cell.value.strip().casefold() in _NO_REACTOR:
        return Measure(Decimal(0), "%")
    return _measure(cell, column, context)


def _system_voltage(cell: Cell, column: Column, context: Context) -> Measure:
    """Of '480Y/277' and '120/240' take the line-to-line voltage: the larger one (ANSI C84.1, from memory, check)."""
    pair = _VOLTAGE_PAIR.fullmatch(fold_quantity(cell.value)) if isinstance(cell.value, str) else None
    if pair is not None:
        high, low = sorted((int(pair[1]), int(pair[2])), reverse=True)
        if any(abs(high / low / ratio - 1) <= _PAIR_SLACK for ratio in (math.sqrt(3), 2.0)):
            value = Measure(Decimal(high), "V")
            _check_range(value, column)
            remedy = "Nothing to do where this is the voltage from line to line."
            context.told.append(CellError("B102", f"{show(str(cell.value))}: {value} taken", "", remedy))
            return value
    return _measure(cell, column, context)


def _check_usual(value: Measure, column: Column, context: Context) -> None:
    """Tell a value far from the usual where the same number in another unit would be usual."""
    usual = usual_of(column)
    if usual is None or usual[0].to(value.unit) <= float(value.amount) <= usual[1].to(value.unit):
        return
    meant = meant_instead(value, *usual)
    if meant:
        offered = " or ".join(str(m) for m in meant)
        remedy = f"Is {offered} meant? Type it with its unit; if {value} is right, let it stand."
        told = f"usually {usual[0]} to {usual[1]} (common practice, no source)"
        context.told.append(CellError("B118", str(value), told, remedy))


def _percent_readings(amount: Decimal) -> tuple[str, str]:
    return f"{amount.normalize():f} %", f"{(amount * 100).normalize():f} %"


def _check_range(value: Measure, column: Column) -> None:
    low, high = range_of(column)
    slack = 1e-9  # converted bounds are rounded; a typed bound itself is legal
    if low is not None and value.to(low.unit) < float(low.amount) - slack * abs(float(low.amount)):
        raise _out_of_range(value, low, high)
    if high is not None and value.to(high.unit) > float(high.amount) * (1 + slack):
        raise _out_of_range(value, low, high)


def _out_of_range(value: Measure, low: Measure | None, high: Measure | None) -> CellError:
    bounds = f"{low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}"
    remedy = "Type the value again; check its decimal mark and its unit."
    meant = meant_instead(value, low, high)
    if meant:
        remedy = f"Is {' or '.join(str(m) for m in meant)} meant? Type the value with its unit."
    day = value.amount
    if value.unit == "%" and low is not None and 0 < day < low.amount <= day * 100:
        remedy = f"Is {(day * 100).normalize():f} % meant?"
    elif not meant and day == int(day) and _SERIAL_DATES[0] <= day <= _SERIAL_DATES[1]:
        remedy = (
            "This may be a date that the spreadsheet program made of a fraction. Type a decimal number, such as 0.5."
        )
    return CellError("B114", str(value), bounds, remedy)


def _plain_number(cell: Cell, column: Column, context: Context, *, words_after: str = "") -> Decimal:
    typed = _number(cell, column, context)
    if typed is not None:
        if typed[1] == "%":
            raise CellError(
                "B110", f"{typed[0].normalize():f} % (percentage)", "", "Format the cell as a number, type it again."
            )
        return typed[0]
    text = str(cell.value)
    words.refuse_characters(text)
    number, rest = split_number(text, context.decimal_mark)
    if rest and not re.fullmatch(words_after or r"(?!)", rest.casefold()):
        code = "B106" if re.search("[0-9]", rest) else "B110"
        raise CellError(code, show(text), "", "Type the number alone.")
    return number


def _decimal(cell: Cell, column: Column, context: Context) -> Decimal:
    number = _plain_number(cell, column, context)
    _check_range(Measure(number, ""), column)
    return number


def _power_factor(cell: Cell, column: Column, context: Context) -> Decimal:
    typed = _number(cell, column, context)
    if typed is not None:
        number = typed[0] / 100 if typed[1] == "%" else typed[0]
    else:
        words.refuse_characters(str(cell.value))
        number, rest = split_number(str(cell.value), context.decimal_mark)
        if rest == "%":
            number /= 100
        elif rest:
            raise CellError("B110", show(str(cell.value)), "", "Type the number alone.")
    if not Decimal("0.1") <= number <= 1:
        remedy = (
            f"Is {(number / 100).normalize():f} meant?"
            if 10 <= number <= 100
            else "Type the power factor of the plate."
        )
        raise CellError("B114", f"{number.normalize():f}", "0.1 to 1", remedy)
    return number


_COUNT_WORDS = {"poles": r"-?\s*(p|pole|poles|pol)", "phases": r"-?\s*(ph|phase|phases|ø|φ|~)"}


def _count(cell: Cell, column: Column, context: Context) -> int:
    number = _plain_number(cell, column, context, words_after=_COUNT_WORDS.get(column.kind, ""))
    low, high = range_of(column)
    if number != int(number):
        raise CellError("B114", f"{number.normalize():f}", "", "Type a whole number.")
    whole = int(number)
    if (low and whole < low.amount) or (high and whole > high.amount):
        raise CellError("B114", str(whole), f"{low} to {high}", "Type the number again.")
    if column.kind == "poles" and whole % 2:
        raise CellError(
            "B114", str(whole), "an even number: 2, 4, 6 ...", "Type the number of poles, not of pole pairs."
        )
    if column.kind == "phases" and whole == 2:
        raise CellError("B114", "2", "3 or 1", "Two lines of a supply are one phase here: type 1.")
    return whole


def _ratio(cell: Cell, column: Column, context: Context) -> Decimal:
    if isinstance(cell.value, str):
        words.refuse_characters(cell.value)
        match = re.fullmatch(r"(.+?)\s*:\s*(.+)", fold_quantity(cell.value))
        if match is not None:
            above, below = (_ratio_part(part, context, cell.value) for part in match.groups())
            if below != 1:
                raise CellError(
                    "B106", show(cell.value), "20 or 20:1", "Type motor rpm over machine rpm as one number."
                )
            _check_range(Measure(above, ""), column)
            return above
    return _decimal(cell, column, context)


def _ratio_part(text: str, context: Context, whole: str) -> Decimal:
    number, rest = split_number(text, context.decimal_mark)
    if rest:
        raise CellError("B106", show(whole), "20 or 20:1", "Type motor rpm over machine rpm as one number.")
    return number


def _conductor(cell: Cell, column: Column, context: Context) -> object:
    typed = _number(cell, column, context)
    if typed is not None:
        digits = f"{typed[0].normalize():f}"
        raise CellError("B113", f"{digits} without a unit", "", f"Type {digits} AWG or {digits} mm².")
    words.refuse_characters(str(cell.value))
    return parse_conductor(str(cell.value))


def _date(cell: Cell, column: Column, context: Context) -> dt.date:
    value = cell.value
    if isinstance(value, dt.datetime):
        value = value.date()
    if isinstance(value, str):
        value = words.date_of(value)
    if isinstance(value, bool) or not isinstance(value, dt.date):
        if isinstance(value, int | float) and not isinstance(value, bool) and 1 <= value <= _SERIAL_DATES[1]:
            if 1950 <= value <= 2100:
                raise CellError(
                    "B125", f"{value:g}", "", f"Type a full date; where only the year is known {value:g}-01-01."
                )
            day = dt.date(1899, 12, 30) + dt.timedelta(days=int(value))
            raise CellError(
                "B127", f"the number {value:g}", f"{day}", f"Format the cell as a date; it then shows {day}."
            )
        raise CellError("B125", show(str(value)), "", "Type the date.")
    if not 1950 <= value.year <= 2100:
        raise CellError("B128", f"{value}", "1950 to 2100", "Type the date with a year of four figures.")
    return value


def _word_reader(read: Callable[[str, Column, list[CellError]], object]) -> Callable[[Cell, Column, Context], object]:
    def reader(cell: Cell, column: Column, context: Context) -> object:
        text = words.text_of(cell.value, cell.number_format, column, context.told)
        return read(text, column, context.told)

    return reader


_READERS: dict[str, Callable[[Cell, Column, Context], object]] = {
    "number": _decimal,
    "reactor": _reactor,
    "system voltage": _system_voltage,
    "power factor": _power_factor,
    "count": _count,
    "poles": _count,
    "phases": _count,
    "ratio": _ratio,
    "conductor": _conductor,
    "date": _date,
    **{kind: _word_reader(read) for kind, read in words.READERS.items()},
}
