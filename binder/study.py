"""Everything known of one drive, and of the site: the one thing that pages are made from."""

from __future__ import annotations

from dataclasses import dataclass

from binder.engineering.figure import Figures
from binder.field.sheets import FieldPack
from binder.inventory.findings import Finding
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
from binder.settings.table import SettingsTable
from binder.wiring.connections import Wiring


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
