"""The rectifier's closed form against a step-by-step integration of the same circuit."""

from __future__ import annotations

import cmath
import math
from itertools import pairwise

import pytest

from binder.engineering import harmonics
from binder.engineering.harmonics import ORDERS, six_pulse_spectrum
from binder.engineering.ranges import OutOfRangeError

STEPS = 5760  # a period


def leg_voltages(phase_v: list[float], current: list[float], link_v: float) -> list[float]:
    """Voltage of each rectifier leg against the negative rail, from current signs and blocking diodes.

    A leg with current is tied to a rail. A leg without current floats with its source unless that
    would lie outside the rails: then its diode conducts.
    """
    tied: dict[int, float] = {k: (link_v if i > 0 else 0.0) for k, i in enumerate(current) if i != 0}
    if not tied:
        high, low = phase_v.index(max(phase_v)), phase_v.index(min(phase_v))
        if phase_v[high] - phase_v[low] <= link_v:
            return phase_v  # nobody conducts: legs follow their sources
        tied = {high: link_v, low: 0.0}
    while True:
        star = sum(u - phase_v[k] for k, u in tied.items()) / len(tied)
        outside = {
            k: (link_v if phase_v[k] + star > link_v else 0.0)
            for k in range(3)
            if k not in tied and not 0.0 <= phase_v[k] + star <= link_v
        }
        if not outside:
            return [tied.get(k, phase_v[k] + star) for k in range(3)]
        tied |= outside


def integrate(link_ratio: float) -> tuple[float, dict[int, float]]:
    """Reactance in percent and harmonics in percent of the fundamental, by small steps to steady state."""
    link = link_ratio / math.sqrt(2)  # peak line voltage is the unit, reactance another
    current = [0.0, 0.0, 0.0]
    step = 2 * math.pi / STEPS
    wave: list[float] = []
    for _ in range(3):  # the last period is the settled one
        wave = []
        for n in range(STEPS):
            angle = (n + 0.5) * step
            phase = [math.sin(angle - k * 2 * math.pi / 3) / math.sqrt(3) for k in range(3)]
            leg = leg_voltages(phase, current, link)
            star = sum(leg) / 3 - sum(phase) / 3
            for k in range(3):
                after = current[k] + step * (phase[k] - leg[k] + star)
                # a diode lets no current turn round: it stops at zero
                current[k] = 0.0 if current[k] * after < 0 or abs(after) < 1e-12 else after
            excess = sum(current)
            loaded = [k for k in range(3) if current[k] != 0]
            for k in loaded:  # what stopping at zero left over, so that the three still add up
                current[k] -= excess / len(loaded)
            if len(loaded) == 1:
                current = [0.0, 0.0, 0.0]
            wave.append(current[0])

    def amplitude(order: int) -> float:
        total = sum(i * cmath.exp(-1j * order * (n + 1) * step) for n, i in enumerate(wave))
        return 2 * abs(total) / STEPS

    fundamental = amplitude(1)
    reactance = 100 * math.sqrt(6) * fundamental / math.sqrt(2)
    return reactance, {h: 100 * amplitude(h) / fundamental for h in ORDERS if h <= 25}


@pytest.mark.parametrize(
    "link_ratio",
    [1.385, 1.372, 1.357, 1.348, 1.335, 1.322, 1.30, 1.26],
    ids=lambda r: f"step-by-step integration, link {r} x line voltage",
)
def test_closed_form_agrees_with_integration(link_ratio: float) -> None:
    reactance, expected = integrate(link_ratio)
    found = six_pulse_spectrum(reactance)
    assert found.link_ratio == pytest.approx(link_ratio, abs=2e-4)
    for order, percent in expected.items():
        assert found.percent(order) == pytest.approx(percent, abs=0.1), order


def test_distortion_falls_with_reactance() -> None:
    values = [six_pulse_spectrum(0.05 * 1.05**n).thd_percent for n in range(120)]
    assert all(a > b for a, b in pairwise(values))


def test_curve_is_dense_enough_to_read_between_its_points() -> None:
    for spectrum in harmonics._curve()[1:-1:7]:
        halfway = spectrum.reactance_percent * 1.004
        read = six_pulse_spectrum(halfway)
        # against the exact solution at the link voltage that belongs to the reactance
        exact = harmonics._at_link_voltage(read.link_ratio / math.sqrt(2))
        assert read.thd_percent == pytest.approx(exact.thd_percent, abs=0.35)


@pytest.mark.parametrize(
    ("reactance", "low", "high"),
    [
        pytest.param(0.6, 60, 85, id="IEC 61000 facts: 5th 60 to 80 % without choke"),
        pytest.param(3.0, 30, 40, id="IEC 61000 facts: 5th 30 to 40 % with 3 % choke"),
        pytest.param(5.0, 27, 40, id="IEC 61000 facts: 5th 30 to 40 % with 5 % choke, 10 % tolerance"),
    ],
)
def test_fifth_harmonic_lies_in_the_bands_of_the_trade(reactance: float, low: float, high: float) -> None:
    assert low <= six_pulse_spectrum(reactance).percent(5) <= high


def test_displacement_factor_is_the_one_the_power_balance_takes() -> None:
    for reactance in (0.3, 0.5, 1.0, 2.0, 3.0, 4.0):
        assert six_pulse_spectrum(reactance).displacement_factor == pytest.approx(0.97, abs=0.015)


@pytest.mark.parametrize("reactance", [0.0, 0.049, 20.1, math.nan])
def test_outside_the_curve_is_refused(reactance: float) -> None:
    with pytest.raises(OutOfRangeError, match="reactance percent"):
        six_pulse_spectrum(reactance)
