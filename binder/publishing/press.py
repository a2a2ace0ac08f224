"""Makes the documents of a binder, or finds them in the cache."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Future, wait
from dataclasses import asdict, dataclass, field
from functools import partial
from pathlib import Path
from types import MappingProxyType

from docutils import nodes

from binder.documents import nodes as own
from binder.documents.document import KINDS, Binder, Document
from binder.inventory.findings import Finding, Grade
from binder.publishing.house_style import PLAIN, HouseStyle
from binder.publishing.identity import fonts_digest, sha256, software_digest
from binder.publishing.packet import Job, PrintError, Sidecar, make_packet
from binder.publishing.processes import Processes
from binder.publishing.sheet_data import (
    SIGNS,
    cover_fields,
    document_fields,
    has_stops,
    keep_together,
    site_fields,
    text_width_mm,
)
from binder.publishing.table_layout import POINTS
from binder.publishing.typst import Block, Translator, UnknownNodeError

Progress = Callable[[str, int, int], None]  # what, done, of how many

#: Pages of one volume: joining takes about a third of a megabyte for each, and no binder ring holds more.
VOLUME_PAGES = 800

_STATES_KEPT = 3  # of each document, in the cache
_UNDATED = "2000-01-01"
_ROWS_A_SHEET = 26  # of the list of documents; only the first guess of its length


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


class Press:
    """Makes documents, or finds them in the cache."""

    def __init__(
        self,
        binder: Binder,
        cache: Path,
        *,
        pages: PageSource | None,
        jobs: int,
        progress: Progress,
        issued: Mapping[str, Path] = MappingProxyType({}),
        style: HouseStyle = PLAIN,
    ) -> None:
        self.binder, self.cache, self.pages, self.style = binder, cache, pages, style
        self.jobs, self.progress, self.issued = jobs, progress, issued
        self.result = PdfResult()
        self.cached: dict[str, Path] = {}
        self.site = site_fields(binder, style.accent)
        cache.mkdir(parents=True, exist_ok=True)

    # Many documents ------------------------------------------------------------------------

    def make(self, documents: Sequence[Document]) -> None:
        """Make what the cache lacks; more than two go to worker processes."""
        wanted: list[Document] = []
        for document in documents:
            if self._as_issued(document):
                continue
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
        """Typeset documents, here when they are few, else in processes that never have many in wait."""
        if len(documents) <= 2 or self.jobs == 1:
            for document in documents:
                job, missing = self._job(document)
                if job is not None:
                    make_packet(job)
                yield document, missing
            return
        with Processes(self.jobs) as processes:
            waiting: dict[Future[Path], tuple[Document, str]] = {}
            try:
                for document in documents:
                    job, missing = self._job(document)
                    if job is None:
                        yield document, missing
                        continue
                    waiting[processes.submit(make_packet, job)] = (document, missing)
                    while len(waiting) >= 3 * self.jobs:
                        yield from _ready(waiting)
                while waiting:
                    yield from _ready(waiting)
            except BrokenExecutor as error:
                raise PrintError("a worker process was ended from outside, perhaps for want of memory") from error

    # One document --------------------------------------------------------------------------

    def _path(self, document: Document, content: str = "") -> Path:
        """Where the cache keeps this document in this state."""
        identity = content or document.digest
        key = sha256(
            software_digest(),
            fonts_digest(),
            json.dumps(
                [asdict(document), self.site, has_stops(self.binder, document), self.style.definitions], sort_keys=True
            ),
            identity,
        )
        return self.cache / f"{document.key}-{key[:32]}.pdf"

    def _as_issued(self, document: Document) -> bool:
        """Use the issued file of a document that was not changed since.

        Raises
        ------
        PrintError
            It is not there or not whole: it is never typeset again under a letter already given out.
        """
        if document.number not in self.issued:
            return False
        path = self.issued[document.number]
        if not self._take(document, path):
            name = f"{document.number} revision {document.revision}"
            raise PrintError(f"{name}: the issued file {path.name} is missing or damaged")
        return True

    def _take(self, document: Document, path: Path) -> bool:
        """Use a cached document if it and its sidecar are whole."""
        side = path.with_suffix(".json")
        try:
            sidecar = Sidecar.read(side)
            data = path.read_bytes()
        except (OSError, ValueError, TypeError):
            return False
        whole = data.rstrip().endswith(b"%%EOF") and sidecar.digest in ("", hashlib.sha256(data).hexdigest())
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
        width = text_width_mm(self.binder, document)
        if document.kind == "page" and self.pages:
            source = self.pages
            translator = Translator(
                document.number,
                width,
                link=partial(source.link, document),
                image=partial(source.image, document),
                documents=listing,
            )
            body = source.body(document)
        else:
            translator = Translator(document.number, width, documents=listing)
            body = self.binder.body(document)
        blocks = keep_together(self._blocks(translator, document, body))
        fields = document_fields(self.binder, document, translator.text)
        if document.kind == "front":
            fields["cover"] = cover_fields(self.binder, self.style.logo, translator.text)
        whole = document.kind not in {"page", "front"} and bool(document.digest)
        path = self._path(document, "" if whole else sha256(json.dumps([fields, blocks])))
        missing = "".join(sorted(translator.missing))
        self.cached[document.number] = path
        if not whole and self._take(document, path):
            return None, missing
        data = json.dumps({"doc": fields, "site": self.site, "signs": SIGNS, "blocks": blocks}, ensure_ascii=False)
        date = document.issue_date or (str(self.binder.site.issue_date) if self.binder.site.issue_date else _UNDATED)
        return Job(document.number, data, path, date, self.style.definitions), missing

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
            if self._as_issued(document):
                continue
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
        drives = next((n for n, d in enumerate(self.binder.documents) if d.kind == "packet"), 0)
        pages = {number: sidecar.pages for number, sidecar in self.result.sidecars.items()} | (guesses or {})
        volumes = volume_starts(self.binder.documents, pages)
        page = 1
        volume = 0
        for index, document in enumerate(self.binder.documents):
            if index in volumes:
                volume, page = volume + 1, 1
            sheets = pages.get(document.number, 0)
            if not node["kinds"] or document.kind in node["kinds"]:
                # What stands before the drives is one group, whatever it is.
                head = KINDS["front" if index < drives and document.kind != "page" else document.kind]
                if len(kinds) > 1 and head != group:
                    group = head
                    rows.append({"g": group, "r": ""})
                place = f"{volume} / {page}" if len(volumes) > 1 else str(page)
                rows.append(
                    {
                        "c": [
                            {"x": Translator("", 0).text(document.number), "u": f"x-doc:{document.number}#top"},
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
                "pt": POINTS,
                "notes": [],
                "rows": rows,
                "cols": [{"x": title, "w": weight, "k": kind, "h": kind == "code"} for title, weight, kind in titles],
            }
        ]


def _ready(waiting: dict[Future[Path], tuple[Document, str]]) -> Iterator[tuple[Document, str]]:
    """Documents whose workers are done, in the order they were given out."""
    done, _ = wait(waiting, return_when=FIRST_COMPLETED)
    for future in [f for f in waiting if f in done]:
        future.result()
        yield waiting.pop(future)


def volume_starts(documents: Sequence[Document], pages: Mapping[str, int]) -> list[int]:
    """Places in the document list where a new volume begins, always at a packet.

    Parameters
    ----------
    documents : sequence of Document
    pages : mapping of str to int
        Document number -> its pages; what is not known counts nothing.
    """
    starts, held = [0], 0
    for index, document in enumerate(documents):
        count = pages.get(document.number, 0)
        if document.kind == "packet" and index > starts[-1] and held + count > VOLUME_PAGES:
            starts.append(index)
            held = 0
        held += count
    return starts
