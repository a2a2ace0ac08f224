"""Ladder view of circuits at control voltage: the same records as rungs between two rails.

Pure: which element stands on which line and where lines branch. How it looks is `drawing_ladder`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from binder.wiring.connections import Connection, Device, DriveTerminal, End, Wiring
from binder.wiring.rows import nets
from binder.wiring.symbols import marks_of, symbols_of
from binder.wiring.vocabulary import function_name

#: Terminals of the control supply that are the two rails.
HOT, NEUTRAL = "L", "N"
#: Most lines of one group: it is not cut between sheets.
_TALLEST = 8


@dataclass(frozen=True, slots=True)
class Element:
    """A contact or a load between two terminals of one device.

    `kind` is 'contact', 'coil', 'lamp', ... as in `symbols`, 'box' for what has no symbol of its
    own; `a` is the terminal nearer to the hot rail.
    """

    tag: str
    a: str
    b: str
    kind: str
    form: str = ""
    device: Device | None = None  # None for the drive
    words: str = ""

    def turned(self) -> Element:
        """The same element the other way round."""
        return replace(self, a=self.b, b=self.a)


@dataclass(frozen=True, slots=True)
class Joint:
    """Where a line begins or ends: at its rail, at a line above, or in words where a wire would cross.

    `above` is the number of that line, or 0; `says` is a reference when there is neither.
    """

    rail: bool = False
    above: int = 0
    says: str = ""


@dataclass(frozen=True, slots=True)
class Rung:
    """One numbered line: elements in their slots, and the wire number on each stretch between them."""

    number: int
    elements: tuple[tuple[int, Element], ...]  # slot, element
    wires: tuple[str, ...]  # one more than elements
    start: int  # boundary of slots where it begins; 0 is the hot rail
    end: int  # boundary where it ends; the last one is the neutral rail
    left: Joint
    right: Joint
    first: bool = True  # of its group: nothing joins it to the line above


@dataclass(frozen=True, slots=True)
class Ladder:
    """All rungs between the two rails of one source."""

    hot: End
    neutral: End
    hot_wire: str
    neutral_wire: str
    rungs: tuple[Rung, ...]
    slots: int


@dataclass(frozen=True, slots=True)
class _Chain:
    """Elements in series between two junctions."""

    nodes: tuple[End, ...]
    elements: tuple[Element, ...]


def ladders(wiring: Wiring, slots: int = 7) -> tuple[Ladder, ...]:
    """Lay the circuits between the rails of each source out as a ladder; line numbers run through.

    Parameters
    ----------
    wiring : Wiring
    slots : int
        Most elements beside each other on one line; at least 3.

    Returns
    -------
    tuple of Ladder
        The control supply first, then other sources; none for a source with nothing between its rails.

    Notes
    -----
    A series path from rail to rail is a line. What runs parallel to a part of it stands on the next
    line and is joined to it upwards, unless that would cross a line: then both places name each other.
    """
    joined = nets(wiring.connections)
    elements = list(_elements(wiring, joined))
    number = {joined[e]: c.potential for c in wiring.connections for e in (c.a, c.b) if e in joined}
    found: list[Ladder] = []
    for hot, neutral in _rails(wiring):
        top, foot = joined.get(hot), joined.get(neutral)
        if top is None or foot is None or top == foot:
            continue
        between = _between([e for e in elements if e.tag != hot.device], joined, top, foot)
        before = sum(len(x.rungs) for x in found)
        rungs: list[Rung] = []
        for group in _groups(_chains(between, joined, top, foot), top, foot):
            rungs += _lines(group, _Maker(number, slots, before + len(rungs), top, foot))
        if rungs:
            found.append(Ladder(hot, neutral, number.get(top, ""), number.get(foot, ""), tuple(rungs), slots))
    return tuple(found)


def _rails(wiring: Wiring) -> Iterator[tuple[End, End]]:
    """Pairs of terminals L and N: of a control supply, then of devices that bring another source."""
    for strip in wiring.strips:
        if strip.kind == "control supply" and {HOT, NEUTRAL} <= set(strip.terminals):
            yield End(strip.tag, HOT), End(strip.tag, NEUTRAL)
    for device in wiring.devices:
        if {HOT, NEUTRAL} <= set(device.terminals):
            yield End(device.tag, HOT), End(device.tag, NEUTRAL)


def _elements(wiring: Wiring, joined: Mapping[End, End]) -> Iterator[Element]:
    """Everything with two ends that could stand on a rung."""
    yield from _relay_contacts(wiring)
    records: dict[End, list[Connection]] = defaultdict(list)
    for record in wiring.connections:
        records[record.a].append(record)
        records[record.b].append(record)
    for device in wiring.devices:
        used = [t for t in marks_of(device, records) if records.get(End(device.tag, t))]
        for symbol in symbols_of(device, used):
            words = device.text
            if symbol.kind == "block":
                yield from _boxes(device, symbol.terminals, joined)
            elif len(symbol.terminals) == 2:
                yield Element(device.tag, *symbol.terminals, symbol.kind, symbol.form, device, words)


def _boxes(device: Device, marks: Sequence[str], joined: Mapping[End, End]) -> Iterator[Element]:
    """A device without symbol between each two of its terminals of one name, '~1' and '~2'; else between its two."""
    alike: dict[str, list[str]] = defaultdict(list)
    for mark in marks:
        alike[mark.rstrip("0123456789")].append(mark)
    pairs = [tuple(v) for k, v in alike.items() if k and len(v) == 2] or ([tuple(marks)] if len(marks) == 2 else [])
    for a, b in pairs:
        yield Element(device.tag, a, b, "box", "", device, device.text)


def _relay_contacts(wiring: Wiring) -> Iterator[Element]:
    """The drive's relay outputs: make and break contact of each."""
    by_role: dict[str, DriveTerminal] = {}
    for terminal in wiring.terminals:
        by_role.setdefault(terminal.role, terminal)
    for role, common in by_role.items():
        name, _, part = role.partition(".")
        if not name.startswith("RO") or part != "C":
            continue
        for form in ("NO", "NC"):
            other = by_role.get(f"{name}.{form}")
            if other is not None:
                words = function_name(next((t.function for t in (other, common) if t.function), ""))
                yield Element(wiring.designation, common.number, other.number, "contact", form, None, words)


def _between(elements: Sequence[Element], joined: Mapping[End, End], top: End, foot: End) -> list[Element]:
    """Elements on some path from rail to rail: those that dead ends leave over."""
    placed = [e for e in elements if End(e.tag, e.a) in joined and End(e.tag, e.b) in joined]
    left = [e for e in placed if joined[End(e.tag, e.a)] != joined[End(e.tag, e.b)]]
    while True:
        count: dict[End, int] = defaultdict(int)
        for e in left:
            for node in _nodes(e, joined):
                count[node] += 1
        kept = [e for e in left if all(count[n] > 1 or n in (top, foot) for n in _nodes(e, joined))]
        if len(kept) == len(left):
            break
        left = kept
    reached = _reached(left, joined, top, foot) & _reached(left, joined, foot, top)
    return [e for e in left if set(_nodes(e, joined)) <= reached | {top, foot}]


def _nodes(element: Element, joined: Mapping[End, End]) -> tuple[End, End]:
    return joined[End(element.tag, element.a)], joined[End(element.tag, element.b)]


def _reached(elements: Sequence[Element], joined: Mapping[End, End], start: End, stop: End) -> set[End]:
    """Nodes that can be reached from one rail without passing the other."""
    found, edge = {start}, [start]
    while edge:
        node = edge.pop()
        for e in elements:
            pair = _nodes(e, joined)
            if node in pair and node != stop:
                fresh = set(pair) - found
                found |= fresh
                edge += sorted(fresh)
    return found


def _chains(elements: Sequence[Element], joined: Mapping[End, End], top: End, foot: End) -> list[_Chain]:
    """Series paths between junctions, turned so that they lead away from the hot rail."""
    at: dict[End, list[int]] = defaultdict(list)
    for n, e in enumerate(elements):
        for node in _nodes(e, joined):
            at[node].append(n)
    depth = _depths(elements, joined, top, foot)
    ends = {node for node, here in at.items() if len(here) != 2} | {top, foot}
    used: set[int] = set()
    chains = []
    for start in sorted(ends, key=lambda node: (depth.get(node, 0), node)):
        for first in at[start]:
            if first in used:
                continue
            nodes, path, n = [start], [], first
            while True:
                used.add(n)
                a, b = _nodes(elements[n], joined)
                forward = a == nodes[-1]
                path.append(elements[n] if forward else elements[n].turned())
                nodes.append(b if forward else a)
                if nodes[-1] in ends:
                    break
                n = next(k for k in at[nodes[-1]] if k != n)
            chain = _Chain(tuple(nodes), tuple(path))
            chains.append(_away(chain, depth, top, foot))
    return chains


def _depths(elements: Sequence[Element], joined: Mapping[End, End], top: End, foot: End) -> dict[End, int]:
    """Elements between the hot rail and each node; the neutral rail lies behind all."""
    depth, edge = {top: 0}, [top]
    while edge:
        node = edge.pop(0)
        for e in elements:
            pair = _nodes(e, joined)
            if node in pair:
                other = pair[0] if pair[1] == node else pair[1]
                if other not in depth and other != foot:
                    depth[other] = depth[node] + 1
                    edge.append(other)
    depth[foot] = len(elements) + 1
    return depth


def _away(chain: _Chain, depth: Mapping[End, int], top: End, foot: End) -> _Chain:
    turn = chain.nodes[0] == foot or chain.nodes[-1] == top or depth[chain.nodes[0]] > depth[chain.nodes[-1]]
    if not turn:
        return chain
    return _Chain(chain.nodes[::-1], tuple(e.turned() for e in chain.elements[::-1]))


def _groups(chains: Sequence[_Chain], top: End, foot: End) -> list[list[_Chain]]:
    """Chains that share a junction other than a rail."""
    groups: list[list[_Chain]] = []
    for chain in chains:
        ends = {chain.nodes[0], chain.nodes[-1]} - {top, foot}
        touching = [g for g in groups if any(ends & {c.nodes[0], c.nodes[-1]} for c in g)]
        merged = [c for g in touching for c in g] + [chain]
        groups = [g for g in groups if g not in touching] + [merged]
    return groups


def _lines(group: Sequence[_Chain], maker: _Maker) -> list[Rung]:
    """The lines of one group: the longest path from rail to rail first, then what runs parallel to it."""
    main = _main_path(group, maker.top, maker.foot)
    maker.place = _places(group, maker.top, maker.foot, maker.slots)
    if main and maker.place and len(group) <= _TALLEST:
        maker.main(main)
        rest = [c for c in group if c not in main]
        for chain in sorted(rest, key=lambda c: (maker.span(c), maker.place[c.nodes[0]])):
            maker.branch(chain)
    else:
        for chain in group:
            maker.loose(chain)
    return maker.rungs


def _main_path(group: Sequence[_Chain], top: End, foot: End) -> list[_Chain]:
    """The path from rail to rail with the most elements; the first of equals."""
    best: list[_Chain] = []
    paths: list[list[_Chain]] = [[c] for c in group if c.nodes[0] == top]
    for _ in range(2000):
        if not paths:
            break
        path = paths.pop(0)
        if path[-1].nodes[-1] == foot:
            if sum(len(c.elements) for c in path) > sum(len(c.elements) for c in best):
                best = path
            continue
        seen = {c.nodes[0] for c in path}
        paths += [[*path, c] for c in group if c.nodes[0] == path[-1].nodes[-1] and c.nodes[-1] not in seen]
    return best


def _places(group: Sequence[_Chain], top: End, foot: End, slots: int) -> dict[End, int]:
    """Boundary of slots at each junction, so that every chain has room; empty when that is not possible."""
    place = {node: 0 for c in group for node in (c.nodes[0], c.nodes[-1])}
    for _ in range(len(place) + 1):
        moved = False
        for c in group:
            need = place[c.nodes[0]] + len(c.elements)
            if place[c.nodes[-1]] < need:
                place[c.nodes[-1]] = need
                moved = True
        if not moved:
            break
    else:
        return {}
    if max(place.values()) > slots:
        return {}
    return {**place, top: 0, foot: slots}


class _Maker:
    """Puts the chains of one group on lines and remembers where each junction can be reached from below."""

    def __init__(self, number: Mapping[End, str], slots: int, before: int, top: End, foot: End) -> None:
        self.number, self.slots, self.before, self.top, self.foot = number, slots, before, top, foot
        self.place: Mapping[End, int] = {}  # boundary of each junction
        self.rungs: list[Rung] = []
        self.seen: dict[End, int] = {}  # junction -> lowest line that has it, from 0
        self.risers: list[tuple[int, int, int]] = []  # boundary, upper and lower line

    def span(self, chain: _Chain) -> int:
        """Slots between its two ends."""
        return self.place[chain.nodes[-1]] - self.place[chain.nodes[0]]

    def main(self, path: Sequence[_Chain]) -> None:
        """The first line of a group."""
        elements: list[tuple[int, Element]] = []
        wires = [self.number.get(self.top, "")]
        for chain in path:
            elements += self._in_slots(chain)
            wires += [self.number.get(node, "") for node in chain.nodes[1:]]
            self.seen.update(dict.fromkeys((chain.nodes[0], chain.nodes[-1]), 0))
        self._add(elements, wires, (0, self.slots), (Joint(rail=True), Joint(rail=True)))

    def branch(self, chain: _Chain) -> None:
        """A line parallel to a part of another one."""
        ends = (chain.nodes[0], chain.nodes[-1])
        joints = (self._joint(ends[0], self.top), self._joint(ends[1], self.foot))
        wires = [self.number.get(node, "") for node in chain.nodes]
        self._add(self._in_slots(chain), wires, (self.place[ends[0]], self.place[ends[1]]), joints)
        for node, joint in zip(ends, joints, strict=True):
            if joint.above:
                self.risers.append((self.place[node], self.seen[node], len(self.rungs) - 1))
                self.seen[node] = len(self.rungs) - 1

    def loose(self, chain: _Chain) -> None:
        """Lines of their own, cut where they get too long; ends that are no rail are told in words."""
        room = self.slots - 2
        for first in range(0, len(chain.elements), room):
            part = chain.elements[first : first + room]
            nodes = chain.nodes[first : first + len(part) + 1]
            left, right = nodes[0] == self.top, nodes[-1] == self.foot
            slots = [(n + 1, e) for n, e in enumerate(part)]
            if right:
                slots[-1] = (self.slots - 1, part[-1])
            joints = (self._told(left, nodes[0]), self._told(right, nodes[-1]))
            wires = [self.number.get(node, "") for node in nodes]
            end = self.slots if right else slots[-1][0] + 1
            self._add(slots, wires, (0 if left else 1, end), joints)

    def _told(self, rail: bool, node: End) -> Joint:
        return Joint(rail=True) if rail else Joint(says=f"wire {self.number.get(node, '')}".strip())

    def _in_slots(self, chain: _Chain) -> list[tuple[int, Element]]:
        """Slots from the left; what leads to the neutral rail stands at that rail."""
        first = self.place[chain.nodes[0]]
        slots = [(first + n, e) for n, e in enumerate(chain.elements)]
        if chain.nodes[-1] == self.foot:
            slots[-1] = (self.slots - 1, chain.elements[-1])
        return slots

    def _joint(self, node: End, rail: End) -> Joint:
        if node == rail:
            return Joint(rail=True)
        above, at = self.seen.get(node, -1), self.place[node]
        if above < 0:
            return self._told(False, node)
        if any(_covers(r, at) for r in self.rungs[above + 1 :]) or any(
            x == at and upper < len(self.rungs) and above < lower for x, upper, lower in self.risers
        ):
            return Joint(says=f"wire {self.number.get(node, '')}, line {self.before + above + 1}")
        return Joint(above=self.before + above + 1)

    def _add(self, elements: Sequence[tuple[int, Element]], wires: Sequence[str], span: tuple[int, int],
             joints: tuple[Joint, Joint]) -> None:  # fmt: skip
        number = self.before + len(self.rungs) + 1
        alone = not any(j.above for j in joints)
        self.rungs.append(Rung(number, tuple(elements), tuple(wires), *span, *joints, first=alone))


def _covers(rung: Rung, boundary: int) -> bool:
    """True when a wire down this boundary would meet the line, or a reference at its end."""
    return rung.start - bool(rung.left.says) <= boundary <= rung.end + bool(rung.right.says)


def line_of(found: Sequence[Ladder], tag: str, marks: Sequence[str]) -> int | None:
    """Number of the line on which a device's contact or coil with these marks stands; None when on none."""
    rungs = (rung for one in found for rung in one.rungs)
    return next((r.number for r in rungs for _, e in r.elements if e.tag == tag and {e.a, e.b} == set(marks)), None)
