"""Readings judged: value against limit, with instrument, person and date that can be trusted."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace

from binder.engineering.dc_bus import no_load_volts
from binder.engineering.figure import display
from binder.engineering.insulation import (
    halving_factor,
    most_meaningful_mohm,
    polarization_index,
    raw_limit_mohm,
    spread_percent,
    thermoset_factor,
)
from binder.engineering.ranges import OutOfRangeError
from binder.engineering.supply import unbalance_derating, unbalance_percent
from binder.field.bench import NO_LIMIT, between
from binder.field.gates import NOT_DONE
from binder.field.reading_text import Amount, UnreadError, amount, answer
from binder.field.sheets import Sweep, SweepPoint, TestLine, TestSheet
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import fold, instrument_of, person_of, readings_of
from binder.inventory.records import Drive, Inventory, Reading

#: Fault of a reading -> (code, what would be accepted, remedy).
FAULTS: dict[str, tuple[str, str, str]] = {
    "unknown test": ("F201", "the id of a line of this drive's sheets", "Copy the id from the sheet."),
    "unit": ("F202", "the unit of the line, or one that converts to it", "Write the unit that the instrument showed."),
    "no unit": ("F203", "the unit of the line", "Write the unit that the instrument showed."),
    "expired": ("F204", "an instrument whose calibration was valid on that day", "Repeat with a valid instrument."),
    "unknown instrument": ("F205", "a tag of the sheet Instruments", "Correct the tag, or add the instrument."),
    "no instrument": ("F206", "a tag of the sheet Instruments", "Write which instrument was used."),
    "no calibration": ("F207", "a date on the sheet Instruments", "Read the calibration label and fill the date."),
    "unknown initials": ("F208", "initials of the sheet People", "Correct them, or add the person."),
    "no initials": ("F209", "initials of the sheet People", "Write who took the reading."),
    "no date": ("F210", "the day of the reading, for example 2026-03-14", "Write the day."),
    "future date": ("F211", "a day that has come", "Correct the day."),
    "text": ("F212", "a number, or 'not done' with a reason", "Write the number; words go to the remark."),
    "over range": ("F213", "a number, or a bound such as >2000", "Write the end of the instrument's range."),
    "duplicate": ("F214", "each reading once", "Delete one of the two rows."),
    "two on a day": (
        "F215",
        "one standing reading a day",
        "Say in the remark which one counts; the lower row is taken.",
    ),
    "no reason": ("F216", "'not done' with a reason in the remark", "Write why it was not done."),
    "no answer": ("F217", "yes, no, or 'not done' with a reason", "Answer the line."),
    "no limit": ("F218", "a limit for the line", "Complete the inventory, so that the limit can be worked out."),
}


@dataclass(frozen=True, slots=True)
class Judged:
    """Sheets and sweeps with what was read, and what was wrong with it."""

    sheets: tuple[TestSheet, ...]
    sweeps: tuple[Sweep, ...]
    findings: tuple[Finding, ...]


@dataclass
class _Judge:
    """Work of one drive: values that may be trusted, by line id, and findings."""

    inventory: Inventory
    drive: Drive
    today: dt.date | None = None
    values: dict[str, float] = field(default_factory=dict)
    lines: dict[str, TestLine] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)

    def fault(self, reading: Reading, name: str, found: str, column: str, *, grade: Grade = Grade.CAUTION) -> None:
        """Add a finding about a reading's cell."""
        code, accepted, remedy = FAULTS[name]
        self.findings.append(
            Finding(
                code=code,
                grade=grade,
                sheet=reading.origin.sheet or "Readings",
                cell=reading.origin.cell(column),
                tag=self.drive.tag,
                found=f"{reading.test}: {found}",
                accepted=accepted,
                remedy=remedy,
                column=column,
            )
        )


def judge(
    inventory: Inventory,
    drive: Drive,
    sheets: Sequence[TestSheet],
    sweeps: Sequence[Sweep],
    *,
    today: dt.date | None = None,
) -> Judged:
    """Put the workbook's readings on the lines of a drive and judge them.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
    sheets : sequence of TestSheet
        Blank.
    sweeps : sequence of Sweep
        Blank.
    today : date, optional
        A later reading is a mistake. Not given when a binder is built: a build has no clock.

    Returns
    -------
    Judged
        The latest reading of each line stands; earlier ones stay in the workbook and are counted
        in `why`. A reading that cannot be trusted is shown and not judged.
    """
    if not readings_of(inventory, drive):
        return Judged(tuple(sheets), tuple(sweeps), ())
    work = _Judge(inventory, drive, today)
    every = [line for sheet in sheets for line in sheet.lines]
    every += [line for sweep in sweeps for point in sweep.points for line in point.lines]
    by_test = _by_test(work, {fold(line.id) for line in every})
    for line in every:
        if line.kind != "computed":
            work.lines[line.id] = _line(work, line, by_test.get(fold(line.id), []))
    for line in every:
        if line.kind == "computed":
            work.lines[line.id] = _computed(work, line, by_test.get(fold(line.id), []))
    _failures(work, every, by_test)
    return Judged(
        tuple(replace(s, lines=tuple(work.lines[line.id] for line in s.lines)) for s in sheets),
        tuple(replace(s, points=tuple(_point(work, p) for p in s.points)) for s in sweeps),
        tuple(work.findings),
    )


def _point(work: _Judge, point: SweepPoint) -> SweepPoint:
    return replace(point, lines=tuple(work.lines[line.id] for line in point.lines))


def _by_test(work: _Judge, known: set[str]) -> dict[str, list[Reading]]:
    """Readings by line, oldest first, without exact doubles."""
    found: dict[str, list[Reading]] = {}
    for reading in readings_of(work.inventory, work.drive):
        key = fold(reading.test)
        if key not in known:
            work.fault(reading, "unknown test", "no such line on this drive's sheets", "test")
            continue
        same_day = [r for r in found.get(key, []) if r.date == reading.date]
        if any(_facts(r) == _facts(reading) for r in same_day):
            work.fault(reading, "duplicate", "the same reading twice", "test")
            continue
        if same_day and reading.date is not None:
            words = f"{same_day[-1].value} and {reading.value} on {reading.date}"
            work.fault(reading, "two on a day", words, "value", grade=Grade.NOTE)
        found.setdefault(key, []).append(reading)
    return found


def _facts(reading: Reading) -> tuple[object, ...]:
    return (reading.value, reading.unit, reading.condition, reading.instrument, reading.initials, reading.remark)


def _line(work: _Judge, line: TestLine, readings: list[Reading]) -> TestLine:
    """One line with its standing reading, the last one."""
    if not readings:
        return line
    reading = readings[-1]
    why = [line.why] if line.why else []
    if len(readings) > 1:
        why.append("earlier: " + "; ".join(_short(r) for r in readings[:-1]))
    shown = replace(
        line,
        reading=f"{reading.value} {reading.unit}".strip(),
        instrument=reading.instrument,
        initials=reading.initials,
        date=reading.date.isoformat() if reading.date else "",
    )
    meant = answer(reading.value)
    if meant == "not done":
        return _left_undone(work, shown, reading, why)
    doubts = _doubts(work, reading, numeric=line.kind != "check")
    if line.kind == "check":
        return _checked(work, shown, reading, meant, doubts, why)
    return _measured(work, shown, reading, doubts, why)


def _short(reading: Reading) -> str:
    return f"{reading.value} {reading.unit}".strip() + (f" on {reading.date}" if reading.date else "")


def _ended(line: TestLine, verdict: str, why: Iterable[str], *, trusted: bool = True) -> TestLine:
    return replace(line, verdict=verdict, why="; ".join(w for w in why if w), trusted=trusted)


def _left_undone(work: _Judge, line: TestLine, reading: Reading, why: list[str]) -> TestLine:
    if not reading.remark:
        work.fault(reading, "no reason", "not done, and no reason given", "remark")
    reason = reading.remark or "no reason given"
    return _ended(replace(line, reading=NOT_DONE), "not judged", [reason, *why], trusted=False)


def _checked(work: _Judge, line: TestLine, reading: Reading, meant: str, doubts: list[str], why: list[str]) -> TestLine:
    if not meant:
        work.fault(reading, "no answer", f"'{reading.value}' is neither yes nor no", "value")
        return _ended(line, "not judged", ["neither yes nor no", *doubts, *why], trusted=False)
    if doubts:
        return _ended(line, "not judged", [*doubts, *why], trusted=False)
    return _ended(line, "pass" if meant == "yes" else "fail", [reading.remark, *why])


def _measured(work: _Judge, line: TestLine, reading: Reading, doubts: list[str], why: list[str]) -> TestLine:
    try:
        read = amount(reading.value, reading.unit, line.unit, decimal_mark=work.inventory.site.decimal_mark)
    except UnreadError as refused:
        open_circuit = refused.fault == "over range" and line.low is None and line.high is not None
        if open_circuit and not doubts:
            return _ended(line, "fail", ["over range, above the limit", *why])
        column = "unit" if refused.fault in ("unit", "no unit") else "value"
        work.fault(reading, refused.fault, refused.words, column)
        return _ended(line, "not judged", [refused.words, *doubts, *why], trusted=False)
    if doubts:
        return _ended(line, "not judged", [*doubts, *why], trusted=False)
    if not read.sign or line.high is None:
        work.values[line.id] = read.number
    if line.limit == NO_LIMIT:
        work.fault(reading, "no limit", "a reading without limit", "test", grade=Grade.NOTE)
    if line.id == "E4.DC":
        line, why = _bus_limits(work, line, why)
    verdict, words = verdict_of(read, line.low, line.high)
    converted = "" if reading.unit == line.unit else f"= {read.sign}{display(read.number)} {line.unit}"
    return _ended(line, verdict, [words, converted, reading.remark, *why])


def verdict_of(read: Amount, low: float | None, high: float | None) -> tuple[str, str]:
    """Judge a number, or a bound, against limits.

    Parameters
    ----------
    read : Amount
    low, high : float or None
        In the unit of `read`.

    Returns
    -------
    verdict : str
        'pass', 'fail' or 'not judged'.
    why : str

    Examples
    --------
    >>> verdict_of(Amount(2000, ">"), 5, None)
    ('pass', '')
    >>> verdict_of(Amount(2000, ">"), None, 3000)
    ('not judged', 'only known to be above 2000')
    """
    if low is None and high is None:
        return "not judged", "recorded, no limit"
    value = read.number
    if read.sign == ">":
        if high is not None:
            return ("fail", "") if value >= high else ("not judged", f"only known to be above {display(value)}")
        return (
            ("pass", "")
            if low is not None and value >= low
            else ("not judged", f"only known to be above {display(value)}")
        )
    if read.sign == "<":
        if low is not None:
            return ("fail", "") if value <= low else ("not judged", f"only known to be below {display(value)}")
        return (
            ("pass", "")
            if high is not None and value <= high
            else ("not judged", f"only known to be below {display(value)}")
        )
    inside = (low is None or value >= low - 1e-9 * abs(low)) and (high is None or value <= high + 1e-9 * abs(high))
    return ("pass", "") if inside else ("fail", "")


def _doubts(work: _Judge, reading: Reading, *, numeric: bool) -> list[str]:
    """Why a reading cannot be trusted: person, date, instrument; each with its finding."""
    doubts: list[str] = []

    def add(name: str, found: str, column: str) -> None:
        work.fault(reading, name, found, column)
        doubts.append(found)

    if not reading.initials:
        add("no initials", "no initials", "initials")
    elif person_of(work.inventory, reading.initials) is None:
        add("unknown initials", f"nobody has the initials {reading.initials}", "initials")
    if reading.date is None:
        add("no date", "no date", "date")
    elif work.today is not None and reading.date > work.today:
        add("future date", f"dated {reading.date}, and today is {work.today}", "date")
    if numeric:
        _instrument_doubts(work, reading, add)
    return doubts


def _instrument_doubts(work: _Judge, reading: Reading, add: Callable[[str, str, str], None]) -> None:
    if not reading.instrument:
        add("no instrument", "no instrument named", "instrument")
        return
    instrument = instrument_of(work.inventory, reading.instrument)
    if instrument is None:
        add("unknown instrument", f"instrument {reading.instrument} is not on the sheet", "instrument")
    elif instrument.calibration_due is None:
        add("no calibration", f"calibration of {instrument.tag} is not known", "instrument")
    elif reading.date is not None and reading.date > instrument.calibration_due:
        add("expired", f"calibration of {instrument.tag} ended {instrument.calibration_due}", "instrument")


def _bus_limits(work: _Judge, line: TestLine, why: list[str]) -> tuple[TestLine, list[str]]:
    """DC bus limits from the line volts that were read, when all of them were."""
    volts = [work.values[k] for k in ("E1.L12", "E1.L23", "E1.L31") if k in work.values]
    if not volts:
        return line, why
    bus = no_load_volts(math.fsum(volts) / len(volts))
    low, high = 0.95 * bus, 1.05 * bus
    words = f"line read {display(math.fsum(volts) / len(volts))} V, so {display(bus)} V ±5 %"
    return replace(line, low=low, high=high, limit=between(low, high, "V")), [words, *why[1:]]


#: Computed lines: id (or its end) -> the lines they come from.
_SPREADS = {
    "R3.S": ("R3.UV", "R3.VW", "R3.WU"),
    "U4.S": ("U4.U", "U4.V", "U4.W"),
    "E1.U": ("E1.L12", "E1.L23", "E1.L31"),
}
#: Ratio of a later insulation reading to an earlier one.
_RATIOS = {"R2.PI": ("R2.M", "R2.10"), "R2.DAR": ("R2.30", "R2.M")}


def _sources(line: TestLine) -> tuple[str, ...]:
    if line.id == "R2.C":
        return ("R2.M", "R2.T")
    if line.id in _RATIOS:
        return _RATIOS[line.id]
    if line.id.startswith("C3.") and line.id.endswith(".S"):
        return tuple(line.id[:-1] + phase for phase in "UVW")
    return _SPREADS.get(line.id, ())


def _computed(work: _Judge, line: TestLine, readings: list[Reading]) -> TestLine:
    """A line worked out from others; a reading typed for it serves only where those are missing."""
    sources = _sources(line)
    given = [work.lines[s] for s in sources]
    if not sources or not any(g.reading for g in given):
        if line.reading or not readings:
            return line
        return _line(work, replace(line, kind="measure"), readings)
    missing = [s for s in sources if s not in work.values]
    last = max(given, key=lambda g: g.date)
    shown = replace(line, instrument=last.instrument, initials=last.initials, date=last.date)
    if missing and all(g.reading for g in given):
        waits = [f"waits for a reading that counts: {', '.join(missing)}"]
        return _ended(replace(shown, reading="not computed"), "not judged", waits, trusted=False)
    if missing:
        return _ended(shown, "", [f"waits for {', '.join(missing)}"])
    return _worked_out(work, line, shown, sources)


def _worked_out(work: _Judge, line: TestLine, shown: TestLine, sources: tuple[str, ...]) -> TestLine:
    """A computed line whose sources all count."""
    if line.id == "R2.PI" and work.values["R2.M"] >= most_meaningful_mohm():
        words = f"1 min reading at or above {display(most_meaningful_mohm())} MΩ: the index says nothing"
        return _ended(replace(shown, kind="record", reading="not asked"), "not judged", [words])
    try:
        value, why = _value(work, line, sources)
    except OutOfRangeError as refused:
        return _ended(shown, "not judged", [str(refused)], trusted=False)
    work.values[line.id] = value
    if line.optional:
        return _ended(replace(shown, kind="record", reading=display(value)), "", [why])
    verdict, _ = verdict_of(Amount(value), line.low, line.high)
    return _ended(replace(shown, reading=f"{display(value)} {line.unit}".strip()), verdict, [why])


def _value(work: _Judge, line: TestLine, sources: tuple[str, ...]) -> tuple[float, str]:
    numbers = [work.values[s] for s in sources]
    if line.id == "R2.C":
        value, words = corrected_insulation(numbers[0], numbers[1])
        if line.low is None:
            return value, words
        raw = max(raw_limit_mohm(line.low, numbers[1]))
        return value, f"{words}; at {display(numbers[1])} °C the tester must show {display(raw)} MΩ"
    if line.id in _RATIOS:
        return _ratio(work, sources, *numbers)
    if line.id == "E1.U":
        percent = unbalance_percent(numbers)
        factor = unbalance_derating(percent) if 1 < percent <= 5 else None
        note = f"; on line, motor at {factor:g} of its power (NEMA MG 1 14.36)" if factor else ""
        return percent, f"from {', '.join(display(n) for n in numbers)} V{note}"
    return spread_percent(numbers), f"from {', '.join(display(n) for n in numbers)}"


def _ratio(work: _Judge, sources: tuple[str, ...], earlier: float, later: float) -> tuple[float, str]:
    """A later insulation reading over an earlier one: polarization index, absorption ratio.

    Raises
    ------
    OutOfRangeError
        The earlier reading is only a bound.
    """
    if work.lines[sources[0]].reading.startswith((">", "<")):
        raise OutOfRangeError(f"{work.lines[sources[0]].what} [MΩ]", earlier, "a number, not a bound, for an index")
    return polarization_index(earlier, later), f"{display(later)} over {display(earlier)} MΩ"


def corrected_insulation(reading_mohm: float, winding_c: float) -> tuple[float, str]:
    """Bring an insulation reading to 40 °C by both rules and keep the lower one.

    Parameters
    ----------
    reading_mohm : float
        As read after one minute. [MΩ]
    winding_c : float
        Winding temperature, 0 to 100. [°C]

    Returns
    -------
    float
        The stricter of both corrections. [MΩ]
    str
        How it was found.

    Raises
    ------
    OutOfRangeError
        The temperature lies outside 0 to 100 °C.

    Examples
    --------
    >>> round(corrected_insulation(150, 20)[0], 1)
    37.5

    References
    ----------
    IEEE 43-2013: halving per 10 K, and the rule for thermosetting windings (from memory, check).
    """
    halved, thermoset = reading_mohm * halving_factor(winding_c), reading_mohm * thermoset_factor(winding_c)
    words = f"{display(halved)} MΩ by halving per 10 K, {display(thermoset)} MΩ by the thermoset rule; the lower counts"
    return min(halved, thermoset), words


def _failures(work: _Judge, every: list[TestLine], by_test: dict[str, list[Reading]]) -> None:
    """A finding for each failing line: a stop for safety, else a caution."""
    for line in (work.lines[e.id] for e in every):
        if line.verdict != "fail" or line.id == "S2":  # the settings room tells which value differs, and where
            continue
        sources = (line.id, *_sources(line))
        reading = next((by_test[fold(s)][-1] for s in sources if by_test.get(fold(s))), None)
        work.findings.append(
            Finding(
                code="F220",
                grade=Grade.STOP if line.severity == "A" else Grade.CAUTION,
                sheet=(reading.origin.sheet if reading else "") or "Readings",
                cell=reading.origin.cell("value") if reading else "",
                tag=work.drive.tag,
                found=f"{line.id} {line.what}: {line.reading}",
                accepted=f"{line.limit} ({line.source})",
                remedy="Mend it, test again, and add the new reading below the old one.",
                column="value",
            )
        )
