"""Certificates of the site: what the data must earn before anybody signs."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from field_site import TAG, pack_of, site

from binder.field.certificates import certificates
from binder.field.sheets import GATES, FieldPack, Gate
from binder.inventory.findings import Finding, Grade
from binder.inventory.quantities import measure
from binder.inventory.records import Defeat, PunchItem, Training

DAY = dt.date(2026, 6, 1)
TAUGHT = Training("Lockout", DAY, measure(4, "h"), "A. Ferrow", "R. Okari; J. Pell")
STOP = Finding("E999", Grade.STOP, "Drives", "A1", TAG, "wrong", "right", "Mend it.")


def earned(**changes: object) -> FieldPack:
    """A pack whose four gates are earned, with fields replaced."""
    every = tuple(Gate(name, (), ()) for name in GATES)
    return replace(pack_of(site()), gates=every, punch_items=(), defeats=(), **changes)


def blocked(pack: FieldPack, *findings: Finding, **changes: object) -> dict[str, tuple[str, ...]]:
    inventory = site(**({"training": (TAUGHT,)} | changes))
    return {c.name: c.blocked_by for c in certificates(inventory, [pack], findings)}


def test_all_three_are_earned_by_complete_data() -> None:
    assert blocked(earned()) == {"ready for acceptance": (), "training received": (), "accepted": ()}


def test_blank_drives_bar_readiness_and_acceptance_by_name() -> None:
    found = blocked(pack_of(site()))
    assert f"Gate 'may be loaded' is open on 1 of 1 drives: {TAG}" in found["ready for acceptance"]
    assert "Certificate 'ready for acceptance' is not earned" in found["accepted"]
    assert found["training received"] == ()


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ((), "no training on the sheet Training"),
        ((replace(TAUGHT, date=None, hours=None),), "Training 'Lockout': no day, no hours"),
        ((replace(TAUGHT, attendees=""),), "Training 'Lockout': no attendees"),
    ],
    ids=["none", "planned only", "nobody came"],
)
def test_training_that_nobody_received_is_no_training(row: tuple[Training, ...], why: str) -> None:
    found = blocked(earned(), training=row)
    assert found["training received"] == (why,)
    assert found["accepted"] == ("Certificate 'training received' is not earned",)


@pytest.mark.parametrize("grade", ["A", ""], ids=["class A", "never graded"])
def test_an_open_class_a_item_of_the_site_bars_readiness(grade: str) -> None:
    item = PunchItem("7", text="no arc-flash label", severity=grade)
    found = blocked(earned(), punch_items=(item,))
    assert found["ready for acceptance"] == ("Class A item 7: no arc-flash label",)
    assert blocked(earned(), punch_items=(replace(item, closed=DAY),))["ready for acceptance"] == ()


def test_lesser_items_and_lines_left_undone_are_exceptions_named_one_by_one() -> None:
    item = PunchItem("8", drive=TAG, text="paint", severity="C")
    gates = (*(Gate(n, (), ()) for n in GATES[:3]), Gate("accepted", (), (), ("C7 Vibration: not done, no zone",)))
    pack = replace(earned(), punch_items=(item,), gates=gates)
    accepted = certificates(site(training=(TAUGHT,)), [pack], ())[-1]
    assert accepted.earned
    assert accepted.exceptions == (f"{TAG}: C7 Vibration: not done, no zone", "Class C item 8: paint")


def test_stops_and_defeats_bar_acceptance() -> None:
    pack = replace(earned(), defeats=(Defeat(TAG, "jumper 3-4"),))
    assert blocked(pack, STOP)["accepted"] == (
        "1 open stop on the findings page",
        f"Defeat open on {TAG}: jumper 3-4",
    )
    waived = replace(STOP, waived="A. Owner, 2026-06-01: accepted")
    assert blocked(earned(), waived)["accepted"] == ()


def test_a_site_without_drives_earns_nothing() -> None:
    found = {c.name: c.blocked_by for c in certificates(site(training=(TAUGHT,)), [], ())}
    assert found["ready for acceptance"] == ("no drive in the inventory",)
