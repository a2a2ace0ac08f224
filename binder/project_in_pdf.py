"""A binder's PDF carries the project it was made from; take it out again and prove it whole."""

from __future__ import annotations

import io
import shutil
import tempfile
import zipfile
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath

from binder.documents.file_names import file_name
from binder.errors import OutputError, ProjectError
from binder.inventory.files import WORKBOOK
from binder.publishing.attachments import Attachment, attached
from binder.reissue.current import ISSUES, RECIPES
from binder.reissue.record import IssueRecord, dumps
from binder.reissue.store import IssueStore

_REST = "project.zip"
_STAMP = (1980, 1, 1, 0, 0, 0)  # the earliest time a zip entry can carry
_PICTURES = frozenset({".svg", ".png", ".jpg", ".jpeg"})
_PAGES = _PICTURES | {".rst"}
_LONGEST = 64 << 20  # bytes of one file taken out of a PDF
_SPREADSHEET = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def pack(project: Path, record: IssueRecord, made: Mapping[str, Path]) -> list[Attachment]:
    """The files that the PDF of an issue carries.

    Parameters
    ----------
    project : Path
    record : IssueRecord
        The issue, not yet written.
    made : mapping of str to Path
        File name in the issue's folder -> file.

    Returns
    -------
    list of Attachment
        The workbook, every issue record, and an archive with the issued documents, own pages and schemes.
        No program files: what is taken out of a PDF must not run by itself.
    """
    store = IssueStore(project / ISSUES)
    records = {f"{r.revision}.jsonl": store.path(r.revision).read_bytes() for r in store.records()}
    records[f"{record.revision}.jsonl"] = dumps(record).encode()
    found = [
        Attachment(
            WORKBOOK, (project / WORKBOOK).read_bytes(), _SPREADSHEET, "Source", "Inventory this binder was made from"
        )
    ]
    found += [
        Attachment(f"issue-{name}", data, "text/plain", "Data", f"Issue record {name.removesuffix('.jsonl')}")
        for name, data in sorted(records.items())
    ]
    rest = dict(_rest(project, record, made))
    found.append(Attachment(_REST, _archive(rest), "application/zip", "Supplement", "Issued documents and own pages"))
    return found


def _rest(project: Path, record: IssueRecord, made: Mapping[str, Path]) -> Iterator[tuple[str, bytes]]:
    for d in record.documents:
        if d.state != "current":
            continue
        name = file_name(d.number)
        for part in (name, Path(name).with_suffix(".json").name):
            source = made[part] if d.revision == record.revision else project / ISSUES / d.revision / part
            yield f"{ISSUES}/{d.revision}/{part}", source.read_bytes()
    for path in sorted((project / "pages").rglob("*")):
        if path.is_file() and path.suffix.lower() in _PAGES:
            yield path.relative_to(project).as_posix(), path.read_bytes()
    for path in sorted(project.iterdir()):  # start page, own schemes, logo
        if path.is_file() and (path.name in ("index.rst", RECIPES) or path.suffix.lower() in _PICTURES):
            yield path.name, path.read_bytes()


def _archive(files: Mapping[str, bytes]) -> bytes:
    """A zip with the same bytes everywhere: nothing is packed, so no version of a packer matters."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, data in sorted(files.items()):
            entry = zipfile.ZipInfo(name, _STAMP)
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, data)
    return out.getvalue()


def unpack(pdf: Path, folder: Path) -> IssueRecord:
    """Take the project out of a binder's PDF.

    Parameters
    ----------
    pdf : Path
        The PDF of an issue; of several volumes, the first.
    folder : Path
        Project folder to make.

    Returns
    -------
    IssueRecord
        The last issue, its digests verified.

    Raises
    ------
    ProjectError
        The folder exists and is not empty, or the PDF carries no project.
    OutputError
        What it carries is not what was issued; nothing was written.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise ProjectError(f"{folder} exists and is not empty", "name a new folder; nothing was changed")
    try:
        files = _files(attached(pdf))
    except (OSError, ValueError, zipfile.BadZipFile) as error:
        raise ProjectError(f"{pdf} cannot be read: {error}", "name the PDF of an issue") from error
    if WORKBOOK not in files:
        raise ProjectError(f"{pdf.name} carries no project", "name binder.pdf of an issue, or its first volume")
    folder.parent.mkdir(parents=True, exist_ok=True)
    work = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
    try:
        for name, data in files.items():
            target = work / name
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(data)
        record = _verified(work)
        work.chmod(0o755)  # mkdtemp makes it private
        if folder.exists():
            folder.rmdir()
        work.rename(folder)
    except BaseException:
        shutil.rmtree(work, ignore_errors=True)
        raise
    return record


def _files(found: Mapping[str, bytes]) -> dict[str, bytes]:
    """Attachments under their names in the project folder."""
    files = {WORKBOOK: found[WORKBOOK]} if WORKBOOK in found else {}
    for name, data in found.items():
        if name.startswith("issue-") and name.endswith(".jsonl"):
            files[f"{ISSUES}/{_safe(name.removeprefix('issue-'))}"] = data
    if _REST in found:
        with zipfile.ZipFile(io.BytesIO(found[_REST])) as archive:
            for entry in archive.infolist():
                if entry.file_size > _LONGEST:
                    raise ValueError(f"{entry.filename} is too long")
                files[_safe(entry.filename)] = archive.read(entry)
    return files


def _safe(name: str) -> str:
    """A name that stays inside the project folder, and is no program.

    >>> _safe("issues/A/X-1.pdf")
    'issues/A/X-1.pdf'
    """
    path = PurePosixPath(name)
    known = path.parts[:1] in ((ISSUES,), ("pages",)) or path.name in (name,)
    plain = not path.is_absolute() and ".." not in path.parts and "\\" not in name and ":" not in name
    fit = path.suffix.lower() in _PAGES | {".jsonl", ".json", ".pdf"} or name == RECIPES
    if not (known and plain and fit):
        raise ValueError(f"a file name that no binder writes: {name!r}")
    return path.as_posix()


def _verified(project: Path) -> IssueRecord:
    """The last issue, when workbook and documents are what it froze."""
    record = IssueStore(project / ISSUES).latest()
    if record is None:
        raise OutputError("the PDF carries a workbook but no issue record", "nothing was written")
    wrong = []
    if IssueStore.digest(project / WORKBOOK) != record.workbook:
        wrong.append(WORKBOOK)
    for d in record.documents:
        path = project / ISSUES / d.revision / file_name(d.number)
        if d.state == "current" and (not path.is_file() or IssueStore.digest(path) != d.file):
            wrong.append(path.name)
    if wrong:
        raise OutputError(
            f"what the PDF carries is not what was issued: {', '.join(wrong[:5])}", "take another copy of the PDF"
        )
    return record
