"""Published worked examples of the supply side against our functions."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from worked_example_rows import Example, examples

from binder.engineering import (
    cable_length,
    conductors,
    conductors_iec,
    harmonic_limits,
    harmonics,
    protection,
    short_circuit,
    supply,
    voltage_drop,
)

TOPICS = (
    "branch_circuit_nec", "branch_circuit_iec", "voltage_drop", "short_circuit", "harmonics", "reflected_wave",
    "unbalance",
)  # fmt: skip
Given = dict[str, float]
TIME_DELAY = "dual-element time-delay fuse"

#: Rows that nothing of ours computes, and why.
NOT_OURS = {
    ("RW-04", "wavelength"): "phase constant of a carrier line; pulses are reckoned by speed and rise time",
    ("RW-04", "velocity"): "phase constant of a carrier line; pulses are reckoned by speed and rise time",
}


def _line(g: Given) -> tuple[float, float]:
    return g["L"] / 1e6, g["C"] / 1e9  # per km -> per m


def _currents(g: Given) -> list[float]:
    return [g["I_1"], g["I_2"], g["I_3"]]


def _voltages(g: Given) -> list[float]:
    return [g["U_ab"], g["U_bc"], g["U_ca"]]


def _thd(g: Given) -> float:
    return harmonics.root_sum([g["h3"], g["h5"]])


def _fault(g: Given, **more: float) -> float:
    return short_circuit.transformer_fault_a(g["S"], g["U"], g["z"], phases=int(g.get("phases", 3)), **more)


def _run(g: Given) -> short_circuit.PointToPoint:
    return short_circuit.point_to_point(
        g["I_start"], g["L"], g["C"], g["U"], parallel=int(g["n_parallel"]), phases=int(g["phases"])
    )


def _two_runs(g: Given) -> tuple[float, float]:
    panel = short_circuit.point_to_point(g["I_start"], g["L_1"], g["C_1"], g["U"], phases=1).current_a
    return panel, short_circuit.point_to_point(panel, g["L_2"], g["C_2"], g["U"], phases=1).current_a


def _iec_needed(g: Given) -> float:
    return conductors_iec.required_table_current_a(g["I_n"], ambient=g["C_ambient"], grouping=g["C_group"])


def _iec_size(g: Given) -> str:
    assert conductors_iec.ambient_factor(35.0, 70) == g["C_ambient"]
    size = conductors_iec.smallest_size_mm2(g["I_n"], "B2", insulation_c=70, ambient_c=35.0)
    return f"{size:g} mm2 ({conductors_iec.table_capacity_a(size, 'B2', 70):g} A)"


def _copper(label: str) -> str:
    return f"{label} Cu"


def _smallest(g: Given) -> str:
    needed = conductors.required_ampacity_a(g["FLC_table"])
    return conductors.smallest_size(needed, insulation_c=75, terminal_c=int(g["termination"]), ambient_c=30)


COMPUTED: dict[tuple[str, str], Callable[[Given], float | str]] = {
    ("NEC-02", "I_conductor_min"): lambda g: conductors.required_ampacity_a(
        protection.table_full_load_current_a(g["P_hp"], g["U"])
    ),
    ("NEC-02", "conductor_ampacity_10_AWG"): lambda g: conductors.table_ampacity_a(_smallest(g), int(g["termination"])),
    ("NEC-04", "I_conductor_min"): lambda g: conductors.required_ampacity_a(
        protection.table_full_load_current_a(g["P_hp"], g["U"], phases=1)
    ),
    ("NEC-04", "conductor"): lambda g: _copper(_smallest(g)),
    ("NEC-04", "device_max"): lambda g: protection.largest_device(
        g["FLC_table"], "inverse-time breaker", motor_type="single_phase"
    ).allowed_a,
    ("NEC-06", "egc"): lambda g: _copper(protection.earth_size(g["I_device"])),
    ("NEC-07", "I_fuse_limit"): lambda g: protection.largest_device(g["FLC"], TIME_DELAY).computed_a,
    ("NEC-07", "fuse_next_size_up"): lambda g: protection.largest_device(g["FLC"], TIME_DELAY).allowed_a,
    ("NEC-07", "egc_by_table"): lambda g: _copper(
        protection.earth_size(protection.largest_device(g["FLC"], TIME_DELAY).allowed_a)
    ),
    ("IEC-01", "I_t_min"): _iec_needed,
    ("IEC-01", "conductor"): _iec_size,
    ("VD-01", "U_drop"): lambda g: voltage_drop.table_drop_v(g["vd_table"], g["I"], g["L"]),
    ("VD-02", "vd_table_max"): lambda g: voltage_drop.allowed_table_value(g["U_drop_max"], g["I"], g["L"]),
    ("VD-02", "U_drop_limit_of_415_V"): lambda _: 0.025 * 415,
    ("VD-03", "U_drop"): lambda g: voltage_drop.table_drop_v(g["vd_table"], 1000 * g["P"] / g["U"], g["L"]),
    ("VD-03", "U_drop_percent"): lambda g: voltage_drop.drop_percent(
        voltage_drop.table_drop_v(g["vd_table"], 1000 * g["P"] / g["U"], g["L"]), g["U"]
    ),
    ("RW-03", "i_surge"): lambda g: cable_length.charging_current_a(1000 * g["u"], g["Z_c"]),
    ("RW-03", "P_surge"): lambda g: g["u"] * cable_length.charging_current_a(1000 * g["u"], g["Z_c"]) / 1000,
    ("RW-06", "Z_c"): lambda g: cable_length.surge_impedance_ohm(*_line(g)),
    ("RW-06", "velocity"): lambda g: 1000 * cable_length.wave_speed_m_per_us(*_line(g)),
    ("RW-06", "wavelength"): lambda g: 1000 * cable_length.wave_speed_m_per_us(*_line(g)) / g["f"],
    ("RW-07", "tau_open_end"): lambda g: 1 + cable_length.reflection_factor(g["Z_load"], g["Z_0"]),
    ("RW-07", "tau_short"): lambda g: 1 + cable_length.reflection_factor(g["Z_short"], g["Z_0"]),
    ("HAR-02", "Isc_over_IL"): lambda g: g["I_sc"] / g["I_L"],
    ("HAR-02", "TDD_limit"): lambda g: harmonic_limits.tdd_limit_percent(g["I_sc"] / g["I_L"]),
    ("HAR-03", "Isc_over_IL"): lambda g: g["I_sc"] / g["I_L"],
    ("HAR-03", "TDD_limit"): lambda g: harmonic_limits.tdd_limit_percent(g["I_sc"] / g["I_L"]),
    **{("HAR-04", f"I_{h}"): (lambda _, h=h: harmonics.ideal_percent(h)) for h in (5, 11, 13, 17, 19, 23, 25)},
    ("HAR-04", "f_5"): lambda g: harmonics.ORDERS[0] * g["f"],
    ("HAR-04", "f_7"): lambda g: harmonics.ORDERS[1] * g["f"],
    ("HAR-06", "U_1_rms"): lambda g: harmonics.fundamental_of_rms(g["U_rms"], _thd(g)),
    ("HAR-06", "U_1_peak"): lambda g: math.sqrt(2) * harmonics.fundamental_of_rms(g["U_rms"], _thd(g)),
    ("HAR-07", "U_drop_per_phase"): lambda g: harmonics.reactor_drop_per_phase_v(g["U_line"], g["x"]),
    ("UNB-01", "U_mean"): lambda g: sum(_voltages(g)) / 3,
    ("UNB-01", "unbalance"): lambda g: supply.unbalance_percent(_voltages(g)),
    ("UNB-03", "T_rise_extra"): lambda g: supply.unbalance_extra_rise_k(g["T_rise_balanced"], g["unbalance"]),
    ("UNB-06", "unbalance"): lambda g: supply.unbalance_percent(_currents(g)),
    ("UNB-07", "unbalance"): lambda g: supply.unbalance_percent(_currents(g)),
    ("SC-02", "I_rated"): lambda g: supply.rated_current_a(g["S"], g["U"], phases=1),
    ("SC-02", "I_sc"): lambda g: _fault(g, impedance_tolerance=g["z_tolerance"]),
    ("SC-03", "f"): lambda g: _run(g).factor,
    ("SC-03", "M"): lambda g: _run(g).multiplier,
    ("SC-03", "I_end"): lambda g: _run(g).current_a,
    ("SC-04", "I_panel"): lambda g: _two_runs(g)[0],
    ("SC-04", "I_branch_end"): lambda g: _two_runs(g)[1],
    ("SC-05", "I_rated"): lambda g: supply.rated_current_a(g["S"], g["U"]),
    ("SC-05", "I_sc"): _fault,
    ("SC-09", "S_sc"): lambda g: short_circuit.fault_power_mva(
        short_circuit.generator_fault_a(1000 * g["S"], g["U"], g["x"]), g["U"]
    ),
    ("SC-09", "I_sc"): lambda g: short_circuit.generator_fault_a(1000 * g["S"], g["U"], g["x"]),
}  # fmt: skip

ROWS = examples(*TOPICS)


@pytest.mark.parametrize("example", [e for e in ROWS if e.key not in NOT_OURS], ids=lambda e: e.label)
def test_published_supply_example_comes_out_within_its_own_rounding(example: Example) -> None:
    found = COMPUTED[example.key](example.given)
    if example.tolerance is None:
        assert found == example.expected
    else:
        assert found == pytest.approx(example.expected, abs=example.tolerance, rel=0)


def test_every_supply_row_is_computed_or_left_out_with_a_reason() -> None:
    keys = {e.key for e in ROWS}
    assert keys == set(COMPUTED) | set(NOT_OURS)
    assert not set(COMPUTED) & set(NOT_OURS)
