"""Runs that every kind of sheet goes through: a sound drawing has no finding, a damaged one always has."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import drawing_checks as checks
import pytest
from drawing_damage import damaged

from binder.wiring.connections import Wiring
from binder.wiring.sheet import DrawingSheet


@dataclass(frozen=True, slots=True)
class Runs:
    """How one kind of sheet is drawn, what it is drawn of at random, and the checks that are its own."""

    sheets_of: Callable[[Wiring, str], Sequence[DrawingSheet]]
    random_wiring: Callable[[int], Wiring]
    own_checks: Callable[[Sequence[checks.Sheet], Wiring], list[str]]

    def judged(self, svgs: Sequence[str], wiring: Wiring) -> list[str]:
        """Findings of all checks on the sheets of one drive."""
        found = [f"sheet {n}: {f}" for n, svg in enumerate(svgs, start=1) for f in checks.general(svg)]
        return found + self.own_checks([checks.parse(svg) for svg in svgs], wiring)

    def assert_good(self, wiring: Wiring, symbols: str = "IEC") -> None:
        """No check finds anything."""
        assert self.judged([s.svg for s in self.sheets_of(wiring, symbols)], wiring) == []

    def assert_random_good(self, seeds: Iterable[int]) -> None:
        """No check finds anything on random wirings, every third with North American symbols."""
        for seed in seeds:
            self.assert_good(self.random_wiring(seed), "North American" if seed % 3 == 0 else "IEC")

    def assert_damage_found(self, kind: str, seeds: Iterable[int], wanted: int) -> None:
        """Damage that many sheets, one each, and expect a finding every time."""
        done = 0
        for seed in seeds:
            rng = random.Random(f"{kind} {seed}")
            wiring = self.random_wiring(seed)
            svgs = [s.svg for s in self.sheets_of(wiring, "IEC")]
            if not svgs:
                continue
            at = rng.randrange(len(svgs))
            broken = damaged(svgs[at], kind, rng)
            if broken is None:
                continue
            done += 1
            assert self.judged([*svgs[:at], broken, *svgs[at + 1 :]], wiring), f"{kind}, seed {seed}"
            if done == wanted:
                return
        pytest.fail(f"only {done} sheets could be damaged")
