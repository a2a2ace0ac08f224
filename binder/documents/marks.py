"""Marks of a reissue on finished sections: revision letters, struck rows, digests beside signatures.

The builders of pages know nothing of issues. Their tables carry ids or captions, and their rows
carry keys that name what they show; that is enough to mark them afterwards.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from docutils import nodes

from binder.documents import nodes as own
from binder.documents.nodes import Cell, Row, Signature

#: First word of a table's id, or its caption -> what its rows show.
TABLES: Mapping[str, str] = {
    "setting": "setting",
    "changed": "setting",
    "wire": "wire",
    "check": "wire",
    "figure": "figure",
    "test": "test",
    "sweep": "test",
    "Energies and their isolation points": "lockout",
    "Control cables": "cable",
    "Devices and contacts": "device",
    "Power cables": "cable",
    "Drives and motors": "drive",
    "Panels": "panel",
    "Supplies": "supply",
    "Isolation points": "isolator",
    "People and their initials": "contact",
    "Instruments": "instrument",
    "Spares": "spare",
    "Maintenance plan": "maintenance",
    "Punch list": "punch",
}


@dataclass(frozen=True, slots=True)
class Struck:
    """A row that is gone: what it showed, its key, what it said."""

    table: str
    key: str
    words: str


@dataclass(frozen=True, slots=True)
class Marks:
    """What changed on a document at its revision.

    Parameters
    ----------
    letter : str
    rows : frozenset of (str, str)
        What a row shows (a value of `TABLES`) and its key.
    struck : tuple of Struck
        Rows that are gone.
    """

    letter: str
    rows: frozenset[tuple[str, str]] = frozenset()
    struck: tuple[Struck, ...] = ()

    def as_text(self) -> tuple[str, ...]:
        """Everything in order, for a digest."""
        gone = (f"{s.table} {s.key} {s.words}" for s in self.struck)
        return (self.letter, *sorted(" ".join(row) for row in self.rows), *gone)


@dataclass(frozen=True, slots=True)
class SignedOff:
    """What stands beside one statement: the digest of the facts it covers, and who signed."""

    digest: str
    lines: tuple[Signature, ...] = ()


NO_MARKS = Marks("")
NOTHING_SIGNED: Mapping[str, SignedOff] = MappingProxyType({})


def marked(
    sections: Sequence[nodes.Node], marks: Marks = NO_MARKS, signed: Mapping[str, SignedOff] = NOTHING_SIGNED
) -> list[nodes.Node]:
    """Mark changed rows, add removed ones struck, and fill in digests and signatures.

    Parameters
    ----------
    sections : sequence of nodes
        As the builders made them; they are changed in place.
    marks : Marks
    signed : mapping of str to SignedOff
        By statement, which is the title of its sign-off block in small letters.

    Returns
    -------
    list of nodes
    """
    done: set[str] = set()
    for section in sections:
        for table in section.findall(own.data_table):
            _mark_table(table, marks, done)
        for block in section.findall(own.sign_off):
            _sign(block, signed)
    return list(sections)


def _shown(node: own.data_table) -> str:
    name = node["ids"][0].partition("-")[0] if node["ids"] else ""
    return TABLES.get(name) or TABLES.get(node["caption"], "")


def _mark_table(node: own.data_table, marks: Marks, done: set[str]) -> None:
    """Give changed rows their letter; the first table of a kind takes the removed rows."""
    shown = _shown(node)
    if not shown or not marks.letter:
        return
    rows = [replace(r, revision=marks.letter) if (shown, r.key) in marks.rows else r for r in node["rows"]]
    place = node["ids"][0] if shown == "test" and node["ids"] else shown
    if place not in done:
        sheet = place.partition("-")[2].casefold()
        gone = (s for s in marks.struck if s.table == shown and s.key.casefold().startswith(sheet))
        rows += [_struck(s, node, marks.letter) for s in gone]
    done.add(place)
    node["rows"] = tuple(rows)


def _struck(gone: Struck, node: own.data_table, letter: str) -> Row:
    """A removed row: its key in the column that names rows, what it said in the widest other column."""
    columns = node["columns"]
    head = next((i for i, column in enumerate(columns) if column.header), 0)
    wide = max((i for i in range(len(columns)) if i != head), key=lambda i: columns[i].weight)
    cells: list[str | Cell] = ["" for _ in columns]
    cells[head], cells[wide] = gone.key, gone.words
    return Row(tuple(cells), key=f"removed-{gone.key}", kind="removed", revision=letter)


def _sign(node: own.sign_off, signed: Mapping[str, SignedOff]) -> None:
    """Put the digest beside a block, and the names that were signed into its lines."""
    given = signed.get(node["title"].casefold())
    if given is None:
        return
    node["digest"] = given.digest
    left = list(given.lines)
    lines: list[Signature] = []
    for line in node["signatures"]:
        match = next((s for s in left if s.role.casefold() == line.role.casefold()), None)
        if match is not None:
            left.remove(match)
        lines.append(match or line)
    node["signatures"] = (*lines, *left)
