"""Drawings inline in a page: real text, ids that do not meet those of the next drawing."""

from __future__ import annotations

import re

from lxml import etree

_SVG = "{http://www.w3.org/2000/svg}"
_HREF = "{http://www.w3.org/1999/xlink}href"
_URL = re.compile(r"url\(#([^)]+)\)")
_ACTIVE = ("script", "foreignObject", "iframe", "a", "image", "animate", "set")


def inline_svg(svg: str, prefix: str, alt: str) -> str:
    """An SVG drawing for an HTML page.

    Parameters
    ----------
    svg : str
    prefix : str
        Put before every id, so that two drawings on one page do not meet.
    alt : str
        What it shows, for those who do not see it.

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
    root.set("role", "img")
    root.set("aria-label", alt)
    if root.get("viewBox") is not None:
        # The stylesheet decides on the size; the box keeps the proportions.
        root.attrib.pop("height", None)
        root.attrib.pop("width", None)
    etree.cleanup_namespaces(root)
    return str(etree.tostring(root, encoding="unicode", with_tail=False))


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
