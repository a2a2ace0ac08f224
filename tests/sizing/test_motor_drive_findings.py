"""Each finding of the motor and drive side: when it comes, at which cell, with which remedy."""

from __future__ import annotations

from dataclasses import replace

import pytest
from sizing_site import POTENTIOMETER, Bench

from binder.inventory.findings import Finding, Grade
from binder.inventory.quantities import measure as m
from binder.inventory.records import Control, Drive, Inventory, ModelTerminal, Origin, Site
from binder.sizing import drive_figures

CASES = {
    "E101": ("motor", {"current": m(29, "A")}, Grade.CAUTION, "Motors!F4", "about 24.86 A"),
    "E103": ("motor", {"speed": m(1300, "rpm")}, Grade.STOP, "Motors!H4", "slip 27.78 %"),
    "E104": ("motor", {"speed": m(1800, "rpm")}, Grade.CAUTION, "Motors!H4", "is the synchronous speed"),
    "E105": ("motor", {"voltage": m(230, "V")}, Grade.STOP, "Motors!D4", "link the winding for 460 V"),
    "E106": ("motor", {"efficiency": m(91, "%")}, Grade.NOTE, "Motors!J4", "93 % and up"),
    "E107": ("drive", {"max_frequency": m(75, "Hz")}, Grade.CAUTION, "Drives!S4", "highest frequency to 62."),
    "E108": ("drive", {"min_frequency": m(5, "Hz")}, Grade.CAUTION, "Drives!R4", "set 6 Hz"),
    "E109": ("machine", {"shaft_power": m(16, "kW")}, Grade.CAUTION, "Machines!D4", "choose a larger motor"),
    "E121": ("supply", {"voltage": m(575, "V")}, Grade.STOP, "Drives!G4", "380 to 500 V"),
    "E122": ("panel", {"ambient": m(50, "°C")}, Grade.STOP, "Drives!G4", "0.2 A short at 50 °C"),
    "E123": ("panel", {"ambient": m(55, "°C")}, Grade.STOP, "Panels!H4", "at most 50 °C"),
    "E124": ("site", {"altitude": m(3500, "m")}, Grade.STOP, "Site!B9", "at most 3000 m"),
    "E125": ("drive", {"carrier_frequency": m(12, "kHz")}, Grade.STOP, "Drives!P4", "at most 8 kHz"),
    "E126": ("machine", {"load_type": "constant torque"}, Grade.CAUTION, "Drives!K4", "choose heavy duty"),
    "E127": ("drive", {"max_frequency": m(450, "Hz")}, Grade.STOP, "Drives!S4", "at most 400 Hz"),
    "E131": ("panel", {"room_ambient": m(45, "°C")}, Grade.STOP, "Panels!I4", "m³/h of room air"),
    "E132": ("model", {"bleeder_resistance": m(200, "kΩ")}, Grade.STOP, "Models!AB4", "wait 10 min and measure"),
    "E141": ("machine", {"max_speed": m(1500, "rpm")}, Grade.STOP, "Drives!S4", "highest frequency to 50.9 Hz"),
    "E143": ("drive", {"deceleration_time": m(1, "s")}, Grade.CAUTION, "Drives!W4", "let it coast, or fit"),
    "E110": ("machine", {"min_speed": m(900, "rpm")}, Grade.CAUTION, "Drives!R4", "lowest frequency to 30 Hz"),
    "E133": ("panel", {"room_ambient": m(35, "°C")}, Grade.CAUTION, "Panels!H4", "47.73 °C computed"),
    "E146": ("machine", {"gravity": True}, Grade.CAUTION, "Machines!A4", "what holds the load"),
    "E144": ("drive", {"brake_resistance": m(20, "Ω")}, Grade.STOP, "Drives!AC4", "30 Ω or more"),
}  # fmt: skip


@pytest.mark.parametrize("code", CASES)
def test_finding_with_cell_grade_and_remedy(code: str) -> None:
    kind, values, grade, at, words = CASES[code]
    _, findings = Bench().change(kind, **values).run()
    found = findings[code]
    assert found.grade is grade
    assert f"{found.sheet}!{found.cell}" == at
    assert found.tag == "VFD-101"
    assert words in f"{found.found} | {found.accepted} | {found.remedy}"


@pytest.mark.parametrize("code", CASES)
def test_no_finding_without_its_cause(code: str) -> None:
    assert code not in Bench().run()[1]


def test_a_short_drive_says_all_that_would_make_it_fit() -> None:
    """25 A motor, 25 A heavy, 48 °C, 6 kHz: 25 x 0.84 x 0.925 = 19.43 A. Example 11: 38 x 0.84 x 0.9 = 28.73 A."""
    bench = Bench().change("drive", duty="heavy", carrier_frequency=m(6, "kHz")).change("panel", ambient=m(48, "°C"))
    figures, findings = bench.run()
    assert figures.number("rating.continuous") == pytest.approx(19.425)
    remedy = findings["E122"].remedy
    assert "next larger drive: Example 11 gives 28.73 A here" in remedy
    assert "light duty" not in remedy  # 31 x 0.84 x 0.925 = 24.1 A is short as well
    assert "5.6 A short" in f"{-figures.number('rating.margin'):.1f} A short"  # type: ignore[operator]


@pytest.mark.parametrize(("ambient", "carrier"), [(46, 6), (44, 8), (48, 5)])
def test_what_the_remedy_says_really_fits(ambient: int, carrier: int) -> None:
    bench = Bench().change("motor", current=m(27, "A")).change("panel", ambient=m(ambient, "°C"))
    bench.change("drive", carrier_frequency=m(carrier, "kHz"))
    _, findings = bench.run()
    if "E122" not in findings:
        return
    parts = findings["E122"].remedy.removeprefix("one of: ").split("; ")
    for part in parts:
        words = part.split()
        if part.startswith("carrier"):
            mended = replace(bench.records["drive"], carrier_frequency=m(words[2], "kHz"))
            other = Bench(dict(bench.records) | {"drive": mended})
        elif part.startswith("ventilate"):
            other = Bench(dict(bench.records) | {"panel": replace(bench.records["panel"], ambient=m(words[2], "°C"))})
        else:
            continue
        assert other.run()[0]["rating.margin"].verdict == "within", part


def test_a_single_phase_supply_takes_the_models_share() -> None:
    bench = Bench().change("supply", phases=1).change("model", single_phase_factor=m(50, "%"))
    figures, findings = bench.run()
    assert figures.number("rating.continuous") == pytest.approx(15.5)
    assert "E122" in findings
    assert "bus.loaded" not in figures
    unknown, _ = Bench().change("supply", phases=1).run()
    assert unknown["rating.continuous"].value is None


def test_a_blank_ambient_is_taken_from_the_computed_inside() -> None:
    """400 W on 5.712 m² at 5.5 W/(m² K) over 32 °C: 44.73 °C inside, 2 % per K above 40 °C."""
    figures, findings = Bench().change("panel", ambient=None, room_ambient=m(32, "°C")).run()
    assert figures.number("rating.ambient_factor") == pytest.approx(1 - 0.02 * (32 + 400 / 5.5 / 5.712 - 40))
    assert "heat.inside" in [i.origin for i in figures["rating.ambient_factor"].inputs]
    hotter, findings = Bench().change("panel", ambient=None, room_ambient=m(45, "°C")).run()
    assert hotter["heat.inside"].verdict == "outside"
    assert "E131" in findings
    assert "E123" not in findings


def test_blank_cells_leave_figures_not_judged_with_one_finding_a_cell() -> None:
    bench = Bench().change("motor", efficiency=None).change("machine", inertia=None)
    inventory = bench.inventory
    figures, findings = drive_figures(inventory, inventory.drives[0])
    for key in ("motor.power_balance", "ramp.inertia", "ramp.acceleration", "machine.energy_saved"):
        assert figures[key].value is None
        assert figures[key].verdict == "not judged"
    assert figures["motor.power_balance"].missing == ("motor efficiency",)
    assert figures["ramp.acceleration"].missing == ("machine inertia",)
    blank = {f"{f.sheet}!{f.cell}": f for f in findings if f.code == "E100"}
    assert "Plate cross-check" in blank["Motors!J4"].found
    assert blank["Motors!J4"].grade is Grade.NOTE
    assert "Inertia at the motor shaft" in blank["Machines!A4"].found


def test_a_cell_that_the_reader_refused_is_told_once() -> None:
    """Stops of the workbook may stand in ranges; a row to add is another matter than the cell it is told at."""
    inventory = Bench().change("motor", efficiency=None).change("machine", inertia=None).inventory
    refused = tuple(
        Finding("B106", Grade.STOP, sheet, cell, "", "93 to 94", "", "Type one.")
        for sheet, cell in (("Motors", "C9, J3:J5"), ("Drives", "A4"))
    )
    told = [drive_figures(i, i.drives[0])[1] for i in (inventory, replace(inventory, findings=refused))]
    before, after = ([f for f in findings if f.code == "E100"] for findings in told)
    assert [f for f in before if f not in after] == [f for f in before if (f.sheet, f.cell) == ("Motors", "J4")] != []
    assert before[0].found.startswith("not given: ")


def test_a_drive_alone_in_the_workbook_is_judged_in_nothing_and_breaks_nothing() -> None:
    inventory = Inventory(Site("Empty", "E", "NEC"), drives=(Drive("VFD-9", origin=Origin("Drives", 9)),))
    figures, findings = drive_figures(inventory, inventory.drives[0])
    essential = [f for f in figures.values() if f.key.startswith(("motor.slip", "rating.margin", "bus.no_load"))]
    assert [f.value for f in essential] == [None, None, None]
    assert {f.grade for f in findings} <= {Grade.CAUTION, Grade.NOTE}


def test_a_curve_is_never_read_beyond_its_data() -> None:
    figures, _ = Bench().change("drive", carrier_frequency=m(12, "kHz")).run()
    assert figures["rating.carrier_factor"].value is None
    assert "carrier khz is 12; accepted: at most 8" in figures["rating.carrier_factor"].note
    assert figures["rating.margin"].value is None


def test_a_brake_resistor_shortens_the_stop_and_is_judged() -> None:
    without, _ = Bench().run()
    fitted, findings = Bench().change("drive", brake_resistance=m(60, "Ω"), brake_power=m("0.6", "kW")).run()
    assert fitted.number("ramp.deceleration") < without.number("ramp.deceleration")  # type: ignore[operator]
    assert fitted.number("brake.resistor_power") == pytest.approx(780**2 / 60)
    assert fitted["brake.resistance"].verdict == "within"
    assert fitted.number("brake.cycle") == pytest.approx(8541 * 0.93 / 600, rel=1e-3)
    assert not {"E144", "E145"} & set(findings)


def test_a_heavier_machine_never_ramps_faster() -> None:
    benches = [Bench().change("machine", inertia=m(j, "kg·m²")) for j in (1, 2, 5, 20)]
    times = [bench.run()[0].number("ramp.acceleration") for bench in benches]
    assert times == sorted(times, key=lambda t: t or 0.0)
    _, findings = Bench().change("machine", inertia=m(20, "kg·m²")).run()
    assert findings["E142"].column == "Acceleration time [s]"


def test_too_small_a_potentiometer_overloads_the_10_v_terminal() -> None:
    bench = Bench()
    bench.controls = (replace(POTENTIOMETER, value=m(500, "Ω")),)
    _, findings = bench.run()
    assert findings["E151"].grade is Grade.STOP
    assert findings["E151"].cell == "G4"
    assert "1000 Ω or more" in findings["E151"].accepted


def test_a_large_potentiometer_on_a_low_input_bends_the_scale() -> None:
    bench = Bench().change("model", analog_voltage_impedance=m(20, "kΩ"))
    figures, findings = bench.run()
    assert figures.number("reference.loading_error") == pytest.approx(3.51, abs=0.01)
    assert findings["E152"].grade is Grade.NOTE


def test_the_24_v_supply_is_loaded_with_every_input() -> None:
    inventory = replace(
        Bench().inventory,
        terminals=tuple(ModelTerminal("Example 7", str(n), f"DI{n}", "DI") for n in range(1, 21)),
        controls=(Control("VFD-101", "4-20 mA transmitter", value=m(12, "V")),),
    )
    figures, findings = drive_figures(inventory, inventory.drives[0])
    assert figures.number("control.load_24v") == pytest.approx(20 * 6 + 21)
    assert "E154" in {f.code for f in findings}
    assert figures["signal.transmitter_volts"].missing == ("4-20 mA transmitter length", "control cable")


def test_pulse_reference_scale() -> None:
    bench = Bench()
    bench.controls = (Control("VFD-101", "pulse reference", value=m(10, "kHz")),)
    assert bench.run()[0].number("reference.pulses_per_hertz") == pytest.approx(10000 / 60)


def test_a_brake_is_told_how_it_is_fed() -> None:
    figures, findings = Bench().change("machine", gravity=True, mechanical_brake=True).run()
    assert figures["brake.mechanical"].value == "fed apart from the drive's output"
    assert "E146" not in findings


def test_encoder_frequency_at_highest_speed() -> None:
    bench = Bench()
    bench.controls = (Control("VFD-101", "encoder", value=m(1024, "")),)
    assert bench.run()[0].number("signal.encoder_frequency") == pytest.approx(1765 / 60 * 1.024)


def test_a_permanent_magnet_motor_is_not_judged_as_an_induction_motor() -> None:
    figures, findings = Bench().change("motor", permanent_magnet=True, speed=m(1800, "rpm")).run()
    assert not {"motor.no_load_current", "sweep.current_100", "rating.peak_torque"} & set(figures)
    assert "E104" not in findings


def test_a_50_hz_motor_on_a_60_hz_site_is_re_rated() -> None:
    bench = Bench().change("motor", voltage=m(400, "V"), frequency=m(50, "Hz"), speed=m(1465, "rpm"))
    figures, _ = bench.run()
    assert figures.number("motor.rerated_voltage") == pytest.approx(480.0)
    assert figures.number("motor.rerated_power") == pytest.approx(14.92 * 1.2)
