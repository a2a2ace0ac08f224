"""Issue records: plain text, one fact a line, chained and sealed so that a hand on them shows."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from string import ascii_uppercase
from typing import Any

from binder.errors import BinderError
from binder.reissue.facts import Fact, Key

FORMAT = 1
#: Letters that are no revision letters unless a binder says otherwise: they look like figures.
SKIPPED = "IO"


class RecordError(BinderError, ValueError):
    """An issue record cannot be read, or is not what was written."""


@dataclass(frozen=True, slots=True)
class IssuedDocument:
    """One document as issued.

    Parameters
    ----------
    number, key, title, revision, date : str
        The date is that of the issue that gave it this revision.
    digest : str
        Over its facts.
    look : str
        Over title and wording of its facts as well; differs alone when only words changed.
    state : str
        'current' or 'withdrawn'.
    file : str
        SHA-256 of the issued PDF, '' when none was made.
    sheets : int
    status : str
        Status printed on it.
    """

    number: str
    key: str
    title: str
    revision: str
    date: str
    digest: str
    look: str
    state: str = "current"
    file: str = ""
    sheets: int = 0
    status: str = ""


@dataclass(frozen=True, slots=True)
class IssueRecord:
    """Everything frozen at one issue.

    Parameters
    ----------
    revision, date, by, reason : str
    workbook, software : str
        Digest of the workbook's bytes; version of this tool.
    former : str
        Digest of the former record's file, '' for the first issue.
    documents : tuple of IssuedDocument
    facts : mapping
        Key -> fact.
    tags : mapping
        Key of a drive's packet -> tag at this issue.
    wiring : mapping
        Row key of a drive -> its wiring as issued, see `ledger.to_data`.
    skip : str
        Revision letters that this binder leaves out.
    """

    revision: str
    date: str
    by: str
    reason: str
    workbook: str
    software: str
    former: str = ""
    documents: tuple[IssuedDocument, ...] = ()
    facts: Mapping[Key, Fact] = field(default_factory=dict)
    tags: Mapping[str, str] = field(default_factory=dict)
    wiring: Mapping[str, dict[str, Any]] = field(default_factory=dict)
    skip: str = SKIPPED

    def without_cells(self) -> IssueRecord:
        """The record as it is read back: a cell moves when somebody sorts the sheet, so it is not kept."""
        return replace(self, facts={key: replace(fact, cell="") for key, fact in self.facts.items()})

    def document(self, key: str) -> IssuedDocument | None:
        """The document with this key."""
        return next((d for d in self.documents if d.key == key), None)


def facts_digest(facts: Iterable[Fact]) -> str:
    """Digest over facts, whatever their order."""
    lines = sorted("\x1f".join((*f.key, f.value)) for f in facts)
    return hashlib.sha256("\x1e".join(lines).encode()).hexdigest()


def look_digest(title: str, facts: Iterable[Fact]) -> str:
    """Digest over what a document says of its facts: words, inputs, rules, whatever their order."""
    lines = sorted("\x1f".join((*f.key, f.value, f.show, *f.cause, f.rule)) for f in facts)
    return hashlib.sha256("\x1e".join([title, *lines]).encode()).hexdigest()


def dumps(record: IssueRecord) -> str:
    """Write a record as text: JSON lines, sorted, sealed by the digest of all lines before the last."""
    lines = [
        _line(
            {
                "binder-issue": FORMAT,
                "revision": record.revision,
                "date": record.date,
                "by": record.by,
                "reason": record.reason,
                "workbook": record.workbook,
                "software": record.software,
                "former": record.former,
                "skip": record.skip,
            }
        )
    ]
    lines += [_line({"drive": key, "tag": tag}) for key, tag in sorted(record.tags.items())]
    lines += [_line(_document(d)) for d in sorted(record.documents, key=lambda d: (d.number, d.key))]
    lines += [_line(_fact_data(f)) for _, f in sorted(record.facts.items())]
    lines += [_line({"wiring": key, "data": data}) for key, data in sorted(record.wiring.items())]
    body = "\n".join(lines) + "\n"
    return body + _line({"seal": hashlib.sha256(body.encode()).hexdigest()}) + "\n"


def _line(data: dict[str, Any]) -> str:
    return json.dumps(data, ensure_ascii=False, separators=(", ", ": "))


def _document(d: IssuedDocument) -> dict[str, Any]:
    return {
        "doc": d.number,
        "key": d.key,
        "title": d.title,
        "rev": d.revision,
        "date": d.date,
        "digest": d.digest,
        "look": d.look,
        "state": d.state,
        "file": d.file,
        "sheets": d.sheets,
        "status": d.status,
    }


def _fact_data(fact: Fact) -> dict[str, Any]:
    data: dict[str, Any] = {"fact": list(fact.key), "v": fact.value}
    if fact.show != fact.value:
        data["show"] = fact.show
    if fact.cause:
        data["from"] = list(fact.cause)
    if fact.rule:
        data["rule"] = fact.rule
    return data


def loads(text: str, name: str = "issue record") -> IssueRecord:
    """Read a record and check its seal.

    Raises
    ------
    RecordError
        The text is no issue record, was written by a newer version, or was changed after it was sealed.
    """
    body, _, last = text.rstrip("\n").rpartition("\n")
    try:
        head, *rest = [json.loads(line) for line in body.splitlines()]
        seal = json.loads(last)["seal"]
        version = head["binder-issue"]
    except (ValueError, KeyError, TypeError) as error:
        raise RecordError(f"{name} is no issue record, or is cut short", "put the file back from a copy") from error
    if version > FORMAT:
        raise RecordError(f"{name} was written by a newer version of this tool", "update the tool")
    if hashlib.sha256((body + "\n").encode()).hexdigest() != seal:
        raise RecordError(f"{name} was changed after it was issued", "put the file back from a copy; it is evidence")
    documents: list[IssuedDocument] = []
    facts: dict[Key, Fact] = {}
    tags: dict[str, str] = {}
    wiring: dict[str, dict[str, Any]] = {}
    for data in rest:
        if "doc" in data:
            documents.append(
                IssuedDocument(
                    data["doc"],
                    data["key"],
                    data["title"],
                    data["rev"],
                    data["date"],
                    data["digest"],
                    data["look"],
                    data["state"],
                    data["file"],
                    data["sheets"],
                    data["status"],
                )
            )
        elif "fact" in data:
            owner, group, item, name_ = data["fact"]
            key = (owner, group, item, name_)
            facts[key] = Fact(
                key, data["v"], data.get("show", data["v"]), tuple(data.get("from", ())), data.get("rule", "")
            )
        elif "wiring" in data:
            wiring[data["wiring"]] = data["data"]
        elif "drive" in data:
            tags[data["drive"]] = data["tag"]
    return IssueRecord(
        head["revision"],
        head["date"],
        head["by"],
        head["reason"],
        head["workbook"],
        head["software"],
        head["former"],
        tuple(documents),
        facts,
        tags,
        wiring,
        head.get("skip", SKIPPED),
    )


def load(path: Path) -> IssueRecord:
    """Read a record from its file.

    Raises
    ------
    RecordError
        As `loads`, or the file cannot be read.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise RecordError(f"{path.name} cannot be read: {error}", "put the file back from a copy") from error
    return loads(text, path.name)


def next_letter(letter: str, *, skip: str = SKIPPED) -> str:
    """The revision letter after `letter`; '' gives the first.

    Raises
    ------
    ValueError
        `letter` is no word of capital letters, or `skip` leaves none.

    Examples
    --------
    >>> next_letter(""), next_letter("A"), next_letter("H"), next_letter("Z"), next_letter("AZ")
    ('A', 'B', 'J', 'AA', 'BA')
    >>> next_letter("H", skip=""), next_letter("P", skip="IOQSXZ")
    ('I', 'R')

    References
    ----------
    ASME Y14.35 leaves out I, O, Q, S, X and Z (from memory, check); only I and O are skipped by default.
    """
    if letter.strip(ascii_uppercase):
        raise ValueError(f"{letter!r} is no revision letter; letters are {ascii_uppercase}")
    if not set(ascii_uppercase) - set(skip):
        raise ValueError("no letter is left to be used")
    following = _increment(letter)
    while set(following) & set(skip):
        following = _increment(following)
    return following


def _increment(letter: str) -> str:
    """Z is followed by AA, AZ by BA."""
    if not letter:
        return "A"
    head, last = letter[:-1], ascii_uppercase.index(letter[-1])
    return head + ascii_uppercase[last + 1] if last + 1 < len(ascii_uppercase) else _increment(head) + "A"
