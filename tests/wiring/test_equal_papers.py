"""Drawing, wire list, terminal plan, check sheet and JSON of every scheme and combination say the same.

The drawing is read as a person reads it, see `drawing_reader`; nothing is taken from its data attributes.
"""

from __future__ import annotations

import json
import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from itertools import product
from pathlib import Path
from typing import Any

import drawing_checks as checks
import pytest
from combinations import COMBINATIONS, EVERY_SCHEME
from drawing_reader import read
from drawing_ties import loose_texts
from invented_drives import STRIPS, site

from binder.engineering.figure import Figures
from binder.inventory.records import Control, Inventory
from binder.reissue.current import study_of
from binder.wiring.as_json import connection_data
from binder.wiring.build import wire_drive
from binder.wiring.connections import Kind, Wiring
from binder.wiring.drawing import control_sheets
from binder.wiring.schedules import check_sheet, core_schedule, terminal_plan, wire_list

#: A conductor: its ends, number, cable, core, colour, size.
Said = tuple[frozenset[str], str, str, str, str, str]

_CASES = {**EVERY_SCHEME, **COMBINATIONS}
_LOGIC, _SYMBOLS = ("positive", "negative"), ("IEC", "North American")


def _every_way() -> list[Any]:
    """All names on all drives in both logics with both kinds of symbols; of these four one is never left out."""
    found = []
    for n, name in enumerate(_CASES):
        for k, size in enumerate(STRIPS):
            for way, (logic, symbols) in enumerate(product(_LOGIC, _SYMBOLS)):
                marks = () if way == (n + k) % 4 else (pytest.mark.slow,)
                case = (name, size, logic, symbols)
                found.append(pytest.param(*case, marks=marks, id="-".join(case)))
    return found


def made(rows: Sequence[Control], size: str, logic: str, symbols: str) -> tuple[Inventory, Wiring]:
    """A drive on a site of that symbol convention, whose tags and sizes follow the code basis."""
    inventory = site(rows, size, logic=logic, basis="IEC" if symbols == "IEC" else "NEC")
    inventory = replace(inventory, site=replace(inventory.site, symbols=symbols))
    return inventory, wire_drive(inventory, inventory.drives[0], Figures())


def assert_drawn_well(sheets: Sequence[checks.Sheet], wiring: Wiring) -> None:
    found = [f for check in (checks.each_once, checks.labels, checks.wire_ends, checks.terminals)
             for f in check(sheets, wiring)]  # fmt: skip
    assert found + [f for sheet in sheets for f in loose_texts(sheet)] == []


def drawn(sheets: Sequence[checks.Sheet]) -> set[Said]:
    conductors = read(sheets).values()
    assert [f"{sorted(d.ends)}: {t}" for d in conductors for t in d.trouble] == []
    return {(d.ends, d.number, d.cable, d.core, d.colour, d.size) for d in conductors}


def _bare(size: str) -> str:
    return size.removesuffix("mm²").strip()


def listed(wiring: Wiring) -> set[Said]:
    return {
        (frozenset((w.from_end, w.to_end)), w.number, w.cable, w.core, w.colour, _bare(w.size))
        for w in wire_list(wiring)
    }


_MARKING = re.compile(r"^(?:(?P<cable>\S+) (?P<core>\d+[ab]?) (?!AWG))?(?P<colour>[A-Z]+)? ?(?P<size>\d.*)?$")


def checked(wiring: Wiring) -> set[Said]:
    out = set()
    for line in check_sheet(wiring):
        found = _MARKING.match(line.marking)
        assert found, line.marking
        cable, core, colour, size = (found[k] or "" for k in ("cable", "core", "colour", "size"))
        out.add((frozenset((line.from_end, line.to_end)), line.number, cable, core, colour, _bare(size)))
    return out


def told(wiring: Wiring) -> set[Said]:
    """What another program takes from the JSON."""
    data = json.loads(json.dumps(connection_data(wiring)))
    ends = [frozenset("{device}:{terminal}".format(**c[k]) for k in ("from", "to")) for c in data["connections"]]
    assert [c["id"] for c in data["connections"]] == [w.id for w in wire_list(wiring)]
    return {
        (pair, c["number"], c["cable"], c["core"], c["colour"], _bare(c["size"]))
        for pair, c in zip(ends, data["connections"], strict=True)
    }


def planned(wiring: Wiring) -> dict[str, set[tuple[str, str]]]:
    """The terminal plan: each terminal, its number, and where each of its conductors goes."""
    return {
        f"{t.strip}:{t.terminal}": {(t.number, far) for far in (*t.inside, *t.outside, *t.bridges)}
        for t in terminal_plan(wiring)
    }


def assert_equal_papers(sheets: Sequence[checks.Sheet], wiring: Wiring) -> None:
    on_paper = drawn(sheets)
    assert on_paper == listed(wiring) == checked(wiring) == told(wiring)
    around: dict[str, set[tuple[str, str]]] = defaultdict(set)
    for ends, number, *_ in on_paper:
        for end in ends:
            around[end] |= {(number, other) for other in ends - {end}}
    screens = {str(e) for c in wiring.connections if c.kind is Kind.SCREEN for e in (c.a, c.b)}
    plan = planned(wiring)
    for end, conductors in plan.items():  # the number of a screen's terminal is that of nothing
        strip = (lambda pairs: {far for _, far in pairs}) if end in screens else set
        assert strip(conductors) == strip(around[end]), end
    drive_and_strips = {wiring.designation, *(s.tag for s in wiring.strips)}
    assert {e for e in around if e.rpartition(":")[0] in drive_and_strips} <= set(plan)
    cores = {(c.cable, c.core, frozenset((c.from_end, c.to_end))) for c in core_schedule(wiring) if c.id}
    assert cores == {(cable, core, ends) for ends, _, cable, core, *_ in on_paper if cable}


@pytest.mark.parametrize(("name", "size", "logic", "symbols"), _every_way())
def test_all_papers_say_the_same_and_the_drawing_is_sound(name: str, size: str, logic: str, symbols: str) -> None:
    inventory, wiring = made(_CASES[name], size, logic, symbols)
    svgs = [s.svg for s in control_sheets(wiring, inventory, inventory.drives[0], reference="INV-1-30 rev A")]
    sheets = [checks.parse(svg) for svg in svgs]
    assert_equal_papers(sheets, wiring)
    assert_drawn_well(sheets, wiring)
    assert [f for svg in svgs for f in checks.general(svg)] == []


def test_the_demo_is_drawn_as_it_is_listed() -> None:
    study = study_of(Path(__file__).parents[2] / "demo_site")
    for s in study.drives:
        sheets = [checks.parse(d.svg) for d in control_sheets(s.wiring, study.inventory, s.drive)]
        assert_equal_papers(sheets, s.wiring)


def test_there_are_enough_of_them() -> None:
    assert len(COMBINATIONS) >= 30
    assert {f"CS{n:02}" for n in range(1, 35)} <= {name.split(" ")[0] for name in EVERY_SCHEME}


@pytest.mark.parametrize("what", ["end", "number", "core", "colour"])
def test_one_changed_text_is_noticed(what: str) -> None:
    inventory, wiring = made(COMBINATIONS["pump, hand off auto, with everything"], "40", "positive", "IEC")
    svg = [s.svg for s in control_sheets(wiring, inventory, inventory.drives[0])]
    wanted, other = {
        "end": (">-X1:1 /3.", ">-X1:2 /3."), "number": (">101 BU 0.75<", ">109 BU 0.75<"), "core": (">1 BK<", ">3 BK<"),
        "colour": (">101 BU 0.75<", ">101 RD 0.75<"),
    }[what]  # fmt: skip
    assert any(wanted in s for s in svg)
    changed = [checks.parse(s.replace(wanted, other, 1)) for s in svg]
    with pytest.raises(AssertionError):
        assert_equal_papers(changed, wiring)
