"""Published worked examples of motor, drive, signals and tests against our functions."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from worked_example_rows import Example, examples

from binder.engineering import (
    braking,
    control_supply,
    dc_bus,
    heat,
    insulation,
    motor,
    motor_on_drive,
    protection,
    pumps_and_fans,
    ramps,
    rating,
    speed_reference,
    three_phase,
    transmission,
    volts_per_hertz,
)
from binder.inventory.quantities import ureg

TOPICS = (
    "motor", "three_phase_power", "drive_rating", "dc_bus", "capacitor_discharge", "acceleration", "braking",
    "belt_gear", "affinity", "volts_per_hertz", "speed_reference", "pulse_frequency", "control_supply_dc",
    "enclosure_heat", "insulation", "motor_overload",
)  # fmt: skip

Given = dict[str, float]
HP_KW = 0.746
INCH_M = 0.0254
KGF_N = 9.81

#: Rows that nothing of ours computes, and why.
NOT_OURS = {
    ("PWR-02", "R_phase"): "impedance of a passive load; a drive's motor is not one",
    ("PWR-02", "L_phase"): "impedance of a passive load; a drive's motor is not one",
    ("DCB-03", "I_diode_mean"): "rectifier diode rating, inside the drive",
    ("DCB-03", "I_diode_rms"): "rectifier diode rating, inside the drive",
    ("BRK-03", "U_chopper"): "regenerative chopper of a DC series machine",
    ("BRK-03", "P_regenerated"): "regenerative chopper of a DC series machine",
    ("BRK-03", "R_equivalent"): "regenerative chopper of a DC series machine",
    ("BRK-03", "E_back"): "regenerative chopper of a DC series machine",
    ("BRK-05", "pulses_in_window"): "one maker's rating rule for braking in a ten-minute window",
    ("BRK-05", "P_allowed_over_P_max"): "one maker's rating rule for braking in a ten-minute window",
    ("BRK-06", "P_allowed_over_P_max"): "one maker's rating rule for braking in a ten-minute window",
    ("PLS-05", "counts"): "counts of a counter card in a sample time",
}


def _affinity(g: Given, what: str) -> float:
    ratio = g["n_2"] / g["n_1"]
    return {
        "Q_2": pumps_and_fans.flow_at(g["Q_1"], ratio),
        "H_2": pumps_and_fans.head_at(g["H_1"], ratio),
        "P_2": pumps_and_fans.power_at(g["P_1"], ratio),
    }[what]


def _weighted(g: Given, n: int) -> float:
    shaft = g[f"P_{n}"] * HP_KW
    return g[f"share_{n}"] / 100 * pumps_and_fans.input_power_kw(shaft, g[f"eff_m{n}"], g[f"eff_d{n}"])


def _saved_kwh(g: Given) -> float:
    shaft = g["P"] * HP_KW
    before = pumps_and_fans.input_power_kw(shaft, g["eff_before"], 100)
    return (before - pumps_and_fans.input_power_kw(shaft, g["eff_after"], 100)) * g["hours"]


def _belt_load_inertia(g: Given) -> float:
    """Inertia at the motor with the kinetic energy of the mass on the belt."""
    mass = g["rate"] * 1000 / 3600 * g["L"] / g["v"]
    return 0.5 * mass * g["v"] ** 2 / braking.kinetic_energy_j(1.0, g["n_motor"])


def _stop_s(g: Given) -> float:
    speed = motor.synchronous_speed_rpm(g["f"], int(g["poles"]))
    return ramps.even_ramp_s(g["J"], speed, g["T_brake"] * g["g"])


def _angular_acceleration(g: Given) -> float:
    rpm = g["v"] / g["r"] * 30 / 3.141592653589793
    return ramps.accelerating_torque_nm(1.0, rpm, g["t"])  # torque on 1 kg·m² is the acceleration


def _series(g: Given) -> tuple[float, float]:
    """Farads and ohms of the example with two resistors."""
    return g["C"] * 1e-6, (g["R_1"] + g["R_2"]) * 1e3


def _charged(g: Given, seconds: float, ohms: float) -> float:
    tau = dc_bus.time_constant_s(ohms, g["C"] * 1e-6)
    return g["E"] - dc_bus.volts_after(g["E"], seconds, tau)


def _box(g: Given) -> float:
    return heat.surface_m2(g["height"] * INCH_M, g["width"] * INCH_M, g["depth"] * INCH_M) / (12 * INCH_M) ** 2


COMPUTED: dict[tuple[str, str], Callable[[Given], float]] = {
    ("MOT-01", "n_sync"): lambda g: motor.synchronous_speed_rpm(g["f"], int(g["poles"])),
    ("MOT-01", "slip"): lambda g: motor.slip_percent(motor.synchronous_speed_rpm(g["f"], int(g["poles"])), g["n"]),
    ("MOT-02", "poles"): lambda g: motor.poles_from_speed(g["f"], g["n_sync"]),
    ("MOT-02", "slip"): lambda g: motor.slip_percent(g["n_sync"], g["n"]),
    ("MOT-03", "n_sync"): lambda g: motor.synchronous_speed_rpm(g["f"], int(g["poles"])),
    ("MOT-03", "n"): lambda g: motor.speed_rpm(g["f"], int(g["poles"]), g["slip"]),
    ("MOT-05", "f"): lambda g: g["n_source"] / motor.synchronous_speed_rpm(1.0, int(g["poles_source"])),
    ("MOT-05", "n"): lambda g: motor.speed_rpm(
        g["n_source"] / motor.synchronous_speed_rpm(1.0, int(g["poles_source"])), int(g["poles"]), g["slip"]
    ),
    ("MOT-06", "n_low"): lambda g: motor.speed_rpm(g["f"], int(g["poles"]), g["slip_low_speed"]),
    ("MOT-06", "n_high"): lambda g: motor.speed_rpm(g["f"], int(g["poles"]), g["slip_high_speed"]),
    ("MOT-11", "I_locked_rotor"): lambda g: motor.locked_rotor_current_a(g["P_hp"], g["kVA_per_hp"], g["U"]),
    ("PWR-01", "P"): lambda g: 1000 * three_phase.power_kw(g["U"], g["I"], g["pf"]),
    ("PWR-02", "I_line"): lambda g: three_phase.line_current_a(g["P"] / 1000, g["U"], g["pf"]),
    ("DRV-01", "k_altitude"): lambda g: rating.slope_factor(g["altitude"], g["free_altitude"], 1.0, 100.0),
    ("DRV-03", "k_ambient"): lambda g: rating.slope_factor(g["ambient"], g["free_ambient"], 1.0),
    ("DRV-05", "k_a"): lambda g: rating.slope_factor(g["ambient_a"], g["free_ambient"], 1.0),
    ("DRV-05", "k_b"): lambda g: rating.slope_factor(g["ambient_b"], g["free_ambient"], 1.0),
    ("DRV-05", "k_c"): lambda g: rating.slope_factor(g["ambient_c"], g["free_ambient"], 1.0),
    ("DRV-07", "P_drive_hp"): lambda g: rating.drive_power_for_single_phase(g["P_motor_hp"], g["derate"] / 100),
    ("DCB-02", "U_phase_peak"): lambda g: dc_bus.no_load_volts(g["U_phase"]),
    ("DCB-02", "U_dc_peak"): lambda g: dc_bus.no_load_volts(three_phase.SQRT3 * g["U_phase"]),
    ("DCB-03", "U_peak_inverse"): lambda g: dc_bus.no_load_volts(three_phase.SQRT3 * g["U_phase"]),
    ("CAP-01", "tau"): lambda g: 1000 * dc_bus.time_constant_s(g["R"], g["C"] * 1e-6),
    ("CAP-01", "t"): lambda g: 1000 * dc_bus.discharge_time_s(g["R"], g["C"] * 1e-6, g["U_0"], g["U_end"]),
    ("CAP-04", "tau"): lambda g: 1000 * dc_bus.time_constant_s(g["R"], g["C"] * 1e-6),
    ("CAP-04", "I_0"): lambda g: 1000 * dc_bus.volts_after(g["E"], 0.0, 1.0) / g["R"],
    ("CAP-04", "U_C_at_tau"): lambda g: _charged(g, dc_bus.time_constant_s(g["R"], g["C"] * 1e-6), g["R"]),
    ("CAP-05", "tau"): lambda g: dc_bus.time_constant_s(g["R"] * 1e6, g["C"] * 1e-6),
    ("CAP-05", "I_0"): lambda g: dc_bus.volts_after(g["E"], 0.0, 1.0) / g["R"],  # V over MΩ is µA
    ("CAP-05", "U_C"): lambda g: _charged(g, g["t"], g["R"] * 1e6),
    ("CAP-05", "U_R"): lambda g: g["E"] - _charged(g, g["t"], g["R"] * 1e6),
    ("CAP-06", "tau_charge"): lambda g: dc_bus.time_constant_s(g["R_1"] * 1e3, g["C"] * 1e-6),
    ("CAP-06", "tau_discharge"): lambda g: dc_bus.time_constant_s(_series(g)[1], _series(g)[0]),
    ("CAP-06", "U_R2_after_tau"): lambda g: dc_bus.volts_after(g["U_0"], 1.0, 1.0) * g["R_2"] / (g["R_1"] + g["R_2"]),
    ("ACC-02", "alpha"): _angular_acceleration,
    ("ACC-02", "a"): lambda g: _angular_acceleration(g) * g["r"],
    ("ACC-03", "J_equivalent"): lambda g: transmission.reflected_inertia_kg_m2(
        g["J_motor"], g["J_load"], 1 / g["teeth_ratio"]
    ),
    ("ACC-03", "T_referred"): lambda g: transmission.torque_at_motor_nm(
        g["T_load"], 1 / g["teeth_ratio"], g["efficiency"]
    ),
    ("ACC-03", "P"): lambda g: ramps.radians_per_second(g["n_motor"])
    * transmission.torque_at_motor_nm(g["T_load"], 1 / g["teeth_ratio"], g["efficiency"]),
    ("ACC-06", "J_load"): _belt_load_inertia,
    ("ACC-06", "T_accelerating"): lambda g: ramps.accelerating_torque_nm(
        g["J_motor"] + _belt_load_inertia(g), g["n_motor"], g["t"]
    ),
    ("BRK-07", "t_stop"): _stop_s,
    ("BRK-07", "turns"): lambda g: ramps.turns(motor.synchronous_speed_rpm(g["f"], int(g["poles"])), _stop_s(g)),
    ("BLT-03", "n_2"): lambda g: transmission.machine_speed_rpm(
        g["n_1"], transmission.ratio_from_sheaves(g["d_1"], g["d_2"])
    ),
    ("BLT-05", "ratio"): lambda g: transmission.ratio_from_sheaves(g["z_1"], g["z_3"]),
    ("BLT-05", "n_3"): lambda g: transmission.machine_speed_rpm(
        g["n_1"], transmission.ratio_from_sheaves(g["z_1"], g["z_3"])
    ),
    ("BLT-06", "d_motor"): lambda g: transmission.sheave_for_speed_mm(g["d_driven"], g["n_motor"], g["n_driven"]),
    ("AFF-01", "Q_2"): lambda g: _affinity(g, "Q_2"),
    ("AFF-01", "H_2"): lambda g: _affinity(g, "H_2"),
    ("AFF-01", "P_2"): lambda g: _affinity(g, "P_2"),
    ("AFF-02", "n_2"): lambda g: pumps_and_fans.flow_at(g["n_1"], 1 - g["reduction"] / 100),
    ("AFF-02", "Q_2a"): lambda g: pumps_and_fans.flow_at(g["Q_a"], 1 - g["reduction"] / 100),
    ("AFF-02", "Q_2b"): lambda g: pumps_and_fans.flow_at(g["Q_b"], 1 - g["reduction"] / 100),
    ("AFF-04", "flow_increase"): lambda g: pumps_and_fans.flow_at(100, 1 + g["speed_increase"] / 100) - 100,
    ("AFF-04", "head_increase"): lambda g: pumps_and_fans.head_at(100, 1 + g["speed_increase"] / 100) - 100,
    ("AFF-04", "power_increase"): lambda g: pumps_and_fans.power_at(100, 1 + g["speed_increase"] / 100) - 100,
    ("AFF-06", "P_weighted_1"): lambda g: _weighted(g, 1),
    ("AFF-06", "P_weighted_2"): lambda g: _weighted(g, 2),
    ("AFF-06", "P_weighted_total"): lambda g: sum(_weighted(g, n) for n in (1, 2, 3)),
    ("AFF-08", "E_saved"): _saved_kwh,
    ("AFF-08", "saved"): lambda g: _saved_kwh(g) * g["price"],
    ("VHZ-03", "ratio"): lambda g: volts_per_hertz.ratio_v_per_hz(g["U"], g["f"]),
    ("VHZ-04", "voltage_reduction"): lambda g: 100
    * (1 - motor.voltage_at_frequency_v(g["U"], g["f"], g["f_run"]) / g["U"]),
    ("VHZ-05", "beta"): lambda g: motor_on_drive.highest_frequency_ratio(g["T_at_base"], g["T_breakdown_required"]),
    ("REF-02", "value"): lambda g: speed_reference.scaled(g["signal"], g["range_low"], g["range_high"]),
    ("REF-03", "value_a"): lambda g: speed_reference.scaled(
        speed_reference.percent_of(g["I"], 4, 20), g["range_a_low"], g["range_a_high"]
    ),
    ("REF-03", "value_b"): lambda g: speed_reference.scaled(
        speed_reference.percent_of(g["I"], 4, 20), g["range_b_low"], g["range_b_high"]
    ),
    ("REF-03", "I_c"): lambda g: speed_reference.signal_at(
        "4-20 mA", speed_reference.percent_of(g["value_c"], 0, g["range_c_high"])
    ),
    ("REF-05", "offset"): lambda g: speed_reference.low_end_percent(g["f_at_zero"], g["f_max"]),
    ("REF-05", "gain"): lambda g: 100 - speed_reference.low_end_percent(g["f_at_zero"], g["f_max"]),
    ("REF-05", "f_at_mid_signal"): lambda g: speed_reference.frequency_at(
        50, min_frequency_hz=g["f_at_zero"], max_frequency_hz=g["f_max"]
    ),
    ("PLS-01", "f"): lambda g: speed_reference.pulse_frequency_hz(g["n"], g["ppr"]),
    ("PLS-03", "n"): lambda g: speed_reference.speed_from_pulses_rpm(g["pulses"], g["window"], g["ppr"]),
    ("CDC-02", "U_drop"): lambda g: control_supply.drop_v(g["I"], 1.27 * g["L"] / 100),
    ("CDC-03", "U_min"): lambda g: control_supply.lowest_supply_v(g["U"], g["tolerance_low"]),
    ("CDC-03", "R_loop_max"): lambda g: control_supply.largest_loop_ohm(g["U_drop_allowed"], g["I"]),
    ("ENC-01", "A"): _box,
    ("ENC-01", "p"): lambda g: heat.heat_density_w_m2(g["P"], _box(g)),
    ("ENC-03", "P"): lambda g: ureg.Quantity(g["q"], "Btu/hour").to("watt").magnitude,
    ("ENC-03", "T_inside"): lambda g: heat.inside_c((g["T_ambient"] - 32) / 1.8, g["dT"] / 1.8) * 1.8 + 32,
    ("INS-03", "R_b"): lambda g: insulation.at_temperature_mohm(g["R_a"], g["T_a"], g["T_b"]),
    ("INS-04", "PI"): lambda g: insulation.polarization_index(g["R_1min"], g["R_10min"]),
    ("INS-05", "PI"): lambda g: insulation.polarization_index(g["R_1min"], g["R_10min"]),
    ("OVL-01", "I_overload_max"): lambda g: protection.largest_overload_setting_a(
        g["I_nameplate"], service_factor=g["service_factor"]
    ),
}  # fmt: skip

ROWS = examples(*TOPICS)


@pytest.mark.parametrize("example", [e for e in ROWS if e.key not in NOT_OURS], ids=lambda e: e.label)
def test_published_example_comes_out_within_its_own_rounding(example: Example) -> None:
    assert example.tolerance is not None
    found = COMPUTED[example.key](example.given)
    assert found == pytest.approx(example.expected, abs=example.tolerance, rel=0)


def test_every_row_is_computed_or_left_out_with_a_reason() -> None:
    keys = {e.key for e in ROWS}
    assert keys == set(COMPUTED) | set(NOT_OURS)
    assert not set(COMPUTED) & set(NOT_OURS)
