"""Plan an issue: which documents take the new letter, which are carried over, and what forbids it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from binder import __version__
from binder.documents.contents import drive_key
from binder.documents.document import Document
from binder.inventory.findings import open_stops
from binder.reissue.compare import Change, compare, unexplained
from binder.reissue.facts import SITE, Fact, Key, facts_of
from binder.reissue.ledger import to_data
from binder.reissue.record import IssuedDocument, IssueRecord, facts_digest, next_letter
from binder.study import SiteStudy

#: Groups of facts shown by each site document; a packet shows all facts of its drive.
SITE_GROUPS: Mapping[str, frozenset[str]] = {
    "front": frozenset({"site", "contact", "instrument"}),
    "safety": frozenset({"isolator", "lockout"}),
    "findings": frozenset({"finding", "punch"}),
    "equipment": frozenset({"drive", "motor", "panel"}),
    "supply": frozenset({"supply", "panel"}),
    "cables": frozenset({"cable"}),
    "labels": frozenset({"wire", "device"}),
    "network": frozenset({"network"}),
    "maintenance": frozenset({"spare", "maintenance"}),
    "handover": frozenset({"training", "warranty"}),
}
#: Site documents that show site figures besides.
_WITH_SITE_FIGURES = frozenset({"supply"})


def facts_of_document(document: Document, facts: Mapping[Key, Fact]) -> list[Fact]:
    """The facts that a document shows."""
    if document.kind == "packet":
        return [f for k, f in facts.items() if k[0] == document.key]
    groups = SITE_GROUPS.get(document.key, frozenset())
    figures = document.key in _WITH_SITE_FIGURES
    return [f for k, f in facts.items() if k[1] in groups or (figures and k[0] == SITE and k[1] == "figure")]


def freeze(
    study: SiteStudy,
    documents: Sequence[Document],
    *,
    revision: str,
    date: str,
    by: str,
    reason: str,
    former: IssueRecord | None = None,
    former_digest: str = "",
) -> IssueRecord:
    """Freeze the present state as a record; documents whose facts stand keep their former revision.

    Parameters
    ----------
    study : SiteStudy
    documents : sequence of Document
    revision, date, by, reason : str
    former : IssueRecord, optional
        The last issue.
    former_digest : str
        SHA-256 of the last record's file: the records form a chain.

    Returns
    -------
    IssueRecord
        Without the digests of PDF files, which are known only after typesetting.
    """
    facts = facts_of(study)
    issued = [_issued(d, facts, (revision, date), former) for d in documents if d.kind != "front"]
    anything = former is None or any(d.revision == revision for d in issued) or _withdrawn(documents, former)
    front = [_issued(d, facts, (revision, date), former) for d in documents if d.kind == "front"]
    if anything:  # the contents list carries every revision letter, so it takes the new one
        front = [replace(d, revision=revision, date=date, file="", sheets=0) for d in front]
    return IssueRecord(
        revision=revision,
        date=date,
        by=by,
        reason=reason,
        workbook=study.inventory.workbook_digest,
        software=__version__,
        former=former_digest,
        documents=(*front, *issued, *_withdrawn(documents, former)),
        facts=facts,
        tags={drive_key(s): s.drive.tag for s in study.drives},
        wiring={s.drive.origin.key: to_data(s.wiring) for s in study.drives},
    )


def _issued(document: Document, facts: Mapping[Key, Fact], stamp: tuple[str, str], former: IssueRecord | None) -> IssuedDocument:
    digest = facts_digest(facts_of_document(document, facts))
    before = former.document(document.key) if former else None
    if before is not None and before.digest == digest and before.state == "current":
        return replace(before, title=document.title)
    number = before.number if before else document.number
    return IssuedDocument(number, document.key, document.title, *stamp, digest, document.digest)


def _withdrawn(documents: Sequence[Document], former: IssueRecord | None) -> tuple[IssuedDocument, ...]:
    present = {d.key for d in documents}
    return tuple(replace(d, state="withdrawn") for d in (former.documents if former else ()) if d.key not in present)


@dataclass(frozen=True, slots=True)
class IssuePlan:
    """What an issue would do.

    Parameters
    ----------
    record : IssueRecord
    changes : tuple of Change
    refusals : tuple of str
        Why it may not be issued; empty when it may.
    """

    record: IssueRecord
    changes: tuple[Change, ...]
    refusals: tuple[str, ...]

    @property
    def changed(self) -> tuple[IssuedDocument, ...]:
        """Documents that take the new revision letter."""
        return tuple(d for d in self.record.documents if d.revision == self.record.revision and d.state == "current")

    @property
    def carried(self) -> tuple[IssuedDocument, ...]:
        """Documents that stay as issued before, file and letter."""
        return tuple(d for d in self.record.documents if d.revision != self.record.revision and d.state == "current")


def plan_issue(study: SiteStudy, record: IssueRecord, former: IssueRecord | None) -> IssuePlan:
    """Compare with the last issue and say what forbids the new one."""
    changes = compare(former, record) if former else ()
    return IssuePlan(record, changes, tuple(_refusals(study, record, former, changes)))


def _refusals(
    study: SiteStudy, record: IssueRecord, former: IssueRecord | None, changes: Iterable[Change]
) -> Iterable[str]:
    stops = open_stops(study.findings)
    if stops:
        yield f"{len(stops)} open stops, the first: {stops[0].code} {stops[0].tag} {stops[0].found}. Mend or waive them"
    expected = next_letter(former.revision if former else "")
    if record.revision != expected:
        yield f"the next revision is {expected}, not {record.revision}"
    for change in unexplained(changes):
        yield f"{change.tag}: {change.words}, but no input and no rule changed: a defect of the tool, do not issue"
    if former is not None and not changes:
        yield f"nothing changed since revision {former.revision}: there is nothing to issue"
    missing = [s.drive.tag for s in study.drives if not s.drive.origin.key]
    if missing:
        yield f"{len(missing)} drives have no row key yet ({', '.join(missing[:3])}): run binder check --keys first"
