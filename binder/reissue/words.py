"""Changes as a person reads them: grouped by drive, many alike in one line, the consequence last."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from itertools import groupby

from binder.field.sheets import GATES
from binder.reissue.compare import Change
from binder.reissue.consequences import NOTHING, Consequence
from binder.reissue.facts import EVIDENCE

#: More changes than this in one group of one drive become one line with a table behind.
_MANY = 6
#: What follows from other changes, and is counted from two on.
_COUNTED = frozenset({"fault check", "requirement"})
#: Test lines of one sheet that are still named one by one.
_FEW = 4
_PLURALS = {
    "setting": "settings", "figure": "computed figures", "test": "test limits", "wire": "wire entries",
    "terminal": "terminal functions", "model": "ratings of the drive model", "motor": "entries of the motor plate",
    "label": "labels", "material": "wiring materials",
    "finding": "findings", "cable": "cable entries", "as left": "values as found and left",
    "reading": "readings", "machine": "entries of the driven machine", "device": "control devices",
    "lockout": "lines of the lockout card", "fault check": "checks of fault finding",
    "requirement": "requirements or their results", "contact": "contacts", "drive": "entries of the drive",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a change list; `members` are the changes behind it."""

    tag: str
    words: str
    consequence: Consequence
    members: tuple[Change, ...]

    @property
    def table_behind(self) -> bool:
        """True when the line stands for many changes."""
        return len(self.members) > 1


def lines_of(changes: Iterable[Change]) -> tuple[Line, ...]:
    """Change lines in order; a crowd of like changes on one drive is one line.

    Parameters
    ----------
    changes : iterable of Change
        As `compare` sorts them.

    Returns
    -------
    tuple of Line
    """
    lines: list[Line] = []
    for (tag, _, group), run in groupby(changes, key=lambda c: (c.tag, c.owner, c.key[1])):
        members = tuple(run)
        many = 1 if group in _COUNTED else _MANY
        if len(members) <= many or group not in _PLURALS:
            lines += [Line(tag, c.words, c.consequence, (c,)) for c in members]
        else:
            lines.append(Line(tag, _crowd(group, members), joined([c.consequence for c in members]), members))
    return tuple(lines)


def _crowd(group: str, members: tuple[Change, ...]) -> str:
    """Words for many changes of one group."""
    items = dict.fromkeys(c.key[2] for c in members)
    words = f"{len(items) if len(items) > 1 else len(members)} {_PLURALS[group]} changed"
    renumbered = {c.key[2] for c in members if c.key[3] == "number"}
    if group == "setting" and renumbered:
        valued = {c.key[2] for c in members if c.key[3] == "value"}
        words = f"{len(items)} settings: {len(renumbered)} have another number, {len(valued)} another value"
    causes = dict.fromkeys(c.chain[0] for c in members if c.chain)
    if causes:
        words += f", because {'; '.join(list(causes)[:2])}" + (" and more" if len(causes) > 2 else "")
    return words


def _turn(statement: str) -> int:
    """When a statement is signed: the design's first, then gate after gate."""
    return GATES.index(statement) if statement in GATES else -1


def joined(consequences: Iterable[Consequence]) -> Consequence:
    """The consequences of several changes as one, each word once."""
    several = list(consequences)
    merged = {
        f.name: tuple(dict.fromkeys(word for c in several for word in getattr(c, f.name)))
        for f in fields(Consequence)
        if f.name != "change"
    }
    merged["signatures"] = tuple(sorted(merged["signatures"], key=_turn))
    return Consequence("; ".join(dict.fromkeys(c.change for c in several)), **merged)


def changes_text(changes: Iterable[Change]) -> str:
    """Changes as text for a terminal."""
    out: list[str] = []
    tag = ""
    for line in lines_of(changes):
        if line.tag != tag:
            tag = line.tag
            out += ["", tag]
        out.append(f"  {line.words}")
        after = after_words(line.consequence)
        if after:
            out.append(f"      {after}")
    return "\n".join(out).strip() or "Nothing changed."


def after_words(consequence: Consequence) -> str:
    """What a change brings with it, in one paragraph; '' when nothing."""
    if consequence.change == NOTHING.change:
        return "Typing only: voids nothing."
    parts = [
        f"{head}: {', '.join(words)}."
        for head, words in (
            ("Void", consequence.signatures),
            ("Repeat", consequence.tests),
            ("Labels", consequence.labels),
            ("Look at", consequence.site),
        )
        if words
    ]
    return " ".join(parts)


def needs(changes: Iterable[Change]) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """Tests to repeat, labels to replace and site papers to look at, with 'that wire' by its name, each once.

    Parameters
    ----------
    changes : iterable of Change

    Returns
    -------
    tests, labels, site : tuple of str
    """
    several = list(changes)
    tests = dict.fromkeys(_named(word, c) for c in several for word in c.consequence.tests)
    labels = dict.fromkeys(_named(word, c) for c in several for word in c.consequence.labels)
    return _by_sheet(tests), tuple(labels), tuple(dict.fromkeys(w for c in several for w in c.consequence.site))


def _by_sheet(tests: Iterable[str]) -> tuple[str, ...]:
    """Many lines of one test sheet as one phrase."""
    sheets: dict[str, list[str]] = {}
    for test in tests:
        line = test.removeprefix("test ")
        sheets.setdefault(line.partition(".")[0] if line != test else test, []).append(test)
    said: list[str] = []
    for sheet, lines in sheets.items():
        said += lines if len(lines) <= _FEW else [f"{len(lines)} lines of test sheet {sheet}"]
    return tuple(said)


def _named(word: str, change: Change) -> str:
    """'that wire' and its like by name.

    A drive that needs all its tests is not told each of them.
    """
    group, item = change.key[1], change.key[2]
    shown = (change.new or change.old).partition(": ")[0]
    if group == "setting":
        word = word.replace("that setting", f"setting {shown}").replace("that trip", f"trip by {shown}")
        return word.replace("that point", f"network point set by {shown}")
    if group == "wire":
        number = shown.partition(",")[0]
        return (
            word.replace("that wire", f"wire {number}")
            .replace("that terminal", f"the terminals of {item}")
            .replace("wire marker", f"wire marker {number}")
        )
    if group == "test":
        return word.replace("that test", f"test {item}")
    if group in EVIDENCE:
        line = item.partition(" ")[0]
        return word.replace("that test", f"test {line}").replace("that setting", f"setting {line}")
    if group in ("terminal", "device"):
        return word.replace(f"that {group}", f"{group} {item}")
    return word.replace("this label", item).replace("that point", f"point {item}")
