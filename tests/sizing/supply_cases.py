"""Two small invented sites, one on each code basis, that the supply-side tests vary."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from binder.engineering.figure import Figures
from binder.inventory.findings import Finding
from binder.inventory.quantities import measure
from binder.inventory.records import (
    Cable,
    ConductorSize,
    Drive,
    DriveModel,
    Inventory,
    Motor,
    Origin,
    Panel,
    Site,
    Supply,
)
from binder.sizing import drive_figures, site_figures

AREAS = {"14 AWG": 2.08, "12 AWG": 3.31, "10 AWG": 5.26, "8 AWG": 8.37, "350 kcmil": 177.0}


class Row(dict[str, str]):
    """Cells of a record: every field stands in the column named like it."""

    def get(self, key: str, default: Any = None) -> Any:
        return f"{key}@2"


def origin(sheet: str) -> Origin:
    """An origin whose cells name their own field, so that tests read which cell is blamed."""
    return Origin(sheet, 2, sheet, Row())


def size(label: str) -> ConductorSize:
    """A conductor size with its area."""
    area = float(label.split(maxsplit=1)[0]) if label.endswith("mm²") else AREAS[label]
    return ConductorSize(label, area)


def nec_site() -> Inventory:
    """One 10 hp drive on a 500 kVA, 480 V transformer; everything as it should be."""
    return Inventory(
        site=Site("Invented works", "J1", "NEC", common_point_demand=measure(400, "A"), origin=origin("Site")),
        supplies=(
            Supply(
                "T-1", voltage=measure(480, "V"), frequency=measure(60, "Hz"), phases=3, earthing="solid wye",
                transformer_rating=measure(500, "kVA"), transformer_impedance=measure("5.75", "%"),
                primary_fault="infinite", origin=origin("Supplies"),
            ),
        ),
        panels=(
            Panel(
                "MCC-1", supply="T-1", feeder_size=size("350 kcmil"), feeder_sets=2, feeder_material="copper",
                feeder_raceway="steel conduit", feeder_length=measure(100, "ft"), feeder_protection=measure(25, "A"),
                fault_rating=measure(42, "kA"), origin=origin("Panels"),
            ),
        ),
        drives=(
            Drive(
                "VFD-1", panel="MCC-1", model="Example 7", motor="M-1", protection_kind="time-delay fuse",
                protection_rating=measure(25, "A"), disconnect_rating=measure(30, "A"),
                min_frequency=measure(20, "Hz"), line_reactor=measure(3, "%"), bypass="none", output_filter="none",
                origin=origin("Drives"),
            ),
        ),
        motors=(
            Motor(
                "M-1", power=measure(10, "hp"), voltage=measure(460, "V"), current=measure("12.8", "A"),
                frequency=measure(60, "Hz"), speed=measure(1760, "rpm"), power_factor=Decimal("0.82"),
                efficiency=measure("91.7", "%"), inverter_duty=True, origin=origin("Motors"),
            ),
        ),
        models=(
            DriveModel(
                "Example 7", input_current=measure("14.48", "A"), input_phases=3, fault_rating=measure(100, "kA"),
                fault_rating_device="class J fuse", max_protection=measure(40, "A"), rise_time=measure("0.1", "µs"),
                max_motor_cable=measure(50, "m"), leakage_current=measure(2, "mA"), origin=origin("Models"),
            ),
        ),
        cables=(
            Cable(
                "W-1", drive="VFD-1", role="line", size=size("12 AWG"), earth_size=size("12 AWG"), material="copper",
                insulation="THWN 75 °C", length=measure(30, "m"), raceway="steel conduit",
                ambient=measure(45, "°C"), loaded_conductors=3, origin=origin("Cables"),
            ),
            Cable(
                "W-2", drive="VFD-1", role="motor", size=size("12 AWG"), material="copper", insulation="XHHW 90 °C",
                length=measure(40, "m"), raceway="steel conduit", shielded=True, origin=origin("Cables"),
            ),
        ),
    )  # fmt: skip


def iec_site() -> Inventory:
    """One 15 kW drive on a 630 kVA, 400 V transformer; everything as it should be."""
    return Inventory(
        site=Site("Invented works", "J2", "IEC", origin=origin("Site")),
        supplies=(
            Supply(
                "T-1", voltage=measure(400, "V"), frequency=measure(50, "Hz"), phases=3, earthing="TN-S",
                transformer_rating=measure(630, "kVA"), transformer_impedance=measure(4, "%"),
                transformer_x_over_r=Decimal(6), primary_fault_power=measure(250, "MVA"), origin=origin("Supplies"),
            ),
        ),
        panels=(
            Panel(
                "MCC-1", supply="T-1", feeder_size=size("120 mm²"), feeder_material="copper", feeder_raceway="tray",
                feeder_length=measure(40, "m"), fault_rating=measure(25, "kA"), origin=origin("Panels"),
            ),
        ),
        drives=(
            Drive(
                "VFD-1", panel="MCC-1", model="Example 7", motor="M-1", protection_kind="gG fuse",
                protection_rating=measure(40, "A"), disconnect_rating=measure(40, "A"),
                min_frequency=measure(10, "Hz"), line_reactor=measure(3, "%"), output_filter="dv/dt filter",
                origin=origin("Drives"),
            ),
        ),
        motors=(
            Motor(
                "M-1", power=measure(15, "kW"), voltage=measure(400, "V"), current=measure("28.5", "A"),
                frequency=measure(50, "Hz"), speed=measure(1465, "rpm"), power_factor=Decimal("0.84"),
                efficiency=measure("92.1", "%"), inverter_duty=False, origin=origin("Motors"),
            ),
        ),
        models=(
            DriveModel(
                "Example 7", input_current=measure(29, "A"), input_phases=3, fault_rating=measure(50, "kA"),
                fault_rating_device="gG fuse", max_protection=measure(50, "A"), rise_time=measure("0.2", "µs"),
                max_motor_cable=measure(50, "m"), leakage_current=measure(5, "mA"), origin=origin("Models"),
            ),
        ),
        cables=(
            Cable(
                "W-1", drive="VFD-1", role="line", size=size("10 mm²"), earth_size=size("10 mm²"), material="copper",
                insulation="PVC 70 °C", length=measure(20, "m"), raceway="tray", method="C", grouped_circuits=2,
                ambient=measure(35, "°C"), origin=origin("Cables"),
            ),
            Cable(
                "W-2", drive="VFD-1", role="motor", size=size("6 mm²"), material="copper", insulation="XLPE 90 °C",
                length=measure(35, "m"), raceway="tray", shielded=True, origin=origin("Cables"),
            ),
        ),
    )  # fmt: skip


def changed(inventory: Inventory, table: str, **fields: Any) -> Inventory:
    """The inventory with fields of the first record of a table changed ('line' and 'motor_cable' are cables)."""
    if table == "site":
        return replace(inventory, site=replace(inventory.site, **fields))
    at = 1 if table == "motor_cable" else 0
    name = "cables" if table in ("line_cable", "motor_cable") else table
    rows = list(getattr(inventory, name))
    rows[at] = replace(rows[at], **fields)
    return replace(inventory, **{name: tuple(rows)})


def judged(inventory: Inventory) -> tuple[Figures, dict[str, Finding]]:
    """Figures of the first drive, and its findings of the supply side by code."""
    figures, findings = drive_figures(inventory, inventory.drives[0])
    return figures, {f.code: f for f in findings if f.code.startswith("E2")}


def site_judged(inventory: Inventory) -> tuple[Figures, dict[str, Finding]]:
    """Figures of the site, and its findings by code."""
    drives = {d.tag: drive_figures(inventory, d)[0] for d in inventory.drives}
    figures, findings = site_figures(inventory, drives)
    return figures, {f.code: f for f in findings if f.code.startswith("E2")}
