"""One controlled document as one PDF: compile, finish, and a sidecar that tells what is in it.

Runs in worker processes: everything that goes in and comes out is plain data.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import itertools
import json
import os
import re
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

import pikepdf
import typst

from binder.documents.file_names import file_name
from binder.publishing import form_fields
from binder.publishing.frame import CARD_END, CARD_START, FrameError, Frames
from binder.publishing.saving import pdf_bytes
from binder.publishing.typefaces import FOLDER

TEMPLATE = Path(__file__).with_name("template.typ")

_OWN_DEFINITIONS = b"// <definitions of the project>\n"

_STANDARDS: list[typst.PDFStandard] = ["a-2a", "ua-1"]

_COMPILATIONS_KEPT = 10  # measured with typst 0.15
_COMPILED = itertools.count()  # documents that this process has typeset


class PrintError(Exception):
    """A document could not be typeset; the message names it."""


@dataclass(frozen=True, slots=True)
class Job:
    """A document ready to be typeset.

    Parameters
    ----------
    number : str
        Document number, for messages and destinations.
    data : str
        JSON for the template.
    out : Path
        The PDF to write; its sidecar stands beside it with the ending .json.
    date : str
        yyyy-mm-dd, the fixed timestamp.
    definitions : str
        Typst definitions of the project, in place of ours.
    """

    number: str
    data: str
    out: Path
    date: str
    definitions: str = ""


@dataclass(slots=True)
class Sidecar:
    """What the contents list and the join must know of a document without opening it."""

    number: str
    pages: int
    outline: list[tuple[int, str, int, float]] = field(default_factory=list)  # level, title, page, top
    destinations: dict[str, tuple[int, float]] = field(default_factory=dict)  # name -> page, top
    links: list[str] = field(default_factory=list)  # 'number#anchor' in other documents
    missing: str = ""  # signs that no font holds
    digest: str = ""  # SHA-256 of the PDF, so that a damaged one is never joined

    def write(self, path: Path) -> None:
        """Write it beside its PDF."""
        path.write_text(json.dumps(asdict(self), sort_keys=True, ensure_ascii=False), "utf-8")

    @classmethod
    def read(cls, path: Path) -> Sidecar:
        """Read it back; a damaged file raises ValueError, KeyError or TypeError."""
        return cls(**json.loads(path.read_text("utf-8")))


@lru_cache(maxsize=1)
def packed_fonts() -> Any:
    """The package's own fonts; those of the machine are never looked at."""
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FOLDER)])


@lru_cache(maxsize=1)
def _template() -> bytes:
    return TEMPLATE.read_bytes()


def no_network() -> None:
    """Close the way out for a worker: a template that asked for a package would fail at once."""
    for name in ("HTTP_PROXY", "HTTPS_PROXY", "http_proxy", "https_proxy", "ALL_PROXY"):
        os.environ[name] = "http://127.0.0.1:1"


def make_packet(job: Job) -> Path:
    """Typeset and finish one document, and move PDF and sidecar into place together.

    Raises
    ------
    PrintError
        The document cannot be typeset.
    """
    raw = compile_document(job)
    try:
        pdf, sidecar = finish(raw, job.number)
    except FrameError as error:
        raise PrintError(f"{job.number} cannot be typeset{_using(job)}: {error}") from error
    job.out.parent.mkdir(parents=True, exist_ok=True)
    side_path = job.out.with_suffix(".json")
    pdf_tmp, side_tmp = (path.with_name(f"{path.name}.{os.getpid()}.tmp") for path in (job.out, side_path))
    try:
        pdf_tmp.write_bytes(pdf)
        sidecar.digest = hashlib.sha256(pdf).hexdigest()
        sidecar.write(side_tmp)
        # The sidecar comes last: a PDF without one counts as absent.
        pdf_tmp.replace(job.out)
        side_tmp.replace(side_path)
    finally:
        pdf_tmp.unlink(missing_ok=True)
        side_tmp.unlink(missing_ok=True)
    return job.out


def compile_document(job: Job) -> bytes:
    """Typeset one document; any warning of the compiler counts as an error."""
    if next(_COMPILED):
        _forget_layout()
    template = _template().replace(_OWN_DEFINITIONS, job.definitions.encode())
    return typeset(template, job.data, job.date, job.number, using=_using(job))


def _using(job: Job) -> str:
    return " with the definitions of house_style/sheet.typ" if job.definitions else ""


def typeset(template: bytes, data: str, date: str, what: str, *, using: str = "") -> bytes:
    """Compile a template of ours with its data.

    Parameters
    ----------
    template : bytes
    data : str
        JSON.
    date : str
        yyyy-mm-dd, the fixed timestamp.
    what, using : str
        What it is, and what else it was made with, for the message when it fails.

    Raises
    ------
    PrintError
        It cannot be typeset without a warning.
    """
    try:
        pdf, warnings = typst.compile_with_warnings(
            template,
            root=str(FOLDER),
            font_paths=packed_fonts(),
            ignore_system_fonts=True,
            format="pdf",
            sys_inputs={"data": data},
            pdf_standards=_STANDARDS,
            timestamp=dt.datetime.fromisoformat(date).replace(tzinfo=dt.UTC),
        )
    except typst.TypstError as error:
        raise PrintError(f"{what} cannot be typeset{using}: {error.message} {' '.join(error.hints)}".strip()) from error
    if warnings:
        raise PrintError(f"{what} cannot be typeset cleanly: {warnings[0].message}")
    if not isinstance(pdf, bytes):
        raise PrintError(f"{what}: the compiler returned no file")
    return pdf


def _forget_layout() -> None:
    """Let Typst drop what it laid out. It keeps that for some compilations, though no two documents share any.

    A packet of 45 sheets leaves 150 MB, so that a process that typesets many would grow beyond a gigabyte;
    empty compilations age it in a few milliseconds each.
    """
    for _ in range(_COMPILATIONS_KEPT):
        typst.compile(b"", font_paths=packed_fonts(), ignore_system_fonts=True)


# Finishing -------------------------------------------------------------------------------------


def finish(raw: bytes, number: str) -> tuple[bytes, Sidecar]:
    """Draw frames and number the sheets, turn marks and references into destinations and actions, thin the tags."""
    raw = _COMMON_HINTS.sub(lambda hints: b" " * len(hints[0]), raw)
    with pikepdf.open(io.BytesIO(raw)) as pdf:
        frames = Frames(pdf)
        pages = {_place(page.obj): index for index, page in enumerate(pdf.pages)}
        sidecar = Sidecar(number, len(pdf.pages))
        destinations = _named(pdf)
        parents = dict(_numbers(pdf.Root.StructTreeRoot.ParentTree))
        marks = _Marks(destinations)
        for index, page in enumerate(pdf.pages):
            marks.take(index, page, parents)
        frames.draw(marks.of_cards)
        form_fields.make_fields(pdf, number, marks.blanks)
        for name in sorted(destinations):
            place = destinations[name]
            sidecar.destinations[name] = (pages[_place(place[0])], float(place[3]))
        for annotation, target in marks.references:
            _aim(pdf, annotation, target, number, destinations, sidecar)
        pdf.Root.Names = pikepdf.Dictionary(Dests=pikepdf.Dictionary(Names=_name_array(destinations)))
        sidecar.outline = list(_outline(pdf, pages))
        _thin_tags(pdf, [pdf.get_object(int(number), 0) for number in _TAGS_TO_MEND.findall(raw)], parents)
        _count_pages(pdf)
        return pdf_bytes(pdf), sidecar


def _count_pages(pdf: pikepdf.Pdf) -> None:
    """Let the metadata tell the pages that are left."""
    stream: Any = pdf.Root.Metadata
    told = re.sub(rb"(<xmpTPg:NPages>)\d+", rb"\g<1>%d" % len(pdf.pages), stream.read_bytes())
    stream.write(told)


def _place(page: Any) -> tuple[int, int]:
    """What tells one page object from another."""
    number, generation = page.objgen
    return int(number), int(generation)


def _named(pdf: pikepdf.Pdf) -> dict[str, Any]:
    """Named destinations of the compiler: those of labelled headings."""
    if "/Names" not in pdf.Root or "/Dests" not in pdf.Root.Names:
        return {}
    names = list(pdf.Root.Names.Dests.Names)
    return {str(names[n]): names[n + 1] for n in range(0, len(names), 2)}


def _name_array(destinations: dict[str, Any]) -> pikepdf.Array:
    """A name tree leaf, sorted by bytes: some viewers search it by halves."""
    array = pikepdf.Array()
    for name in sorted(destinations, key=lambda text: bytes(pikepdf.String(text))):
        array.append(pikepdf.String(name))
        array.append(destinations[name])
    return array


def _numbers(tree: Any) -> Iterator[tuple[int, Any]]:
    """Entries of a number tree, whatever its depth."""
    for kid in tree.get("/Kids", ()):
        yield from _numbers(kid)
    leaf = list(tree.get("/Nums", ()))
    for n in range(0, len(leaf), 2):
        yield int(leaf[n]), leaf[n + 1]


@dataclass(slots=True)
class _Marks:
    """What the template marked by links with addresses of our own."""

    destinations: dict[str, Any]
    blanks: list[form_fields.Mark] = field(default_factory=list)
    references: list[tuple[Any, str]] = field(default_factory=list)  # links that lead to documents
    of_cards: list[tuple[int, str]] = field(default_factory=list)  # index of the page, and what is there

    def take(self, index: int, page: Any, parents: dict[int, Any]) -> None:
        """Gather a page's marks; those that are no links to a reader go."""
        kept = pikepdf.Array()
        for annotation in page.get("/Annots", ()):
            uri = str(annotation.A.get("/URI", "")) if "/A" in annotation else ""
            if uri.startswith("x-anchor:"):
                place = pikepdf.Array([page.obj, pikepdf.Name.XYZ, 0, float(annotation.Rect[3]), 0])
                self.destinations[uri.removeprefix("x-anchor:")] = place
            elif uri in (CARD_START, CARD_END):
                self.of_cards.append((index, uri))
            else:
                kept.append(annotation)
                if uri.startswith(form_fields.MARK):
                    element = parents[int(annotation.StructParent)]
                    self.blanks.append(form_fields.Mark(annotation, element, uri.removeprefix(form_fields.MARK)))
                elif uri.startswith("x-doc:"):
                    self.references.append((annotation, uri.removeprefix("x-doc:")))
                continue
            _untag(parents.pop(int(annotation.StructParent), None))
        if len(kept):
            page.Annots = kept
        elif "/Annots" in page:
            del page.Annots


def _untag(element: Any) -> None:
    """A mark is no link to a reader: its structure element keeps its place, without the annotation."""
    if element is None:
        return
    element.S = pikepdf.Name.Span
    kids = element.get("/K", pikepdf.Array())
    kids = kids if isinstance(kids, pikepdf.Array) else pikepdf.Array([kids])
    element.K = pikepdf.Array([kid for kid in kids if not (isinstance(kid, pikepdf.Dictionary) and "/Obj" in kid)])


def nearest(target: str, known: dict[str, Any]) -> str | None:
    """The destination that `target` leads to: itself, its table or section, or the document's top.

    >>> nearest("A-1#settings-01-02", {"A-1#settings": 0, "A-1#top": 0})
    'A-1#settings'
    """
    number, _, anchor = target.partition("#")
    while anchor:
        if f"{number}#{anchor}" in known:
            return f"{number}#{anchor}"
        anchor = anchor.rpartition("-")[0]
    return f"{number}#top" if f"{number}#top" in known else None


def _aim(
    pdf: pikepdf.Pdf, annotation: Any, target: str, number: str, destinations: dict[str, Any], sidecar: Sidecar
) -> None:
    """Let a link lead inside this document, or to the file of another one."""
    other = target.partition("#")[0]
    annotation.Contents = pikepdf.String(f"{other} {target.partition('#')[2]}".strip())
    if other == number:
        place = nearest(target, destinations) or f"{number}#top"
        annotation.A = pikepdf.Dictionary(S=pikepdf.Name.GoTo, D=pikepdf.String(place))
        return
    sidecar.links.append(target)
    annotation.A = pdf.make_indirect(
        pikepdf.Dictionary(
            S=pikepdf.Name.GoToR, F=pikepdf.String(file_name(other)), D=pikepdf.String(target), NewWindow=False
        )
    )


def _outline(pdf: pikepdf.Pdf, pages: dict[tuple[int, int], int]) -> Iterator[tuple[int, str, int, float]]:
    """The bookmarks as (level, title, page, top)."""

    def walk(item: Any, level: int) -> Iterator[tuple[int, str, int, float]]:
        while item is not None:
            place = item.get("/Dest")
            if place is None:
                place = item.A.D
            if not isinstance(place, pikepdf.Array):
                place = named[str(place)]
            yield level, str(item.Title), pages[_place(place[0])], float(place[3])
            if "/First" in item:
                yield from walk(item.First, level + 1)
            item = item.get("/Next")

    named = _named(pdf)
    if "/Outlines" in pdf.Root and "/First" in pdf.Root.Outlines:
        yield from walk(pdf.Root.Outlines.First, 1)


_LAYOUT_HINTS = {"/Layout"}

# The compiler writes each structure element as one line. Nine in ten carry nothing but hints that are dropped:
# those are blanked in the bytes, where no place of an object moves, and only what is left is looked at.
_COMMON_HINTS = re.compile(rb"/A\[(?:<</O/Table/Headers\[[^\[\]<>]*\]>>)?(?:<</O/Layout(?:(?!/BBox)[^<>])*>>)?\](?=/K)")
_TAGS_TO_MEND = re.compile(rb"^(\d+) 0 obj\n<</Type/StructElem(?:/S/Strong|[^\n]*?(?:/A[\[<]|/ID\())", re.MULTILINE)


def _thin_tags(pdf: pikepdf.Pdf, elements: Iterable[Any], parents: dict[int, Any]) -> None:
    """Keep what a reader uses (kind, scope, alternative text); drop colours, borders and cell ids."""
    root = pdf.Root.StructTreeRoot
    for element in elements:
        if "/ID" in element:
            del element.ID
        if pikepdf.Name.Strong == element.S:
            _name_row(element, parents)
        if "/A" in element:
            _thin_attributes(element)
    if "/IDTree" in root:
        del root.IDTree
    leaf = pikepdf.Array()
    for key in sorted(parents):
        leaf.append(key)
        leaf.append(parents[key])
    root.ParentTree = pdf.make_indirect(pikepdf.Dictionary(Nums=leaf))


def _name_row(strong: Any, parents: dict[int, Any]) -> None:
    """A table cell that holds strong text and nothing else names its row: the template marks it so."""
    cell = strong.P
    if cell.S != pikepdf.Name.TD or (isinstance(cell.K, pikepdf.Array) and len(cell.K) > 1):
        return
    cell.S = pikepdf.Name.TH
    cell.A = pikepdf.Dictionary(O=pikepdf.Name.Table, Scope=pikepdf.Name.Row)
    if "/Pg" in strong and isinstance(strong.K, pikepdf.Array) and all(isinstance(kid, int) for kid in strong.K):
        # The mark has done its work: what it holds becomes the cell's own, and one element in ten goes.
        cell.K, cell.Pg = strong.K, strong.Pg
        owners = parents[int(strong.Pg.StructParents)]
        for kid in strong.K:
            owners[kid] = cell


def _thin_attributes(element: Any) -> None:
    """Drop layout attributes and header lists of one structure element."""
    attributes = element.A if isinstance(element.A, pikepdf.Array) else pikepdf.Array([element.A])
    kept = pikepdf.Array()
    for entry in attributes:
        if isinstance(entry, pikepdf.Dictionary) and str(entry.get("/O")) in _LAYOUT_HINTS:
            if "/BBox" not in entry:
                continue
            entry = pikepdf.Dictionary(O=pikepdf.Name.Layout, BBox=entry.BBox)  # noqa: PLW2901
        elif isinstance(entry, pikepdf.Dictionary) and "/Headers" in entry:
            del entry.Headers
            if len(entry.keys()) == 1:
                continue
        kept.append(entry)
    if len(kept):
        element.A = kept
    else:
        del element.A
