"""Bill of wiring materials: counted from the same records as the drawing, rolled up without losing what is open."""

from __future__ import annotations

from collections import Counter

import pytest
from invented_drives import COMPLETE, FULL, wire

from binder.wiring.connections import Kind, Wiring
from binder.wiring.materials import ITEMS, site_materials, wiring_materials
from binder.wiring.schedules import cable_schedule, label_schedule

DRIVES = [("A-1", wire(FULL, "40")), ("B-2", wire(COMPLETE["CS22"], "24"))]


def total(wiring: Wiring, item: str) -> float:
    return sum(line.quantity for line in wiring_materials(wiring) if line.item == item)


@pytest.mark.parametrize("code", COMPLETE)
def test_conductors_and_their_ends_are_those_of_the_records(code: str) -> None:
    wiring = wire(COMPLETE[code], "24")
    kinds = Counter(c.kind for c in wiring.connections)
    loose, cores = kinds[Kind.WIRE] + kinds[Kind.JUMPER], kinds[Kind.CORE]
    assert total(wiring, "loose wire") == loose
    assert total(wiring, "wire end") == 2 * (loose + cores)
    assert total(wiring, "strip bridge") == kinds[Kind.BRIDGE]
    assert total(wiring, "cable core, used") == cores
    assert total(wiring, "cable core, spare") == sum(len(k.spare) for k in cable_schedule(wiring))
    assert total(wiring, "cable gland") == 2 * len(wiring.cables)


def test_markers_are_those_of_the_label_schedule() -> None:
    for _, wiring in DRIVES:
        labels: Counter[str] = Counter()
        for label in label_schedule(wiring):
            labels[label.kind] += label.quantity
        for item in ("wire marker", "terminal marker", "cable label", "device label", "legend plate"):
            assert total(wiring, item) == labels[item]


def test_what_others_bring_is_on_no_bill() -> None:
    items = {line.item for _, wiring in DRIVES for line in wiring_materials(wiring)}
    assert items.isdisjoint({"controller", "network segment", "volt-free contact"})
    assert {"contactor", "relay", "overload relay", "selector switch"} <= items


def test_the_roll_up_is_the_sum_of_the_bills() -> None:
    rolled = site_materials(DRIVES)
    for item in {line.item for line in rolled}:
        whole = sum(total(wiring, item) for _, wiring in DRIVES)
        assert sum(line.quantity for line in rolled if line.item == item) == pytest.approx(whole, abs=0.001)
    assert [line.item for line in rolled if line.item in ITEMS] == sorted(
        (line.item for line in rolled if line.item in ITEMS), key=ITEMS.index
    )
    assert next(line for line in rolled if line.item == "strip terminal").drives == ("A-1", "B-2")


def test_an_open_length_is_named_with_its_drive() -> None:
    notes = [line.note for line in site_materials(DRIVES) if line.item == "control cable"]
    assert any(note.startswith("A-1 length open: -W") for note in notes)
    assert not any("length open" in line.note for line in site_materials(DRIVES) if line.item != "control cable")


def test_nothing_wired_needs_nothing() -> None:
    assert wiring_materials(Wiring("A-1", "-T1")) == ()
    assert site_materials([]) == ()
