"""Everything known of one drive, and of the site: the one thing that pages are made from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from binder.engineering.figure import Figures
from binder.field.pack import field_pack
from binder.field.sheets import FieldPack
from binder.inventory.addressed import with_headings
from binder.inventory.checks import apply_waivers
from binder.inventory.findings import Finding, ordered
from binder.inventory.lookup import (
    cable_of,
    cables_of,
    findings_about,
    fold,
    machine_of,
    model_of,
    motor_of,
    natural,
    panel_of,
    supply_of,
)
from binder.inventory.records import (
    Cable,
    Drive,
    DriveModel,
    Inventory,
    Machine,
    Motor,
    Panel,
    Supply,
)
from binder.settings.assignment import settings_table
from binder.settings.compare import Demanded, compare_findings, demanded
from binder.settings.crossref import proved
from binder.settings.table import SettingsTable
from binder.sizing import drive_figures, site_figures
from binder.wiring.build import wire_drive
from binder.wiring.connections import Wiring
from binder.wiring.recipe import Recipe
from binder.wiring.schemes import SCHEMES


@dataclass(frozen=True, slots=True)
class DriveStudy:
    """One drive: its records, figures, wiring, settings and field sheets."""

    drive: Drive
    motor: Motor | None
    machine: Machine | None
    model: DriveModel | None
    panel: Panel | None
    supply: Supply | None
    line_cable: Cable | None
    motor_cable: Cable | None
    figures: Figures
    wiring: Wiring
    settings: SettingsTable
    field: FieldPack
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class SiteStudy:
    """The site: inventory, site figures, every drive's study, every finding once."""

    inventory: Inventory
    figures: Figures
    drives: tuple[DriveStudy, ...]
    findings: tuple[Finding, ...]


def study_drive(
    inventory: Inventory, drive: Drive, *, former: Wiring | None = None, recipes: Mapping[str, Recipe] = SCHEMES
) -> DriveStudy:
    """Work out one drive: figures, wiring, settings and field sheets, in that order.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
        One of `inventory.drives`.
    former : Wiring, optional
        The wiring as last issued; its numbers are kept.
    recipes : mapping of str to Recipe
        Control schemes known to the project.

    Returns
    -------
    DriveStudy
    """
    figures, sizing_findings = drive_figures(inventory, drive)
    wiring = wire_drive(inventory, drive, figures, former, recipes=recipes)
    settings = settings_table(inventory, drive, figures, wiring)
    told = (f for tag in _tags(inventory, drive) for f in findings_about(inventory, tag))
    known = apply_waivers([*told, *sizing_findings], inventory)
    field = field_pack(inventory, drive, figures, wiring, settings, findings=known)
    settings = proved(settings, ((line.id, line.proves) for line in field.lines))
    return DriveStudy(
        drive=drive,
        motor=motor_of(inventory, drive),
        machine=machine_of(inventory, drive),
        model=model_of(inventory, drive),
        panel=panel_of(inventory, drive),
        supply=supply_of(inventory, drive),
        line_cable=cable_of(inventory, drive, "line"),
        motor_cable=cable_of(inventory, drive, "motor"),
        figures=figures,
        wiring=wiring,
        settings=settings,
        field=field,
        findings=with_headings((*sizing_findings, *wiring.findings, *settings.findings, *field.findings), inventory),
    )


def _tags(inventory: Inventory, drive: Drive) -> tuple[str, ...]:
    """Tags whose stops in the workbook bar this drive's gates: its own, its motor's, machine's and cables'."""
    records = (motor_of(inventory, drive), machine_of(inventory, drive), *cables_of(inventory, drive))
    return tuple(dict.fromkeys(fold(r.tag) for r in (drive, *records) if r is not None and r.tag))


def study_site(
    inventory: Inventory,
    *,
    former: Mapping[str, Wiring] = MappingProxyType({}),
    recipes: Mapping[str, Recipe] = SCHEMES,
) -> SiteStudy:
    """Work out every drive and the site.

    Parameters
    ----------
    inventory : Inventory
    former : mapping of str to Wiring
        Row key of a drive -> its wiring as last issued.
    recipes : mapping of str to Recipe
        Control schemes known to the project, see `wiring.schemes.read_recipes`.

    Returns
    -------
    SiteStudy
        Drives and equipment in the order of their tags. Its findings hold those of the workbook
        and of every drive, each once, waivers applied.
    """
    inventory = by_tag(inventory)
    drives = tuple(
        study_drive(inventory, d, former=former.get(d.origin.key), recipes=recipes) for d in inventory.drives
    )
    shares = [DriveShare(s.drive.tag, s.figures, demanded(s.settings), s.findings) for s in drives]
    figures, findings = together(inventory, shares)
    return SiteStudy(inventory, figures, drives, findings)


@dataclass(frozen=True, slots=True)
class DriveShare:
    """What one drive adds to the site's figures and findings.

    Parameters
    ----------
    tag : str
    figures : Figures
        At least those of `SITE_KEYS`.
    settings : tuple of Demanded
    findings : tuple of Finding
    """

    tag: str
    figures: Figures
    settings: tuple[Demanded, ...]
    findings: tuple[Finding, ...]


def together(inventory: Inventory, drives: Sequence[DriveShare]) -> tuple[Figures, tuple[Finding, ...]]:
    """The site's figures, and every finding once, waivers applied."""
    figures, site_findings = site_figures(inventory, {s.tag: s.figures for s in drives})
    alike = with_headings(compare_findings(inventory, {s.tag: s.settings for s in drives}), inventory)
    everything = [*inventory.findings, *site_findings, *(f for s in drives for f in s.findings), *alike]
    return figures, ordered(apply_waivers(everything, inventory))


class FindingsByDrive:
    """The findings of a site by tag and by what tells one from another, so that all drives may ask for theirs."""

    def __init__(self, site: SiteStudy) -> None:
        self._findings = site.findings
        self._places: dict[object, list[int]] = {}
        for place, finding in enumerate(site.findings):
            for key in (finding.tag, _identity(finding)):
                self._places.setdefault(key, []).append(place)

    def of(self, study: DriveStudy) -> list[Finding]:
        """The findings of this drive, with waivers, in the order of the site's list."""
        tags = {study.drive.tag, study.drive.motor, study.drive.machine} - {""}
        wanted: set[object] = {*tags, *map(_identity, study.findings)}
        return [self._findings[n] for n in sorted({n for key in wanted for n in self._places.get(key, ())})]


def _identity(finding: Finding) -> tuple[str, ...]:
    return finding.code, finding.sheet, finding.cell, finding.tag, finding.found


#: Sheets whose rows stand in no order of their own: sorting them must change no page.
_UNORDERED = ("supplies", "panels", "drives", "motors", "machines", "cables", "isolators")


def by_tag(inventory: Inventory) -> Inventory:
    """The inventory with the rows of such sheets in the order of their tags."""
    ordered: dict[str, Any] = {
        name: tuple(sorted(getattr(inventory, name), key=lambda r: natural(r.tag))) for name in _UNORDERED
    }
    return replace(inventory, **ordered)
