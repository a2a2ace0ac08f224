"""The Lists sheet: the choices of the workbook, each list in its own column under a name."""

from __future__ import annotations

from binder.inventory.columns import SHEETS
from binder.inventory.declarations import Column, Sheet

YES_NO = ("yes", "no")


def choices_of(column: Column) -> tuple[str, ...]:
    """Return the words a person may choose from in this column."""
    return YES_NO if column.kind == "yes/no" else column.choices


def all_lists() -> dict[tuple[str, ...], tuple[str, str]]:
    """Return choices -> (defined name, heading), each list once, in the order of the sheets.

    Examples
    --------
    >>> all_lists()[("yes", "no")]
    ('list_invented_site', 'Invented site, ...')
    """
    users: dict[tuple[str, ...], list[tuple[Sheet, Column]]] = {}
    for sheet in SHEETS:
        for column in sheet.columns:
            if choices_of(column):
                users.setdefault(choices_of(column), []).append((sheet, column))
    named: dict[tuple[str, ...], tuple[str, str]] = {}
    taken: set[str] = set()
    for choices, places in users.items():
        title = places[0][1].title
        base = "list_" + "".join(c if c.isalnum() else "_" for c in title.casefold())
        name = base
        while name in taken:
            name = f"{base}_{places[0][0].name.casefold().replace(' ', '_')}"
        taken.add(name)
        named[choices] = (name, title if len({c.title for _, c in places}) == 1 else f"{title}, ...")
    return named
