"""A plate whose numbers cannot belong together: kW for hp, the other voltage's current, milliamperes."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from sizing_site import Bench

from binder.engineering.plate_doubts import doubtful, share, slips
from binder.engineering.tables import load
from binder.inventory.findings import Grade
from binder.inventory.quantities import Measure
from binder.inventory.quantities import measure as m

ROWS = [(float(r["hp"]), float(r["induction_460v_a"])) for r in load("nec_430_250_three_phase_flc").rows
        if r["induction_460v_a"] and float(r["hp"]) <= 500]  # fmt: skip
#: (kW, A at 400 V, power factor, efficiency): four-pole motors as usual plates have them; invented.
IEC_PLATES = [(0.75, 1.75, 0.76, 82.5), (2.2, 4.55, 0.81, 86.7), (7.5, 14.5, 0.83, 90.4), (15, 28.2, 0.83, 92.1),
              (45, 81.5, 0.85, 94.2), (90, 160, 0.86, 95.2)]  # fmt: skip


@pytest.mark.parametrize(("hp", "amperes"), ROWS, ids=[f"NEC 2023 T430.250, {hp:g} hp 460 V" for hp, _ in ROWS])
def test_currents_of_the_code_are_not_doubted(hp: float, amperes: float) -> None:
    assert not doubtful(hp, "hp", share(hp * 0.746, 460, amperes))


@pytest.mark.parametrize(("kw", "amperes", "factor", "efficiency"), IEC_PLATES)
def test_usual_plates_are_not_doubted_and_mixed_up_ones_are(
    kw: float, amperes: float, factor: float, efficiency: float
) -> None:
    found = share(kw, 400, amperes)
    assert found == pytest.approx(factor * efficiency / 100, rel=0.03)
    assert not doubtful(kw, "kW", found)
    hp_as_kw = round(kw / 0.746, 1)
    assert doubtful(hp_as_kw, "kW", share(hp_as_kw, 400, amperes))
    assert f"{hp_as_kw:g} hp" in slips(hp_as_kw, "kW", share(hp_as_kw, 400, amperes), voltage_v=400, current_a=amperes)


@pytest.mark.parametrize(
    ("values", "meant"),
    [
        ({"power": m(15, "kW"), "current": m(18.5, "A")}, "is 15 hp meant?"),
        ({"power": m(15, "hp"), "current": m(37, "A"), "plate_voltages": "230/460"}, "37 A at 230 V"),
        ({"power": m(11, "hp"), "current": m(18, "A")}, "is 11 kW"),
        ({"power": m(15, "hp"), "current": m(185, "A")}, "18.5 A"),
        ({"power": m(0.75, "kW"), "current": m(1500, "A")}, "1500 mA"),
    ],
)
def test_a_blank_power_factor_hides_no_mix_up(values: dict[str, object], meant: str) -> None:
    bench = Bench().change("motor", power_factor=None, voltage=m(460, "V"), **values)
    _, findings = bench.run()
    found = findings["E102"]
    assert (found.grade, found.sheet, found.column) == (Grade.CAUTION, "Motors", "Rated power [kW]")
    assert meant in found.remedy
    assert "common practice" in found.accepted


def test_a_small_plate_in_watts_is_measured_by_its_size() -> None:
    """750 W at 400 V and 2 A: 0.54, as usual for a motor of 0.75 kW; one of 750 kW would never be so bad."""
    plate = {"voltage": m(400, "V"), "current": m(2, "A"), "power_factor": None}
    assert "E102" not in Bench().change("motor", power=m(750, "W"), **plate).run()[1]
    assert "E102" not in Bench().change("motor", power=m(1, "PS"), **plate).run()[1]
    assert doubtful(750, "kW", 0.54) and not doubtful(750, "W", 0.54)


def test_a_full_plate_asks_for_horsepower() -> None:
    """Power factor and efficiency agree with volts and amperes, and the number is horsepower."""
    bench = Bench()
    plate = bench.records["motor"]
    hp = Measure(Decimal(round(plate.power.to("hp"))), "kW")
    _, findings = bench.change("motor", power=hp).run()
    assert f"is {hp.amount} hp meant?" in findings["E101"].remedy
    assert "E102" not in findings


def test_a_single_phase_motor_is_refused_and_reckoned_on_one_phase() -> None:
    """1.5 kW, 230 V, 9.6 A, 0.93 and 73 %: 230 x 9.6 x 0.93 x 0.73 = 1499 W."""
    values = {"power": m(1.5, "kW"), "voltage": m(230, "V"), "current": m(9.6, "A"), "power_factor": Decimal("0.93"),
              "efficiency": m(73, "%"), "connection": "single-phase"}  # fmt: skip
    bench = Bench()
    bench.records["motor"] = replace(bench.records["motor"], **values)
    figures, findings = bench.run()
    assert figures.number("motor.power_balance") == pytest.approx(-0.06, abs=0.01)
    assert "sqrt" not in figures["motor.power_balance"].rule.text
    assert (findings["E111"].grade, findings["E111"].column) == (Grade.STOP, "Connection")
    assert "E101" not in findings
