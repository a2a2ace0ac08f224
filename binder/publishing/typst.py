"""Document tree to blocks of plain values, which the one Typst template sets.

No text ever becomes typesetting source: strings travel as JSON values from here to the page.
Generated sheets use a dozen node classes; the rest serves the contractor's own pages.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from docutils import nodes
from lxml import etree

from binder.documents import nodes as own
from binder.documents.nodes import Cell, Row
from binder.engineering.figure import firm
from binder.publishing import table_layout
from binder.publishing.form_fields import address
from binder.publishing.line_count import certain_lines, row_lines
from binder.publishing.notes import fold_notes
from binder.publishing.typefaces import legible

Block = dict[str, Any]
Inline = str | dict[str, Any]

# Columns to write in, by the words of a form that comes back; others go by their titles.
_FIELD_WORDS = {"Instr.": "instrument", "Init.": "initials", "As left, by": "as-left"}
_FORM_PLACES = {"readings": "", "settings": "settings"}  # form of a table -> first part of its fields' names

_SAFE_LINK = re.compile(r"(?:https?://|mailto:)[^\s]+$")
_COUNTERS = {"arabic": "1", "loweralpha": "a", "upperalpha": "A", "lowerroman": "i", "upperroman": "I"}
_DATA_POINTS = 8.8  # of names and values, as in template.typ
_GUTTER_MM = 5.0  # between blocks side by side, as in template.typ
_DRAWING_FONT = "Arimo"  # the metrics of Liberation Sans, shipped with the package

# Plain inline classes and what the template calls them; '' sets the text as it is.
_INLINE: dict[str, str] = {
    "strong": "strong",
    "emphasis": "emph",
    "literal": "code",
    "subscript": "sub",
    "superscript": "super",
    "title_reference": "emph",
    "inline": "",
    "abbreviation": "",
    "acronym": "",
    "generated": "",
    "math": "code",
    "literal_strong": "strong",
    "literal_emphasis": "emph",
    "manpage": "emph",
    "problematic": "code",
    "number_reference": "",
    "download_reference": "",
    "pending_xref": "",
    "versionmodified": "emph",
}
_TRANSPARENT = {
    "document",
    "compound",
    "container",
    "legend",
    "start_of_file",
    "only",
    "definition",
    "glossary",
    "description",
    "field_body",
    "header",
    "footer",
    "centered",
    "desc",
    "desc_content",
}
_SKIPPED = {
    "comment",
    "field_form",
    "target",
    "index",
    "substitution_definition",
    "system_message",
    "pending",
    "tabular_col_spec",
    "highlightlang",
    "toctree",
    "raw",
    "meta",
    "decoration",
    "acks",
    "compact_paragraph",
    "colspec",
}
_ADMONITIONS = {
    "attention": ("caution", "Attention"),
    "caution": ("caution", "Caution"),
    "danger": ("danger", "Danger"),
    "error": ("danger", "Error"),
    "hint": ("note", "Hint"),
    "important": ("notice", "Important"),
    "note": ("note", "Note"),
    "tip": ("note", "Tip"),
    "warning": ("warning", "Warning"),
    "admonition": ("note", ""),
    "seealso": ("note", "See also"),
    "topic": ("note", ""),
    "sidebar": ("note", ""),
}


class UnknownNodeError(Exception):
    """A node class that the translator has no form for."""


class Translator:
    """Turns the nodes of one document into blocks.

    Parameters
    ----------
    number : str
        Document number; anchors are unique over the whole binder by it.
    width_mm : float
        Width of the text on an upright sheet of this document.
    link : callable, optional
        Target of a resolved reference that is no web address: uri -> 'number#anchor', or None.
    image : callable, optional
        uri -> (kind, bytes) of a picture in the project, or None.
    documents : callable, optional
        document_list node -> rows of the list of documents.
    """

    def __init__(
        self,
        number: str,
        width_mm: float,
        *,
        link: Callable[[str], str | None] = lambda _: None,
        image: Callable[[str], tuple[str, bytes] | None] = lambda _: None,
        documents: Callable[[own.document_list], list[Block]] = lambda _: [],
    ) -> None:
        self.number = number
        self.width_mm = width_mm
        self.missing: set[str] = set()
        self._link, self._image, self._documents = link, image, documents
        self._level = 1
        self._section = ""
        self._anchors: set[str] = set()

    def text(self, text: str, *, drawn: bool = False) -> str:
        """The text as it can be printed, on a sheet or in a drawing; signs that cannot are remembered."""
        shown, missing = legible(text, drawn=drawn)
        self.missing.update(missing)
        return shown

    def blocks(self, children: Iterable[nodes.Node]) -> list[Block]:
        """Blocks of a run of nodes; stray inline nodes become paragraphs."""
        result: list[Block] = []
        for node in children:
            made = self._block(node)
            language = _language(node)
            result += [{**block, "lang": language} for block in made] if language else made
        return result

    # Block nodes -------------------------------------------------------------------------

    def _block(self, node: nodes.Node) -> list[Block]:
        name = type(node).__name__
        if name in _SKIPPED:
            return []
        if name in _TRANSPARENT and isinstance(node, nodes.Element):
            return self.blocks(node.children)
        if name in _ADMONITIONS and isinstance(node, nodes.Element):
            return [self._admonition(node, *_ADMONITIONS[name])]
        handler = getattr(self, f"_block_{name}", None)
        if handler is not None:
            made = handler(node)
            return made if isinstance(made, list) else [made]
        if isinstance(node, nodes.Text | nodes.Inline):
            content = self.inline([node])
            return [{"t": "p", "c": content}] if "".join(c for c in content if isinstance(c, str)).strip() else []
        raise UnknownNodeError(f"{self.number}: no printed form for {name!r}")

    def _anchor(self, node: nodes.Element) -> str:
        """The node's anchor, once in the document; '' when it has none or repeats one."""
        names: list[str] = node.get("ids", [])
        for name in names:
            if name not in self._anchors:
                self._anchors.add(name)
                return f"{self.number}#{name}"
        return ""

    def _block_section(self, node: nodes.section) -> list[Block]:
        self._level += 1
        above, self._section = self._section, "".join(node["ids"][:1])
        title = [child for child in node.children if isinstance(child, nodes.title)]
        head: Block = {
            "t": "h",
            "n": self._level,
            "id": self._anchor(node),
            "c": self.inline(title[0].children) if title else [],
        }
        body = self.blocks(child for child in node.children if not isinstance(child, nodes.title))
        self._level -= 1
        self._section = above
        return [head, *body]

    def _block_subtitle(self, node: nodes.subtitle) -> Block:
        return {"t": "rubric", "c": self.inline(node.children)}

    _block_rubric = _block_subtitle

    def _block_paragraph(self, node: nodes.paragraph) -> Block:
        return {"t": "p", "c": self.inline(node.children)}

    def _block_bullet_list(self, node: nodes.Element) -> Block:
        return {"t": "ul", "items": [self.blocks(item.children) for item in node.children]}

    def _block_enumerated_list(self, node: nodes.Element) -> Block:
        counter = _COUNTERS.get(node.get("enumtype", "arabic"), "1")
        return {
            "t": "ol",
            "start": node.get("start", 1),
            "numbering": f"{node.get('prefix', '')}{counter}{node.get('suffix', '.')}",
            "items": [self.blocks(item.children) for item in node.children],
            "halves": "side-by-side" in node["classes"],
        }

    def _block_definition_list(self, node: nodes.Element) -> Block:
        pairs = []
        for item in node.findall(nodes.definition_list_item):
            terms = [part for part in item.children if isinstance(part, nodes.term)]
            pairs.append(
                [
                    [c for term in terms for c in self.inline(term.children)],
                    self.blocks(p for p in item.children if isinstance(p, nodes.definition)),
                ]
            )
        return {"t": "dl", "pairs": pairs}

    def _block_field_list(self, node: nodes.Element) -> Block:
        pairs = [
            [self.inline(field[0].children), self.blocks(field[1:])]
            for field in node.children
            if isinstance(field, nodes.field)
        ]
        return {"t": "dl", "pairs": pairs}

    def _block_option_list(self, node: nodes.Element) -> Block:
        pairs = [
            [[{"t": "code", "c": [self.text(item[0].astext())]}], self.blocks(item[1].children)]
            for item in node.children
            if isinstance(item, nodes.option_list_item)
        ]
        return {"t": "dl", "pairs": pairs}

    def _block_line_block(self, node: nodes.Element) -> Block:
        lines = [self.inline(line.children) for line in node.findall(nodes.line)]
        return {"t": "lines", "lines": lines}

    def _block_literal_block(self, node: nodes.Element) -> Block:
        return {"t": "pre", "text": self.text(node.astext())}

    _block_doctest_block = _block_literal_block
    _block_math_block = _block_literal_block

    def _block_block_quote(self, node: nodes.Element) -> Block:
        return {"t": "quote", "body": self.blocks(node.children)}

    def _block_attribution(self, node: nodes.Element) -> Block:
        return {"t": "p", "c": ["— ", *self.inline(node.children)]}

    def _block_transition(self, _: nodes.Node) -> Block:
        return {"t": "rule"}

    def _block_footnote(self, node: nodes.Element) -> Block:
        label = next((part.astext() for part in node.children if isinstance(part, nodes.label)), "")
        body = self.blocks(part for part in node.children if not isinstance(part, nodes.label))
        return {"t": "dl", "pairs": [[[self.text(label)], body]]}

    _block_citation = _block_footnote

    def _admonition(self, node: nodes.Element, grade: str, word: str) -> Block:
        title = [child for child in node.children if isinstance(child, nodes.title)]
        rest = [child for child in node.children if not isinstance(child, nodes.title)]
        text = self.text(title[0].astext()) if title else ""
        return {"t": "box", "grade": grade, "word": word, "title": text, "body": self.blocks(rest)}

    def _block_figure(self, node: nodes.Element) -> list[Block]:
        return self.blocks(node.children)

    def _block_caption(self, node: nodes.Element) -> Block:
        return {"t": "caption", "c": self.inline(node.children)}

    def _block_image(self, node: nodes.Element) -> list[Block]:
        found = self._image(node["uri"])
        if found is None:
            return []
        kind, data = found
        return [{"t": "image", "kind": kind, "src": list(data), "alt": self.text(node.get("alt") or node["uri"])}]

    def _block_table(self, node: nodes.Element) -> list[Block]:
        """A docutils table of a hand-written page, with spans and blocks in its cells."""
        title = [child for child in node.children if isinstance(child, nodes.title)]
        group = next(node.findall(nodes.tgroup))
        widths = [spec.get("colwidth", 1) for spec in group.findall(nodes.colspec)]
        rows = [
            [
                {
                    "rows": entry.get("morerows", 0) + 1,
                    "cols": entry.get("morecols", 0) + 1,
                    "body": self.blocks(entry.children),
                }
                for entry in row.children
                if isinstance(entry, nodes.entry)
            ]
            for row in group.findall(nodes.row)
        ]
        heads = sum(len(head.children) for head in group.findall(nodes.thead))
        block = {"t": "grid", "widths": widths, "rows": rows, "heads": heads}
        return [{"t": "caption", "c": self.inline(title[0].children)}, block] if title else [block]

    # The binder's own nodes --------------------------------------------------------------

    def _cell(self, cell: str | Cell, width: float, kind: str, points: float) -> Inline:
        """A table cell: a string where it is no more than that."""
        if isinstance(cell, str):
            if kind == "code" and len(cell) < 4:
                return self.text(cell)
            return table_layout.fit(self.text(cell), width, points) if cell else ""
        made: dict[str, Any] = {"x": table_layout.fit(self.text(cell.text), width, points)}
        if cell.bold:
            made["b"] = True
        if cell.mark:
            made["m"] = cell.mark
        if cell.document:
            made["u"] = self._address(cell.document, cell.anchor)
        if cell.line and not cell.text:
            made["f"] = address(cell.line, "reading")
        if cell.revision:
            made["r"] = self.text(cell.revision)
        return made if len(made) > 1 else made["x"]

    def _field_place(self, node: own.data_table) -> str:
        """First part of the names of a table's fields: nothing before the lines of a form that comes back."""
        form = node.get("form", "")
        if form in _FORM_PLACES:
            return _FORM_PLACES[form]
        return "".join(node["ids"][:1]) or nodes.make_id(node["caption"]) or self._section

    @staticmethod
    def _address(number: str, anchor: str) -> str:
        return f"x-doc:{number}#{nodes.make_id(anchor) if anchor else ''}"

    def _block_data_table(self, node: own.data_table) -> Block:
        columns, rows, notes = fold_notes(node["columns"], node["rows"])
        layout = table_layout.lay_out(columns, rows, self.width_mm)
        widths = layout.widths
        heads: list[Block] = []
        for column, width in zip(columns, widths, strict=True):
            if column.kind == "passfail":
                heads += [{"x": w.capitalize(), "k": w, "f": w, "w": width / 2} for w in ("pass", "fail")]
            else:
                heads.append({"x": self.text(column.title), "k": column.kind, "w": width, "h": column.header})
                if column.kind in ("write", "tick"):
                    heads[-1]["f"] = _field_word(column.title) or f"column-{len(heads)}"
        writable = any("f" in head for head in heads)
        place = self._field_place(node) if writable else ""
        return {
            "t": "table",
            "id": self._anchor(node),
            "caption": self.text(node["caption"]),
            "cols": heads,
            "rows": [
                self._row(row, columns, layout) | ({"f": address(place, row.key or str(n))} if writable else {})
                for n, row in enumerate(rows, 1)
            ],
            "rev": any(row.revision for row in rows),
            "pt": layout.points,
            "notes": [[self.text(n.title), [[mark, self.text(text)] for mark, text in n.texts]] for n in notes],
        }

    def _row(self, row: Row, columns: Sequence[own.Column], layout: table_layout.Layout) -> Block:
        if row.kind == "group":
            title = self.text(table_layout.text_of(row.cells[0]))
            lines = certain_lines(title, math.fsum(layout.widths) - table_layout.PADDING_MM, layout.points, bold=True)
            return {"g": title, "r": row.revision} | ({"l": lines} if lines else {})
        cells: list[Inline] = []
        counts: list[int | None] = []
        for cell, column, width in zip(row.cells, columns, layout.widths, strict=True):
            if column.kind == "passfail":
                verdict = table_layout.text_of(cell).strip().lower()
                # The box beside a given verdict stays empty, and nobody ticks it on screen.
                cells += [("x" if verdict == word else "o") if verdict else "" for word in ("pass", "fail")]
            else:
                cells.append(self._cell(cell, width, column.kind, layout.points))
                counts.append(_lines(cells[-1], column, width, layout.points))
        made: Block = {"c": cells}
        if (lines := row_lines(counts)) and row.kind != "removed":
            made["l"] = lines
        if row.revision:
            made["r"] = self.text(row.revision)
        if row.tone or row.kind == "removed":
            made["t"] = "removed" if row.kind == "removed" else row.tone
        return made

    def _block_key_values(self, node: own.key_values) -> Block:
        width = 0.55 * self.width_mm / node["columns"]  # of a value, as in template.typ
        pairs = [[self.text(name), self._cell(value, width, "text", _DATA_POINTS)] for name, value in node["pairs"]]
        return {"t": "kv", "columns": node["columns"], "pairs": pairs}

    def _block_caution_box(self, node: own.caution_box) -> Block:
        return {
            "t": "box",
            "grade": node["grade"],
            "word": node["grade"].capitalize(),
            "title": self.text(node["title"]),
            "body": self.blocks(node.children),
        }

    def _block_card(self, node: own.card) -> Block:
        return {"t": "card", "name": self.text(node["name"]), "body": self.blocks(node.children)}

    def _block_side_by_side(self, node: own.side_by_side) -> Block:
        weights, whole = node["weights"], self.width_mm
        parts = []
        for weight, part in zip(weights, node.children, strict=True):
            self.width_mm = (whole - _GUTTER_MM) * weight / math.fsum(weights)
            parts.append(self.blocks([part]))
        self.width_mm = whole
        return {"t": "beside", "w": list(weights), "parts": parts}

    def _block_drawing(self, node: own.drawing) -> Block:
        return {
            "t": node["kind"],
            "src": drawing_source(node["svg"], lambda text: self.text(text, drawn=True)),
            "alt": self.text(node["alt"]),
            "title": self.text(node["title"]),
            "landscape": node["landscape"],
            "id": self._anchor(node),
        }

    def _block_sign_off(self, node: own.sign_off) -> Block:
        place = nodes.make_id(node["title"]) or self._section
        lines = [
            {
                "role": self.text(s.role),
                "name": self.text(s.name),
                "date": s.date,
                "state": s.state,
                "f": address("sign", place, s.role),
            }
            for s in node["signatures"]
        ]
        return {
            "t": "sign",
            "title": "" if node.get("headed") else self.text(node["title"]),
            "statement": self.text(node["statement"]),
            "lines": lines,
            "digest": node["digest"],
        }

    def _block_write_box(self, node: own.write_box) -> Block:
        name = address("write", nodes.make_id(node["label"]) or self._section, "text")
        return {"t": "write", "label": self.text(node["label"]), "lines": node["lines"], "f": name}

    def _block_qr_code(self, node: own.qr_code) -> Block:
        return {"t": "qr", "src": qr_source(node["content"]), "alt": self.text(node["alt"])}

    def _block_page_break(self, _: nodes.Node) -> Block:
        return {"t": "break"}

    def _block_document_list(self, node: own.document_list) -> list[Block]:
        return self._documents(node)

    # Inline nodes ------------------------------------------------------------------------

    def inline(self, children: Iterable[nodes.Node]) -> list[Inline]:
        """Inline content: strings, and small records where a style or a link is asked for."""
        result: list[Inline] = []
        for node in children:
            name = type(node).__name__
            if isinstance(node, nodes.Text):
                result.append(firm(self.text(node.astext()).replace("\n", " ")))
            elif name in _SKIPPED:
                continue
            elif isinstance(node, own.cross_reference):
                result.append(
                    {"t": "link", "u": self._address(node["number"], node["anchor"]), "c": self.inline(node.children)}
                )
            elif isinstance(node, nodes.reference):
                result += self._reference(node)
            elif isinstance(node, nodes.footnote_reference):
                result.append({"t": "super", "c": [self.text(node.astext())]})
            elif isinstance(node, nodes.image):
                result.append(self.text(node.get("alt", "")))
            elif isinstance(node, nodes.Element) and name in _INLINE:
                content = self.inline(node.children)
                result += [{"t": _INLINE[name], "c": content}] if _INLINE[name] else content
            elif isinstance(node, nodes.paragraph):
                result += self.inline(node.children)
            else:
                raise UnknownNodeError(f"{self.number}: no printed form for {name!r} inside a line")
        return result

    def _reference(self, node: nodes.reference) -> list[Inline]:
        """A link where the target is a web address or a document of the binder; else its text."""
        content = self.inline(node.children)
        if "refid" in node:
            return [{"t": "link", "u": f"x-doc:{self.number}#{node['refid']}", "c": content}]
        uri = node.get("refuri", "")
        if _SAFE_LINK.match(uri):
            return [{"t": "link", "u": uri, "c": content}]
        target = self._link(uri)
        return [{"t": "link", "u": f"x-doc:{target}", "c": content}] if target else content


def _language(node: nodes.Node) -> str:
    """Code of a language that the node's texts are marked with, as docutils does it: class 'language-es'."""
    classes: list[str] = node["classes"] if isinstance(node, nodes.Element) else []
    return next((name.removeprefix("language-") for name in classes if name.startswith("language-")), "")


def _lines(cell: Inline, column: own.Column, width: float, points: float) -> int | None:
    """Lines of a cell as made, where they are certain; a box to write in holds one."""
    text, looks = (cell, {}) if isinstance(cell, str) else (cell["x"], cell)
    if "m" in looks or "r" in looks:
        return None
    bold = column.header or "b" in looks
    lines = certain_lines(text, width - table_layout.PADDING_MM, points, bold=bold)
    return None if column.kind == "write" and lines != 1 else lines


def _field_word(title: str) -> str:
    """What a column is called in the names of its fields."""
    return _FIELD_WORDS.get(title) or nodes.make_id(title)


def drawing_source(svg: str, shown: Callable[[str], str] = lambda text: legible(text, drawn=True)[0]) -> str:
    """The drawing with the font that the PDF carries, and nothing that reaches outside the file.

    Parameters
    ----------
    svg : str
    shown : callable
        Gives a text as it can be printed.

    Raises
    ------
    ValueError
        The text is not an SVG drawing.
    """
    parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False, remove_comments=True)
    try:
        root = etree.fromstring(svg.encode(), parser)
    except etree.XMLSyntaxError as error:
        raise ValueError(f"a drawing is not well formed: {error}") from error
    for element in root.iter(etree.Element):
        for name in ("font-family", "style"):
            value = element.get(name)
            if value and "Liberation Sans" in value:
                element.set(name, value.replace("Liberation Sans", _DRAWING_FONT))
        if etree.QName(element).localname in ("text", "tspan", "textPath"):
            element.text = element.text and shown(element.text)
            for child in element:
                child.tail = child.tail and shown(child.tail)
    return str(etree.tostring(root, encoding="unicode"))


def qr_source(content: str) -> str:
    """A QR code as SVG; medium error correction, for a card that gets dirty."""
    import io

    import segno

    stream = io.BytesIO()
    segno.make(content, error="m", micro=False).save(stream, kind="svg", scale=4, border=2, xmldecl=False)
    return stream.getvalue().decode()
