"""A controlled document and the binder it belongs to: what publishing needs to know, and no more."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from docutils import nodes

from binder.inventory.findings import Finding
from binder.inventory.records import Site

#: Kinds of documents in binder order, and what a list calls them.
KINDS = {"front": "Binder", "safety": "Safety", "packet": "Drives", "schedule": "Schedules", "page": "Site pages"}


@dataclass(frozen=True, slots=True)
class Document:
    """One controlled document: its own number, its own revision, 'sheet n of m'.

    Parameters
    ----------
    number : str
        Document number, 'DEMO-P-101'. Unique, never reused.
    title : str
    kind : str
        One of `KINDS`.
    key : str
        Stable key made of a-z, 0-9 and '-': names the files, survives a change of tag or title.
    revision, status, issue_date : str
        As printed; the date as yyyy-mm-dd, '' when not issued.
    subject : str
        Drive tag of a packet, else ''.
    docname : str
        Sphinx document name, 'documents/k0031'.
    landscape : bool
        True when the sheets lie on their long side.
    digest : str
        Digest of everything that the document shows. Equal digest, equal document: it is neither
        read nor typeset again.
    sections : tuple of str
        Keys of the contractor's own sections that stand last in it.
    open_stops : int
        Open stops on the drive of a packet: printed in its header, where others know nothing of them.
    """

    number: str
    title: str
    kind: str
    key: str
    revision: str = ""
    status: str = ""
    issue_date: str = ""
    subject: str = ""
    docname: str = ""
    landscape: bool = False
    digest: str = ""
    open_stops: int = 0
    sections: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Binder:
    """The binder as publishing takes it.

    Parameters
    ----------
    site : Site
        Names, paper and status for covers and title blocks.
    documents : sequence of Document
        In binder order.
    body : callable
        Document -> its sections. Called only for documents that must be made again.
    findings : sequence of Finding
        All findings, for the log.
    open_stops : int
        Told on the cover and the start page, and in the header of all that is no packet, when not 0.
    people, instruments : sequence of tuple of str
        What a tablet offers to pick from: initials and name with role; tag, kind, and the day until which its
        calibration holds, yyyy-mm-dd or ''.
    """

    site: Site
    documents: Sequence[Document]
    body: Callable[[Document], list[nodes.Node]]
    findings: Sequence[Finding] = ()
    open_stops: int = 0
    people: Sequence[tuple[str, str]] = ()
    instruments: Sequence[tuple[str, str, str]] = ()
