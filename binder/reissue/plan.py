"""Plan an issue: which documents take the new letter, which are carried over, and what forbids it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from binder import __version__
from binder.documents.contents import Page, document_set, drive_key
from binder.documents.document import Document
from binder.inventory.counting import counted
from binder.inventory.findings import Finding, open_stops
from binder.reissue.compare import Change, compare, unexplained
from binder.reissue.gather import facts_of
from binder.reissue.ledger import to_data
from binder.reissue.record import SKIPPED, IssuedDocument, IssueRecord, facts_digest, look_digest, next_letter
from binder.reissue.scopes import Covered
from binder.reissue.shows import facts_by_document
from binder.study import SiteStudy

_STOPS_TOLD = 20


@dataclass(frozen=True, slots=True)
class Imprint:
    """Who issues what, when and why."""

    revision: str
    date: str = ""
    by: str = ""
    reason: str = ""
    skip: str | None = None  # letters to leave out; None for those of the last issue


def freeze(
    study: SiteStudy,
    pages: Sequence[Page] = (),
    *,
    imprint: Imprint,
    former: IssueRecord | None = None,
    former_digest: str = "",
    every: bool = False,
) -> IssueRecord:
    """Freeze the present state as a record; documents whose facts stand keep their former revision.

    Parameters
    ----------
    study : SiteStudy
    pages : sequence of Page
        The contractor's own pages.
    imprint : Imprint
    former : IssueRecord, optional
        The last issue.
    former_digest : str
        SHA-256 of the last record's file: the records form a chain.
    every : bool
        Give every document the new letter, changed or not.

    Returns
    -------
    IssueRecord
        Without the digests of PDF files, which are known only after typesetting.
    """
    documents = document_set(study, pages=pages, digested=False)
    facts = present_facts(study, pages, former=former).facts
    shown = facts_by_document(documents, facts)
    status = study.inventory.site.status
    reworded = former is not None and former.software != __version__
    taken = {d.number: d.key for d in former.documents} if former else {}
    issued = []
    for document in documents:
        digest = facts_digest(shown[document.key])
        look = look_digest(document.title, shown[document.key])
        before = former.document(document.key) if former else None
        fresh = IssuedDocument(
            before.number if before else _free(document, taken),
            document.key,
            document.title,
            imprint.revision,
            imprint.date,
            digest,
            look,
            status=status,
        )
        stands = before is not None and not every and _stands(before, fresh, reworded=reworded)
        issued.append(replace(before, title=document.title) if before is not None and stands else fresh)
    gone = _withdrawn(documents, former)
    if any(d.revision == imprint.revision for d in issued) or any(d not in former.documents for d in gone if former):
        # The contents list carries every revision letter, so it takes the new one.
        fronts = {d.key for d in documents if d.kind == "front"}
        issued = [_again(d, imprint, status) if d.key in fronts else d for d in issued]
    return IssueRecord(
        revision=imprint.revision,
        date=imprint.date,
        by=imprint.by,
        reason=imprint.reason,
        workbook=study.inventory.workbook_digest,
        software=__version__,
        former=former_digest,
        documents=(*issued, *gone),
        facts=facts,
        tags={drive_key(s): s.drive.tag for s in study.drives},
        wiring={s.drive.origin.key: to_data(s.wiring) for s in study.drives},
        skip=imprint.skip if imprint.skip is not None else former.skip if former else SKIPPED,
    )


def present_facts(study: SiteStudy, pages: Sequence[Page] = (), *, former: IssueRecord | None = None) -> Covered:
    """All facts of a site, with what its statements cover; arguments as of `freeze`."""
    return Covered(facts_of(study, pages, former=former.facts if former else {}), certified=True)


def _stands(before: IssuedDocument, now: IssuedDocument, *, reworded: bool) -> bool:
    """True when a document says what it said; other words of another version of the tool are no change."""
    same = before.digest == now.digest and (reworded or before.look == now.look)
    return same and before.state == "current"


def _again(document: IssuedDocument, imprint: Imprint, status: str) -> IssuedDocument:
    """A document under the new letter, to be typeset again."""
    return replace(document, revision=imprint.revision, date=imprint.date, file="", sheets=0, status=status)


def _free(document: Document, taken: dict[str, str]) -> str:
    """A number that no document has or had: numbers are never used again."""
    number, place = document.number, 1
    while taken.get(number, document.key) != document.key:
        place += 1
        number = f"{document.number}-{place}"
    taken[number] = document.key
    return number


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


def _in_one_line(stop: Finding) -> str:
    place = f"{stop.sheet}!{stop.cell}" if stop.cell else stop.sheet
    return "  ".join(filter(None, (place, stop.tag, stop.column, f"{stop.code}: {stop.found}")))


def _refusals(
    study: SiteStudy, record: IssueRecord, former: IssueRecord | None, changes: Iterable[Change]
) -> Iterator[str]:
    stops = open_stops(study.findings)
    if stops:
        lines = [f"{counted(len(stops), 'open stop')}; mend them, or waive them on the sheet Waivers:"]
        lines += map(_in_one_line, stops[:_STOPS_TOLD])
        if len(stops) > _STOPS_TOLD:
            lines.append(f"and {len(stops) - _STOPS_TOLD} more, see: binder check")
        yield "\n      ".join(lines)
    expected = next_letter(former.revision if former else "", skip=record.skip)
    if record.revision != expected:
        yield f"the next revision is {expected}, not {record.revision}"
    for change in unexplained(changes):
        yield f"{change.tag}: {change.words}, but no input and no rule changed: a defect of the tool, do not issue"
    if former is not None and not any(d.revision == record.revision for d in record.documents):
        yield f"no document changed since revision {former.revision}: there is nothing to issue"
