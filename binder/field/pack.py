"""Everything a technician carries for one drive, put together."""

from __future__ import annotations

from collections.abc import Iterable

from binder.engineering.figure import Figures
from binder.field.bench import bench as lay_out
from binder.field.gates import gates
from binder.field.isolation import lockout_card
from binder.field.sheets import FieldPack
from binder.field.sweep import sweeps
from binder.field.tests import test_sheets
from binder.inventory.findings import Finding, ordered
from binder.inventory.lookup import fold
from binder.inventory.records import Drive, Inventory
from binder.settings.table import SettingsTable
from binder.wiring.connections import Wiring


def field_pack(
    inventory: Inventory,
    drive: Drive,
    figures: Figures,
    wiring: Wiring,
    settings: SettingsTable,
    *,
    findings: Iterable[Finding] = (),
) -> FieldPack:
    """Make all field sheets of a drive and judge what came back.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
        One of `inventory.drives`.
    figures : Figures
    wiring : Wiring
    settings : SettingsTable
    findings : iterable of Finding, optional
        Further findings of this drive (sizing) whose open stops bar the gates.

    Returns
    -------
    FieldPack
    """
    b = lay_out(inventory, drive, figures, wiring, settings)
    lockout = lockout_card(b)
    swept, sweep_findings = sweeps(b)
    sheets = test_sheets(b)
    own = ordered((*lockout.findings, *sweep_findings))
    defeats = tuple(d for d in inventory.defeats if fold(d.drive) == fold(drive.tag))
    items = tuple(p for p in inventory.punch_items if fold(p.drive) == fold(drive.tag))
    known = (*own, *findings, *wiring.findings, *settings.findings)
    return FieldPack(
        drive=drive.tag,
        lockout=lockout,
        sheets=sheets,
        sweeps=swept,
        faults=(),
        gates=gates(sheets, swept, findings=known, punch_items=items, defeats=defeats),
        findings=own,
        punch_items=items,
        defeats=defeats,
    )
