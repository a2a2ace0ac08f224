"""The connection records of one drive as plain data, for other programs: `binder figures DIR --connections --json`."""

from __future__ import annotations

from typing import Any

from binder.wiring.connections import Connection, Device, DriveTerminal, End, Strip, WireCable, Wiring
from binder.wiring.schedules import core_schedule, wire_list
from binder.wiring.vocabulary import function_name


def connection_data(wiring: Wiring) -> dict[str, Any]:
    """Return what a drive is wired with, as lists and mappings of texts, numbers and truths.

    Parameters
    ----------
    wiring : Wiring

    Returns
    -------
    dict
        'connections' in the order of the wire list, one for each record; 'devices', 'terminals' (of the
        drive) and 'strips' that they land on; 'cables' with each core, a spare core with a blank
        connection. A text that is not known is '', a number that is not known None.

    Notes
    -----
    An id is made from the two ends and stays the same from issue to issue.

    Examples
    --------
    >>> from binder.wiring.connections import Kind, Signal
    >>> record = Connection("-S1:14~-T1:13", End("-T1", "13"), End("-S1", "14"), Kind.WIRE, Signal.DIGITAL, "102")
    >>> connection_data(Wiring("P-1", "-T1", connections=(record,)))["connections"][0]["to"]
    {'device': '-S1', 'terminal': '14'}
    """
    records = {c.id: c for c in wiring.connections}
    users: dict[str, list[tuple[str, str]]] = {}
    for line in core_schedule(wiring):
        users.setdefault(line.cable, []).append((line.core, line.id))
    return {
        "drive": wiring.drive,
        "designation": wiring.designation,
        "input logic": wiring.logic,
        "control supply": wiring.supply,
        "connections": [_connection(records[line.id]) for line in wire_list(wiring)],
        "devices": [_device(d) for d in wiring.devices],
        "terminals": [_terminal(t) for t in sorted(wiring.terminals, key=lambda t: t.order)],
        "strips": [_strip(s) for s in wiring.strips],
        "cables": [_cable(k, dict(users[k.tag])) for k in wiring.cables],
    }


def _end(end: End) -> dict[str, str]:
    return {"device": end.device, "terminal": end.terminal}


def _connection(c: Connection) -> dict[str, Any]:
    return {
        "id": c.id, "number": c.potential, "from": _end(c.a), "to": _end(c.b), "made as": c.kind.value,
        "signal": c.signal.value, "colour": c.colour, "size": c.size, "cable": c.core.cable if c.core else "",
        "core": c.core.mark if c.core else "", "scheme": c.scheme, "status": c.status, "reason": c.reason,
    }  # fmt: skip


def _device(d: Device) -> dict[str, Any]:
    contacts = [
        {"terminals": list(contact.terminals), "form": contact.form,
         "closed in": [state for state, on in zip(d.states, closed, strict=True) if on]}
        for contact, closed in zip(d.contacts, d.closed_in, strict=True)
    ]  # fmt: skip
    return {
        "tag": d.tag, "kind": d.kind, "place": d.place, "text": d.text, "legend": d.legend, "rating": d.rating,
        "terminals": list(d.terminals), "contacts": contacts, "states": list(d.states), "left in": d.rest,
        "scheme": d.scheme,
    }  # fmt: skip


def _terminal(t: DriveTerminal) -> dict[str, Any]:
    return {
        "number": t.number, "label": t.label, "role": t.role, "function": function_name(t.function),
        "most conductors": t.max_conductors, "manual page": t.page,
    }  # fmt: skip


def _strip(s: Strip) -> dict[str, Any]:
    return {"tag": s.tag, "kind": s.kind, "place": s.place, "terminals": list(s.terminals)}


def _cable(k: WireCable, users: dict[str, str]) -> dict[str, Any]:
    return {
        "tag": k.tag, "from place": k.from_place, "to place": k.to_place, "signal": k.signal.value, "size": k.size,
        "screened": k.screened, "in pairs": k.paired, "length m": k.length_m,
        "cores": [{"core": c.mark, "colour": c.colour, "connection": users.get(c.mark, "")} for c in k.cores],
    }  # fmt: skip
