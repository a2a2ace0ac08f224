"""What must hold for any numbers: longer cable never less drop, hotter never more ampacity."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from binder.engineering import (
    cable_length,
    conductors,
    conductors_iec,
    harmonic_limits,
    impedance,
    leakage,
    load,
    protection,
    protection_iec,
    short_circuit,
    supply,
    voltage_drop,
)
from binder.engineering.ranges import OutOfRangeError
from binder.engineering.tables import OutsideTableError

AWG = st.sampled_from(conductors.sizes())
MM2 = st.sampled_from([1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120, 150, 185, 240, 300])
METHODS = st.sampled_from(["B1", "B2", "C", "E"])
AMPERES = st.floats(0.1, 500)
LENGTHS = st.floats(0, 2000)


def in_table_9(label: str) -> bool:
    return label not in ("700 kcmil", "800 kcmil", "900 kcmil")


@given(AWG, AMPERES, LENGTHS, LENGTHS, st.floats(0.1, 1))
def test_longer_cable_never_drops_less(label: str, current: float, a: float, b: float, factor: float) -> None:
    assume(in_table_9(label))
    per_km = impedance.nec_impedance_ohm_per_km(label)
    short, long = sorted((a, b))
    assert voltage_drop.drop_v(current, per_km * short / 1000, factor) <= (
        voltage_drop.drop_v(current, per_km * long / 1000, factor) + 1e-9
    )


@given(AWG, st.floats(-10, 84), st.floats(-10, 84), st.integers(1, 60), st.sampled_from([60, 75, 90]))
def test_hotter_or_fuller_never_carries_more(label: str, a: float, b: float, count: int, insulation: int) -> None:
    cool, hot = sorted((a, b))

    def carries(ambient: float, number: int) -> float:
        try:
            return conductors.capacity(
                label, insulation_c=insulation, terminal_c=75, ambient_c=ambient, current_carrying=number
            ).allowed_a
        except OutsideTableError:
            return 0.0

    assert carries(hot, count) <= carries(cool, count)
    assert carries(cool, count + 1) <= carries(cool, count)


@given(MM2, METHODS, st.floats(-5, 79), st.floats(-5, 79), st.integers(1, 19), st.sampled_from([70, 90]))
def test_hotter_or_more_circuits_never_carry_more(
    mm2: float, method: str, a: float, b: float, circuits: int, insulation: int
) -> None:
    cool, hot = sorted((a, b))

    def carries(ambient: float, number: int) -> float:
        try:
            return conductors_iec.capacity(
                mm2, method, insulation_c=insulation, ambient_c=ambient, circuits=number
            ).allowed_a
        except OutsideTableError:
            return 0.0

    assert carries(hot, circuits) <= carries(cool, circuits)
    assert carries(cool, circuits + 1) <= carries(cool, circuits)


@given(st.floats(0.5, 330), st.floats(0, 60), st.integers(1, 9))
def test_smallest_size_carries_the_current_and_the_one_below_does_not(
    required: float, ambient: float, count: int
) -> None:
    place = {"insulation_c": 90, "terminal_c": 75, "ambient_c": ambient, "current_carrying": count}
    try:
        found = conductors.smallest_size(required, **place)  # type: ignore[arg-type]
    except OutsideTableError:
        found = "1000 kcmil"
        assert conductors.capacity(found, **place).allowed_a < required  # type: ignore[arg-type]
        return
    assert conductors.capacity(found, **place).allowed_a >= required  # type: ignore[arg-type]
    below = conductors.sizes()[: conductors.sizes().index(found)]
    assert all(conductors.capacity(label, **place).allowed_a < required for label in below)  # type: ignore[arg-type]


@given(st.floats(1, 4000), st.booleans())
def test_standard_rating_is_never_below_the_current(current: float, fuse: bool) -> None:
    rating = protection.next_standard_rating_a(current, fuse=fuse)
    assert rating >= current * (1 - 1e-11)
    assert protection.next_standard_rating_a(rating, fuse=fuse) == rating


@given(st.floats(1, 2000), st.floats(1, 2000))
def test_larger_device_never_asks_for_a_smaller_earth(a: float, b: float) -> None:
    small, large = sorted((a, b))
    assert conductors.circular_mils(protection.earth_size(small)) <= conductors.circular_mils(
        protection.earth_size(large)
    )


@given(st.lists(AMPERES, min_size=1, max_size=30), AMPERES)
def test_another_load_never_makes_the_feeder_smaller(loads: list[float], more: float) -> None:
    assert protection.feeder_ampacity_a([*loads, more]) >= protection.feeder_ampacity_a(loads)


@given(st.floats(100, 100000), st.floats(0, 1), st.floats(0, 1), st.floats(0.2, 30))
def test_fault_current_never_rises_along_a_cable(start: float, r: float, x: float, ratio: float) -> None:
    for split in (None, ratio):
        end = short_circuit.fault_at_end_a(start, 480.0, complex(r, x), x_over_r=split)
        assert end <= start * (1 + 1e-9)


@given(st.floats(100, 100000), st.floats(1e-4, 1), st.floats(0, 0.2), st.floats(0.2, 30))
def test_unknown_angle_of_the_source_is_the_safe_side(start: float, r: float, x: float, ratio: float) -> None:
    assume(x <= r * ratio)  # the cable is more resistive than the source, as low-voltage cables are
    unknown = short_circuit.fault_at_end_a(start, 480.0, complex(r, x))
    assert unknown >= short_circuit.fault_at_end_a(start, 480.0, complex(r, x), x_over_r=ratio) * (1 - 1e-9)


@given(st.floats(100, 50000), st.floats(1, 1000), st.floats(100, 50000))
def test_point_to_point_never_gives_more_than_the_vector_sum(start: float, feet: float, constant: float) -> None:
    by_hand = short_circuit.point_to_point(start, feet, constant, 480.0).current_a
    for angle in (0.0, 0.7, 1.5):
        cable = feet / constant * complex(math.cos(angle), math.sin(angle))
        assert by_hand <= short_circuit.fault_at_end_a(start, 480.0, cable) * (1 + 1e-9)


@given(st.floats(100, 1000), st.floats(0, 500), st.floats(0, 500), st.floats(0.02, 5), st.floats(0, 1))
def test_peak_grows_with_length_and_never_exceeds_twice_the_link(
    bus: float, a: float, b: float, rise: float, reflection: float
) -> None:
    short, long = sorted((a, b))
    near = cable_length.peak_voltage_v(bus, short, rise, reflection=reflection)
    far = cable_length.peak_voltage_v(bus, long, rise, reflection=reflection)
    assert bus <= near <= far <= 2 * bus + 1e-9
    assert cable_length.peak_voltage_v(bus, long, 2 * rise, reflection=reflection) <= far + 1e-9


@given(st.floats(0.01, 5000), st.floats(0.01, 5000))
def test_looser_ratio_never_has_a_tighter_limit(a: float, b: float) -> None:
    weak, strong = sorted((a, b))
    assert harmonic_limits.tdd_limit_percent(weak) <= harmonic_limits.tdd_limit_percent(strong)


@given(st.floats(33, 2000), st.floats(33, 2000), st.booleans())
def test_stiffer_network_never_allows_less_emission(a: float, b: float, choke: bool) -> None:
    weak, strong = (harmonic_limits.emission_limits(r, with_choke=choke) for r in sorted((a, b)))
    assert weak.thc <= strong.thc
    assert all(weak.individual[h] <= strong.individual[h] for h in weak.individual)


@given(st.lists(st.floats(1, 1000), min_size=3, max_size=3), st.floats(0.1, 10))
def test_unbalance_does_not_depend_on_unit_or_order(values: list[float], scale: float) -> None:
    found = supply.unbalance_percent(values)
    assert 0 <= found <= 200
    assert supply.unbalance_percent([scale * v for v in reversed(values)]) == pytest.approx(found, abs=1e-9)


@given(st.floats(0, 5), st.floats(0, 5))
def test_more_unbalance_never_leaves_more_power(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert 0.75 <= supply.unbalance_derating(high) <= supply.unbalance_derating(low) <= 1


@given(st.floats(0.5, 300), st.floats(0.5, 300))
def test_larger_line_never_has_a_smaller_earth(a: float, b: float) -> None:
    small, large = sorted((a, b))
    assume(protection_iec.earth_mm2(small) <= small)
    assert protection_iec.earth_mm2(small) <= protection_iec.earth_mm2(large)


@pytest.mark.parametrize(
    ("call", "text"),
    [
        pytest.param(lambda: supply.unbalance_percent([1.0, 2.0]), "number of readings is 2", id="two readings"),
        pytest.param(lambda: supply.unbalance_percent([0.0, 0.0, 0.0]), "smallest reading", id="no voltage at all"),
        pytest.param(lambda: supply.unbalance_derating(5.1), "accepted: 0 to 5", id="NEMA MG 1 14.36: not above 5 %"),
        pytest.param(lambda: supply.rated_current_a(100, 480, phases=2), "accepted: 1 or 3", id="two phases"),
        pytest.param(lambda: protection_iec.adiabatic_area_mm2(1000, 6, 115), "0 to 5 s", id="IEC 60364-5-54: to 5 s"),
        pytest.param(lambda: harmonic_limits.emission_limits(20, with_choke=False), "33 or above", id="IEC 61000-3-12"),
        pytest.param(
            lambda: cable_length.motor_limits(690.0, inverter_duty=True), "1 to 600", id="NEMA MG 1: to 600 V"
        ),
        pytest.param(lambda: leakage.protective_conductor(-1), "0 or above", id="negative leakage"),
        pytest.param(lambda: load.loading_percent(10, 0), "above 0", id="transformer of no rating"),
        pytest.param(lambda: short_circuit.transformer_fault_a(500, 480, 0), "0.01 to 30", id="no impedance"),
        pytest.param(lambda: protection.feeder_ampacity_a([]), "1 or more", id="feeder without load"),
    ],
)
def test_numbers_outside_the_rule_are_refused(call: object, text: str) -> None:
    assert callable(call)
    with pytest.raises(OutOfRangeError, match=text):
        call()


@pytest.mark.parametrize(
    ("call", "text"),
    [
        pytest.param(lambda: conductors.table_ampacity_a("14 AWG", 70), "70 °C column", id="NEC has no 70 °C column"),
        pytest.param(lambda: conductors.table_ampacity_a("2.5 mm²", 75), "size 2.5", id="NEC has no metric sizes"),
        pytest.param(lambda: conductors.split_size("heavy"), "size 'heavy'", id="no size at all"),
        pytest.param(lambda: conductors.ambient_factor(58, 60), "60 °C insulation at 58", id="60 °C wire at 58 °C"),
        pytest.param(
            lambda: conductors.capacity("4 AWG", insulation_c=75, terminal_c=75, ambient_c=30, sets=2),
            "in parallel",
            id="NEC 310.10(G)",
        ),
        pytest.param(lambda: conductors_iec.table_capacity_a(10, "A1", 70), "method 'A1'", id="method not held"),
        pytest.param(lambda: conductors_iec.table_capacity_a(10, "C", 75), "75 °C", id="IEC has no 75 °C"),
        pytest.param(lambda: conductors_iec.ambient_factor(65, 70), "70 °C at 65", id="PVC at 65 °C"),
        pytest.param(lambda: protection.table_full_load_current_a(11, 460), "11 hp", id="no such motor"),
        pytest.param(lambda: protection.table_full_load_current_a(10, 400), "400 V", id="no such voltage"),
        pytest.param(lambda: protection.largest_device(10, "gG fuse"), "a gG fuse", id="NEC knows no gG fuse"),
        pytest.param(lambda: protection_iec.conventional_operating_factor("aM fuse", 32), "aM fuse", id="aM fuse"),
        pytest.param(lambda: impedance.nec_impedance_ohm_per_km("700 kcmil"), "700", id="Table 9 has no 700 kcmil"),
    ],
)
def test_cases_outside_a_table_are_refused(call: object, text: str) -> None:
    assert callable(call)
    with pytest.raises(OutsideTableError, match=text):
        call()


@pytest.mark.parametrize(
    ("kilowatt", "hp"), [(0.75, 1), (1.5, 2), (5.5, 7.5), (7.5, 10), (15, 20), (37, 50), (75, 100)]
)
def test_a_kilowatt_plate_stands_for_its_horsepower(kilowatt: float, hp: float) -> None:
    found = protection.table_full_load_current_a(kilowatt / 0.746, 460.0)
    assert found == protection.table_full_load_current_a(hp, 460.0)
