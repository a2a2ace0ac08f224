"""The findings of a site without its sheets: what a check needs, shared out to the cores of the machine."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Mapping
from concurrent.futures import ProcessPoolExecutor
from types import MappingProxyType

from binder.engineering.figure import Figures
from binder.field.pack import blank_findings
from binder.inventory.addressed import with_headings
from binder.inventory.findings import Finding
from binder.inventory.lookup import readings_of
from binder.inventory.records import Drive, Inventory
from binder.settings.assignment import settings_table
from binder.settings.compare import demanded
from binder.sizing import drive_figures
from binder.sizing.topics import SITE_KEYS
from binder.study import DriveShare, by_tag, study_drive, together
from binder.wiring.build import wire_drive
from binder.wiring.connections import Wiring
from binder.wiring.recipe import Recipe
from binder.wiring.schemes import SCHEMES

_WORTH_SHARING = 200  # drives; starting a process takes as long as judging about a hundred


def cores() -> int:
    """Cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def drive_share(
    inventory: Inventory, drive: Drive, *, former: Wiring | None = None, recipes: Mapping[str, Recipe] = SCHEMES
) -> DriveShare:
    """What a drive adds to the findings of the site, without what only its sheets show.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
        One of `inventory.drives`.
    former : Wiring, optional
    recipes : mapping of str to Recipe

    Returns
    -------
    DriveShare
        The findings are those of `study_drive`.
    """
    findings: tuple[Finding, ...]
    if readings_of(inventory, drive):  # readings are judged on the lines of the sheets
        study = study_drive(inventory, drive, former=former, recipes=recipes)
        figures, settings, findings = study.figures, study.settings, study.findings
    else:
        figures, sized = drive_figures(inventory, drive)
        wiring = wire_drive(inventory, drive, figures, former, recipes=recipes, effects=False)
        settings = settings_table(inventory, drive, figures, wiring)
        field = blank_findings(inventory, drive, figures, wiring, settings)
        findings = with_headings((*sized, *wiring.findings, *settings.findings, *field), inventory)
    for_site = Figures(tuple(figures[key] for key in SITE_KEYS if key in figures))
    return DriveShare(drive.tag, for_site, demanded(settings), findings)


def site_findings(
    inventory: Inventory,
    *,
    former: Mapping[str, Wiring] = MappingProxyType({}),
    recipes: Mapping[str, Recipe] = SCHEMES,
    jobs: int = 0,
) -> tuple[Finding, ...]:
    """The findings of `study_site` alone, in a fraction of the time.

    Parameters
    ----------
    inventory : Inventory
    former : mapping of str to Wiring
        Row key of a drive -> its wiring as last issued.
    recipes : mapping of str to Recipe
    jobs : int
        Processes; 0 takes the cores of the machine where the site is large. The result is the same.

    Returns
    -------
    tuple of Finding
    """
    inventory = by_tag(inventory)
    count = len(inventory.drives)
    jobs = jobs or (cores() if count >= _WORTH_SHARING else 1)
    if jobs == 1:
        _begin(inventory, former, recipes)
        return together(inventory, _share((0, count)))[1]
    step = -(-count // (4 * jobs))
    parts = [(start, min(start + step, count)) for start in range(0, count, step)]
    context = multiprocessing.get_context("spawn")
    told = (inventory, dict(former), dict(recipes))
    with ProcessPoolExecutor(jobs, mp_context=context, initializer=_begin, initargs=told) as pool:
        drives = [share for part in pool.map(_share, parts) for share in part]
    return together(inventory, drives)[1]


_site: tuple[Inventory, Mapping[str, Wiring], Mapping[str, Recipe]]


def _begin(inventory: Inventory, former: Mapping[str, Wiring], recipes: Mapping[str, Recipe]) -> None:
    """Keep the site in this process."""
    global _site  # noqa: PLW0603 - a worker's arguments, handed over once and not with every part
    _site = (inventory, former, recipes)


def _share(part: tuple[int, int]) -> list[DriveShare]:
    inventory, former, recipes = _site
    return [
        drive_share(inventory, drive, former=former.get(drive.origin.key), recipes=recipes)
        for drive in inventory.drives[slice(*part)]
    ]
