"""Invented drives and rows for the wiring tests: no workbook, no maker, records built directly."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from binder.engineering.figure import Figures
from binder.inventory.quantities import measure
from binder.inventory.records import (
    Control,
    Drive,
    DriveModel,
    Inventory,
    Isolator,
    ModelTerminal,
    NetworkNode,
    Origin,
    Override,
    Panel,
    Site,
    WireChange,
)
from binder.wiring.build import wire_drive
from binder.wiring.connections import Wiring

#: Printed numbers run on; label, role, analog signal.
_SMALL = (
    ("P24", "P24"), ("COM", "DIC"), ("0V", "N24"), ("DI1", "DI"), ("DI2", "DI"), ("DI3", "DI"), ("DI4", "DI"),
    ("+10", "R10"), ("AI1", "AI", "either"), ("A0", "A0"), ("RO1 C", "RO1.C"), ("RO1 NO", "RO1.NO"),
)  # fmt: skip
_MIDDLE = (
    ("P24", "P24"), ("0V", "N24"), ("COM", "DIC"), *((f"DI{n}", "DI") for n in range(1, 7)),
    ("+10", "R10"), ("AI1", "AI", "voltage"), ("AI2", "AI", "current"), ("A0", "A0"), ("AO1", "AO", "either"),
    ("RO1 C", "RO1.C"), ("RO1 NO", "RO1.NO"), ("RO1 NC", "RO1.NC"), ("RO2 C", "RO2.C"), ("RO2 NO", "RO2.NO"),
    ("S+", "STOS"), ("S1", "STO1"), ("S2", "STO2"), ("T1", "PTC+"), ("T2", "PTC-"),
)  # fmt: skip
_LARGE = (
    ("P24", "P24"), ("0V", "N24"), ("COM", "DIC"), *((f"DI{n}", "DI") for n in range(1, 9)), ("EN", "EN"),
    ("+10", "R10"), ("AI1", "AI", "either"), ("AI2", "AI", "either"), ("A0", "A0"),
    ("AO1", "AO", "voltage"), ("AO2", "AO", "current"),
    *((f"RO{n} {c}", f"RO{n}.{c}") for n in (1, 2, 3) for c in ("C", "NO", "NC")),
    ("S+", "STOS"), ("S1", "STO1"), ("S2", "STO2"), ("S0", "STOC"), ("T1", "PTC+"), ("T2", "PTC-"),
    ("A", "BUS.A"), ("B", "BUS.B"), ("G", "BUS.REF"), ("SH", "BUS.SH"),
    ("EA", "ENC.A"), ("EB", "ENC.B"),
)  # fmt: skip

STRIPS: Mapping[str, Sequence[tuple[str, ...]]] = {"12": _SMALL, "24": _MIDDLE, "40": _LARGE}


def terminals(size: str) -> tuple[ModelTerminal, ...]:
    """Terminals of the invented model with so many of them; numbers start at 11."""
    return tuple(
        ModelTerminal(f"model {size}", str(11 + n), t[0], t[1], strip_order=n, max_conductors=2,
                      signal=t[2] if len(t) > 2 else "", page="30")
        for n, t in enumerate(STRIPS[size])
    )  # fmt: skip


def model(size: str) -> DriveModel:
    """Ratings of the invented control part."""
    return DriveModel(
        f"model {size}", manual="invented manual", supply_24v_limit=measure(200, "mA"),
        reference_10v_limit=measure(10, "mA"), input_current_di=measure(8, "mA"),
        analog_voltage_impedance=measure(20, "kΩ"), analog_current_burden=measure(250, "Ω"),
    )  # fmt: skip


def row(scheme: str, place: str = "local panel", **cells: object) -> Control:
    """One line of the sheet Controls for the drive VFD-1."""
    return Control("VFD-1", scheme, place=place, **cells)  # type: ignore[arg-type]


def site(
    rows: Sequence[Control], size: str = "24", *, logic: str = "positive", supply: str = "internal",
    basis: str = "IEC", changes: Sequence[WireChange] = (), nodes: Sequence[NetworkNode] = (),
    isolators: Sequence[Isolator] = (), overrides: Sequence[Override] = (), keyed: bool = True, **drive: object,
) -> Inventory:  # fmt: skip
    """An inventory with one drive; `keyed` rows have keys as a workbook gives them."""
    made = Drive(
        "VFD-1", panel="MCC-1", model=f"model {size}", control_logic=logic, control_supply=supply,
        loss_of_reference="ramp to stop", **drive,  # type: ignore[arg-type]
    )  # fmt: skip
    if keyed:
        rows = [
            r if r.origin.key else replace(r, origin=Origin("Controls", n + 2, f"r{n:03}-{r.scheme}"))
            for n, r in enumerate(rows)
        ]
    return Inventory(
        Site("invented site", "INV", basis), panels=(Panel("MCC-1", place="motor room"),), drives=(made,),
        models=(model(size),), terminals=terminals(size), controls=tuple(rows), wire_changes=tuple(changes),
        networks=tuple(nodes), isolators=tuple(isolators), overrides=tuple(overrides),
    )  # fmt: skip


def wire(rows: Sequence[Control], size: str = "24", *, ledger: Wiring | None = None, **options: object) -> Wiring:
    """The wiring of the one drive."""
    inventory = site(rows, size, **options)  # type: ignore[arg-type]
    return wire_drive(inventory, inventory.drives[0], Figures(), ledger)


#: Rows that make each scheme complete on a drive, by scheme code.
COMPLETE: Mapping[str, tuple[Control, ...]] = {
    "CS01": (row("two-wire run"), row("speed potentiometer", value=measure(5, "kΩ"))),
    "CS02": (row("three-wire start-stop"), row("speed potentiometer", value=measure(5, "kΩ"))),
    "CS03": (row("two-wire run"), row("jog", value=measure(6, "Hz")), row("0-10 V reference", "controller panel")),
    "CS04": (row("forward-reverse"), row("speed potentiometer", value=measure(5, "kΩ"))),
    "CS05": (row("hand-off-auto", "S=panel door; K=controller panel"), row("4-20 mA reference", "controller panel")),
    "CS06": (row("local-remote"), row("0-10 V reference", "controller panel")),
    "CS07": (row("two-wire run"), row("speed potentiometer", "panel door", value=measure(10, "kΩ"))),
    "CS08": (row("two-wire run"), row("0-10 V reference", "controller panel", length=measure(30, "m"))),
    "CS09": (row("two-wire run"), row("4-20 mA reference", "controller panel", length=measure(200, "m"))),
    "CS10": (row("two-wire run"), row("4-20 mA transmitter", "pump room", length=measure(100, "m"))),
    "CS11": (row("two-wire run"), row("increase-decrease")),
    "CS12": (row("two-wire run"), row("preset speeds", value=measure(20, "Hz")),
             row("preset speeds", value=measure(40, "Hz")), row("0-10 V reference", "controller panel")),
    "CS13": (row("two-wire run"), row("process control", "pump room", length=measure(50, "m"))),
    "CS14": (row("two-wire run"), row("0-10 V reference", "controller panel"), row("fault relay", "controller panel")),
    "CS15": (row("two-wire run"), row("0-10 V reference", "controller panel"), row("analog output", "control room")),
    "CS16": (row("two-wire run"), row("speed potentiometer", value=measure(5, "kΩ")),
             row("permissive string", "pump room", devices="F1=PSL-1; F2=TSH-2")),
    "CS17": (row("two-wire run"), row("0-10 V reference", "controller panel"), row("safe torque off", "machine")),
    "CS18": (row("two-wire run"), row("0-10 V reference", "controller panel"), row("thermistor", "motor")),
    "CS19": (row("two-wire run"), row("0-10 V reference", "controller panel"), row("mechanical brake", "hoist")),
    "CS20": (row("two-wire run"), row("0-10 V reference", "controller panel"),
             row("brake resistor thermal switch", "roof")),
    "CS21": (row("two-wire run"), row("0-10 V reference", "controller panel"), row("motor isolator contact", "motor")),
    "CS22": (row("two-wire run"), row("0-10 V reference", "controller panel"), row("bypass", "panel door")),
    "CS23": (row("lead-lag", "pump controller"), row("4-20 mA reference", "pump controller")),
    "CS24": (row("network", "controller panel"),),
    "CS25": (row("two-wire run"), row("0-10 V reference", "controller panel"), row("encoder", "motor")),
    "CS26": (row("two-wire run"), row("0-10 V reference", "controller panel"), row("fire mode", "fire panel")),
    "CS27": (row("two-wire run"), row("0-10 V reference", "controller panel"), row("damper proof", "duct")),
    "CS28": (row("interposing relay"), row("0-10 V reference", "controller panel")),
    "CS29": (row("two-wire run"), row("0-10 V reference", "controller panel"), row("external 24 V", "panel")),
    "CS30": (row("two-wire run"), row("0-10 V reference", "controller panel"), row("space heater", "motor")),
    "CS31": (row("two-wire run"), row("0-10 V reference", "controller panel"), row("several motors", "panel")),
    "CS32": (row("two-wire run"), row("pulse reference", "conveyor")),
    "CS33": (row("two-wire run"), row("0-10 V reference", "controller panel"), row("second set select")),
    "CS34": (row("two-wire run"), row("0-10 V reference", "controller panel"), row("motor fan", "motor")),
}  # fmt: skip

#: Hand-off-auto with everything on one drive.
FULL: tuple[Control, ...] = (
    row("hand-off-auto", "S=panel door; K=controller panel", devices="S=SS-1"),
    row("speed potentiometer", "panel door", mode="hand", value=measure(5, "kΩ")),
    row("4-20 mA reference", "controller panel", mode="auto", length=measure(80, "m")),
    row("permissive string", "pump room", devices="F1=PSL-1; F2=TSH-2", length=measure(40, "m")),
    row("fault relay", "controller panel"),
    row("safe torque off", "pump room", length=measure(40, "m")),
    row("thermistor", "motor", length=measure(45, "m")),
)
