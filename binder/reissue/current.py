"""The binder of a project as it stands now: which documents are as issued, which are a draft."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

from binder.documents.assemble import assemble
from binder.documents.contents import Page, Stamp, document_set
from binder.documents.document import Binder
from binder.inventory.reader import read_workbook
from binder.reissue.facts import facts_of
from binder.reissue.ledger import from_data
from binder.reissue.plan import facts_of_document
from binder.reissue.record import IssueRecord, facts_digest, next_letter
from binder.reissue.store import IssueStore
from binder.study import SiteStudy, study_site

#: File name of the inventory inside a project folder.
WORKBOOK = "inventory.xlsx"
ISSUES = "issues"


@lru_cache(maxsize=1)
def _study(project: Path, workbook: str, record: str) -> SiteStudy:
    del workbook, record  # part of the key: a changed file is a new study
    issued = IssueStore(project / ISSUES).latest()
    former = {key: from_data(data) for key, data in issued.wiring.items()} if issued else {}
    return study_site(read_workbook(project / WORKBOOK), former=former)


def study_of(project: Path) -> SiteStudy:
    """Read a project's workbook and work it out; the last one is kept while its files stay the same.

    Wire, strip and core numbers of the last issue are kept.

    Raises
    ------
    RecordError
        An issue record is damaged or was changed by hand.
    """
    project = project.resolve()
    workbook = project / WORKBOOK
    digest = hashlib.sha256(workbook.read_bytes()).hexdigest() if workbook.is_file() else ""
    return _study(project, digest, IssueStore(project / ISSUES).latest_digest())


def binder_of(project: Path) -> Binder:
    """The binder of a project folder.

    Raises
    ------
    RecordError
        An issue record is damaged or was changed by hand.
    """
    study = study_of(project)
    pages = pages_of(project)
    return assemble(study, stamps=stamps_of(study, IssueStore(project / ISSUES).latest(), pages), pages=pages)


def pages_of(project: Path) -> tuple[Page, ...]:
    """The contractor's own pages: every .rst file in `pages`, by name."""
    found = []
    for path in sorted((project / "pages").glob("*.rst")):
        text = path.read_text(encoding="utf-8", errors="replace")
        title = next((line.strip() for line in text.splitlines() if line.strip(" =-~#*\t")), path.stem)
        found.append(Page(path.stem, title, hashlib.sha256(text.encode()).hexdigest()))
    return tuple(found)


def stamps_of(study: SiteStudy, issued: IssueRecord | None, pages: Sequence[Page] = ()) -> dict[str, Stamp]:
    """What each document carries: as issued while its facts stand, else the next letter as a draft.

    Parameters
    ----------
    study : SiteStudy
    issued : IssueRecord or None
        The last issue.
    pages : sequence of Page
        The contractor's own pages.

    Returns
    -------
    dict
        Empty before the first issue.
    """
    if issued is None:
        return {}
    facts = facts_of(study)
    status = study.inventory.site.status
    following = next_letter(issued.revision)
    stamps: dict[str, Stamp] = {}
    fresh = False
    documents = document_set(study, pages=pages)
    for document in (*(d for d in documents if d.kind != "front"), *(d for d in documents if d.kind == "front")):
        before = issued.document(document.key)
        same = before is not None and before.digest == facts_digest(facts_of_document(document, facts))
        if before is not None and same and not (document.kind == "front" and fresh):
            stamps[document.key] = Stamp(before.number, before.revision, status, before.date)
        else:
            fresh = True
            number = before.number if before else document.number
            stamps[document.key] = Stamp(number, following, f"draft, {status}", "")
    return stamps
