"""Everything a technician carries for one drive, put together."""

from __future__ import annotations

from collections.abc import Iterable

from binder.engineering.figure import Figures
from binder.field.bench import bench as lay_out
from binder.field.door_card import door_card
from binder.field.fault_codes import code_meanings
from binder.field.faults import fault_pages
from binder.field.gates import gates
from binder.field.isolation import lockout_card
from binder.field.plot_data import plots
from binder.field.punch import defeat_findings, defeats_of, punch_items
from binder.field.readings import judge
from binder.field.sheets import FieldPack
from binder.field.sweep import sweeps
from binder.field.tests import test_sheets
from binder.field.trace import trace
from binder.inventory.checks import apply_waivers
from binder.inventory.findings import Finding, Grade, ordered
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
    blank, sweep_findings = sweeps(b)
    judged = judge(inventory, drive, test_sheets(b), blank)
    lines = (
        *(line for sheet in judged.sheets for line in sheet.lines),
        *(line for sweep in judged.sweeps for point in sweep.points for line in point.lines),
    )
    items, item_findings = punch_items(inventory, drive, lines)
    defeats = defeats_of(inventory, drive)
    backed_up = any(line.id == "S4" and line.verdict == "pass" for line in lines)
    unnamed = [_backup_unnamed(drive)] if backed_up and not drive.backup_file else []
    own = ordered(
        (
            *lockout.findings,
            *sweep_findings,
            *judged.findings,
            *item_findings,
            *defeat_findings(defeats, drive),
            *unnamed,
        )
    )
    known = apply_waivers([*own, *findings, *wiring.findings, *settings.findings], inventory)
    faults = fault_pages(b)
    codes = code_meanings(b, faults)
    return FieldPack(
        drive=drive.tag,
        lockout=lockout,
        sheets=judged.sheets,
        sweeps=judged.sweeps,
        faults=faults,
        gates=gates(judged.sheets, judged.sweeps, findings=known, punch_items=items, defeats=defeats),
        findings=own,
        door_card=door_card(b, lockout, judged.sweeps, faults, codes, backed_up=backed_up),
        punch_items=items,
        defeats=defeats,
        plots=plots(b, judged.sweeps, lines),
        trace=trace(b, lines),
        codes=codes,
    )


def _backup_unnamed(drive: Drive) -> Finding:
    """The settings as left were saved, but whoever must replace the drive is not told where."""
    return Finding(
        "F222", Grade.CAUTION, drive.origin.sheet or "Drives", drive.origin.cell("backup_file"), drive.tag,
        "test line S4 says that the settings as left were saved, but no file is named",
        "a file in the project folder, for example backups/VFD-101.set",
        "Put the backup into the project folder and type its name here.", "backup_file",
    )  # fmt: skip


def blank_findings(
    inventory: Inventory, drive: Drive, figures: Figures, wiring: Wiring, settings: SettingsTable
) -> tuple[Finding, ...]:
    """The findings of `field_pack` for a drive without readings, without making its sheets.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
        One that the sheet Readings does not name: no line of a test sheet can fail.
    figures : Figures
    wiring : Wiring
    settings : SettingsTable

    Returns
    -------
    tuple of Finding
    """
    b = lay_out(inventory, drive, figures, wiring, settings)
    _, sweep_findings = sweeps(b)
    return ordered((*lockout_card(b).findings, *sweep_findings, *defeat_findings(defeats_of(inventory, drive), drive)))
