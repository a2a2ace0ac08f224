"""Numbers that survive a revision: issued ones are kept, new ones take the next free, freed ones never return."""

from __future__ import annotations

import re
from collections.abc import Hashable, Iterable
from functools import lru_cache
from typing import Generic, TypeVar

Node = TypeVar("Node", bound=Hashable)


class Joined(Generic[Node]):
    """Union-find over hashable nodes; the order of first appearance decides the order of groups."""

    def __init__(self, pairs: Iterable[tuple[Node, Node]] = ()) -> None:
        self._parent: dict[Node, Node] = {}
        for a, b in pairs:
            self.join(a, b)

    def root(self, node: Node) -> Node:
        """Return the node that stands for the group of `node`."""
        parent = self._parent
        above = parent.setdefault(node, node)
        while (top := parent[above]) is not above:  # a root is its own parent, the very same object
            parent[node] = top
            node, above = above, top
        return above

    def join(self, a: Node, b: Node) -> None:
        """Put two nodes in one group."""
        root_a, root_b = self.root(a), self.root(b)
        if root_a is not root_b:
            self._parent[root_b] = root_a

    def copy(self) -> Joined[Node]:
        """Return the same groups, to be joined further."""
        made: Joined[Node] = Joined()
        made._parent = self._parent.copy()
        return made

    def groups(self) -> tuple[tuple[Node, ...], ...]:
        """Return all groups, nodes in order of first appearance."""
        found: dict[Node, list[Node]] = {}
        for node in tuple(self._parent):
            found.setdefault(self.root(node), []).append(node)
        return tuple(tuple(g) for g in found.values())


class Numbers:
    """A counter of one kind of number.

    Parameters
    ----------
    kept : iterable of str
        Numbers that are in use or were ever issued: none of them is given to something new.
    start : int
        First number of a fresh drawing.
    prefix : str
        What stands before the digits, '-S' for tags.

    Examples
    --------
    >>> numbers = Numbers(["101", "104"], start=101)
    >>> numbers.take(), numbers.take()
    ('105', '106')
    """

    def __init__(self, kept: Iterable[str] = (), *, start: int = 1, prefix: str = "") -> None:
        self._prefix = prefix
        shape = re.compile(re.escape(prefix) + r"(\d+)")
        used = [int(found[1]) for text in kept if (found := shape.fullmatch(text))]
        self._next = max([start - 1, *used]) + 1

    def take(self) -> str:
        """Return the next free number."""
        number = f"{self._prefix}{self._next}"
        self._next += 1
        return number


@lru_cache(maxsize=1 << 14)
def natural_key(text: str) -> tuple[tuple[int, int, str], ...]:
    """Return a sort key that puts '9' before '10' and '-S2' before '-S10'.

    Examples
    --------
    >>> sorted(["-X1:10", "-X1:9"], key=natural_key)
    ['-X1:9', '-X1:10']
    """
    parts = re.findall(r"\d+|\D+", text)
    return tuple((0, int(p), "") if p.isdecimal() else (1, 0, p) for p in parts)
