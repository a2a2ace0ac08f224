"""Fault finding and sign-off of one drive."""

from __future__ import annotations

from docutils import nodes

from binder.documents.blocks import Column, Row, bullets, caution, data_table, section, sign_off, write_box
from binder.field.sheets import FaultPage, Gate


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
                filter=False,
            ),
            id=f"faults-{index}",
        )
        for index, page in enumerate(pages, 1)
    ]
    return section("Fault finding", *parts, id="faults")


def signoff_section(gates: tuple[Gate, ...]) -> nodes.section:
    """Four gates, each with what still stands in its way and room to sign."""
    parts: list[nodes.Node] = []
    for gate in gates:
        blocked = list(gate.blocked_by)
        body: list[nodes.Node] = []
        if gate.exceptions:
            body.append(caution("caution", "Only with exceptions", bullets(gate.exceptions)))
        if blocked:
            shown = blocked[:8]
            more = [f"and {len(blocked) - len(shown)} more on the test sheets"] if len(blocked) > len(shown) else []
            body.append(caution("stop", "Not earned yet", bullets([*shown, *more])))
        body.append(sign_off(gate.roles))
        parts.append(section(f"Gate: {gate.name}", *body, id=f"gate-{gate.name}"))
    parts.append(write_box("Exceptions accepted, by whom, until when", 3))
    return section("Sign-off", *parts, id="signoff")
