"""One drive's packet: its controlled document, section by section, in the order of need."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from docutils import nodes

from binder.documents.blocks import page_break
from binder.documents.document import Document
from binder.documents.language import CODES, speak_cautions, spoken
from binder.documents.packet_cards import door_card_section, lockout_section
from binder.documents.packet_checks import figures_section, findings_section, open_stop_box
from binder.documents.packet_data import data_section
from binder.documents.packet_field import faults_section, open_section, signoff_section
from binder.documents.packet_fill import fill_form
from binder.documents.packet_plots import curves_section
from binder.documents.packet_settings import settings_section
from binder.documents.packet_tests import tests_section
from binder.documents.packet_wiring import wiring_section
from binder.documents.trace_pages import trace_section
from binder.inventory.findings import Finding
from binder.study import DriveStudy, SiteStudy


def packet_sections(
    site: SiteStudy, study: DriveStudy, document: Document, findings: Sequence[Finding]
) -> list[nodes.Node]:
    """Build the sections of a drive's packet.

    Parameters
    ----------
    site : SiteStudy
    study : DriveStudy
    document : Document
        Its own entry in the document set; drawings carry its number and revision.
    findings : sequence of Finding
        Of this drive, see `study.FindingsByDrive`.

    Returns
    -------
    list of docutils nodes
    """
    stops = open_stop_box(findings)
    reference = f"{document.number} rev {document.revision}".strip()
    language = site.inventory.site.language
    before = [
        *([stops] if stops else []),
        fill_form(study, document, site.inventory.site.name),
        data_section(study),
        findings_section(findings),
    ]
    between = [
        page_break(),
        settings_section(study.settings),
        wiring_section(site.inventory, study, reference),
        tests_section(study),
        faults_section(study.field.faults, study.field.codes),
    ]
    after = [
        page_break(),
        open_section(study.field),
        trace_section(study, site.inventory.site.sampling_rule),
        page_break(),
        signoff_section(study.field.gates),
        page_break(),
        figures_section(study.figures),
        *curves_section(study),
    ]
    return [
        *speak_cautions(before, language),
        *_lockout_cards(study, language),
        *speak_cautions(between, language),
        *_door_cards(study, reference, language),
        *speak_cautions(after, language),
    ]


def _lockout_cards(study: DriveStudy, language: str) -> Iterator[nodes.Node]:
    """One sheet a language, so that a person takes along the one that he reads."""
    for name, anchor in _cards("lockout", language):
        yield page_break()
        yield lockout_section(study.field.lockout, name, anchor=anchor)


def _door_cards(study: DriveStudy, reference: str, language: str) -> Iterator[nodes.Node]:
    card = study.field.door_card
    if card is None:
        return
    for name, anchor in _cards("door-card", language):
        yield page_break()
        yield door_card_section(card, reference, name, anchor=anchor)


def _cards(anchor: str, language: str) -> list[tuple[str, str]]:
    """Language and anchor of each card; links lead to the first one."""
    return [(name, anchor if i == 0 else f"{anchor}-{CODES[name]}") for i, name in enumerate(spoken(language))]
