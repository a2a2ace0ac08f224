"""Front matter and site safety: what everybody reads first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from docutils import nodes

from binder.documents.blocks import (
    Column,
    Row,
    bullets,
    caution,
    cross_reference,
    data_table,
    document_list,
    key_values,
    literal,
    paragraph,
    section,
    steps,
    strong,
)
from binder.documents.language import say as said_in
from binder.documents.language import speak_texts
from binder.documents.packet_checks import NOT_AN_APPROVAL
from binder.documents.packet_data import known, say
from binder.engineering.tables import load
from binder.study import SiteStudy

ABBREVIATIONS = (
    ("AI, AO", "analog input, analog output"),
    ("DI", "digital input"),
    ("DC bus", "the drive's direct-current link between rectifier and output"),
    ("PE", "protective conductor, equipment ground"),
    ("RO", "relay output: C common, NO closes, NC opens when energized"),
    ("STO", "safe torque off: removes torque, never voltage"),
    ("NO, NC", "contact open, closed at rest"),
    ("as found, as left", "value before anyone touched it, value read back at the end"),
    ("command source, reference source", "who starts and stops, who sets the speed: two settings"),
    ("permissive", "a contact that may forbid running, whoever commands"),
    ("stop, caution, note", "grades of findings: not fit for handover, look at it, worth knowing"),
)


def front_sections(study: SiteStudy) -> list[nodes.Node]:
    """Contents, how to use the binder, revisions, people, instruments, basis, legend."""
    return [
        section("Contents", document_list(), id="contents"),
        section("How to use this binder", *_how_to_use(study), id="how-to-use"),
        section("Revisions", *_revisions(study), id="revisions"),
        section("People and instruments", *_people(study), id="people"),
        section("Basis", *_basis(study), id="basis"),
        section("Legend", *_legend(study), id="legend"),
    ]


def _how_to_use(study: SiteStudy) -> Iterator[nodes.Node]:
    yield bullets(
        [
            [
                strong("Something stopped in the night: "),
                "open the drive's packet, go to its door card, then fault finding.",
            ],
            [
                strong("Before any cover comes off: "),
                "the lockout card of that drive. Every source, the wait, the meter.",
            ],
            [strong("A drive was replaced: "), "Settings, from a blank drive to running, in the packet."],
            [
                strong("A wire is loose: "),
                "the wire list and drawing of the packet hold the same numbers as the wires.",
            ],
            [strong("Something was changed: "), "correct the workbook, build again, reissue what changed."],
        ]
    )
    yield paragraph(
        "Each drive has a packet of its own with its own document number and revision. A drawing, its wire list and "
        "its "
        "check sheet share one revision, because they are made from the same records."
    )
    if study.inventory.site.invented:
        yield caution(
            "notice",
            "Invented data",
            "This site, its people, its drives and its motors are invented to show what a binder looks like. "
            "Nothing in it may be used on a real machine.",
        )


def _revisions(study: SiteStudy) -> Iterator[nodes.Node]:
    rows = [
        Row((r.revision, say(r.date), r.reason, r.by, r.approved_by), key=r.revision) for r in study.inventory.revisions
    ]
    if rows:
        columns = (
            Column("Rev.", 0.5, header=True),
            Column("Date", 0.9),
            Column("What and why", 4),
            Column("By", 1.2),
            Column("Approved", 1.2),
        )
        yield data_table(columns, rows, caption="Revisions", filter=False)
    else:
        yield paragraph("First issue; no revision recorded.")


def _people(study: SiteStudy) -> Iterator[nodes.Node]:
    inventory = study.inventory
    if inventory.people:
        columns = (
            Column("Name", 1.5, header=True),
            Column("Initials", 0.7),
            Column("Role", 1.5),
            Column("Employer", 1.5),
            Column("Licence", 1.1),
            Column("Telephone", 1.3),
            Column("Specimen signature", 1.6, kind="write"),
        )
        rows = [
            Row((p.name, p.initials, p.role, p.employer, p.licence, p.telephone, ""), key=p.name)
            for p in inventory.people
        ]
        yield data_table(columns, rows, caption="People and their initials", filter=False)
    if inventory.instruments:
        instrument_columns = (
            Column("Tag", 0.8, kind="code", header=True),
            Column("Instrument", 2),
            Column("Serial number", 1.3),
            Column("Measurement category", 1.3),
            Column("Calibration due", 1.1),
        )
        rows = [
            Row((i.tag, i.kind, i.serial, i.category, say(i.calibration_due)), key=i.tag) for i in inventory.instruments
        ]
        yield data_table(instrument_columns, rows, caption="Instruments", filter=False)
    if not inventory.people and not inventory.instruments:
        yield paragraph("The inventory names nobody and no instrument.")


def _basis(study: SiteStudy) -> Iterator[nodes.Node]:
    site = study.inventory.site
    yield key_values(
        known(
            [
                ("Code basis", f"{site.code_basis} {site.code_edition}".strip()),
                ("Altitude", site.altitude),
                ("Outdoor temperature", f"{site.outdoor_min} to {site.outdoor_max}" if site.outdoor_max else None),
                (
                    "Arc flash study",
                    say(site.arc_flash_study_date)
                    if site.arc_flash_study_date
                    else "none entered; this tool computes none",
                ),
                ("Job number", site.job_number),
                ("Owner", site.owner),
                ("Contractor", site.contractor),
                ("Address", site.contractor_address),
                ("Prepared by", site.prepared_by),
                ("Checked by", site.checked_by),
                ("Approved by", site.approved_by),
                ("Sampling rule for witnessed tests", site.sampling_rule),
            ]
        )
    )
    yield paragraph(NOT_AN_APPROVAL)
    yield paragraph(
        "Where a rule is not implemented, the page says so. Limits name their source; 'common practice' means that no "
        "standard was found; 'from memory' means that the figure must be checked against the standard before it is "
        "relied on."
    )
    if site.items_by_others:
        yield paragraph(strong("By others: "), site.items_by_others)
    if site.disclaimer:
        yield paragraph(site.disclaimer)


def _legend(study: SiteStudy) -> Iterator[nodes.Node]:
    yield key_values(list(ABBREVIATIONS), columns=1)
    name = "iec_60204_1_facts" if study.inventory.site.code_basis == "IEC" else "nfpa79_facts"
    table = load(name)
    first = table.columns[0]
    rows = []
    for row in table.rows:
        fact = row[first]
        if fact.startswith(("wire_color_", "colour_")) and "share" not in fact and "recommendation" not in fact:
            words = fact.removeprefix("wire_color_").removeprefix("colour_").replace("_", " ")
            rows.append(Row((words, row[table.columns[1]], f"{_clause(row)} ({row['confidence']})"), key=fact))
    columns = (Column("Conductor", 3, header=True), Column("Colour", 2), Column("Clause", 2))
    yield data_table(columns, rows, caption="Conductor colours", filter=False)
    yield paragraph(
        "Colours of the standard: ",
        table.source,
        ". Older wiring on site may differ: trust the number, not the colour.",
    )


def _clause(row: Mapping[str, str]) -> str:
    return row.get("clause", "") or row.get("source_clause", "")


def safety_sections(study: SiteStudy, packets: Mapping[str, str]) -> list[nodes.Node]:
    """Site safety: cautions, who starts by itself, where to isolate.

    `packets` gives the document number of each drive's packet by tag.
    """
    language = study.inventory.site.language
    return [
        section(said_in("Read this first", language), *speak_texts(_cautions(), language), id="cautions"),
        section("Drives that may start by themselves", *_automatic_start(study), id="automatic-start"),
        section("Isolation points", *_isolators(study, packets), id="isolation-points"),
        section("Site rules", *_site_rules(study), id="site-rules"),
    ]


def _cautions() -> Iterator[nodes.Node]:
    yield caution(
        "danger",
        "Electricity and stored charge",
        "Drives hold lethal voltage after isolation. Isolate every source, lock, wait, and prove dead with a meter "
        "proved "
        "before and after on a known source. The waiting time proves nothing by itself.",
    )
    yield caution(
        "danger",
        "Machines start by themselves",
        "A drive can start on return of power, of a reference, of a network, or when a fault is reset. Stop keys, "
        "selectors "
        "in OFF, emergency stops and safe torque off are no isolation.",
    )
    yield caution(
        "warning",
        "Insulation tests destroy drives",
        "Disconnect the drive, filters, arresters and sensors before any insulation test of motor or cable.",
    )
    yield caution(
        "warning",
        "Turning loads make voltage",
        "A permanent-magnet motor, a fan in a draught or a pump running back energizes the drive's output. Block or "
        "brake it.",
    )
    yield steps(
        [
            "Find every source: line, control supply, heater, bypass, shared DC bus, other drives.",
            "Stop by the normal stop. Open the isolators. Look for the gap.",
            "Lock and tag, each person an own lock.",
            "Release or block springs, weights, pressure and turning parts.",
            "Try to start from every station, then return the selectors to OFF.",
            "Wait the minutes on the label. Covers stay shut.",
            "Open the covers. Prove the meter, prove dead at every point of work, prove the meter again.",
            "Ground or earth where the site's procedure asks for it.",
        ]
    )
    yield paragraph(
        "Follow the site's written procedure, the manual of the drive, the local code, and the licensed people in "
        "charge. "
        "This page replaces none of them."
    )


def _automatic_start(study: SiteStudy) -> Iterator[nodes.Node]:
    """From the same derivation as the packets' page on unexpected start."""
    rows = []
    for s in study.drives:
        certain = [h.cause for h in s.settings.hazards if h.starts == "yes"]
        open_ = [h.cause for h in s.settings.hazards if h.starts == "not known"]
        events = ", ".join(certain) or "nothing known"
        if open_:
            events += f"; not known after {', '.join(open_)}"
        commands = [f"{m.name or 'always'}: {m.command_device or m.command_owner}" for m in s.wiring.modes]
        rows.append(
            Row((s.drive.tag, s.drive.feeds, events, "; ".join(commands) or "keypad"), key=s.drive.tag,
                tone="caution" if certain else "")
        )  # fmt: skip
    columns = (
        Column("Drive", 1, kind="code", header=True),
        Column("Feeds", 2),
        Column("Starts by itself after", 3),
        Column("Who may start it, mode by mode", 2.6),
    )
    yield data_table(columns, rows)


def _isolators(study: SiteStudy, packets: Mapping[str, str]) -> Iterator[nodes.Node]:
    columns = (
        Column("Isolator", 1, kind="code", header=True),
        Column("Kind", 1.4),
        Column("Where", 1.8),
        Column("Isolates", 1.6),
        Column("Drives", 1.8, kind="code"),
        Column("Lockable", 0.8),
    )
    rows = [
        Row((i.tag, i.kind, i.place, i.energy, ", ".join(i.drives), say(i.lockable)), key=i.tag)
        for i in study.inventory.isolators
    ]
    yield (
        data_table(columns, rows, caption="Isolation points")
        if rows
        else paragraph("The inventory names no isolation point.")
    )
    yield paragraph("The full procedure stands on each drive's lockout card:")
    yield bullets(
        [
            [cross_reference(f"{s.drive.tag} {s.drive.feeds}".strip(), packets[s.drive.tag], "lockout")]
            for s in study.drives
            if s.drive.tag in packets
        ]
    )


def _site_rules(study: SiteStudy) -> Iterator[nodes.Node]:
    site = study.inventory.site
    yield key_values(
        known(
            [
                ("Emergency telephone", site.emergency_number or "not in the inventory"),
                ("Lockout procedure of the site", site.lockout_procedure or "not in the inventory"),
                (
                    "Arc flash study",
                    say(site.arc_flash_study_date)
                    if site.arc_flash_study_date
                    else "no study entered: ask before opening",
                ),
            ]
        ),
        columns=1,
    )
    yield paragraph("Arc flash categories are not computed by this tool. ", literal("See the label on the equipment."))
