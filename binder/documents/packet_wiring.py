"""Wiring pages: drawings, lists and check sheet, all from the same connection records."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from docutils import nodes

from binder.documents.blocks import Cell, Column, Row, caution, data_table, drawing, key_values, paragraph, section
from binder.inventory.records import Inventory
from binder.study import DriveStudy
from binder.wiring.connections import Wiring
from binder.wiring.drawing import control_sheets
from binder.wiring.drawing_cables import TITLE as STRIPS_AND_CABLES
from binder.wiring.drawing_cables import cable_sheets
from binder.wiring.drawing_ladder import ladder_sheets
from binder.wiring.materials import quantity_words, wiring_materials
from binder.wiring.power import power_sheets
from binder.wiring.schedules import (
    CableLine,
    cable_schedule,
    device_list,
    switch_table,
    terminal_plan,
    wire_list,
)
from binder.wiring.sheet import DrawingSheet


def wiring_section(inventory: Inventory, study: DriveStudy, reference: str) -> nodes.section:
    """Drawings first, then what they are made of.

    Parameters
    ----------
    inventory : Inventory
    study : DriveStudy
    reference : str
        Document number and revision, printed in each drawing's foot line.
    """
    wiring = study.wiring
    control = control_sheets(wiring, inventory, study.drive, reference=reference)
    sheets = (
        *power_sheets(inventory, study.drive, study.figures, wiring, reference=reference),
        *control,
        *ladder_sheets(wiring, inventory, study.drive, control, reference=reference),
        *cable_sheets(wiring, inventory, study.drive, reference=reference),
    )
    parts: list[nodes.Node] = [
        paragraph(
            "Drawings, wire list, terminal plan and the point-to-point sheet among the tests hold the same "
            "connections under the same "
            "numbers. Contacts are drawn without power. On screen each conductor, terminal and device of a "
            "drawing leads to its row."
        ),
    ]
    if wiring.connections:
        parts += [_switches(wiring), _devices(wiring), _cables(wiring)]
    links = _links(wiring, sheets)
    parts += [_drawing(study.drive.tag, sheet, links) for sheet in sheets]
    if wiring.connections:
        parts += [_wires(wiring), _terminals(wiring), _materials(wiring)]
    if wiring.hazards:
        parts.append(_hazards(wiring))
    return section("Wiring", *parts, id="wiring")


def _drawing(tag: str, sheet: DrawingSheet, links: Mapping[str, str]) -> nodes.Node:
    title = f"{tag} {sheet.title}"
    if sheet.count > 1:
        title += f", sheet {sheet.number} of {sheet.count}"
    return drawing(sheet.svg, sheet.alt, title, id=_drawing_id(sheet), links=links)


def _drawing_id(sheet: DrawingSheet) -> str:
    return f"drawing-{sheet.title}-{sheet.number}"


def _links(wiring: Wiring, sheets: Sequence[DrawingSheet]) -> dict[str, str]:
    """Where conductors, terminals, devices and cables of a drawing lead: to their row, a strip to its drawing."""
    links = {f"id:{c.id}": f"wire-{c.id}" for c in wiring.connections}
    links |= {f"end:{wiring.designation}:{t.number}": f"terminal-{wiring.designation}:{t.number}"
              for t in wiring.terminals}  # fmt: skip
    links |= {f"tag:{d.tag}": f"device-{d.tag}" for d in wiring.devices}
    links |= {f"tag:{k.tag}": f"cable-{k.tag}" for k in wiring.cables}
    for sheet in sheets:
        if sheet.title == STRIPS_AND_CABLES:
            drawn = {tag for tag, _ in sheet.places}
            links |= {f"tag:{s.tag}": _drawing_id(sheet) for s in wiring.strips
                      if s.tag in drawn and f"tag:{s.tag}" not in links}  # fmt: skip
    return links


def _switches(wiring: Wiring) -> nodes.section:
    """What no setting can change: lost when a control board is exchanged."""
    pairs = switch_table(wiring)
    facts = [("Input logic", wiring.logic), ("Control supply", wiring.supply)]
    body = key_values([*((n, v) for n, v in facts if v), *pairs], columns=1)
    return section(
        "Switches and jumpers",
        paragraph("Set by hand at the drive, before power. A new board comes without them."),
        body,
        id="wiring-switches",
    )


def _wires(wiring: Wiring) -> nodes.section:
    columns = (
        Column("Wire", 0.7, kind="code", header=True),
        Column("From", 1.2, kind="code"),
        Column("To", 1.2, kind="code"),
        Column("Made as", 0.8),
        Column("Colour", 0.7),
        Column("Size", 0.9),
        Column("Cable", 0.8, kind="code"),
        Column("Core", 0.6, kind="code"),
        Column("Serves", 1.8),
    )
    rows = [
        Row(
            (
                w.number or "–",
                w.from_end,
                w.to_end,
                w.kind,
                w.colour,
                w.size,
                w.cable,
                w.core,
                _serves(w.scheme, w.status, w.reason),
            ),
            key=w.id,
        )
        for w in wire_list(wiring)
    ]
    return section("Wire list", data_table(columns, rows, id="wire"), id="wiring-list")


def _serves(scheme: str, status: str, reason: str) -> str:
    return " ".join(x for x in (scheme, f"({status}: {reason})" if status else "") if x)


def _terminals(wiring: Wiring) -> nodes.section:
    """The drive's own terminals; those of the strips are drawn."""
    columns = (
        Column("Drive", 0.7, kind="code"),
        Column("Terminal", 0.7, kind="code", header=True),
        Column("Label", 0.8),
        Column("Function", 1.5),
        Column("Wire", 0.6, kind="code"),
        Column("Inside", 1.4, kind="code"),
        Column("Field", 1.4, kind="code"),
        Column("Cable, core", 1, kind="code"),
        Column("Bridge or link", 1.2, kind="code"),
    )
    rows = [
        Row(
            (
                t.strip,
                t.terminal,
                t.label,
                t.function,
                t.number,
                ", ".join(t.inside),
                ", ".join(t.outside),
                f"{t.cable} {t.core}".strip(),
                ", ".join(t.bridges),
            ),
            key=f"{t.strip}:{t.terminal}",
            tone="" if t.inside or t.outside or t.bridges else "muted",
        )
        for t in terminal_plan(wiring)
        if t.strip == wiring.designation
    ]
    return section("Terminal plan of the drive", data_table(columns, rows, id="terminal"), id="wiring-terminals")


def cable_cells(line: CableLine) -> tuple[str, ...]:
    """A control cable as printed: also on the site's cable schedule."""
    length = line.length or "not in the inventory"
    screen = (
        f"screened, landed at {line.screen}" if line.screened and line.screen else "screened" if line.screened else "no"
    )
    return (
        line.tag,
        line.from_place,
        line.to_place,
        line.signal,
        f"{line.used} of {line.cores}",
        line.size,
        length,
        screen,
        ", ".join(line.spare) or "none",
    )


CABLE_COLUMNS = (
    Column("Cable", 0.8, kind="code", header=True),
    Column("From", 1.1),
    Column("To", 1.1),
    Column("Signal", 1.1),
    Column("Cores used", 0.8),
    Column("Size", 0.9),
    Column("Length", 0.8),
    Column("Screen", 1.4),
    Column("Spare cores", 1.2),
)


def _cables(wiring: Wiring) -> nodes.section:
    rows = [Row(cable_cells(line), key=line.tag) for line in cable_schedule(wiring)]
    body = data_table(CABLE_COLUMNS, rows, filter=False, id="cable") if rows else paragraph("No control cable.")
    return section("Control cables", body, id="wiring-cables")


def _materials(wiring: Wiring) -> nodes.section:
    columns = (
        Column("Item", 1.4, header=True),
        Column("What", 2.4),
        Column("Quantity", 0.8, kind="number"),
        Column("Unit", 0.7),
        Column("Note", 2.2),
    )
    rows = [
        Row((m.item, m.detail, *quantity_words(m), m.note), key=f"{m.item} {m.detail}")
        for m in wiring_materials(wiring)
    ]
    return section(
        "Wiring materials",
        paragraph("Counted from the records of this drawing; lengths without allowance for ends and waste."),
        data_table(columns, rows, filter=False),
        id="wiring-materials",
    )


def _devices(wiring: Wiring) -> nodes.section:
    columns = (
        Column("Device", 0.8, kind="code", header=True),
        Column("What", 1.3),
        Column("Where", 1),
        Column("For", 1.8),
        Column("Legend plate", 1.4),
        Column("Contacts", 2.4),
    )
    rows = [
        Row((d.tag, d.kind, d.place, d.text, d.legend, "; ".join(d.contacts) or ", ".join(d.terminals)), key=d.tag)
        for d in device_list(wiring)
    ]
    return section("Devices", data_table(columns, rows, filter=False, id="device"), id="wiring-devices")


def _hazards(wiring: Wiring) -> nodes.section:
    columns = (
        Column("Wire", 0.7, kind="code", header=True),
        Column("Between", 1.6, kind="code"),
        Column("Fault", 1),
        Column("What the drive does", 3),
        Column("Who notices", 2),
    )
    by_id = {c.id: c for c in wiring.connections}
    rows = []
    for h in wiring.hazards:
        c = by_id[h.connection]
        noticed: str | Cell = h.noticed or Cell("nobody", bold=True)
        rows.append(
            Row(
                (c.potential or "–", f"{c.a} {c.b}", h.fault, h.effect, noticed),
                key=f"{h.connection} {h.fault}",
                shows=(f"wire {h.connection}",),
                tone="caution" if h.dangerous else "",
            )
        )
    table = data_table(columns, rows, id="broken")
    return section("When a wire breaks", *_dangers(wiring), table, paragraph(_NOT_JUDGED), id="wiring-broken")


_NOT_JUDGED = (
    "Not judged: two faults at once, and shorts other than those to 0 V, to +24 V and across a make contact of "
    "a relay of the drive."
)


def _dangers(wiring: Wiring) -> Iterator[nodes.Node]:
    effects = list(dict.fromkeys(h.effect for h in wiring.hazards if h.dangerous))
    if effects:
        yield caution("warning", "One broken or shorted wire can do this", *effects[:4])
