"""The first pages of a drive's packet: what it is, what it feeds, and how to read it in a hurry."""

from __future__ import annotations

import re
from collections.abc import Iterator

from docutils import nodes

from binder.documents.blocks import Cell, Column, Row, caution, data_table, key_values, paragraph, section
from binder.inventory.records import Cable, Drive, DriveModel, Machine, Motor, Panel, Supply
from binder.study import DriveStudy

_MISSING = "not in the inventory"
_TRADE = {"<=": "≤", ">=": "≥", "->": "→"}
_KEYBOARD = re.compile(r"(?<![^\s(])(?:[<>]=|->)(?=[\s\d])")
#: Records whose plates are printed -> the group of their facts.
_GROUPS = {Drive: "drive", DriveModel: "model", Machine: "machine", Motor: "motor", Supply: "supply"}

Pairs = list[tuple[str, str | Cell]]
Record = Drive | DriveModel | Machine | Motor | Supply


def say(value: object) -> str:
    """A record's value as printed: yes and no for truth, a dash word for what is not known."""
    if value is None or value == "":
        return _MISSING
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def limit_signs(text: str) -> str:
    """A limit or its change as it is printed: with the signs of the trade in place of those of a keyboard.

    What is part of a word, as somebody may have typed it, stays.

    >>> limit_signs("record; limit <= 0.1 Ω -> <= 0.2 Ω, '-->'")
    "record; limit ≤ 0.1 Ω → ≤ 0.2 Ω, '-->'"
    """
    return _KEYBOARD.sub(lambda found: _TRADE[found[0]], text)


def known(pairs: list[tuple[str, object]]) -> Pairs:
    """Pairs whose value the inventory gives; what is not given is not printed."""
    return [(name, say(value)) for name, value in pairs if value not in (None, "")]


def plate(record: Record | None, *pairs: tuple[str, str]) -> Pairs:
    """Pairs of a record's fields, (name, field); what the inventory does not give is not printed."""
    if record is None:
        return []
    group = _GROUPS[type(record)]
    given = ((name, field, getattr(record, field)) for name, field in pairs)
    return [
        (name, Cell(say(value), shows=f"plate {group} {field}"))
        for name, field, value in given
        if value not in (None, "")
    ]


def data_section(study: DriveStudy) -> nodes.section:
    """The drive at a glance, and its plates side by side."""
    return section("Data", *_at_a_glance(study), *_plates(study), id="data")


def _at_a_glance(study: DriveStudy) -> Iterator[nodes.Node]:
    drive = study.drive
    modes = [
        Row(
            (m.name, m.command_owner, m.reference_owner, ", ".join(m.permissives) or "none", m.selected_by or "always"),
            shows=(f"mode {m.name or 'always'}",),
        )
        for m in study.wiring.modes
    ]
    place = Cell(_place(study.panel, drive.panel), shows="plate drive panel")
    yield key_values(
        [
            *plate(drive, ("Drive", "tag"), ("Feeds", "feeds"), ("Area", "area")),
            *([("Panel", place)] if place.text else []),
            *plate(drive, ("Isolate at", "isolator")),
            *plate(study.model, ("Wait after isolating", "wait_time")),
            *plate(drive, ("Formerly", "formerly"), ("Remark", "remark")),
        ]
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
    pairs = plate(
        drive,
        ("Model", "model"),
        ("Variant", "variant"),
        ("Serial number", "serial"),
        ("Owner's asset number", "asset_number"),
        ("Software", "software"),
        ("Made", "manufactured"),
        ("Last powered", "last_powered"),
        ("Duty", "duty"),
    )
    if model:
        rated = "output_current_heavy" if drive.duty == "heavy" else "output_current_light"
        pairs += plate(model, ("Output current, this duty", rated), ("Rated input current", "input_current"))
        if model.min_voltage:
            volts = Cell(f"{model.min_voltage} to {model.max_voltage}", shows="plate model min_voltage")
            pairs.append(("Supply voltage", volts))
        pairs += plate(
            model,
            ("Short-circuit rating", "fault_rating"),
            ("Only with", "fault_rating_device"),
            ("Enclosure", "enclosure_rating"),
            ("Manual", "manual"),
            ("Manual page", "manual_page"),
        )
    return pairs


def _motor_pairs(motor: Motor | None) -> Pairs:
    return plate(
        motor,
        ("Tag", "tag"),
        ("Power", "power"),
        ("Voltage, as connected", "voltage"),
        ("Voltages on the plate", "plate_voltages"),
        ("Current", "current"),
        ("Frequency", "frequency"),
        ("Speed", "speed"),
        ("Power factor", "power_factor"),
        ("Efficiency", "efficiency"),
        ("Service factor on the plate", "service_factor"),
        ("Insulation class", "insulation_class"),
        ("Connection", "connection"),
        ("Frame", "frame"),
        ("Enclosure", "enclosure"),
        ("Cooling", "cooling"),
        ("Marked for use on a drive", "inverter_duty"),
        ("Winding peak voltage limit", "peak_voltage_limit"),
        ("Winding temperature sensor", "thermal_sensor"),
        ("Space heater", "space_heater_voltage"),
        ("Serial number", "serial"),
    )


def _machine_pairs(machine: Machine | None) -> Pairs:
    return plate(
        machine,
        ("Tag", "tag"),
        ("Kind", "kind"),
        ("Load", "load_type"),
        ("Shaft power at full speed", "shaft_power"),
        ("Rated speed", "rated_speed"),
        ("Highest speed", "max_speed"),
        ("Lowest speed", "min_speed"),
        ("Inertia", "inertia"),
        ("Transmission", "transmission"),
        ("Gear ratio", "gear_ratio"),
        ("Rotation", "rotation"),
        ("Feedback range", "feedback_range"),
        ("Remark", "remark"),
    )


def _supply_pairs(supply: Supply | None, drive: Drive) -> Pairs:
    if supply is None:
        return []
    return [
        *plate(
            supply,
            ("Source", "tag"),
            ("Voltage", "voltage"),
            ("Frequency", "frequency"),
            ("Phases", "phases"),
            ("Earthing", "earthing"),
            ("Transformer", "transformer_rating"),
            ("Impedance", "transformer_impedance"),
        ),
        *plate(
            drive,
            ("Panel", "panel"),
            ("Circuit", "circuit"),
            ("Protective device", "protection_kind"),
            ("Device rating", "protection_rating"),
            ("Line reactor", "line_reactor"),
            ("Filter jumper", "filter_jumper"),
        ),
    ]


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
        shown = Cell(", ".join(p for p in parts if p), shows=f"cable {cable.tag}")
        pairs.append((f"{cable.role.capitalize()} cable {cable.tag}", shown))
    return pairs
