"""Tables of the supply side, cell by cell, against a formula or a second copy of the table."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from binder.engineering import conductors, conductors_iec, impedance, protection, protection_iec
from binder.engineering.harmonic_limits import individual_limit_percent, tdd_limit_percent
from binder.engineering.tables import OutsideTableError, Row, load


def _cell(row: Row, column: str) -> float:
    return float(row[column])


@pytest.mark.parametrize(
    "row",
    load("nec_310_16_ampacity").rows,
    ids=lambda r: f"NEC 2023 T310.16, {r['size']} {r['size_unit']} {r['material']}",
)
def test_ampacity_columns_keep_the_temperature_ratio(row: Row) -> None:
    # heat given off grows with conductor less ambient temperature, so I goes with its square root;
    # columns were rounded to 5 A and cut by hand for the small sizes
    low, middle, high = (_cell(row, f"ampacity_{t}c_a") for t in (60, 75, 90))
    assert low / middle == pytest.approx(math.sqrt(30 / 45), abs=0.05 + 2.5 / middle)
    assert high / middle == pytest.approx(math.sqrt(60 / 45), abs=0.05 + 2.5 / middle)


def test_ampacities_rise_with_size_and_aluminum_stays_below_copper() -> None:
    for material in ("copper", "aluminum"):
        for temperature in (60, 75, 90):
            values = [
                conductors.table_ampacity_a(s, temperature, material=material) for s in conductors.sizes(material)
            ]
            assert all(a < b for a, b in pairwise(values))
    for size in conductors.sizes("aluminum"):
        assert conductors.table_ampacity_a(size, 75, material="aluminum") < conductors.table_ampacity_a(size, 75)


#: Effective impedance at 0.85 power factor, uncoated copper in PVC conduit, ohm per 1000 ft: the printed
#: column of the table that our file leaves out because it follows from the others.
EFFECTIVE = {
    "14 AWG": 2.7, "12 AWG": 1.7, "10 AWG": 1.1, "8 AWG": 0.69, "6 AWG": 0.44, "4 AWG": 0.29, "3 AWG": 0.23,
    "2 AWG": 0.19, "1 AWG": 0.16, "1/0 AWG": 0.13, "2/0 AWG": 0.11, "3/0 AWG": 0.088, "4/0 AWG": 0.074,
    "250 kcmil": 0.066, "300 kcmil": 0.059, "350 kcmil": 0.053, "400 kcmil": 0.049, "500 kcmil": 0.043,
    "600 kcmil": 0.040, "750 kcmil": 0.036, "1000 kcmil": 0.032,
}  # fmt: skip


@pytest.mark.parametrize("size", EFFECTIVE, ids=lambda s: f"NEC Ch.9 T9 effective Z, {s}, PVC (from memory)")
def test_table_9_recombined_gives_its_own_effective_impedance(size: str) -> None:
    z = impedance.nec_impedance_ohm_per_km(size, conduit="pvc") * 1000 / impedance.FEET_PER_KM
    found = z.real * 0.85 + z.imag * math.sqrt(1 - 0.85**2)
    assert found == pytest.approx(EFFECTIVE[size], rel=0.055)  # two-figure values on both sides


@pytest.mark.parametrize("conduit", ["pvc", "aluminum", "steel"])
@pytest.mark.parametrize(("material", "column"), [("copper", "cu_uncoated"), ("aluminum", "al")])
def test_table_9_resistance_is_table_8_and_skin_effect(conduit: str, material: str, column: str) -> None:
    direct = {f"{r['size']} {r['size_unit']}": r for r in load("nec_ch9_table8_conductor").rows}  # the stranded row
    for row in load("nec_ch9_table9_impedance").rows:
        size = f"{row['size']} {row['size_unit']}"
        if material == "aluminum" and size == "14 AWG":
            continue
        alternating = impedance.nec_impedance_ohm_per_km(size, material=material, conduit=conduit).real
        dc = _cell(direct[size], f"{column}_resistance_75c_ohm_per_kft") * impedance.FEET_PER_KM / 1000
        assert 0.95 < alternating / dc < 1.5, size


@pytest.mark.parametrize(
    "row", load("iec_60228_conductor_resistance").rows, ids=lambda r: f"IEC 60228 Table 2, {r['nominal_mm2']} mm²"
)
def test_iec_resistance_times_area_is_the_metal(row: Row) -> None:
    area = _cell(row, "nominal_mm2")
    assert 17.2 < area * _cell(row, "copper_class2_plain_max_ohm_per_km") < 20.0
    if row["aluminium_class2_max_ohm_per_km"]:
        assert 29.5 <= area * _cell(row, "aluminium_class2_max_ohm_per_km") < 32.1


@pytest.mark.parametrize(
    "row",
    [r for r in load("iec_60204_1_ampacity").rows if float(r["nominal_mm2"]) >= 1.5],
    ids=lambda r: f"IEC 60204-1 Table 6, {r['nominal_mm2']} mm²",
)
def test_capacity_on_machines_is_the_building_table_at_40_degrees(row: Row) -> None:
    area = _cell(row, "nominal_mm2")
    for method in ("B1", "B2", "C", "E"):
        warm = conductors_iec.capacity(area, method, insulation_c=70, ambient_c=40).allowed_a
        assert conductors_iec.machine_capacity_a(area, method) == pytest.approx(warm, abs=0.51)


@pytest.mark.parametrize("method", ["B1", "B2", "C", "E"])
def test_iec_capacities_follow_size_and_insulation(method: str) -> None:
    areas = [float(r["nominal_mm2"]) for r in load("iec_60364_5_52_ampacity").rows]
    for insulation in (70, 90):
        values = [conductors_iec.table_capacity_a(a, method, insulation) for a in areas]
        # IEC 60364-5-52 Annex D: I = A S^m with m between 0.5 and 0.7
        for (a, i), (b, j) in pairwise(zip(areas, values, strict=True)):
            assert (0.45 if b <= 120 else 0.35) < math.log(j / i) / math.log(b / a) < 0.75
    for area in areas:
        ratio = conductors_iec.table_capacity_a(area, method, 90) / conductors_iec.table_capacity_a(area, method, 70)
        # square root of 60 K over 40 K, less for the hotter copper's resistance
        assert ratio == pytest.approx(math.sqrt(60 / 40 / (1.2751 / 1.1965)), rel=0.15)


def test_grouping_factors_fall_with_the_number_of_circuits() -> None:
    for method in ("B1", "B2", "C", "E"):
        factors = [conductors_iec.grouping_factor(n, method) for n in range(1, 21)]
        assert factors[0] == 1.0
        assert all(a >= b for a, b in pairwise(factors))
    with pytest.raises(OutsideTableError):
        conductors_iec.grouping_factor(21, "B2")


#: IEEE 519-1992 Table 10.3, of which the later editions kept every number; retyped.
IEEE_519 = {
    (0, 20): (4.0, 2.0, 1.5, 0.6, 0.3, 5.0),
    (20, 50): (7.0, 3.5, 2.5, 1.0, 0.5, 8.0),
    (50, 100): (10.0, 4.5, 4.0, 1.5, 0.7, 12.0),
    (100, 1000): (12.0, 5.5, 5.0, 2.0, 1.0, 15.0),
    (1000, 10000): (15.0, 7.0, 6.0, 2.5, 1.4, 20.0),
}


@pytest.mark.parametrize("band", IEEE_519, ids=lambda b: f"IEEE 519-1992 T10.3, Isc/IL from {b[0]}")
def test_ieee_519_table_equals_its_second_copy(band: tuple[int, int]) -> None:
    inside = max(band[0], 1)
    *single, total = IEEE_519[band]
    assert [individual_limit_percent(inside, h) for h in (5, 11, 17, 23, 35)] == single
    assert tdd_limit_percent(inside) == total
    assert tdd_limit_percent(band[1] - 0.01) == total


def test_earth_sizes_stand_at_standard_ratings_and_rise() -> None:
    standard = {r["rating_a"] for r in load("nec_240_6_standard_ratings").rows}
    rows = load("nec_250_122_egc").rows
    assert {r["ocpd_rating_max_a"] for r in rows} <= standard
    for material in ("copper", "aluminum"):
        # 1250 kcmil is not in Chapter 9 Table 8; the sizes below it are compared
        labels = [f"{r[f'{material}_size']} {r[f'{material}_size_unit']}" for r in rows]
        areas = [conductors.circular_mils(label) for label in labels if label != "1250 kcmil"]
        assert all(a <= b for a, b in pairwise(areas))


def test_standard_ratings_are_the_list() -> None:
    # NEC 240.6(A), retyped
    listed = (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400,
              450, 500, 600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000)  # fmt: skip
    for low, high in pairwise(listed):
        assert protection.next_standard_rating_a(low + 0.5, fuse=False) == high
    assert protection.next_standard_rating_a(600.5, fuse=True) == 601


def test_protective_conductor_table_against_the_heat_it_must_bear() -> None:
    # IEC 60364-5-54 543.1.2: whatever the table gives bears ten times the capacity for 0.4 s
    for row in load("iec_60364_5_52_ampacity").rows:
        area = float(row["nominal_mm2"])
        fault = 10 * conductors_iec.table_capacity_a(area, "C", 70)
        k = protection_iec.heating_constant("protective core", 70)
        assert protection_iec.adiabatic_area_mm2(fault, 0.4, k) <= protection_iec.earth_mm2(area)


def test_withstand_time_is_the_adiabatic_area_turned_round() -> None:
    k = protection_iec.heating_constant("line", 90)
    time = protection_iec.withstand_time_s(10.0, 3000.0, k)
    assert protection_iec.adiabatic_area_mm2(3000.0, time, k) == pytest.approx(10.0)
