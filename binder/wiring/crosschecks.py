"""Cross checks over the finished wiring: what does not go together is a finding with its cell.

The checks look at the connections as they are, so that wires changed by hand are judged too.
Each names the rule of control practice behind it; limits come from the records.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator

from binder.engineering.figure import Figures
from binder.inventory.findings import Finding, Grade
from binder.wiring.assembly import Assembly
from binder.wiring.checks_contacts import (
    bridged,
    early_break,
    fail_safe,
    logic_agrees,
    permissives_common,
    safety_apart,
)
from binder.wiring.checks_signals import (
    loop_power,
    loss_reaction,
    presets_complete,
    reference_supply,
    restart,
    shields,
    supply_load,
)
from binder.wiring.connections import Connection, DriveTerminal, End, Kind, Signal, Wiring
from binder.wiring.scheme_rows import drive_finding, row_finding
from binder.wiring.vocabulary import function_name


def cross_checks(a: Assembly, wiring: Wiring, figures: Figures) -> tuple[Finding, ...]:
    """Judge the wiring of one drive.

    Parameters
    ----------
    a : Assembly
    wiring : Wiring
        With conductors, readings and hazards.
    figures : Figures
        Of this drive: what they judge already is not told again.

    Returns
    -------
    tuple of Finding
        W111 landed functions, W112 classes and loop power, W113 owners (told when they are worked
        out), W114 fail-safe stops and permissives, W115 logic, W116 safety channels, W117 supply
        loads, W118 screens and segregation, W119 restart, W120 loss of reference, W121 contact
        charts, W122 early break and second sources, W131 screws. The filter jumper on an isolated
        supply is judged with the leakage current, in sizing.
    """
    if not a.source:
        return ()
    checks: tuple[Callable[[Assembly, Wiring], Iterator[Finding]], ...] = (
        landed, classes, loop_power, fail_safe, bridged, permissives_common, logic_agrees, safety_apart, shields,
        restart, loss_reaction, charts, early_break, second_sources, presets_complete, screws, decisions,
    )  # fmt: skip
    found = [f for check in checks for f in check(a, wiring)]
    found += supply_load(a, wiring, figures)
    found += reference_supply(a, wiring, figures)
    return tuple(found)


def _at(wiring: Wiring, t: DriveTerminal) -> list[Connection]:
    end = End(wiring.designation, t.number)
    return [c for c in wiring.connections if c.kind is not Kind.SCREEN and end in {c.a, c.b}]


def landed(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W111: every input with a function has a conductor; one without a function has none."""
    for t in wiring.terminals:
        if t.role not in {"DI", "AI", "AO", "EN", "STO1", "STO2"}:
            continue
        wires = _at(wiring, t)
        if t.function and not wires:
            yield drive_finding(
                "W111", Grade.STOP, a.drive, "tag", f"{t.label} is {function_name(t.function)} and no conductor lands",
                accepted="a conductor at every terminal that has a function",
                remedy="undo the removal on the sheet Wires, or drop the scheme",
            )  # fmt: skip
        elif wires and not t.function and any(c.kind is not Kind.LINK for c in wires) and t.role in {"DI", "AI", "AO"}:
            yield drive_finding(
                "W111", Grade.CAUTION, a.drive, "tag", f"a conductor lands on {t.label}, which has no function",
                accepted="no conductor at a terminal that is switched off",
                remedy="bind the terminal to a function on the sheet Controls, or remove the conductor",
            )  # fmt: skip


def classes(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W112: both ends of a conductor belong to the same class of signal; relay circuits never meet 24 V."""
    for number in sorted({c.potential for c in wiring.connections if c.potential}):
        group = [c for c in wiring.connections if c.potential == number]
        met = {c.signal for c in group}
        if Signal.RELAY in met and met & {Signal.DIGITAL, Signal.ANALOG, Signal.SAFETY, Signal.SENSOR}:
            ends = sorted({str(e) for c in group for e in (c.a, c.b)})
            yield drive_finding(
                "W112", Grade.STOP, a.drive, "tag", f"a relay circuit meets electronics on wire {number}: "
                + ", ".join(ends),
                accepted="volt-free contacts between control voltage and drive inputs",
                remedy="separate the two, with an interposing relay where needed",
            )  # fmt: skip


def charts(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W121: every state of every contact appears in an expected reading."""
    read = {e.state for e in wiring.expected}
    for d in wiring.devices:
        landed_marks = {e.terminal for c in wiring.connections for e in (c.a, c.b) if e.device == d.tag}
        wired = [c for c in d.contacts if set(c.terminals) <= landed_marks]
        unread = [s for s in d.states if wired and not any(s in state and d.tag in state for state in read)]
        guards = [s for s in unread if s != d.rest]
        relay_side = any(c.signal is Signal.RELAY for c in wiring.connections if d.tag in {c.a.device, c.b.device})
        if guards and not relay_side:
            row = next((r for r in a.rows if d.tag in r.devices.values()), None)
            if row:
                yield row_finding(
                    "W121", Grade.CAUTION, row, "devices", f"{d.tag} {', '.join(guards)}: no reading proves it",
                    accepted="a reading for every line of a contact chart", remedy="land both ends of the contact",
                )  # fmt: skip


def second_sources(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W122: what stays live with the drive isolated must stand on the lockout card."""
    for row in a.rows:
        if row.recipe.code in {"CS29", "CS30"}:
            known = [i for i in a.inventory.isolators if a.drive.tag in i.drives and i.voltage is not None]
            tags = ", ".join(sorted(t for t in row.devices.values()))
            if len(known) < 2:
                yield row_finding(
                    "W122", Grade.CAUTION, row, "scheme",
                    f"{tags} stays live while the drive is isolated; isolation points with a voltage: {len(known)}",
                    accepted="its own line on the sheet Isolation", remedy="add where it is cut and locked",
                )  # fmt: skip


def screws(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W131: no terminal takes more conductors than it may."""
    count = Counter(e for c in wiring.connections if c.kind not in {Kind.SCREEN, Kind.LINK} for e in (c.a, c.b))
    for t in wiring.terminals:
        n = count[End(wiring.designation, t.number)]
        if n > t.max_conductors:
            yield drive_finding(
                "W131", Grade.CAUTION, a.drive, "tag",
                f"{wiring.designation}:{t.number} takes {n} conductors, {t.max_conductors} allowed",
                accepted=f"at most {t.max_conductors}", remedy="spread them over a strip terminal with bridges",
            )  # fmt: skip


def decisions(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W124: schemes that need a written decision of somebody else."""
    for row in a.rows:
        if row.recipe.code == "CS26":
            yield row_finding(
                "W124", Grade.CAUTION, row, "scheme", "fire mode overrides protections and permissives",
                accepted="the authority's written decision on what it overrides, kept with these papers",
                remedy="name the decision in the description",
            )  # fmt: skip
