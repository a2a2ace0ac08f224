"""What Sphinx keeps between builds: the digest each page was made from, and the order of pages."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from typing import Any, ClassVar, cast

from docutils import nodes
from sphinx.domains import Domain
from sphinx.environment import BuildEnvironment

from binder.documents.document import Binder, Document


class BinderDomain(Domain):
    """Holds the binder of this run, and per page the digest of what it shows."""

    name = "binder"
    label = "Commissioning binder"
    data_version = 1
    initial_data: ClassVar[dict[str, Any]] = {"digests": {}, "navigation": ""}

    binder: Binder | None = None
    for_html: bool = True
    removed: Sequence[str] = ()
    _by_number: Mapping[str, Document] = {}
    _by_key: Mapping[str, Document] = {}
    _place: Mapping[str, int] = {}

    def take(self, binder: Binder, *, for_html: bool) -> None:
        """Hand over the binder of this run; it is never pickled."""
        self.binder, self.for_html = binder, for_html
        self._by_number = {d.number: d for d in binder.documents}
        self._by_key = {d.key: d for d in binder.documents}
        self._place = {d.docname: n for n, d in enumerate(binder.documents)}

    @property
    def digests(self) -> dict[str, str]:
        """Page name -> digest of what it was made from."""
        return cast(dict[str, str], self.data["digests"])

    def documents(self) -> Sequence[Document]:
        """All documents, in binder order."""
        return self.binder.documents if self.binder else ()

    def document(self, key: str) -> Document | None:
        """The document with this key."""
        return self._by_key.get(key)

    def around(self, docname: str) -> tuple[Document | None, Document | None, Document | None]:
        """The document that a page holds, between the one before and the one after; None where there is none."""
        place = self._place.get(docname)
        if place is None:
            return None, None, None
        all_ = self.documents()
        before, after = all_[place - 1] if place else None, all_[place + 1] if place + 1 < len(all_) else None
        return before, all_[place], after

    def docname_of(self, number: str) -> str:
        """Page name of a document number; '' when the binder has no such document."""
        found = self._by_number.get(number)
        return found.docname if found else ""

    def clear_doc(self, docname: str) -> None:
        """Forget a page that is read again or gone."""
        self.digests.pop(docname, None)

    def merge_domaindata(self, docnames: Set[str], otherdata: dict[str, Any]) -> None:
        """Take over what a parallel reader noted."""
        for docname in docnames:
            if docname in otherdata["digests"]:
                self.digests[docname] = otherdata["digests"][docname]

    def resolve_any_xref(self, *_: Any, **__: Any) -> list[tuple[str, nodes.reference]]:
        """The domain has no roles that stand for anything."""
        return []


def binder_domain(env: BuildEnvironment) -> BinderDomain:
    """The binder's domain of an environment."""
    return cast(BinderDomain, env.domains["binder"])
