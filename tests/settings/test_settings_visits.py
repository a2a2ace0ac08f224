"""As found, as left, drift, like drives, owners and restart."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from settings_cases import DRIVE, MODEL, WIRING, figures, inventory, origin, setting, table

from binder.inventory.findings import Grade
from binder.inventory.quantities import measure
from binder.inventory.records import AsLeft, Drive, Override
from binder.settings.as_left import consequence, drift, same_value
from binder.settings.assignment import settings_table
from binder.settings.compare import compare_findings, demanded
from binder.settings.owners import owner_matrix
from binder.settings.restart import restart_hazards
from binder.settings.situation import situation
from binder.settings.table import RestartHazard
from binder.wiring.connections import Demand, Mode

DAY = dt.date(2026, 3, 1)


def visit(number: str, found: str, left: str, day: int = 1, reason: str = "", row: int = 2) -> AsLeft:
    where = origin("As left", row, "drive", "setting", "as_found", "as_left", "reason")
    return AsLeft("VFD-1", number, found, left, DAY.replace(day=day), "AF", reason, where)


@pytest.mark.parametrize(
    ("left", "reason", "verdict"),
    [("20.0", "", "equal"), ("20", "", "equal"), ("20.0 s", "", "equal"), ("20.2", "", "differs"),
     ("20.2", "quieter", "differs with reason")],
)  # fmt: skip
def test_as_left_is_judged_with_the_resolution(left: str, reason: str, verdict: str) -> None:
    made = table(inventory(as_left=(visit("3", "10.0", left, reason=reason),)))
    row = made.required("acceleration_time")
    assert row is not None
    assert (row.as_found, row.as_left, row.as_left_verdict, row.as_left_by) == ("10.0", left, verdict, "AF")
    stops = [(f.code, f.cell) for f in made.findings if f.grade is Grade.STOP]
    assert stops == ([("S122", "D2")] if verdict == "differs" else [])


def test_reads_back_rounded_allows_one_step() -> None:
    row = setting("1", unit="A", resolution="0.1", minimum=0, maximum=99)
    assert not same_value(row, "9.6", "9.7")
    assert same_value(replace(row, reads_back_rounded=True), "9.6", "9.7")


def test_as_found_of_the_first_visit_is_kept() -> None:
    visits = (visit("3", "10.0", "20.0", 1), visit("3", "25.0", "20.0", 9, row=3))
    row = table(inventory(as_left=visits)).required("acceleration_time")
    assert row is not None and (row.as_found, row.as_left_date) == ("10.0", "2026-03-09")


def test_drift_between_two_visits() -> None:
    visits = (visit("3", "10.0", "20.0", 1), visit("3", "25.0", "20.0", 9, row=3), visit("2", "0", "15", 1, row=4))
    moved = drift(MODEL, visits)
    assert [(d.number, d.left, d.found, d.left_date) for d in moved] == [("3", "20.0", "25.0", "2026-03-01")]


def test_unreadable_and_unknown_as_left() -> None:
    visits = (visit("3", "", "quick", row=5), visit("777", "", "1", row=6))
    codes = {(f.code, f.cell) for f in table(inventory(as_left=visits)).findings}
    assert {("S121", "D5"), ("S120", "B6")} <= codes


def test_a_blank_setting_number_is_told_by_the_reader_alone() -> None:
    """Damaged workbook 1822: a second finding said that nothing was found."""
    blank = inventory(as_left=(visit("", "", "1", row=5),), overrides=(Override("VFD-1", "", "1"),))
    assert not [f for f in table(blank).findings if f.sheet in ("As left", "Overrides")]


def test_a_setting_may_be_named_by_its_function() -> None:
    row = table(inventory(as_left=(visit("acceleration_time", "", "20.0"),))).required("acceleration_time")
    assert row is not None and row.as_left_verdict == "equal"


def test_an_action_is_not_judged() -> None:
    row = table(inventory(as_left=(visit("60", "", "0"),))).required("save_settings")
    assert row is not None and (row.as_left, row.as_left_verdict) == ("0", "")


def test_consequences_are_plain_words() -> None:
    assert consequence("command_source", "keypad") == "the drive ignores the run contacts at its terminals"
    assert consequence("acceleration_time", "5") == ""


def pair(second: Drive, **more: object) -> list[tuple[str, str]]:
    site = inventory(**more)
    site = replace(site, drives=(DRIVE, second))
    tables = {d.tag: demanded(settings_table(site, d, figures(), WIRING)) for d in site.drives}
    return [(f.code, f.found) for f in compare_findings(site, tables)]


def test_like_drives_that_differ_are_told() -> None:
    twin = replace(DRIVE, tag="VFD-2")
    assert pair(twin) == []
    other = replace(twin, min_frequency=None)
    assert pair(other) == [("S160", "like drives differ in 2 Name 2: VFD-1 15.0, VFD-2 0.0")]
    explained = Override("VFD-2", "min_frequency", "10", "other pump curve", "A. Person")
    assert pair(twin, overrides=(explained,)) == []
    assert pair(replace(twin, duty="heavy", min_frequency=None)) == []  # not alike


def test_owner_matrix_names_settings() -> None:
    wiring = replace(WIRING, modes=(Mode("always", "SS-1", "POT-1", ("PSL-1",), ""),))
    site = inventory()
    s = situation(site, DRIVE, figures(), wiring)
    rows = owner_matrix(s, table(site, wiring))
    assert [(r.mode, r.command, r.reference, r.permits, r.agrees) for r in rows] == [
        ("always", "SS-1", "POT-1", ("PSL-1",), True)
    ]
    assert rows[0].command_setting == "4 = 1: terminals"


def test_no_owner_and_two_owners() -> None:
    wiring = replace(WIRING, modes=(Mode("hand", "", "POT-1"), Mode("off", "", "")))
    assert {f.code for f in table(wiring=wiring).findings} == {"S140"}
    both = (*WIRING.demands, Demand("reference_source", "", "AI2", "another signal"))
    found = table(wiring=replace(WIRING, demands=both, modes=(Mode("always", "a", "b"),))).findings
    assert "S141" in {f.code for f in found}


def test_override_against_the_wiring_is_told() -> None:
    person = Override("VFD-1", "reference_source", "keypad", "test", "A. Person")
    found = [f for f in table(inventory(overrides=(person,))).findings if f.code == "S142"]
    assert [f.grade for f in found] == [Grade.CAUTION] and "ignores the speed signal" in found[0].found


def hazard_rows(drive: Drive, schemes: tuple[str, ...]) -> tuple[RestartHazard, ...]:
    site = replace(inventory(drive=drive), controls=())
    wiring = replace(WIRING, schemes=schemes)
    made = settings_table(site, drive, figures(), wiring)
    return restart_hazards(situation(site, drive, figures(), wiring), made)


def hazards(drive: Drive, schemes: tuple[str, ...] = ("two-wire run", "speed potentiometer")) -> dict[str, str]:
    return {h.cause: h.starts for h in hazard_rows(drive, schemes)}


@pytest.mark.parametrize(
    ("lowest", "told"),
    [
        (0, "a signal at zero holds the motor still, not stopped"),
        (20, "the motor runs on at 20.0 Hz at zero signal"),
    ],
)
def test_a_motor_that_runs_on_at_zero_signal_is_never_called_still(lowest: float, told: str) -> None:
    drive = replace(DRIVE, min_frequency=measure(lowest, "Hz"))
    found = {h.cause: h.why for h in hazard_rows(drive, ("two-wire run", "speed potentiometer"))}
    assert found["return of reference"].endswith(told)


def test_what_starts_the_machine_by_itself() -> None:
    """IEC 60204-1 7.5 and NFPA 79 7.5 (from memory, check); per scheme: common practice, no source."""
    assert hazards(DRIVE)["return of power"] == "no"
    asked = replace(DRIVE, restart_on_power_return=True)
    assert hazards(asked)["return of power"] == "yes"
    assert hazards(asked, ("three-wire start-stop",))["return of power"] == "no"
    assert hazards(DRIVE)["return of reference"] == "yes"
    assert hazards(DRIVE, ("two-wire run", "permissive string"))["return of a permissive"] == "yes"
    assert hazards(replace(DRIVE, automatic_resets=2))["automatic reset"] == "yes"
    assert hazards(DRIVE, ()) == {}


def test_restart_findings() -> None:
    asked = replace(DRIVE, restart_on_power_return=True)
    assert table(inventory(drive=asked)).findings == ()  # asked for; the wiring tells of it
    silent = inventory(drive=replace(DRIVE, restart_on_power_return=None))
    assert [(f.code, f.grade, f.cell) for f in table(silent).findings] == [("S151", Grade.CAUTION, "B2")]


def test_restart_labels_say_what_happens() -> None:
    site = inventory(drive=replace(DRIVE, restart_on_power_return=True))
    rows = restart_hazards(situation(site, site.drives[0], figures(), WIRING), table(site))
    power = next(h for h in rows if h.cause == "return of power")
    assert power.label.startswith("WARNING: machine may start without notice on return of power")
    assert "23 is restart" in power.why and power.test


def test_an_override_that_cannot_be_set_is_quoted_letter_by_letter() -> None:
    made = table(inventory(overrides=(Override("VFD-1", "3", "a_b", "quieter", "AF"),)))
    row = made.required("acceleration_time")
    assert row is not None
    assert row.required_text == "cannot be set to a_b"
    assert any("must be a_b:" in f.found for f in made.findings if f.code == "S112")
