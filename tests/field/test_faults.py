"""Fault pages and door card speak of this drive's terminals and settings."""

from __future__ import annotations

from dataclasses import replace

import pytest
from field_site import DRIVE, SETTINGS, TAG, WIRING, on_bench, pack_of, read, setting, site

from binder.field.fault_codes import FOLLOWED
from binder.field.faults import at_terminal, fault_pages, monitors
from binder.field.sheets import CodeMeaning, FaultPage
from binder.inventory.columns_models import FAULT_KINDS
from binder.inventory.findings import Grade
from binder.inventory.quantities import measure
from binder.inventory.records import Control, FaultCode, Person, Spare
from binder.settings.functions import FUNCTIONS
from binder.wiring.connections import Connection, DriveTerminal, End, Kind, Signal


def page(symptom: str, **changes: object) -> FaultPage:
    inventory = changes.pop("inventory", site())
    pages = {p.symptom: p for p in fault_pages(on_bench(inventory, **changes))}
    return pages[symptom]


def test_speed_stays_zero_asks_owner_then_signal_then_limits() -> None:
    checks = page("Run is given, speed stays 0").checks
    assert [c.order for c in checks] == list(range(1, len(checks) + 1))
    assert checks[0].setting == "Q11"
    assert "Q11 = 2: AI1" in checks[0].expected
    assert checks[1].check.startswith("Signal at -T1:8 (AI1) from the speed potentiometer (R1)")
    assert checks[1].expected == "0 %: 0.00 V, 50 %: 5.00 V, 100 %: 10.00 V"
    assert checks[1].setting == "Q30"


@pytest.mark.parametrize(
    ("lowest", "told"),
    [
        ("0.0", "0 Hz and zero signal stand still: no fault"),
        ("20.0", "set it back; at zero signal the motor runs on at 20.0 Hz"),
    ],
)
def test_zero_signal_stands_still_only_where_the_lowest_frequency_is_zero(lowest: str, told: str) -> None:
    table = replace(SETTINGS, rows=(*SETTINGS.rows, setting("Q21", "min_frequency", lowest, unit="Hz")))
    checks = page("Run is given, speed stays 0", settings=table).checks
    assert next(c for c in checks if c.setting == "Q21").if_not == told


def test_no_start_gives_the_volts_of_the_wiring_record() -> None:
    run = next(c for c in page("Does not start").checks if c.check.startswith("Run command at -T1:3"))
    assert run.expected == "S1 in ON: 24 V ± 2.4 to -T1:2; S1 in OFF: 0 V ± 1 to -T1:2"


def test_no_start_looks_at_the_factory_links_where_no_safe_torque_off_is_wired() -> None:
    terminals = (*WIRING.terminals, DriveTerminal("21", "STO1", "STO1", 5), DriveTerminal("22", "STO2", "STO2", 6))
    link = Connection("l1", End("-T1", "1"), End("-T1", "21"), Kind.LINK, Signal.SAFETY, "", "")
    wiring = replace(WIRING, terminals=terminals, connections=(*WIRING.connections, link))
    second = page("Does not start", wiring=wiring).checks[1]
    assert second.check == "Factory links of safe torque off: -T1:1 to -T1:21"
    bare = page("Does not start", wiring=replace(WIRING, terminals=terminals)).checks[1]
    assert bare.check == "Factory links of safe torque off: -T1:21 (STO1), -T1:22 (STO2)"
    assert not any("Factory links" in c.check for c in page("Does not start").checks)


def test_terminal_outside_the_record_falls_back_to_the_input_logic() -> None:
    t = DriveTerminal("5", "DI3", "DI", 5, "jog")
    assert at_terminal(on_bench(site()), t) == "contact closed about 24 V to 2 N24, open about 0 V"
    negative = site(drives=(replace(DRIVE, control_logic="negative"),))
    assert at_terminal(on_bench(negative), t) == "contact closed about 0 V to 2 N24, open about 24 V"


def test_a_terminal_without_a_label_of_its_own_is_named_once() -> None:
    held = tuple(DriveTerminal(n, label, "DI", 9, "run_permit") for n, label in (("5", "5"), ("6", ""), ("7", "DI7")))
    told = monitors(on_bench(site(), wiring=replace(WIRING, terminals=held)))[3]
    assert told.startswith("4 What inhibits: 5, 6, 7 DI7")


def test_ignored_signal_asks_who_owns_the_speed_first() -> None:
    """Common practice, no source: a drive left on its built-in potentiometer ignores the terminal."""
    checks = page("Speed does not follow the signal").checks
    assert "Who owns the speed" in checks[0].check
    assert "built-in" in checks[0].if_not


def test_trip_on_stop_names_ramp_and_trip_voltage() -> None:
    table = replace(SETTINGS, rows=(*SETTINGS.rows, setting("Q61", "deceleration_time", "30.0", unit="s")))
    checks = page("Trips while stopping", settings=table).checks
    assert "678.8 V at rest; trips at 800 V" in checks[0].expected
    assert checks[0].if_not == "lengthen the ramp, or coast"
    fitted = site(drives=(replace(DRIVE, brake_resistance=measure(50, "Ω")),))
    assert page("Trips while stopping", inventory=fitted).checks[0].if_not.endswith("; look at the brake resistor")
    assert any(c.setting == "Q61" and c.expected == "Q61 = 30.0 s" for c in checks)


def test_self_start_says_lock_out_first() -> None:
    checks = page("Starts by itself").checks
    assert checks[0].check.startswith("DANGER: lock out first")
    assert any(c.setting == "Q50" for c in checks)


@pytest.mark.parametrize(
    ("symptom", "scheme"),
    [
        ("Safe torque off is shown", "safe torque off"),
        ("Network lost", "network"),
        ("Process control hunts, or runs to full speed", "process control"),
    ],
)
def test_pages_come_with_their_scheme_only(symptom: str, scheme: str) -> None:
    assert symptom not in {p.symptom for p in pack_of(site()).faults}
    with_it = site(controls=(*site().controls, Control(TAG, scheme)))
    assert symptom in {p.symptom for p in pack_of(with_it).faults}


def test_every_setting_function_asked_for_is_in_the_vocabulary() -> None:
    every = tuple(setting(f"X{n}", key, "1") for n, key in enumerate(FUNCTIONS))
    schemes = ("network", "process control", "safe torque off")
    inventory = site(controls=(*site().controls, *(Control(TAG, s) for s in schemes)))
    pages = fault_pages(on_bench(inventory, settings=replace(SETTINGS, rows=every)))
    asked = {c.setting for p in pages for c in p.checks if c.setting}
    assert len(asked) > 20, "a misspelled function would find no setting"


def test_drive_without_wiring_and_settings_still_has_pages() -> None:
    bare = fault_pages(on_bench(site(controls=()), wiring=replace(WIRING, terminals=(), expected=()),
                                settings=replace(SETTINGS, rows=())))  # fmt: skip
    assert "Does not start" in {p.symptom for p in bare}
    assert all(c.check and c.expected and c.if_not for p in bare for c in p.checks)


def test_four_monitors_name_setting_input_and_inhibits() -> None:
    permit = (*WIRING.terminals, DriveTerminal("6", "DI4", "DI", 6, "run_permit"))
    one, two, three, four = monitors(on_bench(site(), wiring=replace(WIRING, terminals=permit)))
    assert "Q10 = 1: terminals" in one
    assert "Q11 = 2: AI1" in two
    assert "AI1 0.00 V to 10.00 V" in three
    assert "6 DI4" in four


def test_only_what_is_wired_inhibits() -> None:
    bare = replace(WIRING, terminals=(), modes=())
    assert monitors(on_bench(site(controls=()), wiring=bare))[3] == (
        "4 What inhibits: nothing is wired to inhibit; fault, limits"
    )


def test_door_card_tells_of_a_bypass_where_there_is_one() -> None:
    def cautions(**changes: object) -> str:
        card = pack_of(site(**changes)).door_card
        assert card is not None
        return " ".join(card.cautions)

    assert "Bypass: stop first" in cautions(drives=(replace(DRIVE, bypass="manual"),))
    assert "Bypass" not in cautions()


def test_each_first_fault_of_the_door_card_is_measured_at_a_terminal_where_the_page_has_such_a_check() -> None:
    pack = pack_of(site())
    assert pack.door_card is not None
    pages = {p.symptom: p for p in pack.faults}
    at_terminal = [p for p in pack.door_card.faults if any(" at -T1:" in c.check for c in pages[p.symptom].checks)]
    assert len(at_terminal) >= 3
    assert all(any(" at -T1:" in c.check for c in p.checks) for p in at_terminal)
    assert [len(p.checks) for p in pack.door_card.faults] == [2, 1, 1, 1, 1, 1]


def test_door_card_is_short_and_complete() -> None:
    inventory = site(
        spares=(Spare("Invented Q, complete", (TAG,), 1, place="store"),),
        readings=(read("C3.POT.100.U", "26", "A"), read("C3.POT.100.V", "26.2", "A", row=11)),
    )
    pack = pack_of(inventory)
    card = pack.door_card
    assert card is not None
    assert card.wait == "Wait 5 min, then measure: below 50 V DC"
    assert card.isolators[0] == "incoming supply: DS-9, MCC-9, bucket 3"
    assert len(card.faults) == 6
    assert all(len(p.checks) <= 3 for p in card.faults)
    assert [b[0] for b in card.baseline] == ["50 %", "75 %", "100 %"]
    assert card.baseline[2][3] == "26 A / 26.2 A"
    assert ("Q20", "max frequency", "60.0 Hz") in card.settings
    assert card.spare == ("1 x Invented Q, complete, store",)
    assert card.contacts == ("Emergency: 000", "A. Nobody, commissioning engineer: 000")


def test_door_card_does_not_deny_a_backup_that_was_made() -> None:
    def backup(**changes: object) -> str:
        card = pack_of(site(**changes)).door_card
        assert card is not None
        return card.backup

    made = (read("S4", "yes"),)
    assert backup() == ""
    assert backup(readings=made) == "made, but the inventory names no file"
    assert backup(readings=made, drives=(replace(DRIVE, backup_file="b/9.set"),)) == "b/9.set"


@pytest.mark.parametrize(("read_as", "file", "told"), [("yes", "", 1), ("no", "", 0), ("yes", "b/9.set", 0)])
def test_a_backup_that_no_file_is_named_for_is_told(read_as: str, file: str, told: int) -> None:
    pack = pack_of(site(readings=(read("S4", read_as),), drives=(replace(DRIVE, backup_file=file),)))
    found = [f for f in pack.findings if f.code == "F222"]
    assert [(f.grade, f.sheet, f.tag) for f in found] == [(Grade.CAUTION, "Drives", DRIVE.tag)] * told


def test_door_card_prints_no_access_code() -> None:
    table = replace(SETTINGS, rows=(setting("Q01", "access_code", "4711"), *SETTINGS.rows))
    card = pack_of(site(), settings=table).door_card
    assert card is not None
    assert "4711" not in str(card.settings)


def test_people_without_telephone_are_no_contacts() -> None:
    card = pack_of(site(people=(Person("C. Silent", "CS"),))).door_card
    assert card is not None
    assert card.contacts == ("Emergency: 000",)


# Codes of the display --------------------------------------------------------------------------------------------


def codes(*rows: FaultCode, **changes: object) -> dict[str, CodeMeaning]:
    parts = {name: changes.pop(name) for name in ("wiring", "settings") if name in changes}
    return {c.code: c for c in pack_of(site(fault_codes=rows, **changes), **parts).codes}


def test_a_code_brings_the_checks_of_its_kind_at_this_drives_terminals() -> None:
    model = DRIVE.model
    told = codes(
        FaultCode(model, "F10", "reference loss", "No signal", "61"),
        FaultCode(model, "F2", "overvoltage"),
        FaultCode("another", "F3", "earth fault"),
    )
    assert list(told) == ["F2", "F10"]  # by code, as a person counts
    assert told["F10"].checks[0].check.startswith("Signal at -T1:8 (AI1) from the speed potentiometer (R1)")
    assert (told["F10"].words, told["F10"].page) == ("No signal", "61")
    assert told["F2"].symptom == "Trips while stopping"
    assert "678.8 V at rest; trips at 800 V" in told["F2"].checks[0].expected


def test_a_code_of_a_kind_that_this_drive_has_no_page_for_leads_to_the_manual() -> None:
    told = codes(FaultCode(DRIVE.model, "F7", "network loss"), FaultCode(DRIVE.model, "F9", "other"))
    assert [(c.symptom, c.checks, c.note) for c in told.values()] == [("", (), "see the manual")] * 2


def test_a_code_is_never_given_checks_of_another_fault() -> None:
    rows = [FaultCode(DRIVE.model, kind, kind) for kind in ("motor overtemperature", "external fault")]
    without = site()
    without = replace(without, motors=tuple(replace(m, thermal_sensor="none") for m in without.motors))
    told = codes(*rows, motors=without.motors)
    assert [(c.checks, c.note) for c in told.values()] == [
        ((), "no input that reports it is wired: see the manual"),
        ((), "no winding sensor is wired: see the manual"),
    ]


def test_a_short_circuit_is_looked_for_between_the_phases_too() -> None:
    """A short from phase to phase or turn to turn passes every test to earth."""
    (told,) = codes(FaultCode(DRIVE.model, "X1", "short circuit")).values()
    assert [c.check.split(" ", 1)[0] for c in told.checks] == ["Lock", "Winding", "Motor", "Motor"]
    assert told.checks[1].check == "Winding ohms U-V, V-W and W-U, at the motor"
    assert "core to core" in told.checks[2].check


def test_every_kind_of_fault_but_other_brings_its_own_checks_to_a_drive_that_has_everything() -> None:
    every = tuple(setting(f"X{n}", key, "1") for n, key in enumerate(FUNCTIONS))
    permit = (*WIRING.terminals, DriveTerminal("6", "DI4", "DI", 6, "external_fault"),
              DriveTerminal("21", "STO1", "STO1", 7, "safe_torque_off_1"))  # fmt: skip
    inventory = site()
    schemes = (Control(TAG, s) for s in ("network", "safe torque off", "thermistor"))
    told = codes(
        *(FaultCode(DRIVE.model, kind, kind) for kind in FAULT_KINDS),
        controls=(*inventory.controls, *schemes),
        drives=(replace(DRIVE, brake_resistance=measure(50, "Ω")),),
        wiring=replace(WIRING, terminals=permit),
        settings=replace(SETTINGS, rows=every),
    )
    assert set(FOLLOWED) == set(FAULT_KINDS) - {"other"}
    for kind, (symptom, *begins) in FOLLOWED.items():
        assert told[kind].symptom == symptom
        assert [c.check.startswith(b) for c, b in zip(told[kind].checks, begins, strict=True)] == [True] * len(begins)


def test_nothing_is_opened_for_an_earth_fault_before_it_is_locked_out() -> None:
    rows = [FaultCode(DRIVE.model, kind, kind) for kind in ("earth fault", "short circuit", "drive internal")]
    for told in codes(*rows).values():
        assert told.checks[0].check.startswith("Lock out, prove dead")


def test_codes_stand_on_the_door_card() -> None:
    card = pack_of(site(fault_codes=(FaultCode(DRIVE.model, "F2", "overvoltage"),))).door_card
    assert card is not None
    assert [(c.code, c.meaning) for c in card.codes] == [("F2", "overvoltage")]


@pytest.mark.parametrize(
    ("sensor", "expected"), [("thermistor", "60 to 750 Ω"), ("thermal switch", "closed when cold"), ("none", "")]
)
def test_an_overload_looks_at_the_winding_sensor_that_there_is(sensor: str, expected: str) -> None:
    inventory = site()
    inventory = replace(inventory, motors=tuple(replace(m, thermal_sensor=sensor) for m in inventory.motors))
    found = [c for c in page("Trips on overload, runs hot", inventory=inventory).checks if "Winding sensor" in c.check]
    assert [c.expected.startswith(expected) for c in found] == ([True] if expected else [])
