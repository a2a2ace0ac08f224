"""What the papers need, as frozen records: people, instruments, readings, signatures, spares, revisions."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from binder.inventory.origin import NOWHERE, Origin
from binder.inventory.quantities import Measure


@dataclass(frozen=True, slots=True)
class Person:
    name: str
    initials: str = ""
    role: str = ""
    employer: str = ""
    licence: str = ""
    telephone: str = ""
    email: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Instrument:
    tag: str
    kind: str = ""
    serial: str = ""
    category: str = ""
    calibration_due: dt.date | None = None
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Override:
    """A required value set by a person against the computed one."""

    drive: str
    setting: str = ""  # function key or setting number
    value: str = ""
    reason: str = ""
    by: str = ""
    date: dt.date | None = None
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class AsLeft:
    """One visit's as-found and as-left value of a setting."""

    drive: str
    setting: str = ""
    as_found: str = ""
    as_left: str = ""
    date: dt.date | None = None
    initials: str = ""
    reason: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading: `test` is the line id printed on the sheet."""

    drive: str
    test: str = ""
    value: str = ""
    unit: str = ""
    condition: str = ""
    instrument: str = ""
    date: dt.date | None = None
    initials: str = ""
    remark: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Waiver:
    code: str
    tag: str = ""
    name: str = ""
    reason: str = ""
    date: dt.date | None = None
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class PunchItem:
    number: str
    drive: str = ""
    text: str = ""
    severity: str = ""  # 'A' safety, 'B' function, 'C' finish
    owner: str = ""
    due: dt.date | None = None
    closed: dt.date | None = None
    closed_by: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Defeat:
    """Something temporarily defeated: jumper, lowered trip, bypass."""

    drive: str
    text: str = ""
    place: str = ""
    applied: dt.date | None = None
    applied_by: str = ""
    cleared: dt.date | None = None
    cleared_by: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Training:
    topic: str
    date: dt.date | None = None
    hours: Measure | None = None
    instructor: str = ""
    attendees: str = ""
    material: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Warranty:
    item: str
    start: dt.date | None = None
    end: dt.date | None = None
    contact: str = ""
    terms: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Spare:
    part: str
    drives: tuple[str, ...] = ()
    quantity: int | None = None
    supplier: str = ""
    order_number: str = ""
    lead_time: str = ""
    place: str = ""
    last_powered: dt.date | None = None
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class MaintenanceTask:
    task: str
    drives: tuple[str, ...] = ()
    interval: Measure | None = None
    craft: str = ""
    minutes: Measure | None = None
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class DocumentOption:
    """Switches a document off, or moves or renames it."""

    document: str  # kind or number
    include: bool | None = None
    order: int | None = None
    title: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Revision:
    revision: str
    date: dt.date | None = None
    reason: str = ""
    by: str = ""
    approved_by: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Signature:
    """A signature given on paper, with the digest that was printed beside it."""

    drive: str = ""  # blank: the site
    statement: str = ""  # a gate's name or a certificate's title
    role: str = ""
    name: str = ""
    date: dt.date | None = None
    digest: str = ""
    origin: Origin = NOWHERE
