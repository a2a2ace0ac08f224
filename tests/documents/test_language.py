"""The second language: every fixed text of the cards is known, and nothing else is touched."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from docutils import nodes

from binder.documents import front_matter
from binder.documents.assemble import assemble
from binder.documents.language import (
    CODES,
    SPOKEN,
    caution_title,
    say,
    speak_cautions,
    speak_texts,
    spoken,
    translated,
)
from binder.documents.nodes import Leaf, caution_box, data_table, key_values, qr_code
from binder.documents.packet_cards import door_card_section, lockout_section
from binder.field import door_card, energies, faults, isolation, tests
from binder.field.sheets import CodeMeaning
from binder.inventory.columns_models import FAULT_KINDS
from binder.inventory.columns_site import SITE
from binder.reissue.current import study_of
from binder.study import SiteStudy

ROOT = Path(__file__).parents[2]
CATALOGUE = ROOT / "binder" / "documents" / "words" / "es.json"


@pytest.fixture(scope="module")
def study() -> SiteStudy:
    return study_of(ROOT / "demo_site")


def in_language(study: SiteStudy, language: str) -> SiteStudy:
    site = replace(study.inventory.site, language=language)
    return replace(study, inventory=replace(study.inventory, site=site))


# The catalogue --------------------------------------------------------------------------------------


def entries() -> dict[str, str]:
    groups = json.loads(CATALOGUE.read_text(encoding="utf-8"))
    made = {english: other for group in groups.values() for english, other in group.items()}
    assert len(made) == sum(len(group) for group in groups.values()), "an English text stands in two groups"
    return made


def test_the_choices_of_the_workbook_are_the_languages_that_there_are() -> None:
    column = next(c for c in SITE.columns if c.field == "language")
    assert set(column.choices) == set(SPOKEN)
    assert {one for languages in SPOKEN.values() for one in languages} == set(CODES)


@pytest.mark.parametrize(("english", "other"), entries().items(), ids=lambda text: str(text)[:40])
def test_a_translation_keeps_places_numbers_and_marks(english: str, other: str) -> None:
    """What must not change is the same in both: places, numbers with their decimals, setting words of the keypad."""
    kept = re.compile(r"\{\w+\}|(?<![\w.])\d[\d.]*|OFF\b|DC\+|DC-|\bPE\b|±")
    assert sorted(kept.findall(other)) == sorted(kept.findall(english))
    assert other.strip() == other != ""
    assert english.endswith(".") == other.endswith(".") or english == "No."


# Every fixed text ------------------------------------------------------------------------------------


def templates(*functions: object) -> Iterator[str]:
    """Sentences in the source of functions and constants: plain strings, and f-strings with a value in each place."""
    for made in functions:
        name = made.__name__  # type: ignore[attr-defined]
        module = __import__(made.__module__, fromlist=["x"])
        tree = ast.parse(Path(module.__file__).read_text(encoding="utf-8"))
        found = next(n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef) and n.name == name)
        yield from texts_in(found)


def texts_in(node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.FunctionDef):
        for statement in node.body:
            documented = isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant)
            if not documented:
                yield from texts_in(statement)
    elif isinstance(node, ast.JoinedStr):
        yield "".join(p.value if isinstance(p, ast.Constant) else "{}" for p in node.values)
    elif isinstance(node, ast.Constant):
        if isinstance(node.value, str):
            yield node.value
    elif not isinstance(node, ast.Compare):
        for child in ast.iter_child_nodes(node):
            yield from texts_in(child)


FIXED = {
    "steps of the lockout card": (isolation._steps,),
    "return to service": (isolation._return_steps,),
    "cautions of the door card": (door_card._cautions,),
    "cautions of the site": (front_matter._cautions,),
}


def shapes() -> set[str]:
    """Catalogue entries with their places left empty, to be compared with f-strings."""
    return {re.sub(r"\{\w+\}", "{}", english) for english in entries()}


@pytest.mark.parametrize("functions", FIXED.values(), ids=FIXED.keys())
def test_every_sentence_of_these_functions_is_in_the_catalogue(functions: tuple[object, ...]) -> None:
    known = shapes()
    sentences = [t for t in templates(*functions) if " " in t.strip("{} :,")]
    # A sentence that ends in a constant of its own is known with that constant in its place.
    missing = [t for t in sentences if t not in known and t.lower() not in known]
    names = {"return of power"}  # looked up, never printed by these functions
    assert set(missing) - names == set()


@pytest.mark.parametrize(
    "text",
    [
        *isolation.NOT_ISOLATORS,
        isolation.CHARGE_NOTE,
        *energies.KINDS,
        energies.STORED_CHARGE,
        *(kind.method for kind in energies.KINDS.values()),
        *(kind.proof for kind in energies.KINDS.values()),
        *(caution for stage in tests.STAGES for caution in stage.cautions),
        *(symptom for symptom, _ in faults._SYMPTOMS),
        *FAULT_KINDS,
    ],
)
def test_every_constant_of_the_field_pages_is_in_the_catalogue(text: str) -> None:
    assert translated(text, "Spanish") is not None


FAULT_FUNCTIONS = [*(steps for _, steps in faults._SYMPTOMS), faults._sensor]


@pytest.mark.parametrize("function", FAULT_FUNCTIONS, ids=lambda f: f.__name__)
def test_every_check_of_a_fault_page_is_in_the_catalogue(function: object) -> None:
    """The door card shows the first checks of any of these pages."""
    known = shapes()
    names = {"safe torque off", "process control"}  # of schemes
    found = [t for t in templates(function) if " " in t and re.search(r"[a-z]{2}", t)]
    assert [t for t in found if t not in known | names] == []


def printed(section: nodes.Element) -> Iterator[str]:
    """Every text of a card, joined ones taken apart as they were joined."""
    for node in section.findall():
        if isinstance(node, caution_box):
            yield node["title"]
        elif isinstance(node, Leaf) and not isinstance(node, qr_code):
            yield from node.words()
        elif isinstance(node, nodes.Text):
            yield from re.split(r"; |(?<=\.) (?=\d+\. )", str(node))


def typed(study: SiteStudy) -> str:
    """All that stands in the workbook, in one text: none of it is ours to translate."""
    return repr(study.inventory) + repr([s.settings for s in study.drives]) + repr([s.wiring for s in study.drives])


def test_no_sentence_of_ours_is_left_in_english_on_the_demo_cards(study: SiteStudy) -> None:
    """Words of a translated card that are English must come from the workbook."""
    english = re.compile(
        r"\b(the|and|to|of|is|are|before|then|not|with|from|by|it|your|must|lock|wait)\b", re.IGNORECASE
    )
    given, left = typed(study), []
    for s in study.drives:
        cards = [lockout_section(s.field.lockout, "Spanish")]
        if s.field.door_card:
            cards.append(door_card_section(s.field.door_card, "X-1 rev A", "Spanish"))
        for text in (t for card in cards for t in printed(card)):
            own = re.split(r": |, |; |\. | x |\n", text.replace("\u00a0", " "))
            left += [part for part in own if english.search(part) and part.strip(" .") not in given]
    assert left == []


def test_tags_numbers_and_typed_texts_are_untouched(study: SiteStudy) -> None:
    for s in study.drives:
        card = lockout_section(s.field.lockout, "Spanish")
        table = next(t for t in card.findall(data_table))
        for source, row in zip(s.field.lockout.sources, table["rows"], strict=True):
            assert source.isolator in row.cells[2] or source.isolator.startswith("none")
            figures = re.findall(r"\d[\d.]*", source.magnitude)
            assert re.findall(r"\d[\d.]*", row.cells[1]) == figures
        text = "\n".join(str(t) for t in card.findall(nodes.Text))
        for tag in {s.drive.tag, s.drive.motor, s.drive.machine, s.drive.isolator} - {""}:
            assert tag in text


@pytest.mark.parametrize(
    "text",
    [
        "DS-101",
        "bucket 1A",
        "Open, hang lock and tag.",
        "Test dead at the heater terminals.",
        "M30 = b terminals (auto)",
        "Open to atmosphere",
        "Roof, north side",
        "{0} {x.y} {}",
        "",
        "a\nb",
    ],
)
def test_what_the_catalogue_does_not_hold_stays(text: str) -> None:
    assert say(text, "Spanish") == text
    assert say(text, "English and Spanish") == text


@pytest.mark.parametrize(
    ("english", "spanish"),
    [
        ("Wait 15 minutes. Covers stay shut. " + isolation.CHARGE_NOTE, "Espere 15 minutos. Las tapas"),
        ("Wait 2.5 minutes. Covers stay shut. " + isolation.CHARGE_NOTE, "Espere 2.5 minutos."),
        ("Incoming supply: DS-1, {x}: open, see the gap, lock, tag.", "Alimentación de entrada: DS-1, {x}: abrir"),
        ("Gravity: NONE NAMED. DO NOT START until somebody names how to lower the load to its stop, or block it.",
         "Gravedad: NINGUNO INDICADO. NO EMPIECE"),
        ("Space heater: Test dead at the heater terminals.", "Resistencia calefactora del motor: Test dead at the"),
        ("Caution: this drive may start by itself (return of power, fault reset). Keep clear until it is locked.",
         "(retorno de la alimentación, restablecimiento de falla)"),
        ("480 V, 3-phase, 60 Hz, from MCC-1 circuit 1A", "480 V, 3 fases, 60 Hz, desde MCC-1 circuito 1A"),
        ("DC link: 13 DC+ to 14 DC-, each to PE: below 50 V DC", "Bus de CC: 13 DC+ a 14 DC-"),
    ],
)  # fmt: skip
def test_sentences_with_values(english: str, spanish: str) -> None:
    assert spanish in say(english, "Spanish")


def test_a_code_of_no_known_kind_is_told_in_the_words_of_the_manual(study: SiteStudy) -> None:
    card = next(s.field.door_card for s in study.drives if s.field.door_card)
    codes = (
        CodeMeaning("X-30", "other", "Clock has no battery", "", "", ()),
        CodeMeaning("X-31", "other", "", "", "", ()),
    )
    told = door_card_section(replace(card, codes=codes), "X-1 rev A").astext()
    assert "X-30 Clock has no battery; X-31 other." in told


# Pages -----------------------------------------------------------------------------------------------


def card_ids(study: SiteStudy) -> list[str]:
    binder = assemble(study)
    document = next(d for d in binder.documents if d.kind == "packet")
    ids = [n["ids"][0] for n in binder.body(document) if isinstance(n, nodes.section)]
    return [i for i in ids if i.startswith(("lockout", "door-card"))]


@pytest.mark.parametrize(
    ("language", "expected"),
    [
        ("English", ["lockout", "door-card"]),
        ("Spanish", ["lockout", "door-card"]),  # the same anchors: links lead to the card in any language
        ("English and Spanish", ["lockout", "lockout-es", "door-card", "door-card-es"]),
        ("Klingon", ["lockout", "door-card"]),
    ],
)
def test_a_card_is_one_sheet_a_language(study: SiteStudy, language: str, expected: list[str]) -> None:
    assert card_ids(in_language(study, language)) == expected


def test_a_card_says_its_language_for_voices(study: SiteStudy) -> None:
    s = next(s for s in study.drives if s.field.door_card)
    assert lockout_section(s.field.lockout, "Spanish")["classes"] == ["language-es"]
    assert s.field.door_card
    assert door_card_section(s.field.door_card, "X", "Spanish")["classes"] == ["language-es"]
    assert lockout_section(s.field.lockout)["classes"] == []


def test_every_caution_of_a_packet_has_both_languages(study: SiteStudy) -> None:
    binder = assemble(in_language(study, "English and Spanish"))
    for document in (d for d in binder.documents if d.kind in ("packet", "safety")):
        for section in binder.body(document):
            if not isinstance(section, nodes.section) or section["ids"][0].startswith(("lockout", "door-card")):
                continue
            for box in section.findall(caution_box):
                if box["grade"] in ("danger", "warning", "caution") and box["title"] != "Not fit for handover":
                    classes = [c for p in box.findall(nodes.paragraph) for c in p["classes"]]
                    count = len(list(box.findall(nodes.paragraph)))
                    typed_by_people = box["title"].startswith("Only with exceptions")
                    assert count >= 2 or typed_by_people, box.astext()
                    assert classes == ["language-es"] * (count // 2), box.astext()
                    assert re.search(r" / (PELIGRO|ADVERTENCIA|PRECAUCIÓN): ", box["title"])


def test_english_pages_are_as_they_were(study: SiteStudy) -> None:
    box = caution_box("", nodes.paragraph("", "Before you start"), grade="warning", title="Before you start")
    before = box.pformat()
    speak_cautions([box], "English")
    speak_texts([box], "English")
    assert box.pformat() == before
    assert caution_title("danger", "Before you start", "English") == "Before you start"
    assert spoken("English") == ("English",)


def test_lists_get_the_translation_below_each_item() -> None:
    item = nodes.list_item("", nodes.paragraph("", "Wait the minutes on the label. Covers stay shut."))
    made = speak_texts([nodes.bullet_list("", item)], "English and Spanish")
    assert [p.astext() for p in made[0].findall(nodes.paragraph)] == [
        "Wait the minutes on the label. Covers stay shut.",
        "Espere los minutos de la etiqueta. Las tapas siguen cerradas.",
    ]


def test_the_fixed_texts_of_the_cards_are_known() -> None:
    """Headings, column titles and names of values: every string given to `t(...)` in the module of the cards."""
    tree = ast.parse((ROOT / "binder" / "documents" / "packet_cards.py").read_text(encoding="utf-8"))
    asked = [
        argument.value
        for call in ast.walk(tree)
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id in ("t", "caution_title")
        for argument in call.args
        if isinstance(argument, ast.Constant)
    ]
    assert len(asked) > 25
    words = {"danger", "warning", "stop"}
    assert [text for text in asked if text not in words and translated(text, "Spanish") is None] == []


def test_key_values_of_the_cards_are_known(study: SiteStudy) -> None:
    for s in study.drives:
        made = [lockout_section(s.field.lockout)]
        made += [door_card_section(s.field.door_card, "X")] if s.field.door_card else []
        names = [name for card in made for pairs in card.findall(key_values) for name, _ in pairs["pairs"]]
        assert [n for n in names if translated(n.replace("\u00a0", " "), "Spanish") is None] == []
