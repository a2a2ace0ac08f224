"""One drive's packet: its controlled document, section by section, in the order of need."""

from __future__ import annotations

from docutils import nodes

from binder.documents.blocks import page_break
from binder.documents.document import Document
from binder.documents.packet_cards import door_card_section, lockout_section
from binder.documents.packet_checks import figures_section, findings_section, open_stop_box
from binder.documents.packet_data import data_section
from binder.documents.packet_field import faults_section, open_section, signoff_section
from binder.documents.packet_fill import fill_form
from binder.documents.packet_settings import settings_section
from binder.documents.packet_tests import tests_section
from binder.documents.packet_wiring import wiring_section
from binder.documents.trace_pages import trace_section
from binder.inventory.findings import Finding
from binder.study import DriveStudy, SiteStudy


def packet_sections(site: SiteStudy, study: DriveStudy, document: Document) -> list[nodes.Node]:
    """Build the sections of a drive's packet.

    Parameters
    ----------
    site : SiteStudy
    study : DriveStudy
    document : Document
        Its own entry in the document set; drawings carry its number and revision.

    Returns
    -------
    list of docutils nodes
    """
    findings = findings_of(site, study)
    stops = open_stop_box(findings)
    reference = f"{document.number} rev {document.revision}".strip()
    return [
        *([stops] if stops else []),
        fill_form(study, document, site.inventory.site.name),
        data_section(study),
        findings_section(findings),
        page_break(),
        lockout_section(study.field.lockout),
        page_break(),
        settings_section(study.settings),
        wiring_section(site.inventory, study, reference),
        tests_section(study),
        faults_section(study.field.faults),
        *([page_break(), door_card_section(study.field.door_card, reference)] if study.field.door_card else []),
        page_break(),
        open_section(study.field),
        trace_section(study),
        page_break(),
        signoff_section(study.field.gates),
        page_break(),
        figures_section(study.figures),
    ]


def findings_of(site: SiteStudy, study: DriveStudy) -> list[Finding]:
    """The findings of this drive, with waivers, in the order of the site's list."""
    own = {(f.code, f.sheet, f.cell, f.tag, f.found) for f in study.findings}
    tags = {study.drive.tag, study.drive.motor, study.drive.machine} - {""}
    return [f for f in site.findings if f.tag in tags or (f.code, f.sheet, f.cell, f.tag, f.found) in own]
