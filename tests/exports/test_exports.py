"""Exported tables: complete, keyed, safe to open, the same bytes each time."""

from __future__ import annotations

import csv
import io
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import openpyxl
import pandas as pd
import pytest

from binder.cli import main
from binder.errors import OutputError
from binder.export_files import PLANNER, csv_bytes, planner_bytes, write_exports
from binder.exports import Export, site_exports
from binder.inventory.quantities import measure
from binder.inventory.records import MaintenanceTask, Origin, Spare
from binder.inventory.spreadsheet_text import guarded
from binder.reissue.current import study_of
from binder.study import SiteStudy
from binder.wiring.schedules import label_schedule, wire_list

DEMO = Path(__file__).parents[2] / "demo_site"


@pytest.fixture(scope="module")
def study() -> SiteStudy:
    return study_of(DEMO)


@pytest.fixture(scope="module")
def exports(study: SiteStudy) -> dict[str, Export]:
    return {e.name: e for e in site_exports(study)}


def rows(export: Export) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(csv_bytes(export).decode("utf-8-sig"), newline="")))


KEYED = (
    "equipment", "cables", "wires", "labels", "materials", "network", "settings", "baseline", "spares", "maintenance",
)  # fmt: skip


def test_every_list_of_the_site_is_there(study: SiteStudy, exports: dict[str, Export]) -> None:
    assert list(exports) == [*KEYED, "panel totals", "cable totals", "material totals", "work totals"]
    counts = {name: len(exports[name].frame) for name in exports}
    assert counts["equipment"] == len(study.drives)
    assert counts["wires"] == sum(len(wire_list(s.wiring)) for s in study.drives)
    assert counts["labels"] == sum(len(label_schedule(s.wiring)) for s in study.drives)
    assert counts["settings"] == sum(len(s.settings.rows) + len(s.settings.untouched) for s in study.drives)
    assert counts["baseline"] == sum(len(w.points) for s in study.drives for w in s.field.sweeps)
    power = len(study.inventory.cables)
    assert counts["cables"] == power + sum(len(s.wiring.cables) for s in study.drives)


@pytest.mark.parametrize("name", KEYED)
def test_each_row_has_a_key_of_its_own(exports: dict[str, Export], name: str) -> None:
    keys = list(exports[name].frame["Row key"])
    assert all(keys)
    assert len(set(keys)) == len(keys)


def test_keys_do_not_follow_the_tag(study: SiteStudy, exports: dict[str, Export]) -> None:
    first = study.drives[0]
    renamed = replace(first, drive=replace(first.drive, tag="ZZ-999"))
    after = site_exports(replace(study, drives=(renamed, *study.drives[1:])))
    for name in ("equipment", "wires", "labels", "settings"):
        now = next(e for e in after if e.name == name)
        assert set(now.frame["Row key"]) == set(exports[name].frame["Row key"])


def test_units_are_named_and_converted(exports: dict[str, Export]) -> None:
    pump = next(r for r in rows(exports["equipment"]) if r["Drive"] == "VFD-201")
    assert (pump["Motor power"], pump["Motor kW"]) == ("7.5 hp", "5.595")  # 746 W a horsepower, NEMA MG 1
    line = next(r for r in rows(exports["cables"]) if r["Cable"] == "W101-M")
    assert (line["Length as given"], line["Length m"]) == ("150 ft", "45.72")


def test_the_baseline_holds_expected_and_read(exports: dict[str, Export]) -> None:
    point = next(r for r in rows(exports["baseline"]) if r["Drive"] == "VFD-201" and r["Percent"] == "50.0")
    assert (point["Expected Hz"], point["Read Hz"], point["Read A U"], point["Verdict"]) == (
        "30.0", "30.09", "4.886", "pass",
    )  # fmt: skip
    assert float(point["Lowest A"]) < 4.886 < float(point["Highest A"])
    assert float(point["Expected shaft kW"]) == pytest.approx(4.7744 * 0.5**3, rel=1e-3)  # cube law at 30 of 60 Hz


def test_power_is_told_for_the_speed_at_which_minimum_speed_holds_the_drive(
    study: SiteStudy, exports: dict[str, Export]
) -> None:
    """25 % signal, but the drive stays at 25 Hz: the power there by the affinity law, not that at 15 Hz."""
    held = next(r for r in rows(exports["baseline"]) if r["Drive"] == "VFD-101" and r["Percent"] == "25.0")
    machine = next(s.machine for s in study.drives if s.drive.tag == "VFD-101")
    assert machine is not None
    assert machine.shaft_power is not None
    at_plate = machine.shaft_power.to("kW")
    assert held["Expected Hz"] == "25.0"
    assert float(held["Expected shaft kW"]) == pytest.approx(at_plate * (25 / 60) ** 3, rel=1e-3)


def test_as_left_values_are_those_of_the_settings_page(study: SiteStudy, exports: dict[str, Export]) -> None:
    drive = next(s for s in study.drives if s.drive.tag == "VFD-201")
    told = {r["Setting"]: r["As left"] for r in rows(exports["settings"]) if r["Drive"] == "VFD-201"}
    left = {r.number: r.as_left for r in (*drive.settings.rows, *drive.settings.untouched) if r.as_left}
    assert len(left) > 5
    assert {n: told[n].removeprefix("'") for n in left if told[n] != "not exported"} == {
        n: v for n, v in left.items() if told[n] != "not exported"
    }


def test_an_access_code_never_leaves(study: SiteStudy) -> None:
    drive = study.drives[0]
    locked = replace(
        drive.settings.rows[0], number="99", function="access_code", required="4711", as_left="4711", default="0"
    )
    table = replace(drive.settings, rows=(*drive.settings.rows, locked))
    found = site_exports(replace(study, drives=(replace(drive, settings=table), *study.drives[1:])))
    row = next(r for r in rows(next(e for e in found if e.name == "settings")) if r["Setting"] == "99")
    assert (row["Required"], row["As left"]) == ("not exported", "not exported")
    assert all(b"4711" not in csv_bytes(e) for e in found)


def test_work_and_cable_are_rolled_up(study: SiteStudy) -> None:
    inventory = replace(
        study.inventory,
        maintenance=(
            MaintenanceTask("Clean", ("VFD-101", "VFD-201"), measure(6, "month"), "electrician", measure(30, "min")),
            MaintenanceTask("Oil", ("VFD-101",), measure(8000, "h"), "fitter", measure(1, "h")),
        ),
    )
    totals = {e.name: rows(e) for e in site_exports(replace(study, inventory=inventory))}
    assert totals["work totals"] == [
        {"Craft": "electrician", "Every": "6 month", "Visits": "2", "Minutes a year": "120.0"},
        {"Craft": "fitter", "Every": "8000 h", "Visits": "1", "Minutes a year": ""},
    ]
    length = sum(float(r["Length m"] or 0) for r in totals["cables"])
    assert sum(float(r["Length m"] or 0) for r in totals["cable totals"]) == pytest.approx(length, abs=0.01)
    assert sum(int(r["Drives"]) for r in totals["panel totals"]) == len(study.drives)


def test_a_task_without_drives_is_for_all(study: SiteStudy) -> None:
    task = MaintenanceTask("Look", origin=Origin(key="k9"))
    made = site_exports(replace(study, inventory=replace(study.inventory, maintenance=(task,))))
    look = rows(next(e for e in made if e.name == "maintenance"))
    assert [r["Drive"] for r in look] == sorted(s.drive.tag for s in study.drives)
    assert {r["Row key"] for r in look} == {f"k9/{s.drive.origin.key}" for s in study.drives}


HOSTILE = ["=1+1", "+1", "-K1:13", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "#N/A", "=cmd|' /C x'!A0", 'a"b,c\nd', "'quoted"]


@pytest.mark.parametrize("text", HOSTILE, ids=repr)
def test_no_text_becomes_a_formula(study: SiteStudy, text: str, tmp_path: Path) -> None:
    spare = Spare(text, order_number=text, origin=Origin(key="k1"))
    made = site_exports(replace(study, inventory=replace(study.inventory, spares=(spare,))))
    spares = next(e for e in made if e.name == "spares")
    (row,) = rows(spares)
    assert row["Part"] == guarded(text)
    assert not row["Part"].startswith(("=", "+", "-", "@", "\t", "\r", "\n"))
    path = tmp_path / "p.xlsx"
    path.write_bytes(planner_bytes(study, [spares]))
    cell = openpyxl.load_workbook(path)["Spares"]["A2"]
    assert cell.data_type == "s"
    assert str(cell.value).replace("\r", "\n") == text.replace("\r", "\n")  # XML has one line end


def test_material_totals_are_the_sum_of_the_bills(study: SiteStudy, exports: dict[str, Export]) -> None:
    bills, totals = rows(exports["materials"]), rows(exports["material totals"])
    for item in {r["Item"] for r in totals}:
        whole = sum(float(r["Quantity"]) for r in bills if r["Item"] == item)
        assert sum(float(r["Quantity"]) for r in totals if r["Item"] == item) == pytest.approx(whole, abs=0.01)
    assert {r["Drive"] for r in bills} == {s.drive.tag for s in study.drives}
    ends = next(r for r in totals if (r["Item"], r["What"]) == ("wire end", "18 AWG"))
    assert ends["Drives"] == str(len(study.drives))
    strip = sum(len(x.terminals) for s in study.drives for x in s.wiring.strips if x.kind == "terminal strip")
    assert sum(float(r["Quantity"]) for r in totals if r["Item"] == "strip terminal") == strip


def test_no_cell_of_the_planner_is_a_formula(study: SiteStudy, exports: dict[str, Export], tmp_path: Path) -> None:
    path = tmp_path / PLANNER
    path.write_bytes(planner_bytes(study, list(exports.values())))
    book = openpyxl.load_workbook(path)
    assert book.sheetnames == ["About", *(name.capitalize() for name in exports)]
    kinds = {cell.data_type for sheet in book for row in sheet.iter_rows() for cell in row}
    assert kinds <= {"s", "n", "d", "inlineStr"}
    wires = book["Wires"]
    assert wires.freeze_panes == "B2"
    assert wires.auto_filter.ref == wires.dimensions


def test_control_characters_do_not_stop_the_planner(study: SiteStudy) -> None:
    frame = pd.DataFrame([["a\x00b\x0bc"]], columns=["Part"], dtype=object)
    assert planner_bytes(study, [Export("odd", "", frame)])


def test_same_study_same_bytes_whatever_the_hash_seed(tmp_path: Path) -> None:
    made = []
    for seed in ("1", "2"):
        out = tmp_path / seed
        environment = os.environ | {"PYTHONHASHSEED": seed, "TZ": "UTC" if seed == "1" else "Pacific/Auckland"}
        command = [sys.executable, "-m", "binder", "export", str(DEMO), "--out", str(out)]
        done = subprocess.run(command, env=environment, capture_output=True, check=False)
        assert done.returncode == 0, done.stderr.decode()
        made.append({p.name: p.read_bytes() for p in sorted(out.iterdir())})
    assert made[0] == made[1]
    assert PLANNER in made[0]
    assert len(made[0]) == 15


def test_a_file_that_cannot_be_replaced_leaves_all_as_it_was(
    study: SiteStudy, exports: dict[str, Export], tmp_path: Path
) -> None:
    (tmp_path / "spares.csv").mkdir()  # a folder in the way stands for a file that is held open
    (tmp_path / "own.txt").write_text("mine")
    with pytest.raises(OutputError, match=r"no list was written: .*spares\.csv"):
        write_exports(study, list(exports.values()), tmp_path)
    assert (tmp_path / "own.txt").read_text() == "mine"
    assert not list(tmp_path.glob(".*"))


def test_the_command_names_what_it_wrote(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "lists of the plant"
    assert main(["export", str(DEMO), "--out", str(out)]) == 0
    said = capsys.readouterr()
    assert said.out.splitlines()[0] == str(out / PLANNER)
    assert all(Path(line).is_file() for line in said.out.splitlines())
    assert said.err.startswith("14 tables, ")
