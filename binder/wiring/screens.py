"""Rows of cable screens: each landed or insulated end stands in a row of its own behind its cable."""

from __future__ import annotations

from collections.abc import Sequence

from binder.wiring.connections import Connection, End, Kind, WireCable
from binder.wiring.rows import Planner, Row, Unit

#: Mark of a screen's end that is meant to stay open.
INSULATED = "insulated"


def attach_screens(planner: Planner, units: list[Unit]) -> None:
    """Give every screen record its row, behind the last conductors of its cable."""
    for record in planner.wiring.connections:
        if record.kind is not Kind.SCREEN:
            continue
        tag = screen_cable(record, planner.cables)
        landing = landing_of(record, tag)
        row = Row(screen=record, cable=tag, far=is_far_end(record))
        if landing in planner.position:
            row.left, row.target = record, planner.position[landing]
        at = [(u, k) for u in units for k, r in enumerate(u.rows) if r.cable == tag and tag and r.screen is None]
        if not at:
            row.detached = True
            units.append(Unit(None, "", True, [], [row]))
            continue
        unit, k = at[-1]
        place = _behind_symbol(unit, k)
        between = unit.rows[k + 1 : place]
        row.detached = any(r.left or r.right or (r.screen and r.far == row.far) for r in between)
        unit.rows.insert(place, row)


def _behind_symbol(unit: Unit, k: int) -> int:
    """Position behind the last row of the symbol that row `k` belongs to, and behind its screens."""
    port = unit.rows[k].port
    marks = next((s.terminals for s in unit.symbols if port is not None and port.terminal in s.terminals), ())
    if unit.symbols and any(s.kind == "block" for s in unit.symbols):
        marks = tuple(t for s in unit.symbols for t in s.terminals)
    place = k + 1
    for i in range(k + 1, len(unit.rows)):
        other = unit.rows[i].port
        if other is not None and other.terminal in marks:
            place = i + 1
    while place < len(unit.rows) and unit.rows[place].screen is not None:
        place += 1
    return place


def screen_cable(record: Connection, cables: dict[str, WireCable]) -> str:
    """Tag of the cable whose screen a record lands; '' when the record does not say."""
    for end in (record.a, record.b):
        if end.device in cables:
            return end.device
    return record.core.cable if record.core else ""


def landing_of(record: Connection, tag: str) -> End:
    """The end of a screen record that is not the cable's own."""
    return record.b if record.a.device == tag else record.a


def landing_words(record: Connection, tag: str) -> str:
    """'-PE:1', 'on shell' of a plug, or 'insulated' for an end that is meant to stay open."""
    landing = landing_of(record, tag)
    if landing.device != tag:
        return str(landing)
    return INSULATED if landing.terminal == INSULATED else f"on {landing.terminal}"


def is_far_end(record: Connection) -> bool:
    """True for the screen's end away from the enclosure ('-W1:SH2')."""
    return any(e.terminal.startswith("SH") and e.terminal.endswith("2") for e in (record.a, record.b))


def pairs_of(marks: Sequence[str]) -> tuple[tuple[int, int], ...]:
    """Places of the two cores of each pair in a list of core marks.

    Examples
    --------
    >>> pairs_of(["1a", "2a", "1b", "", "2b", "3a"])
    ((0, 2), (1, 4))
    """
    firsts = {mark[:-1]: n for n, mark in enumerate(marks) if mark.endswith("a")}
    return tuple((firsts[m[:-1]], n) for n, m in enumerate(marks) if m.endswith("b") and m[:-1] in firsts)
