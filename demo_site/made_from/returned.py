"""What came back from site: invented as-left values and readings, in the middle of each line's limits."""

from __future__ import annotations

from collections.abc import Iterator
from zlib import crc32

from binder.engineering.figure import display
from binder.field.bench import NO_LIMIT
from binder.field.sheets import TestLine
from binder.settings.functions import FUNCTIONS
from binder.settings.table import SettingRow
from binder.study import DriveStudy, SiteStudy
from made_from.table_text import Row

#: Which instrument reads a unit.
_INSTRUMENT = {
    "V": "DM-1", "Hz": "DM-1", "mA": "LC-1", "Ω": "DM-1", "kΩ": "DM-1", "MΩ": "IR-1", "A": "CM-1", "%": "CM-1",
    "rpm": "TA-1", "°C": "TH-1", "K": "TH-1", "mm": "DI-1", "mm/s": "VB-1", "s": "SW-1", "h": "SW-1", "ms": "SW-1",
    "kW": "PM-1",
}  # fmt: skip

#: Lines that are only recorded, by the beginning of their id.
_RECORDED = {
    "R2.T": 24, "R2.M": 2400, "R3": 1.62, "E2": 278, "U6": 1.1, "C5": 15.1, "C10": 86, "H1": 24, "H2": 46, "C3": 664,
    "C12": 6.8, "C13": 58,
}  # fmt: skip

#: The motor of the complete drive was tested when it was delivered as well, cold: a trend from visit to visit.
_ON_DELIVERY = (("R2.T", "9", "°C", "TH-1"), ("R2.M", "5200", "MΩ", "IR-1"))

#: What deliberately went wrong, by drive and line or setting; see PLANTED.md.
WRONG_READINGS = {("VFD-202", "R2.M"): 6.0}
WRONG_INSTRUMENTS = {("VFD-401", "R1.W401-L"): "IR-2"}
WRONG_SETTINGS = {("VFD-401", "7"): "2"}


def _value(line: TestLine) -> float:
    """A plausible value: the middle of the limits, moved a little by the line's id."""
    turn = 1 + ((crc32(line.id.encode()) % 7) - 3) * 0.003
    low, high = line.low, line.high
    if low is not None and high is not None:
        return min(max((low + high) / 2 * turn, low), high)
    if high is not None:
        return high * (0.85 if line.unit == "Ω" else 0.6) * turn
    if low is not None:
        return low * 8 * turn
    if line.unit == "kW":  # shaft power as expected, and a tenth for the losses
        return float((line.expected or "2").split()[0]) * 1.1 * turn
    known = next((v for k, v in _RECORDED.items() if line.id.startswith(k)), 1)
    return known if line.unit in {"h", "°C"} else known * turn


def readings(drive: DriveStudy, day: str, *, last_sheet: str = "") -> Iterator[Row]:
    """Readings of one drive, to the end or up to and with one sheet."""
    sheets = drive.field.sheets
    lines = [(s.id, line) for s in sheets for line in s.lines]
    lines += [("C", line) for s in drive.field.sweeps for p in s.points for line in p.lines]
    order = [s.id for s in sheets]
    for sheet, line in lines:
        if line.kind == "computed" or (last_sheet and order.index(sheet) > order.index(last_sheet)):
            continue
        row: Row = {"drive": drive.drive.tag, "test": line.id, "date": day, "initials": "JP"}
        if line.kind == "check":
            yield row | {"value": "yes"}
        elif line.limit == NO_LIMIT:
            yield row | {"value": "not done", "remark": "no limit in any rule for a machine of this size"}
        else:
            here = (drive.drive.tag, line.id)
            value = display(WRONG_READINGS.get(here) or _value(line))
            instrument = WRONG_INSTRUMENTS.get(here) or _INSTRUMENT[line.unit]
            yield row | {"value": value, "unit": line.unit, "instrument": instrument}


def as_left(drive: DriveStudy, day: str) -> Iterator[Row]:
    """As-found and as-left values of every setting that was written."""
    last: dict[str, SettingRow] = {r.number: r for r in drive.settings.rows}
    for number, row in last.items():
        function = FUNCTIONS.get(row.function)
        done = function is not None and function.kind == "action"  # reads back as idle
        left = WRONG_SETTINGS.get((drive.drive.tag, number), row.default if done else row.required)
        yield {"drive": drive.drive.tag, "setting": number, "as_found": row.default, "as_left": left, "date": day,
               "initials": "AF"}  # fmt: skip


def returned(study: SiteStudy) -> dict[str, list[Row]]:
    """Rows of the sheets 'As left' and 'Readings': one drive complete, one stopped by a failure, one begun."""
    drives = {d.drive.tag: d for d in study.drives}
    complete, failed, begun = drives["VFD-201"], drives["VFD-202"], drives["VFD-401"]
    return {
        "As left": [*as_left(complete, "2026-04-20"), *as_left(begun, "2026-04-23")],
        "Readings": [
            *(
                {
                    "drive": "VFD-201",
                    "test": test,
                    "value": value,
                    "unit": unit,
                    "instrument": instrument,
                    "date": "2026-03-04",
                    "initials": "JP",
                    "condition": "in the store",
                }
                for test, value, unit, instrument in _ON_DELIVERY
            ),
            *readings(complete, "2026-04-20"),
            *readings(failed, "2026-04-21", last_sheet="R"),
            *readings(begun, "2026-04-23", last_sheet="P"),
        ],
    }
