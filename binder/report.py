"""Findings as text for a terminal: the cell first, then what was found, accepted, and how to mend it."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from binder.inventory.findings import Finding, Grade

_WIDTH = 96


def findings_text(findings: Sequence[Finding], workbook: str) -> str:
    """Word findings one block each, alike ones together, with a count at the end.

    Parameters
    ----------
    findings : sequence of Finding
        In the order to print.
    workbook : str
        File name printed before each cell.

    Returns
    -------
    str
    """
    alike: dict[tuple[str, ...], list[Finding]] = {}
    for f in findings:
        alike.setdefault((f.code, f.sheet, f.column, f.found, f.accepted, f.remedy, f.waived), []).append(f)
    return "\n\n".join([*(_block(group, workbook) for group in alike.values()), count_text(findings)])


def count_text(findings: Sequence[Finding]) -> str:
    """Count findings by grade: '1 stop (waived), 2 cautions, 5 notes.'"""
    stops = [f for f in findings if f.grade is Grade.STOP]
    waived = sum(bool(f.waived) for f in stops)
    cautions = sum(f.grade is Grade.CAUTION for f in findings)
    notes = sum(f.grade is Grade.NOTE for f in findings)
    stop_text = _plural(len(stops) - waived, "open stop")
    if waived:
        stop_text += f", {_plural(waived, 'waived stop')}"
    return f"{stop_text}, {_plural(cautions, 'caution')}, {_plural(notes, 'note')}."


def _plural(number: int, word: str) -> str:
    return f"{number or 'no'} {word}{'' if number == 1 else 's'}"


def _block(group: Sequence[Finding], workbook: str) -> str:
    """One finding, or several that differ in cell and tag alone."""
    first = group[0]
    place = f"{first.sheet}!{first.cell}" if first.cell else first.sheet
    head = "  ".join(x for x in (workbook, place, first.tag, first.column) if x)
    lines = [f"{head:<{_WIDTH - 14}} {first.grade:>7} {first.code}"]
    also = ", ".join(f"{f.cell} {f.tag}".strip() for f in group[1:])
    for label, text in (
        ("also at", also),
        ("found", first.found),
        ("accepted", first.accepted),
        ("mend", first.remedy),
        ("waived", first.waived),
    ):
        if text:
            lines += textwrap.wrap(text, _WIDTH, initial_indent=f"  {label:<10} ", subsequent_indent=" " * 13)
    return "\n".join(lines)
