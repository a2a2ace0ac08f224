"""Forms for the field, and the way back: returned files merged and written into the workbook."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from itertools import groupby
from pathlib import Path

from binder.errors import ProjectError
from binder.field.returned_file import Row, read_returned
from binder.field.returns import blank_readings, blank_settings, merge_returns
from binder.inventory.columns_papers import AS_LEFT, READINGS
from binder.inventory.counting import counted
from binder.inventory.findings import Finding
from binder.inventory.lookup import fold
from binder.inventory.patch import Value
from binder.inventory.records import AsLeft, Reading
from binder.inventory.results import append_to_sheets
from binder.study import DriveStudy, SiteStudy

_KNOWN = "F244"  # a row that the workbook holds already
_TOLD_SINGLY = 3  # such rows of one file; a whole workbook that returns holds hundreds


@dataclass(frozen=True, slots=True)
class Taken:
    """What returned files add to the workbook.

    Parameters
    ----------
    rows : tuple of Reading and AsLeft
        To append, in the order of the files.
    offered : int
        Rows with a value that the files held.
    findings : tuple of Finding
        File by file, from the top of each.
    """

    rows: tuple[Row, ...]
    offered: int
    findings: tuple[Finding, ...]

    @property
    def readings(self) -> tuple[Reading, ...]:
        """The rows for the sheet Readings."""
        return tuple(r for r in self.rows if isinstance(r, Reading))

    @property
    def settings(self) -> tuple[AsLeft, ...]:
        """The rows for the sheet As left."""
        return tuple(r for r in self.rows if isinstance(r, AsLeft))

    def count_text(self) -> str:
        """Say how many rows were good, and how many were not.

        Examples
        --------
        >>> Taken((Reading("VFD-9"),), 3, ()).count_text()
        'Taken: 1 reading, no setting; not taken: 2 rows.'
        """
        left = self.offered - len(self.rows)
        words = f"Taken: {_count(len(self.readings), 'reading')}, {_count(len(self.settings), 'setting')}"
        return f"{words}; not taken: {_count(left, 'row')}." if left else f"{words}."


def _count(number: int, word: str) -> str:
    return f"{number or 'no'} {word}{'s' if number > 1 else ''}"


def take(study: SiteStudy, files: Iterable[Path]) -> Taken:
    """Read returned files one after the other and sort out what they add.

    Parameters
    ----------
    study : SiteStudy
        The project as it stands.
    files : iterable of Path
        CSV files or workbooks; partial, of several technicians, or recorded before.

    Returns
    -------
    Taken
        A file is compared with the workbook and with the files before it.
    """
    packs = {s.drive.tag: s.field for s in study.drives}
    inventory = study.inventory
    taken: list[Row] = []
    findings: list[Finding] = []
    offered = 0
    for path in files:
        returned = read_returned(path)
        rows, about = merge_returns(inventory, returned.rows, packs=packs, today=dt.date.today())
        offered += len(returned.rows) + sum(f.code in ("F243", "F248") for f in returned.findings)
        findings += sorted([*returned.findings, *_folded(about)], key=_place)
        taken += rows
        inventory = replace(
            inventory,
            readings=(*inventory.readings, *(r for r in rows if isinstance(r, Reading))),
            as_left=(*inventory.as_left, *(r for r in rows if isinstance(r, AsLeft))),
        )
    return Taken(tuple(taken), offered, tuple(findings))


def _place(finding: Finding) -> tuple[str, int, str, str]:
    """Sheet and row, so that a person goes through the file from the top."""
    return finding.sheet, int("0" + "".join(c for c in finding.cell if c.isdigit())), finding.cell, finding.code


def _folded(findings: Sequence[Finding]) -> list[Finding]:
    """Tell many rows that are there already in one line a sheet; everything else singly."""
    known = sorted((f for f in findings if f.code == _KNOWN), key=lambda f: f.sheet)
    kept = [f for f in findings if f.code != _KNOWN]
    for _, group in groupby(known, key=lambda f: f.sheet):
        same = list(group)
        if len(same) > _TOLD_SINGLY:
            words = f"{counted(len(same), 'row')} in the workbook already"
            same = [replace(same[0], cell="", tag="", column="", found=words)]
        kept += same
    return kept


def write(workbook: Path, taken: Taken, *, expected_digest: str) -> None:
    """Append what was taken below the rows of Readings and As left; no other cell changes.

    Parameters
    ----------
    workbook : Path
    taken : Taken
    expected_digest : str
        Digest of the workbook that the rows were compared with.

    Raises
    ------
    OutputError
        The workbook is open or was changed meanwhile; the rows are in a side workbook that the
        message names.
    """
    rows: dict[str, Sequence[Row]] = {READINGS.name: taken.readings, AS_LEFT.name: taken.settings}
    cells = {sheet: [_cells(row) for row in of_sheet] for sheet, of_sheet in rows.items() if of_sheet}
    if cells:
        append_to_sheets(workbook, cells, expected_digest=expected_digest)


def _cells(row: Row) -> Mapping[str, Value]:
    """The filled fields of a row; numbers stay the text that was returned."""
    values = {f.name: getattr(row, f.name) for f in fields(row) if f.name != "origin"}
    return {name: value for name, value in values.items() if value not in (None, "")}


def form_text(study: SiteStudy, tags: Sequence[str] = (), *, settings: bool = False, every: bool = False) -> str:
    """Write the blank rows that a technician takes along, as CSV.

    Parameters
    ----------
    study : SiteStudy
    tags : sequence of str
        Drive tags; all drives when empty.
    settings : bool
        As-found and as-left rows of settings instead of readings.
    every : bool
        Also lines that are done already, for a retest.

    Returns
    -------
    str
        Write it as 'utf-8-sig'.

    Raises
    ------
    ProjectError
        A tag is not on the sheet Drives.
    """
    drives = _chosen(study, tags)
    if settings:
        return blank_settings(d.settings for d in drives)
    return blank_readings((d.field for d in drives), every=every)


def _chosen(study: SiteStudy, tags: Sequence[str]) -> list[DriveStudy]:
    by_tag = {fold(d.drive.tag): d for d in study.drives}
    unknown = [tag for tag in tags if fold(tag) not in by_tag]
    if unknown:
        known = ", ".join(d.drive.tag for d in study.drives)
        raise ProjectError(f"no drive {', '.join(unknown)} in the workbook", f"Drives are: {known}")
    return [by_tag[fold(tag)] for tag in dict.fromkeys(tags)] if tags else list(study.drives)
