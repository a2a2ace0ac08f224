"""Rows of tests/data/worked_examples.csv: published worked examples, each with its source."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

_FILE = Path(__file__).parents[1] / "data" / "worked_examples.csv"
_QUANTITY = re.compile(r"^(?P<name>[^=]+)=(?P<value>-?[0-9.]+(?:e[+-]?[0-9]+)?)(?: (?P<unit>\S.*))?$")


@dataclass(frozen=True)
class Example:
    """One expected value: `given` holds the numbers in the units of the source, `words` the rest."""

    id: str
    topic: str
    given: dict[str, float]
    words: dict[str, str]
    expected_name: str
    expected: float | str
    tolerance: float | None  # None for a look-up
    source: str

    @property
    def label(self) -> str:
        """Parameter id: example, value, source."""
        return f"{self.id} {self.expected_name} [{self.source}]"

    @property
    def key(self) -> tuple[str, str]:
        """What names the row: example and expected value."""
        return self.id, self.expected_name


def _quantity(text: str) -> tuple[str, float | str]:
    found = _QUANTITY.match(text.strip())
    if found:
        return found["name"], float(found["value"])
    name, _, rest = text.strip().partition("=")
    return name, rest


def _example(row: dict[str, str]) -> Example:
    pairs = [_quantity(part) for part in row["inputs"].split(";")]
    name, expected = _quantity(row["expected"])
    look_up = row["tolerance"] == "exact"
    return Example(
        row["id"],
        row["topic"],
        {n: v for n, v in pairs if isinstance(v, float)},
        {n: v for n, v in pairs if isinstance(v, str)},
        name,
        row["expected"].partition("=")[2] if look_up else expected,
        None if look_up else float(row["tolerance"]),
        f"{row['title']}, {row['publisher']}, {row['year']}",
    )


@cache
def examples(*topics: str) -> tuple[Example, ...]:
    """All rows of the topics named, in the order of the file; every row when none is named."""
    with _FILE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    return tuple(_example(row) for row in rows if not topics or row["topic"] in topics)
