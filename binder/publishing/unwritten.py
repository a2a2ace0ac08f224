"""Pages that are read, so that PDF can be made of them, and not written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set

from sphinx.builders.html import StandaloneHTMLBuilder


class UnwrittenPages(StandaloneHTMLBuilder):
    """Reads pages and resolves their links as for HTML, without its files."""

    name = "unwritten"

    def get_outdated_docs(self) -> Iterator[str]:
        """No page is looked for among files that are never written."""
        return iter(())

    def prepare_writing(self, docnames: Set[str]) -> None:
        """Nothing is written."""

    def copy_assets(self) -> None:
        """Nothing is written."""

    def write_documents(self, docnames: Iterable[str]) -> None:
        """Nothing is written."""

    def finish(self) -> None:
        """Nothing is written."""
