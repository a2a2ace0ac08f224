"""The binder as PDF: one file a document, from cache or typeset in parallel, joined into volumes."""

from __future__ import annotations

import json
import multiprocessing
import os
import shutil
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Future, ProcessPoolExecutor, wait
from dataclasses import asdict, dataclass, field
from functools import partial
from pathlib import Path
from typing import Any

from docutils import nodes

from binder.documents import nodes as own
from binder.documents.document import KINDS, Binder, Document
from binder.inventory.findings import Finding, Grade
from binder.publishing.identity import fonts_digest, sha256, software_digest
from binder.publishing.join import join
from binder.publishing.packet import Job, PrintError, Sidecar, file_name, make_packet, no_network
from binder.publishing.typst import Block, Translator, UnknownNodeError

__all__ = ["PdfResult", "PrintError", "write_pdfs"]

Progress = Callable[[str, int, int], None]  # what, done, of how many

#: Documents of one volume; more would make a file that small machines cannot join (about 3.3 MB each).
VOLUME = 100

_SHEETS_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
_MARGINS_MM = 35.0  # left and right together, as in template.typ
_DRAFT_WORDS = ("draft", "review", "preliminary")
_STATES_KEPT = 3  # of each document, in the cache
_TABS = 13  # thumb tabs down one edge
_UNDATED = "2000-01-01"
_ROWS_A_SHEET = 26  # of the list of documents; only the first guess of its length

# One fixed set of signs in every document, so that all carry the same font subsets.
_ASCII = "".join(chr(code) for code in range(0x21, 0x7F))
_LATIN = "".join(chr(code) for code in range(0xA1, 0x100) if code != 0xAD)
_TRADE = "Ωµφ∆≤≥≠≈±×·√∞→←↑↓−–—…•‘’“”″′€½¼¾⅓⅔⁄₀₁₂₃⁴ŒœŠšŽžŁłŐőŰűĞğŞşİıČčĚěŘřŮů�"
_SIGNS = {"text": _ASCII + _LATIN + _TRADE, "drawing": _ASCII + _LATIN + "Ωµφ∆≤≥±×·→←↑↓−–—…", "rest": "☐☑⚠∅⌀∿①②③④⑤⑥⑦⑧⑨"}


@dataclass(slots=True)
class PdfResult:
    """What was written.

    Parameters
    ----------
    files : dict of str to Path
        Document number -> its PDF.
    joined : list of Path
        The volumes.
    pages : int
    sidecars : dict of str to Sidecar
    typeset : list of str
        Numbers of the documents that did not come from the cache.
    findings : list of Finding
        Signs that could not be printed, links that lead nowhere.
    """

    files: dict[str, Path] = field(default_factory=dict)
    joined: list[Path] = field(default_factory=list)
    pages: int = 0
    sidecars: dict[str, Sidecar] = field(default_factory=dict)
    typeset: list[str] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class PageSource:
    """Where the contractor's own pages come from: nodes, and what their links and pictures mean."""

    body: Callable[[Document], list[nodes.Node]]
    link: Callable[[Document, str], str | None] = lambda _document, _uri: None
    image: Callable[[Document, str], tuple[str, bytes] | None] = lambda _document, _uri: None


def write_pdfs(
    binder: Binder,
    out_dir: Path,
    *,
    cache_dir: Path,
    pages: PageSource | None = None,
    jobs: int = 0,
    progress: Progress = lambda _what, _done, _of: None,
) -> PdfResult:
    """Write one PDF a document and the joined volumes.

    Parameters
    ----------
    binder : Binder
    out_dir : Path
        Gets `documents/<number>.pdf` and `binder.pdf`, or `binder-volume-1.pdf` and so on.
    cache_dir : Path
        Finished documents by digest; may be deleted at any time.
    pages : PageSource, optional
        Needed when the binder has documents of kind 'page'.
    jobs : int
        Worker processes; 0 takes the cores of the machine.
    progress : callable

    Returns
    -------
    PdfResult

    Raises
    ------
    PrintError
        A document cannot be typeset; nothing was joined.
    """
    press = _Press(binder, cache_dir, pages, jobs or _cores(), progress)
    early = [d for d in binder.documents if d.kind != "front"]
    late = [d for d in binder.documents if d.kind == "front"]
    press.make(early)
    press.make_front(late)
    result = press.result
    (out_dir / "documents").mkdir(parents=True, exist_ok=True)
    for document in binder.documents:
        target = out_dir / "documents" / file_name(document.number)
        shutil.copyfile(press.cached[document.number], target)
        result.files[document.number] = target
    _join_volumes(press, out_dir)
    press.prune()
    result.pages = sum(sidecar.pages for sidecar in result.sidecars.values())
    return result


def _cores() -> int:
    """Cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class _Press:
    """Makes documents, or finds them in the cache."""

    def __init__(self, binder: Binder, cache: Path, pages: PageSource | None, jobs: int, progress: Progress) -> None:
        self.binder, self.cache, self.pages, self.jobs, self.progress = binder, cache, pages, jobs, progress
        self.result = PdfResult()
        self.cached: dict[str, Path] = {}
        self.site = _site_fields(binder)
        cache.mkdir(parents=True, exist_ok=True)

    # Many documents ------------------------------------------------------------------------

    def make(self, documents: Sequence[Document]) -> None:
        """Make what the cache lacks; more than two go to worker processes."""
        wanted: list[Document] = []
        for document in documents:
            path = self._path(document) if document.digest and document.kind != "page" else None
            if path is None or not self._take(document, path):
                wanted.append(document)
        done, total = len(documents) - len(wanted), len(documents)
        self.progress("typesetting", done, total)
        for document, missing in self._compiled(wanted):
            done += 1
            self._finish(document, missing)
            self.progress("typesetting", done, total)

    def _compiled(self, documents: Sequence[Document]) -> Iterator[tuple[Document, str]]:
        """Typeset documents, here when they are few, else in a pool that never queues many."""
        if len(documents) <= 2 or self.jobs == 1:
            for document in documents:
                job, missing = self._job(document)
                if job is not None:
                    make_packet(job)
                yield document, missing
            return
        context = multiprocessing.get_context("spawn")
        with ProcessPoolExecutor(self.jobs, mp_context=context, initializer=no_network) as pool:
            waiting: dict[Future[Path], tuple[Document, str]] = {}
            try:
                for document in documents:
                    job, missing = self._job(document)
                    if job is None:
                        yield document, missing
                        continue
                    waiting[pool.submit(make_packet, job)] = (document, missing)
                    while len(waiting) >= 3 * self.jobs:
                        yield from _ready(waiting)
                while waiting:
                    yield from _ready(waiting)
            except BrokenExecutor as error:
                raise PrintError("a worker process was ended from outside, perhaps for want of memory") from error
            except BaseException:
                pool.shutdown(cancel_futures=True)
                raise

    # One document --------------------------------------------------------------------------

    def _path(self, document: Document, content: str = "") -> Path:
        """Where the cache keeps this document in this state."""
        identity = content or document.digest
        key = sha256(
            software_digest(), fonts_digest(), json.dumps([asdict(document), self.site], sort_keys=True), identity
        )
        return self.cache / f"{document.key}-{key[:32]}.pdf"

    def _take(self, document: Document, path: Path) -> bool:
        """Use a cached document if it and its sidecar are whole."""
        side = path.with_suffix(".json")
        try:
            sidecar = Sidecar.read(side)
            whole = path.read_bytes()[-16:].rstrip().endswith(b"%%EOF")
        except (OSError, ValueError, TypeError):
            return False
        if not whole or sidecar.number != document.number:
            return False
        self.cached[document.number] = path
        self.result.sidecars[document.number] = sidecar
        self._tell_missing(document, sidecar.missing)
        return True

    def _job(
        self,
        document: Document,
        rows: Callable[[own.document_list], list[Block]] | None = None,
    ) -> tuple[Job | None, str]:
        """The document as a job, or None when the cache holds it."""
        listing = rows or partial(self._list, None)
        if document.kind == "page" and self.pages:
            source = self.pages
            translator = Translator(
                document.number,
                self._width(document),
                link=partial(source.link, document),
                image=partial(source.image, document),
                documents=listing,
            )
            body = source.body(document)
        else:
            translator = Translator(document.number, self._width(document), documents=listing)
            body = self.binder.body(document)
        blocks = _keep_together(self._blocks(translator, document, body))
        content = json.dumps(blocks, ensure_ascii=False)
        whole = document.kind not in {"page", "front"} and bool(document.digest)
        path = self._path(document, "" if whole else sha256(content))
        fields = self._fields(document, translator.text)
        missing = "".join(sorted(translator.missing))
        self.cached[document.number] = path
        if not whole and self._take(document, path):
            return None, missing
        data = json.dumps({"doc": fields, "site": self.site, "signs": _SIGNS, "blocks": blocks}, ensure_ascii=False)
        date = document.issue_date or (str(self.binder.site.issue_date) if self.binder.site.issue_date else _UNDATED)
        return Job(document.number, data, path, date), missing

    @staticmethod
    def _blocks(translator: Translator, document: Document, body: list[nodes.Node]) -> list[Block]:
        """The body as blocks; a drawing that is no drawing names its document."""
        try:
            return translator.blocks(body)
        except (ValueError, UnknownNodeError) as error:
            raise PrintError(f"{document.number} cannot be typeset: {error}") from error

    def _finish(self, document: Document, missing: str) -> None:
        """Take a freshly made document, its missing signs kept for the next run."""
        path = self.cached[document.number]
        if document.number in self.result.sidecars:
            return
        sidecar = Sidecar.read(path.with_suffix(".json"))
        sidecar.missing = missing
        if missing:
            sidecar.write(path.with_suffix(".json"))
        self.result.sidecars[document.number] = sidecar
        self.result.typeset.append(document.number)
        self._tell_missing(document, missing)

    def _tell_missing(self, document: Document, missing: str) -> None:
        if missing:
            signs = ", ".join(f"U+{ord(sign):04X}" for sign in missing)
            self.result.findings.append(
                Finding(
                    "P101",
                    Grade.CAUTION,
                    "",
                    "",
                    document.subject or document.number,
                    f"{document.number} holds signs that no font of the PDF has: {signs}; printed as �",
                    "Latin, Greek and Cyrillic letters, figures, the trade's signs",
                    "Write the text with other signs",
                )
            )

    def _width(self, document: Document) -> float:
        """Width of the text, in millimetres."""
        short, long = _SHEETS_MM.get(self.binder.site.paper, _SHEETS_MM["A4"])
        return (long if document.landscape else short) - _MARGINS_MM

    def _fields(self, document: Document, clean: Callable[[str], str]) -> dict[str, Any]:
        """The document's part of the template data."""
        draft = any(word in document.status.lower() for word in _DRAFT_WORDS)
        return {
            "number": clean(document.number),
            "title": clean(document.title),
            "kind": document.kind,
            "subject": clean(document.subject),
            "revision": clean(document.revision),
            "status": clean(document.status),
            "date": document.issue_date,
            "landscape": document.landscape,
            "watermark": clean(document.status) if draft else "",
            "tab": _tab(document),
            "stop_count": self.binder.open_stops if document.kind == "front" else 0,
        }

    def prune(self) -> None:
        """Keep the last few states of each document in the cache; older ones go."""
        states: dict[str, list[Path]] = {}
        for path in self.cache.glob("*.pdf"):
            states.setdefault(path.name.rpartition("-")[0], []).append(path)
        used = set(self.cached.values())
        for paths in states.values():
            for path in sorted(paths, key=lambda p: (p in used, p.stat().st_mtime_ns), reverse=True)[_STATES_KEPT:]:
                path.with_suffix(".json").unlink(missing_ok=True)
                path.unlink(missing_ok=True)

    # The front matter ------------------------------------------------------------------------

    def make_front(self, documents: Sequence[Document]) -> None:
        """Make the documents that list all others: once with a guess of their own length, again if it was wrong."""
        guess = 2 + len(self.binder.documents) // _ROWS_A_SHEET
        for document in documents:
            for _ in range(3):
                job, missing = self._job(document, partial(self._list, {document.number: guess}))
                if job is not None:
                    self.result.sidecars.pop(document.number, None)
                    make_packet(job)
                self._finish(document, missing)
                made = self.result.sidecars[document.number].pages
                if made == guess:
                    break
                guess = made

    def _list(self, guesses: dict[str, int] | None, node: own.document_list) -> list[Block]:
        """Rows of the list of documents; sheets and pages only where they are known."""
        rows: list[Block] = []
        kinds = {d.kind for d in self.binder.documents if not node["kinds"] or d.kind in node["kinds"]}
        group = ""
        volumes = volume_starts(self.binder.documents)
        page = 1
        volume = 0
        for index, document in enumerate(self.binder.documents):
            if index in volumes:
                volume, page = volume + 1, 1
            sidecar = self.result.sidecars.get(document.number)
            sheets = (guesses or {}).get(document.number) or (sidecar.pages if sidecar else 0)
            if not node["kinds"] or document.kind in node["kinds"]:
                if len(kinds) > 1 and document.kind != group:
                    group = document.kind
                    rows.append({"g": KINDS[group], "r": ""})
                place = f"{volume} / {page}" if len(volumes) > 1 else str(page)
                rows.append(
                    {
                        "c": [
                            {"x": document.number, "u": f"x-doc:{document.number}#top"},
                            Translator("", 0).text(document.title),
                            document.revision,
                            str(sheets) if guesses else "",
                            place if guesses else "",
                        ]
                    }
                )
            page += sheets
        titles = [
            ("Document", 1.5, "code"),
            ("Title", 4.0, "text"),
            ("Rev", 0.5, "text"),
            ("Sheets", 0.7, "number"),
            ("Volume / page" if len(volumes) > 1 else "Page", 0.8, "number"),
        ]
        return [
            {
                "t": "table",
                "id": "",
                "caption": Translator("", 0).text(node["caption"]),
                "rev": False,
                "rows": rows,
                "cols": [{"x": title, "w": weight, "k": kind, "h": kind == "code"} for title, weight, kind in titles],
            }
        ]


def _tab(document: Document) -> int:
    """Place of a packet's thumb tab, from its key: it stays where it is when other drives come and go."""
    digits = "".join(sign for sign in document.key if sign.isdigit())
    return int(digits or 0) % _TABS if document.kind == "packet" and document.subject else -1


def _ready(waiting: dict[Future[Path], tuple[Document, str]]) -> Iterator[tuple[Document, str]]:
    """Documents whose workers are done, in the order they were given out."""
    done, _ = wait(waiting, return_when=FIRST_COMPLETED)
    for future in [f for f in waiting if f in done]:
        future.result()
        yield waiting.pop(future)


def _keep_together(blocks: list[Block]) -> list[Block]:
    """A heading moves onto the drawing sheet it heads; a line that leads to a table stays with it."""
    kept: list[Block] = []
    for block in blocks:
        before = kept[-1] if kept else {"t": ""}
        if block["t"] == "drawing" and before["t"] == "h":
            kept[-1] = {**block, "head": before}
            continue
        if before["t"] == "p" and block["t"] in {"table", "kv", "grid", "ul", "ol", "sign", "write"}:
            kept[-1] = {**before, "keep": True}
        kept.append(block)
    return kept


def _site_fields(binder: Binder) -> dict[str, Any]:
    """The site's part of the template data; of the open stops only that there are some, as headers say."""
    site, clean = binder.site, Translator("", 0).text
    cover = [
        ("Owner", site.owner),
        ("Site", site.name),
        ("Prepared by", site.contractor),
        ("Address", site.contractor_address),
        ("Job number", site.job_number),
        ("Code basis", f"{site.code_basis} {site.code_edition}".strip()),
        ("Status", site.status),
        ("Revision", site.revision),
        ("Issued", str(site.issue_date) if site.issue_date else "not issued"),
        ("Prepared", site.prepared_by),
        ("Checked", site.checked_by),
        ("Approved", site.approved_by),
    ]
    return {
        "name": clean(site.name),
        "owner": clean(site.owner),
        "contractor": clean(site.contractor),
        "job": clean(site.job_number),
        "author": clean(site.contractor or site.name),
        "keywords": "commissioning binder",
        "lang": "en",
        "paper": "us-letter" if site.paper == "Letter" else "a4",
        "stops": binder.open_stops > 0,
        "logo": {},
        "address": clean(site.address),
        "invented": site.invented,
        "cover": [[name, clean(value)] for name, value in cover if value],
        "disclaimer": clean(site.disclaimer),
    }


def volume_starts(documents: Sequence[Document]) -> list[int]:
    """Places in the document list where a new volume begins; a volume holds up to `VOLUME` packets."""
    starts, packets = [0], 0
    for index, document in enumerate(documents):
        if document.kind == "packet":
            if packets == VOLUME:
                starts.append(index)
                packets = 0
            packets += 1
    return starts


def _join_volumes(press: _Press, out_dir: Path) -> None:
    """Join the finished documents, in binder order."""
    documents = press.binder.documents
    starts = volume_starts(documents)
    title = press.binder.site.binder_title or press.binder.site.name
    dangling: set[str] = set()
    known = {name: 0 for sidecar in press.result.sidecars.values() for name in sidecar.destinations}
    for number, (start, end) in enumerate(zip(starts, [*starts[1:], len(documents)], strict=True), 1):
        files = [(press.cached[d.number], press.result.sidecars[d.number]) for d in documents[start:end]]
        name = "binder.pdf" if len(starts) == 1 else f"binder-volume-{number}.pdf"
        said = title if len(starts) == 1 else f"{title}, volume {number} of {len(starts)}"
        unresolved = join(files, out_dir / name, title=said, progress=partial(press.progress, f"joining {name}"))
        dangling.update(unresolved)
        press.result.joined.append(out_dir / name)
    numbers = {name.partition("#")[0] for name in known}
    press.result.findings += [
        Finding(
            "P102",
            Grade.CAUTION,
            "",
            "",
            target,
            f"a link leads to {target}, which is not in the binder",
            "a document of the binder",
            "Correct the reference",
        )
        for target in sorted(dangling)
        if target.partition("#")[0] not in numbers
    ]
