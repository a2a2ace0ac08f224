"""Schemes as data: complete vocabulary, own schemes from a file, bad files told."""

from __future__ import annotations

from pathlib import Path

import pytest
from invented_drives import COMPLETE, row, site, wire

from binder.engineering.figure import Figures
from binder.inventory.columns_control import SCHEMES as SHEET_SCHEMES
from binder.inventory.findings import Grade
from binder.wiring.build import wire_drive
from binder.wiring.kinds import KINDS
from binder.wiring.recipe import parse_contact, parse_joint
from binder.wiring.schemes import SCHEMES, find_scheme, read_recipes
from binder.wiring.vocabulary import ROLES, TERMINAL_FUNCTIONS

OWN = """
[[scheme]]
key = "two-wire run"
title = "Two-wire run through a key switch"
code = "CS01"
owner = ["command"]
joints = ["$RUN - S:21", "S:22 - @DI(run_forward)"]
[[scheme.part]]
key = "S"
kind = "selector"
text = "key switch"
contacts = ["21-22 NO -x"]
states = ["OFF", "ON"]
[[scheme.ask]]
function = "start_method"
applies_to = ""
value = "two-wire"
reason = "key switch"

[[scheme]]
key = "washdown stop"
title = "Washdown pressure stop"
string = "permit"
[[scheme.part]]
key = "F1"
kind = "switch"
text = "washdown"
contacts = ["11-12 NC x-"]
states = ["healthy", "acted"]
"""


def test_the_sheet_offers_only_schemes_that_exist() -> None:
    assert [s for s in SHEET_SCHEMES if find_scheme(s) is None] == []


def test_every_code_of_the_trade_is_there() -> None:
    assert {r.code for r in SCHEMES.values()} >= {f"CS{n:02}" for n in range(1, 35)}
    assert set(COMPLETE) == {f"CS{n:02}" for n in range(1, 35)}


@pytest.mark.parametrize("key", SCHEMES)
def test_recipe_is_well_formed(key: str) -> None:
    recipe = SCHEMES[key]
    parts = {p.key: p for p in recipe.parts}
    marks = {k: set(p.ports) for k, p in parts.items()}
    for k, p in parts.items():
        assert p.kind in KINDS
        for text in p.contacts:
            contact = parse_contact(text, len(p.states))
            marks[k] |= {contact.a, contact.b}
        assert p.rest in {"", *p.states}
    for text in (*recipe.joints, *(j for _, j in recipe.fallback)):
        joint = parse_joint(text)
        for end in (joint.a, joint.b):
            if end[0] not in "$@%":
                part, _, mark = end.partition(":")
                assert mark in marks[part], text
            elif end[0] == "@":
                role = end[1:].split("(")[0]
                assert role in ROLES or role in {"RO", "DI", "AI", "AO"}, text
                if "(" in end and "{" not in end:
                    assert end.split("(")[1].split(")")[0] in TERMINAL_FUNCTIONS


def test_own_scheme_overrides_and_adds(tmp_path: Path) -> None:
    file = tmp_path / "recipes.toml"
    file.write_text(OWN, "utf-8")
    recipes, findings = read_recipes(file)
    assert findings == ()
    inventory = site([row("two-wire run"), row("0-10 V reference"), row("washdown stop", "wash bay")], "24")
    wiring = wire_drive(inventory, inventory.drives[0], Figures(), recipes=recipes)
    assert wiring.device("-S1").terminals == ("21", "22")  # type: ignore[union-attr]
    assert "washdown stop" in wiring.schemes
    assert wiring.modes[0].permissives == ("-B1",)
    assert not [f for f in wiring.findings if f.code == "W101"]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[[scheme", "not understood"),
        ('[[scheme]]\nkey="x"\ntitle="x"\njoints=["nonsense"]', "no joint"),
        ('[[scheme]]\nkey="x"\ntitle="x"\ncolour="red"', "unknown word colour"),
        ('[[scheme]]\nkey="x"\ntitle="x"\n[[scheme.part]]\nkey="S"\nkind="gizmo"', "unknown kind"),
        ('[[scheme]]\nkey="x"\ntitle="x"\n[[scheme.part]]\nkey="S"\nkind="selector"\ncontacts=["13-14 NO x"]\n'
         'states=["A","B"]', "1 signs for 2 states"),
        ('[[scheme]]\ntitle="x"', "key"),
        ('[[scheme]]\nkey="x"\ntitle="x"\nsignal="telepathy"', "telepathy"),
    ],
    ids=["no toml", "joint", "field", "kind", "chart", "no key", "class"],
)  # fmt: skip
def test_bad_recipe_is_told_and_left_out(tmp_path: Path, text: str, words: str) -> None:
    file = tmp_path / "recipes.toml"
    file.write_text(text, "utf-8")
    recipes, findings = read_recipes(file)
    assert [f.code for f in findings] == ["W102"]
    assert words in findings[0].found
    assert recipes == dict(SCHEMES)


def test_missing_recipe_file_is_told() -> None:
    _, findings = read_recipes(Path("no-such-file.toml"))
    assert [f.code for f in findings] == ["W102"]


def test_aliases_never_meet() -> None:
    seen: dict[str, str] = {}
    for r in SCHEMES.values():
        for word in {r.key, *r.aliases}:
            assert seen.setdefault(word.casefold(), r.key) == r.key


def test_every_scheme_can_be_chosen_in_the_workbook_and_every_choice_is_a_scheme() -> None:
    assert set(SHEET_SCHEMES) == set(SCHEMES)
    assert len(set(SHEET_SCHEMES)) == len(SHEET_SCHEMES)


@pytest.mark.parametrize(
    ("scheme", "function"), [("ready relay", "ready"), ("at speed relay", "at_speed"), ("in auto relay", "in_auto")]
)
@pytest.mark.parametrize("lamp", [False, True])
def test_a_chosen_report_asks_for_its_relay_and_is_wired_to_it(scheme: str, function: str, lamp: bool) -> None:
    report = row(scheme, "panel door" if lamp else "controller panel", devices="H=HL-1" if lamp else "")
    wiring = wire([row("two-wire run"), row("0-10 V reference", "controller panel"), report], "24")
    assert not [f for f in wiring.findings if f.grade is Grade.STOP]
    asked = {(d.applies_to, d.value) for d in wiring.demands if d.function == "relay_function"}
    assert ("RO1", function) in asked
    assert wiring.terminal(function).label == "RO1 C"  # type: ignore[union-attr]
    landed = {e.device for c in wiring.connections for e in (c.a, c.b)}
    assert (("HL-1" in landed) is lamp) and any(c.scheme == scheme for c in wiring.connections)
