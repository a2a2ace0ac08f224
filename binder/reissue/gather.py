"""Gather the facts of a site from its study: records, computed values, wiring, field sheets, evidence."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from binder.documents.blocks import make_id
from binder.documents.contents import Page, drive_key
from binder.engineering.figure import Figure
from binder.field.gates import ROLES
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import cables_of, fold, networks_of
from binder.inventory.quantities import Measure
from binder.inventory.records import Origin
from binder.reissue.facts import SITE, Fact, Key, canonical
from binder.study import DriveStudy, SiteStudy, findings_of
from binder.wiring.materials import wiring_materials
from binder.wiring.schedules import cable_schedule, label_schedule

_NONE: Mapping[Key, Fact] = MappingProxyType({})


def facts_of(study: SiteStudy, pages: Sequence[Page] = (), *, former: Mapping[Key, Fact] = _NONE) -> dict[Key, Fact]:
    """All facts of a site.

    Parameters
    ----------
    study : SiteStudy
    pages : sequence of Page
        The contractor's own pages.
    former : mapping
        Facts of the last issue: a computed number on the edge of rounding keeps its former digits.

    Returns
    -------
    dict
        Key -> fact, in sorted order of keys. Facts that share a key are joined in the order of their rows.
    """
    found: dict[Key, Fact] = {}
    for fact in _all(study, pages):
        known = found.get(fact.key)
        if known is None:
            found[fact.key] = _steady(fact, former.get(fact.key))
        elif known.value != fact.value:
            found[fact.key] = Fact(
                fact.key,
                f"{known.value}; {fact.value}",
                f"{known.show}; {fact.show}",
                known.cause,
                known.rule,
                known.cell,
            )
    return dict(sorted(found.items()))


def _steady(fact: Fact, former: Fact | None) -> Fact:
    """Keep a computed number's former digits where the new ones differ by noise on the edge of rounding.

    Five digits of 1.23455 may come out as 1.2345 or 1.2346 on two machines.
    """
    if former is None or not fact.rule or former.value == fact.value or former.cause != fact.cause:
        return fact
    try:
        new, old = Decimal(fact.value), Decimal(former.value)
    except ArithmeticError:
        return fact
    unit = Decimal(1).scaleb(new.adjusted() - 4)
    return Fact(fact.key, former.value, former.show, fact.cause, fact.rule) if abs(new - old) <= unit else fact


def _all(study: SiteStudy, pages: Sequence[Page]) -> Iterator[Fact]:
    inventory = study.inventory
    yield from _record(SITE, "site", "site", inventory.site, skip={"revision", "issue_date"})
    groups: tuple[tuple[str, Sequence[Any], str], ...] = (
        ("supply", inventory.supplies, "tag"),
        ("panel", inventory.panels, "tag"),
        ("isolator", inventory.isolators, "tag"),
        ("contact", inventory.people, "name"),
        ("instrument", inventory.instruments, "tag"),
        ("spare", inventory.spares, "part"),
        ("maintenance", inventory.maintenance, "task"),
        ("training", inventory.training, "topic"),
        ("warranty", inventory.warranties, "item"),
    )
    for group, rows, name in groups:
        names = Counter(getattr(row, name) for row in rows)
        for row in rows:
            item = getattr(row, name)
            yield from _record(SITE, group, item if names[item] == 1 else f"{item} ({row.origin.key})", row)
    yield from _figures(SITE, study.figures.values())
    for page in pages:
        yield _fact((SITE, "page", make_id(f"page-{page.name}"), "text"), page.digest, f"text {page.digest[:8]}")
    owners = {fold(drive.drive.tag): drive_key(drive) for drive in study.drives}
    told: set[Finding] = set()
    for drive in study.drives:
        own = findings_of(study, drive)
        told.update(own)
        yield from _findings(drive_key(drive), own)
        yield from _drive(study, drive)
    yield from _findings(SITE, [f for f in study.findings if f not in told])
    yield from _papers(study, owners)


def _drive(study: SiteStudy, drive: DriveStudy) -> Iterator[Fact]:
    owner = drive_key(drive)
    yield from _record(owner, "drive", "drive", drive.drive, skip={"formerly"})
    for group, record in (("motor", drive.motor), ("machine", drive.machine), ("model", drive.model)):
        if record is not None:
            yield from _record(owner, group, group, record)
    for cable in cables_of(study.inventory, drive.drive):
        yield from _record(owner, "cable", cable.tag, cable)
    for node in networks_of(study.inventory, drive.drive):
        yield from _record(owner, "network", node.network or "network", node)
    yield from _figures(owner, drive.figures.values())
    yield from _settings(owner, drive)
    yield from _wiring(owner, drive)
    yield from _field(owner, drive)


def _papers(study: SiteStudy, owners: Mapping[str, str]) -> Iterator[Fact]:
    """What people wrote down: readings, values as left, punch items, defeats, signatures."""
    inventory = study.inventory

    def owner(tag: str) -> str:
        return owners.get(fold(tag), SITE)

    for r in inventory.readings:
        item = f"{r.test} {canonical(r.date)}".strip()
        yield _fact(
            (owner(r.drive), "reading", item, "value"), f"{r.value} {r.unit}".strip(), cell=_cell(r.origin, "value")
        )
    for a in inventory.as_left:
        words = f"found {a.as_found or 'unread'}, left {a.as_left or 'unread'}" + (f": {a.reason}" if a.reason else "")
        item = f"{a.setting} {canonical(a.date)}".strip()
        yield _fact((owner(a.drive), "as left", item, "value"), words, cell=_cell(a.origin, "as_left"))
    items = {p.number: p for p in inventory.punch_items} | {
        p.number: p for s in study.drives for p in s.field.punch_items
    }
    for p in items.values():
        state = f"closed {canonical(p.closed)} by {p.closed_by}" if p.closed else "open"
        due = f"; {p.owner} {canonical(p.due)}".rstrip() if p.owner or p.due else ""
        words = f"class {p.severity or 'A'}, {p.text}; {state}{due}"
        yield _fact((owner(p.drive), "punch", p.number, "item"), words, cell=_cell(p.origin, "text"))
    for d in inventory.defeats:
        state = f"cleared {canonical(d.cleared)} by {d.cleared_by}" if d.cleared else "open"
        yield _fact(
            (owner(d.drive), "defeat", f"{d.text} {d.place}".strip(), "state"), state, cell=_cell(d.origin, "cleared")
        )
    for s in inventory.signatures:
        item = f"{s.statement}, {s.role}".strip(", ")
        words = f"{s.name} {canonical(s.date)} {s.digest}".strip()
        group = "signature" if s.drive else "certificate"
        yield _fact((owner(s.drive), group, item, "name"), words, cell=_cell(s.origin, "name"))


def _fact(key: Key, value: Any, show: str = "", **more: Any) -> Fact:
    text = canonical(value)
    return Fact(key, text, show or text, **more)


def _cell(origin: Origin, field: str) -> str:
    cell = origin.cell(field)
    return f"{origin.sheet}!{cell}" if origin.sheet and cell else ""


def _record(owner: str, group: str, item: str, record: Any, skip: set[str] | None = None) -> Iterator[Fact]:
    for spec in fields(record):
        value = getattr(record, spec.name)
        if isinstance(value, Origin) or value in (None, "", ()) or (skip and spec.name in skip):
            continue
        show = str(value) if isinstance(value, Measure) else ""
        yield _fact((owner, group, item, spec.name), value, show, cell=_cell(record.origin, spec.name))


def _figures(owner: str, figures: Iterable[Figure]) -> Iterator[Fact]:
    for figure in figures:
        cause = tuple(f"{i.name}={canonical(i.value)} {i.unit}".strip() for i in figure.inputs)
        rule = f"{figure.rule.source} v{figure.rule.version}"
        show = f"{figure.name}: {figure.text()}"
        yield _fact((owner, "figure", figure.key, "value"), figure.value, show, cause=cause, rule=rule)
        if figure.verdict:
            words = f"{figure.limit}: {figure.verdict}"
            yield _fact(
                (owner, "figure", figure.key, "verdict"), words, cause=(f"{figure.name}={figure.text()}", *cause)
            )


def _findings(owner: str, findings: Iterable[Finding]) -> Iterator[Fact]:
    """Findings but the reader's notes on spelling, and but those of this room, which follow from the issues."""
    texts: dict[Key, list[str]] = {}
    for f in findings:
        if f.code.startswith("R") or (f.code.startswith("B") and f.grade is Grade.NOTE):
            continue
        waived = f" (waived: {f.waived})" if f.waived else ""
        texts.setdefault((owner, "finding", f"{f.code} {f.tag}".strip(), f.sheet), []).append(
            f"{f.grade}: {f.found}{waived}"
        )
    for key, found in texts.items():
        yield _fact(key, "; ".join(sorted(found)))


def _settings(owner: str, drive: DriveStudy) -> Iterator[Fact]:
    for hazard in drive.settings.hazards:
        yield _fact((owner, "restart", hazard.cause, "starts"), hazard.starts, f"after {hazard.cause}: {hazard.starts}")
    for row in drive.settings.rows:
        item = " ".join(x for x in (row.function, row.applies_to) if x) or f"no. {row.number}"
        words = f"{row.number} {row.name}: {row.required} {row.unit}".strip()
        value = f"{row.required} {row.unit}"
        yield _fact((owner, "setting", item, "value"), value, words, cause=(f"{row.source}={row.reason}",))
        yield _fact((owner, "setting", item, "number"), row.number)
        if row.override_reason:
            yield _fact((owner, "setting", item, "reason"), row.override_reason)


def _wiring(owner: str, drive: DriveStudy) -> Iterator[Fact]:
    wiring = drive.wiring
    for c in wiring.connections:
        words = f"{c.a} to {c.b}"
        yield _fact((owner, "wire", c.id, "ends"), words, f"{c.potential or 'unnumbered'}, {words}")
        yield _fact((owner, "wire", c.id, "number"), c.potential, f"wire {c.potential}, {words}")
        if c.size or c.colour:
            yield _fact((owner, "wire", c.id, "conductor"), f"{c.colour} {c.size}".strip())
        if c.core:
            yield _fact((owner, "wire", c.id, "core"), f"{c.core.cable} core {c.core.mark}")
    for device in wiring.devices:
        yield _fact((owner, "device", device.tag, "text"), f"{device.kind} {device.text} {device.place}")
    for terminal in wiring.terminals:
        if terminal.function:
            yield _fact((owner, "terminal", terminal.number, "function"), terminal.function)
    for mode in wiring.modes:
        words = f"run by {mode.command_owner}, speed by {mode.reference_owner}"
        words += f", permitted by {', '.join(sorted(mode.permissives)) or 'all'}; {mode.selected_by or 'always'}"
        yield _fact((owner, "mode", mode.name or "always", "owners"), words)
    for line in cable_schedule(wiring):
        screen = f"screened, {line.screen}" if line.screened else "unscreened"
        length = "length unknown" if line.length_m is None else f"{line.length_m:g} m"
        run = f"{line.from_place} to {line.to_place}, {line.signal}"
        words = f"{run}, {line.used} of {line.cores}, {line.size}, {length}, {screen}"
        yield _fact((owner, "cable", line.tag, "control"), words)
    for m in wiring_materials(wiring):
        words = f"{m.quantity:g} {m.unit} {m.note}".strip()
        yield _fact((owner, "material", f"{m.item} {m.detail}".strip(), "quantity"), words)
    for label in label_schedule(wiring):
        yield _fact((owner, "label", f"{label.kind} on {label.on}", "text"), f"{label.quantity} x {label.text}")


def _field(owner: str, drive: DriveStudy) -> Iterator[Fact]:
    pack = drive.field
    for source in pack.lockout.sources:
        text = f"{source.magnitude}; {source.isolator}; {source.place}; {source.method}; {source.proof}"
        yield _fact((owner, "lockout", source.energy, "isolation"), text)
    if pack.lockout.wait_minutes is not None:
        yield _fact((owner, "lockout", "wait", "minutes"), pack.lockout.wait_minutes)
    lines = [(line, sheet.gate) for sheet in pack.sheets for line in sheet.lines]
    lines += [(line, list(ROLES)[-1]) for sweep in pack.sweeps for point in sweep.points for line in point.lines]
    for line, gate in lines:
        words = f"{line.condition}; {line.expected}; {line.limit}".strip("; ")
        show = f"{line.what}: {line.limit or line.expected}"
        yield _fact((owner, "test", line.id, gate), words, show, cause=line.proves)
    for made in pack.gates:
        signed = f"may be signed, except: {'; '.join(made.exceptions)}" if made.exceptions else "may be signed"
        yield _fact((owner, "gate", made.name, "state"), "; ".join(made.blocked_by) or signed)
    if pack.door_card is not None:
        yield _fact((owner, "contact", "door card", "call"), sorted(pack.door_card.contacts))
        yield _fact((owner, "spare", "door card", "spare"), sorted(pack.door_card.spare))
