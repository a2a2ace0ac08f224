"""Time all figures of 1,000 drives on one core: python tests/benchmarks/bench_figures.py [drives].

Run from the repository root. Prints figures, findings and seconds; drives differ in motor, machine,
cable and carrier frequency, so that nothing is served from a cache of equal inputs.
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "sizing"))

from sizing_site import DERATING, DRIVE, LARGER, MACHINE, MODEL, MOTOR, PANEL, POTENTIOMETER, SITE, SUPPLY

from binder.inventory.quantities import measure as m
from binder.inventory.records import Cable, ConductorSize, Inventory
from binder.sizing import drive_figures, site_figures

LINE = Cable(
    "W", role="line", size=ConductorSize("8 AWG", 8.367), earth_size=ConductorSize("10 AWG", 5.261), sets=1,
    material="copper", insulation="THWN 75 °C", raceway="steel conduit", loaded_conductors=3, ambient=m(35, "°C"),
    length=m(30, "m"),
)  # fmt: skip


def site_of(count: int) -> Inventory:
    """A site of `count` drives in panels of ten, no two alike."""
    drives, motors, machines, cables = [], [], [], []
    for n in range(count):
        tag = f"VFD-{n:04d}"
        drives.append(
            replace(DRIVE, tag=tag, panel=f"P{n // 10}", motor=f"M{n}", machine=f"K{n}",
                    carrier_frequency=m(Decimal(400 + n % 300) / 100, "kHz"), line_reactor=m(3, "%"),
                    protection_kind="time-delay fuse", protection_rating=m(45, "A"), disconnect_rating=m(60, "A"))
        )  # fmt: skip
        motors.append(replace(MOTOR, tag=f"M{n}", current=m(Decimal(2400 + n % 500) / 100, "A")))
        machines.append(replace(MACHINE, tag=f"K{n}", inertia=m(Decimal(30 + n % 70) / 100, "kg·m²")))
        cables.extend(
            replace(LINE, tag=f"W{n}{role}", drive=tag, role=role, length=m(20 + n % 90, "m"))
            for role in ("line", "motor")
        )
    panels = tuple(replace(PANEL, tag=f"P{n}") for n in range((count + 9) // 10))
    supply = replace(
        SUPPLY, earthing="solidly grounded wye", transformer_rating=m(1500, "kVA"),
        transformer_impedance=m("5.75", "%"), primary_fault="infinite",
    )  # fmt: skip
    model = replace(MODEL, rise_time=m("0.1", "µs"), fault_rating=m(100, "kA"), leakage_current=m(3, "mA"))
    controls = tuple(replace(POTENTIOMETER, drive=d.tag) for d in drives)
    return Inventory(
        SITE, (supply,), panels, tuple(drives), tuple(motors), tuple(machines), tuple(cables), (model, LARGER),
        DERATING, controls=controls,
    )  # fmt: skip


def main() -> None:
    """Compute once, print the count and the time."""
    inventory = site_of(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
    drive_figures(inventory, inventory.drives[0])  # index and tables are read once
    start = time.perf_counter()
    by_tag, findings = {}, 0
    for drive in inventory.drives:
        by_tag[drive.tag], found = drive_figures(inventory, drive)
        findings += len(found)
    drives_done = time.perf_counter()
    site, found = site_figures(inventory, by_tag)
    end = time.perf_counter()
    count = sum(map(len, by_tag.values()))
    judged = sum(f.value is not None for figures in by_tag.values() for f in figures.values())
    sys.stdout.write(
        f"{len(by_tag)} drives: {count} figures, {judged} judged, {findings} findings: {drives_done - start:.2f} s\n"
        f"site: {len(site)} figures, {len(found)} findings: {end - drives_done:.2f} s\n"
    )


if __name__ == "__main__":
    main()
