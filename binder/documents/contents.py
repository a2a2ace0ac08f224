"""The document set: which controlled documents a binder holds, their numbers and their order."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from types import MappingProxyType

from binder.documents.blocks import make_id
from binder.documents.digest import digest_of
from binder.documents.document import KINDS, Document
from binder.inventory.findings import Finding, Grade, open_stops
from binder.inventory.records import DocumentOption, Drive, Inventory, Site
from binder.study import DriveStudy, FindingsByDrive, SiteStudy


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
    """A page that the contractor wrote.

    Parameters
    ----------
    name : str
        Of its file, without ending.
    title : str
    digest : str
        Of its text.
    place : str
        'after safety', 'before 901': where it stands; '' for the end. 'in safety', 'in packet': it
        is no document, but a section that stands last in these.
    text : str
        Of a section.
    """

    name: str
    title: str
    digest: str
    place: str = ""
    text: str = ""

    @property
    def key(self) -> str:
        """Stable key, by the name of the file."""
        return make_id(f"page-{self.name}")

    @property
    def is_section(self) -> bool:
        """True when it stands last in other documents and is none itself."""
        return self.place.startswith("in ")


def document_set(
    study: SiteStudy,
    *,
    stamps: Mapping[str, Stamp] = MappingProxyType({}),
    pages: Sequence[Page] = (),
    digested: bool = True,
) -> tuple[Document, ...]:
    """List the binder's documents in order.

    Parameters
    ----------
    study : SiteStudy
    stamps : mapping of str to Stamp
        Key of a document -> what it carries from its issue; a number once given is kept.
    pages : sequence of Page
        The contractor's own pages; they stand last.
    digested : bool
        Digest what each document shows, and count its stops: a tenth of the time of a build.

    Returns
    -------
    tuple of Document
        Each with the digest of all that it shows.
    """
    options = study.inventory.document_options
    parts = [_parts(s) for s in study.drives] if digested else None
    told = [*map(FindingsByDrive(study).of, study.drives)] if digested else [[] for _ in study.drives]
    groups = (
        [_site_document(study, FRONT, stamps, parts)],
        [_site_document(study, k, stamps, parts) for k in BEFORE_DRIVES if k is not FRONT],
        [
            _packet(study, s, stamps, parts=parts[n] if parts else None, told=told[n])
            for n, s in enumerate(study.drives)
        ],
        [_site_document(study, k, stamps, parts) for k in AFTER_DRIVES if _has_content(study, k)],
    )
    wanted = [d for group in groups for d in _ordered(group, options)]
    sections = [p for p in pages if p.is_section]
    own = [(p, _own_page(study, p, i, stamps)) for i, p in enumerate((p for p in pages if not p.is_section), 1)]
    placed = _with_pages(wanted, [(p, d) for p, d in own if _included(d, options)], options)
    return tuple(_with_sections(d, sections) for d in placed)


def _with_sections(document: Document, sections: Sequence[Page]) -> Document:
    """A document with the own sections whose place it is."""
    own = [p for p in sections if _near(p.place, [document])]
    if not own:
        return document
    digest = digest_of(document.digest, [p.digest for p in own])
    return replace(document, sections=tuple(p.key for p in own), digest=digest)


def _with_pages(
    wanted: list[Document], own: Sequence[tuple[Page, Document]], options: Sequence[DocumentOption]
) -> list[Document]:
    """Own pages at the places that they name, the others last; several at one place by name."""
    last = [d for p, d in own if not _near(p.place, wanted)]
    for page, document in own:
        near = _near(page.place, wanted)
        if page.place.startswith("before ") and near:
            wanted.insert(max(near[0], 1), document)  # nothing stands before the cover
    for page, document in reversed(own):
        near = _near(page.place, wanted)
        if not page.place.startswith("before ") and near:
            wanted.insert(near[-1] + 1, document)
    return [*wanted, *_ordered(last, options)]


def _near(place: str, documents: Sequence[Document]) -> list[int]:
    """Where the documents stand that a page's place names."""
    name = place.partition(" ")[2].strip().casefold()
    return [i for i, d in enumerate(documents) if name and d.kind != "page" and name in _names(d)]


def _ordered(group: Sequence[Document], options: Sequence[DocumentOption]) -> list[Document]:
    """A group without what is switched off, each document with an order of its own at that place."""
    kept = [d for d in group if _included(d, options)]
    moved = [(o.order, d) for d in kept if (o := _option(options, d)) is not None and o.order is not None]
    rest = [d for d in kept if all(d is not m for _, m in moved)]
    for order, document in sorted(moved, key=lambda pair: pair[0]):
        rest.insert(order - 1, document)
    return rest


def _included(document: Document, options: Sequence[DocumentOption]) -> bool:
    option = _option(options, document)
    return document.kind == "front" or option is None or option.include is not False


def unplaced(inventory: Inventory, pages: Sequence[Page], *, numbers: Iterable[str] = ()) -> tuple[Finding, ...]:
    """Rows of the sheet Documents and places of own pages that name no document.

    Parameters
    ----------
    inventory : Inventory
    pages : sequence of Page
    numbers : iterable of str
        Document numbers as issued, which may differ from those of a new binder.

    Returns
    -------
    tuple of Finding
    """
    prefix = inventory.site.document_prefix or "DRAFT"
    known = {*KINDS, *(n.casefold() for n in numbers)}
    for kind in (*BEFORE_DRIVES, *AFTER_DRIVES):
        known |= {kind.suffix, kind.key, kind.title.casefold(), f"{prefix}-{kind.suffix}".casefold()}
    for drive in inventory.drives:
        tag = drive.tag.casefold()
        known |= {tag, f"{prefix.casefold()}-{tag}", f"{tag} {drive.feeds.casefold()}".strip(), packet_key(drive)}
    for i, page in enumerate((p for p in pages if not p.is_section), 1):
        known |= {page.title.casefold(), page.key, f"{950 + i}", f"{prefix}-{950 + i}".casefold()}
    return tuple(_unplaced(inventory.document_options, pages, known))


def _unplaced(options: Sequence[DocumentOption], pages: Sequence[Page], known: set[str]) -> Iterator[Finding]:
    accepted = "kind (packet, schedule, page), key (safety, findings, cables), number, title, or drive tag"
    for o in options:
        if o.document.strip().casefold() not in known:
            yield Finding(
                "D101", Grade.CAUTION, o.origin.sheet or "Documents", o.origin.cell("document"), o.document,
                f"no document is called {o.document}", accepted, "Name a document of the binder, or delete the row.",
                "document",
            )  # fmt: skip
    for p in pages:
        if p.place and p.place.partition(" ")[2].strip().casefold() not in known:
            yield Finding(
                "D102", Grade.CAUTION, f"pages/{p.name}.rst", "", p.name,
                f"its place is '{p.place}', which is no document; "
                + ("it is left out" if p.is_section else "it stands at the end"), accepted,
                "Mend the first line: '.. place: after safety'.",
            )  # fmt: skip


_PLACE = re.compile(r"\.\. place: *((?:after|before|in) +\S.*?) *")


def own_page(name: str, text: str, digest: str) -> Page:
    """Read title and place out of a page that the contractor wrote.

    Parameters
    ----------
    name : str
        Of the file, without ending.
    text : str
        reStructuredText; a first line '.. place: after safety' says where the page stands.
    digest : str

    Returns
    -------
    Page

    Examples
    --------
    >>> own_page("a", ".. place: before 901\\n\\nAccess to the roof\\n==================\\n", "")
    Page(name='a', title='Access to the roof', digest='', place='before 901', text='')
    """
    lines = text.splitlines() or [""]
    place = _PLACE.fullmatch(lines[0].lstrip("\ufeff"))
    # A title is a line with a rule below it; '.. comments', fields and the rule above a title are none.
    pairs = itertools.pairwise(lines)
    title = next((line.strip() for line, below in pairs if line.strip(_RULES + " ") and _is_rule(below)), name)
    page = Page(name, title, digest, " ".join(place[1].split()) if place else "")
    return replace(page, text=text) if page.is_section else page


def is_document(text: str) -> bool:
    """True for a page that is a document of the binder: neither held back nor a section of another."""
    return not held_back(text) and not own_page("", text, "").is_section


def held_back(text: str) -> bool:
    """True for a page with a line '.. not published': a draft, or the example in a new project.

    >>> held_back(".. place: after safety\\n.. not published: still to be written\\n"), held_back("Access")
    (True, False)
    """
    return any(line.startswith(".. not published") for line in text.splitlines())


_RULES = "=-~^\"'`#*+.:_!$%&(),/;<>?@[]\\{|}"


def _is_rule(line: str) -> bool:
    line = line.rstrip()
    return len(line) >= 3 and len(set(line)) == 1 and line[0] in _RULES


def drive_key(study: DriveStudy) -> str:
    """Stable key of a drive's packet, from its study."""
    return packet_key(study.drive)


def packet_key(drive: Drive) -> str:
    """Stable key of a drive's packet: its row key, or its tag while it has none."""
    return make_id(drive.origin.key or f"drive-{drive.tag}")


def _names(document: Document) -> tuple[str, ...]:
    """What a document may be called, the narrowest name first."""
    suffix = "" if document.kind == "packet" else document.number.rpartition("-")[2]
    names = (document.number, document.key, document.subject, document.title, suffix)
    return (*(n.casefold() for n in names if n), document.kind)


def _option(options: Sequence[DocumentOption], document: Document) -> DocumentOption | None:
    by_name = {o.title.strip().casefold(): o for o in options}  # it may have been renamed by its former title
    by_name |= {o.document.strip().casefold(): o for o in options}
    return next((by_name[n] for n in _names(document) if n in by_name), None)


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


@dataclass(frozen=True, slots=True)
class _Parts:
    """Digests of what several documents show of a drive."""

    wiring: str
    field: str
    rest: str


def _parts(study: DriveStudy) -> _Parts:
    names = [f.name for f in fields(study) if f.name not in {"wiring", "field"}]
    rest = digest_of([getattr(study, name) for name in names])
    return _Parts(digest_of(study.wiring), digest_of(study.field), rest)


def _site_document(
    study: SiteStudy, kind: Kind, stamps: Mapping[str, Stamp], parts: Sequence[_Parts] | None
) -> Document:
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
        digest=digest_of(kind.key, stamp, _shown(study, kind, parts)) if parts is not None else "",
    )


def _shown(study: SiteStudy, kind: Kind, parts: Sequence[_Parts]) -> tuple[object, ...]:
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
        SAFETY.key: (
            inventory.isolators,
            [(s.drive.tag, s.drive.feeds, s.settings.hazards, s.wiring.modes) for s in study.drives],
        ),
        FINDINGS.key: (
            study.findings,
            inventory.punch_items,
            inventory.defeats,
            inventory.waivers,
            [p.field for p in parts],
        ),
        EQUIPMENT.key: (inventory.drives, inventory.motors, inventory.machines, inventory.panels),
        SUPPLY.key: (
            study.figures,
            inventory.supplies,
            inventory.panels,
            supply_findings(study),
            [_harmonics(s) for s in study.drives],
        ),
        CABLES.key: (inventory.cables, [(s.wiring.cables, s.wiring.connections) for s in study.drives]),
        LABELS.key: ([(p.wiring, s.drive.tag) for p, s in zip(parts, study.drives, strict=True)],),
        NETWORK.key: (inventory.networks,),
        SPARES.key: (inventory.spares, inventory.maintenance),
        HANDOVER.key: (
            inventory.training,
            inventory.warranties,
            inventory.punch_items,
            study.findings,
            [p.field for p in parts],
        ),
    }
    return (_lasting(inventory.site), *everything[kind.key])


def supply_findings(study: SiteStudy) -> list[Finding]:
    """What the document of the supply tells: the limit of distortion hangs on a cell of the Site sheet."""
    return [f for f in study.findings if f.sheet in ("Site", "Supplies", "Panels")]


def _harmonics(study: DriveStudy) -> tuple[object, ...]:
    """What the bars of a supply's harmonic currents are drawn from."""
    currents = (study.figures.number(f"harmonics.{key}") for key in ("fundamental", "reactance"))
    return study.supply and study.supply.tag, study.drive.line_reactor, *currents


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


def _packet(
    study: SiteStudy,
    drive: DriveStudy,
    stamps: Mapping[str, Stamp],
    *,
    parts: _Parts | None,
    told: Sequence[Finding],
) -> Document:
    """The packet of a drive; `told` holds its findings, those too that another drive causes as well."""
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
        digest=digest_of(key, stamp, _lasting(study.inventory.site), parts, told) if parts else "",
        open_stops=len(open_stops(told)),
    )


def _own_page(study: SiteStudy, page: Page, place: int, stamps: Mapping[str, Stamp]) -> Document:
    key = page.key
    stamp = stamps.get(key) or _unissued(study, f"{950 + place}")
    return Document(
        number=stamp.number,
        title=_title(study, key, stamp.number, page.title),
        kind="page",
        key=key,
        revision=stamp.revision,
        status=stamp.status,
        issue_date=stamp.date,
        docname=f"pages/{page.name}",
        digest=digest_of(key, stamp, page.digest),
    )
