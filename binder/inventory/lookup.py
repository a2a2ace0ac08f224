"""Which record belongs to which: motor, model, panel, supply, cables, terminals of a drive.

One index a workbook, built on first use and kept for the few inventories in use, so that a
site of 1,000 drives is searched once and not once a drive.
"""

from __future__ import annotations

import re
from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, TypeVar

from binder.inventory.findings import Finding, Grade
from binder.inventory.records import (
    AsLeft,
    Cable,
    Control,
    DeratingPoint,
    Drive,
    DriveModel,
    FaultCode,
    Instrument,
    Inventory,
    Isolator,
    Machine,
    ModelSetting,
    ModelTerminal,
    Motor,
    NetworkNode,
    Override,
    Panel,
    Person,
    Reading,
    Spare,
    Supply,
    WireChange,
)
from binder.inventory.report import cells_of

Record = TypeVar("Record")
_KEPT = 8  # inventories whose index is kept; old and new issue, and some to spare


def fold(tag: str) -> str:
    """Return a tag as it is compared: without regard to case and outer spaces.

    Examples
    --------
    >>> fold(" p-312 ") == fold("P-312")
    True
    """
    return tag.strip().casefold()


@lru_cache(maxsize=1 << 14)
def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Return a sort key that puts P-9 before P-10.

    Examples
    --------
    >>> sorted(["P-10", "P-9", "P-9a"], key=natural)
    ['P-9', 'P-9a', 'P-10']
    """
    parts = re.findall(r"[0-9]+|[^0-9]+", text.casefold())
    return tuple((0, int(p), "") if p[0] in "0123456789" else (1, 0, p) for p in parts)


def _one(records: Iterable[Record], key: Callable[[Record], str]) -> dict[str, Record]:
    found: dict[str, Record] = {}
    for record in records:
        found.setdefault(fold(key(record)), record)  # of two equal tags the upper row stands
    return found


def _many(
    records: Iterable[Record], keys: Callable[[Record], Iterable[str]], order: Callable[[Record], object]
) -> dict[str, tuple[Record, ...]]:
    found: dict[str, list[Record]] = {}
    for record in records:
        for key in keys(record):
            found.setdefault(fold(key), []).append(record)
    return {k: tuple(sorted(v, key=order)) for k, v in found.items()}  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True)
class _Index:
    drives: dict[str, Drive]
    motors: dict[str, Motor]
    machines: dict[str, Machine]
    models: dict[str, DriveModel]
    panels: dict[str, Panel]
    supplies: dict[str, Supply]
    instruments: dict[str, Instrument]
    people: dict[str, Person]
    isolators: dict[str, Isolator]
    cables: dict[str, tuple[Cable, ...]]
    terminals: dict[str, tuple[ModelTerminal, ...]]
    settings: dict[str, tuple[ModelSetting, ...]]
    fault_codes: dict[str, tuple[FaultCode, ...]]
    derating: dict[str, tuple[DeratingPoint, ...]]
    controls: dict[str, tuple[Control, ...]]
    wire_changes: dict[str, tuple[WireChange, ...]]
    drive_isolators: dict[str, tuple[Isolator, ...]]
    networks: dict[str, tuple[NetworkNode, ...]]
    overrides: dict[str, tuple[Override, ...]]
    as_left: dict[str, tuple[AsLeft, ...]]
    readings: dict[str, tuple[Reading, ...]]
    spares: dict[str, tuple[Spare, ...]]
    panel_drives: dict[str, tuple[Drive, ...]]
    supply_drives: dict[str, tuple[Drive, ...]]
    motor_drives: dict[str, tuple[tuple[int, Drive], ...]]  # with the place of each among all
    machine_drives: dict[str, tuple[tuple[int, Drive], ...]]
    findings: dict[str, tuple[Finding, ...]]
    refused: frozenset[tuple[str, str]]


def _strip(terminal: ModelTerminal) -> tuple[object, ...]:
    return (terminal.strip_order is None, terminal.strip_order or 0, natural(terminal.terminal), terminal.label)


def _build(inventory: Inventory) -> _Index:
    panels = _one(inventory.panels, lambda r: r.tag)

    def supplies_above(drive: Drive) -> list[str]:
        panel = panels.get(fold(drive.panel))
        return [panel.supply] if panel else []

    return _Index(
        drives=_one(inventory.drives, lambda r: r.tag),
        motors=_one(inventory.motors, lambda r: r.tag),
        machines=_one(inventory.machines, lambda r: r.tag),
        models=_one(inventory.models, lambda r: r.model),
        panels=panels,
        supplies=_one(inventory.supplies, lambda r: r.tag),
        instruments=_one(inventory.instruments, lambda r: r.tag),
        people=_one((p for p in inventory.people if p.initials), lambda r: r.initials),
        isolators=_one(inventory.isolators, lambda r: r.tag),
        cables=_many(inventory.cables, lambda r: [r.drive], lambda r: natural(r.tag)),
        terminals=_many(
            inventory.terminals,
            lambda r: [r.model],
            _strip,
        ),
        settings=_many(inventory.settings, lambda r: [r.model], lambda r: natural(r.number)),
        fault_codes=_many(inventory.fault_codes, lambda r: [r.model], lambda r: natural(r.code)),
        derating=_many(
            inventory.derating_points,
            lambda r: [r.model],
            lambda r: r.carrier.to("kHz") if r.carrier else -1.0,
        ),
        controls=_many(
            inventory.controls,
            lambda r: [r.drive],
            lambda r: (r.scheme, r.mode, r.place, r.devices, r.terminals, r.cable),
        ),
        wire_changes=_many(
            inventory.wire_changes, lambda r: [r.drive], lambda r: (r.action, r.from_end, r.to_end, r.reason)
        ),
        drive_isolators=_many(inventory.isolators, lambda r: r.drives, lambda r: natural(r.tag)),
        networks=_many(inventory.networks, lambda r: [r.drive], lambda r: (r.network, r.protocol, natural(r.address))),
        overrides=_many(inventory.overrides, lambda r: [r.drive], lambda r: (natural(r.setting), r.value)),
        as_left=_many(
            inventory.as_left, lambda r: [r.drive], lambda r: (str(r.date or ""), natural(r.setting), r.origin.row)
        ),
        readings=_many(
            inventory.readings, lambda r: [r.drive], lambda r: (str(r.date or ""), natural(r.test), r.origin.row)
        ),
        spares=_many(inventory.spares, lambda r: r.drives, lambda r: natural(r.part)),
        panel_drives=_many(inventory.drives, lambda r: [r.panel], lambda r: natural(r.tag)),
        supply_drives=_many(inventory.drives, supplies_above, lambda _: 0),
        motor_drives=_many(enumerate(inventory.drives), lambda r: [r[1].motor], lambda _: 0),
        machine_drives=_many(enumerate(inventory.drives), lambda r: [r[1].machine], lambda _: 0),
        findings=_many(inventory.findings, lambda f: [f.tag], lambda _: 0),
        refused=frozenset(
            (f.sheet, cell) for f in inventory.findings if f.grade is Grade.STOP for cell in cells_of(f.cell)
        ),
    )


_indexes: OrderedDict[int, tuple[Inventory, _Index]] = OrderedDict()


def _index(inventory: Inventory) -> _Index:
    kept = _indexes.get(id(inventory))
    if kept is not None and kept[0] is inventory:  # the kept reference guards against a re-used id
        return kept[1]
    made = _build(inventory)
    _indexes[id(inventory)] = (inventory, made)
    while len(_indexes) > _KEPT:
        _indexes.popitem(last=False)
    return made


def _name(model: DriveModel | str | None) -> str:
    return fold(model.model if isinstance(model, DriveModel) else model or "")


def _shared(
    inventory: Inventory, rows: Mapping[str, tuple[Record, ...]], model: DriveModel | str | None,
    name_of: Callable[[Record], object], order: Callable[[Record], Any],
) -> tuple[Record, ...]:  # fmt: skip
    """Rows of a model; those of the size it is the same as, where it has no row of that name itself."""
    own_name = _name(model)
    record = _index(inventory).models.get(own_name)
    own = rows.get(own_name, ())
    other = rows.get(fold(record.same_as), ()) if record is not None and record.same_as else ()
    if not own or not other:
        return own or other
    taken = {name_of(r) for r in own}
    return tuple(sorted((*own, *(r for r in other if name_of(r) not in taken)), key=order))


def drive_of(inventory: Inventory, tag: str) -> Drive | None:
    """Return the drive with this tag."""
    return _index(inventory).drives.get(fold(tag))


def motor_of(inventory: Inventory, drive: Drive) -> Motor | None:
    """Return the motor that the drive's row names."""
    return _index(inventory).motors.get(fold(drive.motor))


def machine_of(inventory: Inventory, drive: Drive) -> Machine | None:
    """Return the driven machine that the drive's row names."""
    return _index(inventory).machines.get(fold(drive.machine))


def model_of(inventory: Inventory, drive: Drive) -> DriveModel | None:
    """Return the drive model that the drive's row names."""
    return _index(inventory).models.get(fold(drive.model))


def panel_of(inventory: Inventory, drive: Drive) -> Panel | None:
    """Return the panel that feeds the drive."""
    return _index(inventory).panels.get(fold(drive.panel))


def supply_of(inventory: Inventory, drive: Drive) -> Supply | None:
    """Return the supply of the drive's panel."""
    panel = panel_of(inventory, drive)
    return _index(inventory).supplies.get(fold(panel.supply)) if panel else None


def findings_about(inventory: Inventory, tag: str) -> tuple[Finding, ...]:
    """Return the findings of the workbook that name this tag."""
    return _index(inventory).findings.get(fold(tag), ())


def is_refused(inventory: Inventory, sheet: str, cell: str) -> bool:
    """Tell whether a stop of the workbook is about this cell already."""
    return (sheet, cell) in _index(inventory).refused


def drives_of_supply(inventory: Inventory, supply: Supply) -> tuple[Drive, ...]:
    """Return the drives whose panel hangs on a supply, in the order of the workbook."""
    return _index(inventory).supply_drives.get(fold(supply.tag), ())


def supply_with_tag(inventory: Inventory, tag: str) -> Supply | None:
    """Return the supply with this tag, as a panel names it."""
    return _index(inventory).supplies.get(fold(tag))


def cables_of(inventory: Inventory, drive: Drive) -> tuple[Cable, ...]:
    """Return all cables of the drive, by tag."""
    return _index(inventory).cables.get(fold(drive.tag), ())


def cable_of(inventory: Inventory, drive: Drive, role: str) -> Cable | None:
    """Return the drive's first cable with this role: 'line', 'motor' or 'control'."""
    return next((c for c in cables_of(inventory, drive) if c.role == role), None)


def terminals_of(inventory: Inventory, model: DriveModel | str | None) -> tuple[ModelTerminal, ...]:
    """Return the terminals of a drive model in the order of its strip."""
    return _shared(inventory, _index(inventory).terminals, model, lambda r: r.terminal, _strip)


def settings_of(inventory: Inventory, model: DriveModel | str | None) -> tuple[ModelSetting, ...]:
    """Return the settings of a drive model by number."""
    return _shared(inventory, _index(inventory).settings, model, lambda r: r.number, lambda r: natural(r.number))


def fault_codes_of(inventory: Inventory, model: DriveModel | str | None) -> tuple[FaultCode, ...]:
    """Return the fault codes of a drive model by code."""
    return _shared(inventory, _index(inventory).fault_codes, model, lambda r: r.code, lambda r: natural(r.code))


def derating_of(inventory: Inventory, model: DriveModel | str | None) -> tuple[DeratingPoint, ...]:
    """Return the derating points of a drive model by carrier frequency."""
    return _shared(inventory, _index(inventory).derating, model, lambda r: "all points", str)


def controls_of(inventory: Inventory, drive: Drive) -> tuple[Control, ...]:
    """Return the control schemes of the drive; the order of the sheet's rows plays no part."""
    return _index(inventory).controls.get(fold(drive.tag), ())


def wire_changes_of(inventory: Inventory, drive: Drive) -> tuple[WireChange, ...]:
    """Return the connections added, removed or found different on this drive."""
    return _index(inventory).wire_changes.get(fold(drive.tag), ())


def isolators_of(inventory: Inventory, drive: Drive) -> tuple[Isolator, ...]:
    """Return every isolation point that names this drive, and the one that the drive's row names."""
    index = _index(inventory)
    named = index.drive_isolators.get(fold(drive.tag), ())
    own = index.isolators.get(fold(drive.isolator)) if drive.isolator else None
    return named if own is None or own in named else (own, *named)


def networks_of(inventory: Inventory, drive: Drive) -> tuple[NetworkNode, ...]:
    """Return the network nodes of the drive."""
    return _index(inventory).networks.get(fold(drive.tag), ())


def overrides_of(inventory: Inventory, drive: Drive) -> tuple[Override, ...]:
    """Return the values that a person set against the computed ones."""
    return _index(inventory).overrides.get(fold(drive.tag), ())


def as_left_of(inventory: Inventory, drive: Drive) -> tuple[AsLeft, ...]:
    """Return the as-found and as-left values of the drive, oldest visit first."""
    return _index(inventory).as_left.get(fold(drive.tag), ())


def readings_of(inventory: Inventory, drive: Drive) -> tuple[Reading, ...]:
    """Return the readings of the drive, oldest first."""
    return _index(inventory).readings.get(fold(drive.tag), ())


def spares_of(inventory: Inventory, drive: Drive) -> tuple[Spare, ...]:
    """Return the spare parts that serve this drive."""
    return _index(inventory).spares.get(fold(drive.tag), ())


def drives_of_panel(inventory: Inventory, panel: Panel) -> tuple[Drive, ...]:
    """Return the drives fed from a panel, by tag."""
    return _index(inventory).panel_drives.get(fold(panel.tag), ())


def partners_of(inventory: Inventory, drive: Drive) -> tuple[Drive, ...]:
    """Return the other drives whose rows name the same motor or machine, in the order of their rows."""
    index = _index(inventory)
    found = dict(index.motor_drives.get(fold(drive.motor), ())) if drive.motor else {}
    if drive.machine:
        found |= index.machine_drives.get(fold(drive.machine), ())
    return tuple(found[place] for place in sorted(found) if found[place].tag != drive.tag)


def instrument_of(inventory: Inventory, tag: str) -> Instrument | None:
    """Return the test instrument with this tag."""
    return _index(inventory).instruments.get(fold(tag))


def person_of(inventory: Inventory, initials: str) -> Person | None:
    """Return the person who signs with these initials."""
    return _index(inventory).people.get(fold(initials))
