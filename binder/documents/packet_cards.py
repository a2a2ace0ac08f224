"""The two cards of one drive, each meant for one sheet: lockout, and the door."""

from __future__ import annotations

from collections.abc import Sequence

from docutils import nodes

from binder.documents.blocks import (
    Cell,
    Column,
    Row,
    bullets,
    caution,
    data_table,
    key_values,
    paragraph,
    qr,
    section,
    steps,
    strong,
)
from binder.engineering.figure import display
from binder.field.sheets import DoorCard, FaultPage, LockoutCard

_CHECKS_ON_CARD = 2  # of each fault; all of them stand on the fault pages


def lockout_section(card: LockoutCard) -> nodes.section:
    """The lockout card: energies, steps, proof of dead, return, and what is no isolator."""
    rows = [
        Row(
            (Cell(s.energy, bold=True), s.magnitude, f"{s.isolator}, {s.place}".strip(", "), s.method, s.proof),
            key=s.energy,
        )
        for s in card.sources
    ]
    columns = (
        Column("Energy", 1.4, header=True),
        Column("How much", 1.6),
        Column("Isolator, and where", 1.8, kind="code"),
        Column("How to isolate", 1.8),
        Column("Proof", 2.2),
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
        data_table(columns, rows, filter=False),
        key_values(_charge(card)),
        section("Isolate and prove dead", steps(card.steps), id="lockout-steps"),
        paragraph(strong("Test points: "), "; ".join(card.test_points) + "."),
        paragraph(strong("Return to service: "), " ".join(f"{i}. {t}" for i, t in enumerate(card.return_steps, 1))),
        caution("stop", "These are not isolators", "; ".join(card.not_isolators) + "."),
        paragraph("This card defers to: " + "; ".join(card.rules) + "."),
        data_table(
            (
                Column("Yearly inspection: date", 1.2, kind="write"),
                Column("Inspector", 1.6, kind="write"),
                Column("Employees reviewed with", 2.4, kind="write"),
                Column("Deviation found", 2.4, kind="write"),
            ),
            [Row(("", "", "", ""), key=f"inspection-{i}") for i in range(2)],
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


def door_card_section(card: DoorCard, document: str) -> nodes.section:
    """The one sheet behind the panel door.

    Parameters
    ----------
    card : DoorCard
    document : str
        Number and revision of the packet, as text and as QR code.
    """
    modes = (
        Column("Mode", 1, header=True),
        Column("Who commands run", 2),
        Column("Who sets speed", 2),
        Column("Selected by", 1.6),
    )
    baseline = (
        Column("Speed", 0.8, kind="number", header=True),
        Column("Hz", 0.8, kind="number"),
        Column("Expected A", 1.4),
        Column("Read A", 1),
    )
    parts: list[nodes.Node] = [
        key_values(
            [
                ("Drive", f"{card.drive}, {card.feeds}" if card.feeds else card.drive),
                ("Then wait", card.wait),
                ("Isolate at", "; ".join(card.isolators) or "not in the inventory"),
                ("Call", "; ".join(card.contacts) or "nobody listed"),
                ("Settings backup", card.backup or "not in the inventory"),
                ("Spare", "; ".join(card.spare) or "none listed"),
            ]
        ),
        *([caution("warning", "Before you reach in", " ".join(card.cautions))] if card.cautions else []),
        paragraph(strong("Prove dead at: "), "; ".join(card.test_points) + "."),
        data_table(modes, [Row(m, key=m[0]) for m in card.modes], filter=False),
        bullets(card.monitors),
        data_table(baseline, [Row(b, key=b[0]) for b in card.baseline], filter=False),
        _changed_settings(card.settings),
        _first_faults(card.faults),
        qr(document, f"Document {document}"),
    ]
    return section("Door card", *parts, id="door-card")


def _changed_settings(settings: Sequence[tuple[str, str, str]]) -> nodes.Node:
    """Two settings a line, so that the card stays one sheet."""
    columns = (
        Column("No.", 0.8, kind="code", header=True),
        Column("Changed setting", 1.8),
        Column("Value", 1.4),
        Column("No.", 0.8, kind="code", header=True),
        Column("Changed setting", 1.8),
        Column("Value", 1.4),
    )
    half = (len(settings) + 1) // 2
    right = [*settings[half:], ("", "", "")]
    rows = [Row((*left, *right[i]), key=left[0]) for i, left in enumerate(settings[:half])]
    return data_table(columns, rows, filter=False)


def _first_faults(pages: Sequence[FaultPage]) -> nodes.Node:
    columns = (Column("Check", 3, header=True), Column("Expect here", 2.4), Column("If not", 2.6))
    rows: list[Row] = []
    for page in pages:
        rows.append(Row((page.symptom,), key=page.symptom, kind="group"))
        shown = page.checks[:_CHECKS_ON_CARD]
        rows += [Row((c.check, c.expected, c.if_not), key=f"{page.symptom} {c.order}") for c in shown]
    return data_table(columns, rows, filter=False)
