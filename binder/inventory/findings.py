"""Findings: what is wrong or worth knowing, told with its cell and its remedy."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from enum import StrEnum


class Grade(StrEnum):
    """How much a finding matters."""

    STOP = "stop"  # not fit for handover until mended or waived
    CAUTION = "caution"  # somebody must look at it
    NOTE = "note"  # worth knowing


_WEIGHT = {Grade.STOP: 0, Grade.CAUTION: 1, Grade.NOTE: 2}


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding, addressed to the cell that causes it.

    Parameters
    ----------
    code : str
        Stable code, a letter for the room that judges and three figures:
        B inventory, E engineering and sizing, W wiring, S settings, F field, D documents, R reissue,
        P publishing.
    grade : Grade
    sheet, cell : str
        Where it is in the workbook, for example 'Motors', 'F12'; cell may be a range or empty.
    tag : str
        The row's tag (drive, motor, ...): it survives sorting.
    found : str
        What the cell holds, or what was computed, in words.
    accepted : str
        What would be accepted, with two or three legal spellings where it is a cell.
    remedy : str
        An action.
    waived : str
        Name, reason and date when the workbook waives this stop; else empty.
    """

    code: str
    grade: Grade
    sheet: str
    cell: str
    tag: str
    found: str
    accepted: str
    remedy: str
    column: str = ""
    waived: str = ""

    def as_dict(self) -> dict[str, str]:
        """The finding as plain data, for --json."""
        return {k: str(v) for k, v in asdict(self).items()}


def ordered(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings without doubles, worst first, then by sheet, row and column."""

    def key(f: Finding) -> tuple[object, ...]:
        first = re.match(r"([A-Z]*)([0-9]*)", f.cell)  # a range counts by its first cell
        letters, digits = first.groups() if first else ("", "")
        words = (f.code, f.tag, f.found, f.accepted, f.remedy, f.column, f.waived)
        return (_WEIGHT[f.grade], f.sheet, int(digits or 0), len(letters), letters, *words)

    return tuple(sorted(set(findings), key=key))


def open_stops(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The stops that nobody has waived."""
    return tuple(f for f in findings if f.grade is Grade.STOP and not f.waived)
