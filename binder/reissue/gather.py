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
from binder.documents.trace_pages import WIRES, counts_text, shown_rows
from binder.engineering.figure import Figure
from binder.inventory.findings import Finding
from binder.inventory.lookup import cables_of, fold, networks_of
from binder.inventory.quantities import Measure
from binder.inventory.records import Origin
from binder.reissue.evidence import cell_of, fact_of, lines_of_tests, papers
from binder.reissue.facts import SITE, Fact, Key, canonical
from binder.reissue.printed import lasting
from binder.settings.table import SettingRow
from binder.study import DriveStudy, FindingsByDrive, SiteStudy
from binder.wiring.connections import Wiring
from binder.wiring.materials import wiring_materials
from binder.wiring.schedules import cable_schedule, check_sheet, label_schedule

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
    groups: dict[tuple[str, str], list[Key]] = {}  # sorted one by one: half the time of sorting all at once
    for key in found:
        groups.setdefault(key[:2], []).append(key)
    return {key: found[key] for group in sorted(groups) for key in sorted(groups[group])}


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
        ("revision", inventory.revisions, "revision"),
        ("document", inventory.document_options, "document"),
    )
    for group, rows, name in groups:
        names = Counter(getattr(row, name) for row in rows)
        for row in rows:
            item = getattr(row, name)
            yield from _record(SITE, group, item if names[item] == 1 else f"{item} ({row.origin.key})", row)
    yield from _figures(SITE, study.figures.values())
    for page in pages:
        yield fact_of((SITE, "page", make_id(f"page-{page.name}"), "text"), page.digest, f"text {page.digest[:8]}")
    owners = {fold(drive.drive.tag): drive_key(drive) for drive in study.drives}
    findings = FindingsByDrive(study)
    told: set[Finding] = set()
    for drive in study.drives:
        own = findings.of(drive)
        told.update(own)
        yield from _findings(drive_key(drive), own)
        yield from _drive(study, drive)
    yield from _findings(SITE, [f for f in study.findings if f not in told])
    yield from papers(study, owners)


def _drive(study: SiteStudy, drive: DriveStudy) -> Iterator[Fact]:
    owner = drive_key(drive)
    yield from _record(owner, "drive", "drive", drive.drive, skip={"formerly"})
    for group, record in (("motor", drive.motor), ("machine", drive.machine), ("model", drive.model)):
        if record is not None:
            yield from _record(owner, group, group, record)
    for cable in cables_of(study.inventory, drive.drive):
        yield from _record(owner, "cable", cable.tag, cable, skip={"drive"})
    for node in networks_of(study.inventory, drive.drive):
        yield from _record(owner, "network", node.network or "network", node, skip={"drive"})
    yield from _figures(owner, drive.figures.values())
    yield from _settings(owner, drive)
    yield from _wiring(owner, drive)
    yield from _field(owner, drive)


def _record(owner: str, group: str, item: str, record: Any, skip: set[str] | None = None) -> Iterator[Fact]:
    for spec in fields(record):
        value = getattr(record, spec.name)
        if isinstance(value, Origin) or value in (None, "", ()) or (skip and spec.name in skip):
            continue
        show = str(value) if isinstance(value, Measure) else ""
        yield fact_of((owner, group, item, spec.name), value, show, cell=cell_of(record.origin, spec.name))


def _figures(owner: str, figures: Iterable[Figure]) -> Iterator[Fact]:
    for figure in figures:
        cause = tuple(f"{i.name}={canonical(i.value)} {i.unit}".strip() for i in figure.inputs)
        rule = f"{figure.rule.source} v{figure.rule.version}"
        show = f"{figure.name}: {figure.text()}"
        yield fact_of((owner, "figure", figure.key, "value"), figure.value, show, cause=cause, rule=rule)
        if figure.verdict:
            words = f"{figure.limit}: {figure.verdict}"
            yield fact_of(
                (owner, "figure", figure.key, "verdict"), words, cause=(f"{figure.name}={figure.text()}", *cause)
            )


def _findings(owner: str, findings: Iterable[Finding]) -> Iterator[Fact]:
    """The findings that are printed."""
    texts: dict[Key, list[str]] = {}
    for f in findings:
        if not lasting(f):
            continue
        waived = f" (waived: {f.waived})" if f.waived else ""
        texts.setdefault((owner, "finding", f"{f.code} {f.tag}".strip(), f.sheet), []).append(
            f"{f.grade}: {f.found}{waived}"
        )
    for key, found in texts.items():
        yield fact_of(key, "; ".join(sorted(found)))


def _settings(owner: str, drive: DriveStudy) -> Iterator[Fact]:
    for hazard in drive.settings.hazards:
        words = f"after {hazard.cause}: {hazard.starts}"
        yield fact_of((owner, "restart", hazard.cause, "starts"), hazard.starts, words)
    for row in drive.settings.untouched:
        words = f"{row.number} {row.name}: left at {row.default} {row.unit}".strip()
        cause = (f"{row.source}={row.reason}",)
        yield fact_of((owner, "setting", _item(row), "default"), f"{row.default} {row.unit}", words, cause=cause)
        yield fact_of((owner, "setting", _item(row), "number"), row.number)
    for row in drive.settings.rows:
        item = _item(row)
        words = f"{row.number} {row.name}: {row.required} {row.unit}".strip()
        value = f"{row.required} {row.unit}"
        yield fact_of((owner, "setting", item, "value"), value, words, cause=(f"{row.source}={row.reason}",))
        yield fact_of((owner, "setting", item, "number"), row.number)
        # What must be written before it decides the order of the page; it is no change that anybody acts on.
        yield fact_of((owner, "setting", item, "entry"), _entry(row), cause=(", ".join(row.after),))
        if row.override_reason:
            yield fact_of((owner, "setting", item, "reason"), row.override_reason)


def _item(row: SettingRow) -> str:
    """What a setting does, which is the same on another model; its number where the tool does not know it."""
    return " ".join(x for x in (row.function, row.applies_to) if x) or f"no. {row.number}"


def _entry(row: SettingRow) -> str:
    """What the manual says of a setting: its default, what opens it, the page."""
    parts = (
        ("default", f"{row.default} {row.unit}".strip()),
        ("opened by", row.access),
        ("", "motor stopped" if row.stopped_only else ""),
        ("", "acts at once" if row.acts_at_once else ""),
        ("overwrites", row.overwrites),
        ("page", row.page),
    )
    return "; ".join(f"{name} {text}".strip() for name, text in parts if text)


def _wiring(owner: str, drive: DriveStudy) -> Iterator[Fact]:
    wiring = drive.wiring
    for c in wiring.connections:
        words = f"{c.a} to {c.b}"
        yield fact_of((owner, "wire", c.id, "ends"), words, f"{c.potential or 'unnumbered'}, {words}")
        yield fact_of((owner, "wire", c.id, "number"), c.potential, f"wire {c.potential}, {words}")
        if c.size or c.colour:
            yield fact_of((owner, "wire", c.id, "conductor"), f"{c.colour} {c.size}".strip())
        if c.core:
            yield fact_of((owner, "wire", c.id, "core"), f"{c.core.cable} core {c.core.mark}")
    for device in wiring.devices:
        yield fact_of((owner, "device", device.tag, "text"), f"{device.kind} {device.text} {device.place}")
    for terminal in wiring.terminals:
        if terminal.function:
            yield fact_of((owner, "terminal", terminal.number, "function"), terminal.function)
    yield from _modes(owner, wiring)
    for line in cable_schedule(wiring):
        screen = f"screened, {line.screen}" if line.screened else "unscreened"
        length = "length unknown" if line.length_m is None else f"{line.length_m:g} m"
        run = f"{line.from_place} to {line.to_place}, {line.signal}"
        words = f"{run}, {line.used} of {line.cores}, {line.size}, {length}, {screen}"
        yield fact_of((owner, "cable", line.tag, "control"), words)
    for m in wiring_materials(wiring):
        words = f"{m.quantity:g} {m.unit} {m.note}".strip()
        yield fact_of((owner, "material", f"{m.item} {m.detail}".strip(), "quantity"), words)
    for label in label_schedule(wiring):
        yield fact_of((owner, "label", f"{label.kind} on {label.on}", "text"), f"{label.quantity} x {label.text}")


def _modes(owner: str, wiring: Wiring) -> Iterator[Fact]:
    for mode in wiring.modes:
        hand = f"{mode.command_owner} ({mode.command_device})" if mode.command_device else mode.command_owner
        words = f"run by {hand}, speed by {mode.reference_owner}"
        words += f", permitted by {', '.join(sorted(mode.permissives)) or 'all'}; {mode.selected_by or 'always'}"
        yield fact_of((owner, "mode", mode.name or "always", "owners"), words)


def _field(owner: str, drive: DriveStudy) -> Iterator[Fact]:
    pack = drive.field
    live = {f"P1.{wire.id}": "; ".join(map(" ".join, wire.live)) for wire in check_sheet(drive.wiring)}
    for source in pack.lockout.sources:
        text = f"{source.magnitude}; {source.isolator}; {source.place}; {source.method}; {source.proof}"
        yield fact_of((owner, "lockout", source.energy, "isolation"), text)
    if pack.lockout.wait_minutes is not None:
        yield fact_of((owner, "lockout", "wait", "minutes"), pack.lockout.wait_minutes)
    for line, gate in lines_of_tests(pack):
        words = f"{line.condition}; {line.expected}; {line.limit}; {live.get(line.id, '')}".strip("; ")
        show = f"{line.what}: {line.limit or line.expected}"
        yield fact_of((owner, "test", line.id, gate), words, show, cause=line.proves)
    for page in pack.faults:
        for check in page.checks:
            words = f"{check.check}: {check.expected}; {check.if_not}; {check.setting}".rstrip("; ")
            yield fact_of((owner, "fault check", f"{page.symptom} {check.order}", "text"), words)
    for row in shown_rows(pack.trace):
        yield fact_of((owner, "requirement", f"{row.kind} {row.requirement}", "state"), row.result)
    wires = counts_text(row for row in pack.trace if row.kind == "wire")
    yield fact_of((owner, "requirement", WIRES, "state"), wires)
    for code in pack.codes:
        words = f"{code.meaning}; {code.words}; {code.page}".strip("; ")
        yield fact_of((owner, "fault code", code.code, "meaning"), words, f"{code.code}: {code.meaning}")
    for made in pack.gates:
        signed = f"may be signed, except: {'; '.join(made.exceptions)}" if made.exceptions else "may be signed"
        yield fact_of((owner, "gate", made.name, "state"), "; ".join(made.blocked_by) or signed)
    if pack.door_card is not None:
        yield fact_of((owner, "contact", "door card", "call"), sorted(pack.door_card.contacts))
        yield fact_of((owner, "spare", "door card", "spare"), sorted(pack.door_card.spare))
