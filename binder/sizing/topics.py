"""Run the topics over a drive and over the site, in order, and gather figures and findings."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from types import MappingProxyType

from binder.engineering.figure import Figure, Figures
from binder.inventory.columns import Column
from binder.inventory.findings import Finding, Grade, ordered
from binder.inventory.lookup import cable_of, is_refused, machine_of, model_of, motor_of, panel_of, supply_of
from binder.inventory.records import Drive, Inventory
from binder.inventory.report import legal
from binder.sizing import (
    cable_side,
    dead_tests,
    drive_side,
    enclosure_side,
    harmonic_side,
    load_side,
    motion,
    motor_side,
    ramps_and_braking,
    signals,
    site_wide,
    supply_side,
)
from binder.sizing.context import Context, SiteContext

#: Topics of one drive, in the order of computation: a topic may use figures of those before it.
DRIVE_TOPICS: tuple[Callable[[Context], Iterator[Figure | Finding]], ...] = (
    motor_side.figures,
    enclosure_side.figures,
    drive_side.figures,
    supply_side.figures,
    cable_side.figures,
    harmonic_side.figures,
    motion.figures,
    ramps_and_braking.figures,
    load_side.figures,
    signals.figures,
    dead_tests.figures,
)

#: Topics of the site.
SITE_TOPICS: tuple[Callable[[SiteContext], Iterator[Figure | Finding]], ...] = (site_wide.figures,)

#: Figures of a drive that the site's figures are made from, see `site_load` and `site_harmonics`.
SITE_KEYS = (
    "line.current",
    "line.protection",
    "drop.line",
    "harmonics.fundamental",
    "harmonics.reactance",
    "harmonics.thdi",
)

#: A blank cell behind one of these needs somebody's attention; behind any other it is a note.
_ESSENTIAL = frozenset({"motor.slip", "motor.rated_torque", "rating.margin", "bus.no_load", "overload.setting"})


def drive_figures(inventory: Inventory, drive: Drive) -> tuple[Figures, tuple[Finding, ...]]:
    """Compute every figure of one drive.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
        One of `inventory.drives`.

    Returns
    -------
    figures : Figures
        In the order of computation; a figure whose data are missing has value None.
    findings : tuple of Finding
        Worst first: limits missed (with a remedy) and blank cells that left figures not judged.
    """
    so_far: dict[str, Figure] = {}
    context = Context(
        inventory=inventory,
        drive=drive,
        motor=motor_of(inventory, drive),
        machine=machine_of(inventory, drive),
        model=model_of(inventory, drive),
        panel=panel_of(inventory, drive),
        supply=supply_of(inventory, drive),
        line_cable=cable_of(inventory, drive, "line"),
        motor_cable=cable_of(inventory, drive, "motor"),
        site=inventory.site,
        figures=MappingProxyType(so_far),
    )
    findings = _collect((topic(context) for topic in DRIVE_TOPICS), so_far)
    findings.extend(_blank_cells(so_far.values(), drive.tag, context))
    return Figures(tuple(so_far.values())), ordered(findings)


def site_figures(inventory: Inventory, drives: Mapping[str, Figures]) -> tuple[Figures, tuple[Finding, ...]]:
    """Compute every figure of the site from the figures of its drives.

    Parameters
    ----------
    inventory : Inventory
    drives : mapping of str to Figures
        Drive tag -> what `drive_figures` gave.

    Returns
    -------
    figures : Figures
    findings : tuple of Finding
    """
    so_far: dict[str, Figure] = {}
    context = SiteContext(inventory, inventory.site, drives, MappingProxyType(so_far))
    findings = _collect((topic(context) for topic in SITE_TOPICS), so_far)
    findings.extend(_blank_cells(so_far.values(), "", context))
    return Figures(tuple(so_far.values())), ordered(findings)


def _collect(topics: Iterable[Iterable[Figure | Finding]], so_far: dict[str, Figure]) -> list[Finding]:
    findings = []
    for topic in topics:
        for item in topic:
            if isinstance(item, Finding):
                findings.append(item)
            elif item.key in so_far:
                raise ValueError(f"two figures share the key {item.key}")
            else:
                so_far[item.key] = item
    return findings


def _blank_cells(figures: Iterable[Figure], tag: str, context: Context | SiteContext) -> Iterator[Finding]:
    """One finding a blank cell, or a row that is not there, naming the figures that it left not judged."""
    waiting: dict[tuple[str, str, str], tuple[dict[str, None], dict[str, Figure]]] = {}
    for figure in figures:
        if figure.value is None:
            for given in figure.inputs:
                if given.value is None and "!" in given.origin:
                    column, _ = context.columns.get((given.origin, given.name), (None, True))
                    heading = column.header if column is not None else given.name
                    row = context.lacking.get(given.name, "")
                    if row and column is not None and column.target:
                        row = f"a row of the sheet {column.target}"
                    key = (given.origin, heading, row)
                    names, left = waiting.setdefault(key, ({}, {}))
                    names[given.name] = None
                    left[figure.key] = figure
    for (origin, heading, row), (names, left) in waiting.items():
        sheet, _, cell = origin.partition("!")
        column, present = context.columns.get((origin, next(iter(names))), (None, True))
        own = present and (not row or (column is not None and column.target))  # not merely told at this cell
        if own and is_refused(context.inventory, sheet, cell):
            continue  # one fault, told by the reader: what it leaves open is seen at the figures
        accepted, remedy = _asked(column, heading, row, present=present)
        yield Finding(
            "E100",
            Grade.CAUTION if left.keys() & _ESSENTIAL else Grade.NOTE,
            sheet,
            cell,
            tag,
            f"not given: {', '.join(names)}; not judged: {', '.join(f.name for f in left.values())}",
            accepted,
            remedy,
            heading if column is not None else "",
        )


def _asked(column: Column | None, heading: str, row: str, *, present: bool) -> tuple[str, str]:
    """What is accepted and what to do: name or add a row, add a column, or fill the cell."""
    if row:
        return row, f"Name {row} here." if column is not None and column.target else f"Add {row}."
    if column is None:
        return "", "Fill the cell."
    fill = "Fill or correct the cell." if present else f"Add the column {heading} to the sheet and fill it."
    return legal(column), f"{fill} {column.help}".strip()
