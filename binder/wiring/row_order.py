"""The order of units and which of their conductors stay straight: rows and drive terminals both ascend."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from binder.wiring.connections import Connection, DriveTerminal, End, Kind, WireCable, Wiring
from binder.wiring.rows import Planner, Row, Unit, nets
from binder.wiring.screens import attach_screens

#: A unit is not stretched over more than this many terminals it does not use.
_MOST_STRETCH = 5
#: What a change of place costs in the order of units, in straight lines given up for it.
_PLACE_COST = 0.5
_LAST = 10_000


@dataclass(slots=True)
class Plan:
    """What stands in which order: drive terminals, units of rows, and what leaves as flags."""

    designation: str
    terminals: tuple[DriveTerminal, ...]
    units: list[Unit]
    stubs: dict[int, list[Connection]]  # drive terminal -> conductors that leave it as flags
    links: list[tuple[int, int, Connection]]
    bridges: list[Connection]
    rails: list[Connection]
    cables: dict[str, WireCable]
    used: set[int]


def longest_rising(values: Sequence[int]) -> set[int]:
    """Positions of a longest non-decreasing subsequence.

    Examples
    --------
    >>> sorted(longest_rising([3, 1, 1, 2, 0, 5]))
    [1, 2, 3, 5]
    """
    tails: list[int] = []
    at: list[int] = []
    before: list[int] = []
    for i, value in enumerate(values):
        k = bisect_right(tails, value)
        before.append(at[k - 1] if k else -1)
        if k == len(tails):
            tails.append(value)
            at.append(i)
        else:
            tails[k], at[k] = value, i
    chosen: set[int] = set()
    i = at[-1] if at else -1
    while i >= 0:
        chosen.add(i)
        i = before[i]
    return chosen


def plan_rows(wiring: Wiring, flagged: frozenset[str] = frozenset(), loose: frozenset[str] = frozenset()) -> Plan:
    """Put the records of one drive into ordered rows.

    Parameters
    ----------
    wiring : Wiring
    flagged : frozenset of str
        Records that must be pairs of flags instead of rails, bridges or links.
    loose : frozenset of str
        Records that must not be straight lines, since their unit would not fit a sheet.

    Returns
    -------
    Plan
    """
    planner = Planner(wiring, flagged)
    units = _ordered(planner.units(), planner, nets(wiring.connections))
    attach_screens(planner, units)
    straight = _straight(units, loose)
    links, stubs = _drive_side(planner, wiring, flagged, straight)
    bridges = [c for c in wiring.connections if c.kind is Kind.BRIDGE and c.id not in flagged]
    used = {i for c in wiring.connections for e in (c.a, c.b) if (i := planner.position.get(e)) is not None}
    rails = [r for r in planner.rails if r.id not in flagged]
    return Plan(
        wiring.designation, planner.terminals, units, stubs, links, bridges, rails, planner.cables, used
    )  # fmt: skip


def _drive_side(planner: Planner, wiring: Wiring, flagged: frozenset[str], straight: set[str]) -> tuple[
    list[tuple[int, int, Connection]], dict[int, list[Connection]]
]:  # fmt: skip
    """Links inside the block, and what leaves each terminal as a flag."""
    links: list[tuple[int, int, Connection]] = []
    stubs: dict[int, list[Connection]] = defaultdict(list)
    for record in wiring.connections:
        ends = [i for e in (record.a, record.b) if (i := planner.position.get(e)) is not None]
        if len(ends) == 2 and ends[0] != ends[1] and record.id not in flagged:
            links.append((min(ends), max(ends), record))
        elif record.id not in straight:
            for i in ends:
                stubs[i].append(record)
    return links, stubs


def _ordered(units: list[Unit], planner: Planner, net_of: dict[End, End]) -> list[Unit]:
    """Units by the lowest drive terminal that only they use, then neighbours swapped while that helps."""
    drive: dict[End, int] = {}
    for end, i in planner.position.items():
        if end in net_of:
            drive[net_of[end]] = min(i, drive.get(net_of[end], _LAST))
    reached = [_nets_of(u, net_of) for u in units]
    users: dict[End, int] = defaultdict(int)
    for each in reached:
        for net in each:
            users[net] += 1
    keys: list[float | None] = []
    for each in reached:
        own = [drive[n] for n in each if n in drive and users[n] == 1]
        common = [drive[n] for n in each if n in drive]
        keys.append(float(min(own)) if own else None if _partner(each, drive, users) else min(common, default=_LAST))
    for _ in units:
        for i, each in enumerate(reached):
            if keys[i] is None:
                near = [k for j, k in enumerate(keys) if k is not None and j != i
                        and any(n in reached[j] and n not in drive for n in each)]  # fmt: skip
                keys[i] = int(min(near)) + 0.5 if near else None
    final = [_LAST if k is None else k for k in keys]
    order = sorted(range(len(units)), key=lambda i: (final[i], i))
    return _swapped([units[i] for i in order])


def _partner(each: set[End], drive: dict[End, int], users: dict[End, int]) -> bool:
    """True when a unit shares a conductor with another unit that reaches no drive terminal."""
    return any(n not in drive and users[n] > 1 for n in each)


def _nets_of(unit: Unit, net_of: dict[End, End]) -> set[End]:
    ends = [e for row in unit.rows for e in (row.port, row.strip) if e is not None]
    return {net_of[e] for e in ends if e in net_of}


def _score(units: Sequence[Unit]) -> float:
    targets = [row.target for unit in units for row in unit.rows if row.target is not None]
    moves = sum(1 for a, b in pairwise(units) if (a.place, a.inside) != (b.place, b.inside))
    return len(longest_rising(targets)) - _PLACE_COST * moves


def _swapped(units: list[Unit]) -> list[Unit]:
    """Swap neighbours while that straightens more lines or saves frames."""
    best = _score(units)
    for _ in range(3):
        improved = False
        for i in range(len(units) - 1):
            trial = [*units[:i], units[i + 1], units[i], *units[i + 2 :]]
            score = _score(trial)
            if score > best:
                units, best, improved = trial, score, True
        if not improved:
            break
    return units


def _straight(units: list[Unit], loose: frozenset[str]) -> set[str]:
    """Mark the rows that are straight lines; returns the ids of their records."""
    rows = [r for u in units for r in u.rows if r.target is not None and r.left is not None and r.left.id not in loose]
    chosen = longest_rising([r.target or 0 for r in rows])
    for i, row in enumerate(rows):
        row.straight = i in chosen
    for unit in units:
        _relax(unit)
    return {r.left.id for r in rows if r.straight and r.left is not None}


def _relax(unit: Unit) -> None:
    """Give up straight lines that would stretch the unit over many terminals it does not use."""
    straight = [r for r in unit.rows if r.straight and r.target is not None]
    for k in range(1, len(straight)):
        before, after = straight[k - 1].target or 0, straight[k].target or 0
        if after - before > _MOST_STRETCH + 1:
            for row in straight[k:] if k >= len(straight) - k else straight[:k]:
                row.straight = False
            _relax(unit)
            return


def loosest(rows: Sequence[Row]) -> str:
    """The straight record that costs its unit the most height; '' when none is straight."""
    straight = [r for r in rows if r.straight and r.left is not None]
    if not straight:
        return ""
    gaps = [
        (abs((b.target or 0) - (a.target or 0)), k) for k, (a, b) in enumerate(pairwise(straight), start=1)
    ]  # fmt: skip
    record = straight[max(gaps)[1] if gaps else 0].left
    return record.id if record is not None else ""
