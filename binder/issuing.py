"""Issue a binder: typeset what changed, carry over what did not, and freeze the record last."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from binder.documents.document import Binder
from binder.errors import BinderError, OutputError
from binder.inventory.files import WORKBOOK
from binder.inventory.results import write_row_keys
from binder.project_in_pdf import pack
from binder.publishing.attachments import attach
from binder.publishing.build import build_binder
from binder.publishing.house_style import read_house_style
from binder.publishing.pdf import write_pdfs
from binder.publishing.place import BusyError, sole_use
from binder.publishing.press import PdfResult
from binder.publishing.stamping import stamp
from binder.reissue.compare import Change
from binder.reissue.current import ISSUES, issued_binder, pages_of, study_of
from binder.reissue.plan import Imprint, IssuePlan, freeze, plan_issue
from binder.reissue.record import IssueRecord
from binder.reissue.scopes import newly_void
from binder.reissue.store import IssueStore
from binder.reissue.transmittal import transmittal, transmittal_sections

Progress = Callable[[str, int, int], None]

#: Folder inside an issue's folder for the stamped copies of what it put out of force.
SUPERSEDED = "superseded"


class IssueRefusedError(BinderError, ValueError):
    """An issue that may not be; `reasons` holds all of them."""

    def __init__(self, reasons: tuple[str, ...]) -> None:
        super().__init__("nothing was issued: " + "; ".join(reasons))
        self.reasons = reasons

    def __reduce__(self) -> tuple[type[IssueRefusedError], tuple[tuple[str, ...]]]:
        return type(self), (self.reasons,)


@dataclass(frozen=True, slots=True)
class Issued:
    """What an issue made.

    Parameters
    ----------
    record : IssueRecord
    plan : IssuePlan
    said : tuple of str
        What an interrupted run had left, and what was done about it.
    typeset : tuple of str
        Numbers of the documents that were typeset.
    files : tuple of Path
        Everything new in the issue's folder.
    pages : int
        Sheets of the changed documents.
    """

    record: IssueRecord
    plan: IssuePlan
    said: tuple[str, ...]
    typeset: tuple[str, ...]
    files: tuple[Path, ...]
    pages: int

    @property
    def changes(self) -> tuple[Change, ...]:
        """What changed since the issue before."""
        return self.plan.changes

    @property
    def superseded(self) -> tuple[Path, ...]:
        """The stamped copies of what this issue put out of force."""
        return tuple(path for path in self.files if path.parent.name == SUPERSEDED)


def issue(
    project: Path,
    *,
    revision: str,
    reason: str,
    by: str,
    date: str,
    every: bool = False,
    skip: str | None = None,
    progress: Progress = lambda _what, _done, _of: None,
) -> Issued:
    """Issue the present state of a project under the next revision letter.

    Parameters
    ----------
    project : Path
        The project folder.
    revision : str
        The letter; it must be the next one.
    reason, by : str
        Why, and who issues.
    date : str
        Year-month-day, printed on every document that changed.
    every : bool
        Give every document the new letter, changed or not.
    skip : str, optional
        Revision letters to leave out from now on; by default those of the last issue, at first I and O.
    progress : callable

    Returns
    -------
    Issued

    Raises
    ------
    IssueRefusedError
        With every reason at once; nothing was written but row keys that were missing.
    OutputError
        A file could not be written, or somebody else issues just now; the last issue still stands.
    RecordError
        An issue record is damaged or was changed by hand.
    """
    store = IssueStore(project / ISSUES)
    try:
        with sole_use(store.folder):
            said = store.clear_interrupted()
            imprint = Imprint(revision, date, by.strip(), reason.strip(), skip)
            return _issue(project, store, imprint, every=every, said=said, progress=progress)
    except BusyError as error:
        raise OutputError(
            "somebody else is issuing this project just now", "wait for it to end, then compare"
        ) from error


def _issue(
    project: Path, store: IssueStore, imprint: Imprint, *, every: bool, said: tuple[str, ...], progress: Progress
) -> Issued:
    plan = _plan(project, imprint, every=every)
    given = write_row_keys(project / WORKBOOK, expected_digest=plan.record.workbook)
    if given:
        said = (*said, f"{given} rows had no row key; they have one now, the former workbook is {WORKBOOK}.bak")
        plan = _plan(project, imprint, every=every)
    records = (*store.records(), plan.record)
    binder = issued_binder(study_of(project), pages_of(project), records)
    out = project / "build" / "issuing"
    carried = store.issued_files(plan.carried)
    built = build_binder(project, binder, out=out, html=False, pdf=True, issued=carried, progress=progress)
    if built.pdf is None:
        raise OutputError("no PDF was made", "this is a defect of the tool")
    record = _with_files(plan.record, built.pdf)
    records = (*records[:-1], record)
    files = _gather(record, built.pdf)
    files += _joined(project, binder, record, built.pdf, files, out)
    files += _package(project, binder, records, plan.changes, built.pdf, progress=progress)
    files += _superseded(project, records, out)
    if IssueStore.digest(project / WORKBOOK) != record.workbook:
        raise OutputError(f"{WORKBOOK} was saved while it was being issued; nothing was issued", "issue again")
    store.commit(record, files)
    shutil.rmtree(out, ignore_errors=True)
    folder = store.files(record.revision)
    return Issued(
        record,
        replace(plan, record=record),
        said,
        tuple(built.pdf.typeset),
        tuple(folder / name for name, _ in files),
        sum(d.sheets for d in record.documents if d.revision == record.revision and d.state == "current"),
    )


def _plan(project: Path, imprint: Imprint, *, every: bool) -> IssuePlan:
    """The plan, or all reasons against it at once."""
    study, store = study_of(project), IssueStore(project / ISSUES)
    last = store.latest()
    record = freeze(
        study, pages_of(project), imprint=imprint, former=last, former_digest=store.latest_digest(), every=every
    )
    plan = plan_issue(study, record, last)
    # Superseded documents are looked at as well: they are stamped from their issued files.
    reasons = [*plan.refusals, *store.damaged_files(last.documents if last else ())]
    said = (("a reason", imprint.reason), ("who issues", imprint.by))
    reasons += [f"{name} must be said" for name, text in said if not text]
    if not study.drives:
        reasons.append("no drive could be read from the workbook")
    if reasons:
        raise IssueRefusedError(tuple(reasons))
    return plan


def _with_files(record: IssueRecord, made: PdfResult) -> IssueRecord:
    """The record with digest and sheets of what was typeset."""
    documents = tuple(
        replace(d, file=IssueStore.digest(made.files[d.number]), sheets=made.sidecars[d.number].pages)
        if d.revision == record.revision and d.state == "current"
        else d
        for d in record.documents
    )
    return replace(record, documents=documents)


def _gather(record: IssueRecord, made: PdfResult) -> list[tuple[str, Path]]:
    """Files of the issue's folder: each changed document with its sidecar."""
    files = []
    for d in record.documents:
        if d.revision != record.revision or d.state != "current":
            continue
        path = made.files[d.number]
        side = path.with_suffix(".json")
        made.sidecars[d.number].write(side)
        files += [(path.name, path), (side.name, side)]
    return files


def _joined(
    project: Path, binder: Binder, record: IssueRecord, made: PdfResult, files: list[tuple[str, Path]], out: Path
) -> list[tuple[str, Path]]:
    """The whole binder at this issue; its first volume carries the project it was made from."""
    first, *others = made.joined
    whole = out / f"whole-{first.name}"
    attach(first, whole, pack(project, record, dict(files)), date=record.date)
    return [(first.name, whole), *((path.name, path) for path in others)]


def _package(
    project: Path,
    binder: Binder,
    records: tuple[IssueRecord, ...],
    changes: tuple[Change, ...],
    made: PdfResult,
    *,
    progress: Progress,
) -> list[tuple[str, Path]]:
    """What is sent out: the transmittal and the changed documents, joined."""
    record = records[-1]
    letter = transmittal(binder.site, record)
    changed = [d for d in binder.documents if d.revision == record.revision]
    former = records[-2] if len(records) > 1 else None
    void = newly_void(study_of(project).inventory, former, record)
    package = Binder(
        site=replace(binder.site, binder_title=f"{binder.site.name}, package of revision {record.revision}"),
        documents=[letter, *changed],
        body=lambda _: transmittal_sections(binder.site, records, changes, void=void),
    )
    out = project / "build" / "issuing" / "package"
    issued = {d.number: made.files[d.number] for d in changed}
    written = write_pdfs(
        package,
        out,
        cache_dir=project / "build" / "work" / "cache",
        issued=issued,
        style=read_house_style(project)[0],
        progress=progress,
    )
    return [(path.name.replace("binder", "package"), path) for path in written.joined]


def _superseded(project: Path, records: tuple[IssueRecord, ...], out: Path) -> list[tuple[str, Path]]:
    """Stamped copies of the documents that this issue puts out of force; their issued files stay as they are."""
    if len(records) < 2:
        return []
    former, record = records[-2:]
    sources = IssueStore(project / ISSUES).issued_files(former.documents)
    (out / SUPERSEDED).mkdir(parents=True, exist_ok=True)
    files = []
    for before in former.documents:
        now = record.document(before.key)
        source = sources.get(before.number)
        if source is None or now is None or (now.revision, now.state) == (before.revision, "current"):
            continue
        word, by = "SUPERSEDED", f"by {now.number} revision {now.revision}, {record.date}"
        if now.state == "withdrawn":
            word, by = "WITHDRAWN", f"at revision {record.revision}, {record.date}, nothing in its place"
        name = f"{SUPERSEDED}/{source.stem}-revision-{before.revision}.pdf"
        stamp(source, out / name, word=word, by=by, date=record.date)
        files.append((name, out / name))
    return files


def carried_files(project: Path, documents: Iterable[tuple[str, str]]) -> Mapping[str, Path]:
    """The issued files for the documents of a binder that stand at their issued revision.

    Parameters
    ----------
    project : Path
    documents : iterable of (number, revision)
        As the binder shows them; drafts must be left out.

    Raises
    ------
    OutputError
        An issued file is missing or not as issued: it is never typeset again under a letter given out.
    """
    store = IssueStore(project / ISSUES)
    last = store.latest()
    if last is None:
        return {}
    shown = set(documents)
    standing = [d for d in last.documents if (d.number, d.revision) in shown]
    damaged = store.damaged_files(standing)
    if damaged:
        raise OutputError("; ".join(damaged), "put the files back from a copy of the project")
    return store.issued_files(standing)
