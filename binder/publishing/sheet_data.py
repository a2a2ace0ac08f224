"""What the template is told besides the blocks: title block, cover, header, and the fixed set of signs."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from binder.documents.document import Binder, Document
from binder.publishing.typst import Block, Translator

_SHEETS_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
_MARGINS_MM = 35.0  # left and right together, as in template.typ
_DRAFT_WORDS = ("draft", "review", "preliminary")
_TABS = 13  # thumb tabs down one edge

# One fixed set of signs in every document, so that all carry the same font subsets.
_ASCII = "".join(chr(code) for code in range(0x21, 0x7F))
_LATIN = "".join(chr(code) for code in range(0xA1, 0x100) if code != 0xAD)
_TRADE = "№Ωµφ∆≤≥≠≈±×·√∞→←↑↓−–—…•‘’“”″′€½¼¾⅓⅔⁄₀₁₂₃⁴ŒœŠšŽžŁłŐőŰűĞğŞşİıČčĚěŘřŮů�"
SIGNS = {
    "text": _ASCII + _LATIN + _TRADE,
    "drawing": _ASCII + _LATIN + "Ωµφ∆≤≥±×·→←↑↓−–—…",
    "rest": "☐☑⚠∅⌀∿①②③④⑤⑥⑦⑧⑨",
}

Picture = tuple[str, bytes]  # kind ('svg', 'png', 'jpg') and content


def text_width_mm(binder: Binder, document: Document) -> float:
    """Width of the text on a sheet of this document."""
    short, long = _SHEETS_MM.get(binder.site.paper, _SHEETS_MM["A4"])
    return (long if document.landscape else short) - _MARGINS_MM


def site_fields(binder: Binder, accent: str) -> dict[str, Any]:
    """What every sheet shows of the site.

    Whatever stands here makes every document new when it changes, so it holds no more than the
    header and the title block print.
    """
    site, clean = binder.site, Translator("", 0).text
    return {
        "name": clean(site.name),
        "owner": clean(site.owner),
        "contractor": clean(site.contractor),
        "job": clean(site.job_number),
        "author": clean(site.contractor or site.name),
        "keywords": "commissioning binder",
        "lang": "en",
        "accent": accent,
        "paper": "us-letter" if site.paper == "Letter" else "a4",
    }


def document_fields(binder: Binder, document: Document, clean: Callable[[str], str]) -> dict[str, Any]:
    """The document's own part; `clean` makes a text printable and remembers what it could not."""
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
        "stops": has_stops(binder, document),
    }


def has_stops(binder: Binder, document: Document | None) -> bool:
    """Whether the head of a document or page warns: a packet of its own open stops, all others of the binder's.

    A stop on one drive leaves the packets of the others as they are.
    """
    if document is not None and document.kind == "packet":
        return document.open_stops > 0
    return binder.open_stops > 0


def cover_fields(binder: Binder, logo: Picture | None, clean: Callable[[str], str]) -> dict[str, Any]:
    """What only the cover shows."""
    site = binder.site
    pairs = [
        ("Owner", site.owner),
        ("Site", site.name),
        ("Contractor", site.contractor),
        ("Contractor's address", site.contractor_address),
        ("Job number", site.job_number),
        ("Code basis", f"{site.code_basis} {site.code_edition}".strip()),
        ("Status", site.status),
        ("Revision", site.revision),
        ("Issued", str(site.issue_date) if site.issue_date else "not issued"),
        ("Prepared by", site.prepared_by),
        ("Checked by", site.checked_by),
        ("Approved by", site.approved_by),
    ]
    picture: dict[str, Any] = {}
    if logo is not None:
        kind, content = logo
        picture = {"kind": kind, "src": list(content), "alt": f"Logo of {clean(site.contractor or site.name)}"}
    return {
        "title": clean(site.title),
        "logo": picture,
        "address": clean(site.address),
        "invented": site.invented,
        "pairs": [[name, clean(value)] for name, value in pairs if value],
        "disclaimer": clean(site.disclaimer),
        "stop_count": binder.open_stops,
        "stops": [
            [clean(d.subject), f"x-doc:{d.number}#findings", d.open_stops] for d in binder.documents if d.open_stops
        ],
    }


def _tab(document: Document) -> int:
    """Place of a packet's thumb tab, from its key: it stays where it is when other drives come and go."""
    digits = "".join(sign for sign in document.key if sign.isdigit())
    return int(digits or 0) % _TABS if document.kind == "packet" and document.subject else -1


def keep_together(blocks: list[Block]) -> list[Block]:
    """A heading moves onto the drawing or card it heads; what leads to a table or a signature stays with it.

    A table does not say the heading above it again.
    """
    kept: list[Block] = []
    for block in blocks:
        before = kept[-1] if kept else {"t": ""}
        if block["t"] in ("drawing", "card") and before["t"] == "h":
            kept[-1] = {**block, "head": before}
            continue
        if before["t"] == "p" and block["t"] in {"table", "kv", "grid", "ul", "ol", "sign", "write"}:
            kept[-1] = {**before, "keep": True}
        # Below "not earned yet" the box of exceptions belongs to the same signature.
        joined = {"table", "sign", "box"} if before.get("grade") == "stop" else {"table", "sign"}
        if before["t"] == "box" and block["t"] in joined:
            kept[-1] = {**before, "keep": True}
        said = before["t"] == "h" and block["t"] == "table" and [block["caption"]] == before["c"]
        kept.append({**block, "caption": ""} if said else block)
    return kept
