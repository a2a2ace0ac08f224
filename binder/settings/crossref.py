"""Settings against the wiring's terminals, and against the tests that prove them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from binder.settings.checks import setting_function
from binder.settings.encode import plain
from binder.settings.situation import Situation
from binder.settings.table import SettingRow, SettingsTable, TerminalSetting

#: What stands in the column when no test of its own proves a setting.
READ_BACK = "read back"


def terminal_settings(s: Situation, table: SettingsTable) -> tuple[TerminalSetting, ...]:
    """Each control terminal whose function a setting decides, beside that setting.

    Parameters
    ----------
    s : Situation
    table : SettingsTable

    Returns
    -------
    tuple of TerminalSetting
        In the order of the strip; a relay is told once, at its common terminal.
    """
    found = []
    for terminal in sorted(s.wiring.terminals, key=lambda t: t.order):
        function = setting_function(terminal.role)
        if not function:
            continue
        row = table.required(function, terminal.label.split(".")[0])
        wired = terminal.function
        number, required = (row.number, row.required_text) if row else ("", "")
        by_word = function != "analog_input_format"  # there the setting says what signal, not what for
        agrees = row is not None and (not by_word or not wired or plain(required) == plain(wired))
        found.append(TerminalSetting(terminal.number, terminal.label, wired, number, required, agrees or not wired))
    return tuple(found)


def proved(table: SettingsTable, tests: Iterable[tuple[str, tuple[str, ...]]]) -> SettingsTable:
    """Name the test that proves each setting.

    Parameters
    ----------
    table : SettingsTable
    tests : iterable of (str, tuple of str)
        Line id and what the line proves: setting functions, numbers, or other ids that are passed by.

    Returns
    -------
    SettingsTable
        With `proved_by` of every row: up to three line ids, else 'read back'.
    """
    lines: dict[str, list[str]] = {}
    for line, proves in tests:
        for what in proves:
            lines.setdefault(what, []).append(line)

    def with_test(row: SettingRow) -> SettingRow:
        own = lines.get(row.number, []) + (lines.get(row.function, []) if row.function else [])
        return replace(row, proved_by=", ".join(dict.fromkeys(own[:3])) or READ_BACK)

    return replace(
        table, rows=tuple(with_test(r) for r in table.rows), untouched=tuple(with_test(r) for r in table.untouched)
    )
