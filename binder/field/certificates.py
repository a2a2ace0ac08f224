"""The certificates of a site: ready for acceptance, training received, accepted, and what stands in their way."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from binder.field.sheets import GATES, FieldPack, Gate
from binder.inventory.counting import counted
from binder.inventory.findings import Finding, open_stops
from binder.inventory.records import Inventory, PunchItem, Training

#: Titles and who signs (roles of public certificate forms; common practice, no source). A title is what a signature
#: names on the sheet Signatures: it stays.
ROLES: dict[str, tuple[str, ...]] = {
    "ready for acceptance": ("Contractor", "Commissioning authority"),
    "training received": ("Owner", "Contractor"),
    "accepted": ("Owner", "Contractor", "Commissioning authority"),
}


def certificates(inventory: Inventory, packs: Sequence[FieldPack], findings: Iterable[Finding]) -> tuple[Gate, ...]:
    """Work out what blocks each certificate of a site.

    Parameters
    ----------
    inventory : Inventory
    packs : sequence of FieldPack
        Of every drive, judged.
    findings : iterable of Finding
        Of the whole site, waivers applied.

    Returns
    -------
    tuple of Gate
        In the order in which they are signed. One without blocks is earned by the data; the
        signature stays a person's.

    Notes
    -----
    Ready for acceptance asks every drive to be past the gate 'may be loaded', and no open item of
    class A; accepted asks all of it: every drive accepted, no stop, no open defeat, training
    received. Open items of class B and C, and lines left undone with a reason, are its exceptions.

    References
    ----------
    Common practice, no source; the certificate of readiness follows public commissioning
    specifications (UFGS 01 91 00.15, from memory, check).
    """
    items = _open_items(inventory, packs)
    ready = [*_drives(packs, GATES[2]), *_items(items, severe=True)]
    training = list(_training(inventory.training))
    accepted = [
        *(f"Certificate '{name}' is not earned" for name, why in zip(ROLES, (ready, training), strict=False) if why),
        *_drives(packs, GATES[3]),
        *_stops(findings),
        *(f"Defeat open on {p.drive}: {d.text}" for p in packs for d in p.defeats if d.cleared is None),
    ]
    exceptions = [f"{p.drive}: {e}" for p in packs for g in p.gates for e in g.exceptions]
    exceptions += _items(items, severe=False)
    blocked = dict(zip(ROLES, (ready, training, accepted), strict=True))
    return tuple(
        Gate(name, tuple(dict.fromkeys(blocked[name])), roles, tuple(exceptions) if name == "accepted" else ())
        for name, roles in ROLES.items()
    )


def _drives(packs: Sequence[FieldPack], gate: str) -> Iterator[str]:
    """Drives that have not earned a gate, in one phrase."""
    tags = [p.drive for p in packs if any(g.name == gate and g.blocked_by for g in p.gates)]
    if not packs:
        yield "no drive in the inventory"
    elif tags:
        yield f"Gate '{gate}' is open on {len(tags)} of {len(packs)} drives: {', '.join(tags)}"


def _open_items(inventory: Inventory, packs: Sequence[FieldPack]) -> list[PunchItem]:
    """Open items of the drives, with those that failing lines made, and of the site."""
    tags = {p.drive for p in packs}
    own = [i for p in packs for i in p.punch_items]
    return [i for i in (*own, *(i for i in inventory.punch_items if i.drive not in tags)) if i.closed is None]


def _items(items: Iterable[PunchItem], *, severe: bool) -> Iterator[str]:
    for item in items:
        grade = item.severity or "A"  # nobody judged it: taken for the worst
        if (grade == "A") == severe:
            yield f"Class {grade} item {item.number}: {item.text}"


def _stops(findings: Iterable[Finding]) -> Iterator[str]:
    count = len(open_stops(findings))
    if count:
        yield f"{counted(count, 'open stop')} on the findings page"


def _training(rows: Sequence[Training]) -> Iterator[str]:
    """Sessions without which nobody was taught: none at all, or one without day, hours or people."""
    if not rows:
        yield "no training on the sheet Training"
    for row in rows:
        missing = [
            name
            for name, value in (
                ("day", row.date),
                ("hours", row.hours),
                ("instructor", row.instructor),
                ("attendees", row.attendees),
            )
            if not value
        ]
        if missing:
            yield f"Training '{row.topic}': no {', no '.join(missing)}"
