"""Whole tables, cell by cell, against a formula or a second table that was made without them."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from binder.engineering import atmosphere, motor_efficiency
from binder.engineering.tables import Row, load


def _cell(row: Row, column: str) -> float:
    return float(row[column])


@pytest.mark.parametrize("row", load("awg_definition").rows, ids=lambda r: f"ASTM B258, {r['awg']} AWG")
def test_awg_sizes_follow_the_definition(row: Row) -> None:
    number = {"1/0": 0, "2/0": -1, "3/0": -2, "4/0": -3}.get(row["awg"])
    gauge = int(row["awg"]) if number is None else number
    diameter = 0.127 * 92 ** ((36 - gauge) / 39)
    assert _cell(row, "diameter_mm") == pytest.approx(diameter, abs=5.1e-5)
    assert _cell(row, "area_mm2") == pytest.approx(math.pi / 4 * diameter**2, rel=2e-4)
    assert _cell(row, "area_cmil") == pytest.approx((diameter / 0.0254) ** 2, rel=2e-4)


@pytest.mark.parametrize(
    "row", load("nec_ch9_table8_conductor").rows, ids=lambda r: f"NEC Ch.9 T8, {r['size']}, {r['strand_count']} strands"
)
def test_resistance_times_area_is_the_metal(row: Row) -> None:
    copper = _cell(row, "cu_uncoated_resistance_75c_ohm_per_kft") * _cell(row, "area_cmil")
    aluminum = _cell(row, "al_resistance_75c_ohm_per_kft") * _cell(row, "area_cmil")
    # 10.371 Ω cmil/ft at 20 °C x 1.2162 for 75 °C, 2 % more for stranding; aluminum by 17.0
    assert copper / 1000 == pytest.approx(12.75, rel=0.035)
    assert aluminum / 1000 == pytest.approx(21.0, rel=0.035)


@pytest.mark.parametrize(
    "row", load("nec_310_15_ambient_correction").rows, ids=lambda r: f"NEC T310.15(B)(1)(1), to {r['ambient_max_c']} °C"
)
def test_nec_ambient_factors_follow_the_square_root(row: Row) -> None:
    for limit in (60, 75, 90):
        cell = row[f"factor_{limit}c"]
        ambient = _cell(row, "ambient_max_c")
        if cell:
            assert float(cell) == pytest.approx(math.sqrt((limit - ambient) / (limit - 30)), abs=0.0051)
        else:
            assert ambient >= limit


@pytest.mark.parametrize(
    "row", load("iec_60364_5_52_ambient_correction").rows, ids=lambda r: f"IEC 60364-5-52 B.52.14, {r['ambient_c']} °C"
)
def test_iec_ambient_factors_follow_the_square_root(row: Row) -> None:
    for column, limit in (("pvc70_factor", 70), ("xlpe90_factor", 90)):
        if row[column]:
            expected = math.sqrt((limit - _cell(row, "ambient_c")) / (limit - 30))
            assert _cell(row, column) == pytest.approx(expected, abs=0.0051)


@pytest.mark.parametrize("row", load("standard_atmosphere").rows, ids=lambda r: f"ISO 2533, {r['altitude_m']} m")
def test_standard_atmosphere_comes_out_of_our_function(row: Row) -> None:
    altitude = _cell(row, "altitude_m")
    assert atmosphere.pressure_kpa(altitude) == pytest.approx(_cell(row, "pressure_kpa"), abs=5.1e-4)
    assert atmosphere.temperature_c(altitude) == pytest.approx(_cell(row, "temperature_c"), abs=5.1e-3)
    density = atmosphere.air_density_kg_m3(altitude, atmosphere.temperature_c(altitude))
    assert density == pytest.approx(_cell(row, "density_kg_per_m3"), abs=5.1e-5)


COEFFICIENTS = {(r["ie_class"], r["poles"]) for r in load("iec_60034_30_1_coefficients").rows}
BY_FORMULA = [
    r
    for r in load("iec_60034_30_1_efficiency").rows_where(frequency_hz=50)
    if 0.75 <= float(r["rated_output_kw"]) <= 200 and (r["ie_class"], r["poles"]) in COEFFICIENTS
]


def test_every_50_hz_efficiency_comes_out_of_the_formula() -> None:
    assert len(BY_FORMULA) == 330
    wrong = [
        (r["ie_class"], r["poles"], r["rated_output_kw"])
        for r in BY_FORMULA
        if motor_efficiency.formula_percent(r["ie_class"], float(r["rated_output_kw"]), int(r["poles"]))
        != pytest.approx(_cell(r, "efficiency_pct"), abs=1e-9)
    ]
    assert wrong == []


def test_60_hz_premium_efficiencies_are_the_federal_ones() -> None:
    federal = {
        (r["kw"], r["poles"]): _cell(r, "nominal_efficiency_pct")
        for r in load("cfr_431_25_motor_efficiency").rows
        if r["enclosure"] == "enclosed"
    }
    compared, different = 0, []
    for row in load("iec_60034_30_1_efficiency").rows_where(frequency_hz=60, ie_class="IE3"):
        key = row["rated_output_kw"], row["poles"]
        if key in federal:
            compared += 1
            if federal[key] != _cell(row, "efficiency_pct"):
                different.append(key)
    assert compared > 60
    assert different == [("0.75", "4")]  # 83.5 in the 2014 edition, 85.5 by federal rule: see the head of the table


def test_full_load_currents_keep_the_voltage_ratios() -> None:
    for row in load("nec_430_250_three_phase_flc").rows:
        if row["induction_230v_a"] and row["induction_460v_a"]:
            assert _cell(row, "induction_230v_a") == pytest.approx(2 * _cell(row, "induction_460v_a"), rel=0.05)


def test_code_letter_bands_join_without_gaps() -> None:
    bands = [r for r in load("nema_mg1_facts").rows if r["key"].startswith("code_letter_")]
    for lower, upper in pairwise(bands):
        assert float(upper["value"]) == pytest.approx(float(lower["value_max"]) + 0.01)
