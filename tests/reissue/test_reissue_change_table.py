"""The change table, row by row, on a real inventory: what takes a new letter, what is repeated, void, relabelled.

Rows are those of the content study, part G, and of the reissue study, part 4.4.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from binder.inventory.canonical import as_printed
from binder.inventory.columns import SHEETS
from binder.inventory.quantities import measure
from binder.inventory.reader import read_workbook
from binder.inventory.records import Inventory, Override
from binder.reissue.compare import Change, compare
from binder.reissue.ledger import from_data
from binder.reissue.plan import Imprint, freeze, plan_issue
from binder.reissue.record import IssueRecord
from binder.reissue.scopes import Covered
from binder.reissue.words import needs
from binder.study import study_site

WORKBOOK = Path(__file__).parents[2] / "demo_site" / "inventory.xlsx"
A, B = (Imprint(letter, "2026-05-18", "A. Ferrow", "test") for letter in "AB")
DRIVE, OTHER = "VFD-201", "VFD-501"
GATES = {"may be energized", "may turn", "may be loaded", "accepted"}
DESIGN = {"design check"}

Edit = Callable[[Inventory], Inventory]


@cache
def inventory() -> Inventory:
    whole = as_printed(read_workbook(WORKBOOK))
    return replace(whole, drives=tuple(d for d in whole.drives if d.tag in (DRIVE, OTHER)))


@cache
def first() -> IssueRecord:
    return freeze(study_site(inventory()), imprint=A)


@dataclass(frozen=True)
class Outcome:
    documents: set[str]  # by key, a packet by its drive's tag
    void: set[str]  # of the drive
    tests: set[str]
    labels: set[str]
    site: set[str]
    changes: tuple[Change, ...]


def outcome(edit: Edit) -> Outcome:
    former = {key: from_data(data) for key, data in first().wiring.items()}
    second = freeze(study_site(edit(inventory()), former=former), imprint=B, former=first())
    changes = compare(first(), second)
    names = {**second.tags, **first().tags}
    letters = {names.get(d.key, d.key) for d in second.documents if d.revision == "B"}
    withdrawn = {names.get(d.key, d.key) for d in second.documents if d.state == "withdrawn"}
    tests, labels, site = needs(changes)
    void = {statement for c in changes if c.tag != "Site" for statement in c.consequence.signatures}
    return Outcome(letters | withdrawn, void, set(tests), set(labels), set(site), changes)


def edit(attribute: str, name: Callable[[Any], bool], **values: Any) -> Edit:
    """Change fields of the rows of one sheet for which `name` holds."""

    def made(old: Inventory) -> Inventory:
        rows = getattr(old, attribute)
        assert any(name(r) for r in rows)
        return replace(old, **{attribute: tuple(replace(r, **values) if name(r) else r for r in rows)})

    return made


def tagged(tag: str) -> Callable[[Any], bool]:
    return lambda record: record.tag == tag


def relay(old: Inventory) -> Inventory:
    """The fault relay of the drive to its other relay."""
    return edit("controls", lambda c: c.drive == DRIVE and "fault" in c.scheme, terminals="fault=RO2")(old)


def renamed(old: Inventory) -> Inventory:
    """The drive under another tag on every sheet, as the workbook has it after a rename."""
    new = edit("drives", tagged(DRIVE), tag="VFD-211")(old)
    for sheet in SHEETS:
        rows = getattr(new, sheet.attribute)
        if isinstance(rows, tuple) and any(getattr(r, "drive", "") == DRIVE for r in rows):
            new = edit(sheet.attribute, lambda r: r.drive == DRIVE, drive="VFD-211")(new)
        if isinstance(rows, tuple) and any(DRIVE in (getattr(r, "drives", "") or ()) for r in rows):
            made = tuple(replace(r, drives=tuple("VFD-211" if t == DRIVE else t for t in r.drives)) for r in rows)
            new = replace(new, **{sheet.attribute: made})
    return new


def override(old: Inventory) -> Inventory:
    value = Override(DRIVE, "overload_current", "9.0", "read from the plate again", "A. Ferrow", dt.date(2026, 5, 1))
    return replace(old, overrides=(*old.overrides, value))


def without(old: Inventory) -> Inventory:
    return replace(old, drives=tuple(d for d in old.drives if d.tag != OTHER))


def another(old: Inventory) -> Inventory:
    drive = next(d for d in old.drives if d.tag == DRIVE)
    new = replace(drive, tag="VFD-299", feeds="New pump", origin=replace(drive.origin, key="knew"))
    return replace(old, drives=(*old.drives, new))


def sooner(old: Inventory) -> Inventory:
    return edit("drives", tagged(DRIVE), acceleration_time=measure("14", "s"))(old)


MOTOR_TESTS = {"winding resistance", "insulation", "thermistor", "direction", "identification run", "no-load current",
               "loaded readings", "vibration"}  # fmt: skip
STUDY = [
    # id, edit, documents besides front and handover that take the letter, void, tests, labels, site papers
    ("motor, same rating", edit("motors", tagged("M-201"), serial="QM-0777"),
     {DRIVE}, GATES, MOTOR_TESTS, {"motor nameplate label"}, set()),
    ("motor, other rating", edit("motors", tagged("M-201"), current=measure("10.4", "A")),
     {DRIVE, "equipment"}, GATES | DESIGN, MOTOR_TESTS | {"protection settings"}, {"motor nameplate label"},
     {"one-line", "short-circuit summary"}),
    ("drive, same type", edit("drives", tagged(DRIVE), serial="B12-9999"),
     {DRIVE, "equipment"}, GATES,
     {"full read-back", "energization", "direction", "all control modes", "safe torque off validation"}, set(), set()),
    ("drive, other type or size", edit("drives", tagged(DRIVE), model="Invented B-23"),
     {DRIVE, OTHER, "equipment", "supply"}, GATES | DESIGN, {"all tests of this drive"}, {"drive label"},
     {"one-line", "short-circuit summary"}),
    ("software version", edit("drives", tagged(DRIVE), software="9.9"),
     {DRIVE}, {"may turn", "accepted"}, {"full read-back", "safe torque off validation", "one run in each mode"},
     set(), set()),
    ("protection setting", override, {DRIVE}, {"may be loaded", "accepted"},
     {"trip by S-209 Heat amps", "test T1"}, set(), set()),
    ("safe torque off circuit", edit("controls", lambda c: c.drive == OTHER and "torque" in c.scheme, devices="ES-599"),
     {OTHER, "labels"}, {"may be energized", "may turn", "accepted"}, {"full safety validation"}, set(), set()),
    ("ramp", sooner, {DRIVE}, {"may be loaded", "accepted", "design check"}, {"ramps", "test C4.UP"}, set(), set()),
    ("limit or scaling", edit("drives", tagged(DRIVE), min_frequency=measure("21", "Hz")),
     {DRIVE}, {"may be loaded", "accepted"} | DESIGN, {"reference sweep", "ramps"}, set(), set()),
    ("control wire moved", relay, {DRIVE, "labels"}, {"may be energized", "may turn", "accepted"},
     {"point-to-point of wire 107", "function of terminal X3.4"}, {"wire marker 107"}, set()),
    ("motor cable lengthened", edit("cables", tagged("W201-M"), length=measure("60", "m")),
     {DRIVE, "cables"}, {"may be energized", "may turn", "accepted"} | DESIGN,
     {"insulation", "protective conductor", "direction"}, {"cable marker"}, set()),
    ("device or fuse", edit("drives", tagged(DRIVE), protection_rating=measure("25", "A")),
     {DRIVE}, {"may be energized", "accepted", "design check"}, {"supply voltages", "protection settings"},
     {"fuse label", "arc flash label: check that the study still holds"}, {"short-circuit summary"}),
    ("transformer", edit("supplies", tagged("T-1"), transformer_impedance=measure("4", "%")),
     {DRIVE, OTHER, "supply"}, DESIGN, {"supply voltages", "protection settings"},
     {"arc flash label: check that the study still holds"}, {"one-line", "short-circuit summary"}),
    ("isolator", edit("isolators", tagged("DS-201"), place="MCC-1, bucket 9"),
     {DRIVE, "safety"}, {"may be energized", "accepted"}, {"trial lockout by the owner"}, {"isolator label"},
     {"lockout inspection"}),
    ("network address", edit("networks", lambda n: n.drive == OTHER, address="77"),
     {OTHER, "network"}, {"accepted"}, {"point NET-1", "network point set by M80 Line station"}, set(), set()),
    ("contact, phone", edit("people", lambda p: p.name == "A. Ferrow", telephone="555-0999"),
     {DRIVE, OTHER}, set(), set(), {"door card"}, set()),
    ("typing", edit("drives", tagged(DRIVE), remark="beside the north door"), {DRIVE}, set(), set(), set(), set()),
    ("renamed, key kept", renamed, {DRIVE, OTHER, "cables", "equipment", "labels", "maintenance", "safety", "supply"},
     {"may be energized", "accepted"}, {"label check", "trial lockout by the owner"}, {"drive label", "wire markers"},
     {"lockout inspection"}),
    ("drive deleted", without, {DRIVE, OTHER, "cables", "equipment", "labels", "network", "safety", "supply"},
     DESIGN, set(), set(), {"one-line", "short-circuit summary"}),
    ("drive added", another, {DRIVE, OTHER, "VFD-299", "cables", "equipment", "labels", "safety", "supply"},
     None, {"all tests of this drive"}, set(), {"one-line", "short-circuit summary"}),
]  # fmt: skip


@pytest.mark.parametrize(("change", "documents", "void", "tests", "labels", "site"), [
    pytest.param(*row[1:], id=row[0]) for row in STUDY
])  # fmt: skip
def test_row_of_the_change_table(
    change: Edit, documents: set[str], void: set[str] | None, tests: set[str], labels: set[str], site: set[str]
) -> None:
    found = outcome(change)
    # The front lists every letter; the findings name gates; the handover prints the digest of what is accepted.
    assert found.documents - {"front", "handover", "findings"} == documents
    assert "front" in found.documents
    if void is not None:
        assert found.void == void
    assert tests <= found.tests
    assert labels <= found.labels
    assert site <= found.site
    if not void and void is not None:
        assert not found.tests


def test_a_supply_voids_on_every_drive_that_it_feeds() -> None:
    new = edit("supplies", tagged("T-1"), transformer_impedance=measure("4", "%"))(inventory())
    before, after = Covered(first().facts), Covered(freeze(study_site(new), imprint=B, former=first()).facts)
    for drive in inventory().drives:
        for statement in ("design check", "may be energized", "accepted"):
            place = (drive.origin.key, statement)
            assert before.digest(place) != after.digest(place)
        assert before.digest((drive.origin.key, "may be loaded")) == after.digest((drive.origin.key, "may be loaded"))


def test_a_corrected_computation_is_told_and_voids_what_covers_it() -> None:
    older = {k: replace(f, rule=f"{f.rule} older", value="1") if k[1:3] == ("figure", "motor.slip") and f.rule else f
             for k, f in first().facts.items()}  # fmt: skip
    former = replace(first(), facts=older, documents=tuple(replace(d, digest="") for d in first().documents))
    changes = compare(former, freeze(study_site(inventory()), imprint=B, former=former))
    assert {c.kind for c in changes if c.key[2] == "motor.slip"} == {"corrected computation"}
    assert {c.consequence.signatures for c in changes if c.key[2] == "motor.slip"} == {("design check",)}


def test_a_value_that_moves_by_itself_is_refused() -> None:
    moved = {k: replace(f, value="1") if k[1:3] == ("figure", "motor.slip") and f.rule else f
             for k, f in first().facts.items()}  # fmt: skip
    former = replace(first(), facts=moved, documents=tuple(replace(d, digest="") for d in first().documents))
    study = study_site(inventory())
    plan = plan_issue(study, freeze(study, imprint=B, former=former), former)
    assert any("no input and no rule changed" in reason for reason in plan.refusals)
