"""Write findings as cell notes into a copy of the workbook, so that a person mends in place."""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections.abc import Iterable, Mapping
from pathlib import Path
from xml.sax.saxutils import quoteattr

from lxml import etree

from binder.errors import OutputError, in_words
from binder.inventory.cleaning import CellError
from binder.inventory.files import put_in_place
from binder.inventory.findings import Finding, ordered
from binder.inventory.new_sheets import NewSheet, free_name, with_sheets
from binder.inventory.package import open_package
from binder.inventory.parts import sheet_parts
from binder.inventory.patch import (
    MAIN,
    PACKAGE_RELS,
    PatchError,
    parse_xml,
    related_parts,
    replaced,
    split_address,
    xml_bytes,
)
from binder.inventory.spreadsheet_text import clean_text, escaped

_M = f"{{{MAIN}}}"
_R = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_TYPES = "http://schemas.openxmlformats.org/package/2006/content-types"
_COMMENTS_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.comments+xml"
_VML_TYPE = "application/vnd.openxmlformats-officedocument.vmlDrawing"
_AUTHOR = "binder check"
FINDINGS_SHEET = "Findings"
#: Elements of a sheet that stand behind the reference to its notes (ECMA-376, CT_Worksheet).
_BEHIND = (
    "legacyDrawingHF",
    "drawingHF",
    "picture",
    "oleObjects",
    "controls",
    "webPublishItems",
    "tableParts",
    "extLst",
)

#: Named in each box again: a drawing that is there may have other prefixes.
_NAMES = (
    'xmlns:v="urn:schemas-microsoft-com:vml" xmlns:o="urn:schemas-microsoft-com:office:office" '
    'xmlns:x="urn:schemas-microsoft-com:office:excel"'
)
_VML_HEAD = f"""<xml {_NAMES}><o:shapelayout v:ext="edit"><o:idmap v:ext="edit" data="9"/>\
</o:shapelayout><v:shapetype id="_x0000_t202" coordsize="21600,21600" o:spt="202" path="m,l,21600r21600,l21600,xe">\
<v:stroke joinstyle="miter"/><v:path gradientshapeok="t" o:connecttype="rect"/></v:shapetype></xml>"""


def mark_copy(path: Path, findings: Iterable[Finding], out: Path) -> int:
    """Write a copy of the workbook with a note on every cell that a finding names.

    Parameters
    ----------
    path : Path
        The workbook; it is not changed.
    findings : iterable of Finding
    out : Path
        The copy.

    Returns
    -------
    int
        Number of notes. Findings of sheets or cells that do not exist have none.

    Raises
    ------
    OutputError
        The workbook cannot be read, or `out` is the workbook itself.
    """
    if out.resolve() == path.resolve():
        raise OutputError("the marked copy needs another name than the workbook", "Name another file.")
    try:
        data = open_package(path).data
        marked, count = marked_package(data, findings)
    except (CellError, PatchError) as error:
        raise OutputError(f"{path.name} cannot be marked: {error}", "Mend the file first.") from error
    try:
        put_in_place(out, marked)
    except OSError as error:
        message, remedy = in_words(error)
        raise OutputError(f"no marked copy was written: {message}", remedy) from error
    return count


def marked_package(data: bytes, findings: Iterable[Finding]) -> tuple[bytes, int]:
    """Return a package with a note on each cell and a sheet of all findings, and how many notes."""
    listed = ordered(findings)
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        names = tuple(sheet_parts(archive.read))
    texts = {sheet: notes for sheet, notes in note_texts(listed).items() if sheet in names}
    marked = with_notes(data, texts, author=_AUTHOR)
    marked = with_sheets(marked, [_findings_sheet(free_name(FINDINGS_SHEET, names), listed)])
    return marked, sum(map(len, texts.values()))


def _findings_sheet(name: str, findings: Iterable[Finding]) -> NewSheet:
    """Every finding in a row, for those without a cell too."""
    heads = ("Grade", "Code", "Sheet", "Cell", "Tag", "Column", "Found", "Accepted", "What to do")
    rows = tuple(
        tuple(
            clean_text(t)
            for t in (str(f.grade), f.code, f.sheet, f.cell, f.tag, f.column, f.found, f.accepted, f.remedy)
        )
        for f in findings
    )
    widths = (9, 7, 16, 9, 14, 22, 44, 30, 52)
    return NewSheet(name, heads, widths, frozenset(range(1, len(heads) + 1)), rows, head_height=18)


def with_notes(data: bytes, texts: Mapping[str, Mapping[str, str]], *, author: str) -> bytes:
    """Return a package with notes on cells.

    Parameters
    ----------
    data : bytes
    texts : mapping of str to mapping
        Sheet as it is named there -> cell -> text.
    author : str
    """
    new: dict[str, bytes] = {}
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = sheet_parts(archive.read)
        for sheet in sorted(texts):
            new.update(_SheetNotes(archive, parts[sheet], new, author).add(texts[sheet]))
    return replaced(data, new)


def note_texts(findings: Iterable[Finding]) -> dict[str, dict[str, str]]:
    """Return sheet -> cell -> text of its note, several findings of a cell in one note."""
    texts: dict[str, dict[str, str]] = {}
    for finding in ordered(findings):
        first = re.match(r"[A-Z]{1,3}[1-9][0-9]*", finding.cell)
        if first is None:
            continue
        lines = [f"{finding.grade} {finding.code}" + (f"  ({finding.cell})" if finding.cell != first[0] else "")]
        lines += [f"found: {finding.found}"] if finding.found else []
        lines += [f"accepted: {finding.accepted}"] if finding.accepted else []
        lines += [finding.remedy] if finding.remedy else []
        of_sheet = texts.setdefault(finding.sheet, {})
        cell = first[0]
        text = "\n".join(lines)
        of_sheet[cell] = f"{of_sheet[cell]}\n\n{text}" if cell in of_sheet else text
    return texts


class _SheetNotes:
    """Adds notes to one sheet: its notes part, its drawing of the boxes, and what ties them in."""

    def __init__(self, archive: zipfile.ZipFile, part: str, new: Mapping[str, bytes], author: str) -> None:
        self.author = author
        self.archive = archive
        self.part = part
        self.new = dict(new)
        self.changed: dict[str, bytes] = {}
        number = re.sub(r"\D", "", posixpath.basename(part)) or "1"
        self.number = f"9{number}"

    def add(self, notes: Mapping[str, str]) -> dict[str, bytes]:
        """Return the parts to exchange or add."""
        comments = self._existing("/comments")
        drawing = self._existing("/vmlDrawing")
        fresh = comments is None
        if fresh:
            comments, drawing = f"xl/comments{self.number}.xml", f"xl/drawings/vmlDrawing{self.number}.vml"
            self._tie_in(comments, drawing)
        assert comments is not None
        occupied = self._write_comments(comments, notes, fresh=fresh)
        if drawing is not None:
            self._write_boxes(drawing, [c for c in sorted(notes) if c not in occupied], fresh=fresh)
        return self.changed

    def _read(self, name: str) -> bytes:
        if name in self.changed:
            return self.changed[name]
        return self.new[name] if name in self.new else self.archive.read(name)

    def _existing(self, kind: str) -> str | None:
        found = [p for p in related_parts(self.archive, self.part, kind) if p in self.archive.namelist()]
        return found[0] if found else None

    def _write_comments(self, name: str, notes: Mapping[str, str], *, fresh: bool) -> set[str]:
        if fresh:
            root = etree.Element(f"{_M}comments", nsmap={None: MAIN})
            etree.SubElement(root, f"{_M}authors")
            etree.SubElement(root, f"{_M}commentList")
        else:
            root = parse_xml(self._read(name))
        authors, listed = root.find(f"{_M}authors"), root.find(f"{_M}commentList")
        if authors is None or listed is None:
            raise PatchError("the notes of the sheet are of a kind that was not tried")
        etree.SubElement(authors, f"{_M}author").text = self.author
        author = str(len(authors) - 1)
        by_cell = {c.get("ref"): c for c in listed}
        for cell in sorted(notes, key=split_address):
            comment = by_cell.get(cell)
            text = notes[cell]
            if comment is None:
                comment = etree.SubElement(listed, f"{_M}comment", ref=cell, authorId=author)
                etree.SubElement(comment, f"{_M}text")
            else:
                text = f"\n\n{text}"
            run = etree.SubElement(comment.find(f"{_M}text"), f"{_M}r")
            inner = etree.SubElement(run, f"{_M}t")
            inner.set("{http://www.w3.org/XML/1998/namespace}space", "preserve")
            inner.text = escaped(clean_text(text))
        listed[:] = sorted(listed, key=lambda c: split_address(c.get("ref")))
        self.changed[name] = xml_bytes(root)
        return {cell for cell in notes if cell in by_cell}

    def _write_boxes(self, name: str, cells: list[str], *, fresh: bool) -> None:
        text = _VML_HEAD if fresh else self._read(name).decode("utf-8")
        place = text.rfind("</xml>")
        if place < 0:
            raise PatchError("the boxes of the notes are of a kind that was not tried")
        boxes = "".join(_box(cell, index) for index, cell in enumerate(cells))
        self.changed[name] = (text[:place] + boxes + text[place:]).encode("utf-8")

    def _tie_in(self, comments: str, drawing: str) -> None:
        folder, base = posixpath.split(self.part)
        rels = f"{folder}/_rels/{base}.rels"
        if rels in self.archive.namelist():
            root = parse_xml(self._read(rels))
        else:
            root = etree.Element(f"{{{PACKAGE_RELS}}}Relationships", nsmap={None: PACKAGE_RELS})
        for kind, target in (("comments", comments), ("vmlDrawing", drawing)):
            etree.SubElement(
                root, f"{{{PACKAGE_RELS}}}Relationship", Id=f"binder_{kind}", Type=f"{_R}/{kind}", Target=f"/{target}"
            )
        self.changed[rels] = xml_bytes(root)
        self._name_types(comments)
        self._name_drawing()

    def _name_types(self, comments: str) -> None:
        root = parse_xml(self._read("[Content_Types].xml"))
        if not any(e.get("Extension", "").lower() == "vml" for e in root):
            root.insert(0, root.makeelement(f"{{{_TYPES}}}Default", {"Extension": "vml", "ContentType": _VML_TYPE}))
        etree.SubElement(root, f"{{{_TYPES}}}Override", PartName=f"/{comments}", ContentType=_COMMENTS_TYPE)
        self.changed["[Content_Types].xml"] = xml_bytes(root)

    def _name_drawing(self) -> None:
        # Put in as text: parsing and writing would touch the whole sheet for one element.
        content = self._read(self.part)
        element = b'<legacyDrawing xmlns:r="' + _R.encode() + b'" r:id="binder_vmlDrawing"/>'
        data_end = content.rfind(b"</sheetData>")
        behind = [content.find(b"<" + name.encode(), max(data_end, 0)) for name in _BEHIND]
        places = [p for p in behind if p >= 0] or [content.rfind(b"</worksheet>")]
        if b"<legacyDrawing " in content or min(places) < 0:
            raise PatchError("the sheet is written in a variant that was not tried")
        place = min(places)
        self.changed[self.part] = content[:place] + element + content[place:]


def _box(cell: str, index: int) -> str:
    row, column = split_address(cell)
    anchor = f"{column}, 15, {max(row - 2, 0)}, 10, {column + 4}, 15, {row + 7}, 4"
    identity = quoteattr(f"_binder_note_{row}_{column}")
    return (
        f'<v:shape {_NAMES} id={identity} type="#_x0000_t202" style="position:absolute;margin-left:60pt;margin-top:2pt;'
        f'width:280pt;height:110pt;z-index:{index + 1};visibility:hidden" fillcolor="#ffffe1" o:insetmode="auto">'
        '<v:fill color2="#ffffe1"/><v:shadow on="t" color="black" obscured="t"/><v:path o:connecttype="none"/>'
        '<v:textbox style="mso-direction-alt:auto"><div style="text-align:left"></div></v:textbox>'
        '<x:ClientData ObjectType="Note"><x:MoveWithCells/><x:SizeWithCells/>'
        f"<x:Anchor>{anchor}</x:Anchor><x:AutoFill>False</x:AutoFill>"
        f"<x:Row>{row - 1}</x:Row><x:Column>{column - 1}</x:Column></x:ClientData></v:shape>"
    )
