"""Sections that the contractor wrote for the end of a generated document."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from docutils import nodes
from docutils.core import publish_doctree

from binder.documents.blocks import section
from binder.documents.contents import Page

# Nothing of the disk is read and nothing goes into a page unchecked; what is wrong shows as it was typed.
_SETTINGS = {
    "file_insertion_enabled": False,
    "raw_enabled": False,
    "report_level": 5,
    "halt_level": 5,
    "doctitle_xform": False,
    "_disable_config": True,
}


def own_sections(pages: Sequence[Page]) -> list[nodes.Node]:
    """Read sections that stand last in a document.

    Parameters
    ----------
    pages : sequence of Page
        Their `text` is plain reStructuredText; pictures belong on pages of their own.

    Returns
    -------
    list of node

    Examples
    --------
    >>> page = Page("a", "A", "", "in safety", "By the *gate*.")
    >>> [node.astext() for node in own_sections([page])]
    ['A\\n\\nBy the gate.']
    """
    made: list[nodes.Node] = []
    for page in pages:
        tree = publish_doctree(page.text, settings_overrides=_SETTINGS)
        unwanted: list[Any] = [*tree.findall(nodes.system_message), *tree.findall(nodes.comment)]
        for node in unwanted:
            node.parent.remove(node)
        loose = [node for node in tree.children if not isinstance(node, nodes.section)]
        if loose:
            made.append(section(page.title, *loose, id=f"own-{page.name}"))
        made += [node for node in tree.children if isinstance(node, nodes.section)]
    return made
