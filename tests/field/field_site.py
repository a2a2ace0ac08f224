"""An invented plant, small enough to see through, for the tests of the field sheets."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from decimal import Decimal

from binder.engineering.figure import Figure, Figures, Rule
from binder.field.bench import Bench, bench
from binder.field.pack import field_pack
from binder.field.sheets import FieldPack, TestLine
from binder.inventory.quantities import measure
from binder.inventory.records import (
    Cable,
    ConductorSize,
    Control,
    Drive,
    DriveModel,
    Instrument,
    Inventory,
    Isolator,
    Machine,
    ModelTerminal,
    Motor,
    Origin,
    Panel,
    Person,
    Reading,
    Site,
    Supply,
)
from binder.settings.table import SettingRow, SettingsTable
from binder.wiring.connections import (
    Connection,
    Contact,
    Device,
    DriveTerminal,
    End,
    Expected,
    Kind,
    Mode,
    Signal,
    Wiring,
)

DAY = dt.date(2026, 4, 20)
TAG = "VFD-9"


def origin(sheet: str, row: int, *fields: str) -> Origin:
    """An origin whose fields stand in columns B, C, D ... of a row."""
    return Origin(sheet, row, cells={name: f"{chr(66 + i)}{row}" for i, name in enumerate(fields)})


def setting(number: str, function: str, required: str, *, applies_to: str = "", text: str = "", unit: str = "",
            default: str = "0", verdict: str = "") -> SettingRow:  # fmt: skip
    return SettingRow(
        step=1, number=number, name=function.replace("_", " "), group="", function=function, applies_to=applies_to,
        unit=unit, default=default, required=required, required_text=text or required, reason="", source="",
        as_left_verdict=verdict,
    )  # fmt: skip


DRIVE = Drive(
    TAG, feeds="invented wash water pump", panel="MCC-9", circuit="3", model="Invented Q", motor="M-9", machine="P-9",
    isolator="DS-9", duty="light", max_frequency=measure(60, "Hz"), acceleration_time=measure(20, "s"),
    deceleration_time=measure(30, "s"), control_logic="positive", stop_mode="ramp", last_powered=dt.date(2025, 9, 1),
    origin=origin("Drives", 5, "isolator", "bypass", "common_dc_bus", "control_supply", "motor", "model",
                  "min_frequency"),
)  # fmt: skip
MOTOR = Motor(
    "M-9", measure(15, "kW"), measure(460, "V"), current=measure(27, "A"), frequency=measure(60, "Hz"),
    speed=measure(1760, "rpm"), power_factor=Decimal("0.85"), poles=4, connection="star",
    origin=origin("Motors", 6, "space_heater_isolator", "permanent_magnet", "speed"),
)  # fmt: skip
MACHINE = Machine(
    "P-9", "pump", "quadratic", transmission="direct", rotation="clockwise",
    origin=origin("Machines", 7, "backspin", "gravity", "trapped_pressure", "spring"),
)  # fmt: skip
MODEL = DriveModel(
    "Invented Q", manual="Invented manual Q", manual_page="12", wait_time=measure(5, "min"),
    min_voltage=measure(380, "V"), max_voltage=measure(500, "V"), output_current_light=measure(30, "A"),
    overload_light=measure(110, "%"), link_trip_voltage=measure(800, "V"), rated_ambient=measure(40, "°C"),
    origin=origin("Models", 8, "wait_time"),
)  # fmt: skip
MAIN = Isolator(
    "DS-9", "disconnect switch", "MCC-9, bucket 3", "electrical", (TAG,), lockable=True,
    origin=origin("Isolation", 4, "kind", "lockable", "energy"),
)  # fmt: skip
TERMINALS = tuple(
    ModelTerminal("Invented Q", number, label, role)
    for number, label, role in (
        ("1", "P24", "P24"), ("2", "N24", "N24"), ("3", "DI1", "DI"), ("7", "R10", "R10"), ("8", "AI1", "AI"),
        ("9", "A0", "A0"), ("91", "L1", "L1"), ("92", "L2", "L2"), ("93", "L3", "L3"), ("94", "DC+", "DC+"),
        ("95", "DC-", "DC-"), ("96", "U", "U"), ("97", "V", "V"), ("98", "W", "W"), ("11", "RO1 C", "RO1.C"),
    )
)  # fmt: skip
CABLES = (
    Cable("C-9L", TAG, "line", size=ConductorSize("8 AWG", 8.37), length=measure(20, "m")),
    Cable("C-9M", TAG, "motor", earth_size=ConductorSize("10 AWG", 5.26), length=measure(50, "m"), material="copper"),
)
POT = Control(TAG, "speed potentiometer", value=measure(5, "kΩ"), devices="R1")
RUN = Control(TAG, "two-wire run")
PEOPLE = (Person("A. Nobody", "AN", "commissioning engineer", telephone="000"), Person("B. Noone", "BN", "electrician"))
INSTRUMENTS = (
    Instrument("IR-9", "insulation tester", calibration_due=dt.date(2026, 12, 31)),
    Instrument("MM-9", "multimeter", calibration_due=dt.date(2026, 12, 31)),
    Instrument("OLD-9", "multimeter", calibration_due=dt.date(2026, 1, 31)),
    Instrument("NEW-9", "multimeter"),
)
WIRING = Wiring(
    TAG, "-T1",
    terminals=(
        DriveTerminal("3", "DI1", "DI", 1, "run_forward"), DriveTerminal("8", "AI1", "AI", 2, "speed_reference"),
    ),
    devices=(
        Device("-S1", "selector", "door", "RUN", contacts=(Contact(("13", "14"), "NO"),), positions=("OFF", "ON")),
        Device("-R1", "potentiometer", "door"),
    ),
    connections=(
        Connection("S1:14-T1:3", End("-S1", "14"), End("-T1", "3"), Kind.WIRE, Signal.DIGITAL, "101", "blue"),
        Connection("R1:2-T1:8", End("-R1", "2"), End("-T1", "8"), Kind.CORE, Signal.ANALOG, "102", "white"),
    ),
    modes=(Mode("always", "terminals -S1", "potentiometer -R1"),),
    expected=(
        Expected(("-T1:3", "-T1:2"), "S1 in ON", 24.0, "V", 2.4, "S1:14-T1:3"),
        Expected(("-T1:3", "-T1:2"), "S1 in OFF", 0.0, "V", 1.0, "S1:14-T1:3"),
    ),
    schemes=("two-wire run", "speed potentiometer"),
)  # fmt: skip
SETTINGS = SettingsTable(
    TAG, "Invented Q", "Invented manual Q",
    rows=(
        setting("Q10", "command_source", "1", text="terminals"),
        setting("Q11", "reference_source", "2", text="AI1"),
        setting("Q20", "max_frequency", "60.0", unit="Hz"),
        setting("Q30", "analog_input_format", "0", applies_to="AI1", text="0-10 V"),
        setting("Q31", "analog_input_low", "0.0", applies_to="AI1", unit="%"),
        setting("Q40", "overload_current", "27.0", unit="A"),
        setting("Q50", "power_return", "0", text="stay stopped"),
    ),
)  # fmt: skip


def figures(**values: float) -> Figures:
    """Figures by key, with '__' for the dot: figures(bus__no_load=679)."""
    rule = Rule("given", "test")
    return Figures(tuple(Figure(k.replace("__", "."), k, v, "", rule) for k, v in values.items()))


FIGURES = figures(
    bus__no_load=678.8, bus__stored_energy=138.0, bus__discharge_time=130.0, motor__poles=4.0,
    sweep__current_25=10.1, sweep__current_50=11.8, sweep__current_75=17.3, sweep__current_100=27.0,
)  # fmt: skip


def site(**changes: object) -> Inventory:
    """The plant, with fields of the inventory replaced."""
    base = Inventory(
        Site("Invented works", "INV", "NEC", decimal_mark=".", issue_date=dt.date(2026, 5, 1), emergency_number="000"),
        supplies=(Supply("T-9", measure(480, "V"), measure(60, "Hz"), 3, "solid wye"),),
        panels=(Panel("MCC-9", "T-9"),),
        drives=(DRIVE,),
        motors=(MOTOR,),
        machines=(MACHINE,),
        models=(MODEL,),
        terminals=TERMINALS,
        cables=CABLES,
        controls=(POT, RUN),
        isolators=(MAIN,),
        people=PEOPLE,
        instruments=INSTRUMENTS,
    )
    return replace(base, **changes)


def on_bench(inventory: Inventory, **changes: object) -> Bench:
    """The first drive on the bench, with its parts replaced."""
    parts = {"figures": FIGURES, "wiring": WIRING, "settings": SETTINGS, **changes}
    return bench(inventory, inventory.drives[0], **parts)


def pack_of(inventory: Inventory, **changes: object) -> FieldPack:
    parts = {"figures": FIGURES, "wiring": WIRING, "settings": SETTINGS, **changes}
    return field_pack(inventory, inventory.drives[0], **parts)


def read(test: str, value: str, unit: str = "", *, row: int = 10, **changes: object) -> Reading:
    """A sound reading of the day, with fields replaced."""
    fields = ("drive", "test", "value", "unit", "instrument", "date", "initials", "remark")
    sound = Reading(
        TAG, test, value, unit, instrument="MM-9", date=DAY, initials="AN", origin=origin("Readings", row, *fields)
    )
    return replace(sound, **changes)


def with_readings(*readings: Reading, **changes: object) -> FieldPack:
    return pack_of(site(readings=tuple(readings)), **changes)


def line(pack: FieldPack, test: str) -> TestLine:
    return next(x for x in pack.lines if x.id == test)
