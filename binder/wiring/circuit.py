"""The contacts of a drive's wiring as a small network: what is joined to what in which state.

Nodes are potentials (wire numbers). A node stands at +24 V when closed contacts join it to a
positive rail, at 0 V when they join it to the other, and otherwise at the level of the digital
input that it reaches; a node that reaches nothing shows 0 V on a meter.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from binder.wiring.connections import Connection, Device, DriveTerminal, End, Kind, Wiring
from binder.wiring.numbering import Joined

#: Device states by tag.
State = Mapping[str, str]

_MOST_STATES = 24


@dataclass(frozen=True, slots=True)
class ContactEdge:
    """A contact between two nodes, and the states of its device in which it is closed."""

    device: str
    a: str
    b: str
    closed: frozenset[str]


@dataclass(frozen=True, slots=True)
class _Points:
    """What of a wiring never changes when a conductor breaks: the ends that matter."""

    plus: tuple[End, ...]
    zero: tuple[End, ...]
    common: tuple[End, ...]
    inputs: tuple[tuple[End, DriveTerminal], ...]
    safety: tuple[tuple[End, DriveTerminal], ...]
    contacts: tuple[tuple[str, End, End, frozenset[str]], ...]


class Circuit:
    """Rails, inputs and contacts of one drive's wiring.

    Parameters
    ----------
    wiring : Wiring
        With conductors marked.
    """

    def __init__(self, wiring: Wiring) -> None:
        joined: Joined[End] = Joined((c.a, c.b) for c in wiring.connections if c.kind is not Kind.SCREEN)
        nodes = {end: str(group[0]) for group in joined.groups() for end in group}
        self._set(wiring, _points(wiring), nodes)

    def opened(self, connection: Connection) -> Circuit:
        """Return the same wiring with one conductor broken."""
        node = self.node(connection.a)
        left = [c for c in self.wiring.connections
                if c.kind is not Kind.SCREEN and c.id != connection.id and self._nodes[c.a] == node]  # fmt: skip
        joined: Joined[End] = Joined((c.a, c.b) for c in left)
        for end in (connection.a, connection.b):
            joined.root(end)
        apart = {end: str(group[0]) for group in joined.groups() for end in group}
        made = Circuit.__new__(Circuit)
        made._set(self.wiring, self._points, {**self._nodes, **apart})
        return made

    def _set(self, wiring: Wiring, points: _Points, nodes: dict[End, str]) -> None:
        self.wiring, self._points, self._nodes = wiring, points, nodes
        self._deciders: dict[str, tuple[list[Device], list[Device]]] = {}
        self._closed: dict[tuple[bool, ...], Joined[str]] = {}
        self.plus = {self.node(e) for e in points.plus}
        self.zero = {self.node(e) for e in points.zero}
        self.inputs = {self.node(e): t for e, t in points.inputs}
        self.safety = {self.node(e): t for e, t in points.safety}
        self.edges = tuple(
            ContactEdge(tag, self.node(a), self.node(b), closed) for tag, a, b, closed in points.contacts
        )
        common = {self.node(e) for e in points.common}
        self.pull_high = bool(common & self.plus) if common else wiring.logic == "negative"

    def node(self, end: End) -> str:
        """Return the node of an end."""
        return self._nodes.get(end) or str(end)

    def rest(self) -> dict[str, str]:
        """Return every operable device in the state it is left in."""
        return {d.tag: d.rest for d in self.wiring.devices if d.states}

    def groups(self, state: State, extra: Sequence[tuple[str, str]] = ()) -> Joined[str]:
        """Return the nodes joined by the contacts that are closed in this state, and by `extra` pairs."""
        closed = tuple([state.get(e.device) in e.closed for e in self.edges])
        joined = self._closed.get(closed)
        if joined is None:
            joined = Joined((e.a, e.b) for e, on in zip(self.edges, closed, strict=True) if on)
            self._closed[closed] = joined
        if extra:
            joined = joined.copy()
            for a, b in extra:
                joined.join(a, b)
        return joined

    def high(self, state: State, extra: Sequence[tuple[str, str]] = ()) -> tuple[frozenset[str], bool]:
        """Return the nodes at +24 V in a state, and whether the supply is shorted (then none is)."""
        return self._high({*self.nodes(), *(n for pair in extra for n in pair)}, state, extra)

    def _high(
        self, nodes: Iterable[str], state: State, extra: Sequence[tuple[str, str]]
    ) -> tuple[frozenset[str], bool]:
        joined = self.groups(state, extra)
        root = joined.root
        plus, zero = set(map(root, self.plus)), set(map(root, self.zero))
        if not plus.isdisjoint(zero):
            return frozenset(), True
        if self.pull_high:
            plus |= set(map(root, self.inputs)) - zero
        return frozenset([n for n in nodes if root(n) in plus]), False

    def nodes(self) -> frozenset[str]:
        """Return every node that a rail, an input or a contact touches."""
        at_contacts = (n for e in self.edges for n in (e.a, e.b))
        return frozenset({*self.plus, *self.zero, *self.inputs, *self.safety, *at_contacts})

    def active(self, state: State, extra: Sequence[tuple[str, str]] = ()) -> tuple[frozenset[str], bool]:
        """Return the functions whose digital, enable or safety input is active, and whether the supply is shorted."""
        high, short = self._high({*self.inputs, *self.safety}, state, extra)
        want_high = not self.pull_high
        if short:
            return frozenset(), True
        found = {t.function for n, t in self.inputs.items() if t.function and (n in high) is want_high}
        return frozenset(found | {t.function for n, t in self.safety.items() if n in high}), False

    def cone(self, node: str) -> tuple[Device, ...]:
        """Return the devices whose contacts lie between this node and the rails, in drawing order."""
        stop = {*self.plus, *self.zero} - {node}
        seen, frontier, tags = {node}, [node], set()
        while frontier:
            here = frontier.pop()
            if here in stop:
                continue
            for e in self.edges:
                if here in (e.a, e.b):
                    tags.add(e.device)
                    other = e.b if here == e.a else e.a
                    if other not in seen:
                        seen.add(other)
                        frontier.append(other)
        return tuple(d for d in self.wiring.devices if d.tag in tags)

    def states(self, node: str) -> tuple[dict[str, str], ...]:
        """Return the states in which a node is read.

        All positions of operators together, then each guarding contact opened alone while the node
        is otherwise active; when that is too many, one operator at a time.
        """
        rest = self.rest()
        guards, operators = self.deciders(node)
        found = [
            {**rest, **dict(zip((d.tag for d in operators), combination, strict=True))}
            for combination in product(*(d.states for d in operators))
        ]
        if len(found) > _MOST_STATES:
            found = [rest] + [{**rest, d.tag: s} for d in operators for s in d.states if s != d.rest]
        levels = [node in self.high(s)[0] for s in found]
        wanted = node in self.safety or not self.pull_high
        best = next((s for s, level in zip(found, levels, strict=True) if level is wanted), found[0])
        return (*found, *({**best, d.tag: s} for d in guards for s in d.states if s != d.rest))

    def deciders(self, node: str) -> tuple[list[Device], list[Device]]:
        """Guards and operators that decide the level of a node: what only hangs on it is left out."""
        if node in self._deciders:
            return self._deciders[node]
        cone = self.cone(node)
        guards = [d for d in cone if is_guard(d)]
        operators = [d for d in cone if d not in guards]
        combinations = list(product(*(d.states for d in operators)))
        if len(combinations) <= _MOST_STATES:
            rest = self.rest()
            settings = [{}, *({d.tag: s} for d in guards for s in d.states if s != d.rest)]
            level = {
                (n, c): node in self.high({**rest, **dict(zip((d.tag for d in operators), c, strict=True)), **g})[0]
                for n, g in enumerate(settings) for c in combinations
            }  # fmt: skip
            operators = [
                d for k, d in enumerate(operators)
                if any(level[n, c] != level[n, (*c[:k], s, *c[k + 1:])] for n, c in level for s in d.states)
            ]  # fmt: skip
            decided = {tag for n, g in enumerate(settings) for tag in g
                       if any(level[n, c] != level[0, c] for c in combinations)}  # fmt: skip
            guards = [d for d in guards if d.tag in decided]
        self._deciders[node] = guards, operators
        return guards, operators

    def name(self, state: State, node: str) -> str:
        """Return a state in words: operators always, guards only where they are not at rest."""
        guards, operators = self.deciders(node)
        words = [state_words(d, state[d.tag]) for d in operators]
        words += [state_words(d, state[d.tag]) for d in guards if state[d.tag] != d.rest]
        return ", ".join(words) or "at rest"


_last: list[Circuit] = []


def circuit_of(wiring: Wiring) -> Circuit:
    """Return the circuit of a wiring. The last one is kept: readings, faults and checks of a drive all ask for it."""
    if not _last or not _same(_last[0].wiring, wiring):
        _last[:] = [Circuit(wiring)]
    return _last[0]


def _same(a: Wiring, b: Wiring) -> bool:
    """True when two wirings differ in nothing that a circuit is made of."""
    parts = ((w.connections, w.devices, w.terminals, w.strips) for w in (a, b))
    same = all(x is y for x, y in zip(*parts, strict=True))
    return same and (a.designation, a.logic) == (b.designation, b.logic)


def is_guard(device: Device) -> bool:
    """Return whether a device is left with its contacts closed: stop button, permissive, isolator."""
    if device.positions or device.rest not in device.states:
        return False
    return any(chart[device.states.index(device.rest)] for chart in device.closed_in)


def state_words(device: Device, state: str) -> str:
    """Return '-S1 in HAND' for a selector, '-S2 pressed' for the rest."""
    return f"{device.tag} in {state}" if device.positions else f"{device.tag} {state}"


def _points(wiring: Wiring) -> _Points:
    def at(*roles: str) -> tuple[End, ...]:
        return tuple(End(wiring.designation, t.number) for t in wiring.terminals if t.role in roles)

    supplies = [End(d.tag, m) for d in wiring.devices if d.kind == "power supply" for m in d.terminals]
    outer = [End(s.tag, m) for s in wiring.strips if s.kind == "control supply" for m in s.terminals]
    outside = [e for e in (*supplies, *outer) if e.terminal.endswith(("+", "-"))]
    return _Points(
        (*at("P24", "STOS"), *(e for e in outside if e.terminal.endswith("+"))),
        (*at("N24", "A0"), *(e for e in outside if e.terminal.endswith("-"))),
        at("DIC"),
        tuple((End(wiring.designation, t.number), t) for t in wiring.terminals if t.role in {"DI", "EN"}),
        tuple((End(wiring.designation, t.number), t) for t in wiring.terminals
              if t.role in {"STO1", "STO2"} and t.function),
        tuple(
            (d.tag, End(d.tag, contact.terminals[0]), End(d.tag, contact.terminals[1]),
             frozenset(s for s, closed in zip(d.states, chart, strict=True) if closed))
            for d in wiring.devices
            for contact, chart in zip(d.contacts, d.closed_in, strict=True)
        ),
    )  # fmt: skip
