"""Signatures: which facts each one covers, and whether these still are what was signed."""

from __future__ import annotations

import base64
import csv
import datetime as dt
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files

from binder.documents.marks import SignedOff
from binder.documents.nodes import Signature as SigningLine
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import fold
from binder.inventory.records import Inventory, Signature
from binder.reissue.compare import compare
from binder.reissue.consequences import consequence_of
from binder.reissue.facts import EVIDENCE, SITE, Fact, Key
from binder.reissue.record import IssueRecord, facts_digest
from binder.reissue.shows import by_place, supplied_from
from binder.reissue.words import joined

#: Whose statement: row key of a drive or 'site', and the statement.
Place = tuple[str, str]
_DAY = re.compile(r"\d{4}-\d\d-\d\d")


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


@lru_cache(maxsize=65536)
def _resting_on(group: str, item: str, name: str) -> tuple[Scope, ...]:
    """The statements that rest on such a fact, whoever owns it."""
    return tuple(scope for scope in scopes() if scope.covers((SITE, group, item, name)))


def _words(text: str) -> frozenset[str]:
    return frozenset(filter(None, text.split(";")))


def short(digest: str) -> str:
    """A digest short enough to be written by hand: eight letters and figures without 0, 1, 8 and 9.

    >>> short("00" * 32)
    'aaaa-aaaa'
    """
    text = base64.b32encode(bytes.fromhex(digest))[:8].decode("ascii").lower()
    return f"{text[:4]}-{text[4:]}"


class Covered:
    """What each statement covers, and the digest of that, worked out when asked for.

    A reading that was added after somebody signed is not part of what that person signed; one that was
    altered or removed is.

    Parameters
    ----------
    facts : mapping
    certified : bool
        Let what the site's statements cover be facts as well: the sheet that prints their digests shows all of that.
    """

    def __init__(self, facts: Mapping[Key, Fact], *, certified: bool = False) -> None:
        self.facts = facts
        self._found: dict[Place, list[Fact]] = {}
        for key, fact in facts.items():
            self._add(key[0], fact)
        places = by_place(fact for key, fact in facts.items() if key[0] == SITE)
        for owner in {key[0] for key in facts} - {SITE}:
            for fact in supplied_from(owner, facts, places):
                self._add(owner, fact)
        self._digests: dict[tuple[Place, str], str] = {}
        if certified:
            self._certify()

    def _certify(self) -> None:
        """Add what the site's statements cover to the facts."""
        statements = [statement for owner, statement in self._found if owner == SITE]
        digests = {statement: self.digest((SITE, statement)) for statement in statements}
        made = [Fact((SITE, "certificate", name, "covers"), digest, digest) for name, digest in digests.items()]
        facts = {**self.facts, **{fact.key: fact for fact in made}}
        self.facts = {key: facts[key] for key in sorted(facts)}
        for fact in made:
            self._add(SITE, fact)
        if any(_resting_on(*fact.key[1:]) for fact in made):
            self._digests.clear()

    def _add(self, owner: str, fact: Fact) -> None:
        """Put a fact under the statements that rest on it; one of the site under those of a drive it feeds."""
        for scope in _resting_on(*fact.key[1:]):
            on_site = scope.level == "site"
            if owner == fact.key[0] if on_site else owner != SITE:
                place = (SITE if on_site else owner, scope.statement)
                self._found.setdefault(place, []).append(fact)

    @property
    def places(self) -> Iterable[Place]:
        """Every statement of every drive and of the site."""
        return self._found

    def digest(self, place: Place, until: dt.date | None = None) -> str:
        """The short digest of a statement; '' when there is no such statement.

        Parameters
        ----------
        place : (row key of the drive or 'site', statement)
        until : date, optional
            Readings of later days are left out; those without a date count always.
        """
        day = until.isoformat() if until else ""
        if place not in self._found:
            return ""
        if (place, day) not in self._digests:
            facts = (f for f in self._found[place] if not (day and _day(f.key) > day))
            self._digests[place, day] = short(facts_digest(facts))
        return self._digests[place, day]


def _day(key: Key) -> str:
    """The day of a reading, '' for everything else."""
    last = key[2].rpartition(" ")[2]
    return last if key[1] in EVIDENCE and _DAY.fullmatch(last) else ""


def signed_off(inventory: Inventory, tags: Mapping[str, str], covered: Covered) -> dict[str, dict[str, SignedOff]]:
    """What to print beside each statement: document key -> statement -> digest and names.

    Parameters
    ----------
    inventory : Inventory
    tags : mapping of str to str
        Row key of each drive -> its tag.
    covered : Covered
        The facts as they stand.
    """
    lines: dict[tuple[str, str], list[SigningLine]] = {}
    for signature in inventory.signatures:
        place = _place(signature, tags)
        if place is None:
            continue
        state = "valid" if _holds(covered, place, signature) else "void"
        date = signature.date.isoformat() if signature.date else ""
        line = SigningLine(signature.role, signature.name, date, state if signature.digest else "")
        lines.setdefault(place, []).append(line)
    found: dict[str, dict[str, SignedOff]] = {}
    for place in covered.places:
        owner, statement = place
        document = "handover" if owner == SITE else owner
        found.setdefault(document, {})[statement] = SignedOff(covered.digest(place), tuple(lines.get(place, ())))
    return found


def _plain(digest: str) -> str:
    return "".join(c for c in digest.casefold() if c.isalnum())


def _place(signature: Signature, tags: Mapping[str, str]) -> Place | None:
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
    if not inventory.signatures:
        return
    now = Covered(draft.facts)
    earlier = [(r, Covered(r.facts)) for r in reversed(records)]
    # A drive that was renamed keeps its signatures, one that is gone keeps them for history.
    known = {key: tag for record in records for key, tag in record.tags.items()} | dict(draft.tags)
    past = [record.tags for record in reversed(records)]
    for signature in inventory.signatures:
        place = next(filter(None, (_place(signature, tags) for tags in (draft.tags, *past))), None)
        if place is not None and place[0] != SITE and place[0] not in draft.tags:
            yield _finding(
                signature,
                "R113",
                f"{signature.name} signed '{signature.statement}' for {known[place[0]]}, no longer on this site",
                "Nothing to do: it is kept for history.",
                Grade.NOTE,
            )
        elif place is None:
            yield _finding(
                signature,
                "R111",
                f"{signature.name or 'somebody'} signed '{signature.statement}', which is no statement of "
                f"{signature.drive or 'the site'}",
                "Write the drive's tag and the title of the sign-off block as printed.",
            )
        elif not signature.digest:
            yield _finding(
                signature,
                "R112",
                f"{signature.name} signed '{signature.statement}' without a digest: nothing tells what was signed",
                f"Write the digest printed beside the signature, now {now.digest(place)}.",
                Grade.NOTE,
            )
        elif not _holds(now, place, signature):
            signed = next((r for r, then in earlier if _holds(then, place, signature)), None)
            yield _void(signature, place, now.digest(place), draft, signed)


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
    before, now = Covered(former.facts), Covered(record.facts)
    found = []
    for signature in inventory.signatures:
        place = _place(signature, record.tags)
        if place is None or not _holds(before, place, signature) or _holds(now, place, signature):
            continue
        finding = _void(signature, place, now.digest(place), record, former)
        found.append((signature, finding.found.partition(": void, ")[2]))
    return tuple(found)


def _holds(covered: Covered, place: Place, signature: Signature) -> bool:
    """True when what was signed is what stands: with the readings up to the day of signing, or with all."""
    digests = {covered.digest(place, signature.date), covered.digest(place)}
    return _plain(signature.digest) in {_plain(digest) for digest in digests}


def _void(signature: Signature, place: Place, digest: str, draft: IssueRecord, signed: IssueRecord | None) -> Finding:
    """A void signature: who, when, what changed since, and the smallest retest."""
    owner, statement = place
    who = f"{signature.name} signed '{statement}' for {signature.drive or 'the site'}"
    who += f" on {signature.date.isoformat()}" if signature.date else ""
    cause, tests = "the digest is that of no issue", tuple[str, ...]()
    if signed is not None:
        scope = next(s for s in scopes() if s.statement == statement and (s.level == "site") == (owner == SITE))
        changes = [
            c
            for c in compare(signed, draft.without_cells())  # the words are printed
            if (owner in (SITE, c.owner) or c.key[1] in ("panel", "supply")) and (c.key[3] == "" or scope.covers(c.key))
        ]
        typed = [c for c in changes if not c.chain] or changes
        more = f" and {len(changes) - 2} more" if len(changes) > 2 else ""
        cause = f"since revision {signed.revision}: " + "; ".join(c.words for c in typed[:2]) + more
        tests = joined([c.consequence for c in changes]).tests
    retest = f"Repeat: {', '.join(tests)}; then sign" if tests else "Compare with what was signed, then sign"
    found = f"{who}: void, {cause}"
    return _finding(signature, "R110", found, f"{retest} again with the digest {digest}.")


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
