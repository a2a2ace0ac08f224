"""HTML forms of the binder's own nodes, and plain forms for every other Sphinx builder."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from docutils import nodes
from sphinx.application import Sphinx
from sphinx.errors import ExtensionError
from sphinx.transforms.post_transforms import SphinxPostTransform
from sphinx.util import logging
from sphinx.writers.html5 import HTML5Translator

from binder.documents import nodes as own
from binder.documents.document import KINDS
from binder.documents.nodes import Cell, Column, Row
from binder.field.returns import READING_COLUMNS, SETTING_COLUMNS
from binder.publishing.domain import binder_domain
from binder.publishing.html_table import Writer, anchor_of, escape, id_attribute, mark, table
from binder.publishing.svg import inline_svg
from binder.publishing.table_layout import text_of
from binder.publishing.typst import qr_source

logger = logging.getLogger(__name__)

# Other leaves ----------------------------------------------------------------------------------


def _key_values(w: Writer, node: own.key_values) -> str:
    pairs = "".join(
        f"<div{_changed(value)}><dt>{escape(name)}</dt><dd>{w.cell(value)}</dd></div>" for name, value in node["pairs"]
    )
    return f'<dl class="key-values columns-{node["columns"]}"{id_attribute(anchor_of(node))}>{pairs}</dl>'


def _changed(value: str | Cell) -> str:
    return ' class="changed"' if isinstance(value, Cell) and value.revision else ""


def _drawing(w: Writer, node: own.drawing) -> str:
    name = node["ids"][0]
    try:
        svg = inline_svg(node["svg"], name, node["alt"], node.get("links", {}))
    except ValueError as error:
        raise ExtensionError(f"{w.docname}: {error}") from error
    told = f'<p class="unseen">{escape(node["alt"])}</p>' if node.get("links") else ""
    return (
        f'<figure class="{node["kind"]}{" landscape" if node["landscape"] else ""}" id="{name}">'
        f'<div class="paper" {w.region(node, node["title"])}>{told}{svg}</div>'
        f"<figcaption>{escape(node['title'])}</figcaption></figure>"
    )


def _sign_off(w: Writer, node: own.sign_off) -> str:
    rows = []
    for line in node["signatures"]:
        state = mark("void") if line.state == "void" else "signed" if line.state == "valid" else ""
        rows.append(
            f'<tr><th scope="row">{escape(line.role)}</th><td class="write">{escape(line.name)}</td>'
            f'<td class="write">{state}</td><td class="write">{escape(line.date)}</td></tr>'
        )
    heads = "".join(f'<th scope="col">{title}</th>' for title in ("Role", "Name", "Signature", "Date"))
    title = node["title"] or "Sign-off"
    statement = f"<p>{escape(node['statement'])}</p>" if node["statement"] else ""
    digest = ""
    if node["digest"]:
        digest = (
            f'<p class="digest">Covers the facts with digest <strong>{escape(node["digest"])}</strong>. '
            "A signature is void when that digest changes.</p>"
        )
    return (
        f'<div class="sign-off">{statement}<div class="table-box" {w.region(node, title)}>'
        f'<table class="data"><caption>{escape(title)}</caption>'
        f"<thead><tr>{heads}</tr></thead><tbody>{''.join(rows)}</tbody></table></div>{digest}</div>"
    )


def _write_box(w: Writer, node: own.write_box) -> str:
    lines = '<div class="line"></div>' * node["lines"]
    return f'<div class="write-box"><p>{escape(node["label"])}</p>{lines}</div>'


def _qr_code(w: Writer, node: own.qr_code) -> str:
    code = inline_svg(qr_source(node["content"]), "qr", node["alt"])
    return f'<figure class="qr">{code}<figcaption>{escape(node["alt"])}</figcaption></figure>'


def _page_break(_: Writer, __: own.page_break) -> str:
    return '<div class="page-break"></div>'


def _trimmed(row: Sequence[str]) -> list[str]:
    """A row without the blank cells at its end."""
    filled = [n for n, cell in enumerate(row, 1) if cell]
    return list(row[: filled[-1]] if filled else ())


def _field_form(_: Writer, node: own.field_form) -> str:
    """The form's blank rows as data; the page's script makes it visible, and without script nothing is."""
    names = ("site", "number", "revision", "drive", "limits", "checks", "done")
    data = {name: node[name] for name in names}
    data |= {"readings": [READING_COLUMNS, *map(_trimmed, node["readings"])]}
    data |= {"settings": [SETTING_COLUMNS, *map(_trimmed, node["settings"])]}
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")
    return f'<div class="field-form"><script type="application/json">{text}</script></div>'


def _document_list(w: Writer, node: own.document_list) -> str:
    """The documents, those of one kind below another; drives by their tag."""
    documents = [d for d in w.domain.documents() if not node["kinds"] or d.kind in node["kinds"]]
    kinds = [kind for kind in KINDS if any(d.kind == kind for d in documents)]
    tags = kinds == ["packet"]
    columns = [Column("Tag", header=True, kind="code")] if tags else []
    columns += [Column("Document", header=not tags, kind="code"), Column("Title"), Column("Rev"), Column("Status")]
    stopped = tags and any(d.open_stops for d in documents)
    columns += [Column("Open stops", kind="number")] if stopped else []
    rows: list[Row] = []
    for kind in kinds:
        rows += [Row((KINDS[kind],), kind, "group")] if len(kinds) > 1 else []
        for d in documents:
            if d.kind == kind:
                tag = (Cell(d.subject, document=d.number),) if tags else ()
                told = (Cell(d.number, document=d.number), d.title, d.revision, d.status)
                stops = (str(d.open_stops) if d.open_stops else "",) if stopped else ()
                rows.append(Row((*tag, *told, *stops), d.key, tone="stop" if stopped and d.open_stops else ""))
    caption = node["caption"] or "Documents"
    listed = own.data_table(columns=columns, rows=rows, caption=caption, filter=len(rows) > 15, ids=[])
    return table(w, listed)


_FORMS: dict[type[own.Leaf], Callable[[Writer, Any], str]] = {
    own.data_table: table,
    own.key_values: _key_values,
    own.drawing: _drawing,
    own.sign_off: _sign_off,
    own.write_box: _write_box,
    own.qr_code: _qr_code,
    own.page_break: _page_break,
    own.document_list: _document_list,
    own.field_form: _field_form,
}


def _visit_leaf(translator: HTML5Translator, node: own.Leaf) -> None:
    """Write a leaf; its children are search words only."""
    translator.body.append(_FORMS[type(node)](Writer(translator), node) + "\n")
    raise nodes.SkipNode


def _visit_caution(translator: HTML5Translator, node: own.caution_box) -> None:
    title = f'<span class="what">{escape(node["title"])}</span>' if node["title"] else ""
    translator.body.append(
        f'<div class="caution caution-{node["grade"]}" role="note"><p class="head">'
        f'<span class="word">{node["grade"].upper()}</span> {title}</p><div class="inner">'
    )


def _depart_caution(translator: HTML5Translator, _: own.caution_box) -> None:
    translator.body.append("</div></div>\n")


def _visit_card(translator: HTML5Translator, _: own.card) -> None:
    translator.body.append('<div class="card">')


def _visit_side_by_side(translator: HTML5Translator, node: own.side_by_side) -> None:
    left, right = node["weights"]
    translator.body.append(f'<div class="beside" style="--left:{left:g}fr;--right:{right:g}fr">')


def _depart_box(translator: HTML5Translator, _: nodes.Element) -> None:
    translator.body.append("</div>\n")


def _visit_cross_reference(translator: HTML5Translator, node: own.cross_reference) -> None:
    w = Writer(translator)
    href = w.address(node["number"], node["anchor"])
    translator.body.append(f'<a href="{escape(href)}">' if href else "<span>")
    translator.context.append("</a>" if href else "</span>")


def _depart_cross_reference(translator: HTML5Translator, _: own.cross_reference) -> None:
    translator.body.append(translator.context.pop())


def visit_formula(translator: HTML5Translator, node: nodes.math | nodes.math_block) -> None:
    """A formula of a hand-written page as it was typed: the usual renderer would ask the network for its script."""
    tag = "pre" if isinstance(node, nodes.math_block) else "code"
    translator.body.append(f"<{tag}>{escape(node.astext())}</{tag}>")
    raise nodes.SkipNode


# Late transforms -------------------------------------------------------------------------------


#: Blocks that only group others, the inner ones first.
_GROUPS: tuple[type[nodes.Element], ...] = (own.side_by_side, own.card)


class LateForms(SphinxPostTransform):
    """Search words for HTML; ordinary nodes for builders that do not know ours.

    Runs before references are resolved, on the copy that is written: what is saved between builds
    stays one node a table.
    """

    default_priority = 5

    def run(self, **kwargs: Any) -> None:
        domain = binder_domain(self.env)
        for reference in list(self.document.findall(own.cross_reference)):
            if not domain.docname_of(reference["number"]):
                logger.warning(
                    "no document has the number %r",
                    reference["number"],
                    location=self.env.docname,
                    type="binder",
                    subtype="reference",
                )
        plain = not domain.for_html
        for leaf in list(self.document.findall(own.Leaf)):
            if plain:
                leaf.parent.replace(leaf, _plain(leaf))
            else:
                leaf.append(nodes.Text(" ".join(dict.fromkeys(leaf.words()))))
        if plain:
            for box in list(self.document.findall(own.caution_box)):
                title = nodes.title("", "", nodes.Text(f"{box['grade'].upper()} {box['title']}".strip()))
                box.replace_self(nodes.admonition("", title, *box.children))
            for kind in _GROUPS:
                for group in list(self.document.findall(kind)):
                    group.replace_self(nodes.compound("", *group.children))
            for reference in list(self.document.findall(own.cross_reference)):
                reference.replace_self(nodes.inline("", "", *reference.children))


def _plain(leaf: own.Leaf) -> list[nodes.Node]:
    """A leaf as docutils nodes: a table for a table, paragraphs for the rest."""
    if not isinstance(leaf, own.data_table):
        return [nodes.paragraph("", "", nodes.Text(text)) for text in leaf.words()]
    columns: tuple[Column, ...] = leaf["columns"]
    group = nodes.tgroup(
        "", *[nodes.colspec(colwidth=max(1, round(10 * c.weight))) for c in columns], cols=len(columns)
    )
    group += nodes.thead("", _plain_row([column.title for column in columns]))
    body = nodes.tbody()
    for row in leaf["rows"]:
        texts = [text_of(cell) for cell in row.cells]
        body += _plain_row(texts + [""] * (len(columns) - len(texts)))
    group += body
    title = [nodes.title("", "", nodes.Text(leaf["caption"]))] if leaf["caption"] else []
    return [nodes.table("", *title, group)]


def _plain_row(texts: Iterable[str]) -> nodes.row:
    return nodes.row(
        "", *[nodes.entry("", nodes.paragraph("", "", nodes.Text(text))) if text else nodes.entry() for text in texts]
    )


def setup_nodes(app: Sphinx) -> None:
    """Register every node with its HTML form, and the late transform."""
    for leaf in _FORMS:
        app.add_node(leaf, html=(_visit_leaf, None))
    app.add_node(own.caution_box, html=(_visit_caution, _depart_caution))
    app.add_node(own.card, html=(_visit_card, _depart_box))
    app.add_node(own.side_by_side, html=(_visit_side_by_side, _depart_box))
    app.add_node(own.cross_reference, html=(_visit_cross_reference, _depart_cross_reference))
    app.add_post_transform(LateForms)
