"""Signatures: which facts each one covers, and whether these still are what was signed."""

from __future__ import annotations

import base64
import csv
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from binder.documents.marks import SignedOff
from binder.documents.nodes import Signature as SigningLine
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import fold
from binder.inventory.records import Inventory, Signature
from binder.reissue.compare import compare
from binder.reissue.consequences import consequence_of
from binder.reissue.facts import SITE, Fact, Key
from binder.reissue.record import IssueRecord, facts_digest
from binder.reissue.words import joined

#: (owner, statement) -> short digest of the facts it covers.
Digests = Mapping[tuple[str, str], str]


@dataclass(frozen=True, slots=True)
class Scope:
    """What a statement covers."""

    statement: str
    level: str  # 'drive' or 'site'
    falls_with: frozenset[str]
    groups: frozenset[str]

    def covers(self, key: Key) -> bool:
        """True when the statement is signed on the strength of this fact, among others."""
        return key[1] in self.groups or bool(self.falls_with.intersection(consequence_of(key).signatures))


@cache
def scopes() -> tuple[Scope, ...]:
    """The scopes of scopes.csv."""
    text = (files("binder.reissue") / "scopes.csv").read_text(encoding="utf-8")
    reader = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return tuple(
        Scope(row["statement"], row["level"], _words(row["falls_with"]), _words(row["groups"])) for row in reader
    )


def _words(text: str) -> frozenset[str]:
    return frozenset(filter(None, text.split(";")))


def short(digest: str) -> str:
    """A digest short enough to be written by hand: eight letters and figures without 0, 1, 8 and 9.

    >>> short("00" * 32)
    'aaaa-aaaa'
    """
    text = base64.b32encode(bytes.fromhex(digest))[:8].decode("ascii").lower()
    return f"{text[:4]}-{text[4:]}"


def digests_of(facts: Mapping[Key, Fact]) -> dict[tuple[str, str], str]:
    """The short digest of every statement of every drive and of the site.

    Parameters
    ----------
    facts : mapping

    Returns
    -------
    dict
        (row key of the drive or 'site', statement) -> digest.
    """
    covered: dict[tuple[str, str], list[Fact]] = {}
    for key, fact in facts.items():
        for scope in scopes():
            if scope.covers(key) and (scope.level == "site" or key[0] != SITE):
                owner = SITE if scope.level == "site" else key[0]
                covered.setdefault((owner, scope.statement), []).append(fact)
    return {place: short(facts_digest(found)) for place, found in covered.items()}


def signed_off(inventory: Inventory, record: IssueRecord) -> dict[str, dict[str, SignedOff]]:
    """What to print beside each statement: document key -> statement -> digest and names.

    Parameters
    ----------
    inventory : Inventory
    record : IssueRecord
        The facts as they stand.
    """
    lines: dict[tuple[str, str], list[SigningLine]] = {}
    digests = digests_of(record.facts)
    for signature in inventory.signatures:
        place = _place(signature, record.tags)
        if place is None:
            continue
        state = {True: "valid", False: "void"}[_plain(digests.get(place, "")) == _plain(signature.digest)]
        date = signature.date.isoformat() if signature.date else ""
        line = SigningLine(signature.role, signature.name, date, state if signature.digest else "")
        lines.setdefault(place, []).append(line)
    found: dict[str, dict[str, SignedOff]] = {}
    for place, digest in digests.items():
        owner, statement = place
        document = "handover" if owner == SITE else owner
        found.setdefault(document, {})[statement] = SignedOff(digest, tuple(lines.get(place, ())))
    return found


def _plain(digest: str) -> str:
    return "".join(c for c in digest.casefold() if c.isalnum())


def _place(signature: Signature, tags: Mapping[str, str]) -> tuple[str, str] | None:
    """Whose statement was signed, or None when there is no such drive or statement."""
    statement = fold(signature.statement)
    owner = SITE
    if signature.drive:
        owner = next((key for key, tag in tags.items() if fold(tag) == fold(signature.drive)), "")
    level = "site" if owner == SITE else "drive"
    known = next((s.statement for s in scopes() if s.level == level and fold(s.statement) == statement), "")
    return (owner, known) if owner and known else None


def signature_findings(inventory: Inventory, draft: IssueRecord, records: Sequence[IssueRecord]) -> Iterator[Finding]:
    """Signatures whose facts are no longer what was signed.

    Parameters
    ----------
    inventory : Inventory
    draft : IssueRecord
        The facts as they stand.
    records : sequence of IssueRecord
        All issues: the one that was signed tells what changed since.

    Yields
    ------
    Finding
    """
    digests = digests_of(draft.facts)
    earlier = {r.revision: digests_of(r.facts) for r in records} if inventory.signatures else {}
    for signature in inventory.signatures:
        place = _place(signature, draft.tags)
        if place is None:
            yield _finding(
                signature,
                "R111",
                f"{signature.name or 'somebody'} signed {signature.statement!r}, which is no statement of "
                f"{signature.drive or 'the site'}",
                "Write the drive's tag and the title of the sign-off block as printed.",
            )
        elif not signature.digest:
            yield _finding(
                signature,
                "R112",
                f"{signature.name} signed '{signature.statement}' without a digest: nothing tells what was signed",
                f"Write the digest printed beside the signature, now {digests.get(place, '')}.",
                Grade.NOTE,
            )
        elif _plain(digests.get(place, "")) != _plain(signature.digest):
            signed = next((r for r in reversed(records) if _same(earlier[r.revision], place, signature)), None)
            yield _void(signature, place, digests, draft, signed)


def newly_void(
    inventory: Inventory, former: IssueRecord | None, record: IssueRecord
) -> tuple[tuple[Signature, str], ...]:
    """Signatures that held at the former issue and hold no longer, each with its cause.

    Parameters
    ----------
    inventory : Inventory
    former : IssueRecord or None
    record : IssueRecord
    """
    if former is None or not inventory.signatures:
        return ()
    before, now = digests_of(former.facts), digests_of(record.facts)
    found = []
    for signature in inventory.signatures:
        place = _place(signature, record.tags)
        if place is None or not _same(before, place, signature) or _same(now, place, signature):
            continue
        finding = _void(signature, place, now, record, former)
        found.append((signature, finding.found.partition(": void, ")[2]))
    return tuple(found)


def _same(digests: Digests, place: tuple[str, str], signature: Signature) -> bool:
    return _plain(digests.get(place, "")) == _plain(signature.digest)


def _void(
    signature: Signature, place: tuple[str, str], digests: Digests, draft: IssueRecord, signed: IssueRecord | None
) -> Finding:
    """A void signature: who, when, what changed since, and the smallest retest."""
    owner, statement = place
    who = f"{signature.name} signed '{statement}' for {signature.drive or 'the site'}"
    who += f" on {signature.date.isoformat()}" if signature.date else ""
    cause, tests = "the digest is that of no issue", tuple[str, ...]()
    if signed is not None:
        scope = next(s for s in scopes() if s.statement == statement and (s.level == "site") == (owner == SITE))
        changes = [
            c for c in compare(signed, draft) if (owner in (SITE, c.owner)) and (c.key[3] == "" or scope.covers(c.key))
        ]
        typed = [c for c in changes if not c.chain] or changes
        more = f" and {len(changes) - 2} more" if len(changes) > 2 else ""
        cause = f"since revision {signed.revision}: " + "; ".join(c.words for c in typed[:2]) + more
        tests = joined([c.consequence for c in changes]).tests
    retest = f"Repeat: {', '.join(tests)}; then sign" if tests else "Compare with what was signed, then sign"
    found = f"{who}: void, {cause}"
    return _finding(signature, "R110", found, f"{retest} again with the digest {digests.get(place, '')}.")


def _finding(signature: Signature, code: str, found: str, remedy: str, grade: Grade = Grade.CAUTION) -> Finding:
    origin = signature.origin
    return Finding(
        code=code,
        grade=grade,
        sheet=origin.sheet or "Signatures",
        cell=origin.cell("digest"),
        tag=signature.drive,
        found=found,
        accepted="the digest printed beside the statement",
        remedy=remedy,
        column="digest",
    )


def rename_findings(draft: IssueRecord, last: IssueRecord | None) -> Iterable[Finding]:
    """Drives that are gone while a new one is nearly the same: renamed, with the row key lost?"""
    if last is None or set(draft.tags) == set(last.tags):
        return
    for change in compare(last, draft):
        if change.kind == "renamed?":
            yield Finding(
                code="R120",
                grade=Grade.CAUTION,
                sheet="Drives",
                cell="",
                tag=change.tag,
                found=change.words,
                accepted="the former tag under Formerly, or nothing",
                remedy=f"Fill Formerly of {change.tag}, or leave it blank when it is another drive.",
                column="formerly",
            )
