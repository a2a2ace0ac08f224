"""Facts of what people wrote down: readings, values as left, punch items, defeats, signatures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from binder.field.gates import ROLES
from binder.field.sheets import FieldPack, TestLine
from binder.inventory.lookup import fold
from binder.inventory.records import Origin
from binder.reissue.facts import SITE, Fact, Key, canonical
from binder.study import SiteStudy

#: The gate that rests on all others: acceptance.
LAST_GATE = list(ROLES)[-1]


def fact_of(key: Key, value: Any, show: str = "", **more: Any) -> Fact:
    """A fact with its canonical text."""
    text = canonical(value)
    return Fact(key, text, show or text, **more)


def cell_of(origin: Origin, field: str) -> str:
    """Where a field stands now, 'Motors!F4'."""
    cell = origin.cell(field)
    return f"{origin.sheet}!{cell}" if origin.sheet and cell else ""


def lines_of_tests(pack: FieldPack) -> Iterator[tuple[TestLine, str]]:
    """Every test line with the gate that it helps to earn."""
    for sheet in pack.sheets:
        yield from ((line, sheet.gate) for line in sheet.lines)
    for sweep in pack.sweeps:
        yield from ((line, LAST_GATE) for point in sweep.points for line in point.lines)


def papers(study: SiteStudy, owners: Mapping[str, str]) -> Iterator[Fact]:
    """What people wrote down: readings, values as left, punch items, defeats, signatures."""
    inventory = study.inventory

    def owner(tag: str) -> str:
        return owners.get(fold(tag), SITE)

    gates = {(fold(s.drive.tag), line.id): gate for s in study.drives for line, gate in lines_of_tests(s.field)}
    for r in inventory.readings:
        item = f"{r.test} {canonical(r.date)}".strip()
        parts = (f"{r.value} {r.unit}".strip(), r.condition, r.instrument, r.initials, r.remark)
        words = ", ".join(filter(None, parts))
        gate = gates.get((fold(r.drive), r.test), LAST_GATE)
        yield fact_of((owner(r.drive), "reading", item, gate), words, cell=cell_of(r.origin, "value"))
    for a in inventory.as_left:
        words = f"found {a.as_found or 'unread'}, left {a.as_left or 'unread'}" + (f": {a.reason}" if a.reason else "")
        words += f", {a.initials}" if a.initials else ""
        item = f"{a.setting} {canonical(a.date)}".strip()
        yield fact_of((owner(a.drive), "as left", item, "value"), words, cell=cell_of(a.origin, "as_left"))
    items = {p.number: p for p in inventory.punch_items} | {
        p.number: p for s in study.drives for p in s.field.punch_items
    }
    for p in items.values():
        state = f"closed {canonical(p.closed)} by {p.closed_by}" if p.closed else "open"
        due = f"; {p.owner} {canonical(p.due)}".rstrip() if p.owner or p.due else ""
        words = f"class {p.severity or 'A'}, {p.text}; {state}{due}"
        yield fact_of((owner(p.drive), "punch", p.number, "item"), words, cell=cell_of(p.origin, "text"))
    for d in inventory.defeats:
        state = f"applied {canonical(d.applied)} by {d.applied_by}; "
        state += f"cleared {canonical(d.cleared)} by {d.cleared_by}" if d.cleared else "open"
        yield fact_of(
            (owner(d.drive), "defeat", f"{d.text} {d.place}".strip(), "state"), state, cell=cell_of(d.origin, "cleared")
        )
    for s in inventory.signatures:
        item = f"{s.statement}, {s.role}".strip(", ")
        words = f"{s.name} {canonical(s.date)} {s.digest}".strip()
        group = "signature" if s.drive else "certificate"
        yield fact_of((owner(s.drive), group, item, "name"), words, cell=cell_of(s.origin, "name"))
