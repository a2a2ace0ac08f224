"""Where things stand on the sheets of a tagged PDF, read from its structure tree."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pikepdf


@dataclass(frozen=True, slots=True)
class Placed:
    """A structure element: its kind, the sheets that its content is on, and what is below it."""

    kind: str
    sheets: tuple[int, ...]
    kids: tuple[Placed, ...]

    def all(self, kind: str) -> Iterator[Placed]:
        """This element or those below it of a kind, in order of reading."""
        if self.kind == kind:
            yield self
        for kid in self.kids:
            yield from kid.all(kind)


def placed(pdf: pikepdf.Pdf) -> Placed:
    """The structure tree with the sheet, from 0, of everything in it."""
    pages = {page.obj.objgen: n for n, page in enumerate(pdf.pages)}

    def walk(element: Any, above: int | None) -> Placed:
        page = pages.get(element.Pg.objgen) if "/Pg" in element else above
        sheets: set[int] = set()
        kids = []
        held = element.get("/K", [])
        for kid in held if isinstance(held, pikepdf.Array) else [held]:
            if isinstance(kid, int):
                sheets.add(page)
            elif "/S" in kid:
                kids.append(walk(kid, page))
                sheets.update(kids[-1].sheets)
            else:
                sheets.add(pages[kid.Pg.objgen] if "/Pg" in kid else page)
        return Placed(str(element.S)[1:], tuple(sorted(sheets)), tuple(kids))

    root: Any = pdf.Root.StructTreeRoot.K
    top = walk(root[0] if isinstance(root, pikepdf.Array) else root, None)
    assert None not in top.sheets
    return top


def groups(table: Placed) -> list[tuple[Placed | None, list[Placed]]]:
    """Runs of rows in a table, each with the group heading above it, if there is one."""
    found: list[tuple[Placed | None, list[Placed]]] = []
    heading = None
    for part in table.kids:
        if part.kind != "TBody":
            continue
        rows = [row for row in part.kids if row.kind == "TR"]
        if len(rows) == 1 and [cell.kind for cell in rows[0].kids][-1:] == ["TH"] and len(rows[0].kids) <= 2:
            heading = rows[0]
            continue
        found.append((heading, rows))
        heading = None
    return found


def stranded(table: Placed) -> list[int]:
    """Sheets on which a row, or the heading of a group, stands alone although more belongs to it."""
    lonely = []
    for heading, run in groups(table):
        if heading is not None and heading.sheets != run[0].sheets:
            lonely.append(heading.sheets[0])
        if len(run) > 1:
            lonely += [run[0].sheets[0]] if run[0].sheets != run[1].sheets else []
            lonely += [run[-1].sheets[0]] if run[-1].sheets != run[-2].sheets else []
    return lonely
