"""Rows and lanes of control drawings, without any drawing library."""

from __future__ import annotations

import random
import subprocess
import sys

import pytest
from drawing_cases import Maker, hand_off_auto, random_wiring, star, tall_card

from binder.wiring.connections import End, Kind, Signal, Wiring
from binder.wiring.joins import nest
from binder.wiring.lanes import FOOT, Layout, lay_out
from binder.wiring.row_order import longest_rising, plan_rows
from binder.wiring.rows import nets
from binder.wiring.sheet import SHEET_HEIGHT


def laid(wiring: Wiring) -> Layout:
    return lay_out(wiring, lambda _: 8.0)


def brute_force(values: list[int]) -> int:
    best = 0
    for mask in range(1 << len(values)):
        chosen = [v for i, v in enumerate(values) if mask >> i & 1]
        if chosen == sorted(chosen):
            best = max(best, len(chosen))
    return best


@pytest.mark.parametrize("seed", range(30))
def test_the_longest_rising_choice_is_the_longest(seed: int) -> None:
    rng = random.Random(seed)
    values = [rng.randrange(6) for _ in range(rng.randrange(10))]
    chosen = sorted(longest_rising(values))
    assert [values[i] for i in chosen] == sorted(values[i] for i in chosen)
    assert len(chosen) == brute_force(values)


@pytest.mark.parametrize("seed", range(30))
def test_nested_brackets_never_cross(seed: int) -> None:
    rng = random.Random(seed)
    spans = [(float(a), float(b)) for a, b in (rng.sample(range(9), 2) for _ in range(7))]
    tracks = nest(spans)
    for i, track in tracks.items():
        low, high = sorted(spans[i])
        for j, other in tracks.items():
            inner = sorted(spans[j])
            if i == j or high <= inner[0] or inner[1] <= low:
                continue
            assert track != other
            outer, inside = ((low, high), inner) if track > other else (inner, (low, high))
            assert outer[0] <= inside[0]
            assert inside[1] <= outer[1]


def test_what_is_joined_is_one_net() -> None:
    wiring = hand_off_auto()
    net = nets(wiring.connections)
    assert net[End("-T1", "11")] == net[End("-T1", "12")]
    assert net[End("-S1", "13")] == net[End("-S1", "23")] == net[End("-T1", "10")]
    assert net[End("-T1", "13")] != net[End("-T1", "14")]


@pytest.mark.parametrize("seed", range(60))
def test_straight_rows_and_terminals_both_descend(seed: int) -> None:
    for sheet in laid(random_wiring(seed)).sheets:
        straight = sorted((s.y, s.terminal) for s in sheet.stands if s.row is not None and s.terminal >= 0)
        assert [t for _, t in straight] == sorted(t for _, t in straight)
        heights = [s.y for s in sheet.stands if s.row is not None]
        assert heights == sorted(heights)
        assert sheet.bottom <= SHEET_HEIGHT - FOOT


@pytest.mark.parametrize("seed", range(60))
def test_every_terminal_of_the_drive_stands_on_a_sheet(seed: int) -> None:
    wiring = random_wiring(seed)
    layout = laid(wiring)
    shown = {s.terminal for sheet in layout.sheets for s in sheet.stands if s.terminal >= 0}
    assert shown == set(range(len(layout.plan.terminals)))


def test_a_conductor_chained_in_the_field_needs_no_flag() -> None:
    m = Maker()
    for k, number in enumerate(("13", "14", "15", "16"), start=1):
        m.device(f"-S{k}", "contact", "+F1", "contact", contacts="13-14 NO")
        m.join(f"-S{k - 1}:13" if k > 1 else "-T1:10", f"-S{k}:13")
        m.join(f"-S{k}:14", f"-T1:{number}")
    layout = laid(m.wiring())
    assert not any(layout.plan.stubs.values())
    assert sum(len(s.rails) for s in layout.sheets) == 3


@pytest.mark.parametrize("count", [3, 5, 7])
def test_bridged_commons_become_one_comb(count: int) -> None:
    """A star of commons: every second strip terminal is bridged, without a pair of flags on one sheet."""
    wiring = star(count)
    layout = laid(wiring)
    drawn = {r.id for sheet in layout.sheets for r, _ in sheet.bridges}
    sheets = {s.row.strip: n for n, sheet in enumerate(layout.sheets) for s in sheet.stands if s.row and s.row.strip}
    for record in wiring.connections:
        if record.kind is Kind.BRIDGE:
            assert (record.id in drawn) == (sheets[record.a] == sheets[record.b])


def test_a_card_taller_than_a_sheet_is_cut_by_ports() -> None:
    layout = laid(tall_card())
    parts = {id(s.unit): s.unit for sheet in layout.sheets for s in sheet.stands if s.unit and s.unit.device}
    assert len(layout.sheets) > 1
    assert sorted(u.part for u in parts.values()) == list(range(1, len(parts) + 1))
    assert {u.parts for u in parts.values()} == {len(parts)}


def test_a_potentiometer_turns_with_the_order_of_the_terminals() -> None:
    m = Maker()
    m.device("-R1", "potentiometer", "+F1", "speed", terminals="1 2 3")
    for number, mark in (("20", "3"), ("21", "2"), ("23", "1")):
        m.join(f"-T1:{number}", f"-R1:{mark}", Signal.ANALOG)
    unit = plan_rows(m.wiring()).units[0]
    assert unit.symbols[0].terminals == ("3", "2", "1")
    assert all(row.straight for row in unit.rows if row.screen is None)


def test_the_layout_needs_no_drawing_library() -> None:
    code = (
        "import sys\n"
        "sys.modules['schemdraw'] = None\n"
        "import binder.wiring.lanes, binder.wiring.row_order, binder.wiring.sheet\n"
        "print('alone')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.stdout.strip() == "alone", done.stderr
