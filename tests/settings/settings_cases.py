"""A small invented drive model, drive and wiring for the tests of the settings room."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from binder.engineering.figure import Figure, Figures, Rule
from binder.inventory.quantities import measure
from binder.inventory.records import (
    Choice,
    Control,
    Drive,
    DriveModel,
    Inventory,
    Machine,
    ModelSetting,
    Motor,
    Origin,
    Panel,
    Site,
    Supply,
)
from binder.settings.assignment import settings_table
from binder.settings.table import SettingsTable
from binder.wiring.connections import Demand, DriveTerminal, Wiring

FIELDS = (
    "number", "function", "applies_to", "unit", "minimum", "maximum", "choices", "default", "opened_by",
    "opened_with", "overwrites", "variant_default",
)  # fmt: skip


def origin(sheet: str, row: int, *fields: str) -> Origin:
    """An origin whose cells stand in columns A, B, C ... of one row."""
    return Origin(sheet, row, f"k{row}", {f: f"{chr(65 + i)}{row}" for i, f in enumerate(fields)})


def choices(text: str) -> tuple[Choice, ...]:
    """'0=keypad; 1=terminals' as choices."""
    pairs = (p.split("=", 1) for p in text.split(";"))
    return tuple(Choice(code.strip(), value.strip()) for code, value in pairs)


def setting(number: str, function: str = "", row: int = 0, **fields: Any) -> ModelSetting:
    """A setting with short forms: choices as text, numbers as text."""
    for name in ("resolution", "minimum", "maximum"):
        if fields.get(name) is not None:
            fields[name] = Decimal(str(fields[name]))
    if isinstance(fields.get("choices"), str):
        fields["choices"] = choices(fields["choices"])
    fields.setdefault("name", f"Name {number}")
    return ModelSetting("Test", number, function=function, origin=origin("Settings", row or 2, *FIELDS), **fields)


SOURCES = "0=keypad; 1=terminals; 2=network"
REFERENCES = "0=keypad; 1=built-in potentiometer; 2=AI1; 3=AI2; 4=network"

MODEL: tuple[ModelSetting, ...] = (
    setting("1", "max_frequency", 2, unit="Hz", resolution="0.1", minimum=1, maximum=120, default="60.0"),
    setting("2", "min_frequency", 3, unit="Hz", resolution="0.1", minimum=0, maximum=60, default="0.0"),
    setting("3", "acceleration_time", 4, unit="s", resolution="0.1", minimum=0, maximum=600, default="10.0",
            opened_by="50", opened_with="27"),
    setting("4", "command_source", 5, choices=SOURCES, default="0", while_running=True),
    setting("5", "reference_source", 6, choices=REFERENCES, default="0", variant_default="1", while_running=True),
    setting("6", "motor_voltage", 7, unit="V", resolution="1", minimum=100, maximum=500, default="460"),
    setting("7", "motor_current", 8, unit="A", resolution="0.1", minimum="0.1", maximum=99, default="10.0"),
    setting("8", "overload_current", 9, unit="A", resolution="0.1", minimum="0.1", maximum=99, default="10.0"),
    setting("9", "control_mode", 10, default="0",
            choices="0=linear volts per hertz; 1=quadratic volts per hertz; 2=sensorless vector"),
    setting("10", "identification_run", 11, choices="0=off; 1=static", default="0"),
    setting("20", "digital_input_function", 20, applies_to="DI1",
            choices="0=not used; 1=run_forward; 2=run_reverse; 3=external_fault", default="1"),
    setting("21", "digital_input_function", 21, applies_to="DI2",
            choices="0=not used; 1=run_forward; 2=run_reverse; 3=external_fault", default="3"),
    setting("22", "analog_input_format", 22, applies_to="AI1", choices="0=0-10 V; 1=4-20 mA", default="1"),
    setting("23", "power_return", 23, choices="0=stay stopped; 1=restart", default="0"),
    setting("40", "preset_macro", 40, choices="1=pump; 9=free", default="1", overwrites="1 to 3; 20..22"),
    setting("50", "access_code", 50, minimum=0, maximum=99, resolution=1, default="0"),
    setting("60", "save_settings", 60, choices="0=no; 1=save", default="0"),
    setting("61", "factory_reset", 61, choices="0=no; 5=reset", default="0", overwrites="all"),
    setting("62", "", 62, unit="", default="7"),
)  # fmt: skip

DRIVE = Drive(
    "VFD-1", model="Test", motor="M-1", machine="P-1", panel="MCC-1", duty="light", acceleration_time=measure(20, "s"),
    min_frequency=measure(15, "Hz"), restart_on_power_return=False,
    origin=origin("Drives", 2, "tag", "restart_on_power_return"),
)  # fmt: skip


def inventory(model: tuple[ModelSetting, ...] = MODEL, drive: Drive = DRIVE, **more: Any) -> Inventory:
    """A site with one pump on one drive."""
    motor = Motor("M-1", power=measure("7.5", "hp"), voltage=measure(460, "V"), current=measure("9.6", "A"),
                  frequency=measure(60, "Hz"), speed=measure(1755, "rpm"))  # fmt: skip
    base = Inventory(
        Site("Site", "X", "NEC"),
        supplies=(Supply("T-1", voltage=measure(480, "V"), frequency=measure(60, "Hz"), phases=3),),
        panels=(Panel("MCC-1", supply="T-1"),),
        drives=(drive,),
        motors=(motor,),
        machines=(Machine("P-1", kind="pump", load_type="quadratic"),),
        models=(DriveModel("Test", manual="Test manual", output_current_light=measure(12, "A")),),
        settings=model,
        controls=(Control("VFD-1", "two-wire run"), Control("VFD-1", "speed potentiometer")),
    )
    return replace(base, **more)


WIRING = Wiring(
    "VFD-1", "-T1",
    terminals=(
        DriveTerminal("13", "DI1", "DI", 1, "run_forward"),
        DriveTerminal("14", "DI2", "DI", 2),
        DriveTerminal("2", "AI1", "AI", 3, "speed_reference"),
    ),
    demands=(
        Demand("command_source", "", "terminals", "the selector switch is wired to the run input"),
        Demand("reference_source", "", "AI1", "the potentiometer is wired to AI1"),
        Demand("analog_input_format", "AI1", "0-10 V", "a potentiometer gives 0 to 10 V"),
    ),
    schemes=("two-wire run", "speed potentiometer"),
)  # fmt: skip


def figures(**values: float) -> Figures:
    """Figures by key, dots written as double underscores."""
    rule = Rule("test", "test")
    return Figures(tuple(Figure(k.replace("__", "."), k, v, "A", rule) for k, v in values.items()))


def table(site: Inventory | None = None, wiring: Wiring = WIRING) -> SettingsTable:
    """The settings table of the first drive."""
    site = site or inventory()
    return settings_table(site, site.drives[0], figures(overload__setting=9.6), wiring)
