"""One pump drive by both code bases, each figure worked out by hand beside the clause it rests on.

Table values are typed in here from the clause named, not read from the package's tables. A figure
must agree to one part in a thousand, the accuracy of hand work.
"""

from __future__ import annotations

import math

import pytest
from side_by_side import iec_pump, nec_pump

from binder.engineering.figure import Figures

ROOT3 = math.sqrt(3)


@pytest.fixture(scope="module")
def figures(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Figures]:
    """Figures of the pump by each basis."""
    return {
        "NEC": nec_pump(tmp_path_factory.mktemp("nec")).figures,
        "IEC": iec_pump(tmp_path_factory.mktemp("iec")).figures,
    }


def magnitude(resistance: float, reactance: float) -> float:
    """Return the magnitude of an impedance."""
    return math.hypot(resistance, reactance)


# Source at 480 V: 750 kVA, 5.75 %, X/R 5, infinite primary (NEC 110.9, 110.24; circuit theory).
NEC_SOURCE_KA = 750 / (ROOT3 * 480) / 0.0575  # 902.1 A / 0.0575 = 15.69 kA
NEC_Z = 480 / ROOT3 / NEC_SOURCE_KA  # 17.66 mΩ
NEC_R, NEC_X = NEC_Z / math.sqrt(26), 5 * NEC_Z / math.sqrt(26)
# Feeder 1/0 AWG in steel, 75 ft (NEC Chapter 9 Table 9): 0.12 and 0.055 Ω per 1000 ft at 75 °C; at 20 °C
# R x (1 + 0.00323 (20 - 75)) = 0.822 R (note to Table 8).
NEC_FEEDER_R, NEC_FEEDER_X = 75 * 0.12 * (1 - 0.00323 * 55), 75 * 0.055
NEC_PANEL_KA = 480 / ROOT3 / magnitude(NEC_R + NEC_FEEDER_R, NEC_X + NEC_FEEDER_X)
# Line 8 AWG in steel, 16 ft: 0.78 and 0.065 Ω per 1000 ft; panel taken as all reactance.
NEC_DRIVE_KA = 480 / ROOT3 / magnitude(16 * 0.78 * (1 - 0.00323 * 55), 480 / ROOT3 / NEC_PANEL_KA + 16 * 0.065)

# Source at 400 V: 630 kVA, 4 %, X/R 4, primary 250 MVA (IEC 60909-0 without voltage factor).
IEC_SOURCE_KA = 630 / (ROOT3 * 400) / (0.04 + 0.63 / 250)  # 909.3 A / 0.04252 = 21.39 kA
IEC_Z = 400 / ROOT3 / IEC_SOURCE_KA  # 10.80 mΩ
IEC_R, IEC_X = IEC_Z / math.sqrt(17), 4 * IEC_Z / math.sqrt(17)
# Feeder 35 mm², 22.5 m: 0.524 Ω/km at 20 °C (IEC 60228 Table 2), 0.08 Ω/km (IEC 60364-5-52 Annex G).
IEC_PANEL_KA = 400 / ROOT3 / magnitude(IEC_R + 22.5 * 0.524, IEC_X + 22.5 * 0.08)
# Line 10 mm², 5 m: 1.83 Ω/km at 20 °C; panel taken as all reactance.
IEC_DRIVE_KA = 400 / ROOT3 / magnitude(5 * 1.83, 400 / ROOT3 / IEC_PANEL_KA + 5 * 0.08)
# 10 mm² at 70 °C: 1.83 (1 + 0.00393 x 50) = 2.190 Ω/km (IEC 60228 Annex B).
IEC_WARM = 1.83 * (1 + 0.00393 * 50)

NEC_HAND = [
    pytest.param("motor.synchronous_speed", 120 * 60 / 4, id="textbook 120 f / p"),
    pytest.param("motor.slip", 100 * (1800 - 1765) / 1800, id="textbook slip"),
    pytest.param("motor.rated_torque", 20 * 746 / (2 * math.pi * 1765 / 60), id="textbook P / omega, 1 hp = 746 W"),
    pytest.param("motor.power_balance", 100 * (ROOT3 * 460 * 24 * 0.84 * 0.93 / (20 * 746) - 1), id="power balance"),
    pytest.param("motor.efficiency_minimum", 93.0, id="10 CFR 431.25 Table 5, 20 hp 4 poles enclosed"),
    pytest.param("rating.margin", 32 - 24, id="40 °C, 420 m, 4 kHz: no derating"),
    pytest.param("bus.no_load", math.sqrt(2) * 480, id="textbook sqrt 2 U"),
    pytest.param("bus.loaded", 3 * math.sqrt(2) / math.pi * 480, id="textbook 1.35 U"),
    pytest.param("line.current", 31, id="NEC 430.122(A): rated input current of the drive"),
    pytest.param("line.required_ampacity", 1.25 * 31, id="NEC 430.122(A): 125 %"),
    pytest.param("line.conductor_capacity", 40, id="NEC Table 310.16, 8 AWG copper, 60 °C by 110.14(C)(1)"),
    pytest.param("line.protection", 50, id="NEC 430.52: 175 % of 27 A = 47.25 A, 240.6 next up"),
    pytest.param("line.disconnect", 1.15 * 31, id="NEC 430.128: 115 %"),
    pytest.param("cable.required_ampacity", 1.25 * 27, id="NEC 430.122(B), Table 430.250 20 hp 460 V 27 A"),
    pytest.param(
        "drop.line", 100 * ROOT3 * 31 * 0.016 * (0.78 * 0.85 + 0.065 * math.sin(math.acos(0.85))) / 480,
        id="NEC Chapter 9 Table 9, 8 AWG steel, pf 0.85",
    ),
    pytest.param(
        "drop.motor", 100 * ROOT3 * 24 * 0.115 * (0.78 * 0.84 + 0.065 * math.sin(math.acos(0.84))) / 460,
        id="NEC Chapter 9 Table 9, 8 AWG steel, plate pf",
    ),
    pytest.param("short_circuit.source", NEC_SOURCE_KA, id="NEC 110.24, transformer alone"),
    pytest.param("short_circuit.panel", NEC_PANEL_KA, id="NEC Chapter 9 Table 9, 1/0 AWG cold"),
    pytest.param("short_circuit.available", NEC_DRIVE_KA, id="NEC Chapter 9 Table 9, 8 AWG cold"),
    pytest.param("cable.critical_length", 150 * 0.2 / 2, id="IEC TS 60034-25: v t / 2"),
    pytest.param("cable.peak_voltage", 2 * math.sqrt(2) * 480, id="full reflection, longer than critical"),
    # No-load 25 to 40 %, middle 32.5 % = 7.8 A; load 13 / 14.92 = 0.871, a quarter of it at half speed.
    pytest.param(
        "sweep.current_50", math.sqrt(7.8**2 + (13 / 14.92 / 4) ** 2 * (24**2 - 7.8**2)), id="equivalent circuit",
    ),
    pytest.param("sweep.power_50", 13 / 8, id="affinity n cubed"),
    pytest.param("overload.setting", 24, id="NEC 430.32(A)(1), 430.6(A)(2): plate current"),
    pytest.param("overload.largest", 1.25 * 24, id="NEC 430.32(A)(1): 125 % with service factor 1.15"),
    pytest.param("test.insulation_halving_20", 5 / 0.5 ** ((40 - 20) / 10), id="IEEE 43: halves every 10 K"),
]  # fmt: skip

IEC_HAND = [
    pytest.param("motor.synchronous_speed", 120 * 50 / 4, id="textbook 120 f / p"),
    pytest.param("motor.slip", 100 * (1500 - 1470) / 1500, id="textbook slip"),
    pytest.param("motor.rated_torque", 15000 / (2 * math.pi * 1470 / 60), id="textbook P / omega"),
    pytest.param("motor.power_balance", 100 * (ROOT3 * 400 * 28.2 * 0.83 * 0.921 / 15000 - 1), id="power balance"),
    pytest.param("rating.margin", 32 - 28.2, id="40 °C, 420 m, 4 kHz: no derating"),
    pytest.param("bus.no_load", math.sqrt(2) * 400, id="textbook sqrt 2 U"),
    pytest.param("bus.loaded", 3 * math.sqrt(2) / math.pi * 400, id="textbook 1.35 U"),
    pytest.param("line.current", 31, id="IEC 60364-4-43 433.1: Ib, rated input current"),
    pytest.param("line.conductor_capacity", 60, id="IEC 60364-5-52 Table B.52.10, 10 mm² PVC method E"),
    pytest.param("line.protection", 1.45 * 60 / 1.6, id="IEC 60364-4-43 433.1: I2 = 1.6 In <= 1.45 Iz"),
    pytest.param("line.disconnect", 31, id="IEC 60204-1 5.3"),
    pytest.param("short_circuit.withstand_time", (115 * 10 / (1000 * IEC_PANEL_KA)) ** 2,
                 id="IEC 60364-4-43 434.5.2, k 115"),
    pytest.param(
        "drop.line", 100 * ROOT3 * 31 * 0.005 * (IEC_WARM * 0.8 + 0.08 * 0.6) / 400,
        id="IEC 60364-5-52 Annex G, pf 0.8",
    ),
    pytest.param(
        "drop.motor", 100 * ROOT3 * 28.2 * 0.035 * (IEC_WARM * 0.83 + 0.08 * math.sin(math.acos(0.83))) / 400,
        id="IEC 60364-5-52 Annex G, plate pf",
    ),
    pytest.param("short_circuit.source", IEC_SOURCE_KA, id="IEC 60909-0, c = 1"),
    pytest.param("short_circuit.panel", IEC_PANEL_KA, id="IEC 60228 Table 2, 35 mm² at 20 °C"),
    pytest.param("short_circuit.available", IEC_DRIVE_KA, id="IEC 60228 Table 2, 10 mm² at 20 °C"),
    pytest.param("cable.critical_length", 150 * 0.2 / 2, id="IEC TS 60034-25: v t / 2"),
    pytest.param("cable.peak_voltage", 2 * math.sqrt(2) * 400, id="full reflection, longer than critical"),
    # No-load middle 32.5 % = 9.165 A; load 13 / 15 = 0.867, a quarter of it at half speed.
    pytest.param(
        "sweep.current_50", math.sqrt(9.165**2 + (13 / 15 / 4) ** 2 * (28.2**2 - 9.165**2)), id="equivalent circuit",
    ),
    pytest.param("sweep.power_50", 13 / 8, id="affinity n cubed"),
    pytest.param("overload.setting", 28.2, id="IEC 60204-1 7.3: plate current"),
    pytest.param("test.insulation_halving_20", 5 / 0.5 ** ((40 - 20) / 10), id="IEEE 43: halves every 10 K"),
    pytest.param("test.cable_insulation", 1.0, id="IEC 60364-6 Table 6.1: 1 MΩ at 500 V DC"),
]  # fmt: skip

WORDS = [
    # 38.75 A: 10 AWG has 30 A and 8 AWG 40 A in the 60 °C column (NEC Table 310.16).
    pytest.param("NEC", "line.conductor", "8 AWG", id="NEC 430.122(A), Table 310.16"),
    # Fuse of 45 A: the row of 60 A (NEC Table 250.122).
    pytest.param("NEC", "line.earth", "10 AWG", id="NEC Table 250.122"),
    # 40 A gG fuse: I2 / 1.45 = 1.6 x 40 / 1.45 = 44.1 A; 6 mm² has 43 A, 10 mm² has 60 A.
    pytest.param("IEC", "line.conductor", "10 mm²", id="IEC 60364-4-43 433.1, Table B.52.10"),
    # Up to 16 mm² as the line conductor; 9 mA of leakage ask for 10 mm² as well.
    pytest.param("IEC", "line.earth", "10 mm²", id="IEC 60364-5-54 Table 54.2; IEC 61800-5-1 4.3.5.5.2"),
    # 28.2 A: 2.5 mm² has 25 A, 4 mm² has 34 A.
    pytest.param("IEC", "cable.conductor", "4 mm²", id="IEC 60364-5-52 Table B.52.10, method E"),
]


@pytest.mark.parametrize(("key", "by_hand"), NEC_HAND)
def test_nec_figure_equals_hand_work(figures: dict[str, Figures], key: str, by_hand: float) -> None:
    assert figures["NEC"].number(key) == pytest.approx(by_hand, rel=1e-3)


@pytest.mark.parametrize(("key", "by_hand"), IEC_HAND)
def test_iec_figure_equals_hand_work(figures: dict[str, Figures], key: str, by_hand: float) -> None:
    assert figures["IEC"].number(key) == pytest.approx(by_hand, rel=1e-3)


@pytest.mark.parametrize(("basis", "key", "size"), WORDS)
def test_size_equals_hand_work(figures: dict[str, Figures], basis: str, key: str, size: str) -> None:
    assert figures[basis][key].value == size


def test_nothing_but_the_stated_rules_is_left_unjudged(figures: dict[str, Figures]) -> None:
    for basis, found in figures.items():
        assert {k for k, f in found.items() if f.value is None} == set(), basis
