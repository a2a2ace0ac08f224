"""Conductor, device, disconnect and earth of a drive's line, by NEC and by IEC, with their findings."""

from __future__ import annotations

from typing import Any

import pytest
from supply_cases import changed, iec_site, judged, nec_site, size

from binder.inventory.findings import Grade
from binder.inventory.quantities import measure


@pytest.mark.parametrize("site", [nec_site, iec_site], ids=["NEC", "IEC"])
def test_a_sound_drive_has_no_finding_and_every_figure_its_source(site: Any) -> None:
    figures, findings = judged(site())
    assert findings == {}
    for figure in figures.values():
        assert figure.rule.text
        assert figure.rule.source
        if figure.value is not None and figure.verdict:
            assert figure.verdict in ("within", "outside")
        for given in figure.inputs:
            assert given.name


def test_too_small_conductor_is_told_in_amperes_with_the_size_that_will_do() -> None:
    # NEC 430.122: 1.25 x 14.48 A; 110.14(C): 60 °C column, 14 AWG 15 A; Table 310.15(B)(1)(1): 0.82 at 45 °C
    figures, findings = judged(changed(nec_site(), "line_cable", size=size("14 AWG")))
    assert figures["line.conductor_capacity"].value == 15.0
    assert "60 °C column 15 A" in figures["line.conductor_capacity"].note
    assert "0.82 ambient" in figures["line.conductor_capacity"].note
    finding = findings["E210"]
    assert finding.grade is Grade.STOP
    assert finding.found == "14 AWG carries 15 A at 45 °C, 18.1 A needed"
    assert finding.remedy == "fit 12 AWG copper or larger"
    assert (finding.sheet, finding.cell, finding.tag) == ("Cables", "size@2", "VFD-1")


def test_conductor_count_in_the_raceway_derates() -> None:
    # NEC Table 310.15(C)(1): 9 conductors 70 %; 12 AWG THWN 25 A x 0.82 x 0.70 = 14.35 A
    figures, findings = judged(changed(nec_site(), "line_cable", loaded_conductors=9))
    assert figures.number("line.conductor_capacity") == pytest.approx(14.35)
    assert findings["E210"].remedy == "fit 10 AWG copper or larger"


def test_bypass_takes_the_larger_of_input_and_table_motor_current() -> None:
    # NEC 430.122(C) with Table 430.250: 10 hp at 460 V, 14 A; the input current of 14.48 A is larger
    figures, _ = judged(changed(nec_site(), "drives", bypass="manual"))
    assert figures.number("line.required_ampacity") == pytest.approx(18.1)
    figures, _ = judged(
        changed(changed(nec_site(), "drives", bypass="manual"), "models", input_current=measure(12, "A"))
    )
    assert figures.number("line.required_ampacity") == pytest.approx(17.5)
    assert "table current 14 A" in figures["line.required_ampacity"].note


@pytest.mark.parametrize(
    ("kind", "limit"),
    [
        pytest.param("time-delay fuse", 25.0, id="NEC T430.52(C)(1): 175 % of 14 A = 24.5, next 25"),
        pytest.param("non-time-delay fuse", 40.0, id="NEC T430.52(C)(1): 300 % = 42, next 45, manual 40"),
        pytest.param("inverse time breaker", 35.0, id="NEC T430.52(C)(1): 250 % = 35"),
        pytest.param("semiconductor fuse", 40.0, id="NEC 430.52(C)(5): the manual's 40"),
    ],
)
def test_largest_device_by_kind_never_above_the_manual(kind: str, limit: float) -> None:
    figures, _ = judged(changed(nec_site(), "drives", protection_kind=kind))
    assert figures["line.protection"].value == limit


def test_too_large_device_is_a_stop_and_too_small_a_caution() -> None:
    _, findings = judged(changed(nec_site(), "drives", protection_rating=measure(40, "A")))
    assert findings["E212"].grade is Grade.STOP
    assert findings["E212"].remedy == "fit a time-delay fuse of 25 A or less"
    _, findings = judged(changed(nec_site(), "drives", protection_rating=measure(10, "A")))
    assert findings["E213"].grade is Grade.CAUTION


def test_small_disconnect() -> None:
    # NEC 430.128: 115 % of 14.48 A
    figures, findings = judged(changed(nec_site(), "drives", disconnect_rating=measure(16, "A")))
    assert figures.number("line.disconnect") == pytest.approx(16.652)
    assert findings["E214"].cell == "disconnect_rating@2"


def test_earth_grows_with_the_phase_conductor_and_not_beyond_it() -> None:
    # NEC T250.122: 25 A device asks for 10 AWG; 250.122(A) keeps it at the 12 AWG of the phases
    assert judged(nec_site())[0]["line.earth"].value == "12 AWG"
    # 250.122(B): 10 AWG phases where 12 AWG would do make it 10 AWG x 10380/6530, kept at 10 AWG
    larger = changed(nec_site(), "line_cable", size=size("10 AWG"))
    figures, findings = judged(larger)
    assert figures["line.earth"].value == "10 AWG"
    assert findings["E215"].found == "earth conductor 12 AWG, 10 AWG needed behind 25 A"
    assert findings["E215"].grade is Grade.STOP  # below the table's own 10 AWG
    # 20 A device: table 12 AWG; enlarged to 10 AWG with the phases, which a qualified person may waive
    figures, findings = judged(changed(larger, "drives", protection_rating=measure(20, "A")))
    assert figures["line.earth"].value == "10 AWG"
    assert findings["E215"].grade is Grade.CAUTION
    assert "250.122(B) exception" in findings["E215"].remedy


def test_figures_say_which_current_and_which_exception() -> None:
    note = judged(nec_site())[0]["line.protection"].note
    assert "table current 14 A (430.6(A)(1)), not the plate's" in note
    assert "240.4(D) limit of 20 A not applied" in note
    off_table, _ = judged(changed(nec_site(), "motors", power=measure(11, "hp")))
    assert "plate current taken" in off_table["line.protection"].note


def test_iec_conductor_must_satisfy_the_tripping_rule_of_the_fuse() -> None:
    # IEC 60364-4-43 433.1: gG trips at 1.6 In, so Iz >= 1.6 x 40 / 1.45 = 44.14 A; 6 mm² C: 41 x 0.94 x 0.85
    figures, findings = judged(changed(iec_site(), "line_cable", size=size("6 mm²"), earth_size=size("10 mm²")))
    assert figures.number("line.conductor_capacity") == pytest.approx(41 * 0.94 * 0.85)
    assert findings["E210"].found == "6 mm² carries 32.76 A at 35 °C, 44.14 A needed (I2 / 1.45 of the fitted gG fuse)"
    assert findings["E210"].remedy == "fit 10 mm² copper or larger"
    assert findings["E212"].remedy == "fit a larger cable, then a gG fuse of 32 A"


def test_iec_breaker_asks_for_its_rating_only() -> None:
    figures, findings = judged(changed(iec_site(), "drives", protection_kind="circuit breaker"))
    assert figures["line.conductor_capacity"].limit == ">= 40 A"
    assert "I2 = 1.45 In = 58 A" in figures["line.protection"].note
    assert "E212" not in findings


def test_iec_short_circuit_fuse_leaves_overload_to_the_drive() -> None:
    figures, _ = judged(changed(iec_site(), "drives", protection_kind="aM fuse"))
    assert figures["line.protection"].value == 50.0
    assert "overload protection of the cable rests on the drive" in figures["line.protection"].note
    assert figures["line.conductor_capacity"].limit == ">= 29 A"


def test_iec_protective_conductor_by_table_and_by_leakage() -> None:
    # IEC 61800-5-1: above 3.5 mA at least 10 mm²; below it Table 54.2 alone counts
    small = changed(iec_site(), "line_cable", earth_size=size("6 mm²"), size=size("6 mm²"))
    assert judged(small)[0]["line.earth"].value == "10 mm²"
    assert judged(changed(small, "models", leakage_current=measure(3, "mA")))[0]["line.earth"].value == "6 mm²"


def test_aluminium_has_no_iec_table_here_and_says_so() -> None:
    figures, _ = judged(changed(iec_site(), "line_cable", material="aluminum"))
    assert figures["line.conductor_capacity"].value is None
    assert "aluminum (copper only)" in figures["line.conductor_capacity"].note


@pytest.mark.parametrize(
    ("inventory", "label"),
    [
        pytest.param(nec_site(), "2.5 mm²", id="metric on NEC"),
        pytest.param(iec_site(), "12 AWG", id="AWG on IEC"),
    ],
)
def test_size_of_the_other_system_is_not_judged_but_still_has_a_voltage_drop(inventory: Any, label: str) -> None:
    figures, _ = judged(changed(inventory, "line_cable", size=size(label)))
    assert figures["line.conductor_capacity"].value is None
    assert figures["line.conductor_capacity"].verdict == "not judged"
    assert figures.number("drop.line") is not None


def test_small_metric_earth_beside_a_metric_phase_on_a_nec_site_is_a_stop() -> None:
    metric = {"size": size("10 mm²"), "earth_size": size("1.5 mm²"), "insulation": "PVC 70 °C"}
    inventory = changed(nec_site(), "line_cable", **metric)
    _, findings = judged(inventory)
    assert findings["E215"].grade is Grade.STOP


def test_missing_input_current_leaves_nothing_invented() -> None:
    figures, _ = judged(changed(nec_site(), "models", input_current=None))
    for key in ("line.current", "line.conductor", "line.conductor_capacity", "line.disconnect", "drop.line"):
        assert figures[key].value is None
        assert figures[key].verdict == "not judged"
        assert "model input current" in figures[key].missing


@pytest.mark.parametrize(
    ("earthing", "jumper", "grade"),
    [
        pytest.param("ungrounded delta", "fitted", Grade.STOP, id="fitted on an unearthed source"),
        pytest.param("IT", "", Grade.CAUTION, id="not recorded on an unearthed source"),
        pytest.param("IT", "removed", None, id="removed"),
        pytest.param("solid wye", "fitted", None, id="earthed star point"),
    ],
)
def test_filter_jumper_against_the_earthing(earthing: str, jumper: str, grade: Grade | None) -> None:
    inventory = changed(changed(nec_site(), "supplies", earthing=earthing), "drives", filter_jumper=jumper)
    _, findings = judged(inventory)
    assert (findings["E226"].grade if "E226" in findings else None) is grade


def test_motor_cable_carries_the_table_current_by_a_quarter_more() -> None:
    # NEC 430.122(B): 1.25 x 14 A (Table 430.250); 14 AWG on 60 °C terminals carries 15 A
    figures, findings = judged(changed(nec_site(), "motor_cable", size=size("14 AWG")))
    assert figures.number("cable.required_ampacity") == pytest.approx(17.5)
    assert figures["cable.conductor"].value == "12 AWG"
    assert findings["E211"].found == "14 AWG carries 15 A at 30 °C, 17.5 A needed"
    assert findings["E211"].cell == "size@2"


def test_iec_motor_cable_carries_the_plate_current() -> None:
    inventory = changed(iec_site(), "motor_cable", method="E", earth_size=size("6 mm²"))
    figures, findings = judged(inventory)
    assert figures.number("cable.conductor_capacity") == 54.0  # IEC 60364-5-52 B.52.12, XLPE, method E
    assert figures["cable.earth"].value == "6 mm²"  # Table 54.2; the leakage rule is the line's
    assert findings == {}
    _, findings = judged(changed(inventory, "motor_cable", size=size("2.5 mm²"), ambient=measure(50, "°C")))
    # 32 A x 0.82
    assert findings["E211"].found.startswith("2.5 mm² carries 26.24 A at 50 °C, 28.5 A needed")


def test_units_of_the_workbook_change_nothing() -> None:
    plain, _ = judged(nec_site())
    other = changed(nec_site(), "line_cable", ambient=measure(113, "°F"), length=measure("98.4251968503937", "ft"))
    other = changed(other, "motors", power=measure("7.46", "kW"))
    other = changed(other, "supplies", voltage=measure("0.48", "kV"), transformer_rating=measure("0.5", "MVA"))
    figures, findings = judged(other)
    assert findings == {}
    for key, figure in plain.items():
        assert figures[key].text() == figure.text(), key


def test_small_drive_close_to_a_large_transformer() -> None:
    figures, findings = judged(changed(nec_site(), "drives", line_reactor=measure(0, "%")))
    assert figures.number("line.transformer_ratio") == pytest.approx(500 / (1.7320508 * 480 * 14.48 / 1000))
    assert findings["E225"].cell == "line_reactor@2"


def test_a_blank_line_reactor_is_no_reactor_of_nought_percent() -> None:
    """Above a ratio of 10 the blank is asked for, and the figure is not judged; below it is noted."""
    figures, findings = judged(changed(nec_site(), "drives", line_reactor=None))
    ratio = figures["line.transformer_ratio"]
    assert (ratio.verdict, ratio.missing) == ("not judged", ("drive line reactor",))
    assert "not stated" in findings["E225"].found
    assert "none" in findings["E225"].accepted
    small = changed(nec_site(), "supplies", transformer_rating=measure(75, "kVA"))
    figures, findings = judged(changed(small, "drives", line_reactor=None))
    assert figures["line.transformer_ratio"].verdict == "within"
    assert "E225" not in findings
    assert (findings["E224"].grade, findings["E224"].column) == (Grade.NOTE, "Line reactor [%]")
    choke = changed(small, "models", built_in_reactor=measure(5, "%"))
    assert "E224" not in judged(changed(choke, "drives", line_reactor=None))[1]
