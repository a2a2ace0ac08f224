"""The first pages of a drive's packet: what it is, what it feeds, and how to read it in a hurry."""

from __future__ import annotations

from collections.abc import Iterator

from docutils import nodes

from binder.documents.blocks import Column, Row, caution, data_table, key_values, paragraph, section
from binder.inventory.records import Cable, Drive, DriveModel, Machine, Motor, Panel, Supply
from binder.study import DriveStudy

_MISSING = "not in the inventory"

Pairs = list[tuple[str, str]]


def say(value: object) -> str:
    """A record's value as printed: yes and no for truth, a dash word for what is not known."""
    if value is None or value == "":
        return _MISSING
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def limit_signs(text: str) -> str:
    """A limit as it is printed: with the signs of the trade in place of those of a keyboard.

    >>> limit_signs("record; limit <= 0.1 Ω")
    'record; limit ≤ 0.1 Ω'
    """
    return text.replace("<=", "≤").replace(">=", "≥")


def known(pairs: list[tuple[str, object]]) -> Pairs:
    """Pairs whose value the inventory gives; what is not given is not printed."""
    return [(name, say(value)) for name, value in pairs if value not in (None, "")]


def data_section(study: DriveStudy) -> nodes.section:
    """The drive at a glance, and its plates side by side."""
    return section("Data", *_at_a_glance(study), *_plates(study), id="data")


def _at_a_glance(study: DriveStudy) -> Iterator[nodes.Node]:
    drive = study.drive
    modes = [
        Row((m.name, m.command_owner, m.reference_owner, ", ".join(m.permissives) or "none", m.selected_by or "always"))
        for m in study.wiring.modes
    ]
    yield key_values(
        known(
            [
                ("Drive", drive.tag),
                ("Feeds", drive.feeds),
                ("Area", drive.area),
                ("Panel", _place(study.panel, drive.panel)),
                ("Isolate at", drive.isolator),
                ("Wait after isolating", study.model.wait_time if study.model else None),
                ("Formerly", drive.formerly),
                ("Remark", drive.remark),
            ]
        )
    )
    if modes:
        columns = (
            Column("Mode", 1.1, header=True),
            Column("Who commands run", 2.2),
            Column("Who sets speed", 2.2),
            Column("Who may forbid", 2.2),
            Column("Selected by", 1.8),
        )
        yield data_table(columns, modes, caption="Who is in charge, mode by mode")
    if drive.restart_on_power_return:
        yield caution(
            "warning",
            "Starts by itself",
            "This drive is meant to restart when power returns while the run contact is closed. "
            "Keep clear of the machine until it is isolated, locked and proved dead.",
        )


def _place(panel: Panel | None, tag: str) -> str:
    return f"{panel.tag}, {panel.place}" if panel and panel.place else tag


def _plates(study: DriveStudy) -> Iterator[nodes.Node]:
    for title, pairs in (
        ("Drive", _drive_pairs(study.drive, study.model)),
        ("Motor", _motor_pairs(study.motor)),
        ("Driven machine", _machine_pairs(study.machine)),
        ("Supply", _supply_pairs(study.supply, study.drive)),
        ("Cables", _cable_pairs(study.line_cable, study.motor_cable)),
    ):
        body = key_values(pairs) if pairs else paragraph("Nothing in the inventory.")
        yield section(title, body, id=f"data-{title.split()[0].lower()}")


def _drive_pairs(drive: Drive, model: DriveModel | None) -> Pairs:
    pairs: list[tuple[str, object]] = [
        ("Model", drive.model),
        ("Variant", drive.variant),
        ("Serial number", drive.serial),
        ("Owner's asset number", drive.asset_number),
        ("Software", drive.software),
        ("Made", drive.manufactured),
        ("Last powered", drive.last_powered),
        ("Duty", drive.duty),
    ]
    if model:
        rated = model.output_current_heavy if drive.duty == "heavy" else model.output_current_light
        pairs += [
            ("Rated output current, this duty", rated),
            ("Rated input current", model.input_current),
            ("Supply voltage", f"{model.min_voltage} to {model.max_voltage}" if model.min_voltage else None),
            ("Short-circuit rating", model.fault_rating),
            ("Only with", model.fault_rating_device),
            ("Enclosure", model.enclosure_rating),
            ("Manual", model.manual),
            ("Manual page", model.manual_page),
        ]
    return known(pairs)


def _motor_pairs(motor: Motor | None) -> Pairs:
    if motor is None:
        return []
    return known(
        [
            ("Tag", motor.tag),
            ("Power", motor.power),
            ("Voltage, as connected", motor.voltage),
            ("Voltages on the plate", motor.plate_voltages),
            ("Current", motor.current),
            ("Frequency", motor.frequency),
            ("Speed", motor.speed),
            ("Power factor", motor.power_factor),
            ("Efficiency", motor.efficiency),
            ("Service factor on the plate", motor.service_factor),
            ("Insulation class", motor.insulation_class),
            ("Connection", motor.connection),
            ("Frame", motor.frame),
            ("Enclosure", motor.enclosure),
            ("Cooling", motor.cooling),
            ("Marked for use on a drive", motor.inverter_duty),
            ("Winding peak voltage limit", motor.peak_voltage_limit),
            ("Winding temperature sensor", motor.thermal_sensor),
            ("Space heater", motor.space_heater_voltage),
            ("Serial number", motor.serial),
        ]
    )


def _machine_pairs(machine: Machine | None) -> Pairs:
    if machine is None:
        return []
    return known(
        [
            ("Tag", machine.tag),
            ("Kind", machine.kind),
            ("Load", machine.load_type),
            ("Shaft power at full speed", machine.shaft_power),
            ("Rated speed", machine.rated_speed),
            ("Highest speed", machine.max_speed),
            ("Lowest speed", machine.min_speed),
            ("Inertia", machine.inertia),
            ("Transmission", machine.transmission),
            ("Gear ratio", machine.gear_ratio),
            ("Rotation", machine.rotation),
            ("Feedback range", machine.feedback_range),
            ("Remark", machine.remark),
        ]
    )


def _supply_pairs(supply: Supply | None, drive: Drive) -> Pairs:
    if supply is None:
        return []
    return known(
        [
            ("Source", supply.tag),
            ("Voltage", supply.voltage),
            ("Frequency", supply.frequency),
            ("Phases", supply.phases),
            ("Earthing", supply.earthing),
            ("Transformer", supply.transformer_rating),
            ("Impedance", supply.transformer_impedance),
            ("Panel", drive.panel),
            ("Circuit", drive.circuit),
            ("Protective device", drive.protection_kind),
            ("Device rating", drive.protection_rating),
            ("Line reactor", drive.line_reactor),
            ("Filter jumper", drive.filter_jumper),
        ]
    )


def _cable_pairs(*cables: Cable | None) -> Pairs:
    pairs: Pairs = []
    for cable in cables:
        if cable is None:
            continue
        parts = [
            f"{cable.sets} sets of" if cable.sets and cable.sets > 1 else "",
            say(cable.size) if cable.size else "",
            cable.material,
            cable.insulation,
            f"earth {cable.earth_size}" if cable.earth_size else "",
            f"{cable.length} routed" if cable.length else "",
            f"in {cable.raceway}" if cable.raceway else "",
            "shielded" if cable.shielded else "",
        ]
        pairs.append((f"{cable.role.capitalize()} cable {cable.tag}", ", ".join(p for p in parts if p)))
    return pairs
