"""What physics says of every motor, drive and signal, whatever the numbers."""

from __future__ import annotations

import math
import pickle

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from binder.engineering import (
    atmosphere,
    braking,
    control_supply,
    dc_bus,
    heat,
    insulation,
    motor,
    motor_efficiency,
    motor_on_drive,
    pumps_and_fans,
    ramps,
    rating,
    speed_reference,
    transmission,
    volts_per_hertz,
)
from binder.engineering.ranges import OutOfRangeError
from binder.engineering.tables import OutsideTableError

FAST = settings(max_examples=60, deadline=None)
share = st.floats(0.0, 1.0)
hertz = st.floats(1.0, 120.0)
LOADS = ("quadratic", "constant torque", "constant power", "hoist")


@FAST
@given(hertz, st.integers(1, 10), st.floats(0.0, 12.0))
def test_poles_come_back_from_the_speed_they_give(frequency: float, pairs: int, slip: float) -> None:
    """Slip below that of the next pole number: 100 / (pairs + 1) percent."""
    slip = min(slip, 95.0 / (pairs + 1))
    speed = motor.speed_rpm(frequency, 2 * pairs, slip)
    assert motor.poles_from_speed(frequency, speed) == 2 * pairs
    assert motor.slip_percent(motor.synchronous_speed_rpm(frequency, 2 * pairs), speed) == pytest.approx(slip, abs=1e-9)


@FAST
@given(st.floats(-20, 60), st.floats(-20, 60), st.floats(30, 50), st.floats(0, 1.2))
def test_a_hotter_place_never_gives_more_current(one: float, other: float, free: float, slope: float) -> None:
    cool, hot = sorted((one, other))
    assert rating.slope_factor(hot, free, slope) <= rating.slope_factor(cool, free, slope) <= 1.0


@FAST
@given(st.floats(1, 16), st.floats(1, 16))
def test_a_higher_carrier_never_gives_more_current(one: float, other: float) -> None:
    points = [(2.0, 1.0), (4.0, 1.0), (8.0, 0.85), (16.0, 0.6)]
    low, high = sorted((one, other))
    assert rating.carrier_factor(high, points) <= rating.carrier_factor(low, points)


@FAST
@given(st.floats(0.6, 1.0))
def test_the_remedy_is_the_edge_of_the_rule(needed: float) -> None:
    points = [(4.0, 1.0), (8.0, 0.85), (16.0, 0.6)]
    carrier = rating.highest_carrier_khz(needed, points)
    assert carrier is not None
    assert rating.carrier_factor(carrier, points) == pytest.approx(needed, abs=1e-6) or carrier == 16.0
    ambient = rating.highest_value(needed, 40.0, 2.0)
    assert ambient is not None
    assert rating.slope_factor(ambient, 40.0, 2.0) == pytest.approx(needed, abs=1e-9)


@FAST
@given(st.floats(0.01, 50), st.floats(1.01, 10), st.sampled_from(LOADS), st.floats(0.0, 1.0))
def test_a_heavier_inertia_is_never_faster(inertia: float, factor: float, load: str, full: float) -> None:
    def left(x: float) -> float:
        return 250.0 - 100.0 * ramps.load_torque_share(load, x, full)

    assert ramps.ramp_s(inertia * factor, 1750.0, left) > ramps.ramp_s(inertia, 1750.0, left)


def test_ramp_agrees_with_the_closed_form_of_a_quadratic_load() -> None:
    """Integral of J d(omega) / (a - b x²) = J omega artanh(sqrt(b / a)) / sqrt(a b)."""
    a, b = 160.0, 90.0
    closed = 2.0 * ramps.radians_per_second(1480.0) * math.atanh(math.sqrt(b / a)) / math.sqrt(a * b)
    assert ramps.ramp_s(2.0, 1480.0, lambda x: a - b * x * x) == pytest.approx(closed, rel=1e-4)


def test_ramp_agrees_with_stepping_through_time() -> None:
    """Second opinion: explicit steps of 0.5 ms."""
    omega_end, omega, t = ramps.radians_per_second(1750.0), 0.0, 0.0
    while omega < omega_end:
        omega += (120.0 - 60.0 * (omega / omega_end) ** 2) / 1.5 * 0.0005
        t += 0.0005
    assert ramps.ramp_s(1.5, 1750.0, lambda x: 120.0 - 60.0 * x * x) == pytest.approx(t, rel=1e-3)


def test_a_load_above_the_motor_is_never_brought_up() -> None:
    with pytest.raises(OutOfRangeError, match="torque left over"):
        ramps.ramp_s(1.0, 1750.0, lambda x: 90.0 - 100.0 * x * x)


@FAST
@given(st.floats(1e-5, 1e-1), st.floats(10.0, 1e6), st.floats(60.0, 1000.0))
def test_discharge_time_brings_the_bus_to_50_v(farads: float, ohms: float, volts: float) -> None:
    seconds = dc_bus.discharge_time_s(ohms, farads, volts, dc_bus.SAFE_VOLTS)
    assert dc_bus.volts_after(volts, seconds, dc_bus.time_constant_s(ohms, farads)) == pytest.approx(50.0)


@FAST
@given(st.floats(0.0, 5000.0), st.floats(0.0, 5000.0))
def test_thinner_air_takes_more_airflow(one: float, other: float) -> None:
    low, high = sorted((one, other))
    dense, thin = (atmosphere.air_density_kg_m3(h, 35.0) for h in (low, high))
    assert heat.airflow_needed_m3_h(500.0, 10.0, air_density_kg_m3=thin) >= heat.airflow_needed_m3_h(
        500.0, 10.0, air_density_kg_m3=dense
    )


@FAST
@given(st.floats(1.0, 5000.0), st.floats(1.0, 30.0))
def test_airflow_holds_the_rise_it_was_computed_for(losses: float, rise: float) -> None:
    airflow = heat.airflow_needed_m3_h(losses, rise, surface=1.0, wall_w_per_m2_k=5.5)
    found = heat.temperature_rise_k(losses, surface=1.0, wall_w_per_m2_k=5.5, airflow_m3_h=airflow)
    assert found <= rise * (1 + 1e-9)


@FAST
@given(share, share, st.sampled_from(LOADS))
def test_current_rises_with_speed_and_stays_between_its_ends(one: float, other: float, load: str) -> None:
    slow, fast = (
        pumps_and_fans.expected_current_a(
            x, load_type=load, full_share=0.9, rated_current_a=27.0, no_load_current_a=9.0
        )
        for x in sorted((one, other))
    )
    if load == "quadratic":
        assert 9.0 <= slow <= fast <= 27.0
    else:
        assert min(slow, fast) >= 9.0


@FAST
@given(share, share)
def test_a_pump_against_static_head_turns_faster_for_the_same_flow(flow: float, static: float) -> None:
    assert pumps_and_fans.speed_for_flow(flow, static) >= flow - 1e-12
    assert pumps_and_fans.speed_for_flow(flow, 0.0) == pytest.approx(flow)
    assert pumps_and_fans.power_share_for_flow(flow, static) >= pumps_and_fans.power_at(1.0, flow) - 1e-12


@FAST
@given(st.floats(0, 100), st.floats(500, 20000), st.floats(5000, 200000))
def test_a_loaded_wiper_reads_low_but_right_at_both_ends(turn: float, ohms: float, load: float) -> None:
    assert speed_reference.loaded_wiper_percent(turn, ohms, load) <= turn + 1e-9
    assert speed_reference.loaded_wiper_percent(0.0, ohms, load) == 0.0
    assert speed_reference.loaded_wiper_percent(100.0, ohms, load) == pytest.approx(100.0)
    assert turn - speed_reference.loaded_wiper_percent(turn, ohms, load) <= (
        speed_reference.loading_error_percent(ohms, load)[0] * 1.01 + 1e-9
    )


@pytest.mark.parametrize("name", speed_reference.FORMATS)
@pytest.mark.parametrize("percent", [0.0, 25.0, 50.0, 75.0, 100.0])
def test_a_signal_comes_back_as_the_percentage_it_stands_for(name: str, percent: float) -> None:
    chosen = speed_reference.FORMATS[name]
    signal = speed_reference.signal_at(name, percent)
    assert speed_reference.percent_of(signal, chosen.low, chosen.high) == pytest.approx(percent)


def test_a_full_turn_commands_zero_to_maximum_frequency() -> None:
    """Common practice, no source: one turn of a potentiometer on 0-10 V is 0 to highest frequency."""
    ends = [speed_reference.frequency_at(p, min_frequency_hz=0.0, max_frequency_hz=60.0) for p in (0.0, 100.0)]
    assert ends == [0.0, 60.0]


@FAST
@given(st.floats(0, 100), st.floats(0, 100))
def test_a_warmer_winding_may_read_lower(one: float, other: float) -> None:
    cold, warm = sorted((one, other))
    for rule in (0, 1):
        needed = [insulation.raw_limit_mohm(5.0, t)[rule] for t in (cold, warm)]
        assert needed[1] <= needed[0] * (1 + 1e-12)


FIELD_TABLE = {
    0: (80, 9.0), 10: (40, 7.6), 20: (20, 6.6), 25: (14.1, 6.1), 30: (10, 5.7), 40: (5, 5.0), 50: (2.5, 3.3),
    60: (1.2, 2.2),
}  # fmt: skip


@pytest.mark.parametrize("celsius", FIELD_TABLE, ids=lambda c: f"IEEE 43-2013, raw limit for 5 MΩ at {c} °C")
def test_raw_limits_as_carried_in_the_field(celsius: int) -> None:
    halving, thermoset = insulation.raw_limit_mohm(5.0, celsius)
    assert halving == pytest.approx(FIELD_TABLE[celsius][0], abs=0.051)
    assert thermoset == pytest.approx(FIELD_TABLE[celsius][1], abs=0.051)


BUS_VOLTS = {208: (294, 281), 400: (566, 540), 480: (679, 648), 575: (813, 776), 690: (976, 932)}


@pytest.mark.parametrize("line", BUS_VOLTS, ids=lambda v: f"textbook, bus of a {v} V line")
def test_bus_volts(line: int) -> None:
    assert dc_bus.no_load_volts(line) == pytest.approx(BUS_VOLTS[line][0], abs=0.5)
    assert dc_bus.loaded_volts(line) == pytest.approx(BUS_VOLTS[line][1], abs=0.65)


@FAST
@given(st.floats(1.0, 120.0), st.floats(300.0, 600.0))
def test_the_volts_per_hertz_line_never_leaves_plate_or_supply(frequency: float, supply: float) -> None:
    volts = volts_per_hertz.output_voltage_v(
        frequency, plate_voltage_v=460.0, plate_frequency_hz=60.0, supply_voltage_v=supply
    )
    assert 0.0 < volts <= min(460.0, supply) + 1e-9
    corners = dict(volts_per_hertz.curve(460.0, 60.0, supply, 90.0))
    assert corners[90.0] == pytest.approx(min(460.0, supply))


def test_between_federal_ratings_the_midpoint_goes_up() -> None:
    """10 CFR 431.25: at or above the midpoint the higher rating's row."""
    at_10, at_15 = (motor_efficiency.us_minimum_percent(p, 4, enclosed=True) for p in (10.0, 15.0))
    assert motor_efficiency.us_minimum_percent(12.4, 4, enclosed=True) == at_10
    assert motor_efficiency.us_minimum_percent(12.5, 4, enclosed=True) == at_15


def test_what_no_table_or_formula_covers_is_refused() -> None:
    with pytest.raises(OutsideTableError):
        motor_efficiency.us_minimum_percent(0.5, 4, enclosed=True)
    with pytest.raises(OutsideTableError):
        motor_efficiency.iec_limit_percent("IE3", 1500.0, 4, 50.0)
    with pytest.raises(OutsideTableError):
        motor_on_drive.turn_down("quadratic", "", inverter_duty=True)
    with pytest.raises(OutOfRangeError, match="speed rpm is 1900"):
        motor.poles_from_speed(30.0, 1900.0)
    with pytest.raises(OutOfRangeError, match="poles"):
        motor.synchronous_speed_rpm(60.0, 0)
    with pytest.raises(OutOfRangeError, match="carrier"):
        rating.carrier_factor(12.0, [(4.0, 1.0)])
    with pytest.raises(OutOfRangeError):
        dc_bus.discharge_time_s(1e5, 1e-3, 40.0, 50.0)


def test_the_range_error_pickles() -> None:
    again = pickle.loads(pickle.dumps(OutOfRangeError("poles", 3, "an even number from 2")))
    assert isinstance(again, ValueError)
    assert (again.name, again.value, str(again)) == ("poles", 3, "poles is 3; accepted: an even number from 2")


@FAST
@given(st.floats(0.001, 10), st.floats(0.0, 100), st.floats(0.2, 50), st.floats(100, 3600))
def test_energy_is_the_same_seen_from_motor_or_machine(own: float, load: float, ratio: float, speed: float) -> None:
    reflected = transmission.reflected_inertia_kg_m2(own, load, ratio)
    at_motor = braking.kinetic_energy_j(reflected, speed)
    apart = braking.kinetic_energy_j(own, speed) + braking.kinetic_energy_j(
        load, transmission.machine_speed_rpm(speed, ratio)
    )
    assert at_motor == pytest.approx(apart)


@FAST
@given(st.floats(1, 400), st.floats(1, 400), st.floats(0.2, 6))
def test_a_longer_control_wire_never_leaves_more_volts(one: float, other: float, area: float) -> None:
    near, far = (
        control_supply.volts_at_input(
            24.0, input_ma=8.0, inputs_on_common=6, conductor=control_supply.conductor_ohm(x, area)
        )
        for x in sorted((one, other))
    )
    assert far <= near < 24.0
