"""Builders of the binder's blocks. Texts go in as they are: nothing is ever parsed as markup.

Examples
--------
>>> body = section(
...     "Settings",
...     paragraph("Write from the top. ", strong("As left"), " must equal required."),
...     data_table([Column("No.", 1, "code", header=True), Column("Required", 2)],
...                [Row(("01.02", "*9.2* A"), "01.02")]),
... )
>>> body["ids"], body.astext().splitlines()[0]
(['settings'], 'Settings')
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence

from docutils import nodes

from binder.documents import nodes as own
from binder.documents.nodes import Cell, Column, Row, Signature

__all__ = [
    "GRADES",
    "Cell",
    "Column",
    "Row",
    "Signature",
    "bullets",
    "card",
    "caution",
    "cross_reference",
    "data_table",
    "document_list",
    "drawing",
    "emphasis",
    "field_form",
    "key_values",
    "literal",
    "make_id",
    "page_break",
    "paragraph",
    "plot",
    "qr",
    "section",
    "shown",
    "side_by_side",
    "sign_off",
    "steps",
    "strong",
    "write_box",
]

#: Caution grades. The first four as ANSI Z535.6-2011 (from memory, check) words them.
GRADES = ("danger", "warning", "caution", "notice", "stop", "note")

COLUMN_KINDS = ("text", "number", "code", "note", "write", "tick", "passfail")

Inline = str | nodes.Node


def make_id(text: str) -> str:
    """An id from any text: readable where the text is Latin, a short digest where nothing is left.

    >>> make_id("P-101 settings"), make_id("泵")
    ('p-101-settings', 'x-0bb276')
    """
    return nodes.make_id(text) or "x-" + hashlib.sha256(text.encode()).hexdigest()[:6]


def _inline(parts: Iterable[Inline]) -> list[nodes.Node]:
    """Strings become text nodes, nodes stay."""
    return [nodes.Text(part) if isinstance(part, str) else part for part in parts]


def strong(text: str) -> nodes.strong:
    """Bold text inside a paragraph."""
    return nodes.strong("", text)


def shown(shows: str, *texts: Inline) -> nodes.inline:
    """Words of a paragraph that take the letter of the revision that changed what they show, as a row does."""
    return nodes.inline("", "", *_inline(texts), shows=shows)


def emphasis(text: str) -> nodes.emphasis:
    """Slanted text inside a paragraph."""
    return nodes.emphasis("", text)


def literal(text: str) -> nodes.literal:
    """A terminal mark, setting number or display text inside a paragraph."""
    return nodes.literal("", text)


def cross_reference(text: str, number: str, anchor: str = "") -> nodes.Node:
    """Text that leads to a document, or to the section or table row `anchor` in it.

    Parameters
    ----------
    text : str
    number : str
        Document number.
    anchor : str
        Id of a section (`section(id=...)`) or, for a row, the table's id, '-' and the row's key.
    """
    return own.cross_reference("", text, number=number, anchor=make_id(anchor) if anchor else "")


def paragraph(*texts: Inline) -> nodes.paragraph:
    """A paragraph of strings and inline nodes."""
    return nodes.paragraph("", "", *_inline(texts))


def section(title: str, *children: nodes.Node | Sequence[nodes.Node], id: str = "") -> nodes.section:  # noqa: A002
    """A section with its title; lists of nodes among the children are laid flat.

    Parameters
    ----------
    title : str
    *children : node or sequence of nodes
    id : str
        Anchor for links; made from the title when not given.
    """
    result = nodes.section("", nodes.title("", "", nodes.Text(title)), ids=[make_id(id or title)])
    for child in children:
        result += child if isinstance(child, nodes.Node) else list(child)
    return result


def _item(content: Inline | Sequence[Inline]) -> nodes.list_item:
    """A list item from text, a block, or a row of inline parts."""
    if isinstance(content, nodes.Body | nodes.paragraph):
        return nodes.list_item("", content)
    parts = [content] if isinstance(content, str | nodes.Node) else list(content)
    blocks = [part for part in parts if isinstance(part, nodes.Body | nodes.paragraph)]
    if blocks:
        return nodes.list_item("", *[p if isinstance(p, nodes.Node) else paragraph(p) for p in parts])
    return nodes.list_item("", paragraph(*parts))


def bullets(items: Iterable[Inline | Sequence[Inline]]) -> nodes.bullet_list:
    """A bullet list; an item is text, a block, or a sequence of inline parts."""
    return nodes.bullet_list("", *[_item(item) for item in items], bullet="-")


def steps(
    items: Iterable[Inline | Sequence[Inline]], *, start: int = 1, side_by_side: bool = False
) -> nodes.enumerated_list:
    """A numbered list of actions; items as in `bullets`. Side by side it takes half the height on a card."""
    return nodes.enumerated_list(
        "",
        *[_item(item) for item in items],
        enumtype="arabic",
        prefix="",
        suffix=".",
        start=start,
        classes=["side-by-side"] if side_by_side else [],
    )


def key_values(pairs: Iterable[tuple[str, str | Cell]], *, columns: int = 2, id: str = "") -> own.key_values:  # noqa: A002
    """Names and values side by side, as on a data sheet, in one or two columns."""
    return own.key_values(pairs=tuple(pairs), columns=columns, ids=[make_id(id)] if id else [])


def data_table(
    columns: Sequence[Column],
    rows: Iterable[Row],
    caption: str = "",
    *,
    id: str = "",  # noqa: A002
    filter: bool | None = None,  # noqa: A002
    form: str = "",
) -> own.data_table:
    """A table as one node.

    Parameters
    ----------
    columns : sequence of Column
    rows : iterable of Row
        One cell a column; a group row may have one cell only.
    caption : str
    id : str
        Anchor; the anchor of a row is this id, '-' and the row's key.
    filter : bool, optional
        Show a filter box on screen; by default above 15 data rows.
    form : str
        'readings' or 'settings': on screen the rows are filled in, known by their keys to the
        document's `field_form`.

    Raises
    ------
    ValueError
        A row has not one cell a column, or a column kind is unknown.
    """
    fixed = tuple(rows)
    for column in columns:
        if column.kind not in COLUMN_KINDS:
            raise ValueError(f"column {column.title!r}: no column kind {column.kind!r}")
    for row in fixed:
        if row.kind != "group" and len(row.cells) != len(columns):
            raise ValueError(f"row {row.key!r} has {len(row.cells)} cells for {len(columns)} columns")
    if filter is None:
        filter = sum(row.kind != "group" for row in fixed) > 15  # noqa: A001
    return own.data_table(
        columns=tuple(columns), rows=fixed, caption=caption, filter=filter, form=form, ids=[make_id(id)] if id else []
    )


def caution(grade: str, title: str, *texts: Inline | nodes.Node) -> own.caution_box:
    """A boxed caution: the grade's word, a title, and paragraphs.

    Strings become paragraphs of their own; blocks (lists, paragraphs) go in as they are.

    Raises
    ------
    ValueError
        `grade` is not one of `GRADES`.
    """
    if grade not in GRADES:
        raise ValueError(f"no caution grade {grade!r}")
    blocks = [paragraph(text) if isinstance(text, str) else text for text in texts]
    return own.caution_box("", *blocks, grade=grade, title=title)


def card(name: str, *children: nodes.Node) -> own.card:
    """A sheet to take along or to hang up.

    In print its blocks are set as large as one sheet allows, and never smaller than 8 pt: what then
    still finds no room goes on, and every sheet says that the card has more than one.

    Parameters
    ----------
    name : str
        What the sheets are called where there is more than one.
    *children : node
    """
    return own.card("", *children, name=name)


def side_by_side(
    left: Sequence[nodes.Node], right: Sequence[nodes.Node], *, weights: tuple[float, float] = (1, 1)
) -> own.side_by_side:
    """Two groups of blocks beside each other; on a narrow screen one below the other."""
    return own.side_by_side("", nodes.compound("", *left), nodes.compound("", *right), weights=weights)


def drawing(
    svg: str,
    alt: str,
    title: str,
    landscape: bool = True,
    *,
    id: str = "",  # noqa: A002
    links: Mapping[str, str] | None = None,
) -> own.drawing:
    """A drawing on a sheet of its own.

    Parameters
    ----------
    svg : str
    alt : str
        Tells a blind reader what it shows.
    title : str
    landscape : bool
    id : str
    links : mapping of str to str, optional
        On screen: 'id:…', 'end:…' or 'tag:…', as the data attributes of the drawing's groups say, to
        the anchor of what is drawn: a table's id, '-' and a row's key.
    """
    anchors = {name: make_id(anchor) for name, anchor in (links or {}).items()}
    return own.drawing(
        svg=svg,
        alt=alt,
        title=title,
        landscape=landscape,
        kind="drawing",
        links=anchors,
        ids=[make_id(id or title)],
    )


def plot(svg: str, alt: str, title: str, *, id: str = "") -> own.drawing:  # noqa: A002
    """A plot in the flow of text."""
    return own.drawing(svg=svg, alt=alt, title=title, landscape=False, kind="plot", ids=[make_id(id or title)])


def sign_off(
    signatures: Iterable[str | Signature],
    *,
    title: str = "",
    statement: str = "",
    digest: str = "",
    headed: bool = False,
) -> own.sign_off:
    """Signing lines: role, name, signature, date; never split over two sheets.

    Parameters
    ----------
    signatures : iterable of str or Signature
        A plain string is a role still to be signed.
    title, statement : str
        Heading, and what is signed for.
    digest : str
        Short digest of the facts that the signature covers.
    headed : bool
        True where the heading above says the title already: print leaves it out.
    """
    lines = tuple(Signature(line) if isinstance(line, str) else line for line in signatures)
    return own.sign_off(signatures=lines, title=title, statement=statement, digest=digest, headed=headed)


def field_form(
    names: tuple[str, str, str, str],
    readings: Iterable[tuple[str, ...]],
    settings: Iterable[tuple[str, ...]],
    *,
    limits: Mapping[str, tuple[float | None, float | None]],
    checks: Iterable[str],
    done: Iterable[str],
) -> own.field_form:
    """What a tablet needs to fill in the sheets of a drive without network.

    Parameters
    ----------
    names : tuple of str
        Site, document number, revision, drive tag: under these the device keeps what is typed.
    readings, settings : iterable of tuple of str
        Blank rows of the forms.
    limits : mapping of str to (low, high)
        Line id -> limits in the unit of the line.
    checks : iterable of str
        Ids of the lines that are answered yes or no.
    done : iterable of str
        Ids of the lines that hold an answer already.
    """
    site, number, revision, drive = names
    return own.field_form(
        site=site,
        number=number,
        revision=revision,
        drive=drive,
        readings=tuple(readings),
        settings=tuple(settings),
        limits=dict(limits),
        checks=tuple(checks),
        done=tuple(done),
    )


def write_box(label: str, lines: int = 1) -> own.write_box:
    """Room to write by hand, with its label."""
    return own.write_box(label=label, lines=lines)


def qr(content: str, alt: str) -> own.qr_code:
    """A QR code; `alt` says in words where it leads."""
    return own.qr_code(content=content, alt=alt)


def page_break() -> own.page_break:
    """Go to a new sheet in print."""
    return own.page_break()


def document_list(*kinds: str, caption: str = "") -> own.document_list:
    """The list of documents with revision, sheets and pages, filled in by publishing; of all kinds by default."""
    return own.document_list(kinds=kinds, caption=caption)
