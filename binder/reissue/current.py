"""The binder of a project as it stands now: which documents are as issued, which are a draft."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

from binder import __version__
from binder.checking import site_findings
from binder.documents.contents import FRONT, Page, Stamp, held_back, own_page, packet_key, unplaced
from binder.documents.document import Binder
from binder.inventory.canonical import as_printed
from binder.inventory.checks import apply_waivers
from binder.inventory.files import WORKBOOK
from binder.inventory.findings import Finding, Grade, ordered
from binder.inventory.reader import read_workbook
from binder.inventory.records import Inventory, Revision
from binder.reissue.gather import facts_of
from binder.reissue.ledger import from_data
from binder.reissue.marking import marks_of
from binder.reissue.plan import Imprint, freeze, present_facts
from binder.reissue.printed import printed
from binder.reissue.record import IssueRecord, next_letter
from binder.reissue.scopes import Covered, rename_findings, signature_findings, signed_off
from binder.reissue.store import IssueStore
from binder.reissue.transmittal import changes_section
from binder.study import SiteStudy, study_site
from binder.wiring.connections import Wiring
from binder.wiring.recipe import Recipe
from binder.wiring.schemes import SCHEMES, read_recipes

#: Names inside a project folder: control schemes of one's own, and what was issued.
RECIPES = "recipes.toml"
ISSUES = "issues"


@lru_cache(maxsize=1)
def _study(project: Path, workbook: str, recipes_file: str, record: str) -> SiteStudy:
    del workbook, recipes_file, record  # part of the key: a changed file is a new study
    source = _source(project)
    study = study_site(source.inventory, former=source.former, recipes=source.recipes)
    return replace(study, findings=ordered([*study.findings, *source.told, *_own_findings(project, study)]))


@dataclass(frozen=True, slots=True)
class _Source:
    """What the files of a project say: inventory, wiring as last issued, schemes and what was odd about them."""

    inventory: Inventory
    former: Mapping[str, Wiring]
    recipes: Mapping[str, Recipe]
    told: tuple[Finding, ...]


def _source(project: Path) -> _Source:
    issued = IssueStore(project / ISSUES).latest()
    recipes, told = read_recipes(project / RECIPES) if (project / RECIPES).is_file() else (SCHEMES, ())
    names = [name for r in recipes.values() if SCHEMES.get(r.key) != r for name in (r.key, *r.aliases)]
    inventory = renamed(as_printed(read_workbook(project / WORKBOOK, own_schemes=names)), issued)
    former = {key: from_data(data) for key, data in issued.wiring.items()} if issued else {}
    return _Source(inventory, former, recipes, apply_waivers(told, inventory))


def _own_findings(project: Path, study: SiteStudy) -> tuple[Finding, ...]:
    """Void signatures, and drives that look renamed."""
    records = IssueStore(project / ISSUES).records()
    last = records[-1] if records else None
    if not _needs_facts(study.inventory, last):
        return ()
    tags = _tags(study.inventory)
    facts = facts_of(study, pages_of(project), former=last.facts if last else {})
    now = IssueRecord("now", "", "", "", study.inventory.workbook_digest, __version__, facts=facts, tags=tags)
    return (*signature_findings(study.inventory, now, records), *rename_findings(now, last))


def _tags(inventory: Inventory) -> dict[str, str]:
    return {packet_key(d): d.tag for d in inventory.drives}


def _needs_facts(inventory: Inventory, last: IssueRecord | None) -> bool:
    """True when signatures must be held against the facts, or drives have come or gone since the last issue."""
    return bool(inventory.signatures) or (last is not None and set(last.tags) != set(_tags(inventory)))


def study_of(project: Path) -> SiteStudy:
    """Read a project's workbook and work it out; the last one is kept while its files stay the same.

    Wire, strip and core numbers of the last issue are kept; schemes of `recipes.toml` are known.

    Raises
    ------
    RecordError
        An issue record is damaged or was changed by hand.
    """
    project = project.resolve()
    digests = [digest_of(project / WORKBOOK), digest_of(project / RECIPES)]
    study = _study(project, *digests, IssueStore(project / ISSUES).latest_digest())
    told = (*_misplaced(project, study.inventory), *_interrupted(project))
    return replace(study, findings=ordered([*study.findings, *told])) if told else study


def findings_of(project: Path) -> tuple[Finding, ...]:
    """The findings of `study_of` alone, in a fraction of the time on a large site.

    Raises
    ------
    RecordError
        An issue record is damaged or was changed by hand.
    """
    project = project.resolve()
    source = _source(project)
    if _needs_facts(source.inventory, IssueStore(project / ISSUES).latest()):
        return ordered([*study_of(project).findings, *_damaged(project)])
    found = site_findings(source.inventory, former=source.former, recipes=source.recipes)
    about_folder = (*_interrupted(project), *_damaged(project))
    return ordered([*found, *source.told, *_misplaced(project, source.inventory), *about_folder])


def _misplaced(project: Path, inventory: Inventory) -> tuple[Finding, ...]:
    """Rows of the sheet Documents that name no document, now or as last issued."""
    told = unplaced(inventory, pages_of(project))
    if told and (last := IssueStore(project / ISSUES).latest()):
        told = unplaced(inventory, pages_of(project), numbers=[d.number for d in last.documents])
    return apply_waivers(told, inventory) if told else ()


def _interrupted(project: Path) -> tuple[Finding, ...]:
    """What an issue left behind that was ended half-way."""
    left = ", ".join(path.name for path in IssueStore(project / ISSUES).leftovers())
    if not left:
        return ()
    found = f"an issue is under way or was interrupted: {left} has no record, so it was not issued"
    remedy = "Issue again: the next issue removes what was left and says so. The last issue stands."
    return (Finding("R131", Grade.NOTE, ISSUES, "", "", found, "a record for every folder", remedy),)


def _damaged(project: Path) -> tuple[Finding, ...]:
    """Issued files that are gone or were replaced: no issue and no build goes on from them."""
    store = IssueStore(project / ISSUES)
    last = store.latest()
    remedy = "Put the file as it was issued back from a copy of the project."
    told = store.damaged_files(last.documents) if last else ()
    return tuple(Finding("R132", Grade.STOP, ISSUES, "", "", found, "every file as issued", remedy) for found in told)


def digest_of(file: Path) -> str:
    """Digest of a file; '' when it is not there or may not be read, which the reader tells."""
    try:
        return IssueStore.digest(file) if file.is_file() else ""
    except OSError:
        return ""


def renamed(inventory: Inventory, issued: IssueRecord | None) -> Inventory:
    """Give a drive whose row key was lost its former key back, where `Formerly` names its former tag."""
    if issued is None:
        return inventory
    present = {d.origin.key for d in inventory.drives}
    gone = {tag.casefold(): key for key, tag in issued.tags.items() if key not in present}
    drives = tuple(
        replace(d, origin=replace(d.origin, key=gone[d.formerly.casefold()]))
        if d.origin.key not in issued.tags and d.formerly.casefold() in gone
        else d
        for d in inventory.drives
    )
    return replace(inventory, drives=drives) if drives != inventory.drives else inventory


@dataclass(frozen=True, slots=True)
class Present:
    """A project now: its study, its own pages, its issues, and what would be issued next.

    Parameters
    ----------
    study : SiteStudy
    pages : tuple of Page
    records : tuple of IssueRecord
        First issue first.
    draft : IssueRecord
        The present state, frozen under the next letter.
    """

    study: SiteStudy
    pages: tuple[Page, ...]
    records: tuple[IssueRecord, ...]
    draft: IssueRecord

    @property
    def moved(self) -> bool:
        """True when a document is no longer as issued."""
        return any(d.revision == self.draft.revision for d in self.draft.documents)


def present_state(project: Path) -> Present:
    """Read a project and compare it with its last issue.

    Raises
    ------
    RecordError
        An issue record is damaged or was changed by hand.
    """
    return _present(project, study_of(project))


def _present(project: Path, study: SiteStudy) -> Present:
    pages = pages_of(project)
    store = IssueStore(project / ISSUES)
    records = store.records()
    last = records[-1] if records else None
    imprint = Imprint(next_letter(last.revision, skip=last.skip) if last else next_letter(""))
    draft = freeze(study, pages, imprint=imprint, former=last, former_digest=store.latest_digest())
    return Present(study, pages, records, draft)


def binder_of(project: Path) -> Binder:
    """The binder of a project folder.

    Raises
    ------
    RecordError
        An issue record is damaged or was changed by hand.
    """
    study = study_of(project)
    if IssueStore(project / ISSUES).latest() is None:
        from binder.documents.assemble import assemble  # pages, drawings and plots load only when they are made

        pages = pages_of(project)
        signed = signed_off(study.inventory, _tags(study.inventory), present_facts(study, pages))
        return _logged(assemble(printed(study), pages=pages, signed=signed), study)
    state = _present(project, study)
    last = state.records[-1]
    if not state.moved:
        return issued_binder(
            state.study, state.pages, (*state.records[:-1], replace(last, documents=state.draft.documents))
        )
    return issued_binder(state.study, state.pages, (*state.records, state.draft), draft=True)


def issued_binder(
    study: SiteStudy, pages: tuple[Page, ...], records: tuple[IssueRecord, ...], *, draft: bool = False
) -> Binder:
    """The binder as the last of `records` stamps it.

    Parameters
    ----------
    study : SiteStudy
    pages : tuple of Page
    records : tuple of IssueRecord
        All issues up to the one to show.
    draft : bool
        The last record is not issued: documents that changed say so.
    """
    from binder.documents.assemble import assemble

    last = records[-1]
    stamps = {}
    for d in last.documents:
        loose = draft and d.revision == last.revision
        status = f"draft, {d.status}".rstrip(", ") if loose else d.status
        stamps[d.key] = Stamp(d.number, d.revision, status, "" if loose else d.date)
    made = assemble(
        _told(printed(study), records, draft=draft),
        stamps=stamps,
        pages=pages,
        marks=marks_of(records),
        signed=signed_off(study.inventory, last.tags, Covered(last.facts)),
        added={FRONT.key: changes_section(last, records[-2])} if len(records) > 1 else {},
    )
    return _logged(made, study)


def _logged(binder: Binder, study: SiteStudy) -> Binder:
    """The binder with all findings for the log, those too that are not printed."""
    return replace(binder, findings=study.findings)


def _told(study: SiteStudy, records: tuple[IssueRecord, ...], *, draft: bool) -> SiteStudy:
    """The study with revision, date and revision record of the issues in place of the Site sheet's."""
    last = records[-1]
    issued = records[:-1] if draft else records
    letters = {r.revision for r in issued}
    typed = [r for r in study.inventory.revisions if r.revision not in letters]
    approved = {r.revision: r.approved_by for r in study.inventory.revisions}
    told = [Revision(r.revision, _date(r.date), r.reason, r.by, approved.get(r.revision, "")) for r in issued]
    status = f"draft, {study.inventory.site.status}" if draft else study.inventory.site.status
    site = replace(study.inventory.site, revision=last.revision, issue_date=_date(last.date), status=status)
    return replace(study, inventory=replace(study.inventory, site=site, revisions=(*typed, *told)))


def _date(text: str) -> dt.date | None:
    return dt.date.fromisoformat(text) if text else None


def pages_of(project: Path) -> tuple[Page, ...]:
    """The contractor's own pages: every .rst file in `pages` that is not held back, by name."""
    found = []
    for path in sorted(p for p in (project / "pages").glob("*.rst") if p.is_file()):
        text = path.read_text(encoding="utf-8", errors="replace")
        if not held_back(text):
            found.append(own_page(path.stem, text, hashlib.sha256(text.encode()).hexdigest()))
    return tuple(found)
