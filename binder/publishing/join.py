"""Join finished documents into one PDF: pages, bookmarks, links, page labels and the tag tree.

Neither library joins structure trees, so that is done here: keys of each document's parent tree
are moved up by what stands before it, and each document becomes a Part of one tree.
"""

from __future__ import annotations

import hashlib
import json
import warnings
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

import pikepdf

from binder.publishing.form_fields import drop_fields, join_fields
from binder.publishing.identity import sha256, software_digest
from binder.publishing.packet import Sidecar, _name_array, _numbers, nearest
from binder.publishing.saving import open_pdf, save_pdf

DOCUMENTS = "documents"  # folder of the single documents, seen from the joined file
_LEAF = 64  # entries a leaf of a number or name tree


@dataclass(frozen=True, slots=True)
class Volume:
    """A file to join, and from what."""

    files: list[tuple[Path, Sidecar]]
    out: Path
    title: str
    large: bool

    def made_from(self) -> str:
        """Digest of everything that decides its bytes."""
        parts: list[str | bytes] = [software_digest(), self.title, str(self.large)]
        for path, sidecar in self.files:
            parts += [json.dumps(asdict(sidecar), sort_keys=True), path.read_bytes()]
        return sha256(*parts)

    def join(self, progress: Callable[[int, int], None] = lambda _done, _of: None) -> list[str]:
        """Write it; return the links that lead nowhere."""
        return join(self.files, self.out, title=self.title, fields=not self.large, progress=progress)


@dataclass(slots=True)
class _Joined:
    """What grows while documents are added."""

    pdf: pikepdf.Pdf
    parts: list[Any] = field(default_factory=list)
    parents: list[tuple[int, Any]] = field(default_factory=list)
    destinations: dict[str, Any] = field(default_factory=dict)
    outline: list[tuple[int, str, int, float]] = field(default_factory=list)
    labels: list[tuple[int, str]] = field(default_factory=list)
    shared: dict[str, Any] = field(default_factory=dict)
    roles: dict[str, Any] = field(default_factory=dict)
    next_key: int = 0


def join(
    files: Sequence[tuple[Path, Sidecar]],
    out: Path,
    *,
    title: str,
    fields: bool = True,
    progress: Callable[[int, int], None] = lambda _done, _of: None,
) -> list[str]:
    """Join documents in the given order; the first gives metadata and language.

    Parameters
    ----------
    files : sequence of (Path, Sidecar)
    out : Path
    title : str
        Shown by viewers in place of the file name.
    fields : bool
        Keep what can be filled in on screen; it is a third of the tags of a file.
    progress : callable
        Called with (documents joined, of how many).

    Returns
    -------
    list of str
        Links that lead to no document of this file.
    """
    joined = _Joined(pikepdf.new())
    for done, (path, sidecar) in enumerate(files, 1):
        with open_pdf(path) as source:
            _add(joined, source, sidecar, fields=fields)
        progress(done, len(files))
    dangling = _resolve_links(joined)
    _write_trees(joined)
    joined.pdf.Root.PageMode = pikepdf.Name.UseOutlines
    with joined.pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as metadata:
        metadata["dc:title"] = title
        metadata["{http://ns.adobe.com/xap/1.0/t/pg/}NPages"] = str(len(joined.pdf.pages))
    save_pdf(joined.pdf, out)
    return dangling


def _add(joined: _Joined, source: pikepdf.Pdf, sidecar: Sidecar, *, fields: bool) -> None:
    """Add one document's pages and everything that hangs on them."""
    pdf = joined.pdf
    if not fields:
        parents = dict(_numbers(source.Root.StructTreeRoot.ParentTree))
        drop_fields(source, parents)
        source.Root.StructTreeRoot.ParentTree = _number_tree(source, list(parents.items()))
    first = len(pdf.pages)
    with warnings.catch_warnings():
        # Destinations are carried over from the sidecars; newer versions of pikepdf warn that pages alone lack them.
        warnings.filterwarnings("ignore", message="Copying pages from another Pdf")
        pdf.pages.extend(source.pages)
    new = [pdf.pages[n] for n in range(first, first + sidecar.pages)]
    root = pdf.copy_foreign(source.Root.StructTreeRoot)
    join_fields(pdf, source)
    if not first:
        _take_catalog(pdf, source)
    highest = -1
    for key, element in _numbers(root.ParentTree):
        joined.parents.append((joined.next_key + key, element))
        highest = max(highest, key)
    for sheet in new:
        _shift(sheet, joined.next_key)
        _share_resources(sheet.obj.Resources, joined.shared)
    joined.next_key += highest + 1
    for name, element in root.get("/RoleMap", {}).items():
        joined.roles[name] = element
    joined.parts.append((sidecar, root.K))
    for name, (page, top) in sidecar.destinations.items():
        joined.destinations[name] = pikepdf.Array([new[page].obj, pikepdf.Name.XYZ, 0, top, 0])
    joined.outline += [
        (level, text if level > 1 else f"{sidecar.number}  {text}", first + page, top)
        for level, text, page, top in sidecar.outline
    ]
    joined.labels.append((first, f"{sidecar.number} / "))


def _take_catalog(pdf: pikepdf.Pdf, source: pikepdf.Pdf) -> None:
    """Metadata, colour intent and language of the first document."""
    root: Any = source.Root
    for name in ("/OutputIntents", "/Lang", "/ViewerPreferences", "/MarkInfo", "/Metadata"):
        if name in root:
            value = root[name]
            pdf.Root[name] = (
                pdf.copy_foreign(value) if value.is_indirect else pdf.copy_foreign(source.make_indirect(value))
            )


def _shift(page: pikepdf.Page, by: int) -> None:
    """Move a page's keys into the joined parent tree, and those of its annotations."""
    if "/StructParents" in page:
        page.obj.StructParents = int(page.obj.StructParents) + by
    for annotation in page.get("/Annots", ()):
        if "/StructParent" in annotation:
            annotation.StructParent = int(annotation.StructParent) + by
    resources: Any = page.obj.Resources
    for form in resources.get("/XObject", {}).values():
        for name in ("/StructParents", "/StructParent"):
            if name in form:
                form[name] = int(form[name]) + by


def _share_resources(resources: Any, shared: dict[str, Any]) -> None:
    """Keep one copy of every font and colour profile that documents have in common."""
    for name in ("/Font", "/ColorSpace"):
        for key, value in list(resources.get(name, {}).items()):
            # The sheets of one document name the same objects: each is walked through once.
            place = f"object {value.objgen}" if value.is_indirect else ""
            kept = shared.get(place)
            if kept is None:
                kept = shared.setdefault(_fingerprint(value), value)
            if place:
                shared[place] = kept
            resources[name][key] = kept
    for form in resources.get("/XObject", {}).values():
        if "/Resources" in form:
            _share_resources(form.Resources, shared)


def _fingerprint(value: Any, depth: int = 0) -> str:
    """Digest of an object with everything it holds; fonts and colours hold no way back."""
    digest = hashlib.sha256()
    if isinstance(value, pikepdf.Stream):
        digest.update(b"stream" + value.read_raw_bytes())
        for key in sorted(value.keys()):
            digest.update(f"{key}{_fingerprint(value[key], depth + 1)}".encode())
    elif isinstance(value, pikepdf.Dictionary):
        for key in sorted(value.keys()):
            digest.update(f"{key}{_fingerprint(value[key], depth + 1)}".encode())
    elif isinstance(value, pikepdf.Array):
        for item in value:
            digest.update(_fingerprint(item, depth + 1).encode())
    else:
        digest.update(repr(value).encode())
    return digest.hexdigest()


def _resolve_links(joined: _Joined) -> list[str]:
    """Turn links to other files into links inside this one; return those that lead nowhere."""
    dangling = set()
    for page in joined.pdf.pages:
        for annotation in page.get("/Annots", ()):
            action = annotation.get("/A")
            if action is None or str(action.get("/S")) != "/GoToR":
                continue
            target = nearest(str(action.D), joined.destinations)
            if target is None:
                dangling.add(str(action.D))
                # The joined file stands one folder above the single documents.
                action.F = pikepdf.String(f"{DOCUMENTS}/{action.F}")
                continue
            annotation.A = pikepdf.Dictionary(S=pikepdf.Name.GoTo, D=pikepdf.String(target))
    return sorted(dangling)


def _write_trees(joined: _Joined) -> None:
    """Structure tree, parent tree, destinations, bookmarks and page labels."""
    pdf = joined.pdf
    document = pdf.make_indirect(
        pikepdf.Dictionary(Type=pikepdf.Name.StructElem, S=pikepdf.Name.Document, K=pikepdf.Array())
    )
    for sidecar, kids in joined.parts:
        part = pdf.make_indirect(
            pikepdf.Dictionary(
                Type=pikepdf.Name.StructElem, S=pikepdf.Name.Part, P=document, T=pikepdf.String(sidecar.number), K=kids
            )
        )
        for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
            kid.P = part
        document.K.append(part)
    root = pdf.make_indirect(
        pikepdf.Dictionary(
            Type=pikepdf.Name.StructTreeRoot,
            K=pikepdf.Array([document]),
            ParentTreeNextKey=joined.next_key,
            ParentTree=_number_tree(pdf, joined.parents),
        )
    )
    if joined.roles:
        root.RoleMap = pikepdf.Dictionary({name: joined.roles[name] for name in sorted(joined.roles)})
    document.P = root
    pdf.Root.StructTreeRoot = root
    pdf.Root.Names = pikepdf.Dictionary(Dests=_name_tree(pdf, joined.destinations))
    labels = pikepdf.Array()
    for first, prefix in joined.labels:
        labels.append(first)
        labels.append(pikepdf.Dictionary(S=pikepdf.Name.D, P=pikepdf.String(prefix)))
    pdf.Root.PageLabels = pikepdf.Dictionary(Nums=labels)
    with pdf.open_outline() as outline:
        _fill_outline(outline.root, joined.outline, pdf)


def _number_tree(pdf: pikepdf.Pdf, entries: Sequence[tuple[int, Any]]) -> Any:
    """A number tree with one level of leaves."""
    ordered = sorted(entries, key=lambda entry: entry[0])
    kids = pikepdf.Array()
    for start in range(0, len(ordered), _LEAF):
        chunk = ordered[start : start + _LEAF]
        leaf = pikepdf.Array()
        for key, element in chunk:
            leaf.append(key)
            leaf.append(element)
        kids.append(pdf.make_indirect(pikepdf.Dictionary(Limits=pikepdf.Array([chunk[0][0], chunk[-1][0]]), Nums=leaf)))
    return pdf.make_indirect(pikepdf.Dictionary(Kids=kids))


def _name_tree(pdf: pikepdf.Pdf, destinations: dict[str, Any]) -> Any:
    """A name tree sorted by bytes, with one level of leaves."""
    names = sorted(destinations, key=lambda text: bytes(pikepdf.String(text)))
    kids = pikepdf.Array()
    for start in range(0, len(names), _LEAF):
        chunk = names[start : start + _LEAF]
        kids.append(
            pdf.make_indirect(
                pikepdf.Dictionary(
                    Limits=pikepdf.Array([pikepdf.String(chunk[0]), pikepdf.String(chunk[-1])]),
                    Names=_name_array({name: destinations[name] for name in chunk}),
                )
            )
        )
    return pdf.make_indirect(pikepdf.Dictionary(Kids=kids))


def _fill_outline(root: list[Any], entries: Sequence[tuple[int, str, int, float]], pdf: pikepdf.Pdf) -> None:
    """Nest bookmarks by level; documents stand closed."""
    stack: list[tuple[int, list[Any]]] = [(0, root)]
    for level, text, page, top in entries:
        while stack[-1][0] >= level:
            stack.pop()
        place = pikepdf.Array([pdf.pages[page].obj, pikepdf.Name.XYZ, 0, top, 0])
        item = pikepdf.OutlineItem(text, place)
        item.is_closed = True
        stack[-1][1].append(item)
        stack.append((level, item.children))
