"""Second opinions by general libraries: fluids (air, motor table), scipy (integration, roots), numpy (networks)."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from fluids.atmosphere import ATMOSPHERE_1976
from fluids.constants import hp
from fluids.pump import CSA_motor_efficiency, nema_sizes_hp
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from binder.engineering import (
    atmosphere,
    braking,
    dc_bus,
    impedance,
    motor_efficiency,
    pumps_and_fans,
    ramps,
    short_circuit,
    voltage_drop,
)


@pytest.mark.parametrize("altitude_m", [0, 300, 420, 1000, 1609, 2000, 3000, 4000])
def test_air_against_an_atmosphere_model(altitude_m: int) -> None:
    model = ATMOSPHERE_1976(altitude_m)
    assert atmosphere.pressure_kpa(altitude_m) == pytest.approx(model.P / 1000, rel=2e-4)
    assert atmosphere.temperature_c(altitude_m) == pytest.approx(model.T - 273.15, abs=0.01)
    density = atmosphere.air_density_kg_m3(altitude_m, model.T - 273.15)
    assert density == pytest.approx(model.rho, rel=2e-4)


def test_motor_efficiencies_against_a_second_table_cell_by_cell() -> None:
    """CSA C390 table of high efficiency, as the library holds it, against 10 CFR 431.25 Table 5."""
    cells = [(s, poles, shut) for s in nema_sizes_hp if 1 <= s <= 200 for poles in (2, 4, 6) for shut in (True, False)]
    assert len(cells) == 132
    for size, poles, enclosed in cells:
        second = 100 * CSA_motor_efficiency(size * hp, closed=enclosed, poles=poles, high_efficiency=True)
        ours = motor_efficiency.us_minimum_percent(size, poles, enclosed=enclosed)
        assert ours == pytest.approx(second, abs=1e-6), (size, poles, enclosed)


@pytest.mark.parametrize(
    ("load_type", "share"), [("quadratic", 0.9), ("constant torque", 0.8), ("quadratic", 0.0)], ids=str
)
def test_ramp_against_stepwise_integration(load_type: str, share: float) -> None:
    """J dw/dt = T motor - T load, integrated until the speed is reached."""
    inertia, speed, rated, motor_share = 0.152, 1470.0, 97.4, 1.274
    full = speed * 2 * math.pi / 60

    def left_over(part: float) -> float:
        return rated * (motor_share - ramps.load_torque_share(load_type, part, share))

    def reached(_: float, omega: np.ndarray) -> float:
        return float(omega[0] - full)

    reached.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(
        lambda _, omega: [left_over(omega[0] / full) / inertia], (0.0, 100.0), [0.0],
        events=reached, rtol=1e-9, atol=1e-9,
    )  # fmt: skip
    assert ramps.ramp_s(inertia, speed, left_over) == pytest.approx(found.t_events[0][0], rel=1e-4)


def test_braking_energy_against_integrated_power() -> None:
    """Power torque x speed over an even ramp gives the kinetic energy."""
    inertia, speed, seconds = 5.95, 1480.0, 90.0
    full = speed * 2 * math.pi / 60
    torque = ramps.accelerating_torque_nm(inertia, speed, seconds)
    energy, _ = quad(lambda t: torque * full * (1 - t / seconds), 0.0, seconds)
    assert braking.kinetic_energy_j(inertia, speed) == pytest.approx(energy, rel=1e-9)


def test_bus_discharge_against_stepwise_integration() -> None:
    """C dU/dt = -U / R from the trip voltage to 50 V."""
    farads, ohms, start = 1200e-6, 82e3, 800.0

    def safe(_: float, volts: np.ndarray) -> float:
        return float(volts[0] - 50)

    safe.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(
        lambda _, volts: [-volts[0] / (ohms * farads)], (0.0, 3600.0), [start], events=safe, rtol=1e-10, atol=1e-9
    )
    assert dc_bus.discharge_time_s(ohms, farads, start, 50.0) == pytest.approx(found.t_events[0][0], rel=1e-6)


@pytest.mark.parametrize("static", [0.0, 0.2, 0.4, 0.7])
@pytest.mark.parametrize("flow", [0.25, 0.5, 0.75, 1.0])
def test_pump_speed_against_a_root_finder(static: float, flow: float) -> None:
    """The speed at which the pump's curve, scaled by the affinity laws, meets the system's curve."""

    def head_of_pump(speed: float) -> float:
        return speed**2 * (1.25 - 0.25 * (flow / speed) ** 2)

    def head_of_system() -> float:
        return static + (1 - static) * flow**2

    speed = brentq(lambda n: head_of_pump(n) - head_of_system(), 0.05, 1.5, xtol=1e-12)
    assert pumps_and_fans.speed_for_flow(flow, static) == pytest.approx(speed, rel=1e-9)


# Pandapower and its like weigh over 100 MB; a radial line of impedances is a small set of nodal equations.


def node_voltages(source_v: float, branches: list[complex], load: complex) -> list[complex]:
    """Voltages along a line of branches from an ideal source, an admittance at its end: Y V = I."""
    count = len(branches)
    matrix = np.zeros((count, count), dtype=complex)
    injected = np.zeros(count, dtype=complex)
    for node, branch in enumerate(branches):
        admittance = 1 / branch
        matrix[node, node] += admittance
        if node == 0:
            injected[0] = source_v * admittance
        else:
            matrix[node - 1, node - 1] += admittance
            matrix[node, node - 1] -= admittance
            matrix[node - 1, node] -= admittance
    matrix[-1, -1] += load
    return [complex(v) for v in np.linalg.solve(matrix, injected)]


@pytest.mark.parametrize(
    ("volts", "kva", "percent", "ratio", "feeder", "line"),
    [
        pytest.param(
            400.0, 630.0, 4.0, 4.0,
            0.0225 * impedance.iec_impedance_ohm_per_km(35, temperature_c=20),
            0.005 * impedance.iec_impedance_ohm_per_km(10, temperature_c=20), id="400 V, 35 and 10 mm²",
        ),
        pytest.param(
            480.0, 750.0, 5.75, 5.0,
            0.02286 * impedance.nec_impedance_ohm_per_km("1/0 AWG", temperature_c=20),
            0.00488 * impedance.nec_impedance_ohm_per_km("8 AWG", temperature_c=20), id="480 V, 1/0 and 8 AWG",
        ),
    ],
)  # fmt: skip
def test_short_circuit_against_nodal_equations(
    volts: float, kva: float, percent: float, ratio: float, feeder: complex, line: complex
) -> None:
    start = short_circuit.transformer_fault_a(kva, volts, percent)
    source = short_circuit.source_impedance_ohm(start, volts, ratio)
    dead_short = 1e9
    for branches in ([source], [source, feeder], [source, feeder, line]):
        at_end = node_voltages(volts / math.sqrt(3), branches, dead_short)[-1] * dead_short
        behind = sum(branches[1:], 0j)
        ours = short_circuit.fault_at_end_a(start, volts, behind, x_over_r=ratio) if behind else start
        assert ours == pytest.approx(abs(at_end), rel=1e-5)


def test_fault_taken_as_all_reactance_is_never_below_the_vector_sum() -> None:
    source = short_circuit.source_impedance_ohm(21386.0, 400.0, 4.0)
    feeder = 0.0225 * impedance.iec_impedance_ohm_per_km(35, temperature_c=20)
    line = 0.005 * impedance.iec_impedance_ohm_per_km(10, temperature_c=20)
    panel = short_circuit.fault_at_end_a(21386.0, 400.0, feeder, x_over_r=4.0)
    exact = node_voltages(400 / math.sqrt(3), [source, feeder, line], 1e9)[-1] * 1e9
    assert short_circuit.fault_at_end_a(panel, 400.0, line) >= abs(exact)


@pytest.mark.parametrize("power_factor", [0.5, 0.8, 0.83, 0.95, 1.0])
@pytest.mark.parametrize("length_m", [5.0, 35.0, 150.0])
def test_voltage_drop_against_nodal_equations(power_factor: float, length_m: float) -> None:
    """R cos + X sin leaves out the turn of the phasor: the exact drop differs by less than 0.1 % of U."""
    volts, current = 400.0, 28.2
    run = length_m / 1000 * impedance.iec_impedance_ohm_per_km(10)
    admittance = current / (volts / math.sqrt(3)) * complex(power_factor, -math.sqrt(1 - power_factor**2))
    for _ in range(20):  # the load's current is given: its admittance follows the voltage
        at_load = node_voltages(volts / math.sqrt(3), [run], admittance)[-1]
        admittance *= current / abs(at_load * admittance)
    exact = volts - math.sqrt(3) * abs(at_load)
    ours = voltage_drop.drop_v(current, run, power_factor)
    assert ours == pytest.approx(exact, abs=0.001 * volts)


def test_longer_runs_drop_more_in_the_network_as_well() -> None:
    per_km = impedance.iec_impedance_ohm_per_km(10)
    ends = [abs(node_voltages(230.0, [m / 1000 * per_km], 0.1)[-1]) for m in (5, 35, 150, 400)]
    assert all(near > far for near, far in pairwise(ends))
