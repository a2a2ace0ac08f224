"""Harmonics of one drive, and the figures and findings of the whole site."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from supply_cases import changed, iec_site, judged, nec_site, origin, site_judged, size

from binder.engineering.harmonics import ORDERS, six_pulse_spectrum
from binder.inventory.findings import Grade
from binder.inventory.quantities import measure
from binder.inventory.records import Inventory, NetworkNode
from binder.sizing import drive_figures, site_figures


def many(inventory: Inventory, count: int) -> Inventory:
    """The same site with its drive several times over."""
    drive, motor = inventory.drives[0], inventory.motors[0]
    return replace(
        inventory,
        drives=tuple(replace(drive, tag=f"VFD-{n}", motor=f"M-{n}") for n in range(1, count + 1)),
        motors=tuple(replace(motor, tag=f"M-{n}") for n in range(1, count + 1)),
        cables=tuple(
            replace(c, tag=f"{c.tag}-{n}", drive=f"VFD-{n}") for n in range(1, count + 1) for c in inventory.cables
        ),
    )


def test_reactance_and_distortion_worked_by_hand() -> None:
    figures, _ = judged(nec_site())
    fundamental = 7460 / 0.917 / (math.sqrt(3) * 480 * 0.97)
    assert figures.number("harmonics.fundamental") == pytest.approx(fundamental)
    panel = figures.number("short_circuit.panel")
    assert panel is not None
    reactance = 3 + 100 * fundamental / (1000 * panel)
    assert figures.number("harmonics.reactance") == pytest.approx(reactance)
    assert figures.number("harmonics.thdi") == pytest.approx(six_pulse_spectrum(reactance).thd_percent)
    assert (figures.number("harmonics.thdi") or 99) < (figures.number("harmonics.thdi_without_reactor") or 0)
    assert str(figures["harmonics.spectrum"].value).startswith("5th 36.")


def test_without_efficiency_the_whole_input_current_is_taken() -> None:
    figures, _ = judged(changed(nec_site(), "motors", efficiency=None))
    assert figures.number("harmonics.fundamental") == 14.48
    assert "the safe side" in figures["harmonics.fundamental"].note


def test_single_phase_input_is_not_guessed() -> None:
    figures, _ = judged(changed(nec_site(), "models", input_phases=1))
    assert figures["harmonics.thdi"].value is None
    assert figures["harmonics.thdi"].note == "rule not implemented: single-phase rectifier"


def test_emission_limits_of_one_drive_on_iec() -> None:
    figures, findings = judged(iec_site())
    assert figures["harmonics.emission"].verdict == "within"
    assert "limit 48" in str(figures["harmonics.emission"].value)
    figures, findings = judged(changed(iec_site(), "drives", line_reactor=measure(0, "%")))
    assert figures["harmonics.emission"].verdict == "outside"
    assert findings["E240"].grade is Grade.NOTE
    small, _ = judged(changed(iec_site(), "models", input_current=measure(12, "A")))
    assert small["harmonics.emission"].value == "does not apply"


@pytest.mark.parametrize("site", [nec_site, iec_site], ids=["NEC", "IEC"])
def test_a_sound_site_has_no_finding(site: Any) -> None:
    _, findings = site_judged(site())
    assert findings == {}


def test_load_feeder_and_loading_of_several_drives() -> None:
    inventory = changed(many(nec_site(), 4), "panels", feeder_protection=measure(70, "A"))
    figures, findings = site_judged(inventory)
    assert figures.number("site.demand.T-1") == pytest.approx(math.sqrt(3) * 480 * 4 * 14.48 / 1000)
    # NEC 430.24: 1.25 x 14.48 + 3 x 14.48; 430.62: 25 + 3 x 14.48
    assert figures.number("site.feeder.MCC-1") == pytest.approx(4.25 * 14.48)
    assert figures.number("site.feeder_protection.MCC-1") == pytest.approx(25 + 3 * 14.48)
    assert findings["E256"].grade is Grade.NOTE


def test_small_feeder_and_overloaded_transformer() -> None:
    inventory = many(nec_site(), 4)
    inventory = changed(inventory, "panels", feeder_size=size("8 AWG"), feeder_sets=1, feeder_protection=None)
    inventory = changed(inventory, "supplies", transformer_rating=measure(45, "kVA"))
    _, findings = site_judged(inventory)
    # 60 °C column: 8 AWG 40 A against 61.54 A; 4 AWG 70 A
    assert findings["E255"].found == "feeder 1 × 8 AWG carries 40 A, 61.54 A needed"
    assert findings["E255"].remedy == "fit 1 × 4 AWG copper, or show a lower load"
    assert findings["E253"].sheet == "Supplies"


def test_a_line_cable_that_is_not_judged_is_no_zero_drop() -> None:
    """With one known the total names the others; with none there is no total, however good the feeder."""
    inventory = many(nec_site(), 2)
    part = replace(inventory, cables=tuple(c for c in inventory.cables if (c.drive, c.role) != ("VFD-2", "line")))
    total = site_judged(part)[0]["site.total_drop.MCC-1"]
    assert total.verdict == "within"
    assert total.note == "worst line cable: VFD-1; not judged: VFD-2"
    bare = replace(inventory, cables=tuple(c for c in inventory.cables if c.role != "line"))
    figures, _ = site_judged(bare)
    assert figures["site.feeder_drop.MCC-1"].verdict == "within"
    assert figures["site.total_drop.MCC-1"].missing == ("voltage drop of a line cable",)


def test_demand_distortion_adds_the_drives_and_meets_its_limit() -> None:
    inventory = changed(many(nec_site(), 10), "panels", feeder_protection=None)
    inventory = changed(inventory, "drives")
    figures, findings = site_judged(inventory)
    one, _ = judged(nec_site())
    fundamental, reactance = one.number("harmonics.fundamental"), one.number("harmonics.reactance")
    assert fundamental is not None
    assert reactance is not None
    expected = 100 * 10 * fundamental * six_pulse_spectrum(reactance).thd_percent / 100 / 400
    assert figures.number("site.tdd.T-1") == pytest.approx(expected)
    # IEEE 519-2022 Table 2, Isc/IL 26: TDD 8 %, single orders 5 and 7 at 7 %
    assert figures["site.tdd.T-1"].limit.startswith("<= 8 %")
    assert findings["E241"].grade is Grade.CAUTION


def test_voltage_distortion_by_hand() -> None:
    figures, _ = site_judged(nec_site())
    one, _ = judged(nec_site())
    fundamental, reactance = one.number("harmonics.fundamental"), one.number("harmonics.reactance")
    assert fundamental is not None
    assert reactance is not None
    spectrum = six_pulse_spectrum(reactance)
    fault = 1000 * (figures.number("site.source_fault.T-1") or 0)
    shares = [h * spectrum.percent(h) * fundamental / fault for h in ORDERS]
    assert figures.number("site.thdv.T-1") == pytest.approx(math.sqrt(sum(s * s for s in shares)))


def test_no_demand_current_no_judgement() -> None:
    figures, _ = site_judged(changed(nec_site(), "site", common_point_demand=None))
    assert figures["site.tdd.T-1"].value is None
    assert figures["site.tdd.T-1"].missing == ("site demand current at the common point",)


def test_capacitors_near_a_rectifier_harmonic() -> None:
    # sqrt(8696 kVA / 350 kvar) = 4.98
    figures, findings = site_judged(changed(nec_site(), "supplies", capacitors=measure(350, "kvar")))
    assert figures.number("site.resonance.T-1") == pytest.approx(math.sqrt(500 / 0.0575 / 350))
    assert findings["E243"].grade is Grade.STOP
    _, findings = site_judged(changed(nec_site(), "supplies", capacitors=measure(240, "kvar")))
    assert "E243" not in findings


def test_panel_rating_generator_and_edition() -> None:
    inventory = changed(nec_site(), "panels", fault_rating=measure(5, "kA"))
    inventory = changed(inventory, "supplies", generator_rating=measure(20, "kVA"))
    inventory = changed(inventory, "site", code_edition="2017")
    figures, findings = site_judged(inventory)
    assert findings["E258"].found == "MCC-1 rated 5 kA, 9.543 kA available"
    assert figures.number("site.generator.T-1") == pytest.approx(2 * math.sqrt(3) * 480 * 14.48 / 1000)
    assert findings["E254"].grade is Grade.CAUTION
    assert findings["E200"].grade is Grade.NOTE


def node(drive: str, **fields: Any) -> NetworkNode:
    return NetworkNode(drive, origin=origin("Networks"), **fields)


def test_addresses_used_twice() -> None:
    inventory = replace(
        many(nec_site(), 4),
        networks=(
            node("VFD-1", network="bus 1", address="11", terminated=True),
            node("VFD-2", network="bus 1", address="12", terminated=True),
            node("VFD-3", network="Bus 1", address="11", terminated=True, ip_address="192.168.1.5"),
            node("VFD-4", network="bus 2", address="11", ip_address="192.168.1.5"),
        ),
    )
    _, findings = site_judged(inventory)
    assert (findings["E250"].tag, findings["E250"].grade) == ("VFD-3", Grade.STOP)
    assert findings["E250"].found == "node address 11 is also that of VFD-1"
    assert findings["E251"].tag == "VFD-4"
    assert findings["E252"].found == "3 terminators on segment Bus 1: VFD-1, VFD-2, VFD-3"


def test_order_of_rows_changes_no_site_figure() -> None:
    inventory = many(nec_site(), 5)
    turned = replace(inventory, drives=inventory.drives[::-1], cables=inventory.cables[::-1])
    for key, figure in site_judged(inventory)[0].items():
        other = site_judged(turned)[0][key]
        assert other.text() == figure.text(), key


TABLES = ("supplies", "panels", "drives", "motors", "models", "line_cable", "motor_cable")


@st.composite
def damaged(draw: st.DrawFn) -> Inventory:
    """A sound site from which cells were taken, or in which numbers became zero or huge."""
    inventory = draw(st.sampled_from([nec_site(), iec_site()]))
    for _ in range(draw(st.integers(1, 6))):
        table = draw(st.sampled_from(TABLES))
        at = 1 if table == "motor_cable" else 0
        record = getattr(inventory, "cables" if table.endswith("cable") else table)[at]
        fields = [
            n for n in record.__slots__ if n not in ("tag", "model", "origin", "drive", "role", "panel", "supply")
        ]
        name = draw(st.sampled_from(sorted(fields)))
        old = getattr(record, name)
        if old is None or isinstance(old, bool | int):
            continue
        if isinstance(old, str):
            new: Any = ""
        elif not hasattr(old, "unit"):
            new = None
        elif table in ("supplies", "motors"):  # the reader lets no zero through on these sheets
            new = draw(st.sampled_from([None, measure("0.01", old.unit), measure(10**5, old.unit)]))
        else:
            new = draw(
                st.sampled_from([None, measure(0, old.unit), measure("0.001", old.unit), measure(10**7, old.unit)])
            )
        inventory = changed(inventory, table, **{name: new})
    return inventory


@settings(suppress_health_check=[HealthCheck.too_slow], deadline=None, max_examples=150)
@given(damaged())
def test_no_workbook_stops_the_figures(inventory: Inventory) -> None:
    drives = {d.tag: drive_figures(inventory, d)[0] for d in inventory.drives}
    figures, _ = site_figures(inventory, drives)
    for figure in (*figures.values(), *drives["VFD-1"].values()):
        assert figure.verdict in ("", "within", "outside", "not judged")
        if isinstance(figure.value, float):
            assert math.isfinite(figure.value), figure.key
        assert figure.value is not None or figure.missing or figure.note, figure.key
        assert "nan" not in f"{figure.limit} {figure.note}".replace("finan", "").split(), figure.key
