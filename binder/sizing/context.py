"""What a topic function is given, and how it turns cells into figures with provenance.

A topic is a function `figures(context) -> Iterator[Figure | Finding]`. It asks a `Needs` for the
values that one figure rests on; a blank cell makes the figure 'not judged', never a default.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from binder.engineering.figure import Figure, Figures, Input, Rule, display
from binder.engineering.ranges import OutOfRangeError
from binder.engineering.tables import OutsideTableError
from binder.inventory.columns import Column, column_of, heading_of, spoken
from binder.inventory.findings import Finding, Grade
from binder.inventory.quantities import Measure
from binder.inventory.records import (
    Cable,
    Drive,
    DriveModel,
    Inventory,
    Machine,
    Motor,
    Panel,
    Site,
    Supply,
)

#: A record that is not there is missing because of this cell of the drive.
_NAMED_BY = {"motor": "motor", "machine": "machine", "model": "model", "panel": "panel", "supply": "panel"}
#: Row whose lack leaves a record out.
_ROW_WANTED = {
    "motor": "a row of the sheet Motors", "machine": "a row of the sheet Machines",
    "model": "a row of the sheet Models", "panel": "a row of the sheet Panels", "supply": "a row of the sheet Supplies",
    "line_cable": "a row of the sheet Cables for this drive with the role line",
    "motor_cable": "a row of the sheet Cables for this drive with the role motor",
}  # fmt: skip
#: Record class behind each kind, for the words of a record that is not there.
_RECORDS: dict[str, type] = {
    "drive": Drive, "motor": Motor, "machine": Machine, "model": DriveModel, "panel": Panel, "supply": Supply,
    "line_cable": Cable, "motor_cable": Cable, "site": Site,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Context:
    """One drive with everything that belongs to it, and the figures found so far.

    `figures` grows while the topics run, in the order of `sizing.topics.DRIVE_TOPICS`.
    """

    inventory: Inventory
    drive: Drive
    motor: Motor | None
    machine: Machine | None
    model: DriveModel | None
    panel: Panel | None
    supply: Supply | None
    line_cable: Cable | None
    motor_cable: Cable | None
    site: Site
    figures: Mapping[str, Figure]
    #: (cell, name of the input) -> its column, and whether the sheet has that column.
    columns: dict[tuple[str, str], tuple[Column, bool]] = field(default_factory=dict, repr=False, compare=False)
    lacking: dict[str, str] = field(default_factory=dict, repr=False, compare=False)  # input -> row that it asks for
    _inputs: dict[tuple[str, str, str], tuple[float, Input]] = field(default_factory=dict, repr=False, compare=False)

    @property
    def iec(self) -> bool:
        """True when the Site sheet chooses the IEC basis."""
        return self.site.code_basis == "IEC"

    def needs(self) -> Needs:
        """Start collecting the values of one figure."""
        return Needs(self)

    def number(self, key: str) -> float | None:
        """A figure's number, or None when it is absent, not judged or a word."""
        figure = self.figures.get(key)
        return figure.value if figure is not None and isinstance(figure.value, float | int) else None

    def absent(self, kind: str) -> tuple[Any, str]:
        """Return record and field of the cell because of which a record is not there."""
        if kind == "supply" and self.panel is not None:
            return self.panel, "supply"
        return self.drive, _NAMED_BY.get(kind, "tag")

    def finding(
        self, code: str, grade: Grade, at: tuple[str, str], *, found: str, accepted: str, remedy: str
    ) -> Finding:
        """Address a finding to the cell of `at` = (kind, field); its tag is the drive's."""
        kind, name = at
        record = getattr(self, kind)
        if record is None:
            record, name = self.absent(kind)
        return self.finding_at(code, grade, record, name, found=found, accepted=accepted, remedy=remedy)

    def finding_at(
        self, code: str, grade: Grade, record: Any, name: str, *, found: str, accepted: str, remedy: str
    ) -> Finding:
        """Address a finding to a cell of any record; its tag is the drive's."""
        origin = record.origin
        heading = heading_of(type(record), name)
        return Finding(code, grade, origin.sheet, origin.cell(name), self.drive.tag, found, accepted, remedy, heading)


class Needs:
    """The values one figure rests on, each with its cell, and the names of those lacking."""

    __slots__ = ("context", "inputs", "missing")

    def __init__(self, context: Context) -> None:
        self.context = context
        self.inputs: list[Input] = []
        self.missing: list[str] = []

    def of(self, kind: str, name: str, unit: str = "") -> float:
        """Return a number of the record `kind` in `unit`; NaN, and noted as missing, when blank.

        Parameters
        ----------
        kind : str
            'drive', 'motor', 'machine', 'model', 'panel', 'supply', 'line_cable', 'motor_cable' or 'site'.
        name : str
            Field of that record.
        unit : str
            Key of `PINT_NAMES`; '' for a pure number.
        """
        cached = self.context._inputs.get((kind, name, unit))
        if cached is None:
            cached = self._read(kind, name, unit)
            self.context._inputs[kind, name, unit] = cached
        value, given = cached
        self.inputs.append(given)
        if given.value is None:
            self.missing.append(given.name)
        return value

    def _read(self, kind: str, name: str, unit: str) -> tuple[float, Input]:
        label = label_of(kind, name)
        record = getattr(self.context, kind)
        if record is None:
            self.lacks(kind, label)
            return math.nan, self.input(label, None, unit, self.context.absent(kind))
        raw = getattr(record, name)
        value = _plain(raw, unit)
        return (math.nan if value is None else value), self.input(label, value, unit, (record, name))

    def lacks(self, kind: str, label: str) -> None:
        """Note which row of the workbook an input waits for."""
        self.context.lacking[label] = _ROW_WANTED.get(kind, "")

    def input(self, label: str, value: float | str | None, unit: str, at: tuple[Any, str]) -> Input:
        """Make the input that a cell gives, `at` = (record, field); of a blank one keep the column."""
        record, name = at
        cell, column = cell_of(record, name), column_of(type(record), name)
        if value is None and cell and column is not None:
            self.context.columns[cell, label] = column, name in record.origin.cells
        return Input(label, value, unit, cell)

    def record(self, record: Any, label: str, name: str, unit: str) -> float:
        """Return a number of a record that belongs to no one kind, as a control or a cable; NaN when blank."""
        value = _plain(getattr(record, name), unit)
        title = f"{label} {spoken(type(record), name)}"
        self.inputs.append(self.input(title, value, unit, (record, name)))
        if value is None:
            self.missing.append(title)
            return math.nan
        return value

    def blank(self, label: str, record: Any, name: str) -> None:
        """Note that a value is lacking because a cell of this record is blank."""
        self.inputs.append(self.input(label, None, "", (record, name)))
        self.missing.append(label)

    def first_of(self, *choices: tuple[str, str], unit: str = "") -> float:
        """Return the first of several fields that is filled; when none is, the first counts as missing."""
        for kind, name in choices:
            record = getattr(self.context, kind)
            if record is not None and getattr(record, name) is not None:
                return self.of(kind, name, unit)
        return self.of(*choices[0], unit)

    def word(self, kind: str, name: str) -> str:
        """Return a word of the record `kind`; '' and noted as missing when blank."""
        record = getattr(self.context, kind)
        text = "" if record is None else str(getattr(record, name))
        label = label_of(kind, name)
        if record is None:
            self.lacks(kind, label)
        at = self.context.absent(kind) if record is None else (record, name)
        self.inputs.append(self.input(label, text or None, "", at))
        if not text:
            self.missing.append(label)
        return text

    def figure_of(self, key: str) -> float:
        """Return the number of a figure found earlier; NaN, and noted as missing, when not judged."""
        figure = self.context.figures.get(key)
        value = figure.value if figure is not None and isinstance(figure.value, float | int) else None
        unit = figure.unit if figure is not None else ""
        self.inputs.append(Input(figure.name if figure is not None else key, value, unit, key))
        if value is None:
            self.missing.extend(figure.missing if figure is not None and figure.missing else (key,))
            return math.nan
        return float(value)

    def state(self, name: str, value: float, unit: str = "", origin: str = "") -> float:
        """State a number taken from elsewhere (a table, a rule's constant) as an input."""
        self.inputs.append(Input(name, value, unit, origin))
        return value

    def figure(
        self,
        key: str,
        name: str,
        compute: Callable[[], float | str],
        unit: str,
        rule: Rule,
        *,
        limit: str = "",
        within: Callable[[Any], bool] | None = None,
        note: str = "",
    ) -> Figure:
        """Make the figure; not judged when anything is missing or lies outside the formula or table.

        Parameters
        ----------
        key, name, unit, rule, limit, note
            As in `Figure`.
        compute : callable
            Called only when nothing is missing.
        within : callable, optional
            Given the value, tells whether it is within the limit.
        """
        inputs = tuple(self.inputs)
        missing = tuple(dict.fromkeys(self.missing))
        if missing:
            return Figure(key, name, None, unit, rule, inputs, verdict="not judged", missing=missing)
        try:
            value = compute()
        except (OutOfRangeError, OutsideTableError) as error:
            return Figure(key, name, None, unit, rule, inputs, verdict="not judged", note=str(error))
        verdict = "" if within is None else "within" if within(value) else "outside"
        return Figure(key, name, value, unit, rule, inputs, limit, verdict, (), note)


@dataclass(frozen=True, slots=True)
class SiteContext:
    """The site with the figures of every drive, for `figures(context)` of the site topics."""

    inventory: Inventory
    site: Site
    drives: Mapping[str, Figures]  # drive tag -> its figures
    figures: Mapping[str, Figure]
    #: (cell, name of the input) -> its column, and whether the sheet has that column.
    columns: dict[tuple[str, str], tuple[Column, bool]] = field(default_factory=dict, repr=False, compare=False)
    lacking: dict[str, str] = field(default_factory=dict, repr=False, compare=False)  # input -> row that it asks for

    @property
    def iec(self) -> bool:
        """True when the Site sheet chooses the IEC basis."""
        return self.site.code_basis == "IEC"


def label_of(kind: str, name: str) -> str:
    """Name a value by its record and the title of its column.

    Examples
    --------
    >>> label_of("motor", "current"), label_of("line_cable", "size")
    ('motor rated current', 'line cable size')
    >>> label_of("panel", "tag")
    'panel'
    """
    words, title = kind.replace("_", " "), spoken(_RECORDS[kind], name)
    return title if f"{title} ".startswith(f"{words} ") else f"{words} {title}"


def cell_of(record: Any, name: str) -> str:
    """Return 'Motors!F4' for a field of a record; '' when it came from no workbook."""
    origin = record.origin
    return f"{origin.sheet}!{origin.cell(name)}" if origin.sheet else ""


def _plain(raw: object, unit: str) -> float | None:
    if isinstance(raw, Measure):
        return raw.to(unit) if raw.measures(unit) else None
    if isinstance(raw, Decimal | int | float):
        return float(raw)
    return None


def at_most(limit: float, unit: str, why: str = "") -> str:
    """Word an upper limit; '' when the limit is not known."""
    return "" if math.isnan(limit) else f"<= {display(limit)} {unit}{', ' if why else ''}{why}"


def at_least(limit: float, unit: str, why: str = "") -> str:
    """Word a lower limit; '' when the limit is not known."""
    return "" if math.isnan(limit) else f">= {display(limit)} {unit}{', ' if why else ''}{why}"


def not_above(limit: float) -> Callable[[float], bool] | None:
    """Judge by an upper limit; None (no verdict) when the limit is not known."""
    return None if math.isnan(limit) else lambda value: value <= limit * (1.0 + 1e-9)


def not_below(limit: float) -> Callable[[float], bool] | None:
    """Judge by a lower limit; None (no verdict) when the limit is not known."""
    return None if math.isnan(limit) else lambda value: value >= limit * (1.0 - 1e-9)
