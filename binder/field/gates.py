"""The four sign-off gates of a drive: what still stands in the way of each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from binder.field.sheets import GATES, Gate, Sweep, TestLine, TestSheet
from binder.inventory.findings import Finding, open_stops
from binder.inventory.records import Defeat, PunchItem

#: Who signs at each gate (initials by role; common practice, no source).
ROLES: dict[str, tuple[str, ...]] = {
    "may be energized": ("Installer", "Commissioning engineer"),
    "may turn": ("Commissioning engineer", "Second person"),
    "may be loaded": ("Commissioning engineer", "Mechanical", "Process owner"),
    "accepted": ("Commissioning engineer", "Witness", "Owner"),
}

#: First letters of a finding's code -> first gate that its open stop blocks. F1 is isolation.
_FIRST_GATE: tuple[tuple[str, str], ...] = (
    ("F1", "may be energized"),
    ("E", "may be energized"),
    ("W", "may be energized"),
    ("B", "may be energized"),
    ("S", "may turn"),
)


def gates(
    sheets: Sequence[TestSheet],
    sweeps: Sequence[Sweep],
    *,
    findings: Iterable[Finding] = (),
    punch_items: Iterable[PunchItem] = (),
    defeats: Iterable[Defeat] = (),
) -> tuple[Gate, ...]:
    """Work out what blocks each gate.

    Parameters
    ----------
    sheets : sequence of TestSheet
        Judged.
    sweeps : sequence of Sweep
        Judged; their lines count for 'accepted'.
    findings : iterable of Finding
        Of this drive, waivers applied.
    punch_items : iterable of PunchItem
        Of this drive.
    defeats : iterable of Defeat
        Of this drive.

    Returns
    -------
    tuple of Gate
        In order. A later gate also waits for the earlier ones. A gate without blocks is earned by
        the data; the signature stays a person's.

    Notes
    -----
    An open class A item blocks the first gate and so every one; it is told again at the last. A
    defeat blocks 'may be loaded' and 'accepted'. A line 'not done' with a reason blocks when it is
    a safety line, else it is an exception to be named.
    """
    stops = open_stops(findings)
    items = [p for p in punch_items if p.closed is None and p.severity in ("A", "")]
    open_defeats = [d for d in defeats if d.cleared is None]
    made: list[Gate] = []
    for name in GATES:
        blocked = [f"Gate '{g.name}' is not earned" for g in made if g.blocked_by][-1:]
        blocked += [f"Stop {f.code} {f.tag}: {f.found}" for f in stops if name in (_first_gate(f), GATES[-1])]
        if name in (GATES[0], GATES[-1]):
            blocked += [f"Class A item {p.number}: {p.text}" for p in items if not _from_line(p, sheets)]
        if name in ("may be loaded", "accepted"):
            blocked += [f"Defeat open: {d.text}{' at ' + d.place if d.place else ''}" for d in open_defeats]
        exceptions: list[str] = []
        for sheet in (s for s in sheets if s.gate == name):
            blocked += _sheet_blocks(f"Sheet {sheet.id}, {sheet.title}", sheet.lines, exceptions)
        if name == "accepted":
            for sweep in sweeps:
                lines = tuple(line for point in sweep.points for line in point.lines)
                blocked += _sheet_blocks(f"Sweep {sweep.mode}".strip(), lines, exceptions)
        made.append(Gate(name, tuple(dict.fromkeys(blocked)), ROLES[name], tuple(exceptions)))
    return tuple(made)


def _first_gate(finding: Finding) -> str:
    """The first gate that a stop bars; the later ones wait for that gate."""
    return next((gate for letters, gate in _FIRST_GATE if finding.code.startswith(letters)), GATES[-1])


def _from_line(item: PunchItem, sheets: Sequence[TestSheet]) -> bool:
    """True for an item that a failed line made: the line itself blocks its own gate already."""
    return any(item.number.endswith(f":{line.id}") for sheet in sheets for line in sheet.lines)


def _sheet_blocks(name: str, lines: tuple[TestLine, ...], exceptions: list[str]) -> Iterator[str]:
    """What a sheet's lines leave open, one phrase for a sheet that nobody has begun."""
    lines = tuple(line for line in lines if line.reading or not line.optional)
    if lines and all(not line.reading for line in lines):
        yield f"{name}: none of {len(lines)} lines filled"
        return
    for line in lines:
        if line.done:
            continue
        if line.verdict == "fail":
            yield f"{line.id} {line.what}: fails, {line.reading} against {line.limit}"
        elif line.reading == NOT_DONE and line.severity != "A":
            exceptions.append(f"{line.id} {line.what}: not done, {line.why}")
        elif line.reading:
            yield f"{line.id} {line.what}: not judged, {line.why}"
        else:
            yield f"{line.id} {line.what}: no reading"


#: What a line shows that was left undone on purpose; its reason stands in `why`.
NOT_DONE = "not done"
