# ruff: noqa: E501  (tables read better in long lines)
"""Spellings of numbers, units, sizes, dates and words: each its one value, or refused. Never a wrong value."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from binder.inventory.cells import Cell, Context, read_cell
from binder.inventory.cleaning import CellError
from binder.inventory.columns import sheet_named
from binder.inventory.conductor_sizes import parse_conductor
from binder.inventory.quantities import Measure

#: (sheet, field), then 'cell -> amount unit' lines; '!' and a code for a refusal.
MEASURES: dict[tuple[str, str], str] = {
    ("Motors", "power"): """
        7.5 -> 7.5 kW | 7,5 -> 7.5 kW | 7.5 kW -> 7.5 kW | 7,5kW -> 7.5 kW | 7.5 KW -> 7.5 kW | 7.5 kw -> 7.5 kW
        7.5 Kw. -> 7.5 kW | 7.5 kilowatts -> 7.5 kW | 7500 W -> 7500 W | 7500 watts -> 7500 W | 0.0075 MW -> 0.0075 MW
        10 HP -> 10 hp | 10hp -> 10 hp | 10 H.P. -> 10 hp | 10 Hp -> 10 hp | 10 horsepower -> 10 hp | 1/2 hp -> 0.5 hp
        ½ hp -> 0.5 hp | ¾HP -> 0.75 hp | 7½ hp -> 7.5 hp | 7 1/2 hp -> 7.5 hp | 7-1/2 HP -> 7.5 hp | 1-1/2 -> 1.5 kW
        2 1/4 hp -> 2.25 hp | 1/4 hp -> 0.25 hp | 1 /2 hp -> 0.5 hp | 3/4 -> 0.75 kW | 12 1/2 kW -> 12.5 kW
        .5 hp -> 0.5 hp | ,5 hp -> 0.5 hp | 0,75 kW -> 0.75 kW | 0.75 kW -> 0.75 kW | 10 PS -> 10 PS | 10 ps -> 10 PS
        10 CV -> 10 PS | 10 metric hp -> 10 PS | +5 -> 5 kW | 1 200 W -> 1200 W | 1'200 W -> 1200 W | 1 200,5 W -> 1200.5 W
        1,200.5 W -> 1200.5 W | 1.200,5 W -> 1200.5 W | 12 000 W -> 12000 W | 1,234,567.5 W -> 1234567.5 W
        0.018 kW -> 0.018 kW | 007.5 -> 7.5 kW | 22 -> 22 kW | 22.0 kW -> 22.0 kW | 90kW -> 90 kW
        1,200 W -> !B101 | 1.200 W -> !B101 | 7.500 -> !B101 | 1,23,456 W -> !B103 | 1.2.3 -> !B103 | 7,5.0 -> !B103
        7..5 -> !B103 | 5. -> !B103 | 1 20 -> !B103 | 1 2000 -> !B103 | 12'34 -> !B103 | 1 200 300,4,5 -> !B103
        7.5 kVA -> !B110 | 7.5 A -> !B110 | 7.5 N·m -> !B110 | 7.5 J -> !B110 | 7.5 rpm -> !B110 | 7.5 k -> !B110
        7.5 kWh -> !B111 | 7.5 mw -> !B112 | 7.5 mW -> !B112 | 7.5 horses -> !B111 | 7.5 kW ca -> !B111
        kW 7.5 -> !B100 | approx 7.5 -> !B100 | ~7.5 -> !B105 | ca. 7.5 kW -> !B100 | seven -> !B100 | $7.5 -> !B100
        >7.5 -> !B105 | <= 7.5 -> !B105 | 7.5+1 -> !B105 | 7.5*2 -> !B105 | 2^3 -> !B105 | 1e3 -> !B105 | 1E3 kW -> !B105
        0x10 -> !B105 | 2x7.5 -> !B105 | 2 x 7.5 kW -> !B105 | 7.5 ± 0.1 -> !B105 | =7.5 -> !B107 | =A1 -> !B107
        5-10 kW -> !B106 | 5 - 10 -> !B106 | 5..10 -> !B103 | 5 to 10 kW -> !B106 | 7.5/10 kW -> !B106 | 7.5 kW/10 hp -> !B106
        7.5 (10) -> !B106 | 7.5 kW (10 HP) -> !B106 | 7.5 or 11 -> !B106 | 1/0 -> !B106 | 3/2 hp -> !B106 | 1/5 hp -> !B106
        1/2/3 -> !B106 | 7.5¹ -> !B104 | 7.5* -> !B104 | 7.5 † -> !B104 | 7.5 ² -> !B104 | 7.5% -> !B110 | 1/1 -> !B106
        inf -> !B100 | nan -> !B100 | 1e400 -> !B105 | -7.5 -> !B114 | 0 -> !B114 | 0.001 -> !B114 | 4000 kW -> !B114
        7.5\u200b kW -> 7.5 kW | 7.5\u00a0kW -> 7.5 kW | ７.５ｋＷ -> 7.5 kW | −7.5 -> !B114 | 7.5 ㎾ -> 7.5 kW
        ٧ kW -> !B100 | \u202e5.7 -> !B142 | 7.5\x07 -> !B141
    """,
    ("Motors", "voltage"): """
        460 -> 460 V | 460V -> 460 V | 460 v -> 460 V | 460 VAC -> 460 V | 460 V AC -> 460 V | 460vac -> 460 V | 460V~ -> 460 V
        460 volts -> 460 V | 0.46 kV -> 0.46 kV | 0,4 kV -> 0.4 kV | 400 Volt -> 400 V | 690 V -> 690 V | 460 Vrms -> 460 V
        230/460 -> !B106 | 230/460 V -> !B106 | 460-480 V -> !B106 | 460 A -> !B110 | 460 MV -> !B112 | 460 mV -> !B114
        5000 V -> !B114 | 460 V 3Ø -> !B106 | 1,000 -> !B101 | 460 kVA -> !B110 | 480Y/277 -> !B106 | 3 kV -> !B114
    """,
    ("Motors", "current"): """
        31.2 -> 31.2 A | 31,2 A -> 31.2 A | 31200 mA -> 31200 mA | 31.2 a -> 31.2 A | 31.2amps -> 31.2 A | 31.2 Amp -> 31.2 A
        31.2 amperes -> 31.2 A | 0.0312 kA -> 0.0312 kA | 312 ma -> 312 mA | 31.2 A rms -> 31.2 A
        31,2.5 -> !B103 | 30 MA -> !B112 | 4-20 mA -> !B106 | 31.2/15.6 -> !B106 | 31.2 kA -> !B114 | 9.4¹ -> !B104 | 31.2 Ah -> !B111
    """,
    ("Panels", "fault_rating"): "22 -> 22 kA | 22 kA -> 22 kA | 22kAIC -> 22 kA | 22000 A -> 22000 A | 65 KA -> 65 kA | 400 -> !B114",
    ("Motors", "frequency"): """
        60 -> 60 Hz | 60 Hz -> 60 Hz | 60HZ -> 60 Hz | 60 hz -> 60 Hz | 60 hertz -> 60 Hz | 60 cps -> 60 Hz | 0.06 kHz -> 0.06 kHz
        50/60 -> !B106 | 50/60 Hz -> !B106 | 60 rpm -> !B110 | 60 s -> !B110 | 6000 -> !B114
    """,
    ("Motors", "speed"): """
        1765 -> 1765 rpm | 1765 rpm -> 1765 rpm | 1765 RPM -> 1765 rpm | 1765 r.p.m. -> 1765 rpm | 1765 r/min -> 1765 rpm
        1765 1/min -> 1765 rpm | 1765 min-1 -> 1765 rpm | 1765 min⁻¹ -> 1765 rpm | 1765 U/min -> 1765 rpm
        1765 tr/min -> 1765 rpm | 1 765 -> 1765 rpm | 1'765 rpm -> 1765 rpm | 1765 /min -> 1765 rpm | 1765 rev/min -> 1765 rpm
        1765 min^-1 -> 1765 rpm | 1,765 -> !B101 | 1.765 rpm -> !B101 | 60 Hz -> !B110 | 1765 min -> !B110 | 40000 -> !B114
    """,
    ("Cables", "length"): """
        45 -> 45 m | 45 m -> 45 m | 45m -> 45 m | 45 M -> 45 m | 45 meters -> 45 m | 45 metres -> 45 m | 150 ft -> 150 ft
        150ft. -> 150 ft | 150 feet -> 150 ft | 150' -> 150 ft | 150′ -> 150 ft | 150 ’ -> 150 ft | 1 200 m -> 1200 m | 0.12 km -> 0.12 km
        600" -> 600 in | 600 in -> 600 in | 600 inches -> 600 in | 4500 cm -> 4500 cm | 45000 mm -> 45000 mm | 12 1/2 ft -> 12.5 ft
        1'200 m -> 1200 m | 1'200' -> 1200 ft | 12' 6" -> !B103 | 12'6" -> !B103 | 12 ft 6 in -> !B106 | 45 yd -> !B111 | -45 -> !B114 | 0 -> !B114
        45 min -> !B110 | 45 mm² -> !B110 | 30 km -> !B114 | 45 m/s -> !B111
    """,
    ("Panels", "width"): "600 -> 600 mm | 24 in -> 24 in | 23 5/8 in -> 23.625 in | 23-5/8\" -> 23.625 in | 0.6 m -> 0.6 m | 60 cm -> 60 cm | 24″ -> 24 in",
    ("Drives", "ambient"): """
        40 -> 40 °C | 40 °C -> 40 °C | 40°C -> 40 °C | 40 C -> 40 °C | 40c -> 40 °C | 40 ºC -> 40 °C | 40 ℃ -> 40 °C | 40 deg C -> 40 °C
        40 degrees C -> 40 °C | 40 Celsius -> 40 °C | 104F -> 104 °F | 104 °F -> 104 °F | 104 deg F -> 104 °F | 313 K -> 313 K | -10 -> -10 °C
        –10 °C -> -10 °C | 0 -> 0 °C | 104 -> !B114 | 40 Ω -> !B110 | 40 coulomb -> !B111 | 0-40 °C -> !B106
    """,
    ("Motors", "winding_resistance"): """
        0.8 Ω -> 0.8 Ω | 0.8 Ω -> 0.8 Ω | 0.8 ohm -> 0.8 Ω | 0.8 Ohms -> 0.8 Ω | 800 mΩ -> 800 mΩ | 800 mohm -> 800 mΩ | 0.8 -> 0.8 Ω
        5 MΩ -> 5 MΩ | 5 Mohm -> 5 MΩ | 5 megohm -> 5 MΩ | 5 Megohms -> 5 MΩ | 10k -> 10 kΩ | 10K -> 10 kΩ | 10 kΩ -> 10 kΩ | 10 kohm -> 10 kΩ
        2 GΩ -> 2 GΩ | 5 MOHM -> !B112 | 10 kV -> !B110 | 4R7 -> !B106
    """,
    ("Models", "link_capacitance"): "2350 -> 2350 µF | 2350 µF -> 2350 µF | 2350 uF -> 2350 µF | 2350 μF -> 2350 µF | 2350 MFD -> 2350 µF | 2.35 mF -> 2.35 mF | 2 MF -> !B112",
    ("Motors", "inertia"): """
        0.12 -> 0.12 kg·m² | 0.12 kgm2 -> 0.12 kg·m² | 0.12 kg·m² -> 0.12 kg·m² | 0.12 kg m^2 -> 0.12 kg·m² | 0.12 kg-m² -> 0.12 kg·m²
        2.8 lb-ft2 -> 2.8 lb·ft² | 2.8 lb·ft² -> 2.8 lb·ft² | 2.8 LB-FT² -> 2.8 lb·ft² | 0.12 kg -> !B110 | 2.8 lb·ft -> !B110
    """,
    ("Drives", "acceleration_time"): """
        10 -> 10 s | 10 s -> 10 s | 10s -> 10 s | 10 sec -> 10 s | 10 seconds -> 10 s | 1 min -> 1 min | 1.5 mins -> 1.5 min | 500 ms -> 500 ms
        10 S -> 10 s | 10 m -> !B110 | 1:30 -> !B106 | 10 h -> !B114
    """,
    ("Models", "wait_time"): "5 -> 5 min | 5 min -> 5 min | 300 s -> 300 s | 5 minutes -> 5 min | 5' -> !B110 | 0.1 h -> 0.1 h",
    ("Models", "rise_time"): "0.1 -> 0.1 µs | 0.1 µs -> 0.1 µs | 0.1us -> 0.1 µs | 100 ns -> 100 ns",
    ("Maintenance", "interval"): "6 -> 6 month | 6 months -> 6 month | 1 year -> 1 year | 2 yrs -> 2 year | 2 weeks -> 2 week | 90 days -> 90 day | 4000 h -> 4000 h",
    ("Motors", "efficiency"): "92.4 -> 92.4 % | 92,4 % -> 92.4 % | 92.4% -> 92.4 % | 92.4 percent -> 92.4 % | 92.4 pct -> 92.4 % | 0.924 -> !B117 | 9.24 -> !B114 | 924 -> !B114",
    ("Models", "ambient_derating"): "2 -> 2 % | 0.5 -> 0.5 % | 0,5 % -> 0.5 % | 25 -> !B114",
    ("Supplies", "transformer_rating"): "500 -> 500 kVA | 500 kVA -> 500 kVA | 500 KVA -> 500 kVA | 0.5 MVA -> 0.5 MVA | 500 kva -> 500 kVA | 500 kW -> !B110 | 1 mva -> !B112",
    ("Supplies", "capacitors"): "50 -> 50 kvar | 50 kVAr -> 50 kvar | 50 KVAR -> 50 kvar | 50 kVA -> !B110",
    ("Panels", "airflow"): "500 -> 500 m³/h | 500 m3/h -> 500 m³/h | 500 m³/h -> 500 m³/h | 300 cfm -> 300 cfm | 300 CFM -> 300 cfm | 140 l/s -> 140 l/s | 20 gpm -> !B110",
    ("Site", "altitude"): "210 -> 210 m | 690 ft -> 690 ft | 1 200 m -> 1200 m | 1,200 -> !B101 | -20 -> -20 m | 0 -> 0 m | 7000 -> !B114",
    ("Drives", "carrier_frequency"): "4 -> 4 kHz | 4 kHz -> 4 kHz | 4000 Hz -> 4000 Hz | 4 KHZ -> 4 kHz | 400 kHz -> !B114",
    ("Controls", "value"): "10 kΩ -> 10 kΩ | 10K -> 10 kΩ | 30 Hz -> 30 Hz | 20 % -> 20 % | 24 V -> 24 V | 250 ohm -> 250 Ω | 5 s -> 5 s | 10 -> !B111 | 10 furlong -> !B111",
}  # fmt: skip


def cases() -> list[Any]:
    made = []
    for (sheet, field), lines in MEASURES.items():
        for pair in (p for line in lines.strip().split("\n") for p in line.strip().split(" | ")):
            cell, _, expected = pair.rpartition(" -> ")
            made.append(pytest.param(sheet, field, cell, expected, id=f"{sheet}.{field}: {cell!r}"))
    return made


def result_of(sheet: str, field: str, value: Any, mark: str = "") -> object:
    column = sheet_named(sheet).column(field)
    return read_cell(Cell("A1", value), column, Context(mark, "" if column.kind == "any" else column.unit))


@pytest.mark.parametrize(("sheet", "field", "cell", "expected"), cases())
def test_measure(sheet: str, field: str, cell: str, expected: str) -> None:
    if expected.startswith("!"):
        with pytest.raises(CellError) as raised:
            result_of(sheet, field, cell)
        assert raised.value.code == expected[1:]
        assert raised.value.remedy
    else:
        amount, _, unit = expected.partition(" ")
        assert result_of(sheet, field, cell) == Measure(Decimal(amount), unit)


def test_there_are_at_least_300_spellings() -> None:
    assert len(cases()) >= 300


SIZES = """
    12 AWG -> 12 AWG | #12 -> 12 AWG | #12 AWG -> 12 AWG | AWG 12 -> 12 AWG | AWG12 -> 12 AWG | 12awg -> 12 AWG | 12 ga -> 12 AWG
    No. 12 -> 12 AWG | 12 gauge -> 12 AWG | 1/0 -> 1/0 AWG | 2/0 AWG -> 2/0 AWG | 4/0 awg -> 4/0 AWG | 0 AWG -> 1/0 AWG
    000 AWG -> 3/0 AWG | 250 kcmil -> 250 kcmil | 250kcmil -> 250 kcmil | 250 MCM -> 250 kcmil | 250 KCMIL -> 250 kcmil
    2.5 mm² -> 2.5 mm² | 2,5 mm² -> 2.5 mm² | 2.5mm2 -> 2.5 mm² | 2.5 sq mm -> 2.5 mm² | 2.5 sq.mm -> 2.5 mm² | 120 mm2 -> 120 mm²
    2.50 mm² -> 2.5 mm² | 16 -> !B113 | 2.5 -> !B113 | 0 -> !B113 | 12 -> !B113 | 17 mm² -> !B119 | 5/0 -> !B119 | 50 AWG -> !B119
    3x2.5 mm² -> !B119 | 3 x 12 AWG -> !B119 | 12/3 -> !B119 | 250 -> !B113 | 100 kcmil -> !B119 | 3000 kcmil -> !B119
    12 AWG copper -> !B111 | #12 mm² -> !B119 | twelve -> !B119 | 2.5 mm -> !B111 | 2.5 A -> !B111 | 1.5 AWG -> !B119 | 12-10 AWG -> !B119
"""


@pytest.mark.parametrize("pair", [p for line in SIZES.strip().split("\n") for p in line.strip().split(" | ")])
def test_conductor(pair: str) -> None:
    cell, _, expected = pair.rpartition(" -> ")
    if expected.startswith("!"):
        with pytest.raises(CellError) as raised:
            parse_conductor(cell)
        assert raised.value.code == expected[1:]
    else:
        assert parse_conductor(cell).label == expected


# Areas as the reference table prints them, half of its last digit allowed.
@pytest.mark.parametrize(
    ("size", "area"),
    [
        pytest.param("14 AWG", 2.0809, id="ASTM B258, 14 AWG"),
        pytest.param("8 AWG", 8.3656, id="ASTM B258, 8 AWG"),
        pytest.param("1/0", 53.4751, id="ASTM B258, 1/0 AWG"),
        pytest.param("4/0", 107.2193, id="ASTM B258, 4/0 AWG"),
    ],
)
def test_area(size: str, area: float) -> None:
    assert parse_conductor(size).area_mm2 == pytest.approx(area, abs=0.00005)


WORDS: list[tuple[str, str, Any, Any]] = [
    ("Motors", "poles", "4", 4), ("Motors", "poles", "4P", 4), ("Motors", "poles", "4 poles", 4), ("Motors", "poles", "4-pole", 4),
    ("Motors", "poles", 4.0, 4), ("Motors", "poles", "3", "!B114"), ("Motors", "poles", "4.5", "!B114"), ("Motors", "poles", "4/8", "!B114"),
    ("Motors", "poles", "-4", "!B114"), ("Motors", "poles", "four", "!B100"), ("Motors", "poles", 64, "!B114"),
    ("Supplies", "phases", "3Ø", 3), ("Supplies", "phases", "3 ph", 3), ("Supplies", "phases", "3~", 3), ("Supplies", "phases", "1-phase", 1),
    ("Supplies", "phases", "3φ", 3), ("Supplies", "phases", "2", "!B114"), ("Supplies", "phases", "3 wire", "!B110"),
    ("Motors", "power_factor", "0.85", Decimal("0.85")), ("Motors", "power_factor", "0,85", Decimal("0.85")),
    ("Motors", "power_factor", ".85", Decimal("0.85")), ("Motors", "power_factor", "85 %", Decimal("0.85")),
    ("Motors", "power_factor", "85", "!B114"), ("Motors", "power_factor", "0.85 ind", "!B110"), ("Motors", "power_factor", 1, Decimal(1)),
    ("Motors", "service_factor", "1.15", Decimal("1.15")), ("Motors", "service_factor", "1,15", Decimal("1.15")),
    ("Motors", "service_factor", "115", "!B114"), ("Motors", "service_factor", "1.15 A", "!B110"),
    ("Machines", "gear_ratio", "20:1", Decimal(20)), ("Machines", "gear_ratio", "19.7 : 1", Decimal("19.7")),
    ("Machines", "gear_ratio", "1:20", "!B106"), ("Machines", "gear_ratio", "20:1:1", "!B106"), ("Machines", "gear_ratio", "20", Decimal(20)),
    ("Motors", "plate_voltages", "230/460", "230/460"), ("Motors", "plate_voltages", "208-230/460 V", "208/230/460"),
    ("Motors", "plate_voltages", 460, "460"), ("Motors", "plate_voltages", "230/4x0", "!B106"),
    ("Motors", "manufactured", "2026-03-14", dt.date(2026, 3, 14)), ("Motors", "manufactured", "14 Mar 2026", dt.date(2026, 3, 14)),
    ("Motors", "manufactured", "March 14, 2026", dt.date(2026, 3, 14)), ("Motors", "manufactured", "14-Mar-2026", dt.date(2026, 3, 14)),
    ("Motors", "manufactured", "2026/03/14", dt.date(2026, 3, 14)), ("Motors", "manufactured", "14.3.2026", dt.date(2026, 3, 14)),
    ("Motors", "manufactured", "3/14/2026", dt.date(2026, 3, 14)), ("Motors", "manufactured", "5/5/2026", dt.date(2026, 5, 5)),
    ("Motors", "manufactured", "05/06/2026", "!B126"), ("Motors", "manufactured", "05.06.2026", "!B126"),
    ("Motors", "manufactured", "14/3/26", "!B125"), ("Motors", "manufactured", "2026-13-01", "!B125"), ("Motors", "manufactured", "2026-02-30", "!B125"),
    ("Motors", "manufactured", "March 2026", "!B125"), ("Motors", "manufactured", "2019", "!B125"), ("Motors", "manufactured", 2019, "!B125"),
    ("Motors", "manufactured", "1850-01-01", "!B128"), ("Motors", "manufactured", True, "!B125"), ("Motors", "manufactured", "soon", "!B125"),
    ("Drives", "flying_start", "Yes", True), ("Drives", "flying_start", "n", False), ("Drives", "flying_start", False, False),
    ("Drives", "flying_start", "x", "!B124"), ("Drives", "flying_start", 1, "!B124"), ("Drives", "flying_start", "maybe", "!B124"),
    ("Motors", "connection", "wye", "star"), ("Motors", "connection", "Y", "star"), ("Motors", "connection", "DELTA", "delta"),
    ("Cables", "material", "aluminium", "aluminum"), ("Cables", "insulation", "thwn 75 C", "THWN 75 °C"), ("Cables", "insulation", "THWN", "THWN 75 °C"),
    ("Drives", "control_logic", "PNP", "positive"), ("Site", "decimal_mark", "comma", ","), ("Site", "decimal_mark", ",", ","),
    ("Controls", "scheme", "4-20mA reference", "4-20 mA reference"), ("Controls", "scheme", "two wire run", "two-wire run"),
    ("Controls", "scheme", "two-wire", "two-wire run"), ("Terminals", "role", "ro1.no", "RO1.NO"), ("Terminals", "role", "PTC", "!B121"),
    ("Settings", "function", "Motor Current", "motor_current"), ("Settings", "function", "motor_curent", "!B121"),
    ("Settings", "number", "02.05", "02.05"), ("Settings", "number", 2.05, "!B130"), ("Settings", "number", "1\u20132", "1-2"),
    ("Settings", "unit", "m³/h", "m³/h"), ("Networks", "ip_address", "192.168.010.21", "192.168.10.21"),
    ("Networks", "ip_address", "192.168.10", "!B137"), ("Networks", "ip_address", "192.168.10.256", "!B137"),
    ("Drives", "photographs", "photos/a.jpg; photos\\b.jpg", "photos/a.jpg; photos/b.jpg"), ("Drives", "photographs", "../a.jpg", "!B136"),
    ("Drives", "photographs", "a/../../b", "!B136"), ("Drives", "photographs", "/etc/passwd", "!B136"), ("Drives", "photographs", "C:\\a", "!B136"),
    ("Drives", "photographs", "\\\\host\\a", "!B136"), ("Drives", "photographs", "https://example.org/a", "!B136"), ("Drives", "photographs", "~/a", "!B136"),
]  # fmt: skip


@pytest.mark.parametrize(("sheet", "field", "cell", "expected"), WORDS, ids=[f"{w[0]}.{w[1]}: {w[2]!r}" for w in WORDS])
def test_word(sheet: str, field: str, cell: Any, expected: Any) -> None:
    if isinstance(expected, str) and expected.startswith("!"):
        with pytest.raises(CellError) as raised:
            result_of(sheet, field, cell)
        assert raised.value.code == expected[1:]
    else:
        assert result_of(sheet, field, cell) == expected


def test_choice_lists() -> None:
    read = result_of("Settings", "choices", "0 = keypad (Panel; local); 1=terminals (I/O (ext))\n2 = (not used)")
    assert [(c.code, c.value, c.words) for c in read] == [  # type: ignore[attr-defined]
        ("0", "keypad", "Panel; local"), ("1", "terminals", "I/O (ext)"), ("2", "", "not used"),
    ]  # fmt: skip
