"""What changed between two issues, in the words of the trade, with cause and consequence."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from binder.reissue.consequences import NOTHING, Consequence, consequence_of
from binder.reissue.facts import SITE, Fact, Key
from binder.reissue.record import IssueRecord


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
        'changed', 'added', 'removed', 'corrected computation', 'new computation', 'unexplained'.
    words : str
        The change as a sentence.
    cause : str
        Which input moved, for computed values.
    consequence : Consequence
    """

    owner: str
    tag: str
    kind: str
    key: Key
    old: str
    new: str
    words: str
    cause: str
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
    changes: list[Change] = []
    gone = {k for k in old.tags if k not in new.tags}
    come = {k for k in new.tags if k not in old.tags}
    changes += [_whole(old, key, "removed") for key in sorted(gone)]
    changes += [_whole(new, key, "added") for key in sorted(come)]
    for key in sorted(set(old.facts) | set(new.facts)):
        if key[0] in gone or key[0] in come:
            continue
        before, after = old.facts.get(key), new.facts.get(key)
        if before is not None and after is not None and before.value == after.value:
            continue
        changes.append(_change(old, new, key, before, after))
    return tuple(sorted(changes, key=lambda c: (c.owner == SITE, c.tag, c.key)))


def _tag(old: IssueRecord, new: IssueRecord, owner: str) -> str:
    return new.tags.get(owner) or old.tags.get(owner) or "Site"


def _whole(record: IssueRecord, owner: str, kind: str) -> Change:
    tag = record.tags[owner]
    document = record.document(owner)
    words = f"{tag} {kind}."
    if kind == "removed" and document is not None:
        words += f" {document.number} is withdrawn, its last revision stays {document.revision}."
    consequence = Consequence(
        change=f"drive {kind}",
        documents=("packet", "front", "safety", "equipment", "supply", "cables", "labels"),
        tests=() if kind == "removed" else ("all tests of this drive",),
        signatures=() if kind == "removed" else ("site sign-offs that cover the schedules",),
        labels=(),
        site=("one-line", "short-circuit summary"),
    )
    return Change(owner, tag, kind, (owner, "drive", "drive", ""), "", "", words, "", consequence)


def _change(old: IssueRecord, new: IssueRecord, key: Key, before: Fact | None, after: Fact | None) -> Change:
    owner, group, item, name = key
    tag = _tag(old, new, owner)
    kind, cause = _kind(old, new, before, after)
    was = before.show if before else ""
    now = after.show if after else ""
    subject = _subject(group, item, name)
    if before is None:
        words = f"{subject}: added, {now}"
    elif after is None:
        words = f"{subject}: removed, was {was}"
    else:
        words = f"{subject}: {was} -> {now}"
    if cause:
        words += f", because {cause}"
    consequence = NOTHING if kind == "new computation" else consequence_of(key)
    return Change(owner, tag, kind, key, was, now, words, cause, consequence)


def _subject(group: str, item: str, name: str) -> str:
    plain = name.replace("_", " ")
    match group:
        case "setting":
            return f"setting {item.replace('_', ' ')}" + (" number" if name == "number" else "")
        case "figure":
            return f"figure {item.replace('.', ' ').replace('_', ' ')}"
        case "wire" | "test" | "lockout" | "device" | "terminal" | "cable" | "contact":
            return f"{group} {item} {plain}" if name not in ("ends", "limit", "isolation", "text") else f"{group} {item}"
        case "reading":
            return f"reading {item}"
    return f"{group} {plain}" if group == item or group == "site" else f"{group} {item} {plain}"


def _kind(old: IssueRecord, new: IssueRecord, before: Fact | None, after: Fact | None) -> tuple[str, str]:
    """How a fact changed, and for a computed one which inputs moved."""
    if before is None or after is None:
        computed = (after or before or Fact(("", "", "", ""), "", "")).rule
        if before is None and computed and old.software != new.software:
            return "new computation", f"software {new.software} computes it"
        return ("added" if before is None else "removed"), ""
    moved = _moved(before.cause, after.cause)
    if not (before.rule or after.rule):
        return "changed", moved
    if before.rule != after.rule:
        return "corrected computation", f"rule {before.rule} became {after.rule}"
    return ("changed", moved) if moved else ("unexplained", "")


def _moved(before: Iterable[str], after: Iterable[str]) -> str:
    old, new = _pairs(before), _pairs(after)
    parts = [
        f"{name} {old.get(name, 'nothing')} -> {new.get(name, 'nothing')}"
        for name in sorted({*old, *new})
        if old.get(name) != new.get(name)
    ]
    return ", ".join(parts[:3])


def _pairs(causes: Iterable[str]) -> Mapping[str, str]:
    return {name: value for name, _, value in (c.partition("=") for c in causes)}


def unexplained(changes: Iterable[Change]) -> tuple[Change, ...]:
    """Computed values that moved while inputs and rule stood still: a defect, never to be issued."""
    return tuple(c for c in changes if c.kind == "unexplained")


def changes_text(changes: Iterable[Change]) -> str:
    """Changes as a person reads them, grouped by drive."""
    lines: list[str] = []
    tag = ""
    for change in changes:
        if change.tag != tag:
            tag = change.tag
            lines += ["", tag]
        lines.append(f"  {change.words}")
        after = _after_words(change.consequence)
        if after:
            lines.append(f"      {after}")
    return "\n".join(lines).strip() or "Nothing changed."


def _after_words(consequence: Consequence) -> str:
    parts = []
    if consequence.signatures:
        parts.append("Void: " + ", ".join(consequence.signatures) + ".")
    if consequence.tests:
        parts.append("Repeat: " + ", ".join(consequence.tests) + ".")
    if consequence.labels:
        parts.append("Labels: " + ", ".join(consequence.labels) + ".")
    if consequence.site:
        parts.append("Look at: " + ", ".join(consequence.site) + ".")
    return " ".join(parts)
