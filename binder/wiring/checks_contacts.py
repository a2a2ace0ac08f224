"""Checks of contacts: fail-safe stops, permissives in every mode, one logic, safety channels apart."""

from __future__ import annotations

from collections.abc import Iterator

from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import isolators_of
from binder.wiring.assembly import Assembly
from binder.wiring.circuit import Circuit, circuit_of
from binder.wiring.connections import Connection, End, Kind, Wiring
from binder.wiring.scheme_rows import drive_finding, row_finding
from binder.wiring.vocabulary import FAIL_SAFE, TERMINAL_FUNCTIONS, function_name

_RUNS = frozenset(k for k, f in TERMINAL_FUNCTIONS.items() if f.commands)


def fail_safe(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W114: a stop, permissive or protection opens to act; its loss stops the drive.

    IEC 60204-1 9.2 and 9.4.3, from memory, check: judged by breaking each conductor of the input.
    """
    circuit = circuit_of(wiring)
    for t in wiring.terminals:
        if t.function not in FAIL_SAFE or t.role not in {"DI", "EN", "STO1", "STO2"}:
            continue
        node = circuit.node(End(wiring.designation, t.number))
        guards = circuit.deciders(node)[0]
        linked = any(c.kind is Kind.LINK for c in wiring.connections if End(wiring.designation, t.number) in {c.a, c.b})
        if linked:
            continue
        if not guards:
            yield drive_finding(
                "W114", Grade.STOP, a.drive, "tag", f"no contact opens {t.label} ({function_name(t.function)})",
                accepted="a break contact, closed while healthy", remedy="wire the contact, or remove the jumper",
            )  # fmt: skip
        elif not any(t.function in circuit.active(state)[0] for state in circuit.states(node)):
            yield drive_finding(
                "W114", Grade.STOP, a.drive, "tag", f"{t.label} ({function_name(t.function)}) is never closed",
                accepted="closed while healthy, so that a broken wire stops", remedy="restore its way to the supply",
            )  # fmt: skip


def bridged(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W114: no contact has both its ends on one wire: it would do nothing."""
    circuit = circuit_of(wiring)
    for d in wiring.devices:
        for contact in d.contacts:
            one, other = (circuit.node(End(d.tag, m)) for m in contact.terminals)
            row = next((r for r in a.rows if d.tag in r.devices.values()), None)
            if one == other and row:
                yield row_finding(
                    "W114", Grade.STOP, row, "devices", f"contact {d.tag}:{'-'.join(contact.terminals)} is bridged out",
                    accepted="no conductor from one end of a contact to the other",
                    remedy="remove the bridge, or put it on the sheet Defeats with name and date",
                )  # fmt: skip


def permissives_common(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W114: an open permissive keeps every mode from running."""
    circuit = circuit_of(wiring)
    devices = {d.tag: d for d in wiring.devices}
    if any(t.function in {"run_permit", "enable"} and t.role in {"DI", "EN"} and _contacts_at(circuit, wiring, t.number)
           for t in wiring.terminals):  # fmt: skip
        return  # the drive itself holds every mode
    nodes = [n for n, t in circuit.inputs.items() if t.function in _RUNS - {"fire_mode"}]
    states = [s for n in nodes for s in circuit.states(n)]
    for tag in a.permits:
        opened = [s for s in devices[tag].states if s != devices[tag].rest]
        escaping = sorted({
            function_name(f)
            for state in states for s in opened
            for f in circuit.active({**state, tag: s})[0] & (_RUNS - {"fire_mode"})
        })  # fmt: skip
        if escaping:
            row = next(r for r in a.rows if tag in r.devices.values())
            yield row_finding(
                "W114", Grade.STOP, row, "scheme", f"{', '.join(escaping)} is possible with {tag} open",
                accepted="permissives ahead of every run command", remedy="feed the run contact behind the string",
            )  # fmt: skip


def _contacts_at(circuit: Circuit, wiring: Wiring, number: str) -> bool:
    return bool(circuit.cone(circuit.node(End(wiring.designation, number))))


def logic_agrees(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W115: every contact of an input leads to the rail that its logic asks for, and to no other."""
    circuit = circuit_of(wiring)
    joined = circuit.groups({}, [(e.a, e.b) for e in circuit.edges])
    plus = {joined.root(n) for n in circuit.plus}
    zero = {joined.root(n) for n in circuit.zero}
    told: set[str] = set()
    for node, t in circuit.inputs.items():
        root = joined.root(node)
        both = root in plus and root in zero
        wrong = root in (plus if circuit.pull_high else zero) and not both
        if (both or wrong) and t.function and root not in told:
            told.add(root)
            rail = "both +24 V and 0 V" if both else ("+24 V" if circuit.pull_high else "0 V")
            yield drive_finding(
                "W115", Grade.STOP, a.drive, "control_logic",
                f"the contacts of {t.label} lead to {rail} while the input common is tied for {wiring.logic} logic",
                accepted="all contacts to +24 V (positive) or all to 0 V (negative)",
                remedy="move the odd wire to the common rail of the inputs",
            )  # fmt: skip
    for row in a.rows:
        text = row.control.description.upper()
        if row.recipe.code == "CS32" and ("NPN" in text or "PNP" in text):
            fits = "PNP" if wiring.logic == "positive" else "NPN"
            if fits not in text:
                yield row_finding(
                    "W115", Grade.STOP, row, "description", f"the sensor does not fit {wiring.logic} logic",
                    accepted=fits, remedy="choose the sensor's other output, or a converter",
                )  # fmt: skip


def safety_apart(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W116: the two safety channels share no conductor and no contact between source and terminal."""
    used = [t for t in wiring.terminals if t.role in {"STO1", "STO2"} and t.function]
    if not used:
        return
    if len(used) == 1:
        yield drive_finding(
            "W116", Grade.CAUTION, a.drive, "model", f"only one safety channel is wired: {used[0].label}",
            accepted="STO1 and STO2", remedy="check the drive's terminals and the required performance level",
        )  # fmt: skip
        return
    paths = [_path(wiring, End(wiring.designation, t.number)) for t in used]
    shared = sorted(paths[0] & paths[1])
    if shared:
        yield drive_finding(
            "W116", Grade.STOP, a.drive, "tag", f"the two safety channels share {', '.join(shared)}",
            accepted="separate contacts and separate cores from source to terminal",
            remedy="give each channel its own contact and its own pair",
        )  # fmt: skip


def _path(wiring: Wiring, start: End) -> set[str]:
    """Conductors and contacts between a safety terminal and its supply, the common supply strip left out."""
    supply = {
        End(wiring.designation, t.number) for t in wiring.terminals if t.role in {"STOS", "P24", "N24", "STOC"}
    }
    circuit = circuit_of(wiring)
    rails = {circuit.node(e) for e in supply}
    found: set[str] = set()
    frontier, seen = [start], {start}
    while frontier:
        end = frontier.pop()
        node = circuit.node(end)
        near: list[Connection] = [c for c in wiring.connections if end in {c.a, c.b} and c.kind is not Kind.SCREEN]
        for c in near:
            if node in rails and c.kind is not Kind.CORE:
                continue  # strip side of the common supply
            found.add(f"conductor {c.id}")
            other = c.b if c.a == end else c.a
            if other not in seen and not (node in rails and other.device == wiring.designation):
                seen.add(other)
                frontier.append(other)
        device = wiring.device(end.device)
        for contact in device.contacts if device else ():
            if end.terminal in contact.terminals:
                other = End(end.device, next(m for m in contact.terminals if m != end.terminal))
                found.add(f"contact {end.device}:{'-'.join(contact.terminals)}")
                if other not in seen:
                    seen.add(other)
                    frontier.append(other)
    return found


def early_break(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W122: a switch between drive and motor tells the drive before its main contacts part."""
    has_row = any(r.recipe.code in {"CS21", "CS22"} for r in a.rows)
    for isolator in isolators_of(a.inventory, a.drive):
        at_motor = "motor" in f"{isolator.kind} {isolator.place}".casefold()
        if isolator.early_break_contact and not has_row:
            yield drive_finding(
                "W122", Grade.CAUTION, a.drive, "isolator",
                f"{isolator.tag} has an early-break contact that no scheme uses",
                accepted="a row 'motor isolator contact' on the sheet Controls", remedy="add the row",
            )  # fmt: skip
        elif at_motor and isolator.early_break_contact is False:
            yield drive_finding(
                "W122", Grade.CAUTION, a.drive, "isolator",
                f"{isolator.tag} opens the motor without early-break contact",
                accepted="an auxiliary contact that opens first, in the run permit",
                remedy="fit the contact, or forbid opening under load by a label",
            )  # fmt: skip
