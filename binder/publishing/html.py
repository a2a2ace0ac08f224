"""HTML forms of the binder's own nodes, and plain forms for every other Sphinx builder."""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Iterable
from typing import Any

from docutils import nodes
from sphinx.application import Sphinx
from sphinx.transforms.post_transforms import SphinxPostTransform
from sphinx.util import logging
from sphinx.writers.html5 import HTML5Translator

from binder.documents import nodes as own
from binder.documents.nodes import Cell, Column, Row
from binder.publishing.domain import binder_domain
from binder.publishing.svg import inline_svg
from binder.publishing.table_layout import text_of
from binder.publishing.typst import qr_source

logger = logging.getLogger(__name__)

_UNPRINTABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")
_BOXES = ("write", "tick", "passfail")


class Writer:
    """Escaping and links for one page."""

    def __init__(self, translator: HTML5Translator) -> None:
        self.translator = translator
        self.domain = binder_domain(translator.builder.env)
        self.docname = translator.builder.current_docname

    @staticmethod
    def text(text: str) -> str:
        """Text for element content and attributes; control signs show as a replacement sign."""
        return html.escape(_UNPRINTABLE.sub("\ufffd", text))

    def address(self, number: str, anchor: str) -> str:
        """Where a document, or an anchor in it, is on the web; '' when the binder has no such document."""
        docname = self.domain.docname_of(number)
        if not docname:
            return ""
        uri = "" if docname == self.docname and anchor else self.translator.builder.get_relative_uri(
            self.docname, docname)
        return f"{uri}#{nodes.make_id(anchor)}" if anchor else uri

    def cell(self, cell: str | Cell) -> str:
        """Content of a table cell."""
        if isinstance(cell, str):
            return self.text(cell)
        content = self.text(cell.text)
        if cell.bold:
            content = f"<strong>{content}</strong>"
        href = self.address(cell.document, cell.anchor) if cell.document else ""
        if href:
            content = f'<a href="{self.text(href)}">{content}</a>'
        return f"{self.mark(cell.mark)}{content}" if cell.mark else content

    def mark(self, word: str) -> str:
        """A verdict word in a small frame."""
        return f'<span class="mark mark-{nodes.make_id(word)}">{self.text(word)}</span> '


# Tables ----------------------------------------------------------------------------------------


def _table(w: Writer, node: own.data_table) -> str:
    """A table in its own scrolling box, with scopes, groups, boxes and anchors."""
    columns: tuple[Column, ...] = node["columns"]
    rows: tuple[Row, ...] = node["rows"]
    caption, ids = node["caption"], node.get("ids", [])
    prefix = ids[0] if ids else ""
    marked = any(row.revision for row in rows)
    width = sum(2 if column.kind == "passfail" else 1 for column in columns) + marked
    long = len(rows) > 25
    out = [f'<div class="table-box{" long" if long else ""}" tabindex="0" role="region" '
           f'aria-label="{w.text(caption or "Table")}"{_id(prefix)}>',
           f'<table class="data{" filter" if node["filter"] else ""}">']
    if caption:
        out.append(f"<caption>{w.text(caption)}</caption>")
    out.append("<thead><tr>")
    if marked:
        out.append('<th scope="col" class="rev"><abbr title="Revision">Rev</abbr></th>')
    for column in columns:
        titles = ("Pass", "Fail") if column.kind == "passfail" else (column.title,)
        out += [f'<th scope="col" class="{column.kind}">{w.text(title)}</th>' for title in titles]
    out.append("</tr></thead>")
    open_body = False
    for row in rows:
        if row.kind == "group" or not open_body:
            out.append("</tbody><tbody>" if open_body else "<tbody>")
            open_body = True
        out.append(_group(w, row, width) if row.kind == "group" else _row(w, row, columns, prefix, marked))
    out.append("</tbody></table></div>" if open_body else "</table></div>")
    return "".join(out)


def _id(name: str) -> str:
    return f' id="{name}"' if name else ""


def _group(w: Writer, row: Row, width: int) -> str:
    return f'<tr class="group"><th scope="rowgroup" colspan="{width}">{w.cell(row.cells[0])}</th></tr>'


def _row(w: Writer, row: Row, columns: Iterable[Column], prefix: str, marked: bool) -> str:
    """One row; its anchor is the table's and its own key."""
    key = nodes.make_id(row.key) if prefix and row.key else ""
    classes = " ".join(part for part in (row.tone and f"tone-{row.tone}", row.kind == "removed" and "removed",
                                         row.revision and "changed") if part)
    out = [f'<tr{_id(f"{prefix}-{key}" if key else "")}{f" class={chr(34)}{classes}{chr(34)}" if classes else ""}>']
    if marked:
        out.append(f'<td class="rev">{w.text(row.revision)}</td>')
    for cell, column in zip(row.cells, columns, strict=True):
        if column.kind in ("tick", "passfail"):
            out.append(_boxes(text_of(cell), column.kind))
        elif column.header:
            out.append(f'<th scope="row" class="{column.kind}">{w.cell(cell)}</th>')
        elif column.kind == "text":
            out.append(f"<td>{w.cell(cell)}</td>")
        else:
            out.append(f'<td class="{column.kind}">{w.cell(cell)}</td>')
    return "".join([*out, "</tr>"])


def _boxes(text: str, kind: str) -> str:
    """Boxes to tick; the state is also told in words."""
    verdict = text.strip().lower()
    ticked = (verdict == "pass", verdict == "fail") if kind == "passfail" else (bool(verdict),)
    return "".join(
        f'<td class="box"><span role="img" aria-label="{"ticked" if on else "not ticked"}">{"☑" if on else "☐"}</span></td>'
        for on in ticked)


# Other leaves ----------------------------------------------------------------------------------


def _key_values(w: Writer, node: own.key_values) -> str:
    pairs = "".join(f"<div><dt>{w.text(name)}</dt><dd>{w.cell(value)}</dd></div>" for name, value in node["pairs"])
    name = node.get("ids", [""])[0] if node.get("ids") else ""
    return f'<dl class="key-values columns-{node["columns"]}"{_id(name)}>{pairs}</dl>'


def _drawing(w: Writer, node: own.drawing) -> str:
    name = node["ids"][0]
    svg = inline_svg(node["svg"], name, node["alt"])
    return (f'<figure class="{node["kind"]}{" landscape" if node["landscape"] else ""}" id="{name}">'
            f'<div class="paper" tabindex="0" role="region" aria-label="{w.text(node["title"] or "Drawing")}">{svg}</div>'
            f"<figcaption>{w.text(node['title'])}</figcaption></figure>")


def _sign_off(w: Writer, node: own.sign_off) -> str:
    rows = []
    for line in node["signatures"]:
        state = w.mark("void") if line.state == "void" else "signed" if line.state == "valid" else ""
        rows.append(f'<tr><th scope="row">{w.text(line.role)}</th><td class="write">{w.text(line.name)}</td>'
                    f'<td class="write">{state}</td><td class="write">{w.text(line.date)}</td></tr>')
    heads = "".join(f'<th scope="col">{title}</th>' for title in ("Role", "Name", "Signature", "Date"))
    title = node["title"] or "Sign-off"
    statement = f"<p>{w.text(node['statement'])}</p>" if node["statement"] else ""
    digest = (f'<p class="digest">Covers the facts with digest <strong>{w.text(node["digest"])}</strong>. '
              "A signature is void when that digest changes.</p>") if node["digest"] else ""
    return (f'<div class="sign-off">{statement}<div class="table-box" tabindex="0" role="region" '
            f'aria-label="{w.text(title)}"><table class="data"><caption>{w.text(title)}</caption>'
            f"<thead><tr>{heads}</tr></thead><tbody>{''.join(rows)}</tbody></table></div>{digest}</div>")


def _write_box(w: Writer, node: own.write_box) -> str:
    lines = '<div class="line"></div>' * node["lines"]
    return f'<div class="write-box"><p>{w.text(node["label"])}</p>{lines}</div>'


def _qr_code(w: Writer, node: own.qr_code) -> str:
    return f'<figure class="qr">{inline_svg(qr_source(node["content"]), "qr", node["alt"])}</figure>'


def _page_break(_: Writer, __: own.page_break) -> str:
    return '<div class="page-break"></div>'


def _document_list(w: Writer, node: own.document_list) -> str:
    columns = (Column("Document", header=True, kind="code"), Column("Title"), Column("Rev"), Column("Status"))
    rows = tuple(
        Row((Cell(d.number, document=d.number), d.title, d.revision, d.status), d.key)
        for d in w.domain.documents() if not node["kinds"] or d.kind in node["kinds"])
    table = own.data_table(columns=columns, rows=rows, caption=node["caption"] or "Documents", filter=len(rows) > 15,
                           ids=[])
    return _table(w, table)


_FORMS: dict[type[own.Leaf], Callable[[Writer, Any], str]] = {
    own.data_table: _table, own.key_values: _key_values, own.drawing: _drawing, own.sign_off: _sign_off,
    own.write_box: _write_box, own.qr_code: _qr_code, own.page_break: _page_break, own.document_list: _document_list,
}


def _visit_leaf(translator: HTML5Translator, node: own.Leaf) -> None:
    """Write a leaf; its children are search words only."""
    translator.body.append(_FORMS[type(node)](Writer(translator), node) + "\n")
    raise nodes.SkipNode


def _visit_caution(translator: HTML5Translator, node: own.caution_box) -> None:
    w = Writer(translator)
    title = f'<span class="what">{w.text(node["title"])}</span>' if node["title"] else ""
    translator.body.append(f'<div class="caution caution-{node["grade"]}" role="note"><p class="head">'
                           f'<span class="word">{node["grade"]}</span> {title}</p><div class="inner">')


def _depart_caution(translator: HTML5Translator, _: own.caution_box) -> None:
    translator.body.append("</div></div>\n")


def _visit_cross_reference(translator: HTML5Translator, node: own.cross_reference) -> None:
    w = Writer(translator)
    href = w.address(node["number"], node["anchor"])
    translator.body.append(f'<a href="{w.text(href)}">' if href else "<span>")
    translator.context.append("</a>" if href else "</span>")


def _depart_cross_reference(translator: HTML5Translator, _: own.cross_reference) -> None:
    translator.body.append(translator.context.pop())


# Late transforms -------------------------------------------------------------------------------


class LateForms(SphinxPostTransform):
    """Search words for HTML; ordinary nodes for builders that do not know ours.

    Runs before references are resolved, on the copy that is written: what is saved between builds
    stays one node a table.
    """

    default_priority = 5

    def run(self, **kwargs: Any) -> None:  # noqa: ARG002
        domain = binder_domain(self.env)
        for reference in list(self.document.findall(own.cross_reference)):
            if not domain.docname_of(reference["number"]):
                logger.warning("no document has the number %r", reference["number"], location=self.env.docname,
                               type="binder", subtype="reference")
        plain = not domain.for_html
        for leaf in list(self.document.findall(own.Leaf)):
            if plain:
                leaf.replace_self(_plain(leaf))
            else:
                leaf += nodes.Text(" ".join(dict.fromkeys(leaf.words())))
        if plain:
            for box in list(self.document.findall(own.caution_box)):
                title = nodes.title("", "", nodes.Text(f"{box['grade'].upper()} {box['title']}".strip()))
                box.replace_self(nodes.admonition("", title, *box.children))
            for reference in list(self.document.findall(own.cross_reference)):
                reference.replace_self(nodes.inline("", "", *reference.children))


def _plain(leaf: own.Leaf) -> list[nodes.Node]:
    """A leaf as docutils nodes: a table for a table, paragraphs for the rest."""
    if not isinstance(leaf, own.data_table):
        return [nodes.paragraph("", "", nodes.Text(text)) for text in leaf.words()]
    columns: tuple[Column, ...] = leaf["columns"]
    group = nodes.tgroup("", *[nodes.colspec(colwidth=max(1, round(10 * c.weight))) for c in columns], cols=len(columns))
    group += nodes.thead("", _plain_row([column.title for column in columns]))
    body = nodes.tbody()
    for row in leaf["rows"]:
        texts = [text_of(cell) for cell in row.cells]
        body += _plain_row(texts + [""] * (len(columns) - len(texts)))
    group += body
    title = [nodes.title("", "", nodes.Text(leaf["caption"]))] if leaf["caption"] else []
    return [nodes.table("", *title, group)]


def _plain_row(texts: Iterable[str]) -> nodes.row:
    return nodes.row("", *[nodes.entry("", nodes.paragraph("", "", nodes.Text(text))) if text else nodes.entry()
                           for text in texts])


def setup_nodes(app: Sphinx) -> None:
    """Register every node with its HTML form, and the late transform."""
    for leaf in _FORMS:
        app.add_node(leaf, html=(_visit_leaf, None))
    app.add_node(own.caution_box, html=(_visit_caution, _depart_caution))
    app.add_node(own.cross_reference, html=(_visit_cross_reference, _depart_cross_reference))
    app.add_post_transform(LateForms)
