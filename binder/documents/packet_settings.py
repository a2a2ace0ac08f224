"""Settings pages: in writing order, the short list for the night, and who owns what."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from docutils import nodes

from binder.documents.blocks import Cell, Column, Row, caution, data_table, paragraph, section, steps
from binder.settings.functions import FUNCTIONS
from binder.settings.table import SettingRow, SettingsTable

_ORDER_COLUMNS = (
    Column("Step", 0.5, kind="number"),
    Column("No.", 0.8, kind="code", header=True),
    Column("Setting, as the manual calls it", 2.6),
    Column("Default", 1.0),
    Column("As found", 1.1, kind="write"),
    Column("Required", 1.5),
    Column("As left", 1.1, kind="write"),
    Column("Init.", 0.6, kind="write"),
    Column("Why", 2.9),
)


def settings_section(table: SettingsTable) -> nodes.section:
    """All settings pages of one drive."""
    return section(
        "Settings",
        *_writing_order(table),
        _changed(table),
        _restore(table),
        id="settings",
    )


def _writing_order(table: SettingsTable) -> Iterable[nodes.Node]:
    manual = f" Setting numbers and names are those of: {table.manual}." if table.manual else ""
    yield paragraph(
        "Write from the top, in this order. As left is read back after a power cycle, never copied from Required; "
        "a difference needs a reason." + manual
    )
    if any(row.acts_at_once for row in table.rows):
        yield caution(
            "warning",
            "Some settings act on a running motor",
            "A row marked 'acts at once' changes speed or starts and stops the motor as soon as it is written. "
            "Write it with the motor stopped and the machine clear.",
        )
    if not table.rows:
        yield paragraph("No setting can be derived: the drive model has no settings in the inventory.")
        return
    rows: list[Row] = []
    for group, members in groupby(table.rows, key=lambda r: r.group):
        rows.append(Row((group or "Other",), key=f"group-{group}-{len(rows)}", kind="group"))
        rows += [_order_row(r) for r in members]
    yield data_table(_ORDER_COLUMNS, rows, caption="Settings in writing order", id="setting")


def _order_row(row: SettingRow) -> Row:
    notes = [row.reason]
    if row.access:
        notes.append(f"Locked: {row.access}.")
    if row.stopped_only:
        notes.append("Motor stopped.")
    if row.acts_at_once:
        notes.append("Acts at once.")
    if row.overwrites:
        notes.append(f"Overwrites {row.overwrites}.")
    if row.override_reason:
        notes.append(f"Set by hand; computed was {row.computed or 'nothing'}: {row.override_reason}")
    if row.page:
        notes.append(f"Manual p. {row.page}.")
    return Row(
        (
            str(row.step),
            row.number,
            row.name,
            _with_unit(row.default, row.unit),
            row.as_found,
            Cell(_required(row), bold=row.changed),
            row.as_left,
            row.as_left_by,
            " ".join(n for n in notes if n),
        ),
        key=row.number,
        tone="stop" if row.as_left_verdict == "differs" else "",
    )


def _required(row: SettingRow) -> str:
    value = _with_unit(row.required, row.unit)
    return f"{value}: {row.required_text}" if row.required_text and row.required_text != row.required else value


def _with_unit(value: str, unit: str) -> str:
    return f"{value} {unit}" if value and unit else value


def changed_rows(table: SettingsTable) -> list[SettingRow]:
    """The rows whose required value is not the default, in order of number as written."""
    return [row for row in table.rows if row.changed]


def _changed(table: SettingsTable) -> nodes.section:
    columns = (
        Column("No.", 0.8, kind="code", header=True),
        Column("Setting", 2.6),
        Column("Function", 2.0),
        Column("Default", 1.0),
        Column("Required", 1.8),
        Column("As left", 1.1, kind="write"),
    )
    rows = [
        Row(
            (r.number, r.name, _function_name(r), _with_unit(r.default, r.unit), Cell(_required(r), bold=True), r.as_left),
            key=r.number,
        )
        for r in changed_rows(table)
    ]
    body: nodes.Node = (
        data_table(columns, rows, caption="Changed from default", id="changed", filter=False)
        if rows
        else paragraph("Every setting stays at its default.")
    )
    return section("Changed from default", paragraph("The short list: what makes this drive different."), body, id="settings-changed")


def _function_name(row: SettingRow) -> str:
    if not row.function:
        return ""
    function = FUNCTIONS.get(row.function)
    name = function.name if function else row.function.replace("_", " ")
    return f"{name}, {row.applies_to}" if row.applies_to else name


def _restore(table: SettingsTable) -> nodes.section:
    unlock = sorted({row.access for row in table.rows if row.access})
    actions = [
        "Isolate, lock, wait and prove dead as on the lockout card before any cover comes off.",
        "Set the hardware switches and jumpers of the wiring pages before power is applied.",
        "Energize with the run contact open and the motor uncoupled or the machine clear.",
        *(f"Open access: {text}." for text in unlock),
        f"Write the {len(table.rows)} settings of the table above from step 1 to the last.",
        "Run the motor identification named in the table, if any, with the machine as the manual asks.",
        "Save, switch off until the display is dark, switch on, read every value back.",
        "Do the direction, reference and stop tests of the test sheets before handing back.",
    ]
    return section("From a blank drive to running", steps(actions), id="settings-restore")
