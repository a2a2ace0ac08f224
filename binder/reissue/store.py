"""The folder of issue records beside the workbook: read the chain, add one link, never half of one."""

from __future__ import annotations

import hashlib
import os
import shutil
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from binder.documents.file_names import file_name
from binder.reissue.record import IssuedDocument, IssueRecord, RecordError, dumps, load

_STAGING = ".being-issued"


@lru_cache(maxsize=32)
def _loaded(path: Path, digest: str) -> IssueRecord:
    """A record, read once while its file stays the same."""
    del digest  # part of the key
    return load(path)


@dataclass(frozen=True, slots=True)
class IssueStore:
    """Issue records and issued PDF files of one project.

    `A.jsonl` is the record of issue A; the folder `A` holds the documents that were typeset for it.
    A record appears last and in one step: until it is there, nothing was issued.

    Parameters
    ----------
    folder : Path
        Usually PROJECT/issues; need not exist.
    """

    folder: Path

    def records(self) -> tuple[IssueRecord, ...]:
        """All records, first issue first.

        Raises
        ------
        RecordError
            A record is damaged, was changed by hand, or does not follow the one before it.
        """
        found = {}
        for path in sorted(self.folder.glob("*.jsonl")):
            digest = self.digest(path)
            found[digest] = _loaded(path, digest)
        chain: list[IssueRecord] = []
        last = ""
        while len(chain) < len(found):
            following = [(d, r) for d, r in found.items() if r.former == last]
            if len(following) != 1:
                names = ", ".join(sorted(r.revision for r in found.values()))
                raise RecordError(
                    f"the issue records {names} do not follow one from another",
                    "two people issued at once, or a record is missing; put the missing file back from a copy",
                )
            last, record = following[0]
            chain.append(record)
        return tuple(chain)

    def latest(self) -> IssueRecord | None:
        """The last record, or None before the first issue."""
        records = self.records()
        return records[-1] if records else None

    def latest_digest(self) -> str:
        """SHA-256 of the last record's file, '' before the first issue."""
        latest = self.latest()
        return self.digest(self.path(latest.revision)) if latest else ""

    def path(self, revision: str) -> Path:
        """Where the record of an issue stands."""
        return self.folder / f"{revision}.jsonl"

    def files(self, revision: str) -> Path:
        """Where the documents stand that were typeset for an issue."""
        return self.folder / revision

    def issued_files(self, documents: Iterable[IssuedDocument]) -> dict[str, Path]:
        """Where the issued PDF of each document stands, by number."""
        return {
            d.number: self.files(d.revision) / file_name(d.number) for d in documents if d.state == "current" and d.file
        }

    def damaged_files(self, documents: Iterable[IssuedDocument]) -> tuple[str, ...]:
        """Issued PDFs that are missing or not as issued, in words."""
        documents = list(documents)
        files = self.issued_files(documents)
        said = []
        for d in documents:
            path = files.get(d.number)
            if path is None:
                continue
            told = f"{d.number} revision {d.revision}"
            if not path.is_file():
                said.append(f"{told}: its issued file {path.name} is missing from {path.parent}")
            elif self.digest(path) != d.file:
                said.append(f"{told}: {path} is not the file that was issued")
        return tuple(said)

    @staticmethod
    def digest(path: Path) -> str:
        """SHA-256 of a file."""
        return hashlib.sha256(path.read_bytes()).hexdigest()

    def leftovers(self) -> tuple[Path, ...]:
        """What an issue left that was interrupted, or is under way just now."""
        if not self.folder.is_dir():
            return ()
        orphans = (p for p in self.folder.iterdir() if p.is_dir() and not self.path(p.name).exists())
        return (*sorted(orphans), *sorted(self.folder.glob("*.tmp")))

    def clear_interrupted(self) -> tuple[str, ...]:
        """Remove what an interrupted issue left, and say what it was."""
        said = []
        staging = self.folder / _STAGING
        if staging.exists():
            shutil.rmtree(staging)
            said.append("an issue was interrupted before anything was replaced; its leftovers were removed")
        for left in self.leftovers():
            if left.is_dir():
                shutil.rmtree(left)
                said.append(f"issue {left.name} was interrupted before its record was written; its files were removed")
            else:
                left.unlink(missing_ok=True)
        return tuple(said)

    def commit(self, record: IssueRecord, files: Iterable[tuple[str, Path]]) -> Path:
        """Put an issue in place: first its files in one step, then its record in one step.

        Parameters
        ----------
        record : IssueRecord
        files : iterable of (str, Path)
            Name under the issue's folder, and the finished file to copy.

        Returns
        -------
        Path
            The record's file.

        Raises
        ------
        RecordError
            This letter was issued already, by somebody else perhaps.
        """
        target = self.path(record.revision)
        if target.exists():
            raise RecordError(f"revision {record.revision} was issued already", "read it with: binder compare")
        staging = self.folder / _STAGING
        shutil.rmtree(staging, ignore_errors=True)
        staging.mkdir(parents=True)
        for name, source in files:
            (staging / name).parent.mkdir(exist_ok=True)
            shutil.copyfile(source, staging / name)
        final = self.files(record.revision)
        if final.exists():
            raise RecordError(f"somebody else is issuing revision {record.revision} just now", "wait, then compare")
        staging.replace(final)
        temporary = target.with_suffix(".tmp")
        with temporary.open("w", encoding="utf-8", newline="\n") as out:
            out.write(dumps(record))
            out.flush()
            os.fsync(out.fileno())
        # link() refuses where replace() would overwrite: the second of two people loses, not the first.
        try:
            os.link(temporary, target)
        except FileExistsError as error:
            raise RecordError(
                f"revision {record.revision} was issued by somebody else just now", "compare with it"
            ) from error
        except OSError:  # a file system without hard links
            temporary.replace(target)
            return target
        temporary.unlink()
        return target
