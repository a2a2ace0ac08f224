"""Ladder sheets: read back from the lines of the finished file, they join what the records join."""

from __future__ import annotations

import math
import random
import re
from collections.abc import Iterable, Sequence
from itertools import pairwise

import drawing_checks as checks
import pytest
from drawing_cases import DRIVE, inventory, random_wiring
from invented_drives import COMPLETE, STRIPS, site
from invented_drives import wire as built

from binder.wiring.connections import Connection, Contact, Device, End, Kind, Signal, Strip, Wiring
from binder.wiring.drawing import control_sheets
from binder.wiring.drawing_ladder import ladder_sheets
from binder.wiring.ladder import ladders, line_of
from binder.wiring.numbering import Joined
from binder.wiring.rows import nets
from binder.wiring.sheet import DrawingSheet

Point = tuple[float, float]


def circuit(*parts: str) -> Wiring:
    """A wiring from lines such as 'L K1.13-14NO a' and 'a M1.A1-A2 N': node, part, node."""
    devices: dict[str, Device] = {}
    ends: dict[str, list[End]] = {"L": [End("TB2", "L")], "N": [End("TB2", "N")]}
    for part in parts:
        left, name, right = part.split()
        tag, marks, form = re.fullmatch(r"(\w+)\.(\w+-\w+?)(NO|NC)?", name).groups()  # type: ignore[union-attr]
        a, b = marks.split("-")
        kind = {"K": "relay", "H": "lamp"}.get(tag[0], "pushbutton")
        old = devices.get(tag, Device(tag, kind, "P"))
        contacts = (*old.contacts, Contact((a, b), form)) if form else old.contacts
        terminals = old.terminals if form else (*old.terminals, a, b)
        devices[tag] = Device(tag, old.kind, "P", f"what {tag} does", terminals, contacts)
        ends.setdefault(left, []).append(End(tag, a))
        ends.setdefault(right, []).append(End(tag, b))
    records = [
        Connection(f"{a}~{b}", a, b, Kind.WIRE, Signal.RELAY, str(100 + n), "RD", "16 AWG")
        for n, (_, here) in enumerate(sorted(ends.items()), 1) for a, b in pairwise(here)
    ]  # fmt: skip
    strip = Strip("TB2", "MCC", "control supply", ("L", "N"))
    return Wiring("P-101", "VFD1", devices=tuple(devices.values()), connections=tuple(records), strips=(strip,))


def sheets_of(wiring: Wiring, symbols: str = "North American") -> tuple[DrawingSheet, ...]:
    made = inventory(symbols)
    return ladder_sheets(wiring, made, DRIVE, control_sheets(wiring, made, DRIVE), reference="IW-P101-30 rev A")


def assert_good(made: Sequence[DrawingSheet], wiring: Wiring) -> None:
    """The checks of all drawings, and the circuit read back from the lines."""
    assert [f for s in made for f in checks.general(s.svg)] == []
    joined = nets(wiring.connections)
    number = {joined[e]: c.potential for c in wiring.connections for e in (c.a, c.b) if c.potential}
    drawn = [circuit_of(checks.parse(s.svg)) for s in made]
    ports = [p for parts in drawn for p in parts]
    assert len(ports) == len(set(ports)), "each terminal stands once"
    for sheet in drawn:
        for name, told in sheet.items():
            end = End(*name.rsplit(":", 1))
            assert told == {number[joined[end]]}, f"{name} is joined to {told}"


def circuit_of(sheet: checks.Sheet) -> dict[str, set[str]]:
    """Terminals of the parts with every wire number that their lines carry, also by riser, rail and reference."""
    lines = [(g, s.points) for g in sheet.groups if g.kind in ("wire", "flag") for s in g.strokes[:1]]
    joined: Joined[int] = Joined()
    for i, (_, one) in enumerate(lines):
        for j, (_, two) in enumerate(lines[:i]):
            if any(_on(p, two) for p in (one[0], one[-1])) or any(_on(p, one) for p in (two[0], two[-1])):
                joined.join(i, j)
    told: dict[int, set[str]] = {}
    for i, (group, points) in enumerate(lines):
        words = {t.text if group.kind == "wire" else t.text.split(",")[0].removeprefix("wire ") for t in group.texts}
        told.setdefault(joined.root(i), set()).update(words | _rail_number(sheet, points))
    out: dict[str, set[str]] = {}
    for group in sheet.groups:
        if group.kind == "device" and group.end:
            (x0, y0), (x1, _) = group.strokes[0].points[0], group.strokes[0].points[-1]
            tips = [(x, y0) for x in (x0, x1)]
            here = [i for i, (_, p) in enumerate(lines) if any(_on(t, p) for t in tips)]
            out[group.end] = {w for i in here for w in told[joined.root(i)]}
    return out


def _rail_number(sheet: checks.Sheet, points: Sequence[Point]) -> set[str]:
    """The number written above a rail."""
    upright = abs(points[0][0] - points[-1][0]) < 0.01
    heads = [t for g in sheet.groups if g.kind == "words" and g.tag for t in g.texts if t.text.startswith("wire ")]
    near = [t for t in heads if upright and abs(t.x - points[0][0]) < 0.1 and 0 < points[0][1] - t.y < 3.0]
    return {t.text.removeprefix("wire ") for t in near}


def _on(p: Point, line: Sequence[Point]) -> bool:
    (ax, ay), (bx, by) = line[0], line[-1]
    length = math.hypot(bx - ax, by - ay)
    if length < 0.01:
        return math.dist(p, line[0]) < 0.1
    t = max(0.0, min(1.0, ((p[0] - ax) * (bx - ax) + (p[1] - ay) * (by - ay)) / length**2))
    return math.dist(p, (ax + t * (bx - ax), ay + t * (by - ay))) < 0.1


def texts(made: Iterable[DrawingSheet]) -> list[str]:
    return [t.text for s in made for t in checks.parse(s.svg).texts]


WITH_RUNGS = ("CS19", "CS20", "CS22", "CS27", "CS28", "CS30", "CS34")


@pytest.mark.parametrize("size", STRIPS)
@pytest.mark.parametrize("code", COMPLETE)
def test_every_scheme_of_the_trade(code: str, size: str) -> None:
    wiring, made = built(COMPLETE[code], size, basis="NEC"), site(COMPLETE[code], size, basis="NEC")
    drive = made.drives[0]
    sheets = ladder_sheets(wiring, made, drive, control_sheets(wiring, made, drive))
    assert_good(sheets, wiring)
    if size == "40":
        assert bool(sheets) == (code in WITH_RUNGS)


def test_an_iec_site_has_no_ladder() -> None:
    assert sheets_of(circuit("L K1.A1-A2 N"), "IEC") == ()


def test_bypass_coils_name_their_contacts_and_contacts_their_coils() -> None:
    wiring, made = built(COMPLETE["CS22"], "40", basis="NEC"), site(COMPLETE["CS22"], "40", basis="NEC")
    drive = made.drives[0]
    sheets = ladder_sheets(wiring, made, drive, control_sheets(wiring, made, drive))
    found = ladders(wiring)
    m1, m2 = ("A1", "A2"), ("21", "22")
    assert [line_of(found, tag, m1) for tag in ("M1", "M2")] == [1, 2]
    assert [line_of(found, tag, m2) for tag in ("M1", "M2")] == [2, 1]
    said = texts(sheets)
    assert {"(1)", "(2)", "DRIVE", "BYPASS", "contacts: NC 21-22 on 1"} <= set(said)
    assert any(re.fullmatch(r"contacts: 13-14 /\d\S*, NC 21-22 on 2", t) for t in said)


def test_another_source_is_a_ladder_of_its_own() -> None:
    found = ladders(built(COMPLETE["CS30"], "40", basis="NEC"))
    assert [(str(x.hot), [r.number for r in x.rungs]) for x in found] == [("TB2:L", [1]), ("DS1:L", [2])]


SEALED = ("L S0.11-12NC a", "a S1.13-14NO b", "a K1.13-14NO b", "b K1.A1-A2 N", "b H1.X1-X2 N")


def test_a_seal_in_contact_and_a_lamp_stand_on_branches() -> None:
    wiring = circuit(*SEALED)
    made = sheets_of(wiring)
    assert_good(made, wiring)
    assert len({p for s in made for p in circuit_of(checks.parse(s.svg))}) == 10
    rungs = ladders(wiring)[0].rungs
    assert [(r.number, [e.tag for _, e in r.elements], r.left.above, r.right.above) for r in rungs] == [
        (1, ["S0", "S1", "K1"], 0, 0), (2, ["K1"], 1, 1), (3, ["H1"], 2, 0),
    ]  # fmt: skip
    assert "contacts: 13-14 on 2" in texts(made)


BRIDGED = ("L K1.13-14NO a", "L K2.13-14NO b", "a K3.13-14NO b", "a K1.A1-A2 N", "b K2.A1-A2 N")
LONG = tuple(f"{a} S{n}.13-14NO {b}" for n, (a, b) in enumerate(pairwise("Labcdefghijkl")))


@pytest.mark.parametrize("parts", [BRIDGED, (*LONG, "l K1.A1-A2 N")], ids=["bridge circuit", "longer than a line"])
def test_what_cannot_branch_names_its_wire(parts: tuple[str, ...]) -> None:
    wiring = circuit(*parts)
    made = sheets_of(wiring)
    assert_good(made, wiring)
    assert len({p for s in made for p in circuit_of(checks.parse(s.svg))}) == 2 * len(parts)


def test_dead_ends_stand_on_no_line() -> None:
    found = ladders(circuit("L K1.A1-A2 N", "L S1.13-14NO a", "a S2.13-14NO b"))
    assert [[e.tag for _, e in r.elements] for r in found[0].rungs] == [["K1"]]


def test_a_ladder_longer_than_a_sheet_repeats_its_rails() -> None:
    wiring = circuit(*(f"L K{n}.A1-A2 N" for n in range(1, 21)))
    made = sheets_of(wiring)
    assert len(made) == 3
    assert texts(made).count("TB2:L") == 3
    assert_good(made, wiring)


@pytest.mark.parametrize("first", range(0, 200, 50))
def test_random_circuits(first: int) -> None:
    for seed in range(first, first + 50):
        rng = random.Random(seed)
        nodes = ["L", "N", *"abcdef"[: rng.randint(1, 6)]]
        parts = []
        for n in range(rng.randint(2, 14)):
            a, b = rng.sample(nodes, 2)
            contact = f"S{n}.13-14{rng.choice(('NO', 'NC'))}"
            parts.append(f"{a} {contact if rng.random() > 0.3 else f'K{n}.A1-A2'} {b}")
        wiring = circuit(*parts)
        made = sheets_of(wiring)
        assert_good(made, wiring)
        told = {p for s in made for p in circuit_of(checks.parse(s.svg))}
        assert on_a_path(parts) <= {name.rpartition(":")[0] for name in told}, seed


def on_a_path(parts: Sequence[str]) -> set[str]:
    """Tags of the parts on some path from rail to rail that meets no node twice, by trying all paths."""
    edges = [(p.split()[0], p.split()[2], p.split()[1].partition(".")[0]) for p in parts]
    found: set[str] = set()

    def go(node: str, seen: frozenset[str], path: tuple[str, ...]) -> None:
        if node == "N":
            found.update(path)
            return
        for a, b, tag in edges:
            for here, there in ((a, b), (b, a)):
                if here == node and there not in seen:
                    go(there, seen | {there}, (*path, tag))

    go("L", frozenset("L"), ())
    return found


def test_same_wiring_same_bytes() -> None:
    wiring = circuit(*SEALED)
    assert sheets_of(wiring) == sheets_of(wiring)


def test_random_drives_stay_within_the_checks() -> None:
    for seed in range(20):
        wiring = random_wiring(seed)
        assert_good(sheets_of(wiring), wiring)
