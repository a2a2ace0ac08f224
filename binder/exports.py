"""What others take from a binder: the site's lists as tables for a planner, a store, a label printer.

Each table is made from the same study as the pages, one row a thing, and every row can be found
again by a key that survives sorting and a change of tag.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import pandas as pd

from binder.engineering.figure import display
from binder.field.sheets import Sweep, SweepPoint
from binder.inventory.lookup import cables_of, natural
from binder.inventory.quantities import Measure
from binder.inventory.records import Cable, MaintenanceTask
from binder.settings.table import SettingRow
from binder.study import DriveStudy, SiteStudy
from binder.wiring.materials import site_materials, wiring_materials
from binder.wiring.schedules import CableLine, cable_schedule, label_schedule, wire_list

Record = dict[str, Any]

_HIDDEN = "not exported"  # stands for the code that opens locked settings


@dataclass(frozen=True, slots=True)
class Export:
    """One table to hand out.

    Parameters
    ----------
    name : str
        Names the CSV file and the sheet.
    title : str
        What it holds, for a reader.
    frame : pandas.DataFrame
        Texts, numbers, dates and None; never a formula.
    """

    name: str
    title: str
    frame: pd.DataFrame


def site_exports(study: SiteStudy) -> tuple[Export, ...]:
    """Make every table of a site.

    Parameters
    ----------
    study : SiteStudy

    Returns
    -------
    tuple of Export
        Always all tables, an empty one with its headings; drives in the order of their tags.
    """
    drives = sorted(study.drives, key=lambda s: natural(s.drive.tag))
    equipment = _table("equipment", _equipment(drives))
    cables = _table("cables", _cables(study, drives))
    maintenance = _table("maintenance", _maintenance(study, drives))
    return (
        equipment,
        cables,
        _table("wires", _wires(drives)),
        _table("labels", _labels(drives)),
        _table("materials", _materials(drives)),
        _table("network", _network(study)),
        _table("settings", _settings(drives)),
        _table("baseline", _baseline(drives)),
        _table("spares", _spares(study)),
        maintenance,
        _totals("panel totals", equipment, ["Panel"], {"Drives": ("Drive", "count"), "Motor kW": ("Motor kW", "sum")}),
        _totals(
            "cable totals",
            cables,
            ["Kind", "Cores", "Size", "Material", "Insulation"],
            {"Cables": ("Cable", "count"), "Length known": ("Length m", "count"), "Length m": ("Length m", "sum")},
        ),
        _table("material totals", _material_totals(drives)),
        _totals(
            "work totals",
            maintenance,
            ["Craft", "Every"],
            {"Visits": ("Drive", "count"), "Minutes a year": ("Minutes a year", "sum")},
        ),
    )


#: Table -> what it holds, and its columns.
_TABLES: dict[str, tuple[str, tuple[str, ...]]] = {
    "equipment": (
        "Drives with motor, machine and circuit",
        ("Drive", "Feeds", "Area", "Panel", "Circuit", "Isolator", "Model", "Variant", "Serial", "Asset number",
         "Software", "Motor", "Motor power", "Motor kW", "Motor V", "Motor A", "Motor Hz", "Motor rpm", "Motor serial",
         "Machine", "Machine kind", "Settings backup", "Row key"),
    ),
    "cables": (
        "Power cables of the inventory, control cables of the wiring records",
        ("Cable", "Drive", "Kind", "From", "To", "Cores", "Used", "Size", "Earth", "Sets", "Material", "Insulation",
         "Length m", "Length as given", "Raceway", "Screened", "Row key"),
    ),
    "wires": (
        "Every conductor of the control wiring",
        ("Drive", "Wire", "From", "To", "Kind", "Signal", "Colour", "Size", "Cable", "Core", "Scheme", "Status",
         "Reason", "Row key"),
    ),
    "labels": ("Labels and markers to make", ("Drive", "On", "Text", "Kind", "Pieces", "Row key")),
    "materials": (
        "Wiring materials, drive by drive",
        ("Drive", "Item", "What", "Quantity", "Unit", "Note", "Row key"),
    ),
    "network": (
        "Network nodes",
        ("Drive", "Network", "Protocol", "Address", "Speed", "Parity", "IP address", "Mask", "Gateway", "Timeout s",
         "On loss", "Terminated", "Row key"),
    ),
    "settings": (
        "Settings: required, as found, as left",
        ("Drive", "Model", "Step", "Setting", "Name", "Group", "Function", "Applies to", "Unit", "Default", "Required",
         "Required in words", "As found", "As left", "By", "Date", "Verdict", "Reason", "Row key"),
    ),
    "baseline": (
        "Reference sweep: expected and read, point by point",
        ("Drive", "Mode", "Source", "Percent", "Signal", "Expected Hz", "Read Hz", "Expected rpm", "Read rpm",
         "Lowest A", "Highest A", "Read A U", "Read A V", "Read A W", "Expected shaft kW", "Read DC V", "Verdict",
         "Date", "Row key"),
    ),
    "spares": (
        "Spare parts",
        ("Part", "Drives", "Quantity", "Supplier", "Order number", "Lead time", "Place", "Last powered", "Row key"),
    ),
    "maintenance": (
        "Maintenance tasks, one row a drive",
        ("Task", "Drive", "Area", "Place", "Every", "Times a year", "Craft", "Minutes", "Minutes a year", "Row key"),
    ),
    "panel totals": ("Drives and motor power, panel by panel", ()),
    "cable totals": ("Cable by type; lengths that are not known are not in the sum", ()),
    "material totals": (
        "Wiring materials of the site; lengths that are not known are named in the note",
        ("Item", "What", "Quantity", "Unit", "Drives", "Note"),
    ),
    "work totals": ("Maintenance work by craft and interval", ()),
}  # fmt: skip


def _table(name: str, rows: Iterable[Record]) -> Export:
    title, columns = _TABLES[name]
    made = [tuple(row.get(column) for column in columns) for row in rows]
    return Export(name, title, pd.DataFrame(made, columns=list(columns), dtype=object))


def _totals(name: str, of: Export, by: list[str], sums: dict[str, tuple[str, str]]) -> Export:
    """Roll a table up."""
    frame = of.frame.copy()
    for column, how in sums.values():
        if how == "sum" or column == "Length m":
            frame[column] = pd.to_numeric(frame[column])
    frame[by] = frame[by].fillna("").astype(str)
    named = {title: pd.NamedAgg(column, _sum if how == "sum" else how) for title, (column, how) in sums.items()}
    rolled = frame.groupby(by, sort=True).agg(**named).round(3).reset_index()
    return Export(name, _TABLES[name][0], rolled.astype(object))


def _sum(column: pd.Series) -> float:
    """A sum of what is known; none where nothing is known, since 0 would read as a fact."""
    return float(column.sum(min_count=1))


def _in(value: Measure | None, unit: str) -> float | None:
    """A measure as a plain number of six figures, since converting leaves a tail of digits."""
    return None if value is None else float(f"{value.to(unit):.6g}")


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)


def _equipment(drives: Sequence[DriveStudy]) -> Iterator[Record]:
    for s in drives:
        d, m = s.drive, s.motor
        row: Record = {
            "Drive": d.tag, "Feeds": d.feeds, "Area": d.area, "Panel": d.panel, "Circuit": d.circuit,
            "Isolator": d.isolator, "Model": d.model, "Variant": d.variant, "Serial": d.serial,
            "Asset number": d.asset_number, "Software": d.software, "Motor": d.motor, "Machine": d.machine,
            "Machine kind": s.machine.kind if s.machine else "", "Settings backup": d.backup_file,
            "Row key": d.origin.key,
        }  # fmt: skip
        if m is not None:
            row |= {
                "Motor power": _text(m.power), "Motor kW": _in(m.power, "kW"), "Motor V": _in(m.voltage, "V"),
                "Motor A": _in(m.current, "A"), "Motor Hz": _in(m.frequency, "Hz"), "Motor rpm": _in(m.speed, "rpm"),
                "Motor serial": m.serial,
            }  # fmt: skip
        yield row


def _cables(study: SiteStudy, drives: Sequence[DriveStudy]) -> Iterator[Record]:
    known = {s.drive.tag for s in drives}
    for s in drives:
        for cable in cables_of(study.inventory, s.drive):
            yield _power_cable(cable)
        for line in cable_schedule(s.wiring):
            yield _control_cable(s, line)
    for cable in sorted(study.inventory.cables, key=lambda c: natural(c.tag)):
        if cable.drive not in known:
            yield _power_cable(cable)


def _power_cable(cable: Cable) -> Record:
    return {
        "Cable": cable.tag, "Drive": cable.drive, "Kind": cable.role, "From": cable.from_place, "To": cable.to_place,
        "Size": _text(cable.size), "Earth": _text(cable.earth_size), "Sets": cable.sets, "Material": cable.material,
        "Insulation": cable.insulation, "Length m": _in(cable.length, "m"), "Length as given": _text(cable.length),
        "Raceway": cable.raceway, "Screened": _text(cable.shielded), "Row key": cable.origin.key,
    }  # fmt: skip


def _control_cable(s: DriveStudy, line: CableLine) -> Record:
    return {
        "Cable": line.tag, "Drive": s.drive.tag, "Kind": line.signal, "From": line.from_place, "To": line.to_place,
        "Cores": line.cores, "Used": line.used, "Size": line.size, "Length m": line.length_m,
        "Screened": _text(line.screened), "Row key": _key(s, line.tag),
    }  # fmt: skip


def _key(s: DriveStudy, part: str) -> str:
    """Key of a thing that has no row of its own: its drive's key, a stroke, its own name."""
    return f"{s.drive.origin.key or s.drive.tag}/{part}"


def _again(name: str, time: int) -> str:
    """The name, numbered from its second time on."""
    return name if time == 1 else f"{name}/{time}"


def _wires(drives: Sequence[DriveStudy]) -> Iterator[Record]:
    for s in drives:
        for w in wire_list(s.wiring):
            yield {
                "Drive": s.drive.tag, "Wire": w.number, "From": w.from_end, "To": w.to_end, "Kind": w.kind,
                "Signal": w.signal, "Colour": w.colour, "Size": w.size, "Cable": w.cable, "Core": w.core,
                "Scheme": w.scheme, "Status": w.status, "Reason": w.reason, "Row key": _key(s, w.id),
            }  # fmt: skip


def _labels(drives: Sequence[DriveStudy]) -> Iterator[Record]:
    for s in drives:
        seen: Counter[str] = Counter()
        for line in label_schedule(s.wiring):
            name = f"{line.kind}/{line.on}/{line.text}"
            seen[name] += 1  # two conductors may end on one terminal, each with its marker
            yield {
                "Drive": s.drive.tag, "On": line.on, "Text": line.text, "Kind": line.kind, "Pieces": line.quantity,
                "Row key": _key(s, _again(name, seen[name])),
            }  # fmt: skip


def _materials(drives: Sequence[DriveStudy]) -> Iterator[Record]:
    for s in drives:
        for m in wiring_materials(s.wiring):
            yield {
                "Drive": s.drive.tag, "Item": m.item, "What": m.detail, "Quantity": m.quantity, "Unit": m.unit,
                "Note": m.note, "Row key": _key(s, f"{m.item}/{m.detail}"),
            }  # fmt: skip


def _material_totals(drives: Sequence[DriveStudy]) -> Iterator[Record]:
    for m in site_materials([(s.drive.tag, s.wiring) for s in drives]):
        yield {
            "Item": m.item, "What": m.detail, "Quantity": m.quantity, "Unit": m.unit, "Drives": len(m.drives),
            "Note": m.note,
        }  # fmt: skip


def _network(study: SiteStudy) -> Iterator[Record]:
    for n in sorted(study.inventory.networks, key=lambda n: (natural(n.network), natural(n.drive))):
        yield {
            "Drive": n.drive, "Network": n.network, "Protocol": n.protocol, "Address": n.address, "Speed": n.speed,
            "Parity": n.parity, "IP address": n.ip_address, "Mask": n.mask, "Gateway": n.gateway,
            "Timeout s": _in(n.timeout, "s"), "On loss": n.loss_reaction, "Terminated": _text(n.terminated),
            "Row key": n.origin.key,
        }  # fmt: skip


def _settings(drives: Sequence[DriveStudy]) -> Iterator[Record]:
    for s in drives:
        seen: Counter[str] = Counter()
        for r in (*s.settings.rows, *s.settings.untouched):
            shown = _shown if r.function != "access_code" else _masked
            seen[r.number] += 1  # a lock is written twice: opened first, closed last
            yield {
                "Drive": s.drive.tag, "Model": s.drive.model, "Step": r.step or None, "Setting": r.number,
                "Name": r.name, "Group": r.group, "Function": r.function, "Applies to": r.applies_to, "Unit": r.unit,
                **shown(r), "By": r.as_left_by, "Date": r.as_left_date, "Verdict": r.as_left_verdict,
                "Reason": r.override_reason or r.reason, "Row key": _key(s, _again(r.number, seen[r.number])),
            }  # fmt: skip


def _shown(r: SettingRow) -> Record:
    return {
        "Default": r.default,
        "Required": r.required,
        "Required in words": r.required_text,
        "As found": r.as_found,
        "As left": r.as_left,
    }


def _masked(r: SettingRow) -> Record:
    """A code that opens locked settings does not go into a file that is handed around."""
    return {name: _HIDDEN if value else "" for name, value in _shown(r).items()}


def _baseline(drives: Sequence[DriveStudy]) -> Iterator[Record]:
    for s in drives:
        for sweep in s.field.sweeps:
            for point in sweep.points:
                yield _point(s, sweep, point)


#: Column -> ending of the test line that holds its reading.
_READ = {"Read Hz": "HZ", "Read rpm": "RPM", "Read A U": "U", "Read A V": "V", "Read A W": "W", "Read DC V": "DC"}


def _point(s: DriveStudy, sweep: Sweep, point: SweepPoint) -> Record:
    lines = {line.id.rpartition(".")[2]: line for line in point.lines}
    read = {column: _number(lines[end].reading) for column, end in _READ.items() if end in lines}
    verdicts = {line.verdict for line in point.lines if line.reading}
    return {
        "Drive": s.drive.tag, "Mode": sweep.mode, "Source": sweep.source, "Percent": point.percent,
        "Signal": point.signal, "Expected Hz": _short(point.frequency_hz), "Expected rpm": _short(point.speed_rpm),
        "Lowest A": _short(point.current_low_a), "Highest A": _short(point.current_high_a),
        "Expected shaft kW": _short(point.shaft_kw), **read,
        "Verdict": next((v for v in ("fail", "pass") if v in verdicts), ""),
        "Date": max((line.date for line in point.lines), default=""),
        "Row key": _key(s, f"C3.{sweep.key}.{point.percent:g}"),
    }  # fmt: skip


def _short(value: float | None) -> float | None:
    """The number as it is printed on the sheets."""
    return None if value is None else float(display(value))


def _number(reading: str) -> float | str | None:
    """The number of a reading such as '19.94 Hz'; words stay words."""
    first = reading.partition(" ")[0]
    try:
        return float(first) if first else None
    except ValueError:
        return reading


def _spares(study: SiteStudy) -> Iterator[Record]:
    for p in sorted(study.inventory.spares, key=lambda p: (natural(p.part), p.origin.key)):
        yield {
            "Part": p.part, "Drives": ", ".join(p.drives), "Quantity": p.quantity, "Supplier": p.supplier,
            "Order number": p.order_number, "Lead time": p.lead_time, "Place": p.place,
            "Last powered": p.last_powered, "Row key": p.origin.key,
        }  # fmt: skip


def _maintenance(study: SiteStudy, drives: Sequence[DriveStudy]) -> Iterator[Record]:
    every = {s.drive.tag: s for s in drives}
    for task in study.inventory.maintenance:
        minutes, times = _in(task.minutes, "min"), _times_a_year(task)
        for tag in task.drives or every:
            s = every.get(tag)
            yield {
                "Task": task.task, "Drive": tag, "Area": s.drive.area if s else "",
                "Place": s.panel.place if s and s.panel else "", "Every": _text(task.interval), "Times a year": times,
                "Craft": task.craft, "Minutes": minutes,
                "Minutes a year": None if minutes is None or times is None else round(minutes * times, 1),
                "Row key": f"{task.origin.key}/{s.drive.origin.key if s else tag}",
            }  # fmt: skip


def _times_a_year(task: MaintenanceTask) -> float | None:
    """Visits a year; not known where the interval is running hours."""
    if task.interval is None or task.interval.unit == "h" or not task.interval.amount:
        return None
    return float(f"{1 / task.interval.to('year'):.4g}")
