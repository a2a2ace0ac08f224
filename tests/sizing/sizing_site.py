"""An invented site of one drive, NEC or IEC, whose records can be changed one field at a time."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from binder.engineering.figure import Figures
from binder.inventory.findings import Finding
from binder.inventory.quantities import measure as m
from binder.inventory.records import (
    Control,
    DeratingPoint,
    Drive,
    DriveModel,
    Inventory,
    Machine,
    Motor,
    Origin,
    Panel,
    Site,
    Supply,
)
from binder.sizing import drive_figures


def _origin(sheet: str, row: int, **cells: str) -> Origin:
    return Origin(sheet, row, f"{sheet}-{row}", cells)


SITE = Site("Invented waterworks", "IW", "NEC", altitude=m(300, "m"), origin=_origin("Site", 3, altitude="B9"))
SUPPLY = Supply(
    "T1", voltage=m(480, "V"), frequency=m(60, "Hz"), phases=3, origin=_origin("Supplies", 4, voltage="C4")
)
PANEL = Panel(
    "MCC-1", "T1", ambient=m(40, "°C"), room_ambient=m(25, "°C"), width=m(800, "mm"), height=m(2000, "mm"),
    depth=m(600, "mm"), mounting="free standing", enclosure_material="painted steel",
    origin=_origin("Panels", 4, ambient="H4", room_ambient="I4"),
)  # fmt: skip
MODEL = DriveModel(
    "Example 7", min_voltage=m(380, "V"), max_voltage=m(500, "V"), input_phases=3, output_current_light=m(31, "A"),
    output_current_heavy=m(25, "A"), overload_light=m(110, "%"), overload_heavy=m(150, "%"), input_current=m(29, "A"),
    max_frequency=m(400, "Hz"), default_carrier=m(4, "kHz"), rated_ambient=m(40, "°C"), max_ambient=m(50, "°C"),
    ambient_derating=m(2, "%"), rated_altitude=m(1000, "m"), max_altitude=m(3000, "m"), altitude_derating=m(1, "%"),
    losses=m(400, "W"), link_capacitance=m(1000, "µF"), link_trip_voltage=m(800, "V"), chopper_voltage=m(780, "V"),
    bleeder_resistance=m(60, "kΩ"), wait_time=m(5, "min"), min_brake_resistance=m(30, "Ω"),
    supply_24v_limit=m(100, "mA"), reference_10v_limit=m(10, "mA"), input_current_di=m(6, "mA"),
    analog_voltage_impedance=m(200, "kΩ"), analog_current_burden=m(250, "Ω"),
    origin=_origin("Models", 4, wait_time="AB4"),
)  # fmt: skip
LARGER = replace(
    MODEL, model="Example 11", output_current_light=m(44, "A"), output_current_heavy=m(38, "A"),
    origin=_origin("Models", 5),
)  # fmt: skip
DERATING = tuple(
    DeratingPoint(model, m(khz, "kHz"), m(percent, "%"), origin=_origin("Derating", row))
    for row, (model, khz, percent) in enumerate(
        [("Example 7", 4, 100), ("Example 7", 8, 85), ("Example 11", 4, 100), ("Example 11", 8, 80)], start=4
    )
)
MOTOR = Motor(
    "M-101", power=m(20, "hp"), voltage=m(460, "V"), plate_voltages="230/460", current=m(25, "A"),
    frequency=m(60, "Hz"), speed=m(1765, "rpm"), power_factor=Decimal("0.81"), efficiency=m(93, "%"),
    service_factor=Decimal("1.15"), insulation_class="F", code_letter="G", enclosure="TEFC", cooling="self",
    inertia=m("0.1", "kg·m²"), origin=_origin("Motors", 4, current="F4", speed="H4", voltage="D4", efficiency="J4"),
)  # fmt: skip
MACHINE = Machine(
    "P-101", load_type="quadratic", shaft_power=m(13, "kW"), rated_speed=m(1765, "rpm"), max_speed=m(1800, "rpm"),
    inertia=m("0.4", "kg·m²"), transmission="direct", static_head=m(40, "%"), running_hours=m(6000, "h"),
    origin=_origin("Machines", 4, shaft_power="D4"),
)  # fmt: skip
DRIVE = Drive(
    "VFD-101", panel="MCC-1", model="Example 7", duty="light", motor="M-101", machine="P-101",
    carrier_frequency=m(4, "kHz"), min_frequency=m(20, "Hz"), max_frequency=m(60, "Hz"),
    acceleration_time=m(10, "s"), deceleration_time=m(15, "s"), stop_mode="ramp",
    origin=_origin("Drives", 4, model="G4", min_frequency="R4", max_frequency="S4", deceleration_time="W4",
                   duty="K4", carrier_frequency="P4", brake_resistance="AC4"),
)  # fmt: skip
POTENTIOMETER = Control(
    "VFD-101", "speed potentiometer", value=m(5, "kΩ"), length=m(50, "m"), origin=_origin("Controls", 4, value="G4")
)


@dataclass
class Bench:
    """The records of the site; change some, then `run`."""

    records: dict[str, Any] = field(
        default_factory=lambda: {
            "site": SITE, "supply": SUPPLY, "panel": PANEL, "model": MODEL, "motor": MOTOR, "machine": MACHINE,
            "drive": DRIVE,
        }
    )  # fmt: skip
    controls: tuple[Control, ...] = (POTENTIOMETER,)

    def change(self, kind: str, **values: Any) -> Bench:
        """Change fields of one record."""
        self.records[kind] = replace(self.records[kind], **values)
        return self

    @property
    def inventory(self) -> Inventory:
        """The site as an inventory."""
        r = self.records
        return Inventory(
            r["site"], (r["supply"],), (r["panel"],), (r["drive"],), (r["motor"],), (r["machine"],), (),
            (r["model"], LARGER), DERATING, controls=self.controls,
        )  # fmt: skip

    def run(self) -> tuple[Figures, dict[str, Finding]]:
        """Figures of the drive, and its findings by code (notes of blank cells left out)."""
        inventory = self.inventory
        figures, findings = drive_figures(inventory, inventory.drives[0])
        return figures, {f.code: f for f in findings if f.code != "E100"}


def iec_bench() -> Bench:
    """The same drive on a 400 V 50 Hz site by IEC."""
    bench = Bench()
    bench.change("site", code_basis="IEC").change("supply", voltage=m(400, "V"), frequency=m(50, "Hz"))
    bench.change(
        "motor", power=m(15, "kW"), voltage=m(400, "V"), plate_voltages="400/690", current=m("28.5", "A"),
        frequency=m(50, "Hz"), speed=m(1470, "rpm"), power_factor=Decimal("0.83"), efficiency=m("92.1", "%"),
        service_factor=None, code_letter="",
    )  # fmt: skip
    return bench.change("drive", max_frequency=m(50, "Hz")).change("machine", max_speed=m(1500, "rpm"))
