"""Facts: what an issue freezes, one value each, keyed so that sorting and respelling change nothing.

A fact's key is (owner, group, item, field). The owner is a drive's row key or 'site'; items are
named as the trade names them: a setting by its function, a wire by its two ends, a test by its
line. Never by a row or by a place in a list.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from decimal import Decimal
from enum import Enum
from typing import Any

from binder.documents.contents import drive_key
from binder.engineering.figure import Figure
from binder.inventory.quantities import Measure
from binder.inventory.records import ConductorSize, Origin
from binder.study import DriveStudy, SiteStudy

Key = tuple[str, str, str, str]
SITE = "site"

#: Units that say the same thing are one family; a horsepower plate stays a horsepower plate.
_FAMILIES: dict[str, str] = {
    "W": "kW", "kW": "kW", "mV": "V", "V": "V", "kV": "V", "mA": "A", "A": "A", "kA": "A",
    "Hz": "Hz", "kHz": "Hz", "mm": "m", "m": "m", "km": "m", "in": "ft", "ft": "ft", "mΩ": "Ω", "Ω": "Ω", "kΩ": "Ω",
    "MΩ": "MΩ", "GΩ": "MΩ", "ms": "s", "s": "s", "min": "s", "h": "s", "µF": "µF", "mF": "µF", "J": "J", "kJ": "J",
}
_FACTORS: dict[str, Decimal] = {
    "W": Decimal("0.001"), "mV": Decimal("0.001"), "kV": Decimal(1000), "mA": Decimal("0.001"), "kA": Decimal(1000),
    "kHz": Decimal(1000), "mm": Decimal("0.001"), "km": Decimal(1000), "mΩ": Decimal("0.001"), "kΩ": Decimal(1000),
    "GΩ": Decimal(1000), "ms": Decimal("0.001"), "min": Decimal(60), "h": Decimal(3600), "mF": Decimal(1000), "kJ": Decimal(1000),
}


@dataclass(frozen=True, slots=True)
class Fact:
    """One frozen value.

    Parameters
    ----------
    key : tuple of str
        (owner, group, item, field).
    value : str
        Canonical text: exact decimals in the unit family, folded words, figures to five digits.
    show : str
        As a person reads it.
    cause : tuple of str
        For computed values: the inputs as 'name=value', so that a change can name its cause.
    rule : str
        For computed values: the rule's source and version.
    """

    key: Key
    value: str
    show: str
    cause: tuple[str, ...] = ()
    rule: str = ""


def canonical(value: Any) -> str:
    """One text for one meaning: '9.2 kW', '9,2kW' and '9200 W' are equal, '12 hp' is not.

    Examples
    --------
    >>> from binder.inventory.quantities import measure
    >>> canonical(measure("9200", "W")) == canonical(measure("9.20", "kW")) == "9.2 kW"
    True
    >>> canonical("  two   words ")
    'two words'
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Measure):
        unit = _FAMILIES.get(value.unit, value.unit)
        amount = value.amount * _FACTORS.get(value.unit, Decimal(1))
        return f"{_plain(amount)} {unit}".strip()
    if isinstance(value, Decimal):
        return _plain(value)
    if isinstance(value, float):
        return _five_digits(value)
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, ConductorSize):
        return value.label
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, tuple | list):
        return "; ".join(canonical(v) for v in value)
    return " ".join(str(value).split())


def _plain(amount: Decimal) -> str:
    return format(amount.normalize(), "f") if amount else "0"


def _five_digits(value: float) -> str:
    return _plain(Decimal(f"{value:.4e}"))


def facts_of(study: SiteStudy) -> dict[Key, Fact]:
    """All facts of a site.

    Parameters
    ----------
    study : SiteStudy

    Returns
    -------
    dict
        Key -> fact, in sorted order of keys.
    """
    found: dict[Key, Fact] = {}
    for fact in _all(study):
        found[fact.key] = fact
    return dict(sorted(found.items()))


def _all(study: SiteStudy) -> Iterator[Fact]:
    inventory = study.inventory
    yield from _record(SITE, "site", "site", inventory.site, skip={"revision", "issue_date", "status"})
    for group, rows, name in (
        ("supply", inventory.supplies, "tag"),
        ("panel", inventory.panels, "tag"),
        ("isolator", inventory.isolators, "tag"),
        ("contact", inventory.people, "name"),
        ("instrument", inventory.instruments, "tag"),
        ("spare", inventory.spares, "part"),
        ("maintenance", inventory.maintenance, "task"),
        ("training", inventory.training, "topic"),
        ("warranty", inventory.warranties, "item"),
    ):
        for row in rows:
            yield from _record(SITE, group, getattr(row, name), row)
    yield from _figures(SITE, study.figures.values())
    for drive in study.drives:
        yield from _drive(study, drive)


def _drive(study: SiteStudy, drive: DriveStudy) -> Iterator[Fact]:
    owner = drive_key(drive)
    yield from _record(owner, "drive", "drive", drive.drive, skip={"formerly"})
    for group, record in (("motor", drive.motor), ("machine", drive.machine), ("model", drive.model)):
        if record is not None:
            yield from _record(owner, group, group, record)
    for cable in study.inventory.cables:
        if cable.drive.casefold() == drive.drive.tag.casefold():
            yield from _record(owner, "cable", cable.tag, cable)
    for node in study.inventory.networks:
        if node.drive.casefold() == drive.drive.tag.casefold():
            yield from _record(owner, "network", node.network or "network", node)
    yield from _figures(owner, drive.figures.values())
    yield from _settings(owner, drive)
    yield from _wires(owner, drive)
    yield from _field(owner, drive)
    for reading in study.inventory.readings:
        if reading.drive.casefold() == drive.drive.tag.casefold():
            item = f"{reading.test} {canonical(reading.date)}".strip()
            yield _fact((owner, "reading", item, "value"), f"{reading.value} {reading.unit}".strip())


def _fact(key: Key, value: Any, show: str = "", **more: Any) -> Fact:
    text = canonical(value)
    return Fact(key, text, show or text, **more)


def _record(owner: str, group: str, item: str, record: Any, skip: set[str] | None = None) -> Iterator[Fact]:
    for spec in fields(record):
        value = getattr(record, spec.name)
        if isinstance(value, Origin) or value in (None, "", ()) or (skip and spec.name in skip):
            continue
        yield _fact((owner, group, item, spec.name), value, "" if not isinstance(value, Measure) else str(value))


def _figures(owner: str, figures: Iterable[Figure]) -> Iterator[Fact]:
    for figure in figures:
        cause = tuple(f"{i.name}={canonical(i.value)} {i.unit}".strip() for i in figure.inputs)
        yield _fact(
            (owner, "figure", figure.key, "value"),
            figure.value,
            figure.text(),
            cause=cause,
            rule=f"{figure.rule.source} v{figure.rule.version}",
        )


def _settings(owner: str, drive: DriveStudy) -> Iterator[Fact]:
    for row in drive.settings.rows:
        item = " ".join(x for x in (row.function, row.applies_to) if x) or f"no. {row.number}"
        words = f"{row.number} {row.name}: {row.required} {row.unit}".strip()
        yield _fact((owner, "setting", item, "value"), f"{row.required} {row.unit}", words, cause=(f"{row.source}={row.reason}",))
        yield _fact((owner, "setting", item, "number"), row.number)


def _wires(owner: str, drive: DriveStudy) -> Iterator[Fact]:
    for c in drive.wiring.connections:
        words = f"{c.a} to {c.b}"
        yield _fact((owner, "wire", c.id, "ends"), words)
        yield _fact((owner, "wire", c.id, "number"), c.potential, f"wire {c.potential}, {words}")
        if c.size or c.colour:
            yield _fact((owner, "wire", c.id, "conductor"), f"{c.colour} {c.size}".strip())
        if c.core:
            yield _fact((owner, "wire", c.id, "core"), f"{c.core.cable} core {c.core.mark}")
    for device in drive.wiring.devices:
        yield _fact((owner, "device", device.tag, "text"), f"{device.kind} {device.text} {device.place}")
    for terminal in drive.wiring.terminals:
        if terminal.function:
            yield _fact((owner, "terminal", terminal.number, "function"), terminal.function)


def _field(owner: str, drive: DriveStudy) -> Iterator[Fact]:
    card = drive.field.lockout
    for source in card.sources:
        text = f"{source.magnitude}; {source.isolator}; {source.place}; {source.method}"
        yield _fact((owner, "lockout", source.energy, "isolation"), text)
    if card.wait_minutes is not None:
        yield _fact((owner, "lockout", "wait", "minutes"), card.wait_minutes)
    for sheet in drive.field.sheets:
        for line in sheet.lines:
            yield _fact((owner, "test", line.id, "limit"), f"{line.expected}; {line.limit}".strip("; "), f"{line.what}: {line.limit}")
