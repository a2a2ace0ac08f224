"""Lists, plans and labels hold the same connections as the records."""

from __future__ import annotations

from dataclasses import replace

import pytest
from invented_drives import COMPLETE, FULL, wire

from binder.wiring.connections import Kind
from binder.wiring.materials import wiring_materials
from binder.wiring.schedules import (
    cable_schedule,
    check_sheet,
    core_schedule,
    device_list,
    label_schedule,
    switch_table,
    terminal_plan,
    wire_list,
)

_CASES = [*COMPLETE, "FULL"]


def _rows(code: str):  # type: ignore[no-untyped-def]
    return FULL if code == "FULL" else COMPLETE[code]


@pytest.mark.parametrize("code", _CASES)
def test_every_list_holds_the_same_connections(code: str) -> None:
    wiring = wire(_rows(code), "40")
    ids = {c.id for c in wiring.connections}
    assert {w.id for w in wire_list(wiring)} == ids
    assert {c.id for c in check_sheet(wiring)} == ids
    assert {c.id for c in core_schedule(wiring) if c.id} == {c.id for c in wiring.connections if c.core}
    ends = {str(e) for c in wiring.connections for e in (c.a, c.b)}
    planned = {f"{t.strip}:{t.terminal}" for t in terminal_plan(wiring)}
    strips = {s.tag for s in wiring.strips} | {wiring.designation}
    assert {e for e in ends if e.rpartition(":")[0] in strips} <= planned
    for line in terminal_plan(wiring):
        count = len(line.inside) + len(line.outside) + len(line.bridges)
        here = f"{line.strip}:{line.terminal}"
        assert count == sum(here in {str(c.a), str(c.b)} for c in wiring.connections)


def test_cable_schedule_counts_spares() -> None:
    for line in cable_schedule(wire(FULL, "40")):
        assert line.used + len(line.spare) == line.cores
    presets = cable_schedule(wire(COMPLETE["CS12"], "40"))
    digital = next(k for k in presets if k.signal == "24 V digital")
    assert (digital.cores, digital.used) == (4, 4)


def test_check_sheet_proves_each_signal_by_two_levels() -> None:
    wiring = wire(COMPLETE["CS01"], "24")
    line = next(c for c in check_sheet(wiring) if c.to_end == "-S1:14")
    assert [(state, text) for _, state, text in line.live] == [
        ("-S1 in OFF", "0 V ± 1"), ("-S1 in ON", "24 V ± 1.2")]  # fmt: skip
    screen = next(c for c in check_sheet(wiring) if c.to_end.endswith("insulated"))
    assert screen.dead == "cut back and insulated, over 1 MΩ to earth"


def test_a_long_core_may_have_its_own_resistance() -> None:
    plain = wire(COMPLETE["CS01"], "24")
    cable = replace(plain.cables[0], length_m=60.0, length="60 m", size="18 AWG")
    cores = tuple(replace(c, size="18 AWG") if c.kind is Kind.CORE else c for c in plain.connections)
    wiring = replace(plain, cables=(cable,), connections=cores)
    dead = {c.id: c.dead for c in check_sheet(wiring)}
    core = next(c for c in cores if c.kind is Kind.CORE)
    # 60 m / (56 x 0.823 mm²) = 1.30 Ω, and 1 Ω for contacts and leads
    assert dead[core.id] == "at most 2.3 Ω end to end: 60 m of 18 AWG, open to its neighbours"
    assert {dead[c.id] for c in cores if c.kind is Kind.WIRE} == {"at most 1 Ω end to end, open to its neighbours"}
    unknown = check_sheet(replace(wiring, cables=(replace(cable, length_m=None),)))
    assert "no limit" in next(c.dead for c in unknown if c.id == core.id)


def test_device_list_prints_the_contact_chart() -> None:
    selector = next(d for d in device_list(wire(COMPLETE["CS05"], "24")) if d.kind == "selector switch")
    assert selector.contacts[:2] == ("13-14 NO closed in HAND", "23-24 NO closed in AUTO")
    assert selector.legend == "HAND-OFF-AUTO"


def test_labels_for_a_printer() -> None:
    wiring = wire(FULL, "40")
    labels = label_schedule(wiring)
    markers = [x for x in labels if x.kind == "wire marker"]
    assert len(markers) == 2 * sum(c.kind in {Kind.WIRE, Kind.CORE, Kind.JUMPER} for c in wiring.connections)
    assert any(x.kind == "warning label" for x in labels)  # the fault relay carries the controller's voltage


def test_switch_table_names_jumpers_and_links() -> None:
    table = dict(switch_table(wire(FULL, "40")))
    assert table["input logic jumper"].startswith("positive")
    assert table["AI1 voltage/current switch"] == "voltage"
    assert any(k.startswith("link -T1:12") for k in table)


def test_materials_count_what_is_drawn() -> None:
    wiring = wire(FULL, "40")
    lines = wiring_materials(wiring)
    strip = next(x for x in lines if x.item == "strip terminal")
    assert strip.quantity == len(next(s for s in wiring.strips if s.tag == "-X1").terminals)
    metres = sum(x.quantity for x in lines if x.item == "control cable")
    assert metres == pytest.approx(sum(k.length_m or 0 for k in wiring.cables))
    assert any("length open" in x.note for x in lines)
