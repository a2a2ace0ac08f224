"""Random mixes of schemes on random drives: nothing raises, records stay sound, readings obey Kirchhoff."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace

import pytest
from invented_drives import row, wire
from nodal import Bench
from test_scheme_build import _ends_known
from test_scheme_readings import _check

from binder.inventory.columns_control import SCHEMES
from binder.inventory.quantities import measure
from binder.inventory.records import Control, Origin
from binder.wiring.connections import Kind, Wiring
from binder.wiring.materials import wiring_materials
from binder.wiring.schedules import check_sheet, label_schedule, terminal_plan, wire_list

_PLACES = ("panel", "panel door", "local panel", "pump room", "controller panel", "")
_BASE = ("two-wire run", "three-wire start-stop", "hand-off-auto", "forward-reverse", "local-remote", "network")


def _random_rows(rng: random.Random) -> list[Control]:
    base = rng.choice(_BASE)
    names = [base, *rng.sample(SCHEMES, rng.randint(1, 7))]
    rows = []
    for n, name in enumerate(names):
        value = None
        if "potentiometer" in name:
            value = measure(rng.choice((2, 5, 10)), "kΩ")
        elif name in {"jog", "preset speeds"}:
            value = measure(rng.randint(5, 50), "Hz")
        mode = rng.choice(("", "", "hand", "auto")) if base == "hand-off-auto" and n else ""
        rows.append(replace(
            row(name, rng.choice(_PLACES), mode=mode, value=value), origin=Origin("Controls", n + 2, f"k{n}")
        ))  # fmt: skip
    return rows


def _mix(seed: int) -> tuple[list[Control], str, dict[str, str]]:
    rng = random.Random(seed)
    rows = _random_rows(rng)
    options = {
        "logic": rng.choice(("positive", "negative")),
        "supply": rng.choice(("internal", "internal", "external")),
        "basis": rng.choice(("NEC", "IEC")),
    }
    return rows, rng.choice(("12", "24", "40")), options


def _no_screw_overfull(wiring: Wiring) -> None:
    count = Counter(
        e for c in wiring.connections if c.kind not in {Kind.SCREEN, Kind.LINK} for e in (c.a, c.b)
    )  # fmt: skip
    assert max(count.values(), default=0) <= 3
    assert not [f for f in wiring.findings if f.code == "W131"]


@pytest.mark.parametrize("block", [*range(8), *(pytest.param(n, marks=pytest.mark.slow) for n in range(8, 100))])
def test_random_mixes_are_sound(block: int) -> None:
    for seed in range(block * 10, block * 10 + 10):
        rows, size, options = _mix(seed)
        wiring = wire(rows, size, keyed=False, **options)
        assert wiring == wire(rows[::-1], size, keyed=False, **options), seed
        _ends_known(wiring)
        _no_screw_overfull(wiring)
        ids = [c.id for c in wiring.connections]
        assert len(ids) == len(set(ids)), seed
        assert {w.id for w in wire_list(wiring)} == {c.id for c in check_sheet(wiring)} == set(ids)
        assert terminal_plan(wiring)
        assert label_schedule(wiring) or not ids
        assert wiring_materials(wiring)
        again = wire(rows, size, keyed=False, ledger=wiring, **options)
        assert again.connections == wiring.connections, seed


@pytest.mark.parametrize("block", range(6))
def test_random_mixes_obey_kirchhoff(block: int) -> None:
    checked = 0
    for seed in range(1000 + block * 10, 1000 + block * 10 + 10):
        rows, size, options = _mix(seed)
        wiring = wire(rows, size, keyed=False, **{**options, "supply": "internal"})
        if wiring.supply == "external":
            continue  # a row of the mix brought its own supply
        bench = Bench(wiring)
        for e in wiring.expected:
            if e.unit == "V" and "%" not in e.state:
                _check(bench, e)
                checked += 1
    assert checked > 100
