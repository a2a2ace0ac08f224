"""Measured values: what a plate or a cell says, exact, with the unit it was typed in."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Any

import pint

#: The one unit registry. Cell text never reaches its parser; it only converts.
ureg: pint.UnitRegistry[Any] = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
# NEMA practice rates 1 hp at 746 W; the metric horsepower is its own unit.
ureg.define("motor_horsepower = 746 watt = hp")
ureg.define("kcmil = 0.506707479 mm**2")  # 1000 circular mils, ASTM B258
ureg.define("percent_of = 0.01")

#: Trade spelling -> name known to the registry. One entry per unit family we print.
PINT_NAMES: dict[str, str] = {
    "kW": "kilowatt", "W": "watt", "MW": "megawatt", "hp": "motor_horsepower", "PS": "metric_horsepower",
    "VA": "volt_ampere", "kVA": "kilovolt_ampere", "MVA": "megavolt_ampere",
    "var": "watt", "kvar": "kilowatt", "Mvar": "megawatt",
    "V": "volt", "mV": "millivolt", "kV": "kilovolt", "A": "ampere", "mA": "milliampere", "kA": "kiloampere",
    "Hz": "hertz", "kHz": "kilohertz", "V/Hz": "volt/hertz", "rpm": "rpm",
    "m": "meter", "mm": "millimeter", "cm": "centimeter", "ft": "foot", "in": "inch", "km": "kilometer",
    "mm²": "millimeter**2", "m²": "meter**2", "kcmil": "kcmil",
    "°C": "degree_Celsius", "°F": "degree_Fahrenheit", "K": "kelvin",
    "s": "second", "min": "minute", "h": "hour", "ms": "millisecond", "µs": "microsecond", "ns": "nanosecond",
    "Ω": "ohm", "kΩ": "kiloohm", "mΩ": "milliohm", "MΩ": "megaohm", "GΩ": "gigaohm",
    "pulses": "dimensionless", "µF": "microfarad", "mF": "millifarad", "%": "percent_of", "": "dimensionless",
    "N·m": "newton*meter", "lb·ft": "force_pound*foot", "kg·m²": "kilogram*meter**2",
    "lb·ft²": "pound*foot**2", "J": "joule", "kJ": "kilojoule", "kWh": "kilowatt_hour",
    "bar": "bar", "kPa": "kilopascal", "psi": "psi", "m³/h": "meter**3/hour", "gpm": "gallon/minute",
    "m³/s": "meter**3/second", "l/s": "liter/second", "cfm": "foot**3/minute",
    "mm/s": "millimeter/second", "in/s": "inch/second", "kg": "kilogram", "lb": "pound",
    "month": "month", "year": "year", "week": "week", "day": "day",
}


_TEMPERATURES = frozenset({"°C", "°F", "K"})
# 1 K in the scale's own degrees, and the scale's reading at 0 K (exact by definition).
_SCALES = {"K": (1.0, 0.0), "°C": (1.0, -273.15), "°F": (1.8, -459.67)}


@lru_cache(maxsize=512)
def _linear(source: str, target: str) -> tuple[float, float]:
    """Return (factor, offset) that turns `source` numbers into `target` numbers."""
    if {source, target} <= _TEMPERATURES:
        (step_from, zero_from), (step_to, zero_to) = _SCALES[source], _SCALES[target]
        factor = step_to / step_from
        return factor, zero_to - zero_from * factor
    one = ureg.Quantity(1.0, PINT_NAMES[source]).to(PINT_NAMES[target]).magnitude
    return float(one), 0.0


@lru_cache(maxsize=512)
def _alike(one: str, other: str) -> bool:
    """Return whether two units measure the same kind of thing."""
    first, second = (ureg.Quantity(1.0, PINT_NAMES[u]) for u in (one, other))
    return bool(first.check(second.dimensionality))


@dataclass(frozen=True, slots=True)
class Measure:
    """An exact number with the trade spelling of the unit it was given in.

    Parameters
    ----------
    amount : Decimal
        The number as typed, exact.
    unit : str
        A key of `PINT_NAMES`; '' for a pure number.
    """

    amount: Decimal
    unit: str

    def to(self, unit: str) -> float:
        """Return the plain number in `unit`.

        Raises
        ------
        KeyError
            `unit` is not a key of `PINT_NAMES`.
        pint.DimensionalityError
            The two units measure different things.
        """
        if unit == self.unit:
            return float(self.amount)
        factor, offset = _linear(self.unit, unit)
        return float(self.amount) * factor + offset

    def measures(self, unit: str) -> bool:
        """Return whether it can be told in `unit`: volts are no hertz."""
        return _alike(self.unit, unit)

    @property
    def quantity(self) -> pint.Quantity[Any]:
        """The same value as a pint quantity."""
        return ureg.Quantity(float(self.amount), PINT_NAMES[self.unit])

    def __str__(self) -> str:
        text = format(self.amount.normalize(), "f")
        return f"{text} {self.unit}".strip()


def measure(amount: float | int | str | Decimal, unit: str) -> Measure:
    """Build a `Measure`; floats go through their shortest decimal text."""
    return Measure(Decimal(str(amount)), unit)
