"""Figures of one drive recomputed by hand, and where each number came from."""

from __future__ import annotations

import math

import pytest
from sizing_site import Bench, iec_bench

from binder.inventory.quantities import PINT_NAMES
from binder.inventory.quantities import measure as m
from binder.sizing import drive_figures

#: Key -> (value by hand, how). Inputs: 20 hp, 460 V, 25 A, 60 Hz, 1765 rpm, 0.81, 93 %; 480 V; 13 kW; 0.1 + 0.4 kg·m².
BY_HAND = {
    "motor.poles": (4, "120 x 60 / 1765 = 4.08, even number at or below"),
    "motor.synchronous_speed": (1800, "120 x 60 / 4"),
    "motor.slip": (1.944, "35 / 1800"),
    "motor.rated_torque": (80.72, "14.92 kW x 9549.3 / 1765"),
    "motor.power_balance": (0.5675, "1.73205 x 460 x 25 x 0.81 x 0.93 = 15.0047 kW against 14.92"),
    "motor.no_load_current_low": (6.25, "25 % of 25 A"),
    "motor.no_load_current_high": (10.0, "40 % of 25 A"),
    "motor.efficiency_minimum": (93.0, "10 CFR 431.25, 20 hp, 4 poles, enclosed"),
    "motor.voltage_deviation": (4.348, "480 / 460"),
    "motor.locked_rotor_current": (157.9, "20 x 6.29 kVA/hp / (1.732 x 460)"),
    "bus.no_load": (678.8, "1.4142 x 480"),
    "bus.loaded": (648.2, "1.3505 x 480"),
    "bus.stored_energy": (230.4, "0.0005 x 678.8²"),
    "bus.discharge_time": (166.4, "60 kΩ x 1 mF x ln(800 / 50)"),
    "rating.ambient_factor": (1.0, "40 °C is rated"),
    "rating.altitude_factor": (1.0, "300 m is below 1000"),
    "rating.carrier_factor": (1.0, "4 kHz, first point"),
    "rating.continuous": (31.0, "light duty"),
    "rating.margin": (6.0, "31 - 25"),
    "rating.overload": (34.1, "110 %"),
    "motion.volts_per_hertz": (7.667, "460 / 60"),
    "motion.machine_speed": (1765, "plate speed, direct"),
    "motion.lowest_frequency": (6.0, "60 / 10, quadratic"),
    "machine.load": (87.13, "13 / 14.92"),
    "ramp.inertia": (0.5, "0.1 + 0.4"),
    "ramp.turns": (220.6, "1765 / 60 x 15 / 2"),
    "brake.energy": (8541, "0.25 x 184.8²"),
    "reference.low_end": (33.33, "20 / 60"),
    "reference.potentiometer_current": (2.0, "10 V / 5 kΩ"),
    "reference.potentiometer_power": (0.02, "100 / 5000"),
    "overload.setting": (25.0, "plate"),
    "overload.largest": (31.25, "NEC 430.32(A)(1): 125 % at service factor 1.15"),
    "test.winding_insulation": (5.0, "IEEE 43-2013"),
    "test.insulation_halving_20": (20.0, "5 / 0.25"),
    "test.insulation_thermosetting_20": (6.56, "5 / exp(-1245 (1/293 - 1/313))"),
    "heat.surface": (5.712, "1.8 x 2 x 1.4 + 1.4 x 0.8 x 0.6"),
    "heat.rise": (12.73, "400 / (5.5 x 5.712)"),
    "machine.speed_at_flow_50": (70.0, "sqrt((0.4 + 0.6 x 0.25 + 0.25 x 0.25) / 1.25)"),
    "machine.power_at_flow_75": (55.31, "0.75 x (0.4 + 0.6 x 0.5625)"),
}  # fmt: skip


@pytest.mark.parametrize("key", BY_HAND)
def test_figure_by_hand(key: str) -> None:
    figures, _ = Bench().run()
    assert figures.number(key) == pytest.approx(BY_HAND[key][0], rel=6e-4)


def test_sweep_currents_follow_the_load() -> None:
    """I0 = 8.125 A, share 13 / 14.92: sqrt(I0² + (0.8713 x²)² (25² - I0²))."""
    figures, _ = Bench().run()
    for percent in (25, 50, 75, 100):
        torque = 13 / 14.92 * (percent / 100) ** 2
        by_hand = math.sqrt(8.125**2 + torque**2 * (25**2 - 8.125**2))
        assert figures.number(f"sweep.current_{percent}") == pytest.approx(by_hand)
        assert figures.number(f"sweep.power_{percent}") == pytest.approx(13 * (percent / 100) ** 3)  # cube law


@pytest.mark.parametrize("bench", [Bench, iec_bench])
def test_a_good_drive_has_no_findings_and_nothing_is_left_out(bench: type[Bench]) -> None:
    made = bench()
    figures, findings = made.run()
    mine = {c: f for c, f in findings.items() if c.startswith("E1")}
    assert mine == {}
    left_out = {k for k in BY_HAND if figures.number(k) is None}
    assert left_out == (set() if bench is Bench else NEC_ONLY)


NEC_ONLY = {"motor.efficiency_minimum", "motor.locked_rotor_current", "overload.largest"}


def test_iec_basis_prints_iec_rules() -> None:
    figures, _ = iec_bench().run()
    assert figures["motor.efficiency_class"].value == "IE3"
    assert figures["overload.setting"].rule.source.startswith("IEC 60204-1")
    assert figures.number("motor.synchronous_speed") == 1500
    assert figures.number("bus.no_load") == pytest.approx(565.7, abs=0.05)


def test_every_figure_tells_unit_rule_source_and_where_its_numbers_stand() -> None:
    figures, _ = Bench().run()
    for figure in figures.values():
        assert figure.unit in PINT_NAMES
        assert figure.rule.text, figure.key
        assert figure.rule.source, figure.key
        assert "approved" not in f"{figure.limit} {figure.note}".lower()
        for given in figure.inputs:
            known = given.origin in ("", "rule") or given.origin in figures
            assert known or "!" in given.origin, (figure.key, given)
    margin = figures["rating.margin"].inputs
    assert [i.origin for i in margin] == ["rating.continuous", "Motors!F4"]


def test_units_of_the_workbook_change_no_figure() -> None:
    plain, _ = Bench().run()
    other = Bench()
    other.change("motor", power=m("14.92", "kW"), inertia=m("2.37303604", "lb·ft²"))
    other.change("site", altitude=m("984.251969", "ft"))
    other.change("panel", ambient=m(104, "°F"), width=m("31.496063", "in"))
    other.change("machine", shaft_power=m("17.4262735", "hp"))
    converted, _ = other.run()
    assert list(converted) == list(plain)
    for key, figure in plain.items():
        if isinstance(figure.value, float | int):
            assert converted.number(key) == pytest.approx(figure.value, rel=1e-6), key
        else:
            assert converted[key].value == figure.value


def test_the_same_inventory_gives_the_same_figures() -> None:
    first, second = Bench().inventory, Bench().inventory
    assert drive_figures(first, first.drives[0])[1] == drive_figures(second, second.drives[0])[1]
    one, two = (dict(drive_figures(i, i.drives[0])[0]) for i in (first, second))
    assert one == two
