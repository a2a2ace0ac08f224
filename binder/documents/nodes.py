"""The binder's own node classes: plain data, one visitor an output, nothing to parse.

A table of a thousand cells is one node. It is neither walked nor pickled cell by cell, and each
output writes it straight from its rows.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from docutils import nodes


@dataclass(frozen=True, slots=True)
class Column:
    """A table column.

    Parameters
    ----------
    title : str
    weight : float
        Share of the width.
    kind : str
        'text', 'number' (right-aligned), 'code' (terminal, setting number, wire),
        'note' (a long text that repeats: a mark in the cell, the text once below the table),
        'write' (blank box), 'tick' (one box), 'passfail' (two boxes).
    header : bool
        True when the cell names its row.
    """

    title: str
    weight: float = 1.0
    kind: str = "text"
    header: bool = False


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell that is more than a string: bold, with a mark, or leading to another document.

    `mark` is a verdict word that is printed before the text: 'pass', 'fail', 'stop', 'caution', 'note'.
    `document` and `anchor` name where the text leads. `line` is the id of the test line whose
    reading the cell holds, where one row holds several. `shows` names what the cell shows, as
    'setting 31', where its row's key does not; `revision` is the letter of the revision that changed it.
    """

    text: str
    bold: bool = False
    mark: str = ""
    document: str = ""
    anchor: str = ""
    line: str = ""
    shows: str = ""
    revision: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """A table row; `key` names it for links and never comes from its place in the table.

    `shows` names what the row rests on besides its key, as 'setting 31': it changes with that.
    """

    cells: tuple[str | Cell, ...]
    key: str = ""
    kind: str = "data"  # 'data', 'group' (its first cell heads the rows below), 'removed'
    revision: str = ""  # letter of the revision that changed the row
    tone: str = ""  # '', 'stop', 'caution', 'note', 'good', 'muted'
    shows: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Signature:
    """One signing line: filled in when `name` is given."""

    role: str
    name: str = ""
    date: str = ""
    state: str = ""  # '', 'valid', 'void'


class Leaf(nodes.General, nodes.Element):
    """A block that holds its content as attributes, not as child nodes."""

    def words(self) -> list[str]:
        """Every string a reader sees, for the search index."""
        raise NotImplementedError


def _strings(value: Any) -> list[str]:
    """Collect the texts inside plain data, in order."""
    if isinstance(value, str):
        return [value] if value else []
    if isinstance(value, list | tuple):
        return [text for part in value for text in _strings(part)]
    shown = {Cell: ("text",), Row: ("cells",), Column: ("title",), Signature: ("role", "name", "date", "state")}
    return [text for name in shown.get(type(value), ()) for text in _strings(getattr(value, name))]


class data_table(Leaf):  # noqa: N801 - docutils node classes are lower case
    """Attributes: columns, rows, caption, filter, form ('readings', 'settings' or '': rows to fill on screen)."""

    def words(self) -> list[str]:
        return [*_strings(self["caption"]), *_strings(self["columns"]), *_strings(self["rows"])]


class key_values(Leaf):  # noqa: N801
    """Attributes: pairs (name, text or Cell), columns."""

    def words(self) -> list[str]:
        return _strings(self["pairs"])


class drawing(Leaf):  # noqa: N801
    """Attributes: svg, alt, title, landscape, kind ('drawing' or 'plot'), links (what it draws -> anchor)."""

    def words(self) -> list[str]:
        return [*_strings(self["title"]), *_strings(self["alt"])]


class sign_off(Leaf):  # noqa: N801
    """Attributes: title, statement, signatures, digest, headed (the heading above says the title)."""

    def words(self) -> list[str]:
        return [text for name in ("title", "statement", "signatures", "digest") for text in _strings(self[name])]


class field_form(Leaf):  # noqa: N801
    """Blank rows that tables with a `form` refer to by row key; nothing in print, nothing to read.

    Attributes: site, number, revision, drive, readings, settings, limits, checks, done.
    """

    def words(self) -> list[str]:
        return []


class write_box(Leaf):  # noqa: N801
    """Attributes: label, lines."""

    def words(self) -> list[str]:
        return _strings(self["label"])


class qr_code(Leaf):  # noqa: N801
    """Attributes: content, alt."""

    def words(self) -> list[str]:
        return _strings(self["alt"])


class page_break(Leaf):  # noqa: N801
    """A new sheet in print; nothing on screen."""

    def words(self) -> list[str]:
        return []


class document_list(Leaf):  # noqa: N801
    """The documents of the binder, filled in by publishing. Attributes: kinds, caption."""

    def words(self) -> list[str]:
        return _strings(self["caption"])


class caution_box(nodes.General, nodes.Element):  # noqa: N801
    """A boxed caution with its word. Attributes: grade, title; children are blocks."""


class card(nodes.General, nodes.Element):  # noqa: N801
    """What is taken along or hung up: set as large as one sheet allows; children are blocks. Attribute: name."""


class side_by_side(nodes.General, nodes.Element):  # noqa: N801
    """Two compounds of blocks beside each other, one below the other on a narrow screen. Attribute: weights."""


class cross_reference(nodes.Inline, nodes.TextElement):  # noqa: N801
    """A reference to a document by number. Attributes: number, anchor."""
