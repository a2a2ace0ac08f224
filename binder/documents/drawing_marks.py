"""Changed conductors of a drawing: a broad pale line behind each, and the revision triangle below it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from lxml import etree

_SVG = "{http://www.w3.org/2000/svg}"
_STEP = re.compile(r"([ML])(-?[\d.]+) (-?[\d.]+)")
#: Half the base, the height and the letter of the triangle, in tenths of a millimetre, as the drawings are.
_HALF, _HIGH, _LETTER = 21, 36, 24

Point = tuple[float, float]


def mark_conductors(svg: str, wires: frozenset[str], letter: str) -> str:
    """Mark conductors that a revision changed.

    Parameters
    ----------
    svg : str
        A drawing whose conductors are groups with the record's id as `data-id`.
    wires : frozenset of str
        Ids of the records that changed.
    letter : str
        Of the revision.

    Returns
    -------
    str
        The drawing as it was when none of them is drawn on it.

    References
    ----------
    The triangle with the letter of the revision: common practice on drawings in North America, no source.
    """
    if not any(f'data-id="{wire}"' in svg for wire in wires):
        return svg
    root = etree.fromstring(svg.encode())
    for group in list(root.iter(f"{_SVG}g")):
        if group.get("data-id") in wires:
            _mark(group, letter)
    return str(etree.tostring(root, encoding="unicode"))


def _mark(group: etree._Element, letter: str) -> None:
    """The pale line behind all lines of the conductor, the triangle below the longest level one."""
    paths = [path for path in group.iter(f"{_SVG}path") if path.get("d")]
    pieces = [piece for path in paths for piece in _pieces(path.get("d", ""))]
    if not pieces:
        return
    for path in paths:
        behind = etree.Element(f"{_SVG}path", {"d": path.get("d", ""), "stroke-width": "15", "stroke-opacity": "0.25"})
        group.insert(0, behind)
    level = [piece for piece in pieces if piece[0][1] == piece[1][1]] or pieces
    (left, top), (right, _) = max(level, key=lambda piece: abs(piece[1][0] - piece[0][0]))
    x, y = min(left, right) + 0.75 * abs(right - left), top + 2  # the label stands over the first half
    corners = f"M{x:g} {y:g}L{x - _HALF:g} {y + _HIGH:g}L{x + _HALF:g} {y + _HIGH:g}Z"
    etree.SubElement(group, f"{_SVG}path", {"d": corners, "stroke-width": "2"})
    place = {"x": f"{x:g}", "y": f"{y + _HIGH - 4:g}", "font-size": str(_LETTER), "text-anchor": "middle"}
    sign = etree.SubElement(group, f"{_SVG}text", {**place, "font-weight": "bold"})
    sign.text = letter


def _pieces(path: str) -> Iterator[tuple[Point, Point]]:
    """The straight pieces of a path."""
    here: Point | None = None
    for kind, x, y in _STEP.findall(path):
        there = float(x), float(y)
        if kind == "L" and here is not None:
            yield here, there
        here = there
