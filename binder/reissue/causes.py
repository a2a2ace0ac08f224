"""Why a computed value moved: from the workbook's cell through figures to the page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from binder.reissue.facts import SITE, Fact, Key
from binder.reissue.record import IssueRecord

#: Groups that hold what was typed into the workbook.
TYPED = frozenset(
    {
        "site",
        "supply",
        "panel",
        "isolator",
        "drive",
        "motor",
        "machine",
        "model",
        "cable",
        "network",
        "contact",
        "spare",
    }
)
#: Where the value of a setting comes from -> groups of facts that may have moved it.
_SOURCES = {
    "plate": ("motor",),
    "sheet": ("drive", "machine", "network", "model"),
    "map": ("drive", "model"),
    "wiring": ("wire", "device", "mode"),
    "override": ("drive",),
}
_LONGEST = 3  # causes named of one change

Pair = tuple[Fact | None, Fact | None]


def moved_inputs(before: Iterable[str], after: Iterable[str]) -> list[tuple[str, str, str]]:
    """Inputs that moved, as (name, old, new).

    Examples
    --------
    >>> moved_inputs(["speed=1760 rpm", "poles=4"], ["speed=1750 rpm", "poles=4"])
    [('speed', '1760 rpm', '1750 rpm')]
    """
    old, new = _pairs(before), _pairs(after)
    return [
        (name, old.get(name, "nothing"), new.get(name, "nothing"))
        for name in sorted({*old, *new})
        if old.get(name) != new.get(name)
    ]


def _pairs(causes: Iterable[str]) -> Mapping[str, str]:
    return {name: value for name, _, value in (c.partition("=") for c in causes)}


class Causes:
    """Finds the causes of changes between two records.

    Parameters
    ----------
    old, new : IssueRecord
    """

    def __init__(self, old: IssueRecord, new: IssueRecord) -> None:
        self.moved: dict[str, dict[Key, Pair]] = {}
        for key in sorted(set(old.facts) | set(new.facts)):
            before, after = old.facts.get(key), new.facts.get(key)
            if before is None or after is None or before.value != after.value:
                self.moved.setdefault(key[0], {})[key] = (before, after)
        self.typed = {owner for owner, keys in self.moved.items() if any(k[1] in TYPED for k in keys)}

    def explained(self, owner: str) -> bool:
        """True when anything typed moved that a figure of this owner may rest on."""
        return bool({owner, SITE} & self.typed) or (owner == SITE and bool(self.typed))

    def chain(self, key: Key, depth: int = 4) -> tuple[str, ...]:
        """The causes of a change, the cell first; empty for what was typed."""
        owner, group, item, name = key
        before, after = self.moved.get(owner, {}).get(key, (None, None))
        if depth == 0 or before is None or after is None:
            return ()
        if group == "figure":
            return self._of_inputs(owner, before, after, depth)
        if group == "setting" and name == "value":
            return self._of_setting(owner, item, after, depth)
        if group == "setting" and name == "number":
            return self._words((owner, "drive", "drive", "model"))
        if group == "test":
            proved = [(owner, "setting", p, "value") for p in after.cause]
            proved += [(owner, "wire", p, "ends") for p in after.cause]
            return next((self._with(k, depth) for k in proved if k in self.moved[owner]), ())
        return ()

    def _with(self, key: Key, depth: int) -> tuple[str, ...]:
        """The causes of another change, and then that change."""
        return (*self.chain(key, depth - 1), *self._words(key))

    def _words(self, key: Key) -> tuple[str, ...]:
        pair = self.moved.get(key[0], {}).get(key)
        return (change_words(key, *pair),) if pair else ()

    def _of_inputs(self, owner: str, before: Fact, after: Fact, depth: int) -> tuple[str, ...]:
        """Inputs of a figure: a cell, or another figure with its own causes."""
        found: list[str] = []
        for name, old, new in moved_inputs(before.cause, after.cause)[:_LONGEST]:
            source = self._named(owner, name)
            found += self._with(source, depth) if source else (f"{name}: {old} -> {new}",)
        return tuple(dict.fromkeys(found))

    def _named(self, owner: str, name: str) -> Key | None:
        """The moved fact that an input's name means: a figure by its name, a cell by sheet and column."""
        group, _, field = name.partition(" ")
        for key, (before, after) in {**self.moved.get(SITE, {}), **self.moved.get(owner, {})}.items():
            fact = after or before
            if key[1] == "figure" and fact is not None and fact.show.partition(": ")[0] == name and key[3] == "value":
                return key
            if key[1] == group and key[3] == field.replace(" ", "_"):
                return key
        return None

    def _of_setting(self, owner: str, item: str, after: Fact, depth: int) -> tuple[str, ...]:
        """What moved a setting, by the source that its row names."""
        source, _, reason = after.cause[0].partition("=") if after.cause else ("", "", "")
        if source.startswith("figure "):
            return self._with((owner, "figure", source.removeprefix("figure "), "value"), depth)
        moved = self.moved[owner]
        words = set(item.replace("motor_", "").split("_"))
        candidates = [k for k in moved if k[1] in _SOURCES.get(source, ()) and k[3] != "tag"]
        best = max((len(words & set(k[3].split("_"))) for k in candidates), default=0)
        chosen = [k for k in candidates if len(words & set(k[3].split("_"))) == best] if best else candidates
        return tuple(w for k in chosen[:_LONGEST] for w in self._words(k)) or ((reason,) if reason else ())


def was_and_now(before: Fact | None, after: Fact | None) -> tuple[str, str]:
    """What a fact said and says: as shown, or its whole value where that alone tells the two apart.

    >>> key = ("k", "test", "P1.X1:1~S1:13", "may turn")
    >>> was_and_now(Fact(key, "yes; 24 V", "X1:1 to S1:13: yes"), Fact(key, "yes; 0 V", "X1:1 to S1:13: yes"))
    ('yes; 24 V', 'yes; 0 V')
    """
    was, now = before.show if before else "", after.show if after else ""
    return (before.value, after.value) if before and after and was == now else (was, now)


def change_words(key: Key, before: Fact | None, after: Fact | None) -> str:
    """A change in words, old and new in the same spelling.

    Examples
    --------
    >>> old, new = Fact(("k", "setting", "f", "value"), "5 s", "31 Ramp: 5 s"), Fact(("k",) * 4, "9 s", "31 Ramp: 9 s")
    >>> change_words(("k", "setting", "acceleration_time", "value"), old, new)
    'setting 31 Ramp: 5 s -> 9 s'
    """
    fact = after or before
    cell = f"{fact.cell} " if fact is not None and fact.cell else ""
    was, now = was_and_now(before, after)
    head, colon, tail = now.partition(": ")
    if before and after and colon and was.startswith(head + colon):
        return f"{cell}{_kind(key)} {head}: {was.removeprefix(head + colon)} -> {tail}"
    subject = cell + _subject(key)
    if key[1] == "setting" and key[3] == "value" and (before is None or after is None):
        return f"{cell}setting {now}, was left at default" if after else f"{cell}setting {was}: now left at default"
    if before is None:
        return f"{subject}: added, {now}"
    if after is None:
        return f"{subject}: removed, was {was}"
    return f"{subject}: {was} -> {now}"


def _kind(key: Key) -> str:
    return f"{key[1]} {key[2]}" if key[1] in ("test", "finding", "punch", "reading") else key[1]


def _subject(key: Key) -> str:
    _, group, item, name = key
    plain = name.replace("_", " ")
    if group == "setting":
        return f"setting {item.replace('_', ' ')}" + (f" {plain}" if name != "value" else "")
    if group == "figure":
        return f"figure {item.replace('.', ' ').replace('_', ' ')}" + (f" {plain}" if name != "value" else "")
    if group in ("test", "reading"):
        return f"{group} {item}"
    if (group, name) == ("certificate", "covers"):
        return f"digest of what '{item}' of the site covers"
    plain_fields = {"ends", "isolation", "text", "value", "item", "state", "owners", "name"}
    if item == group:
        return f"{group} {plain}"
    return f"{group} {item}" if name in plain_fields or group == "finding" else f"{group} {item} {plain}"
