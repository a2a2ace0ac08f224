"""What changed between two issues, in the words of the trade, with cause and consequence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any

from binder.inventory.lookup import natural
from binder.reissue.causes import Causes, Pair, change_words, was_and_now
from binder.reissue.consequences import NOTHING, Consequence, consequence_of
from binder.reissue.facts import EVIDENCE, SITE, Fact, Key
from binder.reissue.record import IssueRecord

#: Share of equal facts above which a removed and an added drive may be one that was renamed.
_ALIKE = 0.8


@dataclass(frozen=True, slots=True)
class Change:
    """One change of one fact.

    Parameters
    ----------
    owner : str
        Row key of the drive, or 'site'.
    tag : str
        The drive's tag now, or before when it is gone.
    kind : str
        'changed', 'added', 'removed', 'moved', 'renamed', 'renamed?', 'reworded', 'corrected computation',
        'new computation', 'unexplained'.
    words : str
        The change as a sentence.
    chain : tuple of str
        Why, from the workbook's cell through figures to this change; empty for what was typed.
    consequence : Consequence
    """

    owner: str
    tag: str
    kind: str
    key: Key
    old: str
    new: str
    words: str
    chain: tuple[str, ...]
    consequence: Consequence

    def as_dict(self) -> dict[str, Any]:
        """Plain data, for --json."""
        return {**asdict(self), "key": list(self.key)}


def compare(old: IssueRecord, new: IssueRecord) -> tuple[Change, ...]:
    """All changes between two records, by drive, then by group.

    Parameters
    ----------
    old, new : IssueRecord

    Returns
    -------
    tuple of Change
        Empty when nothing but order, spelling, layout or software differs.
    """
    gone = {k for k in old.tags if k not in new.tags}
    come = {k for k in new.tags if k not in old.tags}
    changes = [_whole(old, key, "removed") for key in sorted(gone)]
    changes += [_whole(new, key, "added") for key in sorted(come)]
    changes += _perhaps_renamed(old, new, gone, come)
    causes = Causes(old, new)
    for owner, keys in causes.moved.items():
        if owner in gone or owner in come:
            continue
        changes += _moved_wires(
            [_change(old, new, key, pair, causes) for key, pair in keys.items() if not _told_already(key, pair, keys)]
        )
    changes += _reworded(old, new, {c.key[:3] for c in changes})
    return tuple(sorted(changes, key=_place))


#: Groups in the order in which a person reads them: what was done, what follows from it, papers last.
_ORDER = (
    "drive", "motor", "machine", "model", "supply", "panel", "isolator", "cable", "network", "wire", "terminal",
    "device", "mode", "setting", "restart", "lockout", "test", "fault code", "fault check",
    "label", "material", "figure",
)  # fmt: skip


def _place(change: Change) -> tuple[Any, ...]:
    """Where a change stands in the list: test 50 before test 100."""
    owner, group, item, name = change.key
    rank = _ORDER.index(group) if group in _ORDER else len(_ORDER)
    return owner == SITE, change.tag, change.kind != "renamed", rank, owner, group, natural(item), item, name


def _reworded(old: IssueRecord, new: IssueRecord, told: set[tuple[str, str, str]]) -> Iterator[Change]:
    """Facts of one meaning in other words: typing. Words of another version of the tool are no change.

    A row that is told already, as a setting with another number, is not told again.
    """
    if old.software != new.software:
        return
    for key, before in old.facts.items():
        after = new.facts.get(key)
        if after is not None and key[:3] not in told and after.value == before.value and after.show != before.show:
            tag = new.tags.get(key[0], "Site")
            words = change_words(key, before, after)
            yield Change(key[0], tag, "reworded", key, before.show, after.show, words, (), NOTHING)


#: The field that tells a row's coming or going; its other fields then are no changes of their own.
_TELLS = {"setting": "value", "wire": "ends"}


def _told_already(key: Key, pair: tuple[Fact | None, Fact | None], moved: Mapping[Key, Pair]) -> bool:
    """True for a field of a row that came or went as a whole."""
    teller = _TELLS.get(key[1], key[3])
    return teller != key[3] and None in pair and None in moved.get((*key[:3], teller), ())


def _moved_wires(changes: list[Change]) -> list[Change]:
    """A wire that went and one that came with one end in common: moved."""
    gone = {c.key: c for c in changes if c.key[1] == "wire" and c.kind == "removed"}
    kept = [c for c in changes if c.key not in gone]
    for place, change in enumerate(kept):
        if change.key[1] != "wire" or change.kind != "added":
            continue
        mates = [c for c in gone.values() if c.owner == change.owner and len(_ends(c.old) & _ends(change.new)) == 1]
        if len(mates) != 1:
            continue
        former = gone.pop(mates[0].key)
        stays = _ends(former.old) & _ends(change.new)
        (left,), (found,), (stay,) = _ends(former.old) - stays, _ends(change.new) - stays, stays
        words = f"wire {change.new.partition(',')[0]} moved from {left} to {found}; its end at {stay} stays"
        kept[place] = replace(change, kind="moved", old=former.old, words=words)
    return [*kept, *gone.values()]


def _ends(show: str) -> frozenset[str]:
    """The two ends of a wire, from '109, -T1:10 to -S1:13'."""
    return frozenset(show.partition(", ")[2].split(" to "))


def _whole(record: IssueRecord, owner: str, kind: str) -> Change:
    """A drive that came or went, as one change."""
    tag = record.tags[owner]
    document = record.document(owner)
    words = f"{tag} {kind}."
    if kind == "removed" and document is not None:
        words += f" {document.number} is withdrawn, its last revision stays {document.revision}."
    consequence = Consequence(
        change=f"drive {kind}",
        documents=("packet", "front", "safety", "equipment", "supply", "cables", "labels"),
        tests=() if kind == "removed" else ("all tests of this drive",),
        signatures=() if kind == "removed" else ("site certificates that cover the schedules",),
        labels=(),
        site=("one-line", "short-circuit summary"),
    )
    return Change(owner, tag, kind, (owner, "drive", "drive", ""), "", "", words, (), consequence)


def _perhaps_renamed(old: IssueRecord, new: IssueRecord, gone: set[str], come: set[str]) -> Iterator[Change]:
    """A removed and an added drive that are nearly the same: renamed with its row key lost?"""
    for former in sorted(gone):
        before = {k[1:]: f.value for k, f in old.facts.items() if k[0] == former}
        for owner in sorted(come):
            after = {k[1:]: f.value for k, f in new.facts.items() if k[0] == owner}
            same = sum(after.get(k) == v for k, v in before.items())
            share = same / max(len(before), len(after), 1)
            if share < _ALIKE:
                continue
            serial = ("drive", "drive", "serial")
            known = ", same serial number" if before.get(serial) and before.get(serial) == after.get(serial) else ""
            words = (
                f"{old.tags[former]} is gone and {new.tags[owner]} is new, {share:.0%} alike{known}: renamed? "
                f"Then write {old.tags[former]} into its cell 'Formerly' on the sheet Drives."
            )
            key = (owner, "drive", "drive", "formerly")
            yield Change(owner, new.tags[owner], "renamed?", key, former, owner, words, (), NOTHING)


def _change(
    old: IssueRecord, new: IssueRecord, key: Key, pair: tuple[Fact | None, Fact | None], causes: Causes
) -> Change:
    owner, group, _, name = key
    before, after = pair
    tag = new.tags.get(owner) or old.tags.get(owner) or "Site"
    kind, chain = _kind(old, new, key, pair, causes)
    was, now = was_and_now(before, after)
    words = change_words(key, before, after)
    if (group, name) == ("drive", "tag") and before and after:
        kind, words = "renamed", f"renamed {was} -> {now}; tests and readings stand, it is the same machine"
    if chain:
        words += f", because {chain[-1]}"
    consequence = NOTHING if kind == "new computation" else consequence_of(key)
    if kind == "added" and group in EVIDENCE:  # one more is no change of what was signed
        consequence = Consequence(f"{group} added", documents=consequence.documents)
    return Change(owner, tag, kind, key, was, now, words, chain, consequence)


def _kind(
    old: IssueRecord, new: IssueRecord, key: Key, pair: tuple[Fact | None, Fact | None], causes: Causes
) -> tuple[str, tuple[str, ...]]:
    """How a fact changed, and from what."""
    before, after = pair
    if before is None or after is None:
        fact = after or before
        if before is None and fact is not None and fact.rule and old.software != new.software:
            return "new computation", (f"software {new.software} computes it",)
        return ("added" if before is None else "removed"), ()
    chain = causes.chain(key)
    if not (before.rule or after.rule):
        return "changed", chain
    if before.rule != after.rule and not chain:
        return "corrected computation", (f"rule {before.rule} became {after.rule}",)
    if chain or causes.explained(key[0]):
        return "changed", chain
    return "unexplained", ()


def unexplained(changes: Iterable[Change]) -> tuple[Change, ...]:
    """Computed values that moved while inputs and rule stood still: a defect, never to be issued."""
    return tuple(c for c in changes if c.kind == "unexplained")
