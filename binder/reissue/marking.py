"""Which rows of each document carry a revision letter: those whose facts moved at that revision."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from binder.documents.marks import Marks, Struck
from binder.reissue.compare import Change, compare
from binder.reissue.facts import SITE, Fact, Key
from binder.reissue.record import IssuedDocument, IssueRecord
from binder.reissue.shows import SITE_DOCUMENTS, Shows, by_owner, by_place, supplied_from

#: Groups whose items are the keys of rows, as they are.
_BY_ITEM = frozenset(
    {
        "figure", "lockout", "device", "punch", "defeat", "mode", "restart", "terminal", "finding",
        "fault code", "fault check",
    }
)  # fmt: skip
#: Groups whose fields stand on a plate of the packet.
_PLATES = frozenset({"drive", "motor", "machine", "model", "supply"})
#: Groups of the site whose rows are keyed by what names them.
_BY_NAME = frozenset(
    {"panel", "supply", "isolator", "contact", "instrument", "spare", "maintenance", "training", "warranty"}
)
#: Groups of a drive -> the table of a site document that has one row a drive for them.
_BY_TAG = {"drive": "drive", "motor": "drive", "network": "node", "mode": "start", "restart": "start",
           "defeat": "defeat"}  # fmt: skip

#: A line of a sweep: 'C3', its sweep, the point in percent, a current.
_SWEEP = re.compile(r"C3\..*\.([\d.]+)\.[UVW]\b")

Place = tuple[str, str]
#: What `compare` says of a drive that came or went: group, item and no field.
_WHOLE_DRIVE = ("drive", "drive", "")


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
    steps: dict[str, _Step] = {}
    found: dict[str, Marks] = {}
    for document in records[-1].documents:
        letter = document.revision
        if document.state != "current" or letter not in before:
            continue
        if letter not in steps:
            steps[letter] = _step(before[letter], at[letter])
        marks = _marks(document, steps[letter])
        if marks.rows or marks.struck:
            found[document.key] = marks
    return found


@dataclass(frozen=True, slots=True)
class _Sorted:
    """A record with its facts by owner and the site's by place, so that a document need not go through all."""

    record: IssueRecord
    owned: Mapping[str, Sequence[Fact]]
    places: Mapping[Place, Sequence[Fact]]


@dataclass(frozen=True, slots=True)
class _Step:
    """Two records, and what changed from one to the next: all of it, and by owner."""

    before: _Sorted
    after: _Sorted
    changes: Sequence[Change]
    owned: Mapping[str, Sequence[Change]]


def _step(before: IssueRecord, after: IssueRecord) -> _Step:
    changes = compare(before, after)
    owned: dict[str, list[Change]] = {}
    for change in changes:
        owned.setdefault(change.owner, []).append(change)
    return _Step(_sorted(before), _sorted(after), changes, owned)


def _sorted(record: IssueRecord) -> _Sorted:
    owned = by_owner(record.facts)
    return _Sorted(record, owned, by_place(owned.get(SITE, ())))


def _marks(document: IssuedDocument, step: _Step) -> Marks:
    rows: set[Place] = set()
    struck: dict[Place, Struck] = {}
    site = SITE_DOCUMENTS.get(document.key)
    before, after = step.before, step.after
    for change in step.changes if site else _of_packet(document.key, step):
        if site is not None and change.key[1:] == _WHOLE_DRIVE:
            there = _rows_of_drive(change, before if change.kind == "removed" else after, site)
            if change.kind == "removed":
                struck.update(there)
            else:
                rows.update(there)
        if site is not None and not site.covers(change.key):
            continue
        old = list(_rows(_former_key(change, before), before.record, site))
        new = list(_rows(change.key, after.record, site))
        rows.update(new)
        if change.kind == "moved":  # the terminal that the wire left stays on the plan
            rows.update(place for place in old if place[0] == "end")
        if change.kind in ("removed", "moved") and _first_field(change.key):
            struck.update({place: Struck(*place, change.old) for place in old if place not in new})
    rows.update(_other_inputs(document.key, before, after))
    kept = {place for place in struck if place not in rows}
    return Marks(document.revision, frozenset(rows), tuple(struck[p] for p in sorted(kept)))


def _of_packet(owner: str, step: _Step) -> Iterator[Change]:
    """Changes of a drive, then of what its packet prints of its panel and supply; nothing for other documents."""
    yield from step.owned.get(owner, ())
    supplied = {
        fact.key for side in (step.before, step.after) for fact in supplied_from(owner, side.record.facts, side.places)
    }
    yield from (change for change in step.owned.get(SITE, ()) if change.key in supplied)


def _other_inputs(owner: str, before: _Sorted, after: _Sorted) -> Iterator[Place]:
    """Figures of one value from other inputs: these stand in the row."""
    if before.record.software != after.record.software:
        return
    for fact in after.owned.get(owner, ()):
        former = before.record.facts.get(fact.key)
        if fact.key[1] == "figure" and former is not None and former.cause != fact.cause:
            yield "figure", fact.key[2]


def _rows_of_drive(change: Change, side: _Sorted, site: Shows) -> dict[Place, Struck]:
    """The rows of a site document that came or went with a drive, and what they say."""
    found: dict[Place, Struck] = {}
    for fact in side.owned.get(change.owner, ()):
        if site.covers(fact.key):
            for place in _rows(fact.key, side.record, site):
                words = change.words if place[0] == "drive" else fact.show
                found.setdefault(place, Struck(*place, words))
    return found


def _first_field(key: Key) -> bool:
    """True for the one field whose going means that the whole row went."""
    fields = {"wire": "ends", "setting": "value", "figure": "value", "cable": "tag"}
    return key[3] == fields.get(key[1], key[3])


def _former_key(change: Change, before: _Sorted) -> Key:
    """Under which key the fact stood before: a moved wire had other ends."""
    if change.kind != "moved":
        return change.key
    ends = (f for f in before.owned.get(change.owner, ()) if (f.key[1], f.key[3]) == ("wire", "ends"))
    return next((f.key for f in ends if f.show == change.old), change.key)


def _rows(key: Key, record: IssueRecord, site: Shows | None) -> Iterator[Place]:
    """What rows of what kinds of tables show a fact in a record; nothing when it is not there."""
    owner, group, item, name = key
    fact = next((record.facts[k] for k in _relatives(key) if k in record.facts), None)
    tag = record.tags.get(owner, "")
    if fact is None:
        return
    if group == "requirement":  # the site's page has one row for all of a kind
        yield group, item if site is None else f"{tag} {item.partition(' ')[0]}"
    elif group in _OWN_WAY:
        yield from _OWN_WAY[group](key, fact, record)
    elif group in _BY_ITEM or (owner == SITE and group in _BY_NAME):
        yield group, item
    if group in _PLATES:
        yield "plate", f"{group} {name}"
    if site is not None and tag and group in _BY_TAG:
        yield _BY_TAG[group], tag


def _of_setting(key: Key, _: Fact, record: IssueRecord) -> Iterator[Place]:
    number = record.facts.get((*key[:3], "number"))
    if number is not None:
        yield "setting", number.value


def _of_wire(key: Key, fact: Fact, _: IssueRecord) -> Iterator[Place]:
    yield "wire", key[2]
    yield from (("end", end) for end in _ends(fact))


def _of_cable(key: Key, _: Fact, record: IssueRecord) -> Iterator[Place]:
    yield "cable", key[2]
    yield "control cable", f"{record.tags.get(key[0], '')} {key[2]}"


def _of_label(key: Key, fact: Fact, record: IssueRecord) -> Iterator[Place]:
    """Several labels may stand in one place; the markers of a strip are one row."""
    tag, (kind, _on, place) = record.tags.get(key[0], ""), key[2].partition(" on ")
    for one in fact.value.split("; "):
        text = place.partition(":")[0] if kind == "terminal marker" else one.partition(" x ")[2]
        yield "label", f"{tag} {kind} {text}"


def _of_line(key: Key, _: Fact, __: IssueRecord) -> Iterator[Place]:
    """A test line, or a reading of one: its row, and the door card's when it is a current of a sweep."""
    yield "test", key[2].partition(" ")[0]
    if point := _SWEEP.match(key[2]):
        yield "speed", f"{point[1]} %"


def _of_gate(key: Key, _: Fact, record: IssueRecord) -> Iterator[Place]:
    yield "gate", f"{record.tags.get(key[0], '')} {key[2]}"


#: Groups whose rows are not named by the fact's item alone.
_OWN_WAY: Mapping[str, Callable[[Key, Fact, IssueRecord], Iterator[Place]]] = {
    "setting": _of_setting,
    "wire": _of_wire,
    "cable": _of_cable,
    "label": _of_label,
    "test": _of_line,
    "reading": _of_line,
    "gate": _of_gate,
}


def _ends(fact: Fact) -> list[str]:
    """The two ends of a wire, each a terminal of the plan: from '109, T1:10 to S1:13'."""
    return fact.show.rpartition(", ")[2].split(" to ")


def _relatives(key: Key) -> Iterator[Key]:
    """What keeps the row of a fact on the sheet, and the fact itself."""
    if key[1] == "wire":
        yield (*key[:3], "ends")
    if key[1] == "figure":
        yield (*key[:3], "value")
    yield key
