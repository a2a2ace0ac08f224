"""The four gates must be earned by the data."""

from __future__ import annotations

import datetime as dt
import time
from dataclasses import replace

from field_site import DAY, FIGURES, SETTINGS, TAG, WIRING, pack_of, read, site

from binder.field.pack import field_pack
from binder.field.sheets import GATES, FieldPack
from binder.inventory.findings import Finding, Grade
from binder.inventory.records import Defeat, PunchItem, Reading, Waiver

READ_BACK = replace(SETTINGS, rows=tuple(replace(r, as_left_verdict="equal") for r in SETTINGS.rows))


def sound_readings() -> tuple[Reading, ...]:
    """A passing reading for every line of the plant."""
    found = []
    for row, line in enumerate(pack_of(site()).lines, 10):
        if line.kind == "computed":
            continue
        if line.kind == "check":
            value = "yes"
        elif line.id == "R2.M":
            value = "2000"
        elif line.low is None and line.high is None:
            value = "20" if line.unit == "°C" else "1.2"
        elif line.high is None:
            value = str(line.low * 2)
        elif line.low is None:
            value = str(round(line.high / 2, 4))
        else:
            value = str(round((line.low + line.high) / 2, 4))
        found.append(read(line.id, value, line.unit, row=row))
    return tuple(found)


def complete(**changes: object) -> FieldPack:
    return pack_of(site(readings=sound_readings(), **changes), settings=READ_BACK)


def blocks(pack: FieldPack) -> dict[str, tuple[str, ...]]:
    return {gate.name: gate.blocked_by for gate in pack.gates}


def test_blank_drive_earns_no_gate_and_says_so_sheet_by_sheet() -> None:
    found = blocks(pack_of(site()))
    assert list(found) == list(GATES)
    assert "Sheet R, Insulation and windings: none of 10 lines filled" in found["may be energized"]
    assert "Gate 'may be energized' is not earned" in found["may turn"]
    assert any(b.startswith("Sweep") for b in found["accepted"])


def test_complete_drive_earns_all_four() -> None:
    pack = complete()
    assert blocks(pack) == dict.fromkeys(GATES, ())
    assert all(g.earned and not g.exceptions for g in pack.gates)
    assert not pack.punch_items


def test_failed_line_blocks_its_own_gate_and_the_later_ones() -> None:
    bad = tuple(replace(r, value="no") if r.test == "U1" else r for r in sound_readings())
    found = blocks(pack_of(site(readings=bad), settings=READ_BACK))
    assert found["may be energized"] == found["may turn"] == ()
    assert any(b.startswith("U1 ") and "fails" in b for b in found["may be loaded"])
    assert "Gate 'may be loaded' is not earned" in found["accepted"]


def test_missing_line_is_named() -> None:
    found = blocks(pack_of(site(readings=tuple(r for r in sound_readings() if r.test != "E3")), settings=READ_BACK))
    assert found["may turn"] == ("E3 Close the drive's supply: no reading",)


def test_reading_that_does_not_count_blocks() -> None:
    old = tuple(replace(r, instrument="OLD-9") if r.test == "E4.24" else r for r in sound_readings())
    [block] = blocks(pack_of(site(readings=old), settings=READ_BACK))["may turn"]
    assert "not judged" in block
    assert "OLD-9" in block


def test_not_done_is_an_exception_unless_it_is_a_safety_line() -> None:
    def left(test: str) -> FieldPack:
        rows = tuple(
            replace(r, value="not done", unit="", remark="no time") if r.test == test else r for r in sound_readings()
        )
        return pack_of(site(readings=rows), settings=READ_BACK)

    finish = left("D6")
    assert all(g.earned for g in finish.gates)
    assert finish.gates[0].exceptions == ("D6 Photographs: plates, terminals, damage: not done, no time",)
    safety = left("M5")
    assert not safety.gates[0].earned


def test_open_defeat_blocks_load_and_acceptance() -> None:
    jumper = Defeat(TAG, "jumper across flow switch", "-X1:7", DAY, "AN")
    pack = complete(defeats=(jumper,))
    found = blocks(pack)
    assert found["may turn"] == ()
    assert any("jumper across flow switch at -X1:7" in b for b in found["may be loaded"])
    assert any("jumper" in b for b in found["accepted"])
    assert [f.code for f in pack.findings] == ["F230", "F222"]
    assert blocks(complete(defeats=(replace(jumper, cleared=DAY, cleared_by="AN"),)))["accepted"] == ()


def test_defeat_cleared_by_nobody_is_told() -> None:
    cleared = Defeat(TAG, "jumper", "", DAY, "AN", cleared=DAY)
    assert [f.code for f in complete(defeats=(cleared,)).findings] == ["F231", "F222"]


def test_open_class_a_item_blocks_every_gate_and_a_blank_class_counts_as_a() -> None:
    for severity, gates in (("A", 4), ("", 4), ("B", 0), ("C", 0)):
        pack = complete(punch_items=(PunchItem("7", TAG, "guard missing", severity),))
        assert sum(bool(g.blocked_by) for g in pack.gates) == gates, severity
    closed = PunchItem("7", TAG, "guard missing", "A", closed=DAY, closed_by="AN")
    assert all(g.earned for g in complete(punch_items=(closed,)).gates)


def test_item_closed_while_its_reading_still_fails() -> None:
    bad = tuple(replace(r, value="30") if r.test == "E4.24" else r for r in sound_readings())
    closed = PunchItem(f"{TAG}:E4.24", TAG, "24 V high", "B", owner="AN", closed=DAY)
    pack = pack_of(site(readings=bad, punch_items=(closed,)), settings=READ_BACK)
    assert {f.code for f in pack.findings} == {"F220", "F221", "F222"}
    assert [(p.number, p.owner, p.closed) for p in pack.punch_items] == [(f"{TAG}:E4.24", "AN", None)]


def test_an_item_that_names_the_failed_line_is_not_listed_twice() -> None:
    bad = (read("E4.24", "30", "V"),)
    written = PunchItem("7", TAG, "E4.24 is high, look at the power supply", "B", owner="AN")
    other = PunchItem("8", TAG, "E4.2 to be looked at", "B", owner="BN")
    pack = pack_of(site(readings=bad, punch_items=(written, other)), settings=READ_BACK)
    items = {p.number: p for p in pack.punch_items}
    assert sorted(items) == ["7", "8"]
    assert items["7"].text.startswith("E4.24 ") and items["7"].owner == "AN"
    assert items["8"] == other


def stop(code: str) -> Finding:
    return Finding(code, Grade.STOP, "Drives", "B5", TAG, "something", "something else", "mend it")


def test_open_stop_blocks_from_the_gate_that_it_concerns() -> None:
    def first_blocked(code: str) -> str:
        pack = pack_of(site(readings=sound_readings()), settings=READ_BACK, findings=(stop(code),))
        return next((g.name for g in pack.gates if g.blocked_by), "")

    assert [first_blocked(c) for c in ("E120", "W100", "B100", "S100", "R100")] == [
        "may be energized", "may be energized", "may be energized", "may turn", "accepted",
    ]  # fmt: skip


def test_waived_stop_does_not_block() -> None:
    waiver = Waiver("E120", TAG, "A. Nobody", "seen and accepted", dt.date(2026, 4, 25))
    pack = pack_of(site(readings=sound_readings(), waivers=(waiver,)), settings=READ_BACK, findings=(stop("E120"),))
    assert all(g.earned for g in pack.gates)


def test_settings_not_read_back_block_turning() -> None:
    found = blocks(pack_of(site(readings=sound_readings())))
    assert any(b.startswith("S2 ") for b in found["may turn"])


def test_hundred_drives_take_a_few_seconds_at_most() -> None:
    """A benchmark, generous: 1,000 drives must stay a matter of seconds."""
    rows = sound_readings()
    drives = tuple(replace(site().drives[0], tag=f"VFD-{n}", motor=f"M-{n}", machine=f"P-{n}") for n in range(100))
    inventory = site(drives=drives, readings=tuple(replace(r, drive=d.tag) for d in drives for r in rows))
    start = time.perf_counter()
    for drive in drives:
        field_pack(inventory, drive, FIGURES, WIRING, READ_BACK)
    assert time.perf_counter() - start < 5
