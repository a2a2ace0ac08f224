"""Build the binder of a project: pages and PDF in a work folder, then into place in one step."""

from __future__ import annotations

import errno
import gc
import io
import logging
import os
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import chain
from pathlib import Path, PurePosixPath
from types import MappingProxyType

from docutils import nodes
from sphinx.application import Sphinx
from sphinx.errors import SphinxError
from sphinx.util.docutils import docutils_namespace, patch_docutils

from binder.documents.document import Binder, Document
from binder.errors import NO_ROOM, OutputError, in_words
from binder.inventory.files import OUTPUT
from binder.inventory.findings import Finding, Grade
from binder.publishing import extension
from binder.publishing.domain import binder_domain
from binder.publishing.house_style import read_house_style
from binder.publishing.join import DOCUMENTS
from binder.publishing.last_build import RECORD
from binder.publishing.packet import PrintError
from binder.publishing.page_memory import PageMemory
from binder.publishing.pdf import PageSource, PdfResult, Progress, write_pdfs
from binder.publishing.pictures import picture, picture_file
from binder.publishing.place import remove, restore, sole_use, swap
from binder.publishing.unwritten import UnwrittenPages

#: Refusals of the system that making all pages afresh would only meet again.
_HOPELESS = NO_ROOM | {errno.EACCES, errno.EPERM, errno.EROFS, errno.ENAMETOOLONG}


_STANDS = "what stood in the output folder before still stands"


class BuildError(OutputError):
    """The binder could not be built; what was there before still is."""


@dataclass(slots=True)
class Built:
    """What `build_binder` wrote.

    Parameters
    ----------
    html : Path, optional
        The start page.
    pdf : PdfResult, optional
        With its paths in the output folder.
    warnings : list of str
        What Sphinx had to say besides the findings.
    read : set of str
        Files that pages include or show, seen from the project.
    """

    html: Path | None = None
    pdf: PdfResult | None = None
    warnings: list[str] = field(default_factory=list)
    read: set[str] = field(default_factory=set)


def build_binder(
    project: Path,
    binder: Binder,
    *,
    out: Path | None = None,
    html: bool = True,
    pdf: bool = True,
    issued: Mapping[str, Path] = MappingProxyType({}),
    jobs: int = 0,
    progress: Progress = lambda _what, _done, _of: None,
) -> Built:
    """Build HTML, PDF or both.

    Parameters
    ----------
    project : Path
        The project folder; its conf.py, if any, is honoured.
    binder : Binder
    out : Path, optional
        Gets `html` and `pdf`; by default `build/binder` in the project.
    html, pdf : bool
        What to write. What is not asked for stays as it is.
    issued : mapping of str to Path
        Document number -> its PDF as issued, taken byte for byte.
    jobs : int
        Worker processes for PDF; 0 takes the cores of the machine.
    progress : callable
        Called with (what, done, of how many).

    Returns
    -------
    Built

    Raises
    ------
    BuildError
        Nothing in `out` has been touched, or a file there is held open and is named.
    """
    out = out or project / OUTPUT
    work = project / "build" / "work"
    try:
        with sole_use(work):
            (work / RECORD).unlink(missing_ok=True)
            for part in ("html", "pdf"):
                restore(out / part)
            linked = pdf or (out / "pdf").exists()
            typeset = partial(_typeset, project, work, issued=issued, jobs=jobs, progress=progress) if pdf else None
            pages = work if html else work / UnwrittenPages.name
            make = partial(_make_both, project, pages, binder, html, typeset, linked, progress)
            remembered = (pages / "doctrees").exists()
            with _pages_alone():
                try:
                    made = make()
                except Exception as error:
                    if not remembered or _is_hopeless(error):
                        raise
                    PageMemory(pages).forget()  # damaged where nobody saw it; all of it can be made again
                    made = make()
            if binder.site.logo_file and (logo := picture_file(project, binder.site.logo_file)):
                made.read.add(logo)
            if html:
                swap(work / "html", out / "html")
                made.html = out / "html" / "index.html"
            if made.pdf is not None:
                swap(work / "pdf", out / "pdf")
                _move_paths(made.pdf, work / "pdf", out / "pdf")
    except BuildError:
        raise
    except OSError as error:
        message, remedy = in_words(error)
        raise BuildError(message, f"{remedy}; {_STANDS}" if remedy else _STANDS) from error
    except (SphinxError, PrintError) as error:
        raise BuildError(str(error), _STANDS) from error
    return made


def _is_hopeless(error: Exception) -> bool:
    """True for what is no damage of the page memory."""
    if isinstance(error, OSError):
        return isinstance(error, OutputError) or error.errno in _HOPELESS
    return isinstance(error, PrintError)


def _make_both(
    project: Path,
    pages: Path,
    binder: Binder,
    html: bool,
    typeset: Callable[[Binder, PageSource | None], PdfResult] | None,
    linked: bool,
    progress: Progress,
) -> Built:
    """Make the outputs in the work folder; pages are written for HTML alone, read for both."""
    made = Built()
    if html or any(d.kind == "page" for d in binder.documents):
        memory = PageMemory(pages)
        memory.check()
        builder = "html" if html else UnwrittenPages.name
        with _sphinx(project, pages, binder, builder=builder, linked=linked, progress=progress) as (app, said):
            made.warnings = _write_pages(app, said)
            memory.keep()
            read = {os.path.relpath(app.srcdir / name, app.srcdir) for name in chain(*app.env.dependencies.values())}
            made.read = {Path(name).as_posix() for name in read}
            if typeset:
                # What Sphinx has read is there already; making the nodes again would draw every drawing twice.
                binder = replace(binder, body=partial(_read_body, app))
                made.pdf = typeset(binder, _page_source(app))
    elif typeset:
        made.pdf = typeset(binder, None)
    return made


# HTML ------------------------------------------------------------------------------------------


class _Refused(logging.Handler):
    """Hears what the system refused while Sphinx wrote pages."""

    def __init__(self) -> None:
        super().__init__()
        self.errors: list[OSError] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep the error that a message was made from."""
        arguments = record.args.values() if isinstance(record.args, Mapping) else record.args or ()
        self.errors += [a for a in arguments if isinstance(a, OSError)]


@contextmanager
def _sphinx(
    project: Path,
    work: Path,
    binder: Binder,
    *,
    linked: bool,
    progress: Progress,
    builder: str = "html",
) -> Iterator[tuple[Sphinx, io.StringIO]]:
    """A Sphinx application on the project, with the binder handed over, not read a second time."""
    said = io.StringIO()
    overrides: dict[str, object] = {"binder_pdf_folder": "../pdf" if linked else ""}
    confdir = project if (project / "conf.py").exists() else None
    if confdir is None:
        overrides["extensions"] = ["binder.publishing.extension"]
    with extension.provided(binder), patch_docutils(confdir), docutils_namespace():
        app = Sphinx(
            project,
            confdir,
            work / "html",
            work / "doctrees",
            builder,
            confoverrides=overrides,
            status=None,
            warning=said,
        )
        written = 0

        def count(_app: Sphinx, *_: object) -> None:
            nonlocal written
            written += 1
            progress("writing pages", min(written, len(app.env.found_docs)), len(app.env.found_docs))

        app.connect("html-page-context", count)
        yield app, said


def _write_pages(app: Sphinx, said: io.StringIO) -> list[str]:
    """Run the build; return what Sphinx had to say.

    Raises
    ------
    OSError
        A file could not be written. Sphinx only warns of that, and would take half a page for a whole one.
    """
    refused = _Refused()
    logger = logging.getLogger("sphinx")
    logger.addHandler(refused)
    try:
        app.build()
    finally:
        logger.removeHandler(refused)
    if refused.errors:
        raise refused.errors[0]
    lines = [line for line in said.getvalue().splitlines() if line.strip()]
    if app.statuscode:
        raise BuildError("the pages could not be written: " + (lines or ["no reason given"])[-1])
    return lines


@contextmanager
def _pages_alone() -> Iterator[None]:
    """Look for garbage often, but among pages alone: a tree of nodes is one, the study of the site is none."""
    usual = gc.get_threshold()
    gc.freeze()
    gc.set_threshold(20_000, 5, 5)
    try:
        yield
    finally:
        gc.set_threshold(*usual)
        gc.unfreeze()


def _read_body(app: Sphinx, document: Document) -> list[nodes.Node]:
    """The body of a generated document as Sphinx has it in its memory of pages."""
    return _below_title(app.env.get_doctree(document.docname))


def _below_title(tree: nodes.document) -> list[nodes.Node]:
    """What stands below a page's title: the title itself is printed from the document's record."""
    top = next(iter(tree.findall(nodes.section)), None)
    return list(tree.children) if top is None else [c for c in top.children if not isinstance(c, nodes.title)]


def _page_source(app: Sphinx) -> PageSource:
    """The contractor's own pages, their references already resolved."""
    by_name = {d.docname: d.number for d in binder_domain(app.env).documents()}

    def body(document: Document) -> list[nodes.Node]:
        if document.docname not in app.env.found_docs:
            raise BuildError(f"{document.number} is to hold the page {document.docname}.rst, which does not exist")
        tree = app.env.get_doctree(document.docname)
        app.env.apply_post_transforms(tree, document.docname)
        return _below_title(tree)

    def link(document: Document, uri: str) -> str | None:
        path, _, anchor = uri.partition("#")
        if not path:
            return f"{document.number}#{anchor}"
        place = PurePosixPath(os.path.normpath(PurePosixPath(document.docname).parent / path)).with_suffix("")
        number = by_name.get(place.as_posix())
        return f"{number}#{anchor}" if number else None

    def image(document: Document, uri: str) -> tuple[str, bytes] | None:
        found = picture(Path(app.srcdir), uri)
        if found is None:
            raise BuildError(f"{document.number}: the picture {uri} is not an SVG, PNG or JPEG file of the project")
        return found

    return PageSource(body, link, image)


# PDF -------------------------------------------------------------------------------------------


def _typeset(
    project: Path,
    work: Path,
    binder: Binder,
    pages: PageSource | None,
    *,
    issued: Mapping[str, Path],
    jobs: int,
    progress: Progress,
) -> PdfResult:
    """Write all PDFs into the work folder; the cache makes that cheap, and volumes that did not change stay there."""
    shutil.rmtree(work / "pdf" / DOCUMENTS, ignore_errors=True)
    site = binder.site
    logo = picture(project, site.logo_file) if site.logo_file else None
    style, told = read_house_style(project)
    result = write_pdfs(
        binder,
        work / "pdf",
        cache_dir=work / "cache",
        pages=pages,
        issued=issued,
        style=replace(style, logo=logo),
        jobs=jobs,
        progress=progress,
    )
    for stray in {*(work / "pdf").iterdir()} - {work / "pdf" / DOCUMENTS, *result.joined}:
        remove(stray)
    result.findings += told
    if site.logo_file and logo is None:
        result.findings.append(
            Finding(
                "P103",
                Grade.CAUTION,
                site.origin.sheet or "Site",
                site.origin.cell("logo_file"),
                "",
                f"the logo {site.logo_file} is not an SVG, PNG or JPEG file of the project",
                "a file name in the project folder, for example logo.png",
                "Put the file there, or empty the cell",
            )
        )
    return result


def _move_paths(result: PdfResult, old: Path, new: Path) -> None:
    """Let the result name files where they now are."""
    result.files = {number: new / path.relative_to(old) for number, path in result.files.items()}
    result.joined = [new / path.relative_to(old) for path in result.joined]
