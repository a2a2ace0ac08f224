"""Bring study and document set together: the binder as publishing takes it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from docutils import nodes

from binder.documents import contents
from binder.documents import nodes as own
from binder.documents.contents import Page, Stamp, document_set, drive_key
from binder.documents.digest import digest_of
from binder.documents.document import Binder, Document
from binder.documents.drive_packet import packet_sections
from binder.documents.front_matter import front_sections, safety_sections
from binder.documents.handover_pages import handover_sections
from binder.documents.marks import NO_MARKS, NOTHING_SIGNED, Marks, SignedOff, marked
from binder.documents.own_sections import own_sections
from binder.documents.schedules import (
    cable_sections,
    equipment_sections,
    findings_sections,
    label_sections,
    maintenance_sections,
    network_sections,
    supply_sections,
)
from binder.inventory.findings import open_stops
from binder.study import FindingsByDrive, SiteStudy

_SCHEDULES = {
    contents.FRONT.key: front_sections,
    contents.FINDINGS.key: findings_sections,
    contents.EQUIPMENT.key: equipment_sections,
    contents.SUPPLY.key: supply_sections,
    contents.CABLES.key: cable_sections,
    contents.LABELS.key: label_sections,
    contents.NETWORK.key: network_sections,
    contents.SPARES.key: maintenance_sections,
}


def assemble(
    study: SiteStudy,
    *,
    stamps: Mapping[str, Stamp] = MappingProxyType({}),
    pages: Sequence[Page] = (),
    marks: Mapping[str, Marks] = MappingProxyType({}),
    signed: Mapping[str, Mapping[str, SignedOff]] = MappingProxyType({}),
    added: Mapping[str, nodes.section] = MappingProxyType({}),
) -> Binder:
    """Make the binder of a site.

    Parameters
    ----------
    study : SiteStudy
    stamps : mapping of str to Stamp
        Document key -> number, revision, status and date it carries; the Site sheet's where absent.
    pages : sequence of Page
        The contractor's own pages.
    marks : mapping of str to Marks
        Document key -> what changed on it at its revision.
    signed : mapping
        Document key -> statement -> its digest and who signed.
    added : mapping of str to section
        Document key -> a section that stands last in it.

    Returns
    -------
    Binder
        Bodies are built when asked for, one document at a time.
    """
    by_key = {drive_key(s): s for s in study.drives}
    documents = tuple(
        _with_marks(d, marks.get(d.key, NO_MARKS), signed.get(d.key, NOTHING_SIGNED), added.get(d.key))
        for d in document_set(study, stamps=stamps, pages=pages)
    )
    packets = {d.subject: d.number for d in documents if d.subject}
    findings = FindingsByDrive(study)
    by_page = {p.key: p for p in pages}

    def body(document: Document) -> list[nodes.Node]:
        made = sections(document)
        if document.key in added:
            made.append(added[document.key].deepcopy())
        made += own_sections([by_page[key] for key in document.sections])
        return marked(made, marks.get(document.key, NO_MARKS), signed.get(document.key, NOTHING_SIGNED))

    def sections(document: Document) -> list[nodes.Node]:
        if document.kind == "packet":
            drive = by_key[document.key]
            return packet_sections(study, drive, document, findings.of(drive))
        if document.key == contents.SAFETY.key:
            return safety_sections(study, packets)
        if document.key == contents.HANDOVER.key:
            return handover_sections(study, packets)
        return _SCHEDULES[document.key](study)

    inventory = study.inventory
    return Binder(
        site=inventory.site,
        documents=documents,
        body=body,
        findings=study.findings,
        open_stops=len(open_stops(study.findings)),
        people=tuple((p.initials, ", ".join(filter(None, (p.name, p.role)))) for p in inventory.people if p.initials),
        instruments=tuple((i.tag, i.kind, str(i.calibration_due or "")) for i in inventory.instruments),
    )


def _with_marks(
    document: Document, marks: Marks, signed: Mapping[str, SignedOff], added: nodes.section | None
) -> Document:
    """The document, its digest over its marks as well: they are part of what it shows."""
    words = [] if added is None else [word for leaf in added.findall(own.Leaf) for word in leaf.words()]
    if not marks.letter and not signed and not words:
        return document
    return replace(document, digest=digest_of(document.digest, marks.as_text(), signed, words))
