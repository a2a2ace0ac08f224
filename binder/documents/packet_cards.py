"""The two cards of one drive, each meant for one sheet and printed once a language: lockout, and the door."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

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
from binder.documents.language import ENGLISH, caution_title, marked, say
from binder.engineering.figure import display
from binder.field.sheets import DoorCard, FaultPage, LockoutCard

_CHECKS_ON_CARD = 1  # of each fault; all of them stand on the fault pages


Say = Callable[[str], str]


def lockout_section(card: LockoutCard, language: str = ENGLISH, *, anchor: str = "lockout") -> nodes.section:
    """The lockout card: energies, steps, proof of dead, return, and what is no isolator.

    Parameters
    ----------
    card : LockoutCard
    language : str
        A key of `language.CODES`.
    anchor : str
        Id of the section; a second language needs its own.
    """
    t: Say = partial(say, language=language)
    rows = [
        Row(
            (
                Cell(t(s.energy), bold=True),
                t(s.magnitude),
                f"{t(s.isolator)}, {t(s.place)}".strip(", "),
                t(s.method),
                t(s.proof),
            ),
            key=s.energy,
        )
        for s in card.sources
    ]
    columns = (
        Column(t("Energy"), 1.4, header=True),
        Column(t("How much"), 1.6),
        Column(t("Isolator, and where"), 1.8, kind="code"),
        Column(t("How to isolate"), 1.8),
        Column(t("Proof"), 2.2),
    )
    made = section(
        t("Lockout card"),
        paragraph(t(card.scope)),
        caution(
            "danger",
            caution_title("danger", "Stored charge and more than one source", language),
            t(
                "The DC link stays charged after isolation. The time proves nothing: only the meter does. "
                "Below 50 V DC between DC+ and DC-, and from each to earth, before any hand goes in."
            ),
            " ".join(f"{t(name)}: {t(value)}." for name, value in _charge(card)),
        ),
        data_table(columns, rows, filter=False),
        section(
            t("Isolate and prove dead"),
            steps([t(step) for step in card.steps], side_by_side=True),
            id=f"{anchor}-steps",
        ),
        paragraph(strong(f"{t('Test points')}: "), _listed(card.test_points, t)),
        paragraph(
            strong(f"{t('Return to service')}: "),
            " ".join(f"{i}. {t(step)}" for i, step in enumerate(card.return_steps, 1)),
        ),
        caution(
            "stop",
            caution_title("stop", "These are not isolators", language),
            "; ".join(map(t, card.not_isolators)) + ".",
        ),
        paragraph(f"{t('This card defers to')}: " + "; ".join(map(t, card.rules)) + "."),
        data_table(
            (
                Column(t("Yearly inspection: date"), 1.2, kind="write"),
                Column(t("Inspector"), 1.6, kind="write"),
                Column(t("Employees reviewed with"), 2.4, kind="write"),
                Column(t("Deviation found"), 2.4, kind="write"),
            ),
            [Row(("", "", "", ""), key="inspection")],
            filter=False,
        ),
        id=anchor,
    )
    return marked(made, language)


def _listed(texts: Sequence[str], t: Say) -> str:
    """Texts as one sentence, whether or not a person ended them with a stop."""
    return "; ".join(t(text).rstrip(".") for text in texts) + "."


def _charge(card: LockoutCard) -> list[tuple[str, str]]:
    def text(value: float | None, unit: str) -> str:
        return "not in the inventory" if value is None else f"{display(value)} {unit}"

    return [
        ("Wait, from the drive's label", text(card.wait_minutes, "min")),
        ("DC bus when live, computed", text(card.bus_volts, "V DC")),
        ("Energy in the DC link, computed", text(card.stored_energy_j, "J")),
        ("Time to 50 V through the bleeder, computed", text(card.computed_discharge_s, "s")),
    ]


def door_card_section(
    card: DoorCard, document: str, language: str = ENGLISH, *, anchor: str = "door-card"
) -> nodes.section:
    """The one sheet behind the panel door.

    Parameters
    ----------
    card : DoorCard
    document : str
        Number and revision of the packet, as text and as QR code.
    language : str
        A key of `language.CODES`.
    anchor : str
        Id of the section; a second language needs its own.
    """
    t: Say = partial(say, language=language)
    modes = (
        Column(t("Mode"), 1, header=True),
        Column(t("Who commands run"), 2),
        Column(t("Who sets speed"), 2),
        Column(t("Selected by"), 1.6),
    )
    baseline = (
        Column(t("Speed"), 0.8, kind="number", header=True),
        Column("Hz", 0.8, kind="number"),
        Column(t("Expected A"), 1.4),
        Column(t("Read A"), 1),
    )
    pairs = [
        ("Drive", f"{card.drive}, {card.feeds}" if card.feeds else card.drive),
        ("Then wait", t(card.wait)),
        ("Isolate at", "; ".join(map(t, card.isolators)) or t("not in the inventory")),
        ("Call", "; ".join(map(t, card.contacts)) or t("nobody listed")),
        ("Settings backup", card.backup or t("not in the inventory")),
        ("Spare", "; ".join(card.spare) or t("none listed")),
    ]
    warned = caution_title("warning", "Before you reach in", language)
    parts: list[nodes.Node] = [
        key_values([(t(name), value) for name, value in pairs], columns=1),
        *([caution("warning", warned, " ".join(map(t, card.cautions)))] if card.cautions else []),
        paragraph(strong(f"{t('Prove dead at')}: "), _listed(card.test_points, t)),
        data_table(modes, [Row(tuple(map(t, m)), key=m[0]) for m in card.modes], filter=False),
        bullets(map(t, card.monitors)),
        data_table(baseline, [Row(tuple(map(t, b)), key=b[0]) for b in card.baseline], filter=False),
        _changed_settings(card.settings, t),
        _first_faults(card.faults, t),
        qr(document, t(f"Document {document}")),
    ]
    return marked(section(t("Door card"), *parts, id=anchor), language)


def _changed_settings(settings: Sequence[tuple[str, str, str]], t: Say) -> nodes.Node:
    """Two settings a line, so that the card stays one sheet; names and values as the manual words them."""
    heads = (("No.", 0.8, "code", True), ("Changed setting", 1.8, "text", False), ("Value", 1.4, "text", False))
    columns = [Column(t(title), weight, kind=kind, header=head) for title, weight, kind, head in (*heads, *heads)]
    half = (len(settings) + 1) // 2
    right = [*settings[half:], ("", "", "")]
    rows = [Row((*left, *right[i]), key=left[0]) for i, left in enumerate(settings[:half])]
    return data_table(columns, rows, filter=False)


def _first_faults(pages: Sequence[FaultPage], t: Say) -> nodes.Node:
    """One line a fault; who commands and who sets the speed stands among the monitors above."""
    columns = (
        Column(t("Fault"), 1.5, header=True),
        Column(t("Check"), 2.2),
        Column(t("Expect here"), 2.2),
        Column(t("If not"), 2.2),
    )
    rows: list[Row] = []
    for page in pages:
        told = [c for c in page.checks if not c.check.startswith("Who ")][:_CHECKS_ON_CARD]
        rows += [
            Row(
                (t(page.symptom) if n == 0 else "", t(c.check), t(c.expected), t(c.if_not)),
                key=f"{page.symptom} {c.order}",
            )
            for n, c in enumerate(told)
        ]
    return data_table(columns, rows, filter=False)
