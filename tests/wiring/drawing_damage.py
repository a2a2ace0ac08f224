"""Nine kinds of deliberate damage to a finished drawing, to prove that the checks see them."""

from __future__ import annotations

import copy
import random
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable

from drawing_checks import SVG

#: 12 points, in drawing units of a tenth of a millimetre.
MOVE = 42.3

Damage = Callable[[ET.Element, random.Random], bool]


def damaged(svg: str, kind: str, rng: random.Random) -> str | None:
    """The drawing with one damage of this kind; None when it offers nothing to damage."""
    root = ET.fromstring(svg)
    if not KINDS[kind](root, rng):
        return None
    return ET.tostring(root, encoding="unicode")


def _groups(root: ET.Element, *kinds: str) -> list[ET.Element]:
    return [g for g in root.findall(f"{SVG}g") if g.get("data-k") in kinds]


def _pick(root: ET.Element, rng: random.Random, *kinds: str) -> ET.Element | None:
    found = _groups(root, *kinds)
    return rng.choice(found) if found else None


def _delete(*kinds: str) -> Damage:
    def act(root: ET.Element, rng: random.Random) -> bool:
        group = _pick(root, rng, *kinds)
        if group is None:
            return False
        root.remove(group)
        return True

    return act


def _double(root: ET.Element, rng: random.Random) -> bool:
    group = _pick(root, rng, "wire")
    if group is None:
        return False
    root.append(copy.deepcopy(group))
    return True


def _delete_terminal(root: ET.Element, rng: random.Random) -> bool:
    parents = [(p, e) for p in root.findall(f"{SVG}g") for e in p.findall(f"{SVG}g") if e.get("data-end")]
    if not parents:
        return False
    parent, element = rng.choice(parents)
    parent.remove(element)
    return True


def _move_end(root: ET.Element, rng: random.Random) -> bool:
    group = _pick(root, rng, "wire")
    path = group.find(f"{SVG}path") if group is not None else None
    if path is None:
        return False
    numbers = re.findall(r"-?[\d.]+", path.get("d", ""))
    spot = rng.choice((0, len(numbers) - 2))
    numbers[spot + rng.choice((0, 1))] = str(float(numbers[spot]) + rng.choice((-MOVE, MOVE)))
    points = [f"{x} {y}" for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
    path.set("d", "M" + "L".join(points))
    return True


def _change_text(pattern: str) -> Damage:
    """Count one up in the first number of a label that matches."""

    def act(root: ET.Element, rng: random.Random) -> bool:
        texts = [
            t for g in _groups(root, "wire", "flag") for t in g.findall(f"{SVG}text")
            if re.fullmatch(pattern, t.text or "")
        ]  # fmt: skip
        if not texts:
            return False
        text = rng.choice(texts)
        text.text = re.sub(r"\d+", lambda m: str(int(m[0]) + 1), text.text or "", count=1)
        return True

    return act


def _no_title(root: ET.Element, rng: random.Random) -> bool:
    title = root.find(f"{SVG}title")
    if title is None:
        return False
    root.remove(title)
    return True


def _move_text(root: ET.Element, rng: random.Random) -> bool:
    text = rng.choice(list(root.iter(f"{SVG}text")))
    dx, dy = rng.choice(((MOVE, 0.0), (-MOVE, 0.0), (0.0, MOVE), (0.0, -MOVE)))
    text.set("x", str(float(text.get("x", "0")) + dx))
    text.set("y", str(float(text.get("y", "0")) + dy))
    return True


KINDS: dict[str, Damage] = {
    "wire deleted": _delete("wire"),
    "wire doubled": _double,
    "flag deleted": _delete("flag"),
    "terminal deleted": _delete_terminal,
    "wire end moved": _move_end,
    "wrong core number": _change_text(r"\d+ [A-Z]{2,4}"),
    "wrong wire number": _change_text(r"\d{3}( .*)?"),
    "title missing": _no_title,
    "text moved": _move_text,
}
