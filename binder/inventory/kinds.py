"""Kinds of cells, and the unit spellings of the trade, one alias table a family.

A unit is only looked up within the family of its column, so that 'k' is kilohm beside a
potentiometer and nothing at all beside a motor. Units of other families are known by name
only, to say which thing was typed where another belongs.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

#: Family -> unit -> spellings besides the unit itself. Compared without regard to case,
#: spaces, dots and raised figures, except where case decides (see `CASE_DECIDES`).
FAMILIES: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "power": {
        "kW": ("kilowatt", "kilowatts"),
        "W": ("watt", "watts"),
        "MW": ("megawatt", "megawatts"),
        "hp": ("h.p.", "bhp", "horsepower", "horse power"),
        "PS": ("cv", "metric hp", "hp metric", "metric horsepower"),
    },
    "apparent power": {"kVA": (), "MVA": (), "VA": ("volt-ampere", "volt-amperes")},
    "reactive power": {"kvar": (), "var": (), "Mvar": ()},
    "voltage": {
        "V": ("volt", "volts", "vac", "v ac", "ac v", "v~", "~", "vdc", "v dc", "v rms", "vrms"),
        "kV": ("kilovolt", "kilovolts"),
        "mV": ("millivolt", "millivolts"),
    },
    "current": {
        "A": ("amp", "amps", "ampere", "amperes", "a ac", "a rms"),
        "mA": ("milliamp", "milliamps", "milliampere", "milliamperes"),
        "kA": ("kiloamp", "kiloamps", "kiloampere", "kaic", "ka rms"),
    },
    "frequency": {"Hz": ("hertz", "cps", "cycles"), "kHz": ("kilohertz",)},
    "speed": {"rpm": ("r/min", "1/min", "/min", "min-1", "min^-1", "u/min", "tr/min", "rev/min", "r.p.m.")},
    "time": {
        "s": ("sec", "secs", "second", "seconds"),
        "min": ("mins", "minute", "minutes"),
        "h": ("hr", "hrs", "hour", "hours"),
        "ms": ("msec", "millisecond", "milliseconds"),
        "µs": ("us", "usec", "microsecond", "microseconds"),
        "ns": ("nsec", "nanosecond", "nanoseconds"),
    },
    "interval": {
        "day": ("days",),
        "week": ("weeks", "wk", "wks"),
        "month": ("months", "mo", "mth", "mths"),
        "year": ("years", "yr", "yrs"),
        "h": ("hr", "hrs", "hour", "hours"),
    },
    "percent": {"%": ("percent", "per cent", "pct")},
    "length": {
        "m": ("meter", "meters", "metre", "metres", "mtr"),
        "ft": ("foot", "feet", "'"),
        "in": ("inch", "inches", '"'),
        "mm": ("millimeter", "millimeters", "millimetre", "millimetres"),
        "cm": ("centimeter", "centimeters", "centimetre", "centimetres"),
        "km": ("kilometer", "kilometers", "kilometre", "kilometres"),
    },
    "temperature": {
        "°C": ("c", "deg c", "degc", "celsius", "degrees c", "degrees celsius"),
        "°F": ("f", "deg f", "degf", "fahrenheit", "degrees f", "degrees fahrenheit"),
        "K": ("kelvin",),
    },
    "resistance": {
        "Ω": ("ohm", "ohms", "r"),
        "kΩ": ("kohm", "kohms", "k", "k ohm", "k ohms", "kilohm", "kilohms", "kiloohm"),
        "mΩ": ("mohm", "m ohm", "milliohm", "milliohms"),
        "MΩ": ("Mohm", "M ohm", "Mohms", "megohm", "megohms", "megaohm", "meg"),
        "GΩ": ("gohm", "g ohm", "gigohm", "gigaohm"),
    },
    "capacitance": {"µF": ("uf", "mfd", "microfarad", "microfarads"), "mF": ("millifarad", "millifarads")},
    "inertia": {
        "kg·m²": ("kgm2", "kg m2", "kg*m2", "kg-m2", "kg·m2", "kg m^2", "kgm^2", "kg*m^2"),
        "lb·ft²": ("lbft2", "lb ft2", "lb-ft2", "lb·ft2", "lb*ft2", "lb-ft^2", "lb ft^2", "lb.ft2"),
    },
    "torque": {
        "N·m": ("nm", "n-m", "n*m", "n m", "newton metre", "newton meter"),
        "lb·ft": ("lbft", "lb ft", "lb-ft", "ft-lb", "ft lb", "ftlb", "ft·lb", "lbf-ft"),
    },
    "energy": {"J": ("joule", "joules"), "kJ": ("kilojoule", "kilojoules")},
    "airflow": {
        "m³/h": ("m3/h", "m3/hr", "m^3/h", "cmh", "m3h"),
        "m³/s": ("m3/s", "m^3/s"),
        "l/s": ("lps", "liter/s", "litre/s"),
        "cfm": ("ft3/min", "ft^3/min"),
    },
    "flow": {"gpm": ("gal/min", "us gpm", "usgpm")},
    "pressure": {"bar": (), "kPa": (), "psi": ("psig", "lb/in2")},
    "mass": {"kg": (), "lb": ("lbs", "pound", "pounds")},
    "area": {"mm²": ("mm^2",), "m²": ("m^2",)},
    "pulses": {"pulses": ("pulse", "ppr", "p/r", "pulse/rev", "pulses/rev", "pulses a turn", "lines", "imp/rev")},
    "vibration": {"mm/s": (), "in/s": ("ips",)},
}  # fmt: skip

#: Unit -> units for which it is typed by mistake, most often because the heading was not read.
MIXED_UP: Mapping[str, tuple[str, ...]] = {
    "kW": ("hp", "W"), "W": ("kW",), "hp": ("kW",), "kVA": ("MVA", "VA"), "MVA": ("kVA",), "V": ("kV",),
    "A": ("mA", "kA"), "mA": ("A",), "kA": ("A",), "kHz": ("Hz",), "s": ("min", "ms"), "min": ("s",), "µs": ("ns",),
    "m": ("ft",), "mm": ("in",), "°C": ("°F",), "Ω": ("kΩ",), "kΩ": ("Ω",), "µF": ("mF",), "kg·m²": ("lb·ft²",),
    "m³/h": ("cfm",),
}  # fmt: skip

#: Units in which a capital first letter is a million and a small one a thousandth.
CASE_DECIDES = frozenset({"mA", "mV", "mΩ", "MΩ", "MW", "MVA", "Mvar", "mF"})

#: What a wrong unit measures, in words.
_FAMILY_WORDS = {
    "conductor": "conductor size", "mass": "weight", "interval": "interval", "percent": "percentage",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Kind:
    """How a cell of one kind is read.

    Parameters
    ----------
    name : str
    family : str
        Key of `FAMILIES`, '' for kinds that are no measured values.
    unit : str
        Unit of `low` and `high`.
    low, high : Decimal or None
        Widest range that can be true; the only guard against what a spreadsheet program
        has turned into another number.
    accepted : str
        Two or three legal spellings.
    text : bool
        Cells are formatted as text, so that nothing typed is turned into something else.
    length : int
        Longest text. [characters]
    """

    name: str
    family: str = ""
    unit: str = ""
    low: Decimal | None = None
    high: Decimal | None = None
    accepted: str = ""
    text: bool = False
    length: int = 200


def _measure(family: str, unit: str, low: str, high: str, accepted: str, name: str = "") -> Kind:
    return Kind(name or family, family, unit, Decimal(low), Decimal(high), accepted)


def _words(name: str, accepted: str, length: int = 200) -> Kind:
    return Kind(name, accepted=accepted, text=True, length=length)


# Ranges: common practice, no source; wide enough for low-voltage drives, narrow enough to catch slips.
_ALL = (
    _words("tag", "letters, figures and - . / _ , for example P-101", 32),
    _words("text", "words"),
    _words("remark", "words", 2000),
    _words("code", "letters, figures and signs", 64),
    _words("setting number", "text as the display shows it, for example 02.05 with its zeros", 64),
    _words("choice", ""),
    _words("word", ""),
    _words("reference", "a name from the other sheet"),
    _words("references", "names from the other sheet, separated by ;", 2000),
    _words("yes/no", "yes or no"),
    _words("display", "what the display shows, for example 5.0", 64),
    _words("reading", "what the instrument shows, for example 5.02 or >2000", 64),
    _words("choice list", "code = word (manual's words); the next one after a semicolon", 2000),
    _words("conductor", "12 AWG, 250 kcmil or 2.5 mm²"),
    _words("plate voltages", "230/460 or 480", 32),
    _words("ratio", "20 or 20:1"),
    _words("ip address", "four figures of 0 to 255, for example 192.168.10.21"),
    _words("file", "a file inside the project folder, for example photos/p101.jpg", 2000),
    Kind("date", accepted="2026-03-14 or 14 Mar 2026"),
    Kind("count", accepted="a whole number, for example 4", low=Decimal(0), high=Decimal(100000)),
    Kind("poles", accepted="an even whole number: 2, 4, 6 ...", low=Decimal(2), high=Decimal(48)),
    Kind("phases", accepted="3 or 1", low=Decimal(1), high=Decimal(3)),
    Kind("number", accepted="a number, for example 1.15"),
    Kind("power factor", accepted="0.85 or 85 %", low=Decimal("0.1"), high=Decimal(1)),
    Kind("any", accepted="a number with its unit, for example 10 kΩ or 30 Hz"),
    _measure("power", "kW", "0.01", "3000", "7.5, 7.5 kW or 10 hp"),
    _measure("power", "W", "0.1", "300000", "350, 350 W or 1.2 kW", "losses"),
    _measure("apparent power", "kVA", "0.01", "100000000", "500, 500 kVA or 2 MVA"),
    _measure("reactive power", "kvar", "0", "100000", "50 or 50 kvar"),
    _measure("voltage", "V", "1", "40000", "460, 460 V or 0.46 kV"),
    _measure("voltage", "V", "1", "40000", "480, 480 V, 480Y/277 or 0.48 kV", "system voltage"),
    _measure("current", "A", "0.001", "6000", "31.2, 31,2 A or 31200 mA"),
    _measure("current", "kA", "0.05", "300", "22, 22 kA or 22000 A", "fault current"),
    _measure("frequency", "Hz", "0", "2000", "60 or 60 Hz"),
    _measure("frequency", "kHz", "0.1", "30", "4, 4 kHz or 4000 Hz", "carrier frequency"),
    _measure("speed", "rpm", "50", "36000", "1765 or 1765 rpm"),
    _measure("time", "s", "0", "10000000", "10 s or 5 min"),
    _measure("time", "µs", "0.001", "1000", "0.1 or 0.1 µs", "pulse time"),
    _measure("time", "h", "0", "8784", "4000 or 4000 h", "hours"),
    _measure("interval", "month", "0.03", "600", "6 months or 1 year"),
    _measure("percent", "%", "0", "1000", "93 or 93 %"),
    _measure("percent", "%", "0", "100", "1.5 or 1.5 %", "rate"),
    _measure("percent", "%", "0", "100", "3 %, or none", "reactor"),
    _measure("length", "m", "0.01", "20000", "45, 45 m or 150 ft"),
    _measure("length", "mm", "1", "20000", "600, 600 mm or 24 in", "dimension"),
    _measure("length", "m", "-430", "6000", "210, 210 m or 690 ft", "altitude"),
    _measure("temperature", "°C", "-60", "80", "40, 40 °C or 104 °F"),
    _measure("resistance", "Ω", "0", "100000000000", "56 Ω, 10 kΩ or 5 MΩ"),
    _measure("capacitance", "µF", "0.01", "1000000", "2350 or 2350 µF"),
    _measure("inertia", "kg·m²", "0", "1000000", "0.12 kg·m² or 2.8 lb·ft²"),
    _measure("airflow", "m³/h", "0.1", "10000000", "500 m³/h or 300 cfm"),
)  # fmt: skip

#: Kind by name.
KINDS: dict[str, Kind] = {kind.name: kind for kind in _ALL}


_PLAIN = str.maketrans({" ": None, ".": None, "²": "2", "³": "3", "\u03bc": "µ", "º": "°"})


def family_words(family: str) -> str:
    """Return what a unit family measures, in words."""
    return _FAMILY_WORDS.get(family, family)


def plain(unit: str) -> str:
    """Return a unit spelling without spaces, dots and raised figures, case kept."""
    return unit.translate(_PLAIN)


@cache
def spellings(family: str) -> Mapping[str, str]:
    """Return plain spelling, case kept -> unit, for one family."""
    table: dict[str, str] = {}
    for unit, others in FAMILIES[family].items():
        for word in (unit, *others):
            table[plain(word)] = unit
    return table


@cache
def folded(family: str) -> Mapping[str, frozenset[str]]:
    """Return plain spelling without case -> units it may mean, for one family."""
    table: dict[str, set[str]] = {}
    for word, unit in spellings(family).items():
        table.setdefault(word.casefold().replace("\u03bc", "µ"), set()).add(unit)
    return {word: frozenset(units) for word, units in table.items()}
