"""Cross checks: each planted fault is told with its code, grade, sheet and column, and nothing else."""

from __future__ import annotations

import pytest
from invented_drives import COMPLETE, FULL, row, wire

from binder.inventory.findings import Grade
from binder.inventory.quantities import measure
from binder.inventory.records import Isolator, Origin, WireChange
from binder.wiring.connections import Signal, Wiring


def _codes(wiring: Wiring, *leave: str) -> list[str]:
    return sorted(f.code for f in wiring.findings if f.code not in {"W120", *leave})


def _change(action: str, a: str, b: str, reason: str = "") -> WireChange:
    return WireChange("VFD-1", action, a, b, reason=reason, origin=Origin("Wires", 2, "w1", {"from_end": "C2"}))


def test_sound_wiring_has_no_finding() -> None:
    for code in ("CS01", "CS02", "CS04", "CS05", "CS09", "CS10", "CS14", "CS16", "CS17", "CS18"):
        assert _codes(wire(COMPLETE[code], "40")) == [], code


def test_removed_wire_leaves_a_function_unlanded() -> None:
    wiring = wire(COMPLETE["CS01"], "24", changes=[_change("remove", "-T1:14", "-X1:2")])
    assert "W111" in _codes(wiring)
    told = next(f for f in wiring.findings if f.code == "W111")
    assert (told.sheet, told.grade) == ("Drives", Grade.STOP)


def test_stray_wire_on_an_unused_input() -> None:
    wiring = wire(COMPLETE["CS01"], "24", changes=[_change("add", "-T1:17", "-S1:14")])
    assert "W111" in _codes(wiring)


def test_two_sources_on_one_loop() -> None:
    wiring = wire(COMPLETE["CS09"], "24", changes=[_change("add", "-T1:11", "-K1:AO1+")])
    told = [f for f in wiring.findings if f.code == "W112"]
    assert [f.grade for f in told] == [Grade.STOP]
    assert "feeds it too" in told[0].found


def test_no_source_on_a_loop() -> None:
    wiring = wire(COMPLETE["CS10"], "24", changes=[_change("remove", "-X1:2", "-B1:+")])
    assert any(f.code == "W112" and "nothing powers" in f.found for f in wiring.findings)


def test_burden_beyond_what_the_loop_can_drive() -> None:
    rows = [COMPLETE["CS10"][0], row("4-20 mA transmitter", "far tank", length=measure(9, "km"))]
    assert any(f.code == "W112" and f.column == "length" for f in wire(rows, "24").findings)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ((row("two-wire run"),), "nobody sets the speed"),
        ((row("speed potentiometer", value=measure(5, "kΩ")),), "nobody may start"),
        ((row("two-wire run"), row("0-10 V reference"), row("4-20 mA reference")), "both set the speed"),
        ((row("two-wire run"), row("three-wire start-stop"), row("0-10 V reference")), "may both start"),
        ((row("hand-off-auto"), row("two-wire run"), row("0-10 V reference")), "in OFF too"),
        ((row("two-wire run", mode="hand"), row("two-wire run", mode="auto"), row("0-10 V reference")), "no selector"),
    ],
    ids=["no reference", "no command", "two references", "two commands", "past the selector", "no selector"],
)
def test_owners(rows: tuple[object, ...], words: str) -> None:
    told = [f for f in wire(rows, "40").findings if f.code == "W113"]  # type: ignore[arg-type]
    assert any(words in f.found for f in told), told


def test_bridged_permissive_is_no_permissive() -> None:
    rows = [*COMPLETE["CS16"]]
    sound = wire(rows, "24")
    feed = next(str(c.a) for c in sound.connections if str(c.b) == "-S1:13")
    bypassed = wire(rows, "24", changes=[_change("add", "PSL-1:11", "TSH-2:12", "left in after start-up")])
    told = [f for f in bypassed.findings if f.code == "W114"]
    assert told
    assert all(f.grade is Grade.STOP for f in told)
    assert feed


def test_two_stop_stations_in_parallel_stop_nothing() -> None:
    rows = [row("three-wire start-stop"), row("three-wire start-stop", "far end"), row("0-10 V reference")]
    assert any(f.code == "W114" and "no contact opens" in f.found for f in wire(rows, "24").findings)
    one = [row("three-wire start-stop", devices="S0=PB-1; S1=PB-2; S2=PB-3; S3=PB-4"), row("0-10 V reference")]
    assert _codes(wire(one, "24")) == []


def test_stop_button_jumpered_out() -> None:
    wiring = wire(COMPLETE["CS02"], "24", changes=[_change("add", "-S1:11", "-S1:12")])
    told = [f for f in wiring.findings if f.code == "W114"]
    assert any("stop" in f.found for f in told), wiring.findings


def test_mixed_logic_by_one_wire() -> None:
    wiring = wire(COMPLETE["CS02"], "24", changes=[_change("add", "-T1:12", "-S2:13")])
    assert any(f.code == "W115" and f.grade is Grade.STOP for f in wiring.findings)


def test_pulse_sensor_must_fit_the_logic() -> None:
    rows = [row("two-wire run"), row("pulse reference", "conveyor", description="PNP proximity switch")]
    assert "W115" not in _codes(wire(rows, "24"))
    assert "W115" in _codes(wire(rows, "24", logic="negative"))


def test_safety_channels_from_one_contact() -> None:
    sound = wire(COMPLETE["CS17"], "24")
    assert "W116" not in _codes(sound)
    joined = wire(COMPLETE["CS17"], "24", changes=[_change("add", "-S2:12", "-S2:22")])
    assert any(f.code == "W116" and f.grade is Grade.STOP for f in joined.findings)


def test_each_safety_channel_has_a_pair_of_its_own() -> None:
    """Good practice, no source: supply and return of one contact in one pair, so that a nip joins one channel alone."""
    cores = {c.b.terminal: c.core.mark for c in wire(COMPLETE["CS17"], "24").connections
             if c.core and c.signal is Signal.SAFETY}
    assert cores == {"11": "1a", "12": "1b", "21": "2a", "22": "2b"}


def test_supply_overload_and_small_potentiometer() -> None:
    pot = wire([row("two-wire run"), row("speed potentiometer", value=measure(500, "Ω"))], "24")
    told = next(f for f in pot.findings if f.code == "W117")
    assert (told.column, told.grade) == ("value", Grade.STOP)
    assert "20.0 mA" in told.found  # 10 V / 500 Ω
    unknown = wire([row("two-wire run"), row("speed potentiometer")], "24")
    assert [f.grade for f in unknown.findings if f.code == "W117"] == [Grade.CAUTION]


def test_one_cable_number_for_two_classes() -> None:
    rows = [row("two-wire run", cable="C-1"), row("0-10 V reference", cable="C-1")]
    wiring = wire(rows, "24")
    assert [f.column for f in wiring.findings if f.code == "W118"] == ["cable"]
    assert len(wiring.cables) == 2


def test_restart_hazard() -> None:
    assert "W119" in _codes(wire(COMPLETE["CS01"], "24", restart_on_power_return=True))
    assert "W119" not in _codes(wire(COMPLETE["CS02"], "24", restart_on_power_return=True))
    assert "W119" not in _codes(wire(COMPLETE["CS01"], "24", restart_on_power_return=False))


def test_loss_of_reference() -> None:
    pot = [f for f in wire(COMPLETE["CS01"], "24").findings if f.code == "W120"]
    assert [f.grade for f in pot] == [Grade.NOTE]  # 0-10 V: not detectable
    assert not [f for f in wire(COMPLETE["CS09"], "24").findings if f.code == "W120"]


def test_early_break_contact_left_unused() -> None:
    isolator = Isolator("DS-1", kind="motor isolator", place="motor", drives=("VFD-1",), early_break_contact=True)
    assert "W122" in _codes(wire(COMPLETE["CS01"], "24", isolators=[isolator], isolator="DS-1"))
    assert "W122" not in _codes(wire(COMPLETE["CS21"], "24", isolators=[isolator], isolator="DS-1"))


def test_heater_and_external_supply_belong_on_the_lockout_card() -> None:
    assert "W122" in _codes(wire(COMPLETE["CS30"], "40"))
    assert "W122" in _codes(wire(COMPLETE["CS29"], "24"))


def test_too_many_conductors_under_one_screw() -> None:
    changes = [_change("add", "-T1:14", "-X1:1"), _change("add", "-T1:14", "-S1:13")]
    assert "W131" in _codes(wire(COMPLETE["CS01"], "24", changes=changes))


def test_logic_left_blank_is_told_once() -> None:
    wiring = wire(COMPLETE["CS01"], "24", logic="")
    assert _codes(wiring) == ["W107"]
    assert wiring.logic == "positive"


def test_external_supply_without_a_source() -> None:
    assert "W108" in _codes(wire(COMPLETE["CS01"], "24", supply="external"))


def test_wrong_ends_on_the_sheet_wires() -> None:
    changes = [_change("add", "-T1:99", "-S1:13"), _change("add", "nonsense", "-S1:13"),
               _change("remove", "-T1:11", "-S1:14")]  # fmt: skip
    told = [f for f in wire(COMPLETE["CS01"], "24", changes=changes).findings if f.code == "W130"]
    assert len(told) == 3
    assert {f.sheet for f in told} == {"Wires"}


def test_wiring_as_found_replaces_the_computed_route() -> None:
    wiring = wire(COMPLETE["CS01"], "24", changes=[_change("as found", "-T1:14", "-S1:14", "old cable kept")])
    found = [c for c in wiring.connections if c.status]
    assert [(str(c.a), str(c.b), c.status, c.reason) for c in found] == [
        ("-T1:14", "-S1:14", "as found", "old cable kept")]  # fmt: skip
    assert not [c for c in wiring.connections if "-X1:2" in {str(c.a), str(c.b)}]
    assert "W111" not in _codes(wiring)


def test_presets_need_their_frequency() -> None:
    rows = [row("two-wire run"), row("preset speeds"), row("0-10 V reference")]
    assert "W125" in _codes(wire(rows, "24"))


def test_setting_asked_for_twice() -> None:
    rows = [row("hand-off-auto"), row("three-wire start-stop", mode="hand"), row("0-10 V reference")]
    assert any(f.code == "W134" and "start method" in f.found for f in wire(rows, "40").findings)


def test_contact_charts_are_proved_line_by_line() -> None:
    wiring = wire(FULL, "40")
    states = " | ".join(e.state for e in wiring.expected)
    for position in ("SS-1 in HAND", "SS-1 in OFF", "SS-1 in AUTO", "-S1 pressed", "PSL-1 acted", "TSH-2 acted"):
        assert position in states


def test_a_word_that_is_no_function_is_quoted_as_typed() -> None:
    wiring = wire((row("fault relay", terminals="Fault_Relay=RO1; fault=RO1"),), "24")
    assert [f.found for f in wiring.findings if f.code == "W104"] == ["'Fault_Relay' is no terminal function"]
