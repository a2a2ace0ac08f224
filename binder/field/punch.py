"""The punch list of a drive: what people wrote, and what failing readings put there by themselves."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from binder.field.sheets import TestLine
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import fold
from binder.inventory.records import Defeat, Drive, Inventory, PunchItem


def defeats_of(inventory: Inventory, drive: Drive) -> tuple[Defeat, ...]:
    """Everything temporarily defeated on a drive, open ones first."""
    own = [d for d in inventory.defeats if fold(d.drive) == fold(drive.tag)]
    return tuple(sorted(own, key=lambda d: (d.cleared is not None, str(d.applied or ""), d.text)))


def item_number(drive: Drive, line: TestLine) -> str:
    """Number of the item that a failing line makes: drive and line, so that it is the same every time."""
    return f"{drive.tag}:{line.id}"


def punch_items(
    inventory: Inventory, drive: Drive, lines: Sequence[TestLine]
) -> tuple[tuple[PunchItem, ...], tuple[Finding, ...]]:
    """List the punch items of a drive.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
    lines : sequence of TestLine
        Judged.

    Returns
    -------
    items : tuple of PunchItem
        Open ones first, A before B before C. A failing line makes an item; the workbook may name
        its owner and day under the same number, or under its own when its text names the line. A blank
        severity counts as A.
    findings : tuple of Finding
        Items closed on paper while their line still fails.
    """
    written = {p.number: p for p in inventory.punch_items if fold(p.drive) == fold(drive.tag)}
    findings: list[Finding] = []
    made: dict[str, PunchItem] = dict(written)
    for line in lines:
        if line.verdict != "fail":
            continue
        number, known = _written_for(written, drive, line)
        if known is not None and known.closed is not None:
            findings.append(_closed_too_early(known, line, drive))
        made[number] = PunchItem(
            number=number,
            drive=drive.tag,
            text=f"{line.id} {line.what}: {line.reading}, limit {line.limit}",
            severity=line.severity,
            owner=known.owner if known else "",
            due=known.due if known else None,
            origin=known.origin if known else PunchItem(number).origin,
        )
    return tuple(sorted(made.values(), key=_order)), tuple(findings)


def _written_for(written: Mapping[str, PunchItem], drive: Drive, line: TestLine) -> tuple[str, PunchItem | None]:
    """The item that the workbook has for a line already: by its number, else by an open text that names the line."""
    number = item_number(drive, line)
    if number in written:
        return number, written[number]
    names = re.compile(rf"(?<![\w.]){re.escape(line.id)}(?![\w]|\.\w)")
    for item in written.values():
        if item.closed is None and names.search(item.text):
            return item.number, item
    return number, None


def _order(item: PunchItem) -> tuple[bool, str, str]:
    return (item.closed is not None, item.severity or "A", item.number)


def _closed_too_early(item: PunchItem, line: TestLine, drive: Drive) -> Finding:
    return Finding(
        code="F221",
        grade=Grade.STOP if line.severity == "A" else Grade.CAUTION,
        sheet=item.origin.sheet or "Punch list",
        cell=item.origin.cell("closed"),
        tag=drive.tag,
        found=f"item {item.number} is closed, but its last reading still fails: {line.reading}",
        accepted=f"a reading within {line.limit}",
        remedy="Test again and add the reading; the item then closes by itself.",
        column="closed",
    )


def defeat_findings(defeats: Iterable[Defeat], drive: Drive) -> tuple[Finding, ...]:
    """A caution for every defeat that is still open, and for one cleared by nobody."""
    found = []
    for d in defeats:
        sheet = d.origin.sheet or "Defeats"
        if d.cleared is None:
            found.append(
                Finding(
                    code="F230",
                    grade=Grade.CAUTION,
                    sheet=sheet,
                    cell=d.origin.cell("cleared"),
                    tag=drive.tag,
                    found=f"still defeated: {d.text}{' at ' + d.place if d.place else ''}",
                    accepted="the day it was undone and read back",
                    remedy="Undo it, read back, fill the day and the name.",
                    column="cleared",
                )
            )
        elif not d.cleared_by:
            found.append(
                Finding(
                    code="F231",
                    grade=Grade.CAUTION,
                    sheet=sheet,
                    cell=d.origin.cell("cleared_by"),
                    tag=drive.tag,
                    found=f"cleared by nobody: {d.text}",
                    accepted="a name",
                    remedy="Write who undid it.",
                    column="cleared_by",
                )
            )
    return tuple(found)
