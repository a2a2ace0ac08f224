"""Findings of the workbook: worded from what a cell refused, and told once where a column repeats them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from openpyxl.utils import column_index_from_string, get_column_letter

from binder.inventory.cleaning import CellError
from binder.inventory.codes import grade_of
from binder.inventory.counting import counted
from binder.inventory.declarations import Column
from binder.inventory.findings import Finding, ordered
from binder.inventory.lists import choices_of
from binder.inventory.ranges import accepted_of

#: Equal faults in one column from which on they are told as one range.
_TOGETHER = 4
#: Codes of which every cell is told by itself: what is wrong is the single row.
_SINGLE = frozenset({"B150", "B151", "B152", "B153", "B159", "B205", "B209"})


def finding_of(error: CellError, *, sheet: str, cell: str = "", tag: str = "", column: Column | None = None) -> Finding:
    """Word a refused cell as a finding.

    Parameters
    ----------
    error : CellError
    sheet, cell, tag : str
    column : Column, optional
        Gives the heading and, where the error names none, the legal spellings.
    """
    accepted = error.accepted
    if not accepted and column is not None:
        accepted = legal(column)
    return Finding(
        code=error.code,
        grade=grade_of(error.code),
        sheet=sheet,
        cell=cell,
        tag=tag,
        found=error.found,
        accepted=accepted,
        remedy=error.remedy,
        column=column.header if column is not None else "",
    )


def legal(column: Column) -> str:
    """Return what a column accepts, in words: its choices, or two or three legal spellings."""
    choices = choices_of(column)
    if choices:
        return ", ".join(choices) if len(choices) <= 12 else "one of the Lists sheet"
    return accepted_of(column) or column.example


def told_once(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Join equal faults of one column into one finding with a range of cells.

    Parameters
    ----------
    findings : iterable of Finding

    Returns
    -------
    tuple of Finding
        In the order of `ordered`.
    """
    groups: dict[tuple[str, ...], list[Finding]] = {}
    single: list[Finding] = []
    for finding in ordered(findings):
        if not re.fullmatch(r"[A-Z]+[0-9]+", finding.cell) or finding.code in _SINGLE:
            single.append(finding)
        else:
            key = (finding.code, finding.sheet, finding.column, finding.remedy, finding.accepted)
            groups.setdefault(key, []).append(finding)
    for group in groups.values():
        single += group if len(group) < _TOGETHER else [_joined(group)]
    return ordered(single)


def _joined(group: list[Finding]) -> Finding:
    first = group[0]
    same = all(f.found == first.found for f in group)
    found = (
        f"{first.found} in {counted(len(group), 'cell')}"
        if same
        else f"{counted(len(group), 'cell')}, for example {first.found} in {first.cell}"
    )
    if not first.found:
        found = counted(len(group), "cell")
    return Finding(
        code=first.code,
        grade=first.grade,
        sheet=first.sheet,
        cell=cell_ranges(f.cell for f in group),
        tag="",
        found=found,
        accepted=first.accepted,
        remedy=first.remedy,
        column=first.column,
    )


def cells_of(text: str) -> Iterator[str]:
    """Each cell of an address as `cell_ranges` writes it.

    Examples
    --------
    >>> [*cells_of("C9, C12:C14")]
    ['C9', 'C12', 'C13', 'C14']
    """
    for part in text.split(", "):
        first, _, last = part.partition(":")
        letters = first.rstrip("0123456789")
        if last:
            yield from (f"{letters}{row}" for row in range(int(first[len(letters) :]), int(last[len(letters) :]) + 1))
        else:
            yield first


def cell_ranges(cells: Iterable[str]) -> str:
    """Return cell addresses as a person writes them, runs of rows as ranges.

    Examples
    --------
    >>> cell_ranges(["C9", "C12", "C13", "C14"])
    'C9, C12:C14'
    """
    by_column: dict[int, set[int]] = {}
    for cell in cells:
        letters = cell.rstrip("0123456789")
        by_column.setdefault(column_index_from_string(letters), set()).add(int(cell[len(letters) :]))
    parts = []
    for index in sorted(by_column):
        letter = get_column_letter(index)
        rows = sorted(by_column[index])
        start = previous = rows[0]
        for row in [*rows[1:], -1]:
            if row != previous + 1:
                parts.append(f"{letter}{start}" if start == previous else f"{letter}{start}:{letter}{previous}")
                start = row
            previous = row
    return ", ".join(parts)
