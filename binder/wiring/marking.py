"""Wire numbers, colours and sizes: one number for everything joined, kept from issue to issue."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from binder.wiring.assembly import Assembly
from binder.wiring.cabling import size_of
from binder.wiring.connections import Connection, End, Kind, Signal, Wiring
from binder.wiring.kinds import AMERICAN
from binder.wiring.numbering import Joined, Numbers, natural_key

_FIRST_NUMBER = 101


def potentials(connections: Sequence[Connection]) -> tuple[tuple[End, ...], ...]:
    """Return the ends of each potential, in order of first appearance; screens join nothing."""
    return Joined((c.a, c.b) for c in connections if c.kind is not Kind.SCREEN).groups()


def mark(
    assembly: Assembly, connections: Sequence[Connection], former: Wiring | None
) -> tuple[tuple[Connection, ...], tuple[str, ...]]:
    """Give every conductor its wire number, and its colour and size where they are not given.

    Parameters
    ----------
    assembly : Assembly
    connections : sequence of Connection
    former : Wiring or None
        As last issued: a potential keeps the number that most of its ends had.

    Returns
    -------
    tuple of (tuple of Connection, tuple of str)
        The marked conductors, and numbers that are now retired.
    """
    groups = potentials(connections)
    numbers, retired = _numbers(groups, former)
    colours = {n: _colour(assembly, ends, connections) for n, ends in zip(numbers, groups, strict=True)}
    number_of = {end: n for n, ends in zip(numbers, groups, strict=True) for end in ends}
    marked = []
    for c in connections:
        if c.kind is Kind.SCREEN:
            marked.append(c)
            continue
        number = number_of[c.a]
        plain = c.kind in {Kind.BRIDGE, Kind.LINK}
        marked.append(replace(
            c, potential=number,
            colour=c.colour or ("" if plain else colours[number]),
            size=c.size or ("" if plain else size_of(assembly, c.signal)),
        ))  # fmt: skip
    return tuple(marked), retired


def _numbers(groups: Sequence[tuple[End, ...]], former: Wiring | None) -> tuple[list[str], tuple[str, ...]]:
    issued: dict[End, str] = {}
    for c in former.connections if former else ():
        if c.potential:
            issued[c.a] = issued[c.b] = c.potential
    freed = [n for what, n in former.retired if what == "wire"] if former else []
    votes = [Counter(issued[e] for e in ends if e in issued) for ends in groups]
    chosen: dict[int, str] = {}
    # the strongest claim to each number wins; equal claims go to the potential that stands first
    claims = sorted((-count, n, natural_key(number), number)
                    for n, vote in enumerate(votes) for number, count in vote.items())  # fmt: skip
    for _, n, _, number in claims:
        if n not in chosen and number not in chosen.values():
            chosen[n] = number
    fresh = Numbers((*issued.values(), *freed), start=_FIRST_NUMBER)
    numbers = [chosen[n] if n in chosen else fresh.take() for n in range(len(groups))]
    return numbers, tuple(sorted(set(issued.values()) - set(numbers), key=natural_key))


def _colour(assembly: Assembly, ends: tuple[End, ...], connections: Sequence[Connection]) -> str:
    """Return the colour of loose wires, IEC 60757 letters.

    IEC 60204-1 13.2.4 and NFPA 79 13.2.4: blue for direct-current, red for alternating-current
    control, orange where a circuit stays live with the disconnect off; a grounded direct-current
    conductor is white with a blue stripe in NFPA 79 13.2.3 (from memory, check).
    """
    american = assembly.style is AMERICAN
    supply = {e.terminal for e in ends if e.device == assembly.style.supply}
    here = set(ends)
    relay = any(c.signal is Signal.RELAY for c in connections if c.a in here)
    if relay:
        if "N" in supply:
            return "WH" if american else "BU"
        schemes = {c.scheme for c in connections if c.a in here}
        fed = any(assembly.style.supply in {a.device, b.device} for a, b, s in assembly.ties if s in schemes)
        return "RD" if fed else "OG"  # a circuit of others stays live while this drive is off
    roles = {t.terminal: t.role for t in assembly.source}
    zero = any(roles.get(e.terminal) in {"N24", "A0"} for e in ends if e.device == assembly.style.drive)
    external = {e for d in assembly.devices if d.kind == "power supply" for e in ends if e.device == d.tag}
    external |= {e for e in ends if e.device == assembly.style.supply}
    if external:
        minus = any(e.terminal.endswith("-") for e in external)
        return "WHOG" if american and minus else "OG"
    return "WHBU" if american and zero else "BU"
