"""Columns of repeated long texts become note marks, with the texts once below the table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from binder.documents.nodes import Column, Row
from binder.publishing.table_layout import text_of


@dataclass(frozen=True, slots=True)
class Notes:
    """The notes of one column: its title, and (mark, text) in order of first use."""

    title: str
    texts: tuple[tuple[str, str], ...]


def fold_notes(columns: Sequence[Column], rows: Sequence[Row]) -> tuple[list[Column], list[Row], list[Notes]]:
    """Replace the texts of 'note' columns by marks.

    The first such column counts in figures, a second one in letters.

    Examples
    --------
    >>> columns = [Column("Line"), Column("Source", kind="note")]
    >>> _, rows, notes = fold_notes(columns, [Row(("1", "NETA")), Row(("2", "practice")), Row(("3", "NETA"))])
    >>> [row.cells[1] for row in rows], notes[0].texts
    (['1', '2', '1'], (('1', 'NETA'), ('2', 'practice')))
    """
    places = [index for index, column in enumerate(columns) if column.kind == "note"]
    if not places:
        return list(columns), list(rows), []
    marks: dict[int, dict[str, str]] = {index: {} for index in places}
    folded = []
    for row in rows:
        if row.kind == "group":
            folded.append(row)
            continue
        cells = list(row.cells)
        for order, index in enumerate(places):
            text = text_of(cells[index])
            if text:
                cells[index] = marks[index].setdefault(text, _mark(len(marks[index]), letters=order > 0))
        folded.append(replace(row, cells=tuple(cells)))
    shown = [replace(c, kind="code") if c.kind == "note" else c for c in columns]
    notes = [
        Notes(columns[index].title, tuple((mark, text) for text, mark in marks[index].items()))
        for index in places
        if marks[index]
    ]
    return shown, folded, notes


def _mark(place: int, *, letters: bool) -> str:
    """1, 2, 3 or a, b, c, and after z figures again."""
    return chr(ord("a") + place) if letters and place < 26 else str(place + 1)
