"""Like drives compared: a difference that nobody explains is worth a look."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import machine_of, motor_of, natural
from binder.inventory.records import Drive, Inventory
from binder.settings.table import SettingsTable

#: Settings that differ from drive to drive by their nature.
_OWN = frozenset({"network_address", "identification_run"})


@dataclass(frozen=True, slots=True)
class Difference:
    """One setting that is required differently on drives that are alike."""

    number: str
    name: str
    function: str
    values: tuple[tuple[str, str], ...]  # (drive tag, required)
    explained: bool


def kind_of(inventory: Inventory, drive: Drive) -> tuple[str, ...] | None:
    """What makes two drives alike: model, duty, motor plate and machine.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive

    Returns
    -------
    tuple of str or None
        None when model, motor or machine are lacking.
    """
    motor, machine = motor_of(inventory, drive), machine_of(inventory, drive)
    if not drive.model or motor is None or machine is None:
        return None
    plate = (motor.power, motor.voltage, motor.current, motor.speed)
    return (drive.model, drive.variant, drive.duty, *(str(p) for p in plate), machine.kind, machine.load_type)


def alike(inventory: Inventory) -> tuple[tuple[Drive, ...], ...]:
    """Groups of two and more drives of one kind, by tag.

    Parameters
    ----------
    inventory : Inventory

    Returns
    -------
    tuple of tuple of Drive
    """
    groups: dict[tuple[str, ...], list[Drive]] = {}
    for drive in inventory.drives:
        kind = kind_of(inventory, drive)
        if kind is not None:
            groups.setdefault(kind, []).append(drive)
    found = [tuple(sorted(g, key=lambda d: natural(d.tag))) for g in groups.values() if len(g) > 1]
    return tuple(sorted(found, key=lambda g: natural(g[0].tag)))


class Demanded(NamedTuple):
    """What a drive asks of one setting, as far as like drives are compared by it."""

    number: str
    name: str
    function: str
    required: str
    explained: bool  # by an override with a reason


def demanded(table: SettingsTable) -> tuple[Demanded, ...]:
    """What a drive asks of each of its settings; the last write of a number stands."""
    rows = {row.number: row for row in (*table.rows, *table.untouched)}
    return tuple(
        Demanded(r.number, r.name, r.function, r.required, r.source == "override" and bool(r.override_reason))
        for r in rows.values()
    )


def differences(drives: Mapping[str, Iterable[Demanded]]) -> tuple[Difference, ...]:
    """Settings in which like drives differ.

    Parameters
    ----------
    drives : mapping of str to iterable of Demanded
        Drive tag -> what it asks for; drives of one model.

    Returns
    -------
    tuple of Difference
        `explained` when an override with a reason stands behind the value that differs.
    """
    rows: dict[str, dict[str, Demanded]] = {}
    for tag, asked in drives.items():
        for one in asked:
            rows.setdefault(one.number, {})[tag] = one
    found = []
    for number in sorted(rows, key=natural):
        by_drive = rows[number]
        first = next(iter(by_drive.values()))
        if first.function in _OWN or len({r.required for r in by_drive.values()}) == 1:
            continue
        explained = any(r.explained for r in by_drive.values())
        values = tuple((tag, by_drive[tag].required) for tag in sorted(by_drive, key=natural))
        found.append(Difference(number, first.name, first.function, values, explained))
    return tuple(found)


def compare_findings(inventory: Inventory, drives: Mapping[str, Iterable[Demanded]]) -> Iterator[Finding]:
    """A note for each unexplained difference between like drives.

    Parameters
    ----------
    inventory : Inventory
    drives : mapping of str to iterable of Demanded
        Drive tag -> what it asks of its settings, see `demanded`.

    Yields
    ------
    Finding
        S160.
    """
    for group in alike(inventory):
        present = {d.tag: drives[d.tag] for d in group if d.tag in drives}
        for difference in differences(present):
            if difference.explained:
                continue
            drive = group[0]
            words = ", ".join(f"{tag} {value or 'blank'}" for tag, value in difference.values)
            yield Finding(
                "S160",
                Grade.NOTE,
                drive.origin.sheet or "Drives",
                drive.origin.cell("tag"),
                drive.tag,
                f"like drives differ in {difference.number} {difference.name}: {words}",
                "the same, or a reason",
                "Check whether the difference is meant; an override with its reason explains it.",
            )
