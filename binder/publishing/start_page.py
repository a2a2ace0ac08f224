"""The start page of the HTML binder: whose it is, its state, where the stops are, drives, documents."""

from __future__ import annotations

from pathlib import Path

from docutils import nodes

from binder.documents import blocks
from binder.documents.document import KINDS, Binder
from binder.inventory.counting import counted
from binder.inventory.records import Site
from binder.publishing.identity import sha256, software_digest
from binder.publishing.pictures import picture, picture_file


def start_digest(binder: Binder) -> str:
    """Digest of everything that the start page shows but the pixels of the logo."""
    site = binder.site
    shown = (site.name, site.binder_title, site.owner, site.contractor, site.logo_file, site.disclaimer)
    return sha256(
        software_digest(),
        *shown,
        str(binder.open_stops),
        *(
            part
            for d in binder.documents
            for part in (d.number, d.title, d.revision, d.status, d.subject, d.key, str(d.open_stops))
        ),
    )


def start_page(binder: Binder, project: Path) -> nodes.section:
    """Build the start page.

    Parameters
    ----------
    binder : Binder
    project : Path
        Folder that the logo is in.

    Returns
    -------
    section
    """
    site = binder.site
    others = [kind for kind in KINDS if kind != "packet"]
    content = [*_logo(site, project), *_state(binder), _facts(binder)]
    if site.disclaimer:
        content.append(blocks.paragraph(blocks.strong("Disclaimer. "), site.disclaimer))
    content.append(blocks.section("Drives", blocks.document_list("packet", caption="Drives"), id="drives"))
    listed = blocks.document_list(*others, caption="Other documents")
    content.append(blocks.section("Other documents", listed, id="others"))
    return blocks.section(site.title, content, id="start")


def _logo(site: Site, project: Path) -> list[nodes.Node]:
    """The contractor's logo; a file that is no picture is told when the PDF is made."""
    if picture(project, site.logo_file) is None:
        return []
    uri = f"/{picture_file(project, site.logo_file)}"
    return [nodes.image(uri=uri, alt=f"Logo of {site.contractor or site.name}", classes=["logo"])]


def _state(binder: Binder) -> list[nodes.Node]:
    """What a reader must know before all else: invented, or not fit for handover and where."""
    said: list[nodes.Node] = []
    if binder.site.invented:
        said.append(
            blocks.caution("note", "Invented site", "Nothing in this binder is real: no plant, no person, no product.")
        )
    if binder.open_stops:
        stopped = [d for d in binder.documents if d.open_stops]
        where: list[list[str | nodes.Node]] = [
            [blocks.cross_reference(d.title, d.number, "findings"), f": {counted(d.open_stops, 'open stop')}"]
            for d in stopped
        ]
        said.append(
            blocks.caution(
                "stop",
                "Not fit for handover",
                f"{counted(binder.open_stops, 'open stop')} in the binder; each drive below leads to its findings."
                if where
                else f"{counted(binder.open_stops, 'open stop')} on the site, none of them on one drive alone.",
                *([blocks.bullets(where)] if where else []),
            )
        )
    return said


def _facts(binder: Binder) -> nodes.Node:
    site = binder.site
    pairs = [
        ("Owner", site.owner),
        ("Prepared by", site.contractor),
        ("Status", site.status),
        ("Revision", site.revision),
        ("Code basis", f"{site.code_basis} {site.code_edition}".strip()),
        ("Documents", str(len(binder.documents))),
    ]
    return blocks.key_values([(name, value) for name, value in pairs if value])
