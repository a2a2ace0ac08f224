"""The demo's lockout cards: every source of energy that its workbook shows, kind by kind, on the printed card."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from demo_copy import DEMO
from docutils import nodes

from binder.documents.nodes import caution_box, data_table
from binder.documents.packet_cards import lockout_section
from binder.inventory.findings import Grade
from binder.inventory.lookup import controls_of, machine_of, motor_of
from binder.inventory.quantities import measure
from binder.inventory.reader import read_workbook
from binder.inventory.records import Control, Drive, Inventory, Isolator
from binder.study import DriveStudy, SiteStudy, study_site


@pytest.fixture(scope="module")
def study() -> SiteStudy:
    return study_site(read_workbook(DEMO / "inventory.xlsx"))


def scheme(*names: str) -> Callable[[Inventory, Drive], bool]:
    return lambda inventory, drive: any(c.scheme in names for c in controls_of(inventory, drive))


def of_machine(field: str) -> Callable[[Inventory, Drive], bool]:
    return lambda inventory, drive: bool(getattr(machine_of(inventory, drive), field, False))


def of_motor(field: str) -> Callable[[Inventory, Drive], bool]:
    return lambda inventory, drive: bool(getattr(motor_of(inventory, drive), field, None))


def named(field: str) -> Callable[[Inventory, Drive], bool]:
    return lambda _, drive: str(getattr(drive, field)).casefold() not in ("", "no", "none", "-")


def shared(inventory: Inventory, drive: Drive) -> bool:
    """Another drive on the same motor or machine, or a partner in lead-lag."""
    others = [d for d in inventory.drives if d.tag != drive.tag]
    same = any((d.motor and d.motor == drive.motor) or (d.machine and d.machine == drive.machine) for d in others)
    return same or scheme("lead-lag")(inventory, drive)


#: Kind of energy -> whether the workbook shows it on a drive, read here on its own and not by the tool's rules.
SHOWN: dict[str, Callable[[Inventory, Drive], bool]] = {
    "incoming supply": lambda *_: True,
    "control supply": scheme("interposing relay"),
    "external 24 V": lambda i, d: d.control_supply == "external" or scheme("external 24 V")(i, d),
    "space heater": lambda i, d: of_motor("space_heater_voltage")(i, d) or scheme("space heater")(i, d),
    "bypass": lambda i, d: named("bypass")(i, d) or scheme("bypass")(i, d),
    "common DC bus": named("common_dc_bus"),
    "other drive": shared,
    "relay circuit of others": scheme("fault relay", "run relay", "ready relay", "at speed relay", "in auto relay"),
    "motor fan": scheme("motor fan"),
    "brake coil supply": scheme("mechanical brake"),
    "back-spin": of_machine("backspin"),
    "gravity": of_machine("gravity"),
    "trapped pressure": of_machine("trapped_pressure"),
    "spring": of_machine("spring"),
    "permanent-magnet motor": of_motor("permanent_magnet"),
}


def printed(drive: DriveStudy) -> dict[str, tuple[str, ...]]:
    """Rows of the energy table as they stand on the card."""
    table = next(t for t in lockout_section(drive.field.lockout).findall(data_table))
    return {row.key: tuple(c if isinstance(c, str) else c.text for c in row.cells) for row in table["rows"]}


PRESENT = ("incoming supply", "external 24 V", "space heater", "relay circuit of others", "back-spin",
           "trapped pressure")  # fmt: skip


def test_the_kinds_that_the_demo_has(study: SiteStudy) -> None:
    shown = [k for k, shows in SHOWN.items() if any(shows(study.inventory, d.drive) for d in study.drives)]
    assert shown == [k for k in SHOWN if k in PRESENT]


@pytest.mark.parametrize("kind", PRESENT)
def test_each_source_of_this_kind_stands_on_its_card_with_isolator_place_and_proof(study: SiteStudy, kind: str) -> None:
    for drive in study.drives:
        row = printed(drive).get(kind)
        assert (row is not None) == SHOWN[kind](study.inventory, drive.drive), f"{drive.drive.tag}: {kind}"
        if row:
            assert all(row), drive.drive.tag
            assert not re.search("NONE NAMED|REFUSED", row[2]), "the demo names an isolator for every source"


def with_source(inventory: Inventory, kind: str, tag: str) -> Inventory:
    """The demo with one more source of energy on a drive that has it not."""
    drive = next(d for d in inventory.drives if d.tag == tag)
    on_drive = {"bypass": {"bypass": "manual"}, "common DC bus": {"common_dc_bus": "BUS-1"}}
    on_machine = {"gravity": {"gravity": True}, "spring": {"spring": True}}
    on_motor = {"permanent-magnet motor": {"permanent_magnet": True}}
    by_scheme = {"control supply": "interposing relay", "motor fan": "motor fan", "other drive": "lead-lag",
                 "brake coil supply": "mechanical brake"}  # fmt: skip
    drives = tuple(replace(d, **on_drive.get(kind, {})) if d is drive else d for d in inventory.drives)
    machines = tuple(
        replace(m, **on_machine.get(kind, {})) if m.tag == drive.machine else m for m in inventory.machines
    )
    motors = tuple(replace(m, **on_motor.get(kind, {})) if m.tag == drive.motor else m for m in inventory.motors)
    more = (Control(tag, by_scheme[kind], value=measure(120, "V")),) if kind in by_scheme else ()
    return replace(inventory, drives=drives, machines=machines, motors=motors, controls=(*inventory.controls, *more))


@pytest.mark.parametrize("kind", [k for k in SHOWN if k not in PRESENT])
def test_a_source_that_is_brought_into_the_demo_stands_on_the_card(study: SiteStudy, kind: str) -> None:
    tag = "VFD-603"
    inventory = with_source(study.inventory, kind, tag)
    own = Isolator("LP-9/1", "circuit breaker", "test bay", kind, (tag,), lockable=True, proof="meter reads zero")
    for isolators, expected in (((), "NONE NAMED"), ((own,), "LP-9/1, test bay")):
        whole = study_site(replace(inventory, isolators=(*inventory.isolators, *isolators)))
        drive = next(d for d in whole.drives if d.drive.tag == tag)
        assert printed(drive)[kind][2] == expected
        stops = [f for f in drive.findings if f.code.startswith("F10") and f.grade == Grade.STOP]
        assert bool(stops) == (not isolators)


@pytest.mark.parametrize(
    "kind", ["selector switch", "stop key", "emergency stop", "safe torque off"], ids=lambda k: k.replace(" ", "-")
)
def test_a_control_device_offered_as_isolator_of_the_demo_is_refused(study: SiteStudy, kind: str) -> None:
    inventory = study.inventory
    first = next(i for i in inventory.isolators if i.tag == "DS-101")
    offered = tuple(replace(i, kind=kind) if i is first else i for i in inventory.isolators)
    drive = next(d for d in study_site(replace(inventory, isolators=offered)).drives if d.drive.tag == "VFD-101")
    [refusal] = [f for f in drive.findings if f.code == "F110"]
    assert (refusal.grade, refusal.sheet) == (Grade.STOP, "Isolation")
    assert re.fullmatch(r"[A-Z]+\d+", refusal.cell)
    assert printed(drive)["incoming supply"][2] == "REFUSED: DS-101 is a control device"
    assert any("F110" in f.code for f in drive.findings)
    blocked = drive.field.gates[0].blocked_by
    assert any(why.startswith("Stop F110") or "F110" in why for why in blocked), "the first gate is barred"


def test_what_is_no_isolator_is_printed_by_tag(study: SiteStudy) -> None:
    drive = next(d for d in study.drives if d.drive.tag == "VFD-501")
    made = lockout_section(drive.field.lockout)
    [box] = [b for b in made.findall(caution_box) if b["title"] == "These are not isolators"]
    text = box.astext()
    for word in ("Stop key", "Selector switch in OFF", "Emergency stop", "Safe torque off", "ES-501", "SS-501"):
        assert word in text
    assert isinstance(made, nodes.section)
