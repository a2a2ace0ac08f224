"""List of every part with its anchors and its standard, kept in the contributor guide.

`python -m schemdraw_parts.elements DEVELOPERS.md` writes the list between its two marks.
"""

from __future__ import annotations

import re
import sys
from dataclasses import dataclass
from pathlib import Path

from schemdraw_parts.base import Part
from schemdraw_parts.gallery import FAMILIES
from schemdraw_parts.style import Symbols

BEGIN, END = "<!-- parts: begin -->", "<!-- parts: end -->"
_STANDARD = re.compile(
    r"(?:IEC 60617 )?\b0[2-8]-\d\d-\d\d|IEC 6\d{4}(?:-\d)*(?: annex \w| part \d+)?"
    r"|IEEE 315(?: \d+\.\d+)?|NEMA ICS 19|NFPA 79|ISO \d{4}"
)


@dataclass(frozen=True, slots=True)
class Listed:
    """One part as the list tells it."""

    family: str
    name: str
    module: str
    draws: str
    anchors: tuple[str, ...]
    standards: tuple[str, ...]


def elements() -> tuple[Listed, ...]:
    """Every part of the gallery, once, with the anchors of its picture.

    Examples
    --------
    >>> next(e for e in elements() if e.name == "Coil").anchors
    ('A1', 'A1>', 'A2', 'A2>')
    """
    found: dict[str, Listed] = {}
    for family, (make, _) in FAMILIES.items():
        for _, part in make(Symbols.IEC):
            kind = type(part)
            if kind.__name__ not in found:
                found[kind.__name__] = _listed(family, kind, tuple(part.anchors))
    return tuple(found.values())


def _listed(family: str, kind: type[Part], anchors: tuple[str, ...]) -> Listed:
    told = re.sub(r"\s+", " ", kind.__doc__ or "")
    draws = re.split(r"(?<=[a-z)])\. |\.$| \(|[:;] ", told, maxsplit=1)[0]
    return Listed(family, kind.__name__, kind.__module__.rpartition(".")[2], draws, anchors, _standards(told))


def _standards(told: str) -> tuple[str, ...]:
    """Standards that a docstring names; bare numbers of symbols are of IEC 60617."""
    whole = (f"IEC 60617 {t}" if t[0] == "0" else t for t in _STANDARD.findall(told))
    return tuple(dict.fromkeys(whole))


def section() -> str:
    """Return the list as a table of the guide, between its marks."""
    rows = ["| Part | Draws | Anchors, of its picture | Standard |", "| --- | --- | --- | --- |"]
    for e in elements():
        anchors = " ".join(f"`{a}`" for a in e.anchors) or "none"
        standards = ", ".join(e.standards) or "no standard symbol"
        rows.append(f"| `{e.module}.{e.name}` | {e.draws} | {anchors} | {standards} |")
    return "\n".join([BEGIN, *rows, END])


def refreshed(guide: str) -> str:
    """Return the guide with its list as the parts now are.

    Raises
    ------
    ValueError
        The guide has no place for the list.
    """
    head, begin, rest = guide.partition(BEGIN)
    _, end, tail = rest.partition(END)
    if not begin or not end:
        raise ValueError(f"the guide lacks {BEGIN} or {END}")
    return f"{head}{section()}{tail}"


def main() -> None:
    """Refresh the list in the file named on the command line."""
    path = Path(sys.argv[1])
    path.write_text(refreshed(path.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main()
