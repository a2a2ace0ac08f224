"""What a change touches: one test a row of the change table, and a rule for every group of facts."""

from __future__ import annotations

from pathlib import Path

import pytest

from binder.inventory.reader import read_workbook
from binder.reissue.consequences import consequence_of, rules
from binder.reissue.facts import Fact, Key
from binder.reissue.gather import facts_of
from binder.reissue.scopes import Covered, scopes
from binder.study import SiteStudy, study_site

WORKBOOK = Path(__file__).parents[2] / "demo_site" / "inventory.xlsx"
GATES = {"may be energized", "may turn", "may be loaded", "accepted"}


@pytest.fixture(scope="module")
def study() -> SiteStudy:
    return study_site(read_workbook(WORKBOOK))


@pytest.fixture(scope="module")
def facts(study: SiteStudy) -> dict[Key, Fact]:
    return facts_of(study)


def test_every_fact_of_the_demo_has_a_rule(facts: dict[Key, Fact]) -> None:
    assert {consequence_of(key).change for key in facts}


def test_an_unknown_group_is_told() -> None:
    with pytest.raises(LookupError, match="no consequence rule for weather"):
        consequence_of(("k", "weather", "rain", "mm"))


def test_every_group_of_the_rules_is_one_that_can_occur(facts: dict[Key, Fact]) -> None:
    known = {key[1] for key in facts} | {"signature", "certificate", "page", "defeat", "revision", "document"}
    assert {rule.group for rule in rules()} <= known


def test_acceptance_falls_with_every_gate() -> None:
    for rule in rules():
        if GATES.intersection(rule.consequence.signatures):
            assert "accepted" in rule.consequence.signatures, rule


@pytest.mark.parametrize(
    ("key", "tests", "void"),
    [
        pytest.param(
            ("motor", "motor", "serial"),
            {"winding resistance", "insulation", "thermistor", "direction", "identification run", "no-load current",
             "loaded readings", "vibration"},
            GATES,
            id="motor, same rating",
        ),
        pytest.param(
            ("motor", "motor", "current"), {"insulation", "protection settings"}, {*GATES, "design check"},
            id="motor, other rating",
        ),
        pytest.param(
            ("drive", "drive", "serial"),
            {"full read-back", "energization", "direction", "all control modes", "safe torque off validation"},
            GATES,
            id="drive, same type",
        ),
        pytest.param(
            ("drive", "drive", "model"), {"all tests of this drive"}, {*GATES, "design check"}, id="drive, other type"
        ),
        pytest.param(
            ("drive", "drive", "software"),
            {"full read-back", "safe torque off validation", "one run in each mode"},
            {"may turn", "accepted"},
            id="software version",
        ),
        pytest.param(
            ("setting", "overload_current", "value"), {"that trip"}, {"may be loaded", "accepted"},
            id="protection setting",
        ),
        pytest.param(
            ("setting", "acceleration_time", "value"), {"ramps"}, {"may be loaded", "accepted"}, id="ramp"
        ),
        pytest.param(
            ("setting", "max_frequency", "value"), {"reference sweep", "ramps"}, {"may be loaded", "accepted"},
            id="limit or scaling",
        ),
        pytest.param(
            ("wire", "TB1:3~VFD1:34", "ends"),
            {"point-to-point of that wire", "function of that terminal"},
            {"may be energized", "may turn", "accepted"},
            id="control wire moved",
        ),
        pytest.param(
            ("wire", "TB1:3~VFD1:STO1", "ends"), {"full safety validation"},
            {"may be energized", "may turn", "accepted"}, id="safe torque off circuit",
        ),
        pytest.param(
            ("cable", "W101-M", "length"), {"insulation", "protective conductor", "direction"},
            {"may be energized", "may turn", "accepted"}, id="motor cable",
        ),
        pytest.param(
            ("drive", "drive", "protection_rating"), {"supply voltages", "protection settings"},
            {"design check", "may be energized", "accepted"}, id="protective device",
        ),
        pytest.param(
            ("supply", "T-1", "transformer_rating"), {"supply voltages"},
            {"design check", "may be energized", "accepted"}, id="supply",
        ),
        pytest.param(
            ("isolator", "DS-101", "place"), {"trial lockout by the owner"}, {"may be energized", "accepted"},
            id="isolator",
        ),
        pytest.param(
            ("lockout", "space heater", "isolation"), {"trial lockout by the owner"},
            {"may be energized", "accepted"}, id="energy source",
        ),
        pytest.param(("network", "NET-1", "address"), {"that point"}, {"accepted"}, id="network address"),
        pytest.param(("contact", "A. Example", "telephone"), set(), set(), id="contact, phone"),
        pytest.param(("drive", "drive", "remark"), set(), set(), id="typing"),
        pytest.param(
            ("reading", "R2.C 2026-04-20", "may be energized"), {"that test"}, {"may be energized", "accepted"},
            id="reading altered",
        ),
        pytest.param(
            ("drive", "drive", "tag"), {"label check", "trial lockout by the owner"},
            {"may be energized", "accepted"}, id="renamed",
        ),
    ],
)  # fmt: skip
def test_row_of_the_change_table(key: tuple[str, str, str], tests: set[str], void: set[str]) -> None:
    found = consequence_of(("k", *key))
    assert tests <= set(found.tests)
    assert set(found.signatures) == void
    if not void:
        assert not found.tests


@pytest.mark.parametrize(
    ("key", "label"),
    [
        (("drive", "drive", "protection_rating"), "arc flash label: check that the study still holds"),
        (("wire", "a~b", "number"), "wire marker"),
        (("isolator", "DS-1", "tag"), "isolator label"),
        (("setting", "power_return", "value"), "automatic start label"),
        (("contact", "door card", "call"), "door card"),
    ],
)
def test_labels_to_replace(key: tuple[str, str, str], label: str) -> None:
    assert label in consequence_of(("k", *key)).labels


def test_every_drive_has_a_digest_for_every_statement(study: SiteStudy, facts: dict[Key, Fact]) -> None:
    digests = Covered(facts).places
    on_drives = {s.statement for s in scopes() if s.level == "drive"}
    for drive in study.drives:
        assert {statement for owner, statement in digests if owner == drive.drive.origin.key} == on_drives
    assert ("site", "ready for acceptance") in digests


def test_a_gate_is_in_the_scopes_and_in_the_rules(study: SiteStudy) -> None:
    printed = {gate.name for drive in study.drives for gate in drive.field.gates}
    assert printed == GATES
    assert {s.statement for s in scopes()} >= printed
