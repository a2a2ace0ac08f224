"""Where bridges lie: beside each other on a fresh strip, never over the number of a terminal they do not join."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import drawing_checks as checks
import pytest
from combinations import COMBINATIONS, EVERY_SCHEME
from invented_drives import FULL, STRIPS, row, site, wire

from binder.inventory.records import Origin
from binder.wiring.connections import End, Kind, Wiring
from binder.wiring.drawing import control_sheets
from binder.wiring.drawing_cables import cable_sheets
from binder.wiring.sheet import DrawingSheet


def passed_over(wiring: Wiring) -> dict[str, list[str]]:
    """Bridge -> terminals between its ends, in the order of the strip, that carry another number."""
    number = {e: c.potential for c in wiring.connections if c.kind is not Kind.SCREEN for e in (c.a, c.b)}
    found = {}
    for strip in wiring.strips:
        for c in wiring.connections:
            if c.kind is Kind.BRIDGE and c.a.device == strip.tag:
                low, high = sorted(strip.terminals.index(e.terminal) for e in (c.a, c.b))
                between = strip.terminals[low : high + 1]
                found[c.id] = [t for t in between if number[End(strip.tag, t)] != c.potential]
    return found


@pytest.mark.parametrize("size", STRIPS)
def test_on_a_fresh_strip_no_bridge_passes_another_terminal(size: str) -> None:
    bridges = 0
    for rows in (*EVERY_SCHEME.values(), *COMBINATIONS.values()):
        found = passed_over(wire(rows, size))
        bridges += len(found)
        assert not any(found.values())
    assert bridges > 40


ISSUED = [replace(r, origin=Origin("Controls", n + 2, f"k{n:03}")) for n, r in enumerate(FULL)]


def grown() -> Wiring:
    """A drive with a row that came after its numbers were issued."""
    more = replace(row("fault reset", "gate house"), origin=Origin("Controls", 90, "k900"))
    return wire([*ISSUED, more], "40", ledger=wire(ISSUED, "40", keyed=False), keyed=False)


def test_issued_numbers_stay_though_a_new_bridge_then_passes_others() -> None:
    first, second = wire(ISSUED, "40", keyed=False), grown()
    issued = {c.id: c for c in first.connections}
    assert {c.id: c for c in second.connections if c.id in issued} == issued
    new = {k: v for k, v in passed_over(second).items() if k not in issued}
    assert [bool(v) for v in new.values()] == [True]


def jumps_of(sheets: Sequence[DrawingSheet], wiring: Wiring) -> int:
    """How often a bridge jumps: over each cell between its ends that has another number, and over no other."""
    number = {str(e): c.potential for c in wiring.connections if c.kind is not Kind.SCREEN for e in (c.a, c.b)}
    jumps = 0
    for sheet in (checks.parse(s.svg) for s in sheets):
        cells = [(g.end, g.strokes[0].bounds()) for g in sheet.groups if g.kind == "terminal" and g.end]
        for group in (g for g in sheet.groups if g.kind == "bridge"):
            record = next(c for c in wiring.connections if c.id == group.record)
            ys = [y for s in group.strokes if not s.filled for _, y in s.points]
            passed = [(b[1] + b[3]) / 2 for end, b in cells
                      if min(ys) < b[1] and b[3] < max(ys) and number[end] != record.potential]  # fmt: skip
            arcs = [(s.bounds()[1] + s.bounds()[3]) / 2 for s in group.strokes if s.round and not s.filled]
            assert sorted(arcs) == pytest.approx(sorted(passed), abs=0.05)
            jumps += len(arcs)
    return jumps


@pytest.mark.parametrize("name", ["CS17 safe torque off", "hand-off-auto", "local-remote"])
def test_a_drawn_bridge_jumps_over_cells_that_it_does_not_join(name: str) -> None:
    rows = EVERY_SCHEME[name]
    wiring, made = wire(rows, "40"), site(rows, "40")
    assert jumps_of(control_sheets(wiring, made, made.drives[0]), wiring)


def test_a_bridge_on_a_strip_sheet_jumps_as_it_does_on_the_control_sheet() -> None:
    wiring, made = grown(), site(FULL, "40")
    assert jumps_of(cable_sheets(wiring, made, made.drives[0]), wiring)
