"""Site schedules: findings, equipment, supply, cables, labels, network, spares, handover."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from docutils import nodes

from binder.documents.blocks import (
    Cell,
    Column,
    Row,
    caution,
    data_table,
    paragraph,
    section,
)
from binder.documents.contents import supply_findings
from binder.documents.packet_checks import figures_section, findings_section, findings_table
from binder.documents.packet_data import limit_signs, say
from binder.documents.packet_plots import harmonics_section
from binder.documents.packet_wiring import CABLE_COLUMNS, cable_cells
from binder.inventory.lookup import fold
from binder.inventory.records import PunchItem
from binder.study import SiteStudy
from binder.wiring.materials import quantity_words, site_materials
from binder.wiring.schedules import cable_schedule, label_schedule


def plain_table(titles: Sequence[tuple[str, float, str]], rows: Iterable[Sequence[object]], caption: str) -> nodes.Node:
    """A plain schedule: the first column names the row."""
    columns = tuple(Column(t, w, kind=k, header=i == 0) for i, (t, w, k) in enumerate(titles))
    texts = [tuple("" if c is None else c if isinstance(c, str | Cell) else say(c) for c in r) for r in rows]
    made = [Row(cells, key=str(cells[0]) if isinstance(cells[0], str) else cells[0].text) for cells in texts]
    return data_table(columns, made) if made else paragraph(f"{caption}: nothing in the inventory.")


def findings_sections(study: SiteStudy) -> list[nodes.Node]:
    """All findings, the waivers, the punch list and the open defeats."""
    inventory = study.inventory
    stops = [f for f in study.findings if f.grade == "stop" and not f.waived]
    head: list[nodes.Node] = []
    if stops:
        head.append(
            caution(
                "stop",
                "Not fit for handover",
                f"Open stops below: {len(stops)}. "
                "Mend them, or waive them with name, reason and date on the sheet Waivers.",
            )
        )
    body = findings_table(study.findings) if study.findings else paragraph("No finding.")
    waivers = plain_table(
        [
            ("Code", 0.6, "code"),
            ("Tag", 1, "code"),
            ("Accepted by", 1.4, "text"),
            ("Reason", 4, "text"),
            ("Date", 1, "text"),
        ],
        [(w.code, w.tag, w.name, w.reason, w.date) for w in inventory.waivers],
        "Waivers",
    )
    punch = plain_table(
        [
            ("No.", 0.6, "code"),
            ("Drive", 0.9, "code"),
            ("Item", 4, "text"),
            ("Class", 0.6, "text"),
            ("Owner", 1.2, "text"),
            ("Due", 1, "text"),
            ("Closed", 1, "text"),
            ("By", 0.8, "text"),
        ],
        [
            (p.number, p.drive, limit_signs(p.text), p.severity, p.owner, p.due, p.closed, p.closed_by)
            for p in _punch_items(study)
        ],
        "Punch list",
    )
    defeats = plain_table(
        [
            ("Drive", 0.9, "code"),
            ("What is defeated", 3, "text"),
            ("Where", 1.4, "text"),
            ("Applied", 1, "text"),
            ("By", 0.8, "text"),
            ("Cleared", 1, "text"),
            ("By", 0.8, "text"),
        ],
        [(d.drive, d.text, d.place, d.applied, d.applied_by, d.cleared, d.cleared_by) for d in inventory.defeats],
        "Defeat list",
    )
    return [
        section("Findings", *head, body, id="findings"),
        section("Waivers", waivers, id="waivers"),
        section("Punch list", punch, id="punch"),
        section(
            "Defeat list",
            paragraph("Every temporary jumper, lowered trip and bypass. An open line blocks acceptance."),
            defeats,
            id="defeats",
        ),
    ]


def _punch_items(study: SiteStudy) -> list[PunchItem]:
    """The workbook's items and those that failed readings make, each once: as the drive's own list tells it."""
    told = [p for s in study.drives for p in s.field.punch_items]
    known = {(fold(p.drive), p.number) for p in told}
    items = [*told, *(p for p in study.inventory.punch_items if (fold(p.drive), p.number) not in known)]
    return sorted(dict.fromkeys(items), key=lambda p: (p.severity, p.drive, p.number))


def equipment_sections(study: SiteStudy) -> list[nodes.Node]:
    """Every drive with motor, machine, panel and circuit; panels; like drives compared."""
    rows = []
    for s in study.drives:
        d, m = s.drive, s.motor
        rows.append(
            (
                d.tag,
                d.feeds,
                d.area,
                d.model,
                d.serial,
                d.motor,
                say(m.power) if m and m.power else "",
                say(m.voltage) if m and m.voltage else "",
                say(m.current) if m and m.current else "",
                d.machine,
                d.panel,
                d.circuit,
                d.isolator,
            )
        )
    equipment = plain_table(
        [
            ("Drive", 0.9, "code"),
            ("Feeds", 2, "text"),
            ("Area", 1.1, "text"),
            ("Model", 1.1, "text"),
            ("Serial", 1.2, "code"),
            ("Motor", 0.9, "code"),
            ("Power", 0.8, "number"),
            ("Volts", 0.7, "number"),
            ("Amps", 0.7, "number"),
            ("Machine", 0.9, "code"),
            ("Panel", 0.8, "code"),
            ("Circuit", 0.8, "code"),
            ("Isolator", 0.9, "code"),
        ],
        rows,
        "Drives and motors",
    )
    panels = plain_table(
        [
            ("Panel", 0.9, "code"),
            ("Where", 1.6, "text"),
            ("Supply", 0.9, "code"),
            ("Feeder", 1.2, "text"),
            ("Protection", 1, "number"),
            ("Short-circuit rating", 1.1, "number"),
            ("Ambient inside", 1, "number"),
            ("Enclosure", 1, "text"),
        ],
        [
            (p.tag, p.place, p.supply, p.feeder_size, p.feeder_protection, p.fault_rating, p.ambient, p.enclosure_type)
            for p in study.inventory.panels
        ],
        "Panels",
    )
    return [section("Drives and motors", equipment, id="equipment"), section("Panels", panels, id="panels")]


def supply_sections(study: SiteStudy) -> list[nodes.Node]:
    """Sources and every site figure."""
    supplies = plain_table(
        [
            ("Supply", 0.9, "code"),
            ("What", 2, "text"),
            ("Volts", 0.8, "number"),
            ("Hz", 0.6, "number"),
            ("Phases", 0.6, "number"),
            ("Earthing", 1.3, "text"),
            ("Transformer", 1, "number"),
            ("Impedance", 0.9, "number"),
        ],
        [
            (
                s.tag,
                s.description,
                s.voltage,
                s.frequency,
                s.phases,
                s.earthing,
                s.transformer_rating,
                s.transformer_impedance,
            )
            for s in study.inventory.supplies
        ],
        "Supplies",
    )
    return [
        section("Supplies", supplies, id="supplies"),
        findings_section(supply_findings(study)),
        figures_section(study.figures, title="Load, short circuit, harmonics"),
        *harmonics_section(study),
    ]


def cable_sections(study: SiteStudy) -> list[nodes.Node]:
    """Power cables from the inventory, control cables from the wiring records."""
    power = plain_table(
        [
            ("Cable", 0.9, "code"),
            ("Drive", 0.9, "code"),
            ("Role", 0.7, "text"),
            ("From", 1.1, "text"),
            ("To", 1.1, "text"),
            ("Size", 1, "text"),
            ("Earth", 0.9, "text"),
            ("Sets", 0.5, "number"),
            ("Material", 0.8, "text"),
            ("Insulation", 1.1, "text"),
            ("Length", 0.8, "number"),
            ("Raceway", 0.9, "text"),
            ("Shielded", 0.7, "text"),
        ],
        [
            (
                c.tag,
                c.drive,
                c.role,
                c.from_place,
                c.to_place,
                c.size,
                c.earth_size,
                c.sets,
                c.material,
                c.insulation,
                c.length,
                c.raceway,
                c.shielded,
            )
            for c in study.inventory.cables
        ],
        "Power cables",
    )
    control_columns = (Column("Drive", 0.9, kind="code"), *CABLE_COLUMNS)
    rows = [
        Row((s.drive.tag, *cable_cells(line)), key=f"{s.drive.tag} {line.tag}")
        for s in study.drives
        for line in cable_schedule(s.wiring)
    ]
    control = data_table(control_columns, rows) if rows else paragraph("No control cable.")
    return [
        section("Power cables", power, id="power-cables"),
        section("Control cables", control, id="control-cables"),
        section(
            "Wiring materials",
            paragraph(
                "Counted from the connection records of all drives; lengths without allowance for ends and waste. "
                "Power cables stand above; controllers, networks and volt-free contacts come with equipment of others."
            ),
            _materials(study),
            id="materials",
        ),
    ]


#: More drives than this in one line are counted, not named.
_NAMED = 6


def _drives(tags: Sequence[str], wired: int) -> str:
    """The drives that need a thing: by name while they are few."""
    if len(tags) == wired > 1:
        return "all"
    return ", ".join(tags) if len(tags) <= _NAMED else f"{len(tags)} drives"


def _materials(study: SiteStudy) -> nodes.Node:
    """What the control wiring of all drives takes, rolled up."""
    columns = (
        Column("Item", 1.3, header=True),
        Column("What", 2.2),
        Column("Quantity", 0.8, kind="number"),
        Column("Unit", 0.6),
        Column("Drives", 2.6, kind="code"),
        Column("Note", 2.0),
    )
    wired = sum(bool(s.wiring.connections) for s in study.drives)
    rows = [
        Row(
            (m.item, m.detail, *quantity_words(m), _drives(m.drives, wired), m.note),
            key=f"{m.item} {m.detail}",
        )
        for m in site_materials([(s.drive.tag, s.wiring) for s in study.drives])
    ]
    return data_table(columns, rows) if rows else paragraph("No control wiring.")


@dataclass(slots=True)
class _Label:
    texts: list[str] = field(default_factory=list)
    places: list[str] = field(default_factory=list)
    pieces: int = 0


def _list(words: list[str]) -> str:
    return ", ".join(dict.fromkeys(words))


def label_sections(study: SiteStudy) -> list[nodes.Node]:
    """Every label and marker to make, drive by drive; equal ones stand in one line."""
    labels: dict[tuple[str, str, str], _Label] = {}
    for drive in study.drives:
        for line in label_schedule(drive.wiring):
            # Markers of one strip are ordered as one set; everything else is told by its text.
            set_of = line.on.partition(":")[0] if line.kind == "terminal marker" else line.text
            label = labels.setdefault((drive.drive.tag, line.kind, set_of), _Label())
            label.texts.append(line.text)
            label.places.append(set_of if line.kind == "terminal marker" else line.on)
            label.pieces += line.quantity
    columns = (
        Column("Drive", 0.9, kind="code"),
        Column("Text", 2.0, kind="code", header=True),
        Column("Kind", 1.1),
        Column("On", 3.0, kind="code"),
        Column("Pieces", 0.6, kind="number"),
        Column("Fitted", 0.6, kind="tick"),
    )
    rows = [
        Row(
            (tag, _list(label.texts), kind, _list(label.places), str(label.pieces), ""),
            key=f"{tag} {kind} {set_of}",
        )
        for (tag, kind, set_of), label in labels.items()
    ]
    table = data_table(columns, rows) if rows else paragraph("No label follows from the inventory.")
    return [section("Labels and markers", table, id="labels")]


def network_sections(study: SiteStudy) -> list[nodes.Node]:
    """Nodes and addresses. Passwords are never printed."""
    table = plain_table(
        [
            ("Drive", 0.9, "code"),
            ("Network", 1, "text"),
            ("Protocol", 1.3, "text"),
            ("Address", 0.9, "code"),
            ("Speed", 0.8, "text"),
            ("Parity", 0.7, "text"),
            ("IP address", 1.2, "code"),
            ("Timeout", 0.7, "number"),
            ("On loss", 1.2, "text"),
            ("Terminated", 0.8, "text"),
        ],
        [
            (
                n.drive,
                n.network,
                n.protocol,
                n.address,
                n.speed,
                n.parity,
                n.ip_address,
                n.timeout,
                n.loss_reaction,
                n.terminated,
            )
            for n in sorted(study.inventory.networks, key=lambda n: (n.network, n.drive))
        ],
        "Network nodes",
    )
    return [section("Network nodes", table, id="network")]


def maintenance_sections(study: SiteStudy) -> list[nodes.Node]:
    """Spares and the maintenance plan."""
    spares = plain_table(
        [
            ("Part", 2, "text"),
            ("Serves", 1.4, "code"),
            ("Quantity", 0.7, "number"),
            ("Supplier", 1.4, "text"),
            ("Order number", 1.2, "code"),
            ("Lead time", 0.9, "text"),
            ("Where", 1.1, "text"),
            ("Last powered", 1, "text"),
        ],
        [
            (s.part, ", ".join(s.drives), s.quantity, s.supplier, s.order_number, s.lead_time, s.place, s.last_powered)
            for s in study.inventory.spares
        ],
        "Spares",
    )
    tasks = plain_table(
        [
            ("Task", 3, "text"),
            ("Drives", 1.6, "code"),
            ("Every", 0.9, "number"),
            ("Craft", 1, "text"),
            ("Time", 0.8, "number"),
        ],
        [(t.task, ", ".join(t.drives) or "all", t.interval, t.craft, t.minutes) for t in study.inventory.maintenance],
        "Maintenance plan",
    )
    return [section("Spares", spares, id="spares"), section("Maintenance plan", tasks, id="maintenance")]
