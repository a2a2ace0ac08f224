"""Who commands, who sets the speed and who permits, mode by mode."""

from __future__ import annotations

from collections.abc import Iterator

from binder.inventory.findings import Finding, Grade
from binder.settings.encode import plain
from binder.settings.situation import Situation, source_set
from binder.settings.table import OwnerRow, SettingRow, SettingsTable

#: Setting function -> what its owner has the say over.
_SOURCES = (("command_source", "command"), ("reference_source", "speed"))


def _row_for(table: SettingsTable, function: str, mode: str) -> SettingRow | None:
    """The row of the set of sources that serves this mode, else of all modes."""
    rows = [r for r in (*table.rows, *table.untouched) if r.function == function]
    for wanted in (source_set(mode), ""):
        for row in rows:
            if source_set(row.applies_to) == wanted:
                return row
    return rows[0] if len(rows) == 1 else None


def _said(row: SettingRow | None) -> str:
    if row is None:
        return ""
    words = f": {row.required_text}" if row.required_text else ""
    return f"{row.number} = {row.required}{words}"


def _demanded(s: Situation, function: str, mode: str) -> str:
    demand = s.demand(function, mode)
    return demand.value if demand else ""


def _wanted_instead(s: Situation, row: SettingRow | None, mode: str) -> str:
    """The owner that the wiring asks for where this row names another one, else ''."""
    wanted = _demanded(s, row.function, mode) if row is not None else ""
    return "" if row is None or plain(wanted) == plain(row.required_text) else wanted


def owner_matrix(s: Situation, table: SettingsTable) -> tuple[OwnerRow, ...]:
    """One row a mode, from the wiring's modes and the settings.

    Parameters
    ----------
    s : Situation
    table : SettingsTable

    Returns
    -------
    tuple of OwnerRow
    """
    rows = []
    for mode in s.wiring.modes:
        name = "" if mode.name == "always" else mode.name
        command = _row_for(table, "command_source", name)
        reference = _row_for(table, "reference_source", name)
        agrees = not any(_wanted_instead(s, row, name) for row in (command, reference))
        rows.append(
            OwnerRow(
                mode.name,
                mode.selected_by,
                mode.command_owner,
                mode.reference_owner,
                mode.permissives,
                _said(command),
                _said(reference),
                agrees,
            )
        )
    return tuple(rows)


def owner_findings(s: Situation, table: SettingsTable) -> Iterator[Finding]:
    """Modes without an owner, with two, or with settings that name another one than the wiring.

    Parameters
    ----------
    s : Situation
    table : SettingsTable

    Yields
    ------
    Finding
        S140 no owner, S141 two owners, S142 an override against the wiring, S143 a setting left against it.
    """
    if not any(f.code == "W113" for f in s.wiring.findings):  # else the wiring has told it with its row
        yield from _by_mode(s)
    yield from _against_wiring(s, table)
    yield from _left_against_wiring(s, table)


def _by_mode(s: Situation) -> Iterator[Finding]:
    sheet, cell = s.drive.origin.sheet or "Drives", s.drive.origin.cell("tag")
    for mode in s.wiring.modes:
        if plain(mode.name) == "off":
            continue
        for what, owner in (("command", mode.command_owner), ("speed", mode.reference_owner)):
            if not owner:
                yield Finding(
                    "S140",
                    Grade.STOP,
                    sheet,
                    cell,
                    s.drive.tag,
                    f"nobody owns the {what} in mode {mode.name}",
                    "one owner",
                    "Add the scheme that gives it an owner on the sheet Controls.",
                )
    for function, what in _SOURCES:
        values: dict[str, set[str]] = {}
        for demand in s.demands_by_function.get(function, ()):
            values.setdefault(demand.applies_to, set()).add(demand.value)
        for mode_name, owners in sorted(values.items()):
            if len(owners) > 1:
                yield Finding(
                    "S141",
                    Grade.STOP,
                    sheet,
                    cell,
                    s.drive.tag,
                    f"two owners of the {what} in mode {mode_name or 'always'}: {' and '.join(sorted(owners))}",
                    "one owner in each mode",
                    "Give the schemes a mode each on the sheet Controls.",
                )


def _against_wiring(s: Situation, table: SettingsTable) -> Iterator[Finding]:
    for row in (*table.rows, *table.untouched):
        if row.function not in dict(_SOURCES) or row.source != "override":
            continue
        wanted = _wanted_instead(s, row, row.applies_to)
        if wanted:
            owner = "speed signal" if row.function == "reference_source" else "run contacts"
            yield Finding(
                "S142",
                Grade.CAUTION,
                s.drive.origin.sheet or "Drives",
                s.drive.origin.cell("tag"),
                s.drive.tag,
                f"{row.number} is overridden to {row.required_text}; the drive then ignores the {owner} "
                f"wired to it ({wanted})",
                f"{wanted}, or other wiring",
                "Take the override away, or change the control scheme.",
            )


def _left_against_wiring(s: Situation, table: SettingsTable) -> Iterator[Finding]:
    """Modes in which a setting that nobody overrides lets another owner have the say than the wiring."""
    for mode in s.wiring.modes:
        name = "" if mode.name == "always" else mode.name
        for function, what in _SOURCES:
            row = _row_for(table, function, name)
            wanted = _wanted_instead(s, row, name)
            if row is None or not wanted or row.source == "override":
                continue
            yield Finding(
                "S143",
                Grade.STOP,
                s.drive.origin.sheet or "Drives",
                s.drive.origin.cell("tag"),
                s.drive.tag,
                f"in mode {mode.name} the wiring gives the {what} to {wanted}, and {row.number} holds "
                f"{row.required_text or row.required}",
                f"{row.number} at {wanted} in this mode",
                "Say in 'Applies to' of the sheet Settings which mode each source belongs to, or override the setting.",
            )
