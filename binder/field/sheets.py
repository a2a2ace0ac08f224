"""What a technician carries: lockout card, test sheets, sweep table, fault pages, as plain data."""

from __future__ import annotations

from dataclasses import dataclass

from binder.inventory.findings import Finding


@dataclass(frozen=True, slots=True)
class EnergySource:
    """One energy that can hurt, where it is cut, and how it is proven gone."""

    energy: str
    magnitude: str
    isolator: str
    place: str
    method: str
    proof: str
    found_from: str  # the record that says so


@dataclass(frozen=True, slots=True)
class LockoutCard:
    """Isolation of one drive."""

    drive: str
    scope: str
    sources: tuple[EnergySource, ...]
    wait_minutes: float | None
    computed_discharge_s: float | None
    stored_energy_j: float | None
    bus_volts: float | None
    steps: tuple[str, ...]
    test_points: tuple[str, ...]
    return_steps: tuple[str, ...]
    not_isolators: tuple[str, ...]
    rules: tuple[str, ...]  # the texts it defers to
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class TestLine:
    """One line of a test sheet. `id` is what a reading refers to ('E3.U-V')."""

    id: str
    what: str
    condition: str
    expected: str
    limit: str
    source: str
    unit: str = ""
    low: float | None = None
    high: float | None = None
    reading: str = ""
    instrument: str = ""
    initials: str = ""
    date: str = ""
    verdict: str = ""  # '', 'pass', 'fail', 'not judged'
    why: str = ""  # why not judged, or how it was computed
    proves: tuple[str, ...] = ()  # setting functions or connection ids

    __test__ = False  # not a test case for pytest


@dataclass(frozen=True, slots=True)
class TestSheet:
    """A sheet of lines done in one go, with the gate that it earns."""

    id: str
    title: str
    gate: str  # 'may be energized', 'may turn', 'may be loaded', 'accepted'
    cautions: tuple[str, ...]
    lines: tuple[TestLine, ...]
    left_out: tuple[str, ...] = ()  # what does not apply, and why

    __test__ = False


@dataclass(frozen=True, slots=True)
class SweepPoint:
    """One row of the reference sweep."""

    percent: float
    signal: str  # '5.00 V', '12.0 mA'
    frequency_hz: float
    speed_rpm: float
    machine_rpm: float | None
    current_low_a: float | None
    current_high_a: float | None


@dataclass(frozen=True, slots=True)
class Sweep:
    mode: str
    source: str
    convention: str  # how zero signal maps: to 0 Hz or to minimum speed
    points: tuple[SweepPoint, ...]


@dataclass(frozen=True, slots=True)
class FaultCheck:
    order: int
    check: str
    expected: str
    if_not: str
    setting: str = ""


@dataclass(frozen=True, slots=True)
class FaultPage:
    symptom: str
    checks: tuple[FaultCheck, ...]


@dataclass(frozen=True, slots=True)
class Gate:
    """One of the sign-off gates and what still stands in its way."""

    name: str
    blocked_by: tuple[str, ...]
    roles: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FieldPack:
    """All field sheets of one drive."""

    drive: str
    lockout: LockoutCard
    sheets: tuple[TestSheet, ...]
    sweeps: tuple[Sweep, ...]
    faults: tuple[FaultPage, ...]
    gates: tuple[Gate, ...]
    findings: tuple[Finding, ...] = ()
