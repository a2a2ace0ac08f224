"""Wiring of every scheme on drives of 12, 24 and 40 terminals: complete, honest, and as the trade does it."""

from __future__ import annotations

import pytest
from invented_drives import COMPLETE, FULL, row, site, wire

from binder.engineering.figure import Figures
from binder.inventory.findings import Grade
from binder.inventory.quantities import measure
from binder.inventory.records import Control, Override
from binder.wiring.build import wire_drive
from binder.wiring.connections import Kind, Signal, Wiring

_CASES = [(code, size, logic) for code in COMPLETE for size in ("12", "24", "40") for logic in ("positive", "negative")]
_LACKING = {  # the small drives have no such terminals: told, not guessed
    "12": {"CS15", "CS17", "CS23", "CS24", "CS25"}, "24": {"CS24", "CS25"}, "40": set(),
}  # fmt: skip


def _ends_known(wiring: Wiring) -> None:
    known = {(wiring.designation, t.number) for t in wiring.terminals}
    known |= {(d.tag, m) for d in wiring.devices for m in d.terminals}
    known |= {(s.tag, m) for s in wiring.strips for m in s.terminals}
    known |= {(k.tag, m) for k in wiring.cables for m in ("SH1", "SH2", "insulated", "shell")}
    for c in wiring.connections:
        assert (c.a.device, c.a.terminal) in known, str(c.a)
        assert (c.b.device, c.b.terminal) in known, str(c.b)
        assert c.a != c.b


def _sound(wiring: Wiring) -> None:
    _ends_known(wiring)
    ids = [c.id for c in wiring.connections]
    assert len(ids) == len(set(ids))
    cores = [c.core for c in wiring.connections if c.kind is Kind.CORE]
    assert None not in cores
    assert len(cores) == len(set(cores)), "a core serves twice"
    allocated = {core for k in wiring.cables for core in k.cores}
    assert set(cores) <= allocated
    for strip in (s for s in wiring.strips if s.kind == "terminal strip"):
        for t in strip.terminals:
            on = [c for c in wiring.connections
                  if (strip.tag, t) in {(c.a.device, c.a.terminal), (c.b.device, c.b.terminal)}]  # fmt: skip
            assert sum(c.kind is Kind.CORE for c in on) == 1, "one strip terminal, one field core"
            assert any(c.kind in {Kind.WIRE, Kind.BRIDGE} for c in on)
    for cable in wiring.cables:
        classes = {c.signal for c in wiring.connections if c.core and c.core.cable == cable.tag}
        assert classes == {cable.signal}, "classes never share a cable"
    used = {e.device for c in wiring.connections for e in (c.a, c.b)}
    lacking = any(f.code == "W106" for f in wiring.findings)
    assert lacking or all(d.tag in used for d in wiring.devices), "a device without a conductor"


@pytest.mark.parametrize(("code", "size", "logic"), _CASES, ids=["-".join(c) for c in _CASES])
def test_scheme_is_wired_whole(code: str, size: str, logic: str) -> None:
    wiring = wire(COMPLETE[code], size, logic=logic)
    _sound(wiring)
    stops = [f for f in wiring.findings if f.grade is Grade.STOP]
    assert bool(stops) is (code in _LACKING[size]), stops
    assert all(f.code == "W106" for f in stops)
    assert all(f.sheet in {"Controls", "Drives", "Wires"} for f in wiring.findings)


@pytest.mark.parametrize("logic", ["positive", "negative"])
@pytest.mark.parametrize("supply", ["internal", "external"])
def test_input_common_is_tied_to_the_other_rail(logic: str, supply: str) -> None:
    rows = [*COMPLETE["CS01"], *([row("external 24 V", "panel")] if supply == "external" else [])]
    wiring = wire(rows, "24", logic=logic, supply=supply)
    contact = next(c for c in wiring.connections if str(c.b) == "-S1:13")
    common = next(c for c in wiring.connections if "-T1:13" in {str(c.a), str(c.b)})  # COM of the invented drive
    rails = {"internal": ("-T1:11", "-T1:12"), "external": ("-T2:+", "-T2:-")}[supply]
    fed, tied = rails if logic == "positive" else rails[::-1]
    potentials = {str(e): c.potential for c in wiring.connections for e in (c.a, c.b) if c.potential}
    assert potentials[fed] == contact.potential
    assert potentials[tied] == common.potential


def test_hand_off_auto_with_everything_comes_out_right() -> None:
    wiring = wire(FULL, "40")
    _sound(wiring)
    assert not [f for f in wiring.findings if f.grade is not Grade.NOTE]
    hand, auto = wiring.modes
    assert (hand.name, hand.command_owner, hand.reference_owner, hand.selected_by) == (
        "hand", "terminals", "AI1", "SS-1 in HAND")  # fmt: skip
    assert (auto.name, auto.command_owner, auto.reference_owner) == ("auto", "terminals", "AI2")
    assert hand.permissives == auto.permissives == ("PSL-1", "TSH-2")
    asked = {(d.function, d.applies_to): d.value for d in wiring.demands}
    assert asked[("command_source", "")] == "terminals"
    assert asked[("reference_source", "hand")] == "AI1"
    assert asked[("reference_source", "auto")] == "AI2"
    assert asked[("analog_input_format", "AI1")] == "0-10 V"
    assert asked[("analog_input_format", "AI2")] == "4-20 mA"
    assert asked[("digital_input_function", "DI2")] == "reference_select"
    assert asked[("digital_input_function", "DI8")] == "not_used"
    assert asked[("relay_function", "RO1")] == "fault"
    assert asked[("start_method", "")] == "two-wire"
    assert dict(wiring.switches)["AI2 voltage/current switch"] == "current"
    readings = {(e.between[0], e.state): e.text() for e in wiring.expected}
    assert readings[("-T1:14", "SS-1 in AUTO, -K1 on")] == "24 V ± 1.2"
    assert readings[("-T1:14", "SS-1 in OFF, -K1 on")] == "0 V ± 1"
    assert readings[("-T1:14", "SS-1 in HAND, -K1 off, PSL-1 acted")] == "0 V ± 1"
    assert readings[("-T1:15", "SS-1 in HAND")] == "24 V ± 1.2"


def test_permissives_stand_ahead_of_the_selector() -> None:
    wiring = wire([FULL[0], *FULL[1:4]], "24")
    selector = {c.potential for c in wiring.connections if str(c.a) in {"SS-1:13", "SS-1:23"} or str(c.b) == "SS-1:13"}
    end_of_string = {c.potential for c in wiring.connections if "TSH-2:12" in {str(c.a), str(c.b)}}
    assert selector == end_of_string


def test_network_drive_lands_its_permissives_on_a_run_permit() -> None:
    wiring = wire([row("network", "controller panel"), row("permissive string", "pump room")], "40")
    assert wiring.terminal("enable") is not None  # this drive has a hardware enable
    small = wire([row("network", "controller panel"), row("permissive string", "pump room")], "24")
    assert small.terminal("run_permit") is not None


def test_three_wire_stop_is_a_break_contact_in_line() -> None:
    wiring = wire(COMPLETE["CS02"], "24")
    stop = wiring.device("-S1")
    assert stop is not None
    assert [c.form for c in stop.contacts] == ["NC"]
    assert {t.label: t.function for t in wiring.terminals if t.role == "DI" and t.function} == {
        "DI1": "start_pulse", "DI2": "stop_enable"}  # fmt: skip
    assert ("start_method", "three-wire") in {(d.function, d.value) for d in wiring.demands}


def test_direction_selector_beside_a_run_command() -> None:
    wiring = wire([row("three-wire start-stop"), row("forward-reverse"), row("0-10 V reference")], "24")
    assert wiring.terminal("direction") is not None
    assert wiring.terminal("run_reverse") is None
    assert ("direction_enable", "both") in {(d.function, d.value) for d in wiring.demands}
    assert not [f for f in wiring.findings if f.code == "W134"]


def test_users_binding_wins_and_conflicts_are_told() -> None:
    bound = wire([row("two-wire run", terminals="run_forward=DI5"), row("0-10 V reference")], "24")
    assert bound.terminal("run_forward").label == "DI5"  # type: ignore[union-attr]
    by_number = wire([row("two-wire run", terminals="run_forward=19"), row("0-10 V reference")], "24")
    assert by_number.terminal("run_forward").label == "DI6"  # type: ignore[union-attr]
    twice = wire([row("two-wire run", terminals="run_forward=DI2"), row("jog", terminals="jog=DI2",
                  value=measure(5, "Hz")), row("0-10 V reference")], "24")  # fmt: skip
    told = [f for f in twice.findings if f.code == "W105"]
    assert len(told) == 1
    assert told[0].column == "terminals"
    assert "DI2" in told[0].found
    wrong = wire([row("two-wire run", terminals="run_forward=AI1"), row("0-10 V reference")], "24")
    assert any(f.code == "W105" and "AI" in f.found for f in wrong.findings)


def test_signals_find_the_input_that_can_take_them() -> None:
    wiring = wire([*FULL[:3]], "24")  # AI1 takes volts only, AI2 current only
    assert {t.label: t.function for t in wiring.terminals if t.role == "AI"} == {
        "AI1": "hand_reference", "AI2": "speed_reference"}  # fmt: skip
    current = wire(COMPLETE["CS09"], "24")
    assert current.terminal("speed_reference").label == "AI2"  # type: ignore[union-attr]


def test_tags_follow_the_site_and_the_user() -> None:
    american = wire(COMPLETE["CS01"], "24", basis="NEC")
    assert sorted(d.tag for d in american.devices) == ["POT1", "SS1"]
    assert american.designation == "VFD1"
    assert {s.tag for s in american.strips} == {"TB1", "GND"}
    iec = wire(COMPLETE["CS01"], "24")
    assert sorted(d.tag for d in iec.devices) == ["-R1", "-S1"]
    given = wire([row("two-wire run", devices="S=SS-101"), row("0-10 V reference", devices="A=PLC-1:AO")], "24")
    assert "SS-101" in {d.tag for d in given.devices}


def test_one_tag_in_two_rows_is_one_device() -> None:
    wiring = wire([row("two-wire run"), row("4-20 mA reference", "controller panel", devices="A=PLC-1"),
                   row("fault relay", "controller panel", devices="A=PLC-1"),
                   row("run relay", "controller panel", devices="A=PLC-1")], "40")  # fmt: skip
    card = [d for d in wiring.devices if d.tag == "PLC-1"]
    assert len(card) == 1
    assert set(card[0].terminals) == {"AO1+", "AO1-", "DIC", "DI1", "DI2"} or "DI2" in card[0].terminals
    clash = wire([row("two-wire run", devices="S=X-1"), row("4-20 mA reference", devices="A=X-1")], "24")
    assert [f.code for f in clash.findings] == ["W132"]


def test_auxiliary_contact_of_the_emergency_stop() -> None:
    wiring = wire([row("two-wire run"), row("0-10 V reference"), row("safe torque off", devices="S=ES-1"),
                   row("permissive string", devices="F1=ES-1")], "24")  # fmt: skip
    button = wiring.device("ES-1")
    assert button is not None
    assert (button.kind, len(button.contacts), button.states) == ("emergency stop", 3, ("released", "pressed"))
    assert not [f for f in wiring.findings if f.code == "W132"]
    assert wiring.modes[0].permissives == ("ES-1",)


def test_how_it_stops_is_said() -> None:
    stops = dict(wire(FULL, "40").stops)
    assert stops["safe torque off"].startswith("stop category 0")
    assert "OFF opens both legs" in stops["hand-off-auto"]


def test_places_decide_how_a_conductor_runs() -> None:
    rows = [row("two-wire run", "panel door"), row("jog", "machine", value=measure(5, "Hz")),
            row("fault reset", "machine"), row("0-10 V reference", "controller panel")]  # fmt: skip
    wiring = wire(rows, "24")
    door = [c for c in wiring.connections if "-S1" in {c.a.device, c.b.device}]
    assert {c.kind for c in door} == {Kind.WIRE}
    machine = [c for c in wiring.connections if {c.a.device, c.b.device} == {"-S2", "-S3"}]
    assert [c.kind for c in machine] == [Kind.JUMPER]  # the common is chained in the field
    assert wiring.inside == ("MCC-1", "MCC-1 door")
    blank = wire([row("two-wire run", ""), row("0-10 V reference")], "24")
    told = next(f for f in blank.findings if f.code == "W103")
    assert (told.sheet, told.column, told.grade) == ("Controls", "place", Grade.CAUTION)


def test_safety_channels_have_their_own_pairs() -> None:
    wiring = wire(COMPLETE["CS17"], "24")
    cable = next(k for k in wiring.cables if k.signal is Signal.SAFETY)
    assert cable.paired
    assert cable.screened
    assert sum(c.kind is Kind.CORE and c.core is not None and c.core.cable == cable.tag
               for c in wiring.connections) == 4  # fmt: skip
    assert ("safe torque off links", "removed, kept with the drive's papers") in wiring.switches


def test_unused_safety_and_enable_inputs_keep_their_factory_links() -> None:
    wiring = wire(COMPLETE["CS01"], "40")
    links = {tuple(sorted((c.a.terminal, c.b.terminal))) for c in wiring.connections if c.scheme == "factory link"}
    assert ("11", "22") in links  # +24 V to enable
    safety = {e.terminal for c in wiring.connections if c.kind is Kind.LINK for e in (c.a, c.b)}
    assert {"38", "39", "40"} <= safety


def test_keypad_by_override_is_an_owner() -> None:
    keypad = [Override("VFD-1", "command_source", "keypad"), Override("VFD-1", "reference_source", "keypad")]
    wiring = wire([], "24", overrides=keypad)
    assert not [f for f in wiring.findings if f.code == "W113"]
    assert wiring.modes[0].command_owner == "keypad"
    alone = wire([], "24")
    assert [f.code for f in alone.findings if f.grade is Grade.STOP] == ["W113", "W113"]


def test_model_without_terminals_and_unknown_scheme_are_findings() -> None:
    inventory = site([row("two-wire run"), row("run it somehow"), row("0-10 V reference")], "24")
    told = wire_drive(inventory, inventory.drives[0], Figures()).findings
    assert [f.code for f in told if f.grade is Grade.STOP] == ["W101"]
    bare = site([row("two-wire run"), row("0-10 V reference")], "24")
    bare = type(bare)(**{**{f: getattr(bare, f) for f in bare.__slots__}, "terminals": ()})
    wiring = wire_drive(bare, bare.drives[0], Figures())
    assert not wiring.connections or all(c.kind is not Kind.CORE for c in wiring.connections)
    assert any(f.code == "W106" and "no control terminals" in f.found for f in wiring.findings)


def test_potentiometer_between_modes_and_process_control() -> None:
    rows = [row("hand-off-auto", "panel door"), row("speed potentiometer", "panel door", mode="hand",
            value=measure(5, "kΩ")), row("process control", mode="auto"),
            row("4-20 mA transmitter", "pump room")]  # fmt: skip
    wiring = wire(rows, "24")
    assert [m.reference_owner for m in wiring.modes] == ["AI1", "process control"]
    assert wiring.terminal("process_feedback").label == "AI2"  # type: ignore[union-attr]
    asked = {(d.function, d.applies_to): d.value for d in wiring.demands}
    assert asked[("process_feedback_source", "")] == "AI2"
    assert asked[("process_control", "")] == "on"
    assert len([d for d in wiring.devices if d.kind == "transmitter"]) == 1


def test_network_in_auto_takes_the_select_input() -> None:
    wiring = wire([row("hand-off-auto", "panel door"), row("network", "controller panel", mode="auto"),
                   row("speed potentiometer", "panel door", mode="hand", value=measure(5, "kΩ"))], "40")  # fmt: skip
    hand, auto = wiring.modes
    assert (hand.command_owner, auto.command_owner, auto.reference_owner) == ("terminals", "network", "network")
    assert wiring.terminal("local_remote") is not None
    assert not [d for d in wiring.devices if d.kind == "contact"]


def test_order_of_the_sheets_rows_plays_no_part() -> None:
    one = wire(FULL, "24", keyed=False)
    other = wire(FULL[::-1], "24", keyed=False)
    assert one.connections == other.connections
    assert one.terminals == other.terminals


def test_alike_devices_and_a_shared_controller_carry_their_own_words() -> None:
    def texts(*rows: Control) -> dict[str, str]:
        return {d.tag: d.text for d in wire(rows, "24").devices}

    run = row("two-wire run", "panel door")
    both = "F1=PSL-1; F2=PSH-1"
    named = texts(run, row("permissive string", "pump", devices=both, description="F1=low suction; F2=high discharge"))
    assert (named["PSL-1"], named["PSH-1"]) == ("low suction", "high discharge")
    joint = texts(run, row("permissive string", "pump", devices=both, description="Suction and discharge"))
    assert (joint["PSL-1"], joint["PSH-1"]) == ("permissive 1", "permissive 2")
    single = texts(run, row("permissive string", "pump", devices="F1=PSL-1", description="Low suction pressure"))
    assert single["PSL-1"] == "Low suction pressure"
    plc = row("4-20 mA reference", "PLC-1", devices="A=PLC-1"), row("fault relay", "PLC-1", devices="A=PLC-1")
    device = next(d for d in wire((run, *plc), "24").devices if d.tag == "PLC-1")
    assert device.text == "speed signal; fault from drive"
    assert dict(device.uses)["DI1"] == "fault from drive"
