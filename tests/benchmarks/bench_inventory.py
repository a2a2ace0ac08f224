# ruff: noqa: T201, E501  (a script that prints its figures)
"""Reading and checking a workbook of 1,000 drives, against one plain pass of openpyxl over the same file.

Run: python tests/benchmarks/bench_inventory.py [DRIVES] [formulas]
"""

from __future__ import annotations

import gc
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from typing import Any

from openpyxl import load_workbook

from binder.inventory.blank import write_workbook
from binder.inventory.lookup import cable_of, motor_of, settings_of
from binder.inventory.reader import read_workbook


def site(drives: int) -> dict[str, list[dict[str, Any]]]:
    """A site of many drives, motors, machines and cables, typed in mixed units."""
    rows: dict[str, list[dict[str, Any]]] = {
        "Site": [{"name": "Big plant", "document_prefix": "B1", "code_basis": "NEC", "decimal_mark": "."}],
        "Supplies": [{"tag": "T-1", "voltage": "480 V", "frequency": 60, "phases": "3"}],
        "Panels": [{"tag": f"MCC-{n}", "supply": "T-1"} for n in range(max(1, drives // 20))],
        "Models": [{"model": "Example 7", "min_voltage": 380, "max_voltage": 500, "wait_time": "5 min"}],
        "Settings": [{"model": "Example 7", "number": f"{n:02}.05", "name": "Ramp", "default": "5.0"} for n in range(60)],
        "Drives": [], "Motors": [], "Machines": [], "Cables": [],
    }  # fmt: skip
    for n in range(drives):
        rows["Drives"].append({
            "tag": f"VFD-{n}", "feeds": f"Pump {n}", "area": "Water", "panel": f"MCC-{n % len(rows['Panels'])}",
            "model": "Example 7", "serial": f"S{n:06}", "duty": "light", "motor": f"M-{n}", "machine": f"P-{n}",
            "protection_rating": "60 A", "line_reactor": 3, "min_frequency": "20 Hz", "max_frequency": 60,
            "acceleration_time": 10, "deceleration_time": "15 s", "stop_mode": "ramp", "flying_start": "no",
            "control_logic": "positive", "control_supply": "internal", "ambient": "104 °F", "remark": "as delivered",
        })  # fmt: skip
        rows["Motors"].append({
            "tag": f"M-{n}", "power": "25 hp", "voltage": 460, "current": 31.2, "frequency": "60 Hz", "speed": 1765,
            "power_factor": 0.85, "efficiency": "93 %", "poles": 4, "insulation_class": "F", "frame": "284T",
        })  # fmt: skip
        rows["Machines"].append({"tag": f"P-{n}", "kind": "pump", "load_type": "quadratic", "rated_speed": 1750})
        for role in ("line", "motor"):
            rows["Cables"].append({
                "tag": f"W{n}-{role}", "drive": f"VFD-{n}", "role": role, "size": "8 AWG", "earth_size": "10 AWG",
                "material": "copper", "insulation": "THWN 75 °C", "length": "150 ft", "raceway": "steel conduit",
            })  # fmt: skip
    return rows


def plain_pass(path: Path) -> int:
    """What any program does at least: load the workbook and look at every cell."""
    return sum(cell.value is not None for ws in load_workbook(path) for row in ws.iter_rows() for cell in row)


def best_of(run: Callable[[], object], times: int = 3) -> float:
    """Shortest processor time. [s]"""
    found = []
    for _ in range(times):
        gc.collect()
        start = time.process_time()
        run()
        found.append(time.process_time() - start)
    return min(found)


def peak_of(run: Callable[[], object]) -> float:
    """Largest memory in use by Python objects. [MiB]"""
    gc.collect()
    tracemalloc.start()
    run()
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak / 1024**2


def main() -> None:
    """Print the figures."""
    drives = next((int(a) for a in sys.argv[1:] if a.isdigit()), 1000)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "inventory.xlsx"
        write_workbook(path, site(drives))
        if "formulas" in sys.argv:  # one formula makes the second pass necessary
            book = load_workbook(path)
            book.create_sheet("Mine")["A1"] = "=1+1"
            book.save(path)
        inventory = read_workbook(path)
        stops = [f for f in inventory.findings if f.grade == "stop"]
        print(f"{len(inventory.drives)} drives, {path.stat().st_size / 1024:.0f} KiB, {len(stops)} stops")
        plain, ours = best_of(lambda: plain_pass(path)), best_of(lambda: read_workbook(path))
        print(f"time    plain pass {plain:.2f} s   read and check {ours:.2f} s   ratio {ours / plain:.2f}")
        plain_mib, ours_mib = peak_of(lambda: plain_pass(path)), peak_of(lambda: read_workbook(path))
        print(f"memory  plain pass {plain_mib:.0f} MiB  read and check {ours_mib:.0f} MiB  ratio {ours_mib / plain_mib:.2f}")

        def look_up() -> None:
            for drive in inventory.drives:
                motor_of(inventory, drive), cable_of(inventory, drive, "motor"), settings_of(inventory, drive.model)

        print(f"lookup  three for each drive {best_of(look_up) * 1000:.1f} ms")


if __name__ == "__main__":
    main()
