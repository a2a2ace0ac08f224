"""Which rows of each document carry a revision letter: those whose facts moved at that revision."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from binder.documents.marks import Marks, Struck
from binder.reissue.compare import Change, compare
from binder.reissue.facts import SITE, Key
from binder.reissue.record import IssuedDocument, IssueRecord
from binder.reissue.shows import SITE_DOCUMENTS, Shows

#: Groups whose items are the keys of rows, as they are.
_BY_ITEM = frozenset({"wire", "figure", "test", "lockout", "cable", "device", "punch"})
#: Groups of the site whose rows are keyed by what names them.
_BY_NAME = frozenset({"panel", "supply", "isolator", "contact", "instrument", "spare", "maintenance"})


def marks_of(records: Sequence[IssueRecord]) -> dict[str, Marks]:
    """The marks of every document as the last record stamps it, by the key of the document.

    A document marks what its own revision changed: one at B is compared with what stood before B.

    Parameters
    ----------
    records : sequence of IssueRecord
        First issue first; the last may be a draft.

    Returns
    -------
    dict
        Documents that nothing changed on, as on a first issue, are left out.
    """
    if not records:
        return {}
    before = {record.revision: former for former, record in pairwise(records)}
    at = {record.revision: record for record in records}
    changes: dict[str, tuple[Change, ...]] = {}
    found: dict[str, Marks] = {}
    for document in records[-1].documents:
        letter = document.revision
        if document.state != "current" or letter not in before:
            continue
        if letter not in changes:
            changes[letter] = compare(before[letter], at[letter])
        marks = _marks(document, changes[letter], before[letter], at[letter])
        if marks.rows or marks.struck:
            found[document.key] = marks
    return found


def _marks(document: IssuedDocument, changes: Iterable[Change], before: IssueRecord, after: IssueRecord) -> Marks:
    rows: set[tuple[str, str]] = set()
    struck: dict[tuple[str, str], Struck] = {}
    site = SITE_DOCUMENTS.get(document.key)
    for change in changes:
        if not _on(document, change, site):
            continue
        shown, now = _row(change, after, site)
        if shown and now:
            rows.add((shown, now))
        _, was = _row(change, before, site)
        if shown and was and change.kind == "removed" and _first_field(change.key):
            struck[shown, was] = Struck(shown, was, change.old)
    kept = {place for place in struck if place not in rows}
    return Marks(document.revision, frozenset(rows), tuple(struck[p] for p in sorted(kept)))


def _on(document: IssuedDocument, change: Change, site: Shows | None) -> bool:
    return site.covers(change.key) if site else change.owner == document.key


def _first_field(key: Key) -> bool:
    """True for the one field whose going means that the whole row went."""
    fields = {"wire": "ends", "setting": "value", "figure": "value", "cable": "tag"}
    return key[3] == fields.get(key[1], key[3])


def _row(change: Change, record: IssueRecord, site: Shows | None) -> tuple[str, str]:
    """What row of what kind of table shows a fact in a record; ('', '') when none does."""
    owner, group, item, _ = change.key
    there = any(k in record.facts for k in _relatives(change.key))
    if group == "setting":
        number = record.facts.get((owner, group, item, "number"))
        return group, number.value if number else ""
    if group in _BY_ITEM:
        return group, item if there else ""
    if owner == SITE and group in _BY_NAME:
        return group, item if there else ""
    if site is not None and group in ("drive", "motor"):
        return "drive", record.tags.get(owner, "")
    return "", ""


def _relatives(key: Key) -> Iterable[Key]:
    """The fact itself, and what else keeps its row on the sheet."""
    yield key
    if key[1] == "wire":
        yield (*key[:3], "ends")
    if key[1] == "figure":
        yield (*key[:3], "value")
