"""What no single cell can tell: names that repeat, names that lead nowhere, values that cannot go together."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from typing import Any

from binder.inventory.cells_text import nearest
from binder.inventory.cleaning import CellError, show, skeleton
from binder.inventory.columns import SHEETS, sheet_named
from binder.inventory.declarations import Column, Sheet
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import fold, natural
from binder.inventory.records import Inventory, Motor, NetworkNode, Waiver
from binder.inventory.report import finding_of

#: Largest slip that a plate can show. Common practice, no source: small motors reach 10 to 13 %.
_MAX_SLIP = 0.15

#: Columns of one row whose values must ascend: (sheet, low, high, unit).
_ASCENDING = (
    ("Site", "outdoor_min", "outdoor_max", "°C"),
    ("Drives", "min_frequency", "max_frequency", "Hz"),
    ("Machines", "min_speed", "max_speed", "rpm"),
    ("Models", "min_voltage", "max_voltage", "V"),
    ("Models", "rated_ambient", "max_ambient", "°C"),
    ("Models", "rated_altitude", "max_altitude", "m"),
    ("Settings", "minimum", "maximum", ""),
)
#: Columns of one row that are of use only together.
_TOGETHER = (
    ("Supplies", "transformer_rating", "transformer_impedance"),
    ("Drives", "skip_frequency", "skip_width"),
    ("Drives", "brake_resistance", "brake_power"),
    ("Machines", "motor_sheave", "machine_sheave"),
    ("Settings", "opened_by", "opened_with"),
)
#: Columns of one row where the second date may not lie before the first.
_DATES = (("Warranty", "start", "end"), ("Defeats", "applied", "cleared"))


def apply_waivers(findings: Iterable[Finding], inventory: Inventory) -> tuple[Finding, ...]:
    """Mark the stops that the workbook waives, and tell the waivers that waive nothing.

    Parameters
    ----------
    findings : iterable of Finding
        Of all rooms.
    inventory : Inventory
        Its waivers count only with name, reason and date.

    Returns
    -------
    tuple of Finding
        Every finding, a waived one with the text of its waiver; order kept.
    """
    whole = [w for w in inventory.waivers if w.name and w.reason and w.date]
    used: set[Waiver] = set()
    marked: list[Finding] = []
    for finding in findings:
        waiver = next((w for w in whole if _waives(w, finding)), None)
        if waiver is None:
            marked.append(finding)
            continue
        used.add(waiver)
        marked.append(dataclasses.replace(finding, waived=f"{waiver.name}, {waiver.date}: {waiver.reason}"))
    for waiver in whole:
        if waiver not in used:
            remedy = "Delete the row, or mend the code and the tag; the stop it named is gone or has another code."
            error = CellError("B210", f"{waiver.code} {waiver.tag}".strip(), "the code and tag of an open stop", remedy)
            marked.append(_at("Waivers", waiver, "code", error))
    return tuple(marked)


def _waives(waiver: Waiver, finding: Finding) -> bool:
    if finding.grade is not Grade.STOP or fold(waiver.code) != fold(finding.code):
        return False
    return not waiver.tag or fold(waiver.tag) == fold(finding.tag)


def _at(sheet: str, record: Any, field: str, error: CellError, *, tag: str = "") -> Finding:
    declared = sheet_named(sheet)
    return finding_of(
        error,
        sheet=record.origin.sheet or sheet,
        cell=record.origin.cell(field),
        tag=tag or str(getattr(record, declared.key)),
        column=declared.column(field),
    )


def resolve_references(records: Mapping[str, list[Any]]) -> Iterator[Finding]:
    """Give every reference the spelling of what it names, and tell those that name nothing.

    Parameters
    ----------
    records : mapping of str to list
        Sheet name -> records; changed in place.

    Yields
    ------
    Finding
    """
    known: dict[str, dict[str, str]] = {}
    for sheet in SHEETS:
        tags = (str(getattr(r, sheet.key)) for r in records.get(sheet.name, ()))
        known[sheet.name] = {}
        for tag in tags:
            known[sheet.name].setdefault(fold(tag), tag)
    for sheet in SHEETS:
        columns = [c for c in sheet.columns if c.target]
        rows = records.get(sheet.name, [])
        for index, record in enumerate(rows) if columns else ():
            changes: dict[str, Any] = {}
            for column in columns:
                value = getattr(record, column.field)
                if not value:
                    continue
                named, lost = _resolved(value, known[column.target])
                if named != value:
                    changes[column.field] = named
                for word in lost:
                    yield _at(sheet.name, record, column.field, _dangling(word, column, known[column.target]))
            if changes:
                rows[index] = dataclasses.replace(record, **changes)


def _resolved(value: str | tuple[str, ...], known: Mapping[str, str]) -> tuple[str | tuple[str, ...], list[str]]:
    if isinstance(value, str):
        return known.get(fold(value), value), [] if fold(value) in known else [value]
    if len(value) == 1 and fold(value[0]) == "all" and "all" not in known:
        return tuple(sorted(known.values(), key=natural)), []
    return tuple(known.get(fold(v), v) for v in value), [v for v in value if fold(v) not in known]


def _dangling(word: str, column: Column, known: Mapping[str, str]) -> CellError:
    accepted = f"a row of the sheet {column.target}"
    offered = nearest(word, list(known.values()))
    remedy = offered or f"Type a name of the sheet {column.target}, or add a row there."
    return CellError("B122", show(word), accepted, remedy)


#: Sheets whose rows have figures and documents of their own, so that two of one tag cannot stand beside each other.
UPPER_ROW_COUNTS = ("Supplies", "Panels", "Drives")


def check_names(records: Mapping[str, Sequence[Any]]) -> Iterator[Finding]:
    """Tell names that repeat, differ in case only, or look alike."""
    for sheet in SHEETS:
        if sheet.unique:
            yield from _repeated(sheet, records.get(sheet.name, ()))


def _repeated(sheet: Sheet, rows: Sequence[Any]) -> Iterator[Finding]:
    groups: dict[tuple[str, ...], list[Any]] = {}
    for record in rows:
        names = tuple(fold(str(getattr(record, f))) for f in sheet.unique)
        groups.setdefault(names, []).append(record)
    mark = sheet.unique[-1]
    for group in groups.values():
        if len(group) > 1:
            for record in group:
                yield _at(sheet.name, record, mark, _twice(sheet, record, group))
    if len(sheet.unique) == 1 and sheet.column(mark).kind == "tag":
        yield from _look_alikes(sheet, [g[0] for g in groups.values()])


def _twice(sheet: Sheet, record: Any, group: Sequence[Any]) -> CellError:
    mark = sheet.unique[-1]
    others = ", ".join(r.origin.cell(mark) for r in group if r is not record)
    spelled = {str(getattr(r, mark)) for r in group}
    name = " ".join(str(getattr(record, f)) for f in sheet.unique)
    code = "B150" if len(spelled) == 1 else "B151"
    what = "also" if code == "B150" else "in another case"
    remedy = "Give one of them another name, or delete it."
    if sheet.name in UPPER_ROW_COUNTS:
        remedy = "Give one of them another name, or delete it; until then only the upper row counts."
    return CellError(code, f"{show(name)}, {what} in {others}", "each name once", remedy)


def distinct(rows: Sequence[Any]) -> list[Any]:
    """Rows of different tags; of equal ones the upper row."""
    kept: dict[str, Any] = {}
    for record in rows:
        kept.setdefault(fold(record.tag), record)
    return list(kept.values())


def _look_alikes(sheet: Sheet, rows: Sequence[Any]) -> Iterator[Finding]:
    by_shape: dict[str, list[Any]] = {}
    for record in rows:
        by_shape.setdefault(skeleton(str(getattr(record, sheet.key))), []).append(record)
    for group in by_shape.values():
        for record in group if len(group) > 1 else ():
            twin = next(r for r in group if r is not record)
            found = f"{getattr(record, sheet.key)}, and {getattr(twin, sheet.key)} in {twin.origin.cell(sheet.key)}"
            remedy = (
                "Check letters O, I and l against figures 0 and 1; if both are right, choose names told apart by eye."
            )
            yield _at(sheet.name, record, sheet.key, CellError("B152", found, "", remedy))


def check_values(inventory: Inventory) -> Iterator[Finding]:
    """Tell values of a row that cannot be true together.

    Parameters
    ----------
    inventory : Inventory

    Yields
    ------
    Finding
    """
    for motor in inventory.motors:
        yield from _plate(motor)
    yield from _ascending(inventory)
    yield from _together(inventory)
    yield from _dates(inventory)
    yield from _initials(inventory)
    yield from _addresses(inventory)
    yield from _drives(inventory)
    yield from _orphans(inventory)


def _rows(inventory: Inventory, sheet: str) -> tuple[Any, ...]:
    value = getattr(inventory, sheet_named(sheet).attribute)
    return value if isinstance(value, tuple) else (value,)


def _plate(motor: Motor) -> Iterator[Finding]:
    if motor.frequency is None or motor.speed is None or motor.permanent_magnet:
        return
    hertz, rpm = motor.frequency.to("Hz"), motor.speed.to("rpm")
    # n = 120 f / p; the plate lies a few percent below it (IEC 60034-1; common practice for the slip).
    pairs = max(1, int(60 * hertz / rpm + 1e-9))
    synchronous = 60 * hertz / pairs
    slip = 1 - rpm / synchronous
    if rpm > 60 * hertz * (1 + 1e-9) or slip > _MAX_SLIP:
        near = ", ".join(f"{60 * hertz / p:g}" for p in (1, 2, 3, 4))
        found = f"{motor.speed} at {motor.frequency}"
        accepted = f"a little below {near} rpm ..."
        remedy = "Read both from the plate again; a plate for another frequency has another speed."
        yield _at("Motors", motor, "speed", CellError("B201", found, accepted, remedy))
        return
    if motor.poles is not None and motor.poles != 2 * pairs:
        found = f"{motor.poles} poles with {motor.speed} at {motor.frequency}"
        remedy = "Correct the poles, the speed or the frequency."
        yield _at("Motors", motor, "poles", CellError("B202", found, f"{2 * pairs} poles", remedy))
    if motor.plate_voltages and motor.voltage is not None:
        plate = [float(v) for v in motor.plate_voltages.split("/")]
        if motor.voltage.to("V") not in plate:
            remedy = "Type the plate voltage that the links in the box are set for."
            error = CellError(
                "B213", f"{motor.voltage}, plate {motor.plate_voltages}", "a voltage of the plate", remedy
            )
            yield _at("Motors", motor, "voltage", error)


def _ascending(inventory: Inventory) -> Iterator[Finding]:
    for sheet, low, high, unit in _ASCENDING:
        for record in _rows(inventory, sheet):
            first, second = getattr(record, low), getattr(record, high)
            if first is None or second is None:
                continue
            below, above = (v.to(unit) if unit else float(v) for v in (first, second))
            if below > above:
                name = sheet_named(sheet).column(high).title
                error = CellError(
                    "B203", f"{first}, above {name} {second}", f"at most {second}", "Exchange or correct them."
                )
                yield _at(sheet, record, low, error)


def _together(inventory: Inventory) -> Iterator[Finding]:
    for sheet, one, other in _TOGETHER:
        for record in _rows(inventory, sheet):
            for given, missing in ((one, other), (other, one)):
                if getattr(record, given) and not getattr(record, missing):
                    title = sheet_named(sheet).column(missing).title
                    error = CellError(
                        "B204", f"{getattr(record, given)} without {title}", "both or none", f"Fill {title}."
                    )
                    yield _at(sheet, record, given, error)


def _dates(inventory: Inventory) -> Iterator[Finding]:
    for sheet, first, second in _DATES:
        for record in _rows(inventory, sheet):
            start, end = getattr(record, first), getattr(record, second)
            if start and end and end < start:
                yield _at(
                    sheet, record, second, CellError("B207", f"{end}, before {start}", "", "Correct one of the dates.")
                )
    issued = inventory.site.issue_date
    for sheet in ("Readings", "As left"):
        for record in _rows(inventory, sheet) if issued else ():
            if record.date is not None and issued is not None and record.date > issued:
                found = f"{record.date}, after the issue date {issued}"
                remedy = "Right if the work came after the issue; else correct the date."
                yield _at(sheet, record, "date", CellError("B206", found, f"up to {issued}", remedy))


def _initials(inventory: Inventory) -> Iterator[Finding]:
    known = {fold(p.initials) for p in inventory.people if p.initials}
    for sheet in ("Readings", "As left"):
        for record in _rows(inventory, sheet):
            if record.initials and fold(record.initials) not in known:
                remedy = "Add the person with these initials to the sheet People."
                error = CellError("B208", show(record.initials), "initials of the sheet People", remedy)
                yield _at(sheet, record, "initials", error)


def _shared(rows: Iterable[Any], names: Callable[[Any], tuple[str, ...]]) -> Iterator[tuple[Any, list[Any]]]:
    groups: dict[tuple[str, ...], list[Any]] = {}
    for record in rows:
        if all(names(record)):
            groups.setdefault(tuple(fold(n) for n in names(record)), []).append(record)
    for group in groups.values():
        for record in group if len(group) > 1 else ():
            yield record, [r for r in group if r is not record]


def _addresses(inventory: Inventory) -> Iterator[Finding]:
    for field in ("address", "ip_address"):
        pairs = _shared(inventory.networks, partial(_address, field))
        for node, others in pairs:
            found = f"{getattr(node, field)}, also {', '.join(o.drive for o in others)}"
            error = CellError("B209", found, "each address once on a network", "Give each node its own address.")
            yield _at("Networks", node, field, error)


def _address(field: str, node: NetworkNode) -> tuple[str, ...]:
    return (node.network or node.protocol or "the network", getattr(node, field))


def _drives(inventory: Inventory) -> Iterator[Finding]:
    for drive, others in _shared(inventory.drives, lambda d: (d.motor,)):
        found = f"{drive.motor}, also on {', '.join(o.tag for o in others)}"
        yield _at("Drives", drive, "motor", CellError("B205", found, "one motor a drive", "Correct one of the rows."))
    tags = {fold(d.tag) for d in inventory.drives}
    for drive in inventory.drives:
        if drive.formerly and fold(drive.formerly) in tags:
            remedy = "Type the tag that this drive had before, or clear the cell."
            yield _at(
                "Drives",
                drive,
                "formerly",
                CellError("B211", f"{drive.formerly} is a drive now", "a tag no longer used", remedy),
            )


def _orphans(inventory: Inventory) -> Iterator[Finding]:
    for sheet, field in (("Motors", "motor"), ("Machines", "machine")):
        used = {fold(getattr(d, field)) for d in inventory.drives}
        for record in _rows(inventory, sheet):
            if fold(record.tag) not in used:
                remedy = "Name it on the Drives sheet, or delete the row."
                yield _at(sheet, record, "tag", CellError("B214", f"no drive names {record.tag}", "", remedy))
