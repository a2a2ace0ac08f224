"""Take the maps of drive models over from another project's workbook; nothing else is touched."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from binder.errors import OutputError
from binder.inventory.cells_text import nearest
from binder.inventory.checks import check_names, resolve_references
from binder.inventory.cleaning import CellError
from binder.inventory.columns import sheet_named
from binder.inventory.findings import Finding, Grade, ordered
from binder.inventory.patch import Value
from binder.inventory.quantities import Measure
from binder.inventory.records import DriveModel
from binder.inventory.report import finding_of
from binder.inventory.results import append_to_sheets
from binder.inventory.rows import read_sheet
from binder.inventory.site_sheet import decimal_mark_of
from binder.inventory.writing import OpenWorkbook, open_workbook

#: Sheets that hold the map of a model; each names it in its column Model.
MAP_SHEETS = ("Models", "Derating", "Terminals", "Settings", "Fault codes")


@dataclass(frozen=True, slots=True)
class TakenModels:
    """What was taken over, and what was not and why.

    Parameters
    ----------
    models : tuple of str
    rows : mapping of str to int
        Sheet -> rows added.
    findings : tuple of Finding
        Of the other workbook: rows that cannot be read, and models that are here already.
    """

    models: tuple[str, ...]
    rows: Mapping[str, int]
    findings: tuple[Finding, ...]

    def count_text(self) -> str:
        """One line for the terminal."""
        if not self.models:
            return "No model was taken; the workbook is as it was."
        counts = ", ".join(f"{name} {count}" for name, count in self.rows.items() if count)
        return f"Taken: {', '.join(self.models)}. Rows added: {counts}."


@dataclass(frozen=True, slots=True)
class _Maps:
    """These sheets of one workbook, read."""

    opened: OpenWorkbook
    mark: str
    records: Mapping[str, list[Any]]
    findings: tuple[Finding, ...]

    @property
    def models(self) -> dict[str, DriveModel]:
        return {m.model: m for m in self.records["Models"]}

    @property
    def named(self) -> frozenset[str]:
        """Models that any row names, in small letters: half a map here would be mixed with the other."""
        return frozenset(r.model.casefold() for rows in self.records.values() for r in rows)


def import_models(path: Path, source: Path, names: Sequence[str] = ()) -> TakenModels:
    """Add the maps of drive models of another workbook below the rows of this one.

    Parameters
    ----------
    path : Path
        The workbook that gets them.
    source : Path
        The workbook that has them; it is only read.
    names : sequence of str
        Models to take, all when empty. A model that one of them names under 'Same as' comes along.

    Returns
    -------
    TakenModels

    Raises
    ------
    OutputError
        A workbook cannot be read or written, there is no such model, or a column is missing here.

    Notes
    -----
    A model comes whole or not at all: of one that is here already, or that has a row with a stop
    in the other workbook, nothing is taken, and a finding says so.
    """
    here, there = _read(path), _read(source)
    wanted = _wanted(there.models, names, source.name)
    already = [m for m in wanted if m.casefold() in here.named]
    stops = [f for f in there.findings if f.grade is Grade.STOP and (f.tag in wanted or not f.tag)]
    faulty = {f.tag for f in stops}
    whole = "" not in faulty  # a stop that names no row may be in any of them
    taken = tuple(m for m in wanted if whole and m not in already and m not in faulty)
    rows = {name: list(_rows(name, here, there, taken)) for name in MAP_SHEETS}
    if taken:
        append_to_sheets(path, rows, expected_digest=here.opened.package.digest)
    findings = ordered([*stops, *(_already(there.models[m]) for m in already)])
    return TakenModels(taken, {name: len(r) for name, r in rows.items() if taken}, findings)


def _read(path: Path) -> _Maps:
    try:
        opened = open_workbook(path)
    except CellError as error:
        raise OutputError(f"{path} cannot be read: {error}", "Name an inventory workbook.") from error
    site = opened.sheets.get("Site")
    mark = decimal_mark_of(site[0] if site else None, sheet_named("Site"))
    records: dict[str, list[Any]] = {name: [] for name in MAP_SHEETS}
    findings: list[Finding] = []
    for name in MAP_SHEETS:
        if name in opened.sheets:
            reading = read_sheet(opened.sheets[name][0], sheet_named(name), decimal_mark=mark)
            records[name] = reading.records
            findings += reading.findings
    findings += [*resolve_references(records), *check_names(records)]
    return _Maps(opened, mark, records, tuple(findings))


def _wanted(models: Mapping[str, DriveModel], names: Sequence[str], source: str) -> tuple[str, ...]:
    """Models to take in the order of their sheet, with those whose map they share."""
    for name in names:
        if name not in models:
            offered = nearest(name, list(models)) or f"It has: {', '.join(models) or 'none'}."
            raise OutputError(f"{source} has no model {name}; nothing was written", offered)
    wanted = set(names) or set(models)
    waiting = sorted(wanted)
    while waiting:
        shared = models[waiting.pop()].same_as
        if shared in models and shared not in wanted:
            wanted.add(shared)
            waiting.append(shared)
    return tuple(m for m in models if m in wanted)


def _rows(name: str, here: _Maps, there: _Maps, taken: Sequence[str]) -> Iterator[dict[str, Value]]:
    """The rows of one sheet, each value as a person would type it here."""
    records = [r for r in there.records[name] if r.model in taken]
    if not records:
        return
    _, source_grid, source_headings = there.opened.sheet(name)
    filled = {f for f in source_headings.known for r in records if getattr(r, f) not in (None, "", ())}
    _refuse_missing(name, here.opened, filled)
    _, _, headings = here.opened.sheet(name)
    for record in records:
        row: dict[str, Value] = {}
        for field_name in sorted(filled):
            value = getattr(record, field_name)
            if isinstance(value, tuple) and value:
                # A list keeps the words it was typed in.
                cell = source_grid.rows[record.origin.row][source_headings.known[field_name].index]
                row[field_name] = str(cell.value)
            elif value not in ("", ()):
                row[field_name] = _typed(value, headings.known[field_name].unit, here.mark)
        yield row


def _refuse_missing(name: str, opened: OpenWorkbook, filled: set[str]) -> None:
    known = opened.sheets[name][1].known if name in opened.sheets else {}
    missing = [c.header for c in sheet_named(name).columns if c.field in filled and c.field not in known]
    if missing:
        what = f"the sheet {name}" if name not in opened.sheets else f"{', '.join(missing)} on the sheet {name}"
        raise OutputError(
            f"{opened.path.name} lacks {what}; nothing was written",
            f"Make a copy that has them: binder upgrade {opened.path.parent}",
        )


def _typed(value: Any, unit: str, mark: str) -> Value:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Measure):
        return value.amount if value.unit == unit else str(value).replace(".", mark or ".")
    return value if isinstance(value, str | int | Decimal) or value is None else str(value)


def _already(model: DriveModel) -> Finding:
    remedy = (
        "Nothing of it was taken. To renew it, first delete its rows on the sheets "
        f"{', '.join(MAP_SHEETS)} of this project."
    )
    error = CellError("B215", f"{model.model} is in this project already", "a model that is not here yet", remedy)
    return finding_of(error, sheet="Models", cell=model.origin.cell("model"), tag=model.model)
