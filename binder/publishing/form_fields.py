"""Fields to fill in on screen: empty links of a page become text fields and boxes to tick.

The typesetter knows no forms. Where something is to be written it leaves an empty link, whose
annotation has the place and whose structure element stands in its table cell. Both become parts of
a form here. Every field has an appearance, so that the document stays archival; after somebody has
typed into it, it is a working copy.

References
----------
ISO 32000-1:2008, 12.7 (forms); ISO 19005-2:2011, 6.3 and 6.4 (appearances, no actions);
ISO 14289-1:2014, 7.18 (structure and names of fields); all from memory, check.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any
from urllib.parse import quote, unquote

import pikepdf

from binder.publishing.typefaces import FOLDER

#: An address that begins so marks a place to fill in: 'x-field:<kind>/<name>'.
MARK = "x-field:"

TEXT, LINES, TICK = "t", "m", "c"  # one line of text, several lines, a box to tick

_PADDING = (3.4, 2.3)  # points from the mark to the frame of its cell, less the frame itself
_MULTILINE = 1 << 12
_PRINTED = 4  # annotation flag
_APPEARANCE = b"/F 9 Tf 0 g"
_CROSS = b"q 0 G 1.3 w 1 J 2 2 m 8 8 l 2 8 m 8 2 l S Q"
_CODES = range(0x20, 0x100)


@dataclass(frozen=True, slots=True)
class Mark:
    """A place to fill in: its annotation, its structure element, and what its address says."""

    annotation: Any
    element: Any
    address: str


def address(*name: str) -> str:
    """The parts of a field's name as they stand in a mark's address.

    >>> address("D1.03", "as left, Ω")
    'D1.03.as%20left%2C%20%CE%A9'
    """
    return quote(".".join(part for part in name if part), safe=".")


@dataclass(slots=True)
class _Branch:
    """Part of a field's name; below it are branches and fields."""

    kids: dict[str, _Branch | Mark] = field(default_factory=dict)


def make_fields(pdf: pikepdf.Pdf, number: str, marks: Iterable[Mark]) -> None:
    """Turn marks into fields, named 'document.line.column'.

    Parameters
    ----------
    pdf : Pdf
    number : str
        Document number, the first part of every name: documents can be joined without clashes.
    marks : iterable of Mark
        In the order of reading.
    """
    tree = _Branch()
    for mark in marks:
        _insert(tree, mark)
    if not tree.kids:
        return
    root = pdf.make_indirect(pikepdf.Dictionary(T=_part(number), FT=pikepdf.Name.Tx, Kids=pikepdf.Array()))
    ticks = _tick_appearances(pdf)
    _hang(pdf, root, tree, ticks)
    pdf.Root.AcroForm = pdf.make_indirect(_form([root], _font(pdf)))


def join_fields(pdf: pikepdf.Pdf, source: pikepdf.Pdf) -> None:
    """Add the fields of one document to those of a joined file; their pages must have been added before."""
    form = source.Root.get("/AcroForm")
    if form is None:
        return
    root = pdf.copy_foreign(form.Fields[0])
    if "/AcroForm" in pdf.Root:
        pdf.Root.AcroForm.Fields.append(root)
    else:
        font = pdf.copy_foreign(form.DR.Font.F)
        pdf.Root.AcroForm = pdf.make_indirect(_form([root], font))


def drop_fields(pdf: pikepdf.Pdf, parents: dict[int, Any]) -> None:
    """Take the fields out of a document: what is printed stays, what would be typed into goes.

    Parameters
    ----------
    pdf : Pdf
    parents : dict of int to structure element
        Its parent tree; loses what belonged to the fields.
    """
    if "/AcroForm" not in pdf.Root:
        return
    del pdf.Root.AcroForm
    for page in pdf.pages:
        kept = pikepdf.Array()
        for annotation in page.get("/Annots", ()):
            if annotation.Subtype != pikepdf.Name.Widget:
                kept.append(annotation)
                continue
            element = parents.pop(int(annotation.StructParent))
            kids = element.P.K
            kids = kids if isinstance(kids, pikepdf.Array) else [kids]
            element.P.K = pikepdf.Array(
                [kid for kid in kids if not isinstance(kid, pikepdf.Dictionary) or kid.objgen != element.objgen]
            )
        if len(kept):
            page.Annots = kept
        elif "/Annots" in page:
            del page.Annots


def _form(roots: list[Any], font: Any) -> pikepdf.Dictionary:
    return pikepdf.Dictionary(
        Fields=pikepdf.Array(roots),
        DA=pikepdf.String(_APPEARANCE.decode()),
        DR=pikepdf.Dictionary(Font=pikepdf.Dictionary(F=font)),
    )


# Names -----------------------------------------------------------------------------------------


def _insert(tree: _Branch, mark: Mark) -> None:
    """Hang a mark under the parts of its name; a name that is taken gets a figure."""
    parts = [unquote(part) for part in mark.address.partition("/")[2].split(".")]
    branch = tree
    for part in parts[:-1]:
        name, n = part, 1
        while not isinstance(below := branch.kids.setdefault(name, _Branch()), _Branch):
            n += 1
            name = f"{part}-{n}"
        branch = below
    name, n = parts[-1], 1
    while name in branch.kids:
        n += 1
        name = f"{parts[-1]}-{n}"
    branch.kids[name] = mark


def _part(text: str) -> pikepdf.String:
    """One part of a name; a full stop would part it."""
    return pikepdf.String(text.replace(".", "·"))


def spoken(path: Iterable[str]) -> str:
    """What a field is called by a voice, and by the tip under the pointer: column first, then its line.

    >>> spoken(["D1", "03", "reading"]), spoken(["settings", "01", "02", "as-left"])
    ('Reading, D1.03', 'As left, settings 01.02')
    """
    *line, column = path
    said = column.replace("-", " ")
    if not line:
        return said
    first = [line.pop(0).replace("-", " ")] if line[0].islower() else []
    return f"{said[:1].upper()}{said[1:]}, {' '.join([*first, '.'.join(line)])}".strip()


# Objects ---------------------------------------------------------------------------------------


def _hang(pdf: pikepdf.Pdf, parent: Any, branch: _Branch, ticks: Mapping[str, Any], path: tuple[str, ...] = ()) -> None:
    """Make the fields below a branch."""
    for name, below in branch.kids.items():
        here = (*path, name)
        if isinstance(below, Mark):
            _widget(pdf, below, here, ticks)
            below.annotation.T = _part(name)
            below.annotation.Parent = parent
            parent.Kids.append(below.annotation)
        else:
            node = pdf.make_indirect(pikepdf.Dictionary(T=_part(name), Parent=parent, Kids=pikepdf.Array()))
            parent.Kids.append(node)
            _hang(pdf, node, below, ticks, here)


def _widget(pdf: pikepdf.Pdf, mark: Mark, path: tuple[str, ...], ticks: Mapping[str, Any]) -> None:
    """Make a link's annotation the widget of a field, and its structure element a Form."""
    widget = mark.annotation
    kind = mark.address.partition("/")[0]
    for key in ("/A", "/Border", "/Contents"):
        if key in widget:
            del widget[key]
    widget.Subtype = pikepdf.Name.Widget
    widget.F = _PRINTED
    widget.TU = pikepdf.String(spoken(path))
    mark.element.S = pikepdf.Name.Form
    left, bottom, right, top = (float(edge) for edge in widget.Rect)
    if kind == TICK:
        widget.FT = pikepdf.Name.Btn
        widget.V = widget.AS = pikepdf.Name.Off
        widget.AP = pikepdf.Dictionary(N=pikepdf.Dictionary(ticks))
        return
    if kind == TEXT:
        left, bottom, right, top = left - _PADDING[0], bottom - _PADDING[1], right + _PADDING[0], top + _PADDING[1]
    else:
        widget.Ff = _MULTILINE
    widget.Rect = pikepdf.Array([round(edge, 2) for edge in (left, bottom, right, top)])
    # One appearance a field: programs that fill in fields write into the one that is there.
    box = [0, 0, round(right - left, 1), round(top - bottom, 1)]
    widget.AP = pikepdf.Dictionary(N=_appearance(pdf, b"", box))


def _appearance(pdf: pikepdf.Pdf, content: bytes, box: list[float]) -> Any:
    entries = pikepdf.Dictionary(Subtype=pikepdf.Name.Form, BBox=box, Resources=pikepdf.Dictionary())
    return pikepdf.Stream(pdf, content, entries)


def _tick_appearances(pdf: pikepdf.Pdf) -> Mapping[str, Any]:
    """Ticked and not ticked, shared by all boxes: nothing is ever written into them."""
    box: list[float] = [0, 0, 10, 10]
    return {"/Off": _appearance(pdf, b"", box), "/Yes": _appearance(pdf, _CROSS, box)}


def _font(pdf: pikepdf.Pdf) -> Any:
    """The face that typed text is shown in, embedded, so that a filled copy needs no font of its reader."""
    face = typed_face()
    descriptor = pikepdf.Dictionary(
        Type=pikepdf.Name.FontDescriptor,
        FontName=pikepdf.Name("/BNDRFM+SourceSans3-Regular"),
        Flags=32,
        FontBBox=pikepdf.Array(face.box),
        ItalicAngle=0,
        Ascent=face.ascent,
        Descent=face.descent,
        CapHeight=face.ascent,
        StemV=80,
        FontFile2=pdf.make_stream(face.program, Length1=len(face.program)),
    )
    return pdf.make_indirect(
        pikepdf.Dictionary(
            Type=pikepdf.Name.Font,
            Subtype=pikepdf.Name.TrueType,
            BaseFont=descriptor.FontName,
            Encoding=pikepdf.Name.WinAnsiEncoding,
            FirstChar=_CODES.start,
            LastChar=_CODES.stop - 1,
            Widths=pikepdf.Array(face.widths),
            FontDescriptor=pdf.make_indirect(descriptor),
        )
    )


@dataclass(frozen=True, slots=True)
class TypedFace:
    """A font program with the signs of Windows' Western code page, and its measures in thousandths."""

    program: bytes
    widths: list[int]
    box: list[int]
    ascent: int
    descent: int


@lru_cache(maxsize=1)
def typed_face() -> TypedFace:
    """Cut the text face down to what can be typed into a field."""
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont

    signs = {code: bytes([code]).decode("cp1252", "ignore") for code in _CODES}
    options = Options(hinting=False, layout_features=[], name_IDs=[], drop_tables=["BASE", "GDEF", "GPOS", "GSUB"])
    with TTFont(FOLDER / "SourceSans3-Regular.ttf", recalcTimestamp=False) as font:
        cutter = Subsetter(options)
        cutter.populate(unicodes=[ord(sign) for sign in signs.values() if sign])
        cutter.subset(font)
        out = io.BytesIO()
        font.save(out)
        scale = 1000 / font["head"].unitsPerEm
        names, metrics = font.getBestCmap(), font["hmtx"].metrics
        held = [names.get(ord(sign)) if sign else None for sign in signs.values()]
        widths = [round(scale * metrics[name][0]) if name else 0 for name in held]
        head, across = font["head"], font["hhea"]
        box = [round(scale * edge) for edge in (head.xMin, head.yMin, head.xMax, head.yMax)]
        return TypedFace(out.getvalue(), widths, box, round(scale * across.ascent), round(scale * across.descent))
