"""What no single cell can tell: values of a row, names across sheets, waivers."""

from __future__ import annotations

import datetime as dt
import pickle
from pathlib import Path
from typing import Any

import pytest
from workbooks import SOUND, read, with_drive, with_motor

from binder.inventory.checks import apply_waivers
from binder.inventory.codes import CODES, grade_of
from binder.inventory.findings import Finding, Grade, open_stops
from binder.inventory.lookup import controls_of, fold, isolators_of, motor_of, supply_of, terminals_of
from binder.inventory.records import Drive, Inventory, Isolator, Site, Waiver

PLATES = [
    pytest.param(50, 1800, None, "B201", id="50 Hz plate at 1,800 rpm"),
    pytest.param(60, 3700, None, "B201", id="faster than two poles at 60 Hz"),
    pytest.param(60, 2500, None, "B201", id="31 % slip"),
    pytest.param(60, 1765, 6, "B202", id="six poles at 1,765 rpm"),
    pytest.param(60, 1765, 4, "", id="four poles at 1,765 rpm, 60 Hz"),
    pytest.param(50, 1440, 4, "", id="four poles at 1,440 rpm, 50 Hz"),
    pytest.param(60, 1800, 4, "", id="synchronous speed is possible"),
    pytest.param(60, 510, 14, "", id="fourteen poles"),
    pytest.param(60, 3100, 2, "", id="13.9 % slip"),
]


@pytest.mark.parametrize(("hertz", "rpm", "poles", "code"), PLATES)
def test_plate(tmp_path: Path, hertz: int, rpm: int, poles: int | None, code: str) -> None:
    found = read(tmp_path, Motors=with_motor(frequency=hertz, speed=rpm, poles=poles)).findings
    assert [f.code for f in found if f.grade == "stop"] == ([code] if code else [])


def test_permanent_magnet_motor_turns_at_any_speed(tmp_path: Path) -> None:
    motors = with_motor(frequency=150, speed=2500, permanent_magnet="yes")
    assert not open_stops(read(tmp_path, Motors=motors).findings)


def node(drive: str) -> dict[str, Any]:
    return {"drive": drive, "address": "11"}


def reading(initials: str) -> dict[str, Any]:
    return {"drive": "VFD-1", "test": "E3", "value": 5, "initials": initials}


PAIRS: list[tuple[str, dict[str, list[dict[str, Any]]], str, str]] = [
    ("lowest above highest frequency", {"Drives": with_drive(min_frequency=50, max_frequency=40)}, "B203", "Drives"),
    ("lowest above highest voltage", {"Models": [{**SOUND["Models"][0], "min_voltage": 600}]}, "B203", "Models"),
    ("skip without width", {"Drives": with_drive(skip_frequency=30)}, "B204", "Drives"),
    ("end before start",
     {"Warranty": [{"item": "Drives", "start": "2026-03-14", "end": "2025-03-14"}]}, "B207", "Warranty"),
    ("initials of nobody", {"Readings": [reading("ZZ")]}, "B208", "Readings"),
    ("address twice", {"Networks": [node("VFD-1"), node("VFD-2")]}, "B209", "Networks"),
    ("one motor on two drives", {"Drives": with_drive(motor="M-2")}, "B205", "Drives"),
    ("formerly an existing tag", {"Drives": with_drive(formerly="VFD-2")}, "B211", "Drives"),
    ("voltage not on the plate", {"Motors": with_motor(plate_voltages="208/415")}, "B213", "Motors"),
    ("motor nobody names", {"Motors": [*SOUND["Motors"], {**SOUND["Motors"][0], "tag": "M-9"}]}, "B214", "Motors"),
    ("dangling list", {"Isolation": [{"tag": "DS-1", "drives": "VFD-1; VFD-9"}]}, "B122", "Isolation"),
]  # fmt: skip


@pytest.mark.parametrize(("sheets", "code", "sheet"), [p[1:] for p in PAIRS], ids=[p[0] for p in PAIRS])
def test_rows_and_names(tmp_path: Path, sheets: dict[str, list[dict[str, Any]]], code: str, sheet: str) -> None:
    found = [f for f in read(tmp_path, **sheets).findings if f.code == code]
    assert found
    assert {f.sheet for f in found} == {sheet}
    assert all(f.cell and f.remedy for f in found)


def test_references_take_the_spelling_of_what_they_name(tmp_path: Path) -> None:
    inventory = read(tmp_path, Drives=with_drive(motor=" m-1 "), Spares=[{"part": "Fan", "drives": "all"}])
    assert inventory.drives[0].motor == "M-1"
    assert inventory.spares[0].drives == ("VFD-1", "VFD-2")
    assert motor_of(inventory, inventory.drives[0]) is inventory.motors[0]
    assert supply_of(inventory, inventory.drives[0]) is inventory.supplies[0]


STOP = Finding("E120", Grade.STOP, "Drives", "A2", "VFD-1", "x", "y", "z")
DAY = dt.date(2026, 3, 14)


def waived(*waivers: Waiver, findings: tuple[Finding, ...] = (STOP,)) -> tuple[Finding, ...]:
    return apply_waivers(findings, Inventory(Site("", "", ""), waivers=waivers))


def test_waiver_with_name_reason_and_date_counts() -> None:
    (finding,) = waived(Waiver("e120", "vfd-1", "A. Example", "Owner accepts", DAY))
    assert finding.waived == "A. Example, 2026-03-14: Owner accepts"
    assert not open_stops([finding])


@pytest.mark.parametrize(
    "waiver",
    [
        Waiver("E120", "VFD-1", "", "r", DAY),
        Waiver("E120", "VFD-1", "n", "", DAY),
        Waiver("E120", "VFD-1", "n", "r", None),
    ],
    ids=["no name", "no reason", "no date"],
)
def test_half_a_waiver_waives_nothing(waiver: Waiver) -> None:
    assert open_stops(waived(waiver)) == (STOP,)


def test_waiver_of_another_tag_is_told() -> None:
    stop, told = waived(Waiver("E120", "VFD-9", "n", "r", DAY))
    assert stop == STOP
    assert (told.code, told.grade, told.found) == ("B210", "caution", "E120 VFD-9")


def test_cautions_are_not_waived() -> None:
    caution = Finding("E121", Grade.CAUTION, "Drives", "A2", "VFD-1", "x", "y", "z")
    assert waived(Waiver("E121", "", "n", "r", DAY), findings=(caution,))[0].waived == ""


def test_sheet_order_of_controls_and_terminals_plays_no_part(tmp_path: Path) -> None:
    schemes = [{"drive": "VFD-1", "scheme": s} for s in ("two-wire run", "fault relay", "speed potentiometer")]
    strip = [
        {"model": "Example 7", "terminal": t, "role": "DI", "strip_order": n} for n, t in enumerate(("3", "10", "2"), 1)
    ]
    one = read(tmp_path, Controls=schemes, Terminals=strip)
    two = read(tmp_path, Controls=schemes[::-1], Terminals=strip[::-1])
    assert [c.scheme for c in controls_of(one, one.drives[0])] == [c.scheme for c in controls_of(two, two.drives[0])]
    assert [t.terminal for t in terminals_of(two, "example 7")] == ["3", "10", "2"]


def test_lookup_keeps_apart_inventories_and_finds_both_ways() -> None:
    drive = Drive("P-1", isolator="DS-2")
    one = Inventory(Site("a", "", ""), drives=(drive,), isolators=(Isolator("DS-1", drives=("p-1",)), Isolator("DS-2")))
    two = Inventory(Site("b", "", ""), drives=(drive,))
    assert [i.tag for i in isolators_of(one, drive)] == ["DS-2", "DS-1"]
    assert isolators_of(two, drive) == ()
    assert fold(" P-1") == "p-1"


def test_inventory_survives_another_process(tmp_path: Path) -> None:
    inventory = read(tmp_path)
    copy = pickle.loads(pickle.dumps(inventory))
    assert copy == inventory
    assert copy.drives[0].origin.cell("motor") == inventory.drives[0].origin.cell("motor") == "O2"


def test_record_built_by_hand_survives_another_process() -> None:
    assert pickle.loads(pickle.dumps(Drive("P-1"))) == Drive("P-1")


def test_every_code_is_graded_once() -> None:
    assert all(len(code) == 4 and grade_of(code) and CODES[code][1] for code in CODES)
