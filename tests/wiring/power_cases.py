"""Inventories for the tests of the main circuit."""

from __future__ import annotations

from dataclasses import replace

from binder.engineering.figure import Figure, Rule
from binder.inventory.quantities import measure
from binder.inventory.records import (
    Cable,
    ConductorSize,
    Drive,
    DriveModel,
    Inventory,
    Isolator,
    ModelTerminal,
    Motor,
    Panel,
    Site,
    Supply,
)
from binder.wiring.connections import Device, Wiring

FIGURES = {
    key: Figure(key, name, value, unit, Rule("test", "test"))
    for key, name, value, unit in (
        ("line.conductor", "Smallest line conductor", "4 mm²", ""),
        ("line.protection", "Largest line protection", 63.0, "A"),
        ("line.disconnect", "Smallest disconnect", 25.0, "A"),
        ("overload.setting", "Overload setting", 21.4, "A"),
    )
}
WIRING = Wiring("P-101", "-T1")


def inventory(symbols: str = "IEC", *, phases: int = 3, shielded: bool | None = True) -> Inventory:
    """A site with one drive, everything given."""
    size = ConductorSize("6 mm²", 6.0)
    return Inventory(
        Site("Invented works", "IW", "IEC", symbols=symbols),
        supplies=(Supply("TR-1", measure(400, "V"), measure(50, "Hz"), phases),),
        panels=(Panel("MCC1", "TR-1", fault_current=measure(12, "kA")),),
        drives=(DRIVE,),
        motors=(Motor("M-101", measure(11, "kW"), measure(400, "V"), current=measure("21.4", "A"),
                      frequency=measure(50, "Hz"), speed=measure(1465, "rpm")),),
        cables=(
            Cable("W101-L", "P-101", "line", size=size, earth_size=size, material="copper", insulation="PVC 70 °C",
                  length=measure(12, "m")),
            Cable("W101-M", "P-101", "motor", size=size, earth_size=size, material="copper", insulation="XLPE 90 °C",
                  length=measure(45, "m"), raceway="tray", shielded=shielded),
        ),
        models=(DriveModel("Example 7", output_current_light=measure(24, "A")),),
        terminals=tuple(
            ModelTerminal("Example 7", n, label, role, i)
            for i, (n, label, role) in enumerate(
                [("L1", "L1", "L1"), ("L2", "L2", "L2"), ("L3", "L3", "L3"), ("U", "U", "U"), ("V", "V", "V"),
                 ("W", "W", "W"), ("PE", "PE", "PE"), ("R+", "R+", "DC+"), ("R-", "R-", "BR")]
            )
        ),
        isolators=(Isolator("DS-101", "disconnect", "beside the panel", drives=("P-101",), lockable=True),),
    )  # fmt: skip


DRIVE = Drive(
    "P-101", feeds="raw water pump 1", panel="MCC1", circuit="7", model="Example 7", duty="light", motor="M-101",
    isolator="DS-101", disconnect_rating=measure(63, "A"), protection_kind="gG fuse",
    protection_rating=measure(50, "A"),
)  # fmt: skip

FULL = replace(
    DRIVE, line_reactor=measure(3, "%"), output_filter="dv/dt filter", brake_resistance=measure(40, "Ω"),
    brake_power=measure(2, "kW"), bypass="manual",
)  # fmt: skip

SEVERAL = Wiring(
    "P-101", "-T1", devices=tuple(Device(f"-F{n}", "overload", "+P1", f"overload motor {n}") for n in (1, 2, 3))
)
