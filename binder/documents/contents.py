"""The document set: which controlled documents a binder holds, their numbers and their order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from binder.documents.blocks import make_id
from binder.documents.digest import digest_of
from binder.documents.document import Document
from binder.inventory.records import DocumentOption, Site
from binder.study import DriveStudy, SiteStudy


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of site document: running number, key, title."""

    suffix: str
    key: str
    title: str
    kind: str = "schedule"
    landscape: bool = False


FRONT = Kind("000", "front", "Front matter", "front")
SAFETY = Kind("001", "safety", "Site safety", "safety")
FINDINGS = Kind("002", "findings", "Findings and punch list", landscape=True)
EQUIPMENT = Kind("901", "equipment", "Equipment schedule", landscape=True)
SUPPLY = Kind("902", "supply", "Supply, load and short circuit")
CABLES = Kind("903", "cables", "Cable schedule", landscape=True)
LABELS = Kind("904", "labels", "Labels and markers")
NETWORK = Kind("905", "network", "Network schedule")
SPARES = Kind("906", "maintenance", "Spares and maintenance")
HANDOVER = Kind("907", "handover", "Handover: training, warranty, certificates")

#: In binder order; drive packets stand between the two groups.
BEFORE_DRIVES = (FRONT, SAFETY, FINDINGS)
AFTER_DRIVES = (EQUIPMENT, SUPPLY, CABLES, LABELS, NETWORK, SPARES, HANDOVER)


@dataclass(frozen=True, slots=True)
class Stamp:
    """What a document carries from issue to issue: its number, its own revision, status and date."""

    number: str
    revision: str
    status: str
    date: str


@dataclass(frozen=True, slots=True)
class Page:
    """A page that the contractor wrote: its name without ending, its title, the digest of its text."""

    name: str
    title: str
    digest: str


def document_set(
    study: SiteStudy, *, stamps: Mapping[str, Stamp] = MappingProxyType({}), pages: Sequence[Page] = ()
) -> tuple[Document, ...]:
    """List the binder's documents in order.

    Parameters
    ----------
    study : SiteStudy
    stamps : mapping of str to Stamp
        Key of a document -> what it carries from its issue; a number once given is kept.
    pages : sequence of Page
        The contractor's own pages; they stand last.

    Returns
    -------
    tuple of Document
        Each with the digest of all that it shows.
    """
    options = {o.document.strip().casefold(): o for o in study.inventory.document_options}
    wanted: list[tuple[int, Document]] = []
    place = 0
    for document in (
        *(_site_document(study, k, stamps) for k in BEFORE_DRIVES),
        *(_packet(study, s, stamps) for s in sorted(study.drives, key=lambda s: s.drive.tag)),
        *(_site_document(study, k, stamps) for k in AFTER_DRIVES if _has_content(study, k)),
        *(_own_page(study, p, i, stamps) for i, p in enumerate(pages, 1)),
    ):
        place += 10
        option = _option(options, document)
        if option is not None and option.include is False and document.kind != "front":
            continue
        order = option.order if option is not None and option.order is not None else place
        wanted.append((order, document))
    return tuple(d for _, d in sorted(wanted, key=lambda pair: pair[0]))


def drive_key(study: DriveStudy) -> str:
    """Stable key of a drive's packet: its row key, or its tag while it has none."""
    return make_id(study.drive.origin.key or f"drive-{study.drive.tag}")


def _option(options: Mapping[str, DocumentOption], document: Document) -> DocumentOption | None:
    for name in (document.number, document.key, document.title):
        if name.casefold() in options:
            return options[name.casefold()]
    return None


def _title(study: SiteStudy, key: str, number: str, title: str) -> str:
    for option in study.inventory.document_options:
        if option.title and option.document.strip().casefold() in {key, number.casefold(), title.casefold()}:
            return option.title
    return title


def _has_content(study: SiteStudy, kind: Kind) -> bool:
    inventory = study.inventory
    needs: dict[str, object] = {
        NETWORK.key: inventory.networks,
        SPARES.key: (*inventory.spares, *inventory.maintenance),
    }
    return bool(needs.get(kind.key, True))


def _site_document(study: SiteStudy, kind: Kind, stamps: Mapping[str, Stamp]) -> Document:
    stamp = stamps.get(kind.key) or _unissued(study, kind.suffix)
    return Document(
        number=stamp.number,
        title=_title(study, kind.key, stamp.number, kind.title),
        kind=kind.kind,
        key=kind.key,
        revision=stamp.revision,
        status=stamp.status,
        issue_date=stamp.date,
        docname=f"documents/{kind.key}",
        landscape=kind.landscape,
        digest=digest_of(kind.key, stamp, _shown(study, kind)),
    )


def _shown(study: SiteStudy, kind: Kind) -> tuple[object, ...]:
    """Everything a site document is made from, for its digest."""
    inventory = study.inventory
    everything: dict[str, tuple[object, ...]] = {
        FRONT.key: (
            inventory.people,
            inventory.instruments,
            inventory.revisions,
            inventory.waivers,
            study.findings,
            [(s.drive.tag, s.drive.feeds) for s in study.drives],
        ),
        SAFETY.key: (inventory.isolators, [s.field.lockout for s in study.drives]),
        FINDINGS.key: (
            study.findings,
            inventory.punch_items,
            inventory.defeats,
            inventory.waivers,
            [s.field for s in study.drives],
        ),
        EQUIPMENT.key: (inventory.drives, inventory.motors, inventory.machines, inventory.panels),
        SUPPLY.key: (study.figures, inventory.supplies, inventory.panels, inventory.drives),
        CABLES.key: (inventory.cables, [(s.wiring.cables, s.wiring.connections) for s in study.drives]),
        LABELS.key: ([(s.wiring, s.drive) for s in study.drives],),
        NETWORK.key: (inventory.networks,),
        SPARES.key: (inventory.spares, inventory.maintenance),
        HANDOVER.key: (inventory.training, inventory.warranties, [s.field for s in study.drives]),
    }
    return (_lasting(inventory.site), *everything[kind.key])


def _lasting(site: Site) -> Site:
    """The site without what an issue changes on every document."""
    return replace(site, revision="", status="", issue_date=None)


def _unissued(study: SiteStudy, suffix: str) -> Stamp:
    """What a document carries before its first issue: the Site sheet's letter, and the word draft."""
    site = study.inventory.site
    date = site.issue_date.isoformat() if site.issue_date else ""
    return Stamp(
        f"{site.document_prefix or 'DRAFT'}-{suffix}", site.revision, f"draft, {site.status}".rstrip(", "), date
    )


def _packet(study: SiteStudy, drive: DriveStudy, stamps: Mapping[str, Stamp]) -> Document:
    key = drive_key(drive)
    stamp = stamps.get(key) or _unissued(study, drive.drive.tag)
    title = f"{drive.drive.tag} {drive.drive.feeds}".strip()
    return Document(
        number=stamp.number,
        title=_title(study, key, stamp.number, title),
        kind="packet",
        key=key,
        revision=stamp.revision,
        status=stamp.status,
        issue_date=stamp.date,
        subject=drive.drive.tag,
        docname=f"documents/{key}",
        digest=digest_of(key, stamp, _lasting(study.inventory.site), drive),
    )


def _own_page(study: SiteStudy, page: Page, place: int, stamps: Mapping[str, Stamp]) -> Document:
    key = make_id(f"page-{page.name}")
    stamp = stamps.get(key) or _unissued(study, f"{950 + place}")
    return Document(
        number=stamp.number,
        title=page.title,
        kind="page",
        key=key,
        revision=stamp.revision,
        status=stamp.status,
        issue_date=stamp.date,
        docname=f"pages/{page.name}",
        digest=digest_of(key, stamp, page.digest),
    )
