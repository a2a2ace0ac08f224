"""Test sheets of one drive: point to point, readings with limits, reference sweep, plots."""

from __future__ import annotations

from collections.abc import Mapping

from docutils import nodes

from binder.documents import plots
from binder.documents.blocks import Cell, Column, Row, bullets, caution, data_table, paragraph, plot, section
from binder.documents.packet_data import limit_signs
from binder.engineering.figure import display
from binder.field.sheets import PlotData, Sweep, TestLine, TestSheet
from binder.study import DriveStudy
from binder.wiring.schedules import CheckLine, check_sheet

_TEST_COLUMNS = (
    Column("Line", 0.9, kind="code", header=True),
    Column("What, and when", 3.4),
    Column("Accept", 3.2),
    Column("Source", 0.5, kind="note"),
    Column("Reading", 1.1, kind="write"),
    Column("Instr.", 0.6, kind="write"),
    Column("Init.", 0.5, kind="write"),
    Column("", 0.9, kind="passfail"),
)

_CHECK_COLUMNS = (
    Column("Wire", 0.6, kind="code", header=True),
    Column("From", 1.1, kind="code"),
    Column("To", 1.1, kind="code"),
    Column("Marking", 1.2),
    Column("Dead", 1.9),
    Column("Live: between, state, expect", 3.3),
    Column("Init.", 0.6, kind="write"),
    Column("", 0.9, kind="passfail"),
)

#: Below each sheet: who did it, who saw it, in what air, and what was put right on the way.
_SHEET_SIGNED = (
    Column("Tested by, signature", 1.6, kind="write"),
    Column("Witnessed by", 1.6, kind="write"),
    Column("Date", 0.9, kind="write"),
    Column("Air °C", 0.7, kind="write"),
    Column("RH %", 0.7, kind="write"),
    Column("Adjustments made", 2.6, kind="write"),
)


def tests_section(study: DriveStudy) -> nodes.section:
    """Every test sheet in the order of the work."""
    pack = study.field
    parts: list[nodes.Node] = [
        paragraph(
            "Sheets are in the order that protects people first. A reading has value, unit, instrument and initials. "
            "'Not done' with a reason is an answer; blank is not."
        )
    ]
    wires = {c.id: c for c in check_sheet(study.wiring)}
    parts += [_sheet(sheet, wires) for sheet in pack.sheets if sheet.lines]
    parts += [_sweep(sweep, index) for index, sweep in enumerate(pack.sweeps, 1)]
    left_out = [why for sheet in pack.sheets for why in sheet.left_out]
    if left_out:
        parts.append(section("Left out, and why", bullets(left_out), id="tests-left-out"))
    if pack.plots:
        parts.append(section("Plots", *(_plot(data) for data in pack.plots), id="tests-plots"))
    return section("Test sheets", *parts, id="tests")


def _sheet(sheet: TestSheet, wires: Mapping[str, CheckLine]) -> nodes.section:
    """One sheet; lines that prove a single conductor stand in a table of their own, wire by wire."""
    body: list[nodes.Node] = [caution("warning", "Before you start", *sheet.cautions)] if sheet.cautions else []
    point_to_point = [t for t in sheet.lines if sheet.id == "P" and t.proves and t.proves[0] in wires]
    others = [t for t in sheet.lines if t not in point_to_point]
    if point_to_point:
        order = {key: i for i, key in enumerate(wires)}
        rows = [_wire_line(t, wires[t.proves[0]]) for t in sorted(point_to_point, key=lambda t: order[t.proves[0]])]
        body.append(
            paragraph(
                "The dead column isolated, locked and proved dead. The live column only after the gate 'may be "
                "energized'. The limit end to end is the core's own resistance at 20 °C (length / 56 / mm², textbook) "
                "and 1 Ω for contacts and leads (common practice, no source)."
            )
        )
        body.append(data_table(_CHECK_COLUMNS, rows, id="check", form="readings"))
    if others:
        rows = [_line(t) for t in others]
        body.append(data_table(_TEST_COLUMNS, rows, id=f"test-{sheet.id}", filter=False, form="readings"))
    body.append(data_table(_SHEET_SIGNED, [Row(("",) * len(_SHEET_SIGNED), key=f"signed-{sheet.id}")], filter=False))
    return section(f"{sheet.id}  {sheet.title}: earns '{sheet.gate}'", *body, id=f"tests-{sheet.id}")


def _wire_line(line: TestLine, wire: CheckLine) -> Row:
    cells = (
        wire.number or "–",
        wire.from_end,
        wire.to_end,
        wire.marking,
        wire.dead,
        _live(wire) or "continuity proves it",
        line.initials,
        _verdict(line),
    )
    return Row(cells, key=line.id, tone="stop" if line.verdict == "fail" else "")


def _live(wire: CheckLine) -> str:
    """Readings of one conductor, each pair of points named once."""
    pairs: dict[str, list[str]] = {}
    for between, state, reading in wire.live:
        pairs.setdefault(between, []).append(f"{state} {reading}")
    return "; ".join(f"{between}: {', '.join(readings)}" for between, readings in pairs.items())


def _verdict(line: TestLine) -> str:
    return line.verdict if line.verdict in ("pass", "fail") else ""


def _line(line: TestLine) -> Row:
    what = f"{line.what}: {line.condition}" if line.condition else line.what
    joint = "; " if line.limit.startswith("record") else "; limit "  # 'record' is no limit
    accept = line.expected if line.limit == "yes" else joint.join(x for x in (line.expected, line.limit) if x)
    if line.why:
        accept += f" ({line.why})"
    accept = limit_signs(accept)
    reading: str | Cell = Cell(line.reading, bold=line.verdict == "fail") if line.reading else ""
    return Row(
        (line.id, what, accept, line.source, reading, line.instrument, line.initials, _verdict(line)),
        key=line.id,
        tone="stop" if line.verdict == "fail" else "",
    )


def _sweep(sweep: Sweep, index: int) -> nodes.section:
    """Expected values point by point, then one box a reading."""
    columns = (
        Column("Reference", 0.9, kind="number", header=True),
        Column("Signal", 1.2, kind="number"),
        Column("Output Hz", 1, kind="number"),
        Column("Motor rpm", 1, kind="number"),
        Column("Machine rpm", 1, kind="number"),
        Column("Current band A", 1.6, kind="number"),
        Column("Shaft kW", 0.9, kind="number"),
    )
    rows = []
    for point in sweep.points:
        band = "–"
        if point.current_low_a is not None and point.current_high_a is not None:
            band = f"{display(point.current_low_a)} to {display(point.current_high_a)}"
        machine = "–" if point.machine_rpm is None else f"{point.machine_rpm:.0f}"
        cells = (
            f"{point.percent:g} %",
            point.signal,
            f"{point.frequency_hz:.1f}",
            f"{point.speed_rpm:.0f}",
            machine,
            band,
            "–" if point.shaft_kw is None else display(point.shaft_kw),
        )
        rows.append(Row(cells, key=f"{point.percent:g}"))
    title = f"Reference sweep, {sweep.mode}" if sweep.mode else "Reference sweep"
    parts: list[nodes.Node] = [
        paragraph(
            f"From the real source: {sweep.source}. {sweep.convention} "
            f"Settle for two minutes at each point. {sweep.note}".strip()
        ),
        data_table(columns, rows, caption="Expected", filter=False),
        *_sweep_readings(sweep, index),
    ]
    return section(title, *parts, id=f"tests-sweep-{index}")


def _sweep_readings(sweep: Sweep, index: int) -> list[nodes.Node]:
    """Readings as a matrix: one pair of rows a point, one column a quantity."""
    by_point = [(p, {line.id.rpartition(".")[2]: line for line in p.lines}) for p in sweep.points]
    names = list(dict.fromkeys(name for _, lines in by_point for name in lines))
    if not names:
        return []
    sample = {name: line for _, lines in by_point for name, line in lines.items()}
    columns = [Column("Point", 1, header=True)]
    columns += [Column(f"{_SHORT.get(n, sample[n].what)} {sample[n].unit}".strip(), 1, kind="write") for n in names]
    rows = []
    for point, lines in by_point:
        limits = [_short_limit(lines[n]) if n in lines else "" for n in names]
        rows.append(Row((f"{point.percent:g} % limit", *limits), key=f"{point.percent:g} limit", tone="muted"))
        read = [
            Cell(lines[n].reading, bold=True, mark="fail" if lines[n].verdict == "fail" else "", line=lines[n].id)
            if n in lines
            else ""
            for n in names
        ]
        rows.append(Row((f"{point.percent:g} % read", *read), key=f"{point.percent:g} read"))
    stem = next(line.id for _, lines in by_point for line in lines.values()).rsplit(".", 2)[0]
    by_source: dict[str, list[str]] = {}
    for name in names:
        by_source.setdefault(sample[name].source, []).append(_SHORT.get(name, name))
    sources = "; ".join(f"{', '.join(read)}: {source}" for source, read in by_source.items())
    return [
        data_table(
            columns,
            rows,
            caption=f"Readings, lines {stem}.<point>.<{', '.join(names)}>",
            id=f"sweep-{index}",
            filter=False,
            form="readings",
        ),
        paragraph(f"Sources. {sources}."),
    ]


_SHORT = {
    "REF": "Signal",
    "HZ": "Output",
    "RPM": "Motor",
    "U": "U",
    "V": "V",
    "W": "W",
    "S": "Spread",
    "DC": "DC bus",
    "KW": "Power",
}


def _short_limit(line: TestLine) -> str:
    """A limit that fits a narrow column: without its unit, which heads the column."""
    if line.low is not None and line.high is not None:
        return f"{display(line.low)}{'–' if line.low >= 0 else ' to '}{display(line.high)}"
    if line.high is not None:
        return f"≤ {display(line.high)}"
    return f"≥ {display(line.low)}" if line.low is not None else "record"


def _plot(data: PlotData) -> nodes.Node:
    """A band with the readings that came back."""
    band = (data.band_x, data.band_low, data.band_high) if data.band_x else None
    lines = tuple(plots.Line(name, x, y, points=True) for name, x, y in data.readings)
    lines += tuple(plots.Line(name, x, y) for name, x, y in data.lines)
    shown = plots.Plot(data.title, data.x_label, data.y_label, lines, band, "expected" if band else "")
    return plot(plots.svg(shown), shown.alt(), shown.title, id=f"plot-{data.key}")
