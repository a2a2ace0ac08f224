"""The Sphinx extension: `extensions = ["binder.publishing.extension"]` makes a project a binder.

Reads the binder when the builder starts, writes stubs, lets Sphinx read again only pages whose
digest differs, and tells every finding on every run.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from typing import Any

from docutils import nodes
from sphinx import addnodes
from sphinx.application import Sphinx
from sphinx.config import Config
from sphinx.environment import BuildEnvironment
from sphinx.errors import ConfigError, ExtensionError
from sphinx.search import languages as search_languages
from sphinx.util import logging
from sphinx.util.docutils import SphinxDirective, SphinxRole
from sphinx.util.typing import ExtensionMetadata

from binder.documents import blocks
from binder.documents.contents import is_document
from binder.documents.document import Binder, Document
from binder.inventory.findings import Finding, Grade
from binder.publishing.domain import BinderDomain, binder_domain
from binder.publishing.house_style import ACCENT, FOLDER, PAGE_STYLE, read_house_style
from binder.publishing.html import setup_nodes, visit_formula
from binder.publishing.identity import sha256, software_digest
from binder.publishing.page import PROJECT, fill_context
from binder.publishing.pick_lists import write_pick_lists
from binder.publishing.search import TradeSearch, drop_empty_words
from binder.publishing.start_page import start_digest, start_page
from binder.publishing.stubs import write_stubs
from binder.publishing.unwritten import UnwrittenPages

logger = logging.getLogger(__name__)

Loader = Callable[[Path], Binder]

#: Raise when the meaning of stored data or the layout of nodes changes.
ENV_VERSION = 1

# What a binder needs of Sphinx, whatever conf.py leaves out. Smart quotes would alter data.
_SETTINGS: dict[str, Any] = {
    "project": PROJECT,
    "smartquotes": False,
    "html_theme": "binder",
    "html_copy_source": False,
    "html_show_sourcelink": False,
    "html_show_sphinx": False,
    "html_show_copyright": False,
    "html_show_search_summary": False,
    "html_use_index": False,
    "html_domain_indices": False,
    "html_search_language": "trade",
    "html_last_updated_fmt": None,
    "nitpicky": True,
    "html_permalinks": False,
    "html_math_renderer": "plain",
    "today": "as issued",
}


_PROVIDED: ContextVar[Binder | None] = ContextVar("provided binder", default=None)


@contextmanager
def provided(binder: Binder) -> Iterator[None]:
    """Let builds inside this block use `binder` in place of reading the project again."""
    token = _PROVIDED.set(binder)
    try:
        yield
    finally:
        _PROVIDED.reset(token)


# Settings and reading --------------------------------------------------------------------------


def _settle(app: Sphinx, config: Config) -> None:
    """Put the binder's settings where conf.py says nothing."""
    chosen = set(config.overrides) | {name for name in _SETTINGS if name in config._raw_config}
    for name, value in _SETTINGS.items():
        if name not in chosen:
            config[name] = value
    pages = sorted(path for path in (Path(app.srcdir) / "pages").glob("*.rst") if path.is_file())
    hidden = [f"pages/{path.name}" for path in pages if not is_document(path.read_text("utf-8", "replace"))]
    config.exclude_patterns = [*config.exclude_patterns, "build", "issues", "README*", "**/.*", *hidden]
    config["binder_accent"] = read_house_style(Path(app.srcdir))[0].accent
    own = Path(app.srcdir) / FOLDER
    if own.is_dir():
        config.templates_path = [*config.templates_path, str(own)]
    if (own / PAGE_STYLE).is_file():
        # After the theme's own sheet, under a name that no file of the theme has.
        config.html_static_path = [*config.html_static_path, str(own / PAGE_STYLE)]
        config.html_css_files = [*config.html_css_files, PAGE_STYLE]
    logger.debug("binder settings taken: %s", sorted(set(_SETTINGS) - chosen))


def _loader(text: str) -> Loader:
    """The callable that 'module:function' names."""
    module, _, name = text.partition(":")
    try:
        found = getattr(importlib.import_module(module), name)
    except (ImportError, AttributeError) as error:
        raise ConfigError(f"binder_source is {text!r}: there is no such function ({error})") from error
    if not callable(found):
        raise ConfigError(f"binder_source is {text!r}, which cannot be called")
    loader: Loader = found
    return loader


def _load(app: Sphinx) -> None:
    """Read the binder, write stubs, tell the findings: in the main process, on every run."""
    binder = _PROVIDED.get() or _loader(app.config.binder_source)(Path(app.srcdir))
    binder_domain(app.env).take(binder, for_html=app.builder.format == "html")
    try:
        write_stubs(Path(app.srcdir), binder.documents)
    except OSError as error:
        raise ExtensionError(f"cannot write the document pages: {error}") from error
    for finding in binder.findings:
        _tell(finding)


def _tell(finding: Finding) -> None:
    """One finding into Sphinx's log; its texts are arguments, never a format."""
    place = ":".join(part for part in ("inventory.xlsx", finding.sheet) if part)
    tell = {Grade.STOP: logger.error, Grade.CAUTION: logger.warning, Grade.NOTE: logger.info}[finding.grade]
    if finding.waived:
        tell = logger.info
    tell(
        "%s %s %s: %s. Accepted: %s. %s",
        finding.code,
        finding.grade.value,
        finding.tag,
        finding.found,
        finding.accepted,
        finding.remedy,
        location=f"{place}!{finding.cell}" if finding.cell else place,
        type="binder",
        subtype=finding.grade.value,
    )


# Rebuilding ------------------------------------------------------------------------------------


def _digest(document: Document) -> str:
    """Digest of a page: what it shows and the code that makes it."""
    fields = (
        document.number,
        document.title,
        document.kind,
        document.key,
        document.revision,
        document.status,
        document.issue_date,
        document.subject,
        str(document.open_stops),
    )
    return sha256(software_digest(), *fields, document.digest)


def _outdated(
    _app: Sphinx, env: BuildEnvironment, _added: set[str], _changed: set[str], removed: set[str]
) -> list[str]:
    """Pages whose digest differs from the one they were read with."""
    domain = binder_domain(env)
    domain.removed = sorted(removed)
    if domain.binder is None:
        return []
    stale = [
        d.docname
        for d in domain.documents()
        if d.docname in env.found_docs and domain.digests.get(d.docname) != _digest(d)
    ]
    root = env.config.root_doc
    if root in env.found_docs and domain.digests.get(root, "") not in ("", start_digest(domain.binder)):
        stale.append(root)
    return stale


def _note_page(app: Sphinx, _doctree: nodes.document) -> None:
    """Note what a page of the contractor's own was read from: a clock that was set back deceives file times."""
    domain = binder_domain(app.env)
    _, document, _ = domain.around(app.env.docname)
    if document is not None and document.kind == "page":
        domain.digests[document.docname] = _digest(document)


def _navigation(_app: Sphinx, env: BuildEnvironment) -> list[str]:
    """All pages, when their number, titles or order changed: each names others."""
    domain = binder_domain(env)
    titles = [(name, env.titles[name].astext() if name in env.titles else "") for name in sorted(env.found_docs)]
    order = [(d.docname, d.number, d.kind, d.subject) for d in domain.documents()]
    now = sha256(
        repr(titles),
        repr(order),
        repr(sorted(env.toctree_includes.items())),
        str(domain.binder.open_stops > 0 if domain.binder else ""),
        repr([d.subject for d in domain.documents() if d.open_stops]),
    )
    if domain.data["navigation"] == now:
        return []
    domain.data["navigation"] = now
    return sorted(env.found_docs)


def _clean_up(app: Sphinx, exception: Exception | None) -> None:
    """Delete what was written for pages that are gone, and the words that only they held."""
    if exception is not None:
        return
    suffix = getattr(app.builder, "out_suffix", "")
    for docname in binder_domain(app.env).removed:
        (Path(app.doctreedir) / f"{docname}.doctree").unlink(missing_ok=True)
        if suffix:
            (Path(app.outdir) / f"{docname}{suffix}").unlink(missing_ok=True)
    drop_empty_words(Path(app.outdir) / "searchindex.js")


def _let_go(app: Sphinx, *_: object) -> None:
    """Let pages that are read wait on disk: Sphinx keeps all of them until they are written, a megabyte a drive."""
    for kept in ("_write_doc_doctree_cache", "_pickled_doctree_cache"):
        getattr(app.env, kept, {}).clear()


# Directives ------------------------------------------------------------------------------------


class BinderDocument(SphinxDirective):
    """`.. binder-document:: key` stands for a whole document."""

    required_arguments = 1

    def run(self) -> list[nodes.Node]:
        domain = binder_domain(self.env)
        document = domain.document(self.arguments[0])
        if document is None or domain.binder is None:
            return [
                self.state_machine.reporter.warning(f"no document has the key {self.arguments[0]!r}", line=self.lineno)
            ]
        domain.digests[self.env.docname] = _digest(document)
        body = domain.binder.body(document)
        _distinct_ids(body)
        return [blocks.section(document.title, body, id="top")]


class BinderIndex(SphinxDirective):
    """`.. binder-index::` is the start page: site, state, drives, documents."""

    def run(self) -> list[nodes.Node]:
        domain = binder_domain(self.env)
        if domain.binder is None:
            return []
        binder = domain.binder
        domain.digests[self.env.docname] = start_digest(binder)
        page = start_page(binder, Path(self.env.srcdir))
        page += self._order(binder)
        return [page]

    def _order(self, binder: Binder) -> nodes.Node:
        """A hidden table of contents: it gives pages their order."""
        names = [d.docname for d in binder.documents if d.docname in self.env.found_docs]
        names += sorted(name for name in self.env.found_docs if name.startswith("pages/") and name not in names)
        tree = addnodes.toctree(
            entries=[(None, name) for name in names],
            includefiles=names,
            parent=self.env.docname,
            maxdepth=1,
            glob=False,
            hidden=True,
            includehidden=False,
            numbered=0,
            titlesonly=True,
            caption=None,
            rawcaption="",
            rawentries=[],
        )
        return nodes.compound("", tree, classes=["toctree-wrapper"])


class DocumentRole(SphinxRole):
    """:document:`DEMO-P-101` in a hand-written page leads to that document."""

    def run(self) -> tuple[list[nodes.Node], list[nodes.system_message]]:
        number, _, anchor = self.text.partition("#")
        return [blocks.cross_reference(number, number, anchor)], []


def _distinct_ids(body: list[nodes.Node]) -> None:
    """Make ids distinct on the page: a second 'notes' becomes 'notes-2'."""
    seen = {"top"}
    for root in body:
        for node in root.findall(nodes.Element):
            if not node.get("ids"):
                continue
            name, n = node["ids"][0], 1
            while name in seen:
                n += 1
                name = f"{node['ids'][0]}-{n}"
            seen.add(name)
            node["ids"] = [name]


def setup(app: Sphinx) -> ExtensionMetadata:
    """Register everything; reads as the table of contents of this package."""
    app.add_config_value(
        "binder_source",
        "binder.reissue.current:binder_of",
        "env",
        str,
        "Function 'module:name' that makes the binder from the project folder.",
    )
    app.add_config_value(
        "binder_pdf_folder",
        "",
        "html",
        str,
        "Where the PDF documents are, seen from the HTML start page; empty for no links.",
    )
    app.add_config_value("binder_accent", ACCENT, "html", str, "Colour of table heads, from house_style/style.toml.")
    app.add_builder(UnwrittenPages)
    app.add_domain(BinderDomain)
    app.add_directive("binder-document", BinderDocument)
    app.add_directive("binder-index", BinderIndex)
    app.add_role("document", DocumentRole())
    setup_nodes(app)
    app.add_html_math_renderer("plain", (visit_formula, None), (visit_formula, None))
    search_languages["trade"] = TradeSearch
    app.add_html_theme("binder", str(Path(__file__).with_name("web")))
    app.connect("config-inited", _settle)
    app.connect("builder-inited", _load)
    app.connect("env-get-outdated", _outdated)
    app.connect("source-read", _let_go)
    app.connect("doctree-read", _note_page)
    app.connect("env-updated", _navigation)
    app.connect("html-page-context", fill_context)
    app.connect("html-page-context", _let_go)
    app.connect("build-finished", _clean_up)
    app.connect("build-finished", write_pick_lists)
    return {"version": "1", "env_version": ENV_VERSION, "parallel_read_safe": True, "parallel_write_safe": True}
