"""Bring study and document set together: the binder as publishing takes it."""

from __future__ import annotations

import hashlib
from functools import lru_cache
from pathlib import Path

from docutils import nodes

from binder.documents import contents
from binder.documents.contents import document_set, drive_key
from binder.documents.document import Binder, Document
from binder.documents.drive_packet import packet_sections
from binder.documents.front_matter import front_sections, safety_sections
from binder.documents.schedules import (
    cable_sections,
    equipment_sections,
    findings_sections,
    handover_sections,
    label_sections,
    maintenance_sections,
    network_sections,
    supply_sections,
)
from binder.inventory.findings import open_stops
from binder.inventory.reader import read_workbook
from binder.study import SiteStudy, study_site

#: File name of the inventory inside a project folder.
WORKBOOK = "inventory.xlsx"

_SCHEDULES = {
    contents.FRONT.key: front_sections,
    contents.FINDINGS.key: findings_sections,
    contents.EQUIPMENT.key: equipment_sections,
    contents.SUPPLY.key: supply_sections,
    contents.CABLES.key: cable_sections,
    contents.LABELS.key: label_sections,
    contents.NETWORK.key: network_sections,
    contents.SPARES.key: maintenance_sections,
    contents.HANDOVER.key: handover_sections,
}


def assemble(study: SiteStudy) -> Binder:
    """Make the binder of a site.

    Parameters
    ----------
    study : SiteStudy

    Returns
    -------
    Binder
        Bodies are built when asked for, one document at a time.
    """
    documents = document_set(study)
    by_key = {drive_key(s): s for s in study.drives}
    packets = {d.subject: d.number for d in documents if d.subject}

    def body(document: Document) -> list[nodes.Node]:
        if document.kind == "packet":
            return packet_sections(study, by_key[document.key], document)
        if document.key == contents.SAFETY.key:
            return safety_sections(study, packets)
        return _SCHEDULES[document.key](study)

    return Binder(
        site=study.inventory.site,
        documents=documents,
        body=body,
        findings=study.findings,
        open_stops=len(open_stops(study.findings)),
    )


@lru_cache(maxsize=1)
def _study_of(workbook: Path, digest: str) -> SiteStudy:
    del digest  # part of the key: a changed file is a new study
    return study_site(read_workbook(workbook))


def study_of(workbook: Path) -> SiteStudy:
    """Read a workbook and work it out; the last one is kept while its bytes stay the same."""
    digest = hashlib.sha256(workbook.read_bytes()).hexdigest() if workbook.is_file() else ""
    return _study_of(workbook.resolve(), digest)


def binder_of(project: Path) -> Binder:
    """The binder of a project folder, as the Sphinx extension asks for it."""
    return assemble(study_of(project / WORKBOOK))
