"""Figures that the test sheets judge by: insulation, windings, thermistors, overload setting."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from binder.engineering import insulation
from binder.engineering.figure import Figure, Rule, display
from binder.engineering.protection import largest_overload_setting_a
from binder.inventory.findings import Finding
from binder.sizing.context import Context, at_most, not_above

_IEEE = "IEEE 43-2013"
_IEC = "IEC 60034-27-4:2018 (from memory, check); IEEE 43-2013 has the same figures"
_LIMIT_40 = Rule("random-wound stator below 1 kV, 1 min reading corrected to 40 °C", _IEEE)
_TEST_V = Rule("DC test voltage by rated voltage", _IEEE)
_HALVING = Rule("limit / 0.5^((40 - T) / 10)", "IEEE 43, halving for every 10 K")
_THERMOSET = Rule("limit / exp(-1245 (1/(T+273) - 1/313))", "IEEE 43-2013, thermosetting windings (from memory, check)")
_INDEX = Rule("10 min over 1 min reading, by thermal class", _IEEE)
_SPREAD = Rule("largest distance from the mean of three line-to-line readings", "common practice, no source")

#: Power cable of 600 V class where NEC rules: test voltage, least insulation, and where both come from.
CABLE_TEST_V, CABLE_LEAST_MOHM = 1000.0, 100.0
CABLE_SOURCE = "ANSI/NETA ATS 7.3.2 for the test; 100 MΩ for 600 V class"

_CIRCUIT = Rule("by nominal voltage of the circuit", "IEC 60364-6:2016 Table 6.1")
_CABLE = Rule("600 V class cable", f"{CABLE_SOURCE} (from memory, check)")
_PTC = Rule("per winding, cold, measured with at most 2.5 V", "IEC 60034-11, DIN 44081/44082 (from memory, check)")
_SETTING_NEC = Rule("motor plate current x 1.0", "NEC 2023 430.6(A)(2), 430.32(A)(1), 430.124")
_SETTING_IEC = Rule("motor plate current x 1.0", "IEC 60204-1 7.3")
_LARGEST = Rule("125 % of plate current with service factor 1.15 and up, else 115 %", "NEC 2023 430.32(A)(1)")

#: Winding temperatures for which raw limits are printed beforehand; any other by `insulation.raw_limit_mohm`.
TEMPERATURES_C = (10, 20, 30, 40)


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield the overload setting and the limits of the dead tests."""
    yield from _overload(context)
    yield from _winding(context)
    yield from _circuit(context)
    if context.motor is not None and context.motor.thermal_sensor == "thermistor":
        need = context.needs()
        yield need.figure(
            "test.thermistor_cold",
            "Three thermistors in series, cold, at most",
            lambda: 3.0 * insulation.PTC_COLD_MAX_OHM,
            "Ω",
            _PTC,
            note="never use the insulation tester on them",
        )


def _overload(context: Context) -> Iterator[Figure]:
    need = context.needs()
    plate = need.of("motor", "current", "A")
    largest = None
    if not context.iec:
        least_need = context.needs()
        current = least_need.of("motor", "current", "A")
        given = context.motor is not None and context.motor.service_factor is not None
        factor = least_need.of("motor", "service_factor") if given else 1.0
        note = "" if given else "no service factor entered: the lower share counts"
        largest = least_need.figure(
            "overload.largest",
            "Largest setting of a separate overload (bypass, several motors)",
            lambda: largest_overload_setting_a(current, service_factor=factor),
            "A",
            _LARGEST,
            note=note,
        )
    limit = largest.value if largest is not None and isinstance(largest.value, float) else float("nan")
    yield need.figure(
        "overload.setting",
        "Motor overload setting of the drive",
        lambda: plate,
        "A",
        _SETTING_IEC if context.iec else _SETTING_NEC,
        limit=at_most(limit, "A"),
        within=not_above(limit),
        note="plate current: the service factor is not used on a drive",
    )
    if largest is not None:
        yield largest


def _by(context: Context, rule: Rule) -> Rule:
    """The rule with the standard that the site goes by."""
    return replace(rule, source=_IEC) if context.iec else rule


def _winding(context: Context) -> Iterator[Figure]:
    need = context.needs()
    volts = need.of("motor", "voltage", "V")
    limit = need.figure(
        "test.winding_insulation",
        "Winding insulation at 40 °C, at least",
        lambda: insulation.winding_limit_mohm(volts),
        "MΩ",
        _by(context, _LIMIT_40),
        note="new motors read 100 MΩ and more; below 1 MΩ do not energize",
    )
    yield limit
    yield need.figure(
        "test.winding_voltage",
        "DC test voltage for the winding",
        lambda: insulation.winding_test_voltage_v(volts)[1],
        "V",
        _by(context, _TEST_V),
        note="drive disconnected",
    )
    need = context.needs()
    at_40 = need.figure_of("test.winding_insulation")
    for celsius in TEMPERATURES_C:
        for index, (word, rule) in enumerate((("halving", _HALVING), ("thermosetting", _THERMOSET))):
            also = "; IEC 60034-27-4 alike, from memory, check" if context.iec else ""
            yield need.figure(
                f"test.insulation_{word}_{celsius}",
                f"Reading needed with the winding at {celsius} °C, {word} rule",
                partial(_raw, at_40, float(celsius), index),
                "MΩ",
                replace(rule, source=f"{rule.source}{also}"),
                note="the larger of both rules holds unless the winding system is known",
            )
    yield from _readings(context)


def _raw(limit: float, celsius: float, index: int) -> float:
    return insulation.raw_limit_mohm(limit, celsius)[index]


def _readings(context: Context) -> Iterator[Figure]:
    if context.motor is not None and context.motor.insulation_class:
        need = context.needs()
        letter = need.word("motor", "insulation_class")
        yield need.figure(
            "test.polarization_index",
            "Polarization index, at least",
            lambda: insulation.least_polarization_index(letter),
            "",
            _by(context, _INDEX),
            note=f"not meaningful above {display(insulation.most_meaningful_mohm())} MΩ "
            "or for small random-wound motors",
        )
    yield context.needs().figure(
        "test.winding_spread",
        "Spread of winding resistances, at most",
        lambda: insulation.WINDING_SPREAD_PERCENT,
        "%",
        _SPREAD,
    )
    if context.motor is not None and context.motor.winding_resistance is not None:
        need = context.needs()
        ohms = need.of("motor", "winding_resistance", "Ω")
        yield need.figure(
            "test.winding_resistance",
            "Winding resistance, line to line, from the inventory",
            lambda: ohms,
            "Ω",
            Rule("as entered; compare at one temperature, R20 = R 254.5 / (234.5 + t)", "textbook (IEEE 118)"),
            note=f"within 10 % of the identification run's value, leads counted: {display(0.9 * ohms)} to "
            f"{display(1.1 * ohms)} Ω, common practice, no source",
        )


def _circuit(context: Context) -> Iterator[Figure]:
    need = context.needs()
    volts = need.of("supply", "voltage", "V")
    yield need.figure(
        "test.cable_voltage",
        "DC test voltage for power cables, both ends free",
        lambda: insulation.circuit_limit(volts)[0] if context.iec else CABLE_TEST_V,
        "V",
        _CIRCUIT if context.iec else _CABLE,
    )
    yield need.figure(
        "test.cable_insulation",
        "Cable insulation, at least",
        lambda: insulation.circuit_limit(volts)[1] if context.iec else CABLE_LEAST_MOHM,
        "MΩ",
        _CIRCUIT if context.iec else _CABLE,
        note="the limit of test line R1; a new short cable reads above 1000 MΩ",
    )
