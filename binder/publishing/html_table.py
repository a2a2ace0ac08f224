"""Tables as HTML: scopes on header cells, group rows, boxes, an anchor for every row with a key."""

from __future__ import annotations

import html
import re
from collections.abc import Sequence
from functools import lru_cache

from docutils import nodes
from sphinx.writers.html5 import HTML5Translator

from binder.documents import nodes as own
from binder.documents.nodes import Cell, Column, Row
from binder.publishing.domain import binder_domain
from binder.publishing.notes import fold_notes
from binder.publishing.table_layout import text_of

_UNPRINTABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")
_LONG_WORD = re.compile(r"\S{18,}")
_BREAK_AFTER = re.compile(r"(?<=[_/.,:=+\-])(?=\w)")
_BOXES = ("tick", "passfail")
_LONG_TABLE = 25  # rows; beyond that it scrolls under its own head
_SHORT_TEXT = 9  # letters that stay on one line: a tag, a value with its unit
_NARROW_TABLE = 4  # columns that a phone can show beside each other; wider tables become cards there
_NARROW_LETTERS = 40  # of their longest words, and two a column for its padding; measured at 390 px


def escape(text: str) -> str:
    """Text for element content and attributes; control signs show as a replacement sign."""
    return html.escape(_UNPRINTABLE.sub("\ufffd", text))


def breakable(text: str) -> str:
    """Escaped text in which long codes may break after their separators; copying it gives the code.

    >>> breakable("EXTERNAL_INTERLOCK_CLOSED")
    'EXTERNAL_<wbr>INTERLOCK_<wbr>CLOSED'
    """
    if len(text) < 18 or not _LONG_WORD.search(text):
        return escape(text)
    return "".join(
        "<wbr>".join(escape(piece) for piece in _BREAK_AFTER.split(word)) if len(word) >= 18 else escape(word)
        for word in re.split(r"(\s+)", text)
    )


class Writer:
    """Cells and links for one page."""

    def __init__(self, translator: HTML5Translator) -> None:
        self.translator = translator
        self.domain = binder_domain(translator.builder.env)
        self.docname = translator.builder.current_docname

    def address(self, number: str, anchor: str) -> str:
        """Where a document, or an anchor in it, is on the web; '' when the binder has no such document."""
        docname = self.domain.docname_of(number)
        if not docname:
            return ""
        here = docname == self.docname and anchor
        uri = "" if here else self.translator.builder.get_relative_uri(self.docname, docname)
        return f"{uri}#{nodes.make_id(anchor)}" if anchor else uri

    def region(self, node: nodes.Element, text: str) -> str:
        """Attributes of a scrolling box: reachable by keyboard, its name once on the page."""
        names: dict[str, int] = self.translator.__dict__.setdefault("binder_regions", {})
        name = text or _section_title(node)
        names[name] = names.get(name, 0) + 1
        shown = name if names[name] == 1 else f"{name} ({names[name]})"
        return f'tabindex="0" role="region" aria-label="{escape(shown)}"'

    def cell(self, cell: str | Cell) -> str:
        """Content of a table cell."""
        if isinstance(cell, str):
            return breakable(cell)
        content = breakable(cell.text)
        if cell.bold:
            content = f"<strong>{content}</strong>"
        href = self.address(cell.document, cell.anchor) if cell.document else ""
        if href:
            content = f'<a href="{escape(href)}">{content}</a>'
        if cell.revision:
            content += f' <b class="letter" title="Revision">{escape(cell.revision)}</b>'
        return f"{mark(cell.mark)}{content}" if cell.mark else content


def _section_title(node: nodes.Element) -> str:
    """Title of the section that a node stands in."""
    parent = node.parent
    while parent is not None:
        if isinstance(parent, nodes.section) and isinstance(parent[0], nodes.title):
            return parent[0].astext()
        parent = parent.parent
    return "Table"


def mark(word: str) -> str:
    """A verdict word in a small frame."""
    return f'<span class="mark mark-{nodes.make_id(word)}">{escape(word)}</span> '


def anchor_of(node: nodes.Element) -> str:
    """The node's id, '' when it has none."""
    ids: list[str] = node.get("ids", [])
    return ids[0] if ids else ""


def id_attribute(name: str) -> str:
    """An id attribute with a space before it, or nothing."""
    return f' id="{escape(name)}"' if name else ""


def _data(name: str, value: str) -> str:
    """A data attribute with a space before it, or nothing."""
    return f' data-{name}="{escape(value)}"' if value else ""


def table(w: Writer, node: own.data_table) -> str:
    """A table in its own scrolling box."""
    columns, rows, notes = fold_notes(node["columns"], node["rows"])
    caption: str = node["caption"]
    prefix = anchor_of(node)
    form: str = node.get("form", "")
    marked = any(row.revision for row in rows)
    classes = [
        _column_class(column, [row.cells[n] for row in rows if row.kind != "group"]) for n, column in enumerate(columns)
    ]
    box = "table-box long" if len(rows) > _LONG_TABLE else "table-box"
    cards = phone_cards(columns, rows, classes, marked=marked)
    named = " ".join(("data", *(("filter",) if node["filter"] else ()), *(("stack",) if cards else ())))
    out = [
        f'<div class="{box}" {w.region(node, caption)}{id_attribute(prefix)}>',
        f'<table class="{named}"{_data("form", form)}>',
        f"<caption>{escape(caption)}</caption>" if caption else "",
        _head(columns, classes, marked),
    ]
    width = sum(2 if column.kind == "passfail" else 1 for column in columns) + marked
    opened = False
    for row in rows:
        if row.kind == "group" or not opened:
            out.append("</tbody><tbody>" if opened else "<tbody>")
            opened = True
        if row.kind == "group":
            out.append(f'<tr class="group"><th scope="rowgroup" colspan="{width}">{w.cell(row.cells[0])}</th></tr>')
        else:
            line = _data("line", row.key) if form and row.kind == "data" else ""
            out.append(_row(w, row, columns, classes, prefix, marked=marked, line=line, titled=cards))
    out += ["</tbody>" if opened else "", "</table></div>"]
    for note in notes:
        texts = "; ".join(f"<strong>{sign}</strong> {escape(text)}" for sign, text in note.texts)
        out.append(f'<p class="notes">{escape(note.title)}: {texts}</p>')
    return "".join(out)


def _column_class(column: Column, cells: Sequence[str | Cell]) -> str:
    """Kind of the column; 'blank' when it holds nothing but boxes for pen and paper, 'whole' when no line may break."""
    for_pen = column.kind in ("write", *_BOXES)
    empty = for_pen and not any(text_of(cell).strip() for cell in cells)
    if empty:
        return f"{column.kind} blank"
    whole = not for_pen and all(len(text_of(cell)) <= _SHORT_TEXT for cell in cells)
    return f"{column.kind} whole" if whole else column.kind


def phone_cards(columns: Sequence[Column], rows: Sequence[Row], classes: Sequence[str], *, marked: bool) -> bool:
    """True when a phone cannot show beside each other all columns that it shows: there each row is a card."""
    shown = [n for n, kind in enumerate(classes) if not kind.endswith("blank")]
    if len(shown) + sum(columns[n].kind == "passfail" for n in shown) > _NARROW_TABLE:
        return True
    letters = 3 if marked else 0
    for n in shown:
        cells = (text_of(row.cells[n]) for row in rows if row.kind != "group")
        whole = columns[n].kind == "number" or classes[n].endswith("whole")
        letters += 2 + max(_longest(columns[n].title), *(len(t) if whole else _longest(t) for t in cells), 0)
    return letters > _NARROW_LETTERS


@lru_cache(maxsize=16384)
def _longest(text: str) -> int:
    """Letters of the longest word of a text, as a browser breaks it: behind a hyphen that stands before a letter.

    >>> _longest("V1.31/32.powered"), _longest("QB26-VFD-101")
    (16, 7)
    """
    pieces = re.split(r"\s|(?<=\w-)(?=[^\W\d])", text)
    return max(len(part) for piece in pieces for part in (_BREAK_AFTER.split(piece) if len(piece) >= 18 else (piece,)))


def _head(columns: Sequence[Column], classes: Sequence[str], marked: bool) -> str:
    """The head row."""
    out = ['<th scope="col" class="rev"><abbr title="Revision">Rev</abbr></th>'] if marked else []
    for column, kind in zip(columns, classes, strict=True):
        titles = ("Pass", "Fail") if column.kind == "passfail" else (column.title,)
        out += [f'<th scope="col" class="{kind}">{escape(title)}</th>' if title else "<td></td>" for title in titles]
    return f"<thead><tr>{''.join(out)}</tr></thead>"


def _row(
    w: Writer, row: Row, columns: Sequence[Column], classes: Sequence[str], prefix: str, *, marked: bool, line: str,
    titled: bool,
) -> str:  # fmt: skip
    """One row; its anchor is the table's and its own key. `line` ties it to the document's form.

    `titled` cells carry their column's title, for phones, where each row is a card.
    """
    name = nodes.make_id(f"{prefix}-{row.key}") if prefix and row.key else ""
    state = [f"tone-{row.tone}"] if row.tone else []
    state += ["removed"] if row.kind == "removed" else []
    state += ["changed"] if row.revision else []
    named = f' class="{" ".join(state)}"' if state else ""
    out = [f"<tr{id_attribute(name)}{named}{line}>"]
    if marked:
        out.append(f'<td class="rev"{_data("title", "Rev" if titled else "")}>{escape(row.revision)}</td>')
    for cell, column, kind in zip(row.cells, columns, classes, strict=True):
        title = _data("title", column.title) if titled else ""
        if column.kind in _BOXES:
            out.append(_boxes("" if row.kind == "removed" else text_of(cell), kind, column.title if titled else ""))
        elif column.header:
            out.append(f'<th scope="row" class="{kind}"{title}>{w.cell(cell)}</th>')
        else:
            named = f' class="{kind}"' if kind != "text" else ""
            held = "" if isinstance(cell, str) else _data("line", cell.line)
            out.append(f"<td{named}{title}{held}>{w.cell(cell)}</td>")
    return "".join([*out, "</tr>"])


def _boxes(text: str, kind: str, title: str) -> str:
    """Boxes to tick; the state is also told in words."""
    verdict = text.strip().lower()
    ticked = {title: bool(verdict)}
    if kind.startswith("passfail"):
        ticked = {"Pass": verdict == "pass", "Fail": verdict == "fail"}
    shown = {True: ("ticked", "☑"), False: ("not ticked", "☐")}
    return "".join(
        f'<td class="box {kind}"{_data("title", name if title else "")}>'
        f'<span role="img" aria-label="{shown[on][0]}">{shown[on][1]}</span></td>'
        for name, on in ticked.items()
    )
