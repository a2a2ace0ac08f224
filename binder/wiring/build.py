"""The control wiring of one drive, from its scheme rows to numbered conductors."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from binder.engineering.figure import Figures
from binder.inventory.findings import Finding, Grade
from binder.inventory.records import Drive, Inventory
from binder.wiring.assembler import assemble
from binder.wiring.assembly import Assembly
from binder.wiring.cabling import Cabling
from binder.wiring.changes import apply_changes
from binder.wiring.connections import Connection, Device, Strip, Wiring
from binder.wiring.crosschecks import cross_checks
from binder.wiring.demands import conflicts, demands_of, modes_of, switches_of
from binder.wiring.expected import expected_readings
from binder.wiring.hazards import broken_wires
from binder.wiring.marking import mark
from binder.wiring.numbering import natural_key
from binder.wiring.ownership import owners
from binder.wiring.recipe import Recipe
from binder.wiring.routing import route
from binder.wiring.scheme_rows import drive_finding, read_rows
from binder.wiring.schemes import SCHEMES


def wire_drive(
    inventory: Inventory, drive: Drive, figures: Figures, ledger: Wiring | None = None,
    *, recipes: Mapping[str, Recipe] = SCHEMES, effects: bool = True,
) -> Wiring:  # fmt: skip
    """Work out the control wiring of one drive.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
        One of `inventory.drives`.
    figures : Figures
        Of this drive; only read for judging, never for numbers.
    ledger : Wiring, optional
        The wiring as last issued: its tags, bindings, wire numbers, strip terminals and cores are
        kept; numbers once issued and no longer used are not given again.
    recipes : mapping, optional
        Schemes known to the project, see `schemes.read_recipes`.
    effects : bool
        False leaves out what single broken wires do, which no finding rests on.

    Returns
    -------
    Wiring
        With findings; never raises on what the workbook holds.

    Notes
    -----
    Order: rows, owners of command and reference, terminals bound, ends joined, conductors routed,
    changes by hand, cables and numbers, then what is computed from the finished connections:
    readings, broken wires, cross checks.
    """
    rows, findings = read_rows(inventory, drive, recipes)
    ownership = owners(inventory, drive, rows)
    a = assemble(inventory, drive, rows, ownership, ledger)
    routed = route(a, ledger)
    new_marks, change_findings = apply_changes(a, routed)
    cabling = Cabling(a, routed, ledger)
    connections, freed = mark(a, cabling.connections, ledger)
    terminals = a.terminals()
    demands = demands_of(a, terminals) if a.source else ()
    wiring = Wiring(
        drive=drive.tag, designation=a.style.drive, terminals=terminals,
        devices=_with_marks(a.devices, new_marks), cables=tuple(cabling.cables), connections=connections,
        modes=modes_of(a), demands=demands, switches=switches_of(a), schemes=tuple(r.recipe.key for r in rows),
        stops=tuple(dict.fromkeys((r.recipe.key, r.recipe.stop) for r in rows if r.recipe.stop)),
        notes=tuple(dict.fromkeys((r.recipe.key, _note(a, r.recipe.note)) for r in rows if r.recipe.note)),
        strips=_strips(a, connections), inside=a.inside, logic=a.logic, supply=a.supply,
    )  # fmt: skip
    wiring = replace(wiring, retired=_retired(wiring, ledger, freed))
    hazards = broken_wires(a, wiring) if effects else ()
    wiring = replace(wiring, expected=expected_readings(a, wiring), hazards=hazards)
    told = (
        *findings, *ownership.findings, *a.findings, *change_findings, *cabling.findings,
        *_about_drive(a), *conflicts(a, demands), *cross_checks(a, wiring, figures),
    )  # fmt: skip
    return replace(wiring, findings=tuple(dict.fromkeys(told)))


def _with_marks(devices: Sequence[Device], new: Mapping[str, Sequence[str]]) -> tuple[Device, ...]:
    return tuple(replace(d, terminals=(*d.terminals, *dict.fromkeys(new.get(d.tag, ())))) for d in devices)


def _note(a: Assembly, note: str) -> str:
    """A recipe's note with the standard for machines that the site goes by."""
    return note.replace("{machines}", "IEC 60204-1" if a.inventory.site.code_basis == "IEC" else "NFPA 79")


def _strips(a: Assembly, connections: Sequence[Connection]) -> tuple[Strip, ...]:
    kinds = {a.style.strip: "terminal strip", a.style.supply: "control supply", a.style.earth: "earth bar"}
    found: dict[str, set[str]] = {}
    for c in connections:
        for end in (c.a, c.b):
            if end.device in kinds:
                found.setdefault(end.device, set()).add(end.terminal)
    return tuple(
        Strip(tag, a.inside[0], kinds[tag], tuple(sorted(found[tag], key=natural_key))) for tag in kinds if tag in found
    )


def _retired(wiring: Wiring, ledger: Wiring | None, freed: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """Numbers once issued and not in use now, those of earlier issues included."""
    if ledger is None:
        return ()
    gone = set(ledger.retired) | {("wire", n) for n in freed}
    gone |= {("device", d.tag) for d in ledger.devices} - {("device", d.tag) for d in wiring.devices}
    gone |= {("cable", c.tag) for c in ledger.cables} - {("cable", c.tag) for c in wiring.cables}
    gone |= {("strip", n) for n in _strip_numbers(ledger)} - {("strip", n) for n in _strip_numbers(wiring)}
    return tuple(sorted(gone, key=lambda g: (g[0], natural_key(g[1]))))


def _strip_numbers(wiring: Wiring) -> set[str]:
    return {t for s in wiring.strips if s.kind == "terminal strip" for t in s.terminals}


def _about_drive(a: Assembly) -> tuple[Finding, ...]:
    """Findings on the drive's own row: no terminals, no logic."""
    found = []
    if not a.source:
        found.append(drive_finding(
            "W106", Grade.STOP, a.drive, "model", f"no control terminals are known for model '{a.drive.model}'",
            accepted="its terminals on the sheet Terminals, from the manual",
            remedy="enter the terminals; nothing can be wired until then",
        ))  # fmt: skip
    if a.drive.control_logic not in {"positive", "negative"} and any(t.role == "DI" for t in a.source):
        found.append(drive_finding(
            "W107", Grade.CAUTION, a.drive, "control_logic",
            "input logic is blank; drawn with positive logic (contacts bring +24 V)",
            accepted="positive or negative",
            remedy="say which; with positive logic an earth fault does not start the drive"
            " (IEC 60204-1 9.4.3, from memory, check)",
        ))  # fmt: skip
    return tuple(found)

