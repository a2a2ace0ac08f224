"""Findings as text for a terminal: the cell first, then what was found, accepted, and how to mend it."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from binder.field.sheets import GATES
from binder.inventory.counting import counted
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import controls_of
from binder.study import SiteStudy
from binder.wiring.schedules import wire_list

_WIDTH = 96
_DRIVES_TOLD = 20


def findings_text(findings: Sequence[Finding], workbook: str) -> str:
    """Word findings one block each, alike ones together, with a count at the end.

    Parameters
    ----------
    findings : sequence of Finding
        In the order to print.
    workbook : str
        File name printed before each cell.

    Returns
    -------
    str
    """
    alike: dict[tuple[str, ...], list[Finding]] = {}
    for f in findings:
        alike.setdefault((f.code, f.sheet, f.column, f.found, f.accepted, f.remedy, f.waived), []).append(f)
    return "\n\n".join([*(_block(group, workbook) for group in alike.values()), count_text(findings)])


def count_text(findings: Sequence[Finding]) -> str:
    """Count findings by grade: '1 stop (waived), 2 cautions, 5 notes.'"""
    stops = [f for f in findings if f.grade is Grade.STOP]
    waived = sum(bool(f.waived) for f in stops)
    cautions = sum(f.grade is Grade.CAUTION for f in findings)
    notes = sum(f.grade is Grade.NOTE for f in findings)
    stop_text = _plural(len(stops) - waived, "open stop")
    if waived:
        stop_text += f", {_plural(waived, 'waived stop')}"
    return f"{stop_text}, {_plural(cautions, 'caution')}, {_plural(notes, 'note')}."


def settings_text(study: SiteStudy) -> str:
    """Say function by function what each drive is set to and where the value came from.

    Parameters
    ----------
    study : SiteStudy

    Returns
    -------
    str
        A block a drive: what is written, in writing order, then what stays at default.
    """
    lines: list[str] = []
    for s in study.drives:
        lines += ["", f"{s.drive.tag}  {s.settings.model}"]
        for row in (*s.settings.rows, *s.settings.untouched):
            function = " ".join(filter(None, (row.function.replace("_", " ") or row.name, row.applies_to)))
            value = " ".join(filter(None, (row.required, row.unit)))
            if row.required_text and row.required_text != row.required:
                value = f"{value} ({row.required_text})"
            told = row.reason if row.source == "default" else f"{row.source}: {row.reason}"
            lines.append(f"  {row.step or '-':>3}  {row.number:<6} {function:<34} {value:<26} {told}")
    return "\n".join(lines)


def connections_text(study: SiteStudy) -> str:
    """Say wire by wire what each drive's control wiring joins.

    Parameters
    ----------
    study : SiteStudy

    Returns
    -------
    str
        A block a drive, in the order of its wire list.
    """
    lines: list[str] = []
    for s in study.drives:
        lines += ["", f"{s.drive.tag}  drive {s.wiring.designation}"]
        if not s.wiring.connections:
            rows = controls_of(study.inventory, s.drive)
            why = "its rows on the sheet Controls make none" if rows else "the sheet Controls has no row of it"
            lines.append(f"  no connection: {why}")
        for wire in wire_list(s.wiring):
            core = f"{wire.cable} {wire.core}".strip()
            made = " ".join(filter(None, (core, wire.colour, wire.size)))
            joined = f"{wire.from_end} to {wire.to_end}"
            told = f"{wire.status}: {wire.reason}" if wire.status and wire.reason else wire.status or wire.scheme
            lines.append(f"  {wire.number or '-':>4}  {joined:<34} {wire.kind:<7} {made:<24} {told}".rstrip())
    return "\n".join(lines)


def open_text(study: SiteStudy) -> str:
    """Say what is still open, drive by drive: open points before each gate, and open stops.

    Parameters
    ----------
    study : SiteStudy

    Returns
    -------
    str
        The drives with most stops first, at most twenty of them; then how many gates may be signed.
    """
    if not study.drives:
        return ""
    stops = {s.drive.tag: 0 for s in study.drives}
    for f in study.findings:
        if f.grade is Grade.STOP and not f.waived and f.tag in stops:
            stops[f.tag] += 1
    rows = [(s.drive.tag, [stops[s.drive.tag], *(len(g.blocked_by) for g in s.field.gates)]) for s in study.drives]
    rows.sort(key=lambda row: [-n for n in row[1]])
    wide = max(len("Drive"), *(len(tag) for tag, _ in rows[:_DRIVES_TOLD]))
    heads = ("open stops", *GATES)
    lines = ["Open points before each gate:", f"  {'Drive':<{wide}}  " + "  ".join(heads)]
    for tag, numbers in rows[:_DRIVES_TOLD]:
        cells = (f"{n or '-':>{len(h)}}" for h, n in zip(heads, numbers, strict=True))
        lines.append(f"  {tag:<{wide}}  " + "  ".join(cells))
    if len(rows) > _DRIVES_TOLD:
        lines.append(f"  and {len(rows) - _DRIVES_TOLD} more drives; all of them stand in the handover document")
    earned = [sum(not numbers[i] for _, numbers in rows) for i in range(1, len(heads))]
    told = ", ".join(f"'{name}' {n}" for name, n in zip(GATES, earned, strict=True))
    lines.append(f"Nothing in the way of a signature, of {counted(len(rows), 'drive')}: {told}.")
    return "\n".join(lines)


def _plural(number: int, word: str) -> str:
    return f"{number or 'no'} {word}{'' if number == 1 else 's'}"


def _block(group: Sequence[Finding], workbook: str) -> str:
    """One finding, or several that differ in cell and tag alone."""
    first = group[0]
    place = f"{first.sheet}!{first.cell}" if first.cell else first.sheet.removeprefix(workbook)
    head = "  ".join(x for x in dict.fromkeys((workbook, place, first.tag, first.column)) if x)
    lines = [f"{head:<{_WIDTH - 14}} {first.grade:>7} {first.code}"]
    also = ", ".join(f"{f.cell} {f.tag}".strip() for f in group[1:])
    for label, text in (
        ("also at", also),
        ("found", first.found),
        ("accepted", first.accepted),
        ("mend", first.remedy),
        ("waived", first.waived),
    ):
        if text:
            lines += textwrap.wrap(text, _WIDTH, initial_indent=f"  {label:<10} ", subsequent_indent=" " * 13)
    return "\n".join(lines)
