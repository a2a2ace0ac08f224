"""What a page of the binder tells its template: title block, sections, neighbours."""

from __future__ import annotations

from typing import Any

from docutils import nodes
from sphinx.application import Sphinx

from binder.documents.file_names import file_name
from binder.publishing.domain import binder_domain
from binder.publishing.house_style import ACCENT
from binder.publishing.sheet_data import has_stops

PROJECT = "Commissioning binder"  # as the template of conf.py says; the site's own title takes its place
_LISTED = ("front", "safety", "schedule", "page")


def css_string(text: str) -> str:
    """A text as the inside of a CSS string: every sign that could end it is written as its number.

    >>> css_string('A-1"</style>')
    'A\\\\2d 1\\\\22 \\\\3c \\\\2f style\\\\3e '
    """
    return "".join(sign if sign.isascii() and sign.isalnum() else f"\\{ord(sign):x} " for sign in text)


def fill_context(
    app: Sphinx, pagename: str, _template: str, context: dict[str, Any], doctree: nodes.document | None
) -> None:
    """Add the binder's values to a page's template context."""
    domain = binder_domain(app.env)
    if domain.binder is None:
        return
    site = domain.binder.site
    documents = domain.documents()
    before, here, after = domain.around(pagename)
    if app.config.project == PROJECT:
        context["project"] = context["docstitle"] = site.title
    context["binder_site"] = site
    packet = here is not None and here.kind == "packet"
    context["binder_stops"] = has_stops(domain.binder, here)
    context["binder_stopped"] = [] if packet else [d for d in documents if d.open_stops]
    context["binder_document"] = here
    context["binder_pdf"] = (
        f"{app.config.binder_pdf_folder}/documents/{file_name(here.number)}"
        if here and app.config.binder_pdf_folder
        else ""
    )
    context["binder_menu"] = [d for d in documents if d.kind in _LISTED and d.docname in app.env.found_docs]
    context["binder_sections"] = _sections(doctree) if doctree is not None else []
    context["binder_neighbours"] = (before, after)
    context["binder_paper"] = "letter" if site.paper == "Letter" else "A4"
    context["binder_accent"] = "" if app.config.binder_accent == ACCENT else app.config.binder_accent
    context["css_string"] = css_string


def _sections(doctree: nodes.document) -> list[tuple[str, str]]:
    """(id, title) of the sections right under the page's title."""
    top = next(iter(doctree.findall(nodes.section)), None)
    if top is None:
        return []
    return [
        (child["ids"][0], child[0].astext())
        for child in top.children
        if isinstance(child, nodes.section) and child["ids"] and len(child)
    ]
