"""Numbers survive a revision: issued ones are kept, freed ones never come back."""

from __future__ import annotations

from dataclasses import replace

import pytest
from invented_drives import COMPLETE, FULL, row, wire

from binder.inventory.quantities import measure
from binder.inventory.records import Control, Origin
from binder.wiring.connections import Kind, Wiring


def _keyed(rows: tuple[Control, ...], start: int = 0) -> list[Control]:
    return [replace(r, origin=Origin("Controls", n + 2, f"k{n + start:03}")) for n, r in enumerate(rows)]


def _numbers(wiring: Wiring) -> dict[str, tuple[object, ...]]:
    return {c.id: (c.potential, c.core, c.kind, c.colour) for c in wiring.connections}


_ADDED = {
    "jog button": row("jog", "local panel", value=measure(5, "Hz")),
    "reset button in the pump room": row("fault reset", "pump room"),
    "second relay": row("run relay", "controller panel"),
    "meter": row("analog output", "control room"),
    "preset": row("preset speeds", "local panel", value=measure(30, "Hz")),
}


@pytest.mark.parametrize("base", ["FULL", "CS01", "CS02", "CS05", "CS12"])
@pytest.mark.parametrize("added", _ADDED)
def test_a_device_in_the_middle_changes_no_other_number(base: str, added: str) -> None:
    rows = _keyed(FULL if base == "FULL" else COMPLETE[base])
    before = wire(rows, "40", keyed=False)
    new = replace(_ADDED[added], origin=Origin("Controls", 99, "k900"))
    after = wire([rows[0], new, *rows[1:]], "40", ledger=before, keyed=False)
    old, now = _numbers(before), _numbers(after)
    assert set(old) <= set(now)
    assert {i: now[i] for i in old} == old
    assert {d.tag for d in before.devices} <= {d.tag for d in after.devices}
    terminals = {t.number: t.function for t in before.terminals if t.function}
    assert {t.number: t.function for t in after.terminals if t.number in terminals} == terminals
    assert len(now) > len(old)


def test_the_same_records_again_change_nothing() -> None:
    before = wire(FULL, "40")
    assert replace(wire(FULL, "40", ledger=before), retired=()) == before


def test_freed_numbers_are_not_given_again() -> None:
    rows = _keyed((*FULL, _ADDED["jog button"]))
    first = wire(rows, "40", keyed=False)
    without = wire(rows[:-1], "40", ledger=first, keyed=False)
    gone = {c.potential for c in first.connections} - {c.potential for c in without.connections}
    strips = {c.a.terminal for c in first.connections if c.kind is Kind.CORE} - {
        c.a.terminal for c in without.connections if c.kind is Kind.CORE}  # fmt: skip
    assert gone
    assert strips
    assert {("wire", n) for n in gone} <= set(without.retired)
    other = replace(_ADDED["reset button in the pump room"], origin=Origin("Controls", 50, "k950"))
    third = wire([*rows[:-1], other], "40", ledger=without, keyed=False)
    fresh = {c.potential for c in third.connections} - {c.potential for c in without.connections}
    assert fresh
    assert not fresh & gone
    new_strip = {c.a.terminal for c in third.connections if c.kind is Kind.CORE} - {
        c.a.terminal for c in without.connections if c.kind is Kind.CORE}  # fmt: skip
    assert not new_strip & strips
    assert {d.tag for d in third.devices} - {d.tag for d in without.devices} == {"-S3"}  # -S2 was the jog button


def test_a_pulled_cable_is_filled_before_another_is_asked_for() -> None:
    rows = _keyed(COMPLETE["CS12"])
    first = wire(rows, "40", keyed=False)
    digital = next(k for k in first.cables if k.signal.value == "24 V digital")
    spare = len(digital.cores) - sum(c.core is not None and c.core.cable == digital.tag for c in first.connections)
    more = [replace(row("fault reset"), origin=Origin("Controls", 60, "k960")),
            replace(row("jog", value=measure(5, "Hz")), origin=Origin("Controls", 61, "k961"))]  # fmt: skip
    second = wire([*rows, *more], "40", ledger=first, keyed=False)
    kept = next(k for k in second.cables if k.tag == digital.tag)
    assert kept.cores == digital.cores  # nobody changes a pulled cable
    new = {c.core.cable for c in second.connections
           if c.core and c.id not in {x.id for x in first.connections}}  # fmt: skip
    assert (digital.tag in new) is (spare > 0)


def test_ids_come_from_the_ends() -> None:
    wiring = wire(FULL, "40")
    for c in wiring.connections:
        assert set(c.id.split("~")) == {str(c.a), str(c.b)}
