"""North American contacts and heads against the symbol notes: each form, and what it must not borrow from IEC.

The notes are the rows of ieee315_nfpa79_symbol_notes.csv named beside each operator. Of them only
the contact bars ('two sources agree') and the buttons ('one source') were seen; selector, emergency
stop, limit, pressure and level switches are from memory, check. Temperature, flow and key stand in
no row: common practice, from memory, check.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from schemdraw.segments import Segment, SegmentArc, SegmentCircle, SegmentText

from schemdraw_parts import american
from schemdraw_parts.contacts import OPERATORS, REACH, Contact
from schemdraw_parts.style import PITCH, Symbols
from schemdraw_parts.wiring import Chart

NOTES = Path(__file__).parents[2] / "binder" / "engineering" / "tables" / "ieee315_nfpa79_symbol_notes.csv"
#: Operator -> rows of the notes that it follows, and how sure the least of them is.
FOLLOWS = {
    "": (("contact_no", "contact_nc"), "two sources agree"),
    "relay": (("contact_no", "contact_nc"), "two sources agree"),
    "hand": (("contact_no", "contact_nc"), "two sources agree"),
    "overload": (("contact_nc", "overload_contact"), "from memory"),
    "push": (("pushbutton_no", "pushbutton_nc"), "one source"),
    "mushroom": (("emergency_stop",), "from memory"),
    "turn": (("selector_switch_2", "selector_switch_3"), "from memory"),
    "limit": (("limit_switch_no", "limit_switch_nc"), "from memory"),
    "pressure": (("pressure_or_level_switch",), "from memory"),
    "level": (("pressure_or_level_switch",), "from memory"),
    "key": ((), "from memory"),
    "temperature": ((), "from memory"),
    "flow": ((), "from memory"),
}


def contact(
    operator: str, form: str = "NO", symbols: Symbols = Symbols.NORTH_AMERICAN, *, head: bool = True
) -> Contact:
    return Contact("-S1", "13", "14", form, operator=operator, symbols=symbols, head=head)


def rings(part: Contact) -> list[tuple[float, float]]:
    """Centres of open circles on the contact line."""
    found = [s.center for s in part.segments if isinstance(s, SegmentCircle)]
    return [(x, y) for x, y in found if x == REACH]


def lines(part: Contact) -> list[list[tuple[float, float]]]:
    return [[(x, -y) for x, y in s.path] for s in part.segments if type(s) is Segment]


def test_every_operator_names_the_notes_that_it_follows() -> None:
    assert set(FOLLOWS) == set(OPERATORS)
    with NOTES.open(encoding="utf-8") as file:
        rows = {r["symbol_key"]: r for r in csv.DictReader(line for line in file if not line.startswith("#"))}
    order = ["two sources agree", "one source", "from memory"]
    for keys, sure in FOLLOWS.values():
        assert {*keys} <= set(rows)
        assert not keys or max((rows[k]["confidence"] for k in keys), key=order.index) == sure
    assert "from memory" in (american.__doc__ or "")


@pytest.mark.parametrize("operator", american.BARS)
def test_bars_across_the_line_and_a_slash_when_it_breaks(operator: str) -> None:
    for form in ("NO", "NC"):
        part = contact(operator, form)
        flat = [p for p in lines(part) if len(p) == 2 and p[0][1] == p[1][1] and p[0][0] < REACH < p[1][0]]
        slash = [p for p in lines(part) if len(p) == 2 and p[0][0] < REACH < p[1][0] and p[0][1] > p[1][1]]
        assert len(flat) == 2
        assert len(slash) == (form == "NC")
        assert rings(part) == []
        assert lines(part) == lines(contact("", form))  # no head: the device's letters say what moves it


@pytest.mark.parametrize("operator", american.BUTTONS)
def test_a_button_bridges_two_circles(operator: str) -> None:
    for form, left_of in (("NO", True), ("NC", False)):
        part = contact(operator, form)
        assert [x for x, _ in rings(part)] == [REACH, REACH]
        (bar,) = [p for p in lines(part) if len(p) == 2 and p[0][0] == p[1][0] and abs(p[0][1] - p[1][1]) > 3.0]
        clear = REACH - bar[0][0] > 0.4
        assert clear is left_of  # apart from the circles, or touching them


@pytest.mark.parametrize("operator", ["pressure", "level", "flow", "temperature", "limit"])
def test_a_switch_has_a_blade_between_two_circles(operator: str) -> None:
    for form in ("NO", "NC"):
        part = contact(operator, form)
        (upper, lower) = sorted(rings(part), key=lambda c: -c[1])
        blades = [p for p in lines(part) if len(p) == 2 and p[0] == pytest.approx((REACH, -lower[1] - 0.4))]
        assert len(blades) == 1
        near = min(abs(blades[0][1][0] - upper[0]), 9.0)
        assert (blades[0][1][0] > upper[0]) is (form == "NC")
        assert near < 1.7


def test_each_head_has_its_own_shape() -> None:
    arcs = {op: [s for s in contact(op).segments if isinstance(s, SegmentArc)] for op in OPERATORS}
    assert {op for op, found in arcs.items() if found} == {"mushroom", "pressure"}
    balls = {op: [s for s in contact(op).segments if isinstance(s, SegmentCircle) and s.center[0] < REACH - 3.0]
             for op in OPERATORS}  # fmt: skip
    assert {op for op, found in balls.items() if found} == {"level", "key", "turn"}
    closed = {op for op in OPERATORS if any(len(p) > 3 and p[0] == p[-1] for p in lines(contact(op)))}
    assert closed == {"limit", "flow"}
    shapes = {op: tuple(map(tuple, lines(contact(op)))) for op in OPERATORS if op not in american.BARS}
    assert len(set(shapes.values())) == len(shapes)


@pytest.mark.parametrize("operator", OPERATORS)
def test_nothing_of_the_iec_forms_is_left(operator: str) -> None:
    part = contact(operator)
    assert not [s for s in part.segments if isinstance(s, Segment) and s.ls == "--"], "stems are full lines"
    marks = {"13", "14"}
    assert {s.text for s in part.segments if isinstance(s, SegmentText)} == marks, "no letter in a box"
    if operator not in american.BARS:
        assert lines(part) != lines(contact(operator, symbols=Symbols.IEC))


@pytest.mark.parametrize("operator", OPERATORS)
@pytest.mark.parametrize("form", ["NO", "NC"])
def test_a_second_contact_has_no_head_and_all_stay_in_their_row(operator: str, form: str) -> None:
    assert not [p for p in lines(contact(operator, form, head=False)) if max(x for x, _ in p) < REACH - 3.0]
    for points in lines(contact(operator, form)):
        assert all(-0.01 <= y <= PITCH + 0.01 for _, y in points)


def test_an_american_chart_writes_x_and_o() -> None:
    def circles(symbols: Symbols) -> list[SegmentCircle]:
        made = Chart("SS1", ("HAND", "OFF", "AUTO"), [("13-14", (True, False, False))], columns=9.0, symbols=symbols)
        return [s for s in made.segments if isinstance(s, SegmentCircle)]

    assert [c.fill for c in circles(Symbols.NORTH_AMERICAN)] == [None, None]
    assert circles(Symbols.NORTH_AMERICAN)[0].radius == 0.75
    assert all(c.fill for c in circles(Symbols.IEC))
