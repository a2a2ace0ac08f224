"""Settings pages: in writing order, the short list for the night, and who owns what."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from docutils import nodes

from binder.documents.blocks import Cell, Column, Row, caution, data_table, page_break, paragraph, section, steps
from binder.inventory.counting import counted
from binder.inventory.lookup import natural
from binder.settings.crossref import READ_BACK
from binder.settings.functions import FUNCTIONS
from binder.settings.table import SettingRow, SettingsTable

_ORDER_COLUMNS = (
    Column("Step", 0.45, kind="number"),
    Column("No.", 0.8, kind="code", header=True),
    Column("Setting", 1.9),
    Column("Default", 0.9),
    Column("As found", 0.9, kind="write"),
    Column("Required", 1.6),
    Column("As left, by", 1.0, kind="write"),
    Column("Why", 3.4),
)


def settings_section(table: SettingsTable) -> nodes.section:
    """All settings pages of one drive."""
    # The list for the night call is one sheet of its own.
    parts = [*_writing_order(table), page_break(), _changed(table), *_at_default(table), _restore(table)]
    if table.owners:
        parts.append(_owners(table))
    if table.hazards:
        parts.append(_hazards(table))
    if table.terminals:
        parts.append(_terminals(table))
    if table.drift:
        parts.append(_drift(table))
    return section("Settings", *parts, id="settings")


def _writing_order(table: SettingsTable) -> Iterable[nodes.Node]:
    manual = f" Setting numbers and names are those of: {table.manual}." if table.manual else ""
    yield paragraph(
        "Write from the top, in this order. As left is read back after a power cycle, never copied from Required; "
        "a difference needs a reason." + manual
    )
    if table.untouched:
        yield paragraph(
            f"{_many(len(table.untouched))} at default, outside this table. Where the drive was not reset, read each "
            "of them and compare it with the list 'Left at default' below."
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
    yield data_table(_ORDER_COLUMNS, rows, caption="Settings in writing order", id="setting", form="settings")


def _order_row(row: SettingRow) -> Row:
    notes = [_sentence(row.reason)]
    if row.confirm:
        notes.append("Equals the default: confirm it at the keypad.")
    if row.access:
        notes.append(_sentence(f"Locked: {row.access}"))
    if row.stopped_only:
        notes.append("Motor stopped.")
    if row.acts_at_once:
        notes.append("Acts at once.")
    if row.overwrites:
        notes.append(_sentence(f"Overwrites {row.overwrites}"))
    if row.override_reason:
        notes.append(_sentence(f"Set by hand; computed was {row.computed or 'nothing'}: {row.override_reason}"))
    if row.page:
        notes.append(_sentence(f"Manual p. {row.page}"))
    if row.proved_by not in ("", READ_BACK):
        notes.append(f"Proven by {row.proved_by}.")
    return Row(
        (
            str(row.step),
            row.number,
            row.name,
            _with_unit(row.default, row.unit),
            row.as_found,
            Cell(_required(row), bold=row.changed),
            f"{row.as_left} {row.as_left_by}".strip(),
            " ".join(n for n in notes if n),
        ),
        key=row.number,
        tone="stop" if row.as_left_verdict == "differs" else "",
    )


def _sentence(text: str) -> str:
    """The text with a full stop, unless it ends as a sentence already."""
    text = text.strip()
    return text if not text or text[-1] in ".!?" else f"{text}."


def _many(count: int) -> str:
    return "1 setting stays" if count == 1 else f"{count} settings stay"


def _required(row: SettingRow) -> str:
    value = _with_unit(row.required, row.unit)
    if not value:
        return row.required_text
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
            (
                r.number,
                r.name,
                _function_name(r),
                _with_unit(r.default, r.unit),
                Cell(_required(r), bold=True),
                r.as_left,
            ),
            key=r.number,
        )
        for r in changed_rows(table)
    ]
    body: nodes.Node = (
        data_table(columns, rows, id="changed", filter=False)
        if rows
        else paragraph("Every setting stays at its default.")
    )
    return section(
        "Changed from default",
        paragraph("The short list: what makes this drive different."),
        body,
        id="settings-changed",
    )


def _at_default(table: SettingsTable) -> Iterable[nodes.section]:
    """What nobody writes; on a drive that was not reset it has to be read."""
    if not table.untouched:
        return
    columns = (
        Column("No.", 0.8, kind="code", header=True),
        Column("Setting", 2.0),
        Column("Default", 1.4),
        Column("As found", 1.2, kind="write"),
        Column("Why", 3.0),
    )
    rows = [
        Row((r.number, r.name, _default(r), r.as_found, r.reason.removeprefix("left at default: ")), key=r.number)
        for r in sorted(table.untouched, key=lambda r: natural(r.number))
    ]
    yield section(
        "Left at default",
        paragraph(
            f"{_many(len(rows))} as delivered. After a factory reset nothing is to be done here; without one, read "
            "each, compare it with the default, and write the default or give the reason for the difference."
        ),
        data_table(columns, rows, id="untouched", filter=False),
        id="settings-default",
    )


def _default(row: SettingRow) -> str:
    """The default in the words of the choice, where it is one."""
    value = _with_unit(row.default, row.unit)
    return f"{value}: {row.required_text}" if value and row.required_text and row.required == row.default else value


def _function_name(row: SettingRow) -> str:
    if not row.function:
        return ""
    function = FUNCTIONS.get(row.function)
    name = function.name if function else row.function.replace("_", " ")
    return f"{name}, {row.applies_to}" if row.applies_to else name


def _restore(table: SettingsTable) -> nodes.section:
    # What a setting of the table opens is opened by writing it in its place, not before.
    unlock = sorted({r.access for r in table.rows if r.access and not any(f" {n} " in r.access for n in r.after)})
    actions = [
        "Isolate, lock, wait and prove dead as on the lockout card before any cover comes off.",
        "Set the hardware switches and jumpers of the wiring pages before power is applied.",
        "Energize with the run contact open and the motor uncoupled or the machine clear.",
        *(f"Open access: {text}." for text in unlock),
        f"Write the {counted(len(table.rows), 'setting')} of the table above from step 1 to the last.",
        "Run the motor identification named in the table, if any, with the machine as the manual asks.",
        "Save, switch off until the display is dark, switch on, read every value back.",
        "Do the direction, reference and stop tests of the test sheets before handing back.",
    ]
    return section("From a blank drive to running", steps(actions), id="settings-restore")


def _owners(table: SettingsTable) -> nodes.section:
    columns = (
        Column("Mode", 1, header=True),
        Column("Selected by", 1.4),
        Column("Who commands run", 1.8),
        Column("Its setting", 1.6, kind="code"),
        Column("Who sets speed", 1.8),
        Column("Its setting", 1.6, kind="code"),
        Column("Who may forbid", 1.8),
        Column("Wiring and settings", 1.1),
    )
    rows = [
        Row(
            (
                o.mode or "always",
                o.selected_by,
                o.command,
                o.command_setting,
                o.reference,
                o.reference_setting,
                ", ".join(o.permits) or "nobody",
                "agree" if o.agrees else Cell("differ", bold=True),
            ),
            key=o.mode,
            tone="" if o.agrees else "caution",
        )
        for o in table.owners
    ]
    return section(
        "Who owns command and speed",
        paragraph("Command and speed are two settings. Every mode needs one owner of each."),
        data_table(columns, rows, filter=False),
        id="settings-owners",
    )


def _hazards(table: SettingsTable) -> nodes.section:
    columns = (
        Column("Event", 1.4, header=True),
        Column("Starts the machine", 1),
        Column("Because", 3),
        Column("Label at the machine", 2.2),
        Column("Test that proves it", 2.4),
    )
    tones = {"yes": "caution", "not known": "caution"}
    rows = [
        Row(
            (h.cause, Cell(h.starts, bold=h.starts != "no"), h.why, h.label, h.test),
            key=h.cause,
            tone=tones.get(h.starts, ""),
        )
        for h in table.hazards
    ]
    parts: list[nodes.Node] = []
    if any(h.starts == "yes" for h in table.hazards):
        parts.append(
            caution(
                "danger", "This machine can start by itself", "See below what starts it. Isolate before you reach in."
            )
        )
    parts.append(data_table(columns, rows, filter=False))
    return section("Unexpected start", *parts, id="settings-restart")


def _terminals(table: SettingsTable) -> nodes.section:
    columns = (
        Column("Terminal", 0.8, kind="code", header=True),
        Column("Label", 0.8, kind="code"),
        Column("Wired for", 2),
        Column("Setting", 0.9, kind="code"),
        Column("Required", 2),
        Column("Agree", 0.8),
    )
    rows = [
        Row(
            (
                t.terminal,
                t.label,
                t.wired_for.replace("_", " ") or "nothing",
                t.number or "none",
                t.required,
                "yes" if t.agrees else "no",
            ),
            key=t.terminal,
            tone="" if t.agrees else "caution",
        )
        for t in table.terminals
    ]
    return section("Terminals and their settings", data_table(columns, rows, filter=False), id="settings-terminals")


def _drift(table: SettingsTable) -> nodes.section:
    columns = (
        Column("No.", 0.8, kind="code", header=True),
        Column("Setting", 2.4),
        Column("Left at", 1.2),
        Column("On", 1),
        Column("Found at", 1.2),
        Column("On", 1),
    )
    rows = [
        Row((d.number, d.name, d.left, d.left_date, d.found, d.found_date), key=d.number, tone="caution")
        for d in table.drift
    ]
    return section("Moved since the last visit", data_table(columns, rows, filter=False), id="settings-drift")
