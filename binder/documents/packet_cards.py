"""The two cards of one drive, each meant for one sheet and printed once a language: lockout, and the door."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

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
    shown,
    side_by_side,
    steps,
    strong,
)
from binder.documents.blocks import card as page_card
from binder.documents.language import ENGLISH, caution_title, marked, say
from binder.engineering.figure import display, firm
from binder.field.sheets import CodeMeaning, DoorCard, FaultPage, LockoutCard

_INSPECTIONS = 2  # years until the card is printed again; a third row costs the card its one sheet
_INSPECTION_WEIGHTS = (1.0, 1.6, 2.4, 2.4)
_SETTINGS_ABREAST = 3
_SETTINGS_SHOWN = 36  # more than one sheet holds is no door card
_CODES_SHOWN = 24  # the others stand on the fault pages

Say = Callable[[str], str]


def _saying(language: str) -> Say:
    """How a text of a card is said: translated, numbers on one line with their units."""
    return lambda text: firm(say(text, language))


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
    t = _saying(language)
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
    charge = [(t(name), t(value)) for name, value in _charge(card)]
    returning = steps([t(step) for step in card.return_steps])
    body: list[nodes.Node] = [
        paragraph(strong(card.drive), ". ", t(card.scope)),
        caution(
            "danger",
            caution_title("danger", "Stored charge and more than one source", language),
            t(
                "The DC link stays charged after isolation. The time proves nothing: only the meter does. "
                "Below 50 V DC between DC+ and DC-, and from each to earth, before any hand goes in."
            ),
            key_values(charge, columns=2),
        ),
        data_table(columns, rows, filter=False),
        section(
            t("Isolate and prove dead"),
            steps([t(step) for step in card.steps], side_by_side=True),
            id=f"{anchor}-steps",
        ),
        side_by_side(
            [paragraph(strong(f"{t('Test points')}:")), bullets([t(point).rstrip(".") for point in card.test_points])],
            [paragraph(strong(f"{t('Return to service')}:")), returning],
        ),
        caution(
            "stop",
            caution_title("stop", "These are not isolators", language),
            "; ".join(map(t, card.not_isolators)) + ".",
        ),
        paragraph(f"{t('This card defers to')}: " + "; ".join(map(t, card.rules)) + "."),
        paragraph(strong(f"{t('Inspection of this card')}: "), t(card.inspection_rule)),
        data_table(
            [
                Column(t(name), weight, kind="write")
                for name, weight in zip(card.inspection, _INSPECTION_WEIGHTS, strict=True)
            ],
            [Row(("",) * len(card.inspection), key=f"inspection-{n}") for n in range(_INSPECTIONS)],
            filter=False,
        ),
    ]
    made = section(t("Lockout card"), page_card(t("Lockout card"), *body), id=anchor)
    return marked(made, language)


def _charge(card: LockoutCard) -> list[tuple[str, str]]:
    def text(value: float | None, unit: str) -> str:
        return "not in the inventory" if value is None else f"{display(value)} {unit}"

    return [
        ("Wait, from the drive's label", text(card.wait_minutes, "min")),
        ("The label's minutes are from", card.wait_source),
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
    t = _saying(language)
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
    first = [
        ("Isolate at", "\n".join(map(t, card.isolators)) or t("not in the inventory")),
        ("Then wait", t(card.wait)),
        ("Prove dead at", "\n".join(t(point).rstrip(".") for point in card.test_points)),
    ]
    then = [
        ("Call", "\n".join(map(t, card.contacts)) or t("nobody listed")),
        ("Spare", "\n".join(card.spare) or t("none listed")),
        ("Settings backup", t(card.backup or "not in the inventory")),
    ]
    warned = caution_title("warning", "Before you reach in", language)
    more = len(card.settings) - _SETTINGS_SHOWN
    body: list[nodes.Node] = [
        side_by_side(
            [
                paragraph(strong(card.drive), f", {card.feeds}" if card.feeds else ""),
                *([caution("warning", warned, " ".join(map(t, card.cautions)))] if card.cautions else []),
                key_values([(t(name), value) for name, value in first], columns=1),
            ],
            [qr(document, t(f"Document {document}")), key_values([(t(n), v) for n, v in then], columns=1)],
            weights=(1.7, 1),
        ),
        side_by_side(
            [data_table(modes, _rows(card.modes, "mode", t), filter=False)],
            [data_table(baseline, _rows(card.baseline, "speed", t), filter=False)],
            weights=(1.2, 1),
        ),
        bullets(map(t, card.monitors)),
        *_display_codes(card.codes, t),
        *_changed_settings(card.settings[:_SETTINGS_SHOWN], t),
        *([paragraph(t(f"and {more} more changed settings: see the settings of this drive"))] if more > 0 else []),
        _first_faults(card.faults, t),
    ]
    title = t("Door card")
    return marked(section(title, page_card(title, *body), id=anchor), language)


def _rows(lines: Iterable[tuple[str, ...]], what: str, t: Say) -> list[Row]:
    """Lines of which the first word names what they show."""
    return [Row(tuple(map(t, line)), key=line[0], shows=(f"{what} {line[0] or 'always'}",)) for line in lines]


def _changed_settings(settings: Sequence[tuple[str, str, str]], t: Say) -> list[nodes.Node]:
    """Three settings a line, so that the card stays one sheet; names and values as the manual words them."""
    if not settings:
        return []
    heads = (("No.", 0.8, "code", True), ("Changed setting", 1.8, "text", False), ("Value", 1.2, "text", False))
    columns = [Column(t(title), weight, kind=k, header=h) for title, weight, k, h in heads * _SETTINGS_ABREAST]
    height = -(-len(settings) // _SETTINGS_ABREAST)
    blank = ("", "", "")
    rows = []
    for line in range(height):  # read down, then on to the right, as on the settings page
        abreast = [settings[n] if n < len(settings) else blank for n in range(line, height * _SETTINGS_ABREAST, height)]
        cells = [c for no, name, value in abreast for c in (no, name, Cell(value, shows=f"setting {no}"))]
        rows.append(Row(tuple(cells), key=f"line {line}"))
    return [data_table(columns, rows, filter=False)]


def _display_codes(codes: Sequence[CodeMeaning], t: Say) -> list[nodes.Node]:
    """All in one paragraph: a table of them costs the card its one sheet."""
    told: list[nodes.Node | str] = []
    for code in codes[:_CODES_SHOWN]:
        means = code.words if code.meaning == "other" and code.words else t(code.meaning)
        told += ["; " if told else " ", shown(f"fault code {code.code}", strong(code.code), f" {means}")]
    return [paragraph(strong(f"{t('Display')}:"), *told, ".")] if told else []


def _first_faults(pages: Sequence[FaultPage], t: Say) -> nodes.Node:
    """One line a check; who commands and who sets the speed stands among the monitors above."""
    columns = (
        Column(t("Fault"), 1.5, header=True),
        Column(t("Check"), 2.2),
        Column(t("Expect here"), 2.2),
        Column(t("If not"), 2.2),
    )
    rows = [
        Row(
            (t(page.symptom) if n == 0 else "", t(c.check), t(c.expected), t(c.if_not)),
            key=f"{page.symptom} {c.order}",
            shows=(f"fault check {page.symptom} {c.order}",),
        )
        for page in pages
        for n, c in enumerate(page.checks)
    ]
    return data_table(columns, rows, filter=False)
