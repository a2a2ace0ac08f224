"""The study as a binder prints it: the same whatever the order of rows, so that page and issued PDF agree."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from binder.inventory.findings import Finding, Grade, ordered
from binder.study import SiteStudy

#: Findings about the project folder as it lies now; they are gone once somebody has issued or mended.
_PASSING = ("R12", "R13")


def lasting(finding: Finding) -> bool:
    """True for a finding about the site: no note on the spelling of a cell, nothing about the project folder."""
    spelling = finding.code.startswith("B") and finding.grade is Grade.NOTE
    return not spelling and not finding.code.startswith(_PASSING)


def printed(study: SiteStudy) -> SiteStudy:
    """The study with its findings as they are printed.

    A finding names sheet, heading and tag. Its cell is told by `binder check`: on paper it would be wrong as
    soon as somebody sorts the sheet.

    Parameters
    ----------
    study : SiteStudy

    Returns
    -------
    SiteStudy
    """

    def told(findings: Iterable[Finding]) -> tuple[Finding, ...]:
        return ordered(replace(f, cell="") for f in findings if lasting(f))

    drives = tuple(replace(drive, findings=told(drive.findings)) for drive in study.drives)
    return replace(study, findings=told(study.findings), drives=drives)
