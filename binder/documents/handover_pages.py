"""Handover: training, warranty, gates of every drive, what is proved, and the certificates of the site."""

from __future__ import annotations

from collections.abc import Mapping

from docutils import nodes

from binder.documents.blocks import Column, Row, bullets, caution, data_table, page_break, section, sign_off, write_box
from binder.documents.packet_field import not_earned, statement_of
from binder.documents.schedules import plain_table
from binder.documents.trace_pages import site_trace_section
from binder.field.certificates import certificates
from binder.field.sheets import Gate
from binder.inventory.counting import counted
from binder.study import SiteStudy


def _gate_state(gate: Gate) -> str:
    if gate.blocked_by:
        return f"{len(gate.blocked_by)} open"
    if gate.exceptions:
        return f"may be signed with {counted(len(gate.exceptions), 'exception')}"
    return "may be signed"


def handover_sections(study: SiteStudy, packets: Mapping[str, str]) -> list[nodes.Node]:
    """Training, warranty, what is proved, and the site certificates with what blocks them."""
    inventory = study.inventory
    training = plain_table(
        [
            ("Topic", 2, "text"),
            ("Date", 0.9, "text"),
            ("Hours", 0.7, "number"),
            ("Instructor", 1.2, "text"),
            ("Attended", 2.4, "text"),
        ],
        [(t.topic, t.date, t.hours, t.instructor, t.attendees) for t in inventory.training],
        "Training",
    )
    warranty = plain_table(
        [
            ("Item", 1.6, "text"),
            ("Start", 0.9, "text"),
            ("End", 0.9, "text"),
            ("Contact", 1.6, "text"),
            ("Terms", 2.6, "text"),
        ],
        [(w.item, w.start, w.end, w.contact, w.terms) for w in inventory.warranties],
        "Warranty",
    )
    gates = data_table(
        (
            Column("Drive", 1, kind="code", header=True),
            Column("Gate", 1.4),
            Column("State", 1.2),
            Column("First thing in the way, or exception", 4),
        ),
        [
            Row(
                (s.drive.tag, g.name, _gate_state(g), next(iter((*g.blocked_by, *g.exceptions)), "")),
                key=f"{s.drive.tag} {g.name}",
            )
            for s in study.drives
            for g in s.field.gates
        ],
    )
    earned = certificates(inventory, [s.field for s in study.drives], study.findings)
    return [
        section("Training", training, id="training"),
        section("Warranty", warranty, id="warranty"),
        section("Gates", gates, id="gates"),
        site_trace_section(study, packets),
        section(
            "Distribution",
            bullets(["Owner, file copy", "Owner, panel copy (door cards)", "Contractor, office"]),
            id="distribution",
        ),
        page_break(),
        section("Certificates", *map(_certificate, earned), write_box("Exceptions", 3), id="certificates"),
    ]


def _certificate(certificate: Gate) -> nodes.section:
    """One certificate: what still stands in its way, with what exceptions, and room to sign."""
    title = certificate.name.capitalize()
    body = not_earned(certificate)
    if certificate.exceptions:  # all of them: nothing is accepted that is not named
        body.append(caution("caution", "Only with exceptions", bullets(certificate.exceptions)))
    body.append(sign_off(certificate.roles, title=title, statement=statement_of(certificate), headed=True))
    return section(f"Certificate: {title}", *body, id=f"certificate-{certificate.name}")
