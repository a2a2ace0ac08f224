"""Computed checks: every figure with its limit, rule, source and inputs, so that it can be redone by hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import groupby

from docutils import nodes

from binder.documents.blocks import Column, Row, caution, data_table, paragraph, section
from binder.documents.packet_data import limit_signs
from binder.engineering.figure import Figure, Figures, Input, display
from binder.inventory.findings import Finding

#: First part of a figure's key -> heading. A topic without heading is printed under its key.
TOPICS: dict[str, str] = {
    "site": "Supplies and panels",
    "motor": "Motor",
    "rating": "Drive rating",
    "supply": "Supply",
    "bus": "DC bus",
    "line": "Line side: conductor and protection",
    "short_circuit": "Short circuit",
    "overload": "Motor overload",
    "drop": "Voltage drop",
    "cable": "Motor cable and insulation",
    "leakage": "Leakage current",
    "harmonics": "Harmonics",
    "heat": "Heat",
    "ramp": "Ramps",
    "motion": "Motion",
    "brake": "Braking",
    "machine": "Driven machine",
    "reference": "Speed reference",
    "signal": "Signals",
    "control": "Control supply",
    "sweep": "Expected current and power",
    "insulation": "Test limits",
    "test": "Test limits",
}

_NAMED = 24  # drives that bring an input alike; more are counted
_LONG = 14  # letters of a value that still fit its column

_COLUMNS = (
    Column("What", 2.0, header=True),
    Column("Value", 1.0, kind="number"),
    Column("Limit, and how it stands", 1.5),
    Column("How", 3.4),
    Column("From", 2.6),
    Column("Source", 0.5, kind="note"),
)

NOT_AN_APPROVAL = (
    "Figures are computed from the inventory. They are no approval: the manual of the drive, the local code and "
    "the licensed person in charge decide. A figure that could not be judged says so."
)


def findings_section(findings: Sequence[Finding]) -> nodes.section:
    """The findings that concern a document, and what lies outside its limit."""
    body = findings_table(findings) if findings else paragraph("No finding concerns this document.")
    return section("Findings", body, id="findings")


def figures_section(figures: Figures, *, title: str = "Calculations") -> nodes.section:
    """All figures by topic, each with what is needed to work it out again."""
    rows: list[Row] = []
    for topic, group in groupby(sorted(figures.values(), key=lambda f: _rank(f.key)), key=_topic):
        rows.append(Row((TOPICS.get(topic, topic.replace("_", " ").capitalize()),), key=f"topic-{topic}", kind="group"))
        rows += [_row(f) for f in group]
    return section(title, paragraph(NOT_AN_APPROVAL), data_table(_COLUMNS, rows, id="figure"), id="checks")


def _topic(figure: Figure) -> str:
    return figure.key.partition(".")[0]


def _rank(key: str) -> tuple[int, str]:
    topic = key.partition(".")[0]
    order = list(TOPICS)
    return (order.index(topic) if topic in order else len(order), topic)


def _row(figure: Figure) -> Row:
    how = [figure.rule.text, figure.note]
    if figure.missing:
        how.append("missing: " + ", ".join(figure.missing))
    tone = "stop" if figure.verdict == "outside" else ""
    value, stands = figure.text(), limit_signs(": ".join(x for x in (figure.limit, figure.verdict) if x)) or "–"
    if isinstance(figure.value, str) and len(value) > _LONG:  # words need the wider column
        value, stands = "", f"{value}; {stands}" if stands != "–" else value
    cells = (
        figure.name,
        value,
        stands,
        "; ".join(p for p in how if p),
        _inputs(figure.inputs),
        figure.rule.source,
    )
    return Row(cells, key=figure.key, tone=tone)


def _inputs(inputs: Sequence[Input]) -> str:
    """What went into a figure; what many drives bring alike is named once, by drive while they are few."""
    alike = Counter(given.name.partition(" ")[2] for given in inputs)
    told: dict[str, list[Input]] = {}
    for given in inputs:
        what = given.name.partition(" ")[2]
        told.setdefault(what if what and alike[what] > 2 else given.name, []).append(given)
    return "; ".join(_told(what, group) for what, group in told.items())


def _told(what: str, group: Sequence[Input]) -> str:
    # Cell addresses stay in --json: a page must not change because rows were sorted.
    if len(group) == 1:
        return f"{what} {_value(group[0])}"
    if len(group) > _NAMED:
        return f"{what} of {len(group)} drives, each in its packet"
    return f"{what}: " + ", ".join(f"{given.name.partition(' ')[0]} {_value(given)}" for given in group)


def _value(given: Input) -> str:
    value = display(given.value) if isinstance(given.value, float) else str(given.value)
    return f"{value} {given.unit}".strip()


def findings_table(findings: Sequence[Finding]) -> nodes.Node:
    """Findings with grade, place, what was found, what is accepted and how to mend it.

    A finding without a cell is placed by sheet, heading and tag: a cell moves when somebody sorts the sheet.
    """
    columns = (
        Column("Grade", 0.8, header=True),
        Column("Code", 0.6, kind="code"),
        Column("Where", 1.2, kind="code"),
        Column("Tag", 0.9, kind="code"),
        Column("Found", 2.6),
        Column("Accepted", 2.0),
        Column("Mend", 2.6),
    )
    rows = []
    seen: Counter[str] = Counter()
    for f in findings:
        grade = f"{f.grade}, waived" if f.waived else str(f.grade)
        mend = f"{f.remedy} Waived: {f.waived}" if f.waived else f.remedy
        place = f"{f.sheet}!{f.cell}" if f.cell else ": ".join(filter(None, (f.sheet, f.column)))
        tone = str(f.grade) if not f.waived else "muted"
        name = f"{f.code} {f.tag}".strip()
        seen[name] += 1
        key = name if seen[name] == 1 else f"{name} {seen[name]}"
        cells = (grade, f.code, place, f.tag, f.found, f.accepted, mend)
        rows.append(Row(cells, key=key, tone=tone, shows=(f"finding {name}",)))
    return data_table(columns, rows)


def open_stop_box(findings: Sequence[Finding]) -> nodes.Node | None:
    """The box that says a document is not fit for handover, or None."""
    stops = [f for f in findings if f.grade == "stop" and not f.waived]
    if not stops:
        return None
    return caution(
        "danger",
        "Not fit for handover",
        f"{len(stops)} open stop{'s' if len(stops) > 1 else ''}: "
        + "; ".join(f"{f.code} {f.tag}: {f.found}" for f in stops),
    )
