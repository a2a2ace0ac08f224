"""Drawings inline in a page: real text, ids that do not meet those of the next drawing."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from lxml import etree

_SVG = "{http://www.w3.org/2000/svg}"
_HREF = "{http://www.w3.org/1999/xlink}href"
_URL = re.compile(r"url\(#([^)]+)\)")
_ACTIVE = ("script", "foreignObject", "iframe", "a", "image", "animate", "set")


def inline_svg(svg: str, prefix: str, alt: str, links: Mapping[str, str] = MappingProxyType({})) -> str:
    """An SVG drawing for an HTML page.

    Parameters
    ----------
    svg : str
    prefix : str
        Put before every id, so that two drawings on one page do not meet.
    alt : str
        What it shows, for those who do not see it.
    links : mapping of str to str
        'id:…', 'end:…' or 'tag:…' of a group, as its data attribute says -> anchor on the page. The
        same rows are reached by keyboard in their tables, so the links add no tab stops. A drawing
        with links is hidden from voices, for a picture may hold no controls: the page tells `alt`
        beside it.

    Raises
    ------
    ValueError
        The text is not well-formed XML.
    """
    parser = etree.XMLParser(
        resolve_entities=False, no_network=True, load_dtd=False, remove_comments=True, remove_pis=True
    )
    try:
        root = etree.fromstring(svg.encode(), parser)
    except etree.XMLSyntaxError as error:
        raise ValueError(f"a drawing is not well formed: {error}") from error
    for element in list(root.iter(etree.Element)):
        if etree.QName(element).localname in _ACTIVE or element.tag == f"{_SVG}metadata":
            parent = element.getparent()
            if parent is not None:
                parent.remove(element)
            continue
        _prefix(element, prefix)
    if links:
        for group in list(root.iter(f"{_SVG}g")):
            _link(group, links)
        root.set("aria-hidden", "true")
    else:
        root.set("role", "img")
        root.set("aria-label", alt)
    if root.get("viewBox") is not None:
        # The stylesheet decides on the size; the box keeps the proportions.
        root.attrib.pop("height", None)
        root.attrib.pop("width", None)
    etree.cleanup_namespaces(root)
    return str(etree.tostring(root, encoding="unicode", with_tail=False))


def _link(group: etree._Element, links: Mapping[str, str]) -> None:
    """Make what a group draws lead to its row; a terminal inside a device leads to its own."""
    names = (f"{name}:{group.get(f'data-{name}', '')}" for name in ("id", "end", "tag"))
    anchor = next((links[name] for name in names if name in links), "")
    if not anchor and "data-end" in group.attrib:  # a terminal without a row of its own leads where its device leads
        parent = group.getparent()
        anchor = links.get(f"tag:{parent.get('data-tag', '')}", "") if parent is not None else ""
    if not anchor:
        return
    own: list[etree._Element] = []
    for child in [*group, None]:
        if child is not None and child.tag != f"{_SVG}g":
            own.append(child)
        elif own:
            link = etree.Element(f"{_SVG}a", {"href": f"#{anchor}", "tabindex": "-1"})
            own[0].addprevious(link)
            link.extend(own)
            own = []


def _prefix(element: etree._Element, prefix: str) -> None:
    """Rename ids and what refers to them; drop handlers."""
    for name, value in list(element.attrib.items()):
        text, key = str(value), str(name)
        if key == "id":
            element.set("id", f"{prefix}-{text}")
        elif key.lower().startswith("on"):
            del element.attrib[name]
        elif key in ("href", _HREF):
            if text.startswith("#"):
                element.set(key, f"#{prefix}-{text[1:]}")
            else:
                del element.attrib[name]
        elif "url(#" in text:
            element.set(key, _URL.sub(rf"url(#{prefix}-\1)", text))
