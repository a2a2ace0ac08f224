"""Fault finding, open items and sign-off of one drive."""

from __future__ import annotations

import datetime as dt

from docutils import nodes

from binder.documents.blocks import (
    Column,
    Row,
    bullets,
    caution,
    data_table,
    paragraph,
    section,
    sign_off,
    write_box,
)
from binder.documents.packet_data import limit_signs
from binder.field.sheets import CodeMeaning, FaultPage, FieldPack, Gate


def faults_section(pages: tuple[FaultPage, ...], codes: tuple[CodeMeaning, ...] = ()) -> nodes.section:
    """Codes of the display, then symptom by symptom: checks in order, with what a meter shows at this drive."""
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
                [
                    Row(
                        (str(c.order), c.check, c.expected, c.if_not, c.setting),
                        key=str(c.order),
                        shows=(f"fault check {page.symptom} {c.order}",),
                    )
                    for c in page.checks
                ],
                filter=False,
            ),
            id=f"faults-{index}",
        )
        for index, page in enumerate(pages, 1)
    ]
    log = data_table(
        _LOG_COLUMNS, [Row(("",) * len(_LOG_COLUMNS), key=f"log-{n}") for n in range(_LOG_ROWS)], filter=False
    )
    return section(
        "Fault finding",
        caution("caution", "Before any reset", _RESET_RULE),
        _codes_section(codes),
        *parts,
        section("Fault log", log, id="fault-log"),
        id="faults",
    )


_CODE_COLUMNS = (
    Column("Display", 0.7, kind="code", header=True),
    Column("Means", 1.6),
    Column("Check first", 2.2),
    Column("Expect at this drive", 2.3),
    Column("If not", 2.2),
    Column("Then follow", 1.3),
)


def _codes_section(codes: tuple[CodeMeaning, ...]) -> nodes.section:
    rows = []
    for code in codes:
        means = "".join([code.meaning, f": '{code.words}'" * bool(code.words), f", page {code.page}" * bool(code.page)])
        first = [(c.check, c.expected, c.if_not) for c in code.checks] or [(code.note, "", "")]
        shows = tuple(f"fault check {code.symptom} {c.order}" for c in code.checks)
        for n, check in enumerate(first):
            told = (code.code, means, *check, code.symptom) if n == 0 else ("", "", *check, "")
            rows.append(Row(told, key=f"{code.code} {n}", shows=(f"fault code {code.code}", *shows[n : n + 1])))
    body: nodes.Node = (
        data_table(_CODE_COLUMNS, rows, filter=False)
        if rows
        else paragraph("The workbook has no fault codes of this drive's model: sheet Fault codes. Ask the manual.")
    )
    return section("What the display shows", body, id="fault-codes")


_RESET_RULE = (
    "Write fault, hertz, amperes, DC volts and time into the fault log first: a reset deletes them. Find the cause, "
    "then reset once. The same fault again: lock out and call, do not reset a second time. Never reset a short "
    "circuit or an earth fault before cable and motor are tested (common practice, no source)."
)
_LOG_ROWS = 10
_LOG_COLUMNS = (
    Column("Day, time", 1.2, kind="write"),
    Column("Fault shown", 1.2, kind="write"),
    Column("Hz", 0.6, kind="write"),
    Column("A", 0.6, kind="write"),
    Column("DC V", 0.6, kind="write"),
    Column("Sink °C", 0.6, kind="write"),
    Column("Hours", 0.7, kind="write"),
    Column("Cause found, what was done, by", 2.8, kind="write"),
)


_ITEM_COLUMNS = (
    Column("Item", 1.1, kind="code", header=True),
    Column("What is open", 4),
    Column("Class", 0.6),
    Column("Owner", 1.1),
    Column("Due", 1),
    Column("Closed, by", 1.4, kind="write"),
)
_DEFEAT_COLUMNS = (
    Column("What is defeated", 3, header=True),
    Column("Where", 1.6),
    Column("Applied, by", 1.5, kind="write"),
    Column("Cleared, by", 1.5, kind="write"),
)
_BLANK_DEFEATS = 4  # lines to write on, before anything is jumpered


def open_section(pack: FieldPack) -> nodes.section:
    """What is open on this drive: punch items, and everything temporarily defeated."""
    items = [
        Row(
            (
                p.number,
                limit_signs(p.text),
                p.severity or "A",
                p.owner or "nobody",
                str(p.due or ""),
                _day(p.closed, p.closed_by),
            ),
            key=p.number,
            tone="stop" if p.closed is None and p.severity in ("A", "") else "",
        )
        for p in pack.punch_items
    ]
    defeats = [
        Row(
            (d.text, d.place, _day(d.applied, d.applied_by), _day(d.cleared, d.cleared_by)),
            key=f"{d.text} {d.place}".strip(),
            tone="caution" if d.cleared is None else "",
        )
        for d in pack.defeats
    ]
    defeats += [
        Row((line.defeat, f"line {line.id}", "", ""), key=f"planned {line.id}", shows=(f"test {line.id}",))
        for line in pack.lines
        if line.defeat and not line.done
    ]
    defeats += [Row(("", "", "", ""), key=f"blank-{n}") for n in range(_BLANK_DEFEATS)]
    punch: nodes.Node = (
        data_table(_ITEM_COLUMNS, items, id="punch", filter=False) if items else paragraph("No item is open.")
    )
    return section(
        "Open items and defeats",
        paragraph("A failing line makes an item by itself, and closes it when a later reading passes."),
        punch,
        paragraph(
            "Every jumper, lowered trip and bypassed interlock is written here before it is applied, with the day and "
            "the name; the sheet Defeats takes it over. An open line blocks 'may be loaded' and 'accepted'. What the "
            "tests to come take out of action stands here already, with what puts it back."
        ),
        data_table(_DEFEAT_COLUMNS, defeats, caption="Defeat list", id="defeat", filter=False),
        id="open",
    )


def _day(day: dt.date | None, by: str) -> str:
    return f"{day} {by}".strip() if day else ""


def statement_of(gate: Gate) -> str:
    """What a signature below a gate or a certificate says, or that it must not be given yet."""
    if gate.blocked_by:
        return "Not to be signed while anything above stands in the way."
    return "Signed with the exceptions named above." if gate.exceptions else ""


_SHOWN = 8  # things in the way that are named before the rest is counted


def not_earned(gate: Gate, rest: str = "more") -> list[nodes.Node]:
    """The box of what stands in the way of a gate or a certificate; none when nothing does."""
    blocks = gate.blocked_by
    more = [f"and {len(blocks) - _SHOWN} {rest}"] if len(blocks) > _SHOWN else []
    told = [*map(limit_signs, blocks[:_SHOWN]), *more]
    return [caution("stop", "Not earned yet", bullets(told))] if blocks else []


def signoff_section(gates: tuple[Gate, ...]) -> nodes.section:
    """Four gates, each with what still stands in its way and room to sign."""
    parts: list[nodes.Node] = []
    for gate in gates:
        body: list[nodes.Node] = []
        if gate.exceptions:
            body.append(caution("caution", "Only with exceptions", bullets(gate.exceptions)))
        body += not_earned(gate, "more on the test sheets")
        body.append(sign_off(gate.roles, title=gate.name.capitalize(), statement=statement_of(gate), headed=True))
        parts.append(section(f"Gate: {gate.name}", *body, id=f"gate-{gate.name}"))
    parts.append(write_box("Exceptions accepted, by whom, until when", 2))
    return section("Sign-off", *parts, id="signoff")
