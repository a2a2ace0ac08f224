"""Field pages: lockout card, test sheets, reference sweep, fault finding, sign-off."""

from __future__ import annotations

from docutils import nodes

from binder.documents import plots
from binder.documents.blocks import (
    Cell,
    Column,
    Row,
    bullets,
    caution,
    data_table,
    key_values,
    page_break,
    paragraph,
    plot,
    qr,
    section,
    sign_off,
    steps,
    write_box,
)
from binder.engineering.figure import display
from binder.field.sheets import DoorCard, FaultPage, FieldPack, Gate, LockoutCard, PlotData, Sweep, TestLine, TestSheet


def lockout_section(card: LockoutCard) -> nodes.section:
    """The lockout card: energies, steps, proof of dead, return, and what is no isolator."""
    rows = [
        Row((Cell(s.energy, bold=True), s.magnitude, s.isolator, s.place, s.method, s.proof, s.found_from), key=s.energy)
        for s in card.sources
    ]
    columns = (
        Column("Energy", 1.6, header=True),
        Column("How much", 1.2),
        Column("Isolator", 1.0, kind="code"),
        Column("Where", 1.3),
        Column("How to isolate", 2.0),
        Column("Proof", 2.0),
        Column("Known from", 1.2),
    )
    return section(
        "Lockout card",
        paragraph(card.scope),
        caution(
            "danger",
            "Stored charge and more than one source",
            "The DC link stays charged after isolation. The time proves nothing: only the meter does. "
            "Below 50 V DC between DC+ and DC-, and from each to earth, before any hand goes in.",
        ),
        data_table(columns, rows, caption="Energies and their isolation points", filter=False),
        key_values(_charge(card)),
        section("Isolate and prove dead", steps(card.steps), id="lockout-steps"),
        section("Test points", bullets(card.test_points), id="lockout-points"),
        section("Return to service", steps(card.return_steps), id="lockout-return"),
        caution("stop", "These are not isolators", bullets(card.not_isolators)),
        paragraph("This card defers to: " + "; ".join(card.rules) + "."),
        data_table(
            (
                Column("Yearly inspection: date", 1.2, kind="write"),
                Column("Inspector", 1.6, kind="write"),
                Column("Employees reviewed with", 2.4, kind="write"),
                Column("Deviation found", 2.4, kind="write"),
            ),
            [Row(("", "", "", ""), key=f"inspection-{i}") for i in range(3)],
            caption="Inspection of this card",
            filter=False,
        ),
        id="lockout",
    )


def _charge(card: LockoutCard) -> list[tuple[str, str]]:
    def text(value: float | None, unit: str) -> str:
        return "not in the inventory" if value is None else f"{display(value)} {unit}"

    return [
        ("Wait, from the drive's label", text(card.wait_minutes, "min")),
        ("DC bus when live, computed", text(card.bus_volts, "V DC")),
        ("Energy in the DC link, computed", text(card.stored_energy_j, "J")),
        ("Time to 50 V through the bleeder, computed", text(card.computed_discharge_s, "s")),
    ]


_TEST_COLUMNS = (
    Column("Line", 0.8, kind="code", header=True),
    Column("What", 2.2),
    Column("Condition", 1.8),
    Column("Expected", 1.5),
    Column("Limit", 1.6),
    Column("Source", 1.7),
    Column("Reading", 1.2, kind="write"),
    Column("Instr.", 0.7, kind="write"),
    Column("Init.", 0.6, kind="write"),
    Column("Pass / fail", 0.9, kind="passfail"),
)


def tests_section(pack: FieldPack) -> nodes.section:
    """Every test sheet in the order of the work."""
    parts: list[nodes.Node] = [
        paragraph(
            "Sheets are in the order that protects people first. A reading has value, unit, instrument and initials. "
            "'Not done' with a reason is an answer; blank is not."
        )
    ]
    for sheet in pack.sheets:
        parts.append(_sheet(sheet))
    parts += [_sweep(sweep, index) for index, sweep in enumerate(pack.sweeps, 1)]
    if pack.plots:
        parts.append(section("Plots", *(_plot(data) for data in pack.plots), id="tests-plots"))
    return section("Test sheets", *parts, id="tests")


def _sheet(sheet: TestSheet) -> nodes.section:
    body: list[nodes.Node] = [caution("warning", "Before you start", *sheet.cautions)] if sheet.cautions else []
    body.append(paragraph(f"Earns the gate: {sheet.gate}."))
    if sheet.lines:
        body.append(data_table(_TEST_COLUMNS, [_line(t) for t in sheet.lines], caption=sheet.title, id=f"test-{sheet.id}", filter=False))
    if sheet.left_out:
        body += [paragraph("Left out, and why:"), bullets(sheet.left_out)]
    return section(f"{sheet.id} {sheet.title}", *body, id=f"tests-{sheet.id}")


def _line(line: TestLine) -> Row:
    verdict = {"pass": "pass", "fail": "fail"}.get(line.verdict, "")
    reading: str | Cell = Cell(line.reading, bold=line.verdict == "fail") if line.reading else ""
    limit = f"{line.limit} {line.why}".strip()
    return Row(
        (line.id, line.what, line.condition, line.expected, limit, line.source, reading, line.instrument, line.initials, verdict),
        key=line.id,
        tone="stop" if line.verdict == "fail" else "",
    )


def _sweep(sweep: Sweep, index: int) -> nodes.section:
    """Expected values point by point, then the lines to read."""
    columns = (
        Column("Reference", 0.9, kind="number", header=True),
        Column("Signal", 1.2, kind="number"),
        Column("Output Hz", 1, kind="number"),
        Column("Motor rpm", 1, kind="number"),
        Column("Machine rpm", 1, kind="number"),
        Column("Current band A", 1.6, kind="number"),
    )
    rows = []
    for point in sweep.points:
        band = "–"
        if point.current_low_a is not None and point.current_high_a is not None:
            band = f"{display(point.current_low_a)} to {display(point.current_high_a)}"
        machine = "–" if point.machine_rpm is None else f"{point.machine_rpm:.0f}"
        cells = (f"{point.percent:g} %", point.signal, f"{point.frequency_hz:.1f}", f"{point.speed_rpm:.0f}", machine, band)
        rows.append(Row(cells, key=f"{point.percent:g}"))
    title = f"Reference sweep, {sweep.mode}" if sweep.mode else "Reference sweep"
    lines = [_line(line) for point in sweep.points for line in point.lines]
    parts: list[nodes.Node] = [
        paragraph(f"From the real source: {sweep.source}. {sweep.convention} Settle for two minutes at each point. {sweep.note}".strip()),
        data_table(columns, rows, caption=f"{title}: expected", filter=False),
    ]
    if lines:
        parts.append(data_table(_TEST_COLUMNS, lines, caption=f"{title}: readings", id=f"sweep-{index}", filter=False))
    return section(title, *parts, id=f"tests-sweep-{index}")


def _plot(data: PlotData) -> nodes.Node:
    """A band with the readings that came back."""
    band = (data.band_x, data.band_low, data.band_high) if data.band_x else None
    lines = tuple(plots.Line(name, x, y, points=True) for name, x, y in data.readings)
    shown = plots.Plot(data.title, data.x_label, data.y_label, lines, band, "expected" if band else "")
    return plot(plots.svg(shown), shown.alt(), shown.title, id=f"plot-{data.key}")


def faults_section(pages: tuple[FaultPage, ...]) -> nodes.section:
    """Symptom by symptom: checks in order, with what a meter shows at this drive."""
    columns = (
        Column("", 0.3, kind="number"),
        Column("Check", 2.6),
        Column("Expect at this drive", 2.6),
        Column("If not", 2.8),
        Column("Setting", 0.8, kind="code"),
    )
    parts = [
        section(
            page.symptom,
            data_table(
                columns,
                [Row((str(c.order), c.check, c.expected, c.if_not, c.setting), key=str(c.order)) for c in page.checks],
                caption=page.symptom,
                filter=False,
            ),
            id=f"faults-{index}",
        )
        for index, page in enumerate(pages, 1)
    ]
    return section("Fault finding", *parts, id="faults")


def door_card_section(card: DoorCard) -> nodes.section:
    """The one sheet behind the panel door."""
    modes = (Column("Mode", 1, header=True), Column("Who commands run", 2), Column("Who sets speed", 2), Column("Selected by", 1.6))
    settings = (Column("No.", 0.8, kind="code", header=True), Column("Changed setting", 3), Column("Value", 1.6))
    baseline = (Column("Speed", 0.8, kind="number", header=True), Column("Hz", 0.8, kind="number"), Column("Expected A", 1.4), Column("Read A", 1))
    parts: list[nodes.Node] = [
        page_break(),
        key_values([
            ("Drive", card.drive),
            ("Feeds", card.feeds),
            ("Isolate at", "; ".join(card.isolators) or "not in the inventory"),
            ("Then wait", card.wait),
            ("Settings backup", card.backup or "not in the inventory"),
            ("Spare", "; ".join(card.spare) or "none listed"),
            ("Call", "; ".join(card.contacts) or "nobody listed"),
        ]),
        *([caution("warning", "Before you reach in", *card.cautions)] if card.cautions else []),
        paragraph("Prove dead at: " + "; ".join(card.test_points) + "."),
        data_table(modes, [Row(m, key=m[0]) for m in card.modes], caption="Modes", filter=False),
        bullets(card.monitors),
        data_table(baseline, [Row(b, key=b[0]) for b in card.baseline], caption="Motor current when it was right", filter=False),
        data_table(settings, [Row(c, key=c[0]) for c in card.settings], caption="Changed settings", filter=False),
        *(_short_fault(page) for page in card.faults),
    ]
    if card.document:
        parts.append(qr(card.document, f"Document {card.document}"))
    return section("Door card", *parts, id="door-card")


def _short_fault(page: FaultPage) -> nodes.Node:
    columns = (Column(page.symptom, 3, header=True), Column("Expect here", 2.4), Column("If not", 2.6))
    return data_table(columns, [Row((c.check, c.expected, c.if_not), key=str(c.order)) for c in page.checks], filter=False)


def signoff_section(gates: tuple[Gate, ...]) -> nodes.section:
    """Four gates, each with what still stands in its way and room to sign."""
    parts: list[nodes.Node] = [page_break()]
    for gate in gates:
        blocked = list(gate.blocked_by)
        body: list[nodes.Node] = []
        if gate.exceptions:
            body.append(caution("caution", "Only with exceptions", bullets(gate.exceptions)))
        if blocked:
            shown = blocked[:8]
            more = [f"and {len(blocked) - len(shown)} more on the test sheets"] if len(blocked) > len(shown) else []
            body.append(caution("stop", "Not earned yet", bullets([*shown, *more])))
        body.append(sign_off(gate.roles, title=gate.name[0].upper() + gate.name[1:]))
        parts.append(section(f"Gate: {gate.name}", *body, id=f"gate-{gate.name}"))
    parts.append(write_box("Exceptions accepted, by whom, until when", 3))
    return section("Sign-off", *parts, id="signoff")
