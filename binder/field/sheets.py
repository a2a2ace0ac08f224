"""What a technician carries: lockout card, test sheets, sweep table, fault pages, as plain data."""

from __future__ import annotations

from dataclasses import dataclass

from binder.inventory.findings import Finding
from binder.inventory.records import Defeat, PunchItem

#: The four sign-off gates in the order in which they are earned.
GATES = ("may be energized", "may turn", "may be loaded", "accepted")


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
    kind: str = ""  # key of isolation.KINDS: 'incoming supply', 'space heater', ...


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
    wait_source: str = ""  # manual and page of the waiting time
    inspection: tuple[str, ...] = ()  # headings of the yearly inspection block
    inspection_rule: str = ""


@dataclass(frozen=True, slots=True)
class TestLine:
    """One line of a test sheet. `id` is what a reading refers to ('E1.L12')."""

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
    kind: str = "measure"  # 'measure', 'check' (done or not), 'record' (no limit), 'computed' (from other lines)
    severity: str = "B"  # of the punch item that a failure makes: 'A' safety, 'B' function, 'C' finish
    defeat: str = ""  # what this test takes out of action, and how it is put back: a line of the defeat list
    optional: bool = False  # may stay blank: it bars no gate
    trusted: bool = True  # False: its reading does not count (not done, no date, instrument out of calibration, ...)

    @property
    def done(self) -> bool:
        """True when the line holds an answer that stands: passed, or recorded where there is no limit."""
        return self.verdict == "pass" or (self.kind == "record" and bool(self.reading) and self.trusted)

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
    lines: tuple[TestLine, ...] = ()  # what is read at this point, judged like any other line
    shaft_kw: float | None = None  # power that the load takes at this speed


@dataclass(frozen=True, slots=True)
class Sweep:
    mode: str
    source: str
    convention: str  # how zero signal maps: to 0 Hz or to minimum speed
    points: tuple[SweepPoint, ...]
    note: str = ""  # what the expected values rest on
    key: str = ""  # 'hand-POT': its part of the line ids


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
class CodeMeaning:
    """A code of the drive's display: what it means, what to check first, which page goes on from there."""

    code: str
    meaning: str  # one of inventory.columns_models.FAULT_KINDS
    words: str  # the manual's
    page: str  # of the manual
    symptom: str  # of the fault page that is followed, '' where this drive has none
    checks: tuple[FaultCheck, ...]
    note: str = ""  # in place of checks, where this drive has none


@dataclass(frozen=True, slots=True)
class Gate:
    """One of the sign-off gates and what still stands in its way."""

    name: str
    blocked_by: tuple[str, ...]
    roles: tuple[str, ...]
    exceptions: tuple[str, ...] = ()  # lines 'not done' with a reason: accepted only with these named

    @property
    def earned(self) -> bool:
        """True when nothing stands in the way of a signature; the signature is still a person's."""
        return not self.blocked_by


@dataclass(frozen=True, slots=True)
class DoorCard:
    """The one sheet behind the panel door, short enough for 2 am."""

    drive: str
    feeds: str
    isolators: tuple[str, ...]
    wait: str
    test_points: tuple[str, ...]
    modes: tuple[tuple[str, str, str, str], ...]  # mode, who commands, who sets speed, selected by
    settings: tuple[tuple[str, str, str], ...]  # changed settings: number, name, value
    baseline: tuple[tuple[str, str, str, str], ...]  # speed %, Hz, expected A, read A
    monitors: tuple[str, ...]  # the four monitors that answer nearly every call
    faults: tuple[FaultPage, ...]  # the first six, each cut to what a meter answers at its terminals
    spare: tuple[str, ...]
    contacts: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    backup: str = ""
    document: str = ""  # document number and revision, for the QR code
    codes: tuple[CodeMeaning, ...] = ()  # what the display shows, and what it means


@dataclass(frozen=True, slots=True)
class PlotData:
    """Points of one plot: expected band and what was read."""

    key: str
    title: str
    x_label: str
    y_label: str
    band_x: tuple[float, ...] = ()
    band_low: tuple[float, ...] = ()
    band_high: tuple[float, ...] = ()
    readings: tuple[tuple[str, tuple[float, ...], tuple[float, ...]], ...] = ()  # name, x, y
    lines: tuple[tuple[str, tuple[float, ...], tuple[float, ...]], ...] = ()  # drawn through: limits


@dataclass(frozen=True, slots=True)
class TraceRow:
    """One requirement with the lines that prove it and how they came out."""

    requirement: str
    kind: str  # 'setting', 'wire', 'permissive'
    lines: tuple[str, ...]
    result: str  # 'pass', 'fail', 'open', 'no test'


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
    door_card: DoorCard | None = None
    punch_items: tuple[PunchItem, ...] = ()  # the workbook's and those that failed lines make
    defeats: tuple[Defeat, ...] = ()  # jumpers, lowered trips: open and cleared
    plots: tuple[PlotData, ...] = ()
    trace: tuple[TraceRow, ...] = ()  # requirement -> test -> result
    codes: tuple[CodeMeaning, ...] = ()  # the model's fault codes

    @property
    def lines(self) -> tuple[TestLine, ...]:
        """Every line that a reading can refer to, sheets first, then the sweeps."""
        return (
            *(line for sheet in self.sheets for line in sheet.lines),
            *(line for sweep in self.sweeps for point in sweep.points for line in point.lines),
        )
