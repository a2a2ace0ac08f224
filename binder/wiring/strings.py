"""Contacts in series: the permissives ahead of every run command, and the external fault loop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from binder.wiring.connections import End
from binder.wiring.recipe import STRING, Part, PartContact, parse_contact
from binder.wiring.scheme_rows import SchemeRow


@dataclass(frozen=True, slots=True)
class Member:
    """One contact in a string."""

    row: SchemeRow
    part: Part
    contact: PartContact

    def entering(self) -> End:
        """Return the end towards the supply."""
        return self._end(self.contact.a)

    def leaving(self) -> End:
        """Return the end towards the drive's input."""
        return self._end(self.contact.b)

    def _end(self, mark: str) -> End:
        return End(self.row.devices[self.part.key], self.row.given[f"{self.part.key}:{mark}"])


def string_members(name: str, rows: tuple[SchemeRow, ...], has: Callable[[str], bool]) -> list[Member]:
    """Return the contacts of one string in series order.

    Parameters
    ----------
    name : str
        'permit' or 'fault'. A permissive that the user binds to external_fault stands in 'fault'.
    rows : tuple of SchemeRow
    has : callable
        Whether the drive has a terminal of a role.

    Returns
    -------
    list of Member
        A scheme that names its own contact ('permit by Q2') comes last.
    """
    plain: list[Member] = []
    last: list[Member] = []
    for row in rows:
        found = STRING.match(row.recipe.string)
        if not found or (found["role"] and has(found["role"])):
            continue
        home = "fault" if found["name"] == "permit" and "external_fault" in row.binding else found["name"]
        if home != name:
            continue
        for part in row.recipe.parts:
            wanted = part.key == found["part"] if found["part"] else bool(part.contacts)
            if wanted and (not part.optional or part.key in row.tags):
                contact = parse_contact(part.contacts[0], len(part.states))
                (last if found["part"] else plain).append(Member(row, part, contact))
    return plain + last
