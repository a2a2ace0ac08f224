"""Bill of wiring materials of one drive, and the roll-up of a site: counted from the connection records."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from binder.wiring.connections import Kind, WireCable, Wiring
from binder.wiring.schedules import cable_schedule, kind_name, label_schedule

#: What stands on every bill, in the order in which it is picked.
ITEMS = (
    "strip terminal", "strip bridge", "loose wire", "wire end", "control cable", "cable core, used",
    "cable core, spare", "cable gland", "wire marker", "terminal marker", "cable label", "device label", "legend plate",
)  # fmt: skip
#: Kinds of devices that stand on drawings but belong to equipment of others, often shared by drives.
_OF_OTHERS = frozenset({"controller", "network", "contact"})


@dataclass(frozen=True, slots=True)
class MaterialLine:
    """One line of the bill of wiring materials."""

    item: str
    detail: str
    quantity: float
    unit: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class SiteMaterial:
    """One line of the site's roll-up: the same thing on all drives."""

    item: str
    detail: str
    quantity: float
    unit: str
    drives: tuple[str, ...]
    note: str = ""


def wiring_materials(wiring: Wiring) -> tuple[MaterialLine, ...]:
    """Return the bill of one drive: terminals, bridges, conductors, cables, glands, markers, devices.

    Parameters
    ----------
    wiring : Wiring

    Returns
    -------
    tuple of MaterialLine
        In the order of `ITEMS`, devices last.

    Notes
    -----
    A cable without length is counted, with no metres. Loose wire is counted in pieces, since its
    routes are not known, and its ends in pieces, each with a ferrule or lug where it is stranded.
    Controllers, networks and volt-free contacts are left out: they come with equipment of others.
    """
    found = [
        *_strips(wiring),
        *_conductors(wiring),
        *_cables(wiring),
        *_labels(wiring),
        *_devices(wiring),
    ]
    return tuple(line for line in found if line.quantity or line.note)


def _strips(wiring: Wiring) -> Iterator[MaterialLine]:
    for strip in wiring.strips:
        if strip.kind == "terminal strip":
            yield MaterialLine("strip terminal", strip.tag, len(strip.terminals), "pieces")
    bridges = sum(c.kind is Kind.BRIDGE for c in wiring.connections)
    yield MaterialLine("strip bridge", "", bridges, "pieces")


def _conductors(wiring: Wiring) -> Iterator[MaterialLine]:
    loose = [c for c in wiring.connections if c.kind in {Kind.WIRE, Kind.JUMPER}]
    for (size, colour), n in sorted(Counter((c.size, c.colour) for c in loose).items()):
        yield MaterialLine("loose wire", f"{size} {colour}".strip(), n, "pieces")
    ends = Counter(c.size for c in wiring.connections if c.kind in {Kind.WIRE, Kind.JUMPER, Kind.CORE})
    for size, n in sorted(ends.items()):
        yield MaterialLine("wire end", size, 2 * n, "pieces", "ferrule or lug where stranded")


def _cables(wiring: Wiring) -> Iterator[MaterialLine]:
    types: dict[str, list[WireCable]] = {}
    for k in wiring.cables:
        pairs = f"{len(k.cores) // 2} x 2" if k.paired else str(len(k.cores))
        types.setdefault(f"{pairs} x {k.size}{', screened' if k.screened else ''}", []).append(k)
    for detail, same in sorted(types.items()):
        known = [k.length_m for k in same if k.length_m is not None]
        open_ones = ", ".join(k.tag for k in same if k.length_m is None)
        note = f"length open: {open_ones}" if open_ones else ""
        yield MaterialLine("control cable", detail, math.fsum(known), "m", note)
    used: Counter[str] = Counter()
    spare: Counter[str] = Counter()
    for line in cable_schedule(wiring):
        used[line.size] += line.used
        spare[line.size] += len(line.spare)
    for item, counts in (("cable core, used", used), ("cable core, spare", spare)):
        for size, n in sorted(counts.items()):
            yield MaterialLine(item, size, n, "pieces")
    for detail, same in sorted(types.items()):
        yield MaterialLine("cable gland", f"for {detail}", 2 * len(same), "pieces", "both ends")


def _labels(wiring: Wiring) -> Iterator[MaterialLine]:
    counts: Counter[str] = Counter()
    for label in label_schedule(wiring):
        counts[label.kind] += label.quantity
    yield from (MaterialLine(item, "", counts[item], "pieces") for item in ITEMS if item in counts)


def _devices(wiring: Wiring) -> Iterator[MaterialLine]:
    devices = Counter((d.kind, d.legend, d.rating) for d in wiring.devices if d.kind not in _OF_OTHERS)
    for (kind, legend, rating), n in sorted(devices.items()):
        yield MaterialLine(kind_name(kind), " ".join(x for x in (legend, rating) if x), n, "pieces")


def site_materials(drives: Sequence[tuple[str, Wiring]]) -> tuple[SiteMaterial, ...]:
    """Roll the bills of all drives up.

    Parameters
    ----------
    drives : sequence of (tag, wiring)

    Returns
    -------
    tuple of SiteMaterial
        In the order of `ITEMS`, then devices by name. A quantity is the sum of what is known; what
        is not known is named in the note with its drive.
    """
    whole: dict[tuple[str, str, str], list[tuple[str, MaterialLine]]] = {}
    for tag, wiring in drives:
        for line in wiring_materials(wiring):
            detail = "" if line.item == "strip terminal" else line.detail  # a strip's tag names no article
            whole.setdefault((line.item, detail, line.unit), []).append((tag, line))
    rank = {item: n for n, item in enumerate(ITEMS)}
    return tuple(
        SiteMaterial(
            item, detail, round(sum(line.quantity for _, line in same), 3), unit,
            tuple(dict.fromkeys(tag for tag, _ in same)), _note(same),
        )
        for (item, detail, unit), same in sorted(
            whole.items(), key=lambda w: (rank.get(w[0][0], len(ITEMS)), w[0])
        )
    )  # fmt: skip


def quantity_words(line: MaterialLine | SiteMaterial) -> tuple[str, str]:
    """Quantity and unit as they are printed.

    Examples
    --------
    >>> quantity_words(MaterialLine("strip bridge", "", 1, "pieces")), quantity_words(MaterialLine("cable", "", 0, "m"))
    (('1', 'piece'), ('–', 'm'))
    """
    unit = line.unit.removesuffix("s") if line.quantity == 1 else line.unit
    return f"{line.quantity:g}" if line.quantity else "–", unit


def _note(same: Sequence[tuple[str, MaterialLine]]) -> str:
    """A note that all share, or each drive's own behind its tag."""
    notes = {line.note for _, line in same}
    if len(notes) == 1 and not any(n.startswith("length open") for n in notes):
        return notes.pop()
    return "; ".join(f"{tag} {line.note}" for tag, line in same if line.note)
