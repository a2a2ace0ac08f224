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
from binder.documents.drawing_marks import mark_conductors
from binder.documents.nodes import Cell, Row, Signature
from binder.documents.packet_data import limit_signs

#: First word of a table's id, its caption, or the id of its section -> what its rows show, the first named first.
TABLES: Mapping[str, tuple[str, ...]] = {
    "setting": ("setting",),
    "changed": ("setting",),
    "untouched": ("setting",),
    "settings-owners": ("mode",),
    "settings-restart": ("restart",),
    "settings-terminals": ("terminal",),
    "wire": ("wire",),
    "terminal": ("end",),
    "wiring-devices": ("device",),
    "wiring-cables": ("cable",),
    "check": ("test",),
    "test": ("test",),
    "sweep": ("test",),
    "figure": ("figure",),
    "findings": ("finding",),
    "gates": ("gate",),
    "trace": ("requirement",),
    "lockout": ("lockout",),
    "punch": ("punch",),
    "defeat": ("defeat",),
    "automatic-start": ("start",),
    "Isolation points": ("isolator",),
    "People and their initials": ("contact",),
    "Instruments": ("instrument",),
    "equipment": ("drive",),
    "panels": ("panel",),
    "supplies": ("supply",),
    "power-cables": ("cable",),
    "control-cables": ("control cable",),
    "labels": ("label",),
    "network": ("node",),
    "spares": ("spare",),
    "maintenance": ("maintenance",),
    "training": ("training",),
    "warranty": ("warranty",),
}
#: Tables that show some rows of another one: removed rows stand struck in that one alone.
_EXCERPTS = frozenset({"changed", "untouched", "settings-owners", "settings-terminals", "automatic-start"})


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
        What a row shows (a word of `TABLES`) and its key.
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
    """Mark what changed, add removed rows struck, and fill in digests and signatures.

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
    named = {f"{kind} {key}" for kind, key in marks.rows}
    for section in sections:
        if marks.letter:
            for table in section.findall(own.data_table):
                _mark_table(table, marks, named, done)
            for words in [w for w in section.findall(nodes.inline) if w.get("shows") in named]:
                words.append(nodes.strong("", f" [{marks.letter}]"))
            for pairs in section.findall(own.key_values):
                pairs["pairs"] = tuple((name, _mark_cell(value, named, marks.letter)) for name, value in pairs["pairs"])
            for picture in section.findall(own.drawing):
                wires = frozenset(key for kind, key in marks.rows if kind == "wire")
                picture["svg"] = mark_conductors(picture["svg"], wires, marks.letter)
        for block in section.findall(own.sign_off):
            _sign(block, signed)
    return list(sections)


def table_name(node: own.data_table) -> str:
    """The key of `TABLES` under which a table is known; '' when its rows carry no marks."""
    section = node.parent
    while section is not None and not (isinstance(section, nodes.section) and section["ids"]):
        section = section.parent
    own_id = node["ids"][0].partition("-")[0] if node["ids"] else ""
    names: tuple[str, ...] = (own_id, node["caption"], section["ids"][0] if section is not None else "")
    return next((name for name in names if name in TABLES), "")


def _mark_cell(cell: str | Cell, named: set[str], letter: str) -> str | Cell:
    return replace(cell, revision=letter) if isinstance(cell, Cell) and cell.shows in named else cell


def _mark_row(row: Row, named: set[str], letter: str) -> Row:
    """Letters on the cells that changed, and on the row when it rests on what changed."""
    cells = tuple(_mark_cell(cell, named, letter) for cell in row.cells)
    if cells == row.cells and not named.intersection(row.shows):
        return row
    return replace(row, cells=cells, revision=letter)


def _mark_table(node: own.data_table, marks: Marks, named: set[str], done: set[str]) -> None:
    """Give changed rows their letter; the one table that holds all rows of its kind takes the removed ones."""
    name = table_name(node)
    node["rows"] = tuple(_mark_row(row, named, marks.letter) for row in node["rows"])
    if not name:
        return
    kinds = TABLES[name]
    there = {row.key for row in node["rows"]}
    moved = {key for shown, key in marks.rows if shown in kinds}
    moved |= {s.key for s in marks.struck if s.table in kinds and s.key in there}  # emptied, not gone
    points = {row.key.partition(" ")[0] for row in node["rows"] if moved.intersection(_lines(row))}
    rows = [
        replace(r, revision=marks.letter) if r.key in moved or r.key.partition(" ")[0] in points else r
        for r in node["rows"]
    ]
    if points and node.parent is not None:
        _mark_expected(node.parent, points, marks.letter)
    place = node["ids"][0] if kinds[0] == "test" and node["ids"] else kinds[0]
    if name not in _EXCERPTS and place not in done:
        gone = (s for s in marks.struck if s.table == kinds[0] and s.key not in there and _belongs(s.key, place))
        rows += [_struck(s, node, marks.letter) for s in gone]
        done.add(place)
    node["rows"] = tuple(rows)


def _lines(row: Row) -> set[str]:
    """Ids of the test lines whose readings stand in a row of a sweep."""
    return {cell.line for cell in row.cells if isinstance(cell, Cell) and cell.line and cell.line != row.key}


def _mark_expected(section: nodes.Element, points: set[str], letter: str) -> None:
    """What a sweep expects at its changed points."""
    for table in section.children:
        if isinstance(table, own.data_table) and table["caption"] == "Expected":
            table["rows"] = tuple(replace(r, revision=letter) if r.key in points else r for r in table["rows"])


def _belongs(key: str, place: str) -> bool:
    """True for a removed row that stood in this table: of test lines those of the sheet.

    >>> [_belongs("P1.X1~X2", place) for place in ("check", "test-p", "test-c", "wire")]
    [True, False, False, True]
    """
    kind, _, sheet = place.partition("-")
    if kind == "check":
        return key.startswith("P1.")
    if kind == "sweep":
        return False  # a point of a sweep is a row of many lines
    return kind != "test" or (key.casefold().startswith(sheet) and not key.startswith(("P1.", "C3.")))


def _struck(gone: Struck, node: own.data_table, letter: str) -> Row:
    """A removed row: its name in the column that names rows, what it said in the widest other column.

    A conductor stands as it stood: its number, from, to. The key of a point-to-point line does not give the number.
    """
    columns = node["columns"]
    head = next((i for i, column in enumerate(columns) if column.header), 0)
    wide = max((i for i in range(len(columns)) if i != head), key=lambda i: columns[i].weight)
    cells: list[str | Cell] = ["" for _ in columns]
    cells[head], cells[wide] = gone.key, limit_signs(gone.words)
    if gone.table == "wire" or gone.key.startswith("P1."):
        places = {column.title: i for i, column in enumerate(columns)}
        number, _, ends = gone.words.removesuffix(": yes").rpartition(", ")
        cells[head], cells[wide] = number or "–", ""
        cells[places["From"]], _, cells[places["To"]] = ends.partition(" to ")
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
