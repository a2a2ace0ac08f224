"""Control schemes of one's own in recipes.toml: used like a built-in one, and never a way to break a build."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from binder.inventory.findings import Grade
from binder.inventory.reader import read_workbook
from binder.inventory.records import Inventory
from binder.reissue.current import study_of
from binder.study import study_site
from binder.wiring.recipe_checks import refusal
from binder.wiring.schedules import wire_list
from binder.wiring.schemes import SCHEMES, read_recipes

DEMO = Path(__file__).parents[2] / "demo_site" / "inventory.xlsx"

OWN = """
[[scheme]]
key = "washdown stop"
title = "Washdown pressure stop"
string = "permit"
aliases = ["hose stop"]
[[scheme.part]]
key = "F1"
kind = "switch"
text = "washdown pressure"
contacts = ["11-12 NC x-"]
states = ["healthy", "acted"]
"""


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """The demo with one more row on the sheet Controls, whose scheme no built-in list holds."""
    book = openpyxl.load_workbook(DEMO)
    sheet = book["Controls"]
    row = 2
    while sheet.cell(row, 1).value:
        row += 1
    for column, value in enumerate(("VFD-201", "Hose Stop", "", "pump", "F1=PSW-201"), 1):
        sheet.cell(row, column).value = value or None
    book.save(tmp_path / "inventory.xlsx")
    return tmp_path


def scheme_findings(project: Path) -> list[str]:
    return [f.code for f in study_of(project).findings if f.sheet in ("Controls", "recipes.toml") and f.code != "B156"]


def test_an_own_scheme_is_wired_drawn_and_listed(project: Path) -> None:
    (project / "recipes.toml").write_text(OWN, encoding="utf-8")
    drive = next(s for s in study_of(project).drives if s.drive.tag == "VFD-201")
    assert "washdown stop" in drive.wiring.schemes
    assert drive.wiring.device("PSW-201") is not None
    assert any("PSW-201" in line.from_end + line.to_end for line in wire_list(drive.wiring))
    assert "PSW-201" in {p for mode in drive.wiring.modes for p in mode.permissives}
    assert "B121" not in scheme_findings(project)


def test_without_the_file_the_cell_is_refused_and_named(project: Path) -> None:
    found = [f for f in study_of(project).findings if f.code == "B121"]
    assert [(f.sheet, f.tag) for f in found] == [("Controls", "VFD-201")]


def test_a_changed_file_is_read_again(project: Path) -> None:
    before = {f.code for f in study_of(project).findings}
    (project / "recipes.toml").write_text(OWN, encoding="utf-8")
    after = {f.code for f in study_of(project).findings}
    assert "B121" in before
    assert "B121" not in after


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[[scheme]\nkey=", "Expected"),
        ("scheme = 3", "scheme stands where tables"),
        ('title = "x"', "title stands where tables"),
        ('[[scheme]]\nkey = 3\ntitle = "t"', "key is written in another form"),
        ('[[scheme]]\nkey = "x"', "title"),
        ('[[scheme]]\nkey = "x"\ntitle = "t"\njoints = "a - b"', "joints is written in another form"),
        ('[[scheme]]\nkey = "x"\ntitle = "t"\njoints = ["a b"]', "is no joint"),
        ('[[scheme]]\nkey = "x"\ntitle = "t"\nsignal = "steam"', "steam"),
        ('[[scheme]]\nkey = "x"\ntitle = "t"\ncolour = "red"', "unknown word colour"),
        ('[[scheme]]\nkey = "x"\ntitle = "t"\n[[scheme.part]]\nkey = "S"\nkind = "spoon"', "unknown kind"),
        ('[[scheme]]\nkey = "x"\ntitle = "t"\nfeeds = [["hand"]]', "feeds is written in another form"),
        ("x = " + "[" * 5000, ""),
    ],
    ids=lambda text: text[:30].replace("\n", " "),
)
def test_a_bad_file_is_a_stop_with_a_remedy(tmp_path: Path, text: str, told: str) -> None:
    file = tmp_path / "recipes.toml"
    file.write_text(text, encoding="utf-8")
    recipes, found = read_recipes(file)
    assert recipes == dict(SCHEMES)
    assert found
    assert all(f.code == "W102" and f.grade is Grade.STOP and f.remedy for f in found)
    assert told in found[0].found


def test_a_file_that_is_no_text_is_told_with_the_findings_of_the_site(tmp_path: Path) -> None:
    shutil.copy(DEMO, tmp_path / "inventory.xlsx")
    (tmp_path / "recipes.toml").write_bytes(b"\xff\xfe\x00")
    assert "W102" in {f.code for f in study_of(tmp_path).findings}


ENDS = st.sampled_from(
    ["$IN", "$RET", "$RUN", "$PERMIT", "@DI(run_forward)", "@DI(stop_enable)", "@DI({preset})", "@AI({reference})",
     "@R10", "@A0", "@P24", "@N24", "@RO(fault).NO", "@RO(run).C", "@STO1", "@BUS.A", "%L", "%N", "S:13", "S:14",
     "A:1", "A:2"]
)  # fmt: skip
WHEN = st.sampled_from(["", "if no A: ", "if R10: ", "if two references: ", "if EN and no S: "])
JOINT = st.builds("{}{} - {}".format, WHEN, ENDS, ENDS)
BAD_ENDS = st.sampled_from(
    ["$UP", "%X", "@", "@FOO", "@DI", "@DI(nothing)", "@RO(run)", "@R10.NO", "@BUS.*", "S:99", "Z:1"]
)


def own(joints: list[str], **more: object) -> dict[str, object]:
    parts = [
        {"key": "S", "kind": "pushbutton", "contacts": ["13-14 NO -x"], "states": ["released", "pressed"]},
        {"key": "A", "kind": "controller", "ports": ["1", "2"], "optional": True},
    ]
    return {"key": "own", "title": "Own", "joints": joints, "part": parts, **more}


@pytest.fixture(scope="module")
def one_drive() -> Inventory:
    """The demo with one drive and, beside its own schemes, one that is called 'own'."""
    inventory = read_workbook(DEMO)
    control = next(c for c in inventory.controls if c.drive == "VFD-201")
    added = replace(control, scheme="own", devices="A=PLC-9", terminals="")
    drives = tuple(d for d in inventory.drives if d.tag == "VFD-201")
    return replace(inventory, drives=drives, controls=(*inventory.controls, added))


@given(
    joints=st.lists(JOINT, max_size=5),
    string=st.sampled_from(["", "permit", "fault", "permit by S", "fault without PTC+"]),
    analog=st.sampled_from(["", "potentiometer", "0-10 V", "4-20 mA", "4-20 mA loop", "output"]),
    owner=st.lists(st.sampled_from(["command", "reference", "network", "process", "measure", "bypass"]), max_size=2),
    flags=st.fixed_dictionaries({k: st.booleans() for k in ("star", "own_cable", "screen_both_ends", "restarts")}),
)
@settings(max_examples=40, deadline=None, derandomize=True)
def test_no_scheme_that_is_taken_breaks_the_study(
    one_drive: Inventory, joints: list[str], string: str, analog: str, owner: list[str], flags: dict[str, bool]
) -> None:
    recipes, told = read_recipes({"scheme": [own(joints, string=string, analog=analog, owner=owner, **flags)]})
    assert told == ()
    made = study_site(one_drive, recipes=recipes)
    assert made.drives[0].wiring.schemes[-1] == "own"


@given(good=ENDS, bad=BAD_ENDS)
@settings(max_examples=30, deadline=None, derandomize=True)
def test_an_end_that_does_not_exist_is_refused_by_name(good: str, bad: str) -> None:
    recipes, told = read_recipes({"scheme": [own([f"{good} - {bad}"])]})
    assert "own" not in recipes
    assert [f.code for f in told] == ["W102"]
    assert bad in told[0].found


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"owner": ["king"]}, "owner 'king'"),
        ({"owner": ["selector"]}, "names in feeds"),
        ({"feeds": [["hand", "S:13"]]}, "names in feeds"),
        ({"owner": ["selector"], "feeds": [["hand", "S:13"]]}, "no joint ties that part"),
        ({"owner": ["supply"]}, "a part G"),
        ({"analog": "steam"}, "analog 'steam'"),
        ({"string": "rope"}, "neither permit nor fault"),
        ({"string": "permit by Q"}, "none of its parts has a contact"),
        ({"title": " "}, "must not be empty"),
        ({"ask": [{"function": "x", "applies_to": "", "value": "{other}", "reason": ""}]}, "other places"),
        ({"part": [{"key": "S", "kind": "selector"}]}, "has no states"),
        ({"part": [{"key": "S", "kind": "lamp"}, {"key": "S", "kind": "lamp"}]}, "key of its own"),
        ({"part": [{"key": "S", "kind": "lamp", "ports": ["1", "1"]}]}, "a terminal twice"),
        ({"part": [{"key": "S", "kind": "lamp", "rest": "on"}]}, "none of its states"),
    ],
    ids=lambda value: str(value)[:40],
)
def test_a_scheme_that_is_not_whole_is_refused(more: dict[str, object], told: str) -> None:
    _, findings = read_recipes({"scheme": [own([], **more)]})
    assert [f.code for f in findings] == ["W102"]
    assert told in findings[0].found


def test_every_built_in_scheme_passes_the_same_check() -> None:
    assert {key: refusal(recipe) for key, recipe in SCHEMES.items() if refusal(recipe)} == {}
