"""Fault current, voltage drop and reflected wave of one drive, worked by hand beside the figures."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from supply_cases import changed, iec_site, judged, nec_site, site_judged, size

from binder.inventory.findings import Grade
from binder.inventory.quantities import measure
from binder.sizing import drive_figures

FOOT_M = 0.3048


def test_fault_current_along_feeder_and_cable_worked_by_hand() -> None:
    figures, _ = judged(nec_site())
    rated = 500000 / (math.sqrt(3) * 480)
    assert figures.number("short_circuit.source") == pytest.approx(rated / 0.0575 / 1000)
    # NEC Ch.9 T9 350 kcmil steel: R 0.039, X 0.050 ohm/kft, two sets, 100 ft; R at 20 °C x (1 - 0.00323 x 55)
    cold = 1 - 0.00323 * 55
    source = 480 / math.sqrt(3) / (rated / 0.0575)
    panel = 480 / math.sqrt(3) / abs(complex(0.039 * cold, 0.050) * 0.1 / 2 + 1j * source)
    assert figures.number("short_circuit.panel") == pytest.approx(panel / 1000, rel=1e-6)
    # 12 AWG steel: R 2.0, X 0.068 ohm/kft, 30 m
    cable = complex(2.0 * cold, 0.068) * 30 / FOOT_M / 1000
    at_drive = 480 / math.sqrt(3) / abs(cable + 1j * 480 / math.sqrt(3) / panel)
    assert figures.number("short_circuit.available") == pytest.approx(at_drive / 1000, rel=1e-6)


def test_fault_current_given_by_others_counts_before_any_computed_one() -> None:
    figures, _ = judged(changed(nec_site(), "supplies", fault_current=measure(22, "kA"), fault_study="study 1"))
    assert figures["short_circuit.source"].value == 22.0
    assert figures["short_circuit.source"].note == "study 1"
    figures, _ = judged(changed(nec_site(), "panels", fault_current=measure(8, "kA")))
    assert figures["short_circuit.panel"].value == 8.0


def test_no_feeder_means_the_source_counts_and_no_cable_the_panel() -> None:
    inventory = changed(nec_site(), "panels", feeder_size=None)
    figures, _ = judged(inventory)
    assert figures.number("short_circuit.panel") == figures.number("short_circuit.source")
    assert "never less" in figures["short_circuit.panel"].note
    figures, _ = judged(replace(inventory, cables=inventory.cables[1:]))
    assert figures.number("short_circuit.available") == figures.number("short_circuit.panel")


def test_motors_on_bypass_feed_the_fault() -> None:
    # IEEE Std 141: 4 x 12.8 A
    plain = judged(nec_site())[0].number("short_circuit.panel")
    bypass = judged(changed(nec_site(), "drives", bypass="automatic"))[0].number("short_circuit.panel")
    assert plain is not None
    assert bypass == pytest.approx(plain + 4 * 12.8 / 1000)


def test_generator_alone_gives_its_subtransient_current() -> None:
    inventory = changed(
        nec_site(), "supplies", transformer_rating=None, transformer_impedance=None,
        generator_rating=measure(200, "kVA"), generator_subtransient=measure(12, "%"),
    )  # fmt: skip
    figures, _ = judged(inventory)
    assert figures.number("short_circuit.source") == pytest.approx(200 / (math.sqrt(3) * 0.48) / 0.12 / 1000)


def test_single_phase_source_counts_the_cable_out_and_back() -> None:
    inventory = changed(
        nec_site(), "supplies", phases=1, voltage=measure(240, "V"), earthing="center-tapped single-phase"
    )
    figures, _ = judged(changed(inventory, "panels", feeder_size=None))
    source = 500000 / 240 / 0.0575
    assert figures.number("short_circuit.source") == pytest.approx(source / 1000)
    cable = 2 * complex(2.0 * (1 - 0.00323 * 55), 0.068) * 30 / FOOT_M / 1000
    assert figures.number("short_circuit.available") == pytest.approx(0.24 / abs(cable + 1j * 240 / source), rel=1e-6)


def test_rating_below_the_fault_is_a_stop_with_the_reactance_that_helps() -> None:
    inventory = changed(nec_site(), "models", fault_rating=measure(1, "kA"))
    figures, findings = judged(inventory)
    assert findings["E220"].grade is Grade.STOP
    available = figures.number("short_circuit.available")
    assert available is not None
    milliohm = 480 / math.sqrt(3) * (1 / 1 - 1 / available)
    assert f"at least {milliohm:.1f} mΩ a phase" in findings["E220"].remedy


def test_rating_holds_only_with_the_device_it_names() -> None:
    _, findings = judged(changed(nec_site(), "drives", protection_kind="inverse time breaker"))
    assert findings["E221"].found.endswith("the drive's short-circuit rating holds with: class J fuse")
    assert "E221" not in judged(nec_site())[1]


def test_voltage_drops_worked_by_hand() -> None:
    figures, _ = judged(nec_site())
    # NEC Ch.9 T9: 12 AWG in steel conduit 2.0 + j0.068 ohm/kft
    r, x = 2.0 / FOOT_M / 1000, 0.068 / FOOT_M / 1000
    line = math.sqrt(3) * 14.48 * 30 * (r * 0.85 + x * math.sqrt(1 - 0.85**2)) / 480
    motor = math.sqrt(3) * 12.8 * 40 * (r * 0.82 + x * math.sqrt(1 - 0.82**2)) / 460
    low = math.sqrt(3) * 12.8 * 40 * (r * 0.82 + x / 3 * math.sqrt(1 - 0.82**2)) / (460 / 3)
    assert figures.number("drop.line") == pytest.approx(100 * line, rel=1e-6)
    assert figures.number("drop.motor") == pytest.approx(100 * motor, rel=1e-6)
    assert figures.number("drop.motor_low_speed") == pytest.approx(100 * low, rel=1e-6)


def test_iec_voltage_drop_worked_by_hand() -> None:
    figures, _ = judged(iec_site())
    # IEC 60228 10 mm²: 1.83 ohm/km at 20 °C, x 1.1965 at 70 °C; X 0.08 ohm/km; cos phi 0.8
    drop = math.sqrt(3) * 29 * 0.020 * (1.83 * 1.1965 * 0.8 + 0.08 * 0.6) / 400
    assert figures.number("drop.line") == pytest.approx(100 * drop, rel=1e-4)


def test_too_long_a_line_names_the_size_that_will_do() -> None:
    inventory = changed(nec_site(), "line_cable", length=measure(150, "m"))
    figures, findings = judged(inventory)
    assert findings["E230"].grade is Grade.CAUTION
    assert findings["E230"].remedy == "fit 10 AWG, or shorten the run"
    better, _ = judged(changed(inventory, "line_cable", size=size("10 AWG")))
    assert (better.number("drop.line") or 99) <= 3 < (figures.number("drop.line") or 0)


def test_reflected_peak_of_general_purpose_motor_and_its_cures() -> None:
    inventory = changed(nec_site(), "motors", inverter_duty=False)
    figures, findings = judged(inventory)
    # NEMA MG 1 Part 30: 1000 V; link sqrt 2 x 480 V, cable beyond 7.5 m: full reflection
    assert figures.number("cable.critical_length") == pytest.approx(7.5)
    assert figures.number("cable.peak_voltage") == pytest.approx(2 * math.sqrt(2) * 480)
    assert findings["E232"].grade is Grade.STOP
    assert "dv/dt filter" not in findings["E232"].remedy  # 1012 V at 40 m: still above the limit
    assert "sine filter: 690 V" in findings["E232"].remedy
    cured, after = judged(changed(inventory, "drives", output_filter="sine filter"))
    assert cured.number("cable.peak_voltage") == pytest.approx(1.5 * 460)
    assert not {"E232", "E233"} & set(after)


def test_silent_plate_is_a_caution_and_counts_as_general_purpose() -> None:
    figures, findings = judged(changed(nec_site(), "motors", inverter_duty=None))
    assert findings["E232"].grade is Grade.CAUTION
    assert "as the plate does not say inverter duty" in figures["cable.peak_voltage"].note


def test_limit_of_the_motor_maker_counts_first() -> None:
    figures, findings = judged(changed(nec_site(), "motors", peak_voltage_limit=measure(1300, "V")))
    assert figures["cable.peak_voltage"].limit == "<= 1300 V"
    assert findings["E232"].grade is Grade.STOP


def test_short_cable_reflects_in_part() -> None:
    figures, _ = judged(changed(nec_site(), "motor_cable", length=measure("3.75", "m")))
    assert figures.number("cable.peak_voltage") == pytest.approx(1.5 * math.sqrt(2) * 480)
    assert figures["cable.stress_category"].value == "B"


@pytest.mark.parametrize(("fitted", "grade"), [("none", Grade.STOP), ("dv/dt filter", Grade.CAUTION)])
def test_cable_longer_than_the_manual_allows(fitted: str, grade: Grade) -> None:
    inventory = changed(changed(nec_site(), "motor_cable", length=measure(60, "m")), "drives", output_filter=fitted)
    assert judged(inventory)[1]["E231"].grade is grade


def test_reactor_on_the_output_is_not_guessed() -> None:
    figures, _ = judged(changed(nec_site(), "drives", output_filter="reactor"))
    assert "is not computed" in figures["cable.peak_voltage"].note


@pytest.mark.parametrize("unit", ["ft", "m"])
def test_the_unit_of_a_length_changes_nothing(unit: str) -> None:
    length: Any = measure(100, "ft") if unit == "ft" else measure("30.48", "m")
    figures, _ = judged(changed(nec_site(), "line_cable", length=length))
    assert figures.number("drop.line") == pytest.approx(0.90697, rel=1e-4)


def test_withstand_time_of_the_line_conductor() -> None:
    # IEC 60364-4-43 434.5.2, k 115: (115 x 10 / I)²
    figures, _ = judged(iec_site())
    panel = figures.number("short_circuit.panel")
    assert panel is not None
    assert figures.number("short_circuit.withstand_time") == pytest.approx((115 * 10 / (1000 * panel)) ** 2)


def split_phase(**fields: Any) -> Any:
    """A single-phase transformer of 50 kVA, 240 V with its middle earthed, in place of the site's supply."""
    return changed(
        nec_site(), "supplies", phases=1, voltage=measure(240, "V"), earthing="center-tapped single-phase",
        transformer_rating=measure(50, "kVA"), transformer_impedance=measure(2, "%"), primary_fault="infinite",
        primary_fault_power=None, transformer_x_over_r=None, **fields,
    )  # fmt: skip


def test_split_phase_is_reckoned_without_the_root_of_three() -> None:
    """Circuit theory: 50000 / 240 / 0.02 = 10417 A line to line; along the feeder the cable counts out and back."""
    figures, findings = judged(split_phase())
    assert figures.number("short_circuit.source") == pytest.approx(50000 / 240 / 0.02 / 1000)
    assert "up to 1.5 times" in figures["short_circuit.source"].note
    cold = 1 - 0.00323 * 55
    loop = 1j * 240 / 10416.67 + 2 * complex(0.039 * cold, 0.050) * 0.1 / 2
    assert figures.number("short_circuit.panel") == pytest.approx(240 / abs(loop) / 1000, rel=1e-4)
    for key in ("short_circuit.source", "short_circuit.panel", "drop.line", "line.transformer_ratio"):
        assert "sqrt" not in figures[key].rule.text, key
    assert "E223" not in findings


def test_a_single_phase_generator_is_reckoned_on_one_phase() -> None:
    inventory = split_phase(generator_rating=measure(50, "kVA"), generator_subtransient=measure(12, "%"))
    inventory = changed(inventory, "supplies", transformer_rating=None, transformer_impedance=None)
    figures, _ = judged(inventory)
    assert figures.number("short_circuit.source") == pytest.approx(50 / 240 / 0.12)


@pytest.mark.parametrize(
    ("phases", "earthing"),
    [(3, "center-tapped single-phase"), (1, "solid wye"), (1, "center-tapped delta"), (1, "ungrounded delta")],
)
def test_phases_and_earthing_that_contradict_are_a_stop(phases: int, earthing: str) -> None:
    figures, findings = judged(changed(nec_site(), "supplies", phases=phases, earthing=earthing))
    assert (findings["E223"].grade, findings["E223"].column) == (Grade.STOP, "Earthing")
    assert figures["short_circuit.source"].value is None
    generator = {"generator_rating": measure(50, "kVA"), "generator_subtransient": measure(12, "%")}
    clashing = changed(nec_site(), "supplies", phases=phases, earthing=earthing, transformer_rating=None, **generator)
    assert judged(clashing)[0]["short_circuit.source"].value is None


@pytest.mark.parametrize(("phases", "earthing"), [(3, "solid wye"), (1, "TN-S"), (3, "center-tapped delta"), (1, "IT")])
def test_phases_and_earthing_that_agree(phases: int, earthing: str) -> None:
    assert "E223" not in judged(changed(nec_site(), "supplies", phases=phases, earthing=earthing))[1]


def test_a_fault_current_the_transformer_cannot_give_is_doubted() -> None:
    """500 kVA, 480 V, 5.75 %: 601 A / 0.0575 = 10.5 kA, with a tenth off the impedance 11.6 kA."""
    _, findings = site_judged(changed(nec_site(), "supplies", fault_current=measure(65, "kA")))
    assert "at most 11.62 kA" in findings["E222"].found
    _, findings = site_judged(changed(nec_site(), "supplies", fault_current=measure(14, "kA")))
    assert "E222" not in findings


def test_a_cable_that_is_not_there_is_asked_for_as_a_row() -> None:
    inventory = replace(nec_site(), cables=tuple(c for c in nec_site().cables if c.role != "line"))
    found = [f for f in drive_figures(inventory, inventory.drives[0])[1] if "line cable size" in f.found]
    wanted = "a row of the sheet Cables for this drive with the role line"
    assert [(f.code, f.accepted, f.remedy) for f in found] == [("E100", wanted, f"Add {wanted}.")]


def test_a_motor_cable_in_feet_is_asked_for() -> None:
    inventory = nec_site()
    cables = tuple(replace(c, length=measure(150, "m")) if c.role == "motor" else c for c in inventory.cables)
    inventory = replace(changed(inventory, "models", max_motor_cable=measure(50, "m")), cables=cables)
    assert judged(inventory)[1]["E231"].remedy.startswith("is 150 ft meant? ")
