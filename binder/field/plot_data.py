"""Points for the plots of a drive's readings: sweep, ramps, insulation from visit to visit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from binder.engineering.figure import display
from binder.field.bench import Bench, plain
from binder.field.reading_text import UnreadError, amount
from binder.field.readings import corrected_insulation
from binder.field.sheets import PlotData, Sweep, TestLine
from binder.inventory.lookup import fold, readings_of
from binder.inventory.records import Reading

Points = tuple[str, tuple[float, ...], tuple[float, ...]]


def plots(bench: Bench, sweeps: Sequence[Sweep], lines: Sequence[TestLine] = ()) -> tuple[PlotData, ...]:
    """Gather the plots of a drive; a plot without band and without readings is left out.

    Parameters
    ----------
    bench : Bench
    sweeps : sequence of Sweep
        Judged.
    lines : sequence of TestLine
        Every line of the drive, for the limits that are drawn.

    Returns
    -------
    tuple of PlotData
    """
    by_id = {line.id: line for line in lines}
    return (
        *_sweeps(bench, sweeps),
        *_ramps(bench, by_id.get("C4.UP"), by_id.get("C4.DN")),
        *_insulation(bench, by_id.get("R2.C")),
    )


def _number(bench: Bench, line: TestLine | Reading, unit: str) -> float | None:
    """The number of a judged line or of a reading in a unit; None when it is no plain number."""
    text, given = (line.value, line.unit) if isinstance(line, Reading) else (line.reading, "")
    try:
        read = amount(text, given, unit, decimal_mark=bench.inventory.site.decimal_mark)
    except UnreadError:
        return None
    return None if read.sign else read.number


def _sweeps(bench: Bench, sweeps: Sequence[Sweep]) -> Iterator[PlotData]:
    for sweep in sweeps:
        banded = [p for p in sweep.points if p.current_low_a is not None and p.current_high_a is not None]
        read = tuple(_phase(bench, sweep, phase) for phase in "UVW")
        if len(banded) < 2 and not any(x for _, x, _ in read):
            continue
        yield PlotData(
            key=f"sweep-{sweep.key}",
            title=f"Output current over frequency{', mode ' + sweep.mode if sweep.mode else ''}",
            x_label="Output frequency [Hz]",
            y_label="Current [A]",
            band_x=tuple(p.frequency_hz for p in banded),
            band_low=tuple(p.current_low_a or 0.0 for p in banded),
            band_high=tuple(p.current_high_a or 0.0 for p in banded),
            readings=tuple(r for r in read if r[1]),
        )


def _phase(bench: Bench, sweep: Sweep, phase: str) -> Points:
    """Read currents of one phase over the frequency that was read, else the expected one."""
    x, y = [], []
    for point in sweep.points:
        by_end = {line.id.rsplit(".", 1)[-1]: line for line in point.lines}
        line = by_end.get(phase)
        amps = _number(bench, line, "A") if line and line.reading and line.trusted else None
        if amps is None:
            continue
        hertz = by_end.get("HZ")
        found = _number(bench, hertz, "Hz") if hertz and hertz.reading and hertz.trusted else None
        x.append(point.frequency_hz if found is None else found)
        y.append(amps)
    return phase, tuple(x), tuple(y)


_PAUSE = 0.15  # of the longer ramp: time drawn at full speed between the two


def _ramps(bench: Bench, up: TestLine | None, down: TestLine | None) -> Iterator[PlotData]:
    """Up, a pause, down: frequency over time as set, limits of the two lines, and the seconds that were read."""
    _, top = bench.running_hz
    rise, fall = plain(bench.drive.acceleration_time, "s"), plain(bench.drive.deceleration_time, "s")
    if not top or not rise or not fall or up is None or down is None:
        return
    if None in (up.low, up.high, down.low, down.high):
        return
    fast_up, slow_up = max(up.low or 0.0, 0.0), up.high or 0.0
    fast_down, slow_down = max(down.low or 0.0, 0.0), down.high or 0.0
    start = slow_up + _PAUSE * max(rise, fall)
    times = (0.0, fast_up, slow_up, start, start + fast_down, start + slow_down)
    low = [_share(t, slow_up) - _share(t - start, fast_down) for t in times]
    high = [_share(t, fast_up) - _share(t - start, slow_down) for t in times]
    read = [
        (name, (at + seconds,), (hertz,))
        for name, line, at, hertz in (("read, up", up, 0.0, top), ("read, down", down, start, 0.0))
        if line.reading and line.trusted and (seconds := _number(bench, line, "s")) is not None
    ]
    yield PlotData(
        key="ramps",
        title="Ramps: up, a pause at full speed, down",
        x_label="Time [s], the pause drawn short",
        y_label="Output frequency [Hz]",
        band_x=times,
        band_low=tuple(top * share for share in low),
        band_high=tuple(top * share for share in high),
        readings=tuple(read),
        lines=(("as set", (0.0, rise, start, start + fall), (0.0, top, top, 0.0)),),
    )


def _share(elapsed: float, ramp: float) -> float:
    """How much of a ramp is done, 0 to 1."""
    return min(max(elapsed / ramp, 0.0), 1.0) if ramp > 0 else float(elapsed > 0)


def _insulation(bench: Bench, limit: TestLine | None) -> Iterator[PlotData]:
    """Winding insulation at 40 °C, one point a visit that read both megohms and temperature."""
    by_day: dict[str, dict[str, float]] = {}
    for reading in readings_of(bench.inventory, bench.drive):
        test = fold(reading.test)
        if reading.date is None or test not in ("r2.m", "r2.t"):
            continue
        value = _number(bench, reading, "MΩ" if test == "r2.m" else "°C")
        if value is not None:
            by_day.setdefault(reading.date.isoformat(), {})[test] = value
    days = [d for d in sorted(by_day) if {"r2.m", "r2.t"} <= set(by_day[d]) and 0 <= by_day[d]["r2.t"] <= 100]
    if len(days) < 2:
        return
    start = _day(days[0])
    x = tuple(float(_day(d) - start) for d in days)
    least = limit.low if limit else None
    y = tuple(corrected_insulation(by_day[d]["r2.m"], by_day[d]["r2.t"])[0] for d in days)
    yield PlotData(
        key="insulation",
        title=f"Winding insulation at 40 °C, {days[0]} to {days[-1]}",
        x_label="Days since the first visit",
        y_label="Insulation [MΩ]",
        readings=(("lower of two corrections", x, y),),
        lines=() if least is None else ((f"limit, {display(least)} MΩ", (x[0], x[-1]), (least, least)),),
    )


def _day(iso: str) -> int:
    return dt.date.fromisoformat(iso).toordinal()
