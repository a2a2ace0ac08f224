"""The reference sweep against worked examples and facts of the trade."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from field_site import (
    DRIVE,
    FIGURES,
    MACHINE,
    MOTOR,
    SETTINGS,
    TAG,
    WIRING,
    figures,
    line,
    on_bench,
    pack_of,
    setting,
    site,
)

from binder.field.sweep import expected_rpm, machine_ratio, references, sweeps
from binder.inventory.quantities import measure
from binder.inventory.records import Control
from binder.settings.table import SettingsTable
from binder.wiring.connections import DriveTerminal

BOTH = (Control(TAG, "speed potentiometer", mode="hand"), Control(TAG, "4-20 mA reference", mode="auto"))
TWO_INPUTS = replace(
    WIRING,
    terminals=(
        DriveTerminal("8", "AI1", "AI", 1, "hand_reference"),
        DriveTerminal("10", "AI2", "AI", 2, "speed_reference"),
    ),
)


def test_full_turn_of_a_potentiometer_commands_zero_to_maximum() -> None:
    """Common practice, no source."""
    [sweep] = pack_of(site()).sweeps
    assert [p.signal for p in sweep.points] == ["0.00 V", "2.50 V", "5.00 V", "7.50 V", "10.00 V"]
    assert [p.frequency_hz for p in sweep.points] == [0, 15, 30, 45, 60]
    assert sweep.source == "speed potentiometer (R1) at AI1"


def test_live_zero_sweep_starts_at_four_milliamperes() -> None:
    """Field practice: 4, 8, 12, 16, 20 mA are 0, 25, 50, 75, 100 %."""
    hand, auto = sorted(pack_of(site(controls=BOTH), wiring=TWO_INPUTS).sweeps, key=lambda s: s.mode != "hand")
    assert [p.signal for p in auto.points] == ["4.0 mA", "8.0 mA", "12.0 mA", "16.0 mA", "20.0 mA"]
    assert (hand.mode, auto.mode) == ("hand", "auto")
    assert (hand.source[-3:], auto.source[-3:]) == ("AI1", "AI2")
    assert line(pack_of(site(controls=BOTH), wiring=TWO_INPUTS), "C3.hand-POT.50.HZ").expected == "30.0 Hz"


def test_row_binding_decides_the_input() -> None:
    bound = (replace(BOTH[1], terminals="speed_reference=AI1"),)
    assert references(on_bench(site(controls=bound), wiring=TWO_INPUTS))[0].terminal == "AI1"


def test_setting_may_raise_the_low_end_of_the_signal() -> None:
    rows = (*SETTINGS.rows, setting("Q30", "analog_input_format", "1", applies_to="AI1", text="2-10 V"))
    table = SettingsTable(TAG, "Invented Q", "", tuple(r for r in rows if r.required_text != "0-10 V"))
    [sweep] = pack_of(site(), settings=table).sweeps
    assert [p.signal for p in sweep.points][:2] == ["2.00 V", "4.00 V"]


@pytest.mark.parametrize(
    ("low_percent", "expected"),
    [("16.67", 35.0), ("0.0", 30.0)],
    ids=["worked_examples REF-05: 10 Hz at zero, 60 Hz full, 35 Hz at mid signal", "zero signal is 0 Hz"],
)
def test_both_conventions_of_zero_signal(low_percent: str, expected: float) -> None:
    rows = tuple(replace(r, required=low_percent) if r.function == "analog_input_low" else r for r in SETTINGS.rows)
    inventory = site(drives=(replace(DRIVE, min_frequency=measure(10, "Hz")),))
    [sweep] = pack_of(inventory, settings=replace(SETTINGS, rows=rows)).sweeps
    assert sweep.points[2].frequency_hz == pytest.approx(expected, abs=0.05)
    assert sweep.points[0].frequency_hz == pytest.approx(10, abs=0.05), "held at the minimum either way"
    assert "does not go below 10 Hz" in sweep.convention or "means 10" in sweep.convention


def test_unsaid_convention_is_a_finding_at_the_minimum_frequency() -> None:
    rows = tuple(r for r in SETTINGS.rows if r.function != "analog_input_low")
    inventory = site(drives=(replace(DRIVE, min_frequency=measure(10, "Hz")),))
    _, found = sweeps(on_bench(inventory, settings=replace(SETTINGS, rows=rows)))
    assert [(f.code, f.cell) for f in found] == [("F117", "H5")]
    _, none = sweeps(on_bench(site(), settings=replace(SETTINGS, rows=rows)))
    assert not none, "with minimum 0 both conventions agree"


def test_speed_carries_the_slip_of_the_load() -> None:
    b = on_bench(site())
    assert expected_rpm(b, 60) == pytest.approx(1760), "plate speed at plate frequency"
    assert expected_rpm(b, 30) == pytest.approx(900 - 40 / 4), "quadratic load: a quarter of the torque at half speed"
    assert expected_rpm(b, 0) == 0
    constant = on_bench(site(machines=(replace(MACHINE, load_type="constant torque"),)))
    assert expected_rpm(constant, 30) == pytest.approx(900 - 40)
    magnet = on_bench(site(motors=(replace(MOTOR, permanent_magnet=True),)))
    assert expected_rpm(magnet, 30) == 900


@pytest.mark.parametrize(
    ("changes", "ratio"),
    [
        ({"transmission": "gear", "gear_ratio": Decimal(20)}, 20),
        ({"transmission": "belt", "motor_sheave": measure(4, "in"), "machine_sheave": measure(203.2, "mm")}, 2),
        ({"transmission": "direct"}, 1),
        ({"transmission": "gear"}, None),
    ],
    ids=["gear", "belt, inches against millimetres", "direct", "gear without ratio"],
)
def test_machine_speed(changes: dict[str, object], ratio: float | None) -> None:
    b = on_bench(
        site(machines=(replace(MACHINE, transmission="", **{k: v for k, v in changes.items() if k != "transmission"}),))
    )
    b = replace(b, machine=replace(b.machine, transmission=changes["transmission"]))
    assert machine_ratio(b) == (pytest.approx(ratio) if ratio else None)


def test_current_band_is_fifteen_percent_and_never_above_the_plate() -> None:
    """Band: common practice, no source; the currents 10.1 / 11.8 / 17.3 / 27.0 A are the study's example."""
    pack = pack_of(site())
    [sweep] = pack.sweeps
    assert (sweep.points[2].current_low_a, sweep.points[2].current_high_a) == (
        pytest.approx(11.8 * 0.85),
        pytest.approx(11.8 * 1.15),
    )
    assert sweep.points[0].current_low_a is None, "no figure at standstill"
    assert line(pack, "C3.POT.100.U").high == 27


def test_a_load_above_the_motor_keeps_the_plate_as_limit_and_says_why() -> None:
    over = type(FIGURES)((*(f for k, f in FIGURES.items() if k != "sweep.current_100"),
                          replace(FIGURES["sweep.current_100"], value=31.0)))  # fmt: skip
    pack = pack_of(site(), figures=over)
    top = pack.sweeps[0].points[-1]
    assert (top.current_low_a, top.current_high_a) == (pytest.approx(27 * 0.85), 27)
    assert "At 100 % the load of the inventory asks for 31 A, above the motor's plate of 27 A" in pack.sweeps[0].note
    assert "asks for" not in pack_of(site()).sweeps[0].note


def test_slip_goes_with_the_power_that_the_machine_takes() -> None:
    """Half the motor's power at plate speed: half the plate's slip of 40 rpm."""
    light = on_bench(site(machines=(replace(MACHINE, shaft_power=measure(7.5, "kW")),)))
    assert expected_rpm(light, 60) == pytest.approx(1780)
    assert expected_rpm(light, 30) == pytest.approx(900 - 20 / 4)
    assert "at plate frequency 50 % of rated torque" in sweeps(light)[0][0].note
    assert "rated torque, no power of the load known" in sweeps(on_bench(site()))[0][0].note


def test_power_is_read_at_each_point_that_turns_as_a_baseline() -> None:
    [sweep] = pack_of(site()).sweeps
    read = [[e for e in p.lines if e.id.endswith(".KW")] for p in sweep.points]
    assert [len(r) for r in read] == [0, 1, 1, 1, 1]
    assert {(e.kind, e.unit, e.limit) for r in read for e in r} == {("record", "kW", "record; baseline")}


def test_band_follows_the_frequency_not_the_percentage() -> None:
    rows = tuple(replace(r, required="50.0") if r.function == "analog_input_low" else r for r in SETTINGS.rows)
    [sweep] = pack_of(site(), settings=replace(SETTINGS, rows=rows)).sweeps
    assert sweep.points[0].frequency_hz == 30
    assert sweep.points[0].current_low_a == pytest.approx(11.8 * 0.85)
    assert sweep.points[1].current_low_a is None, "no figure was computed for 37.5 Hz"


def test_a_frequency_between_the_sizings_points_gets_its_band_by_the_same_rule() -> None:
    """Quadratic load, In 27 A, I0 10 A, k 1: at 37.5 of 60 Hz sqrt(10² + 0.625⁴ (27² - 10²)) = 14.0 A."""
    rows = tuple(replace(r, required="50.0") if r.function == "analog_input_low" else r for r in SETTINGS.rows)
    known = type(FIGURES)((*FIGURES.values(), *figures(motor__no_load_current=10.0).values()))
    loaded = site(machines=(replace(MACHINE, shaft_power=measure(15, "kW")),))
    [sweep] = pack_of(loaded, settings=replace(SETTINGS, rows=rows), figures=known).sweeps
    assert sweep.points[1].frequency_hz == 37.5
    assert sweep.points[1].current_low_a == pytest.approx(14.0 * 0.85, abs=0.01)
    assert sweep.points[1].shaft_kw == pytest.approx(15 * 0.625**3)


def test_no_plate_no_sweep_but_a_finding() -> None:
    bare = replace(MOTOR, speed=None, frequency=None, poles=None)
    none = tuple(f for k, f in FIGURES.items() if k != "motor.poles")
    pack = pack_of(site(motors=(bare,)), figures=type(FIGURES)(none))
    assert pack.sweeps == ()
    assert [f.code for f in pack.findings] == ["F116"]
    assert pack.findings[0].cell == "D6"


def test_drive_without_reference_is_swept_from_its_keypad() -> None:
    keypad = tuple(replace(r, required_text="keypad") if r.function == "reference_source" else r for r in SETTINGS.rows)
    [sweep] = pack_of(site(controls=()), settings=replace(SETTINGS, rows=keypad)).sweeps
    assert sweep.points[1].signal == "25 %"
    assert not [e for e in sweep.points[1].lines if e.id.endswith("REF")], "no signal to measure"


def test_transmitter_is_feedback_unless_it_alone_sets_the_speed() -> None:
    feedback = (Control(TAG, "4-20 mA transmitter"), Control(TAG, "process control"))
    assert references(on_bench(site(controls=feedback), figures=figures())) == ()
    alone = references(on_bench(site(controls=feedback[:1])))
    assert [r.key for r in alone] == ["TX"]
