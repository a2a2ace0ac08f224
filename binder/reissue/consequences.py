"""Rules, kept as data, that say what a change touches."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cache, lru_cache
from importlib.resources import files

from binder.reissue.facts import Key


@dataclass(frozen=True, slots=True)
class Consequence:
    """What one change touches: all empty when it is typing only."""

    change: str
    documents: tuple[str, ...] = ()
    tests: tuple[str, ...] = ()
    signatures: tuple[str, ...] = ()
    labels: tuple[str, ...] = ()
    site: tuple[str, ...] = ()


NOTHING = Consequence("typing")


@dataclass(frozen=True, slots=True)
class _Rule:
    group: str
    item: str
    field: str
    consequence: Consequence


@cache
def rules() -> tuple[_Rule, ...]:
    """The rules of consequences.csv, in their order."""
    text = (files("binder.reissue") / "consequences.csv").read_text(encoding="utf-8")
    reader = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return tuple(
        _Rule(
            row["group"],
            row["item"],
            row["field"],
            Consequence(
                row["change"],
                *(
                    tuple(filter(None, row[c].split(";")))
                    for c in ("documents", "tests", "signatures", "labels", "site")
                ),
            ),
        )
        for row in reader
    )


@cache
def _by_group() -> dict[str, tuple[_Rule, ...]]:
    return {group: tuple(r for r in rules() if r.group == group) for group in {r.group for r in rules()}}


def consequence_of(key: Key) -> Consequence:
    """What the change of a fact touches.

    Raises
    ------
    LookupError
        No rule covers the fact's group: the table is incomplete.
    """
    return _consequence(*key[1:])


@lru_cache(maxsize=65536)
def _consequence(group: str, item: str, name: str) -> Consequence:
    for rule in _by_group().get(group, ()):
        if fnmatchcase(item, rule.item) and fnmatchcase(name, rule.field):
            return rule.consequence
    raise LookupError(f"no consequence rule for {group} {item} {name}")
