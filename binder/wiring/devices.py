"""Devices made from the parts of the schemes: tags, places, contacts, one device where a tag is shared."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from binder.inventory.findings import Finding, Grade
from binder.wiring.connections import Contact, Device, Wiring
from binder.wiring.kinds import KINDS, Designations, proposed_letter
from binder.wiring.numbering import Numbers
from binder.wiring.recipe import Part, PartContact, parse_contact
from binder.wiring.scheme_rows import NO_PLACE, SchemeRow, pairs, row_finding

#: Kinds that only say 'some contact'.
_PLAIN = frozenset({"switch", "contact"})


@dataclass(slots=True)
class _Making:
    """A device while rows still add to it."""

    tag: str
    part: Part
    place: str
    text: str
    key: str
    scheme: str
    rating: str = ""
    contacts: list[PartContact] = field(default_factory=list)
    ports: list[str] = field(default_factory=list)
    uses: dict[str, str] = field(default_factory=dict)  # port -> what for


class DeviceMaker:
    """Makes the devices of one drive.

    Parameters
    ----------
    style : Designations
        Symbol convention of the site, for proposed tags.
    enclosure : str
        Printed place of the enclosure.
    place_of : callable
        Written place -> printed place.
    rows : iterable of SchemeRow
        All rows, so that a proposed tag never meets a given one.
    former : Wiring, optional
        As last issued: a device keeps the tag it had.
    """

    def __init__(
        self, style: Designations, enclosure: str, place_of: Callable[[str], str], rows: Iterable[SchemeRow],
        former: Wiring | None,
    ) -> None:  # fmt: skip
        self._style, self._enclosure, self._place_of = style, enclosure, place_of
        self._given = [tag for row in rows for tag in row.tags.values()]
        self._issued = {d.key: d.tag for d in former.devices if d.key} if former else {}
        self._retired = [n for what, n in former.retired if what == "device"] if former else []
        self._numbers: dict[str, Numbers] = {}
        self._made: dict[str, _Making] = {}
        self.findings: list[Finding] = []

    def use(self, row: SchemeRow, part: Part) -> str:
        """Make a part of a row, or join it to the device of the same tag; return the tag."""
        if part.key in row.devices:
            return row.devices[part.key]
        key = f"{row.key}:{part.key}"
        tag = row.tags.get(part.key, "")
        making = self._made.get(tag) if tag else None
        if making and not _same_device(making.part, part):
            self.findings.append(row_finding(
                "W132", Grade.CAUTION, row, "devices",
                f"'{tag}' is already a {KINDS[making.part.kind].name} with other positions",
                accepted="one tag for one device", remedy="give this device its own tag",
            ))  # fmt: skip
            making, tag = None, ""
        if not tag:
            issued = self._issued.get(key, "")
            tag = issued if issued and issued not in self._given else self._propose(part.kind)
        row.devices[part.key] = tag
        if making is None:
            making = self._start(row, part, tag, key)
        elif making.part.kind in _PLAIN and part.kind not in _PLAIN:
            making.part = part  # the row that knows what it is names its states
        self._add(row, part, making)
        return tag

    def _propose(self, kind: str) -> str:
        letter = proposed_letter(kind, self._style)
        if letter not in self._numbers:
            style = self._style
            own = (style.drive, style.strip, style.supply)
            taken = (*own, *self._given, *self._issued.values(), *self._retired)
            self._numbers[letter] = Numbers(taken, prefix=letter)
        return self._numbers[letter].take()

    def _start(self, row: SchemeRow, part: Part, tag: str, key: str) -> _Making:
        place = self._enclosure if part.fixed == "panel" else self._place_of(row.place(part.key))
        text = _text(row, part)
        rating = str(row.control.value) if part.kind == "potentiometer" and row.control.value else ""
        made = self._made[tag] = _Making(tag, part, place, text, key, row.recipe.key, rating)
        return made

    def _add(self, row: SchemeRow, part: Part, making: _Making) -> None:
        taken = {m for c in making.contacts for m in (c.a, c.b)} | set(making.ports)
        for text in part.contacts:
            contact = parse_contact(text, len(part.states))
            a, b = self._marks(row, part, contact, taken, len(making.contacts) + 1)
            row.given[f"{part.key}:{contact.a}"], row.given[f"{part.key}:{contact.b}"] = a, b
            making.contacts.append(PartContact(a, b, contact.form, contact.closed))
            taken |= {a, b}
        for port in part.ports:
            mark = row.marks.get(f"{part.key}:{port}", "") or _free_port(port, taken)
            row.given[f"{part.key}:{port}"] = mark
            if mark not in making.ports:
                making.ports.append(mark)
                making.uses[mark] = _text(row, part)
            taken.add(mark)

    @staticmethod
    def _marks(row: SchemeRow, part: Part, contact: PartContact, taken: set[str], number: int) -> tuple[str, str]:
        a = row.marks.get(f"{part.key}:{contact.a}", contact.a)
        b = row.marks.get(f"{part.key}:{contact.b}", contact.b)
        while {a, b} & taken:  # function digits 1-2 break, 3-4 make; EN 50013 practice, from memory, check
            a, b = (f"{number}3", f"{number}4") if contact.form == "NO" else (f"{number}1", f"{number}2")
            number += 1
        return a, b

    def devices(self) -> tuple[Device, ...]:
        """Return all devices in the order in which they were made."""
        return tuple(_finished(m) for m in self._made.values())

    def without_place(self, rows: Iterable[SchemeRow]) -> tuple[Finding, ...]:
        """Return a finding for every row that has a device and says no place for it."""
        return tuple(
            row_finding(
                "W103", Grade.CAUTION, row, "place",
                f"no place for {', '.join(tags)}: cable and route stay open",
                accepted="panel, panel door, or a place of the site such as 'pump room'",
                remedy="write where the devices are",
            )
            for row in rows
            if (tags := sorted(t for t in row.devices.values() if self._made[t].place == NO_PLACE))
        )  # fmt: skip


def _text(row: SchemeRow, part: Part) -> str:
    """What a device is for: the description, 'F1=low suction; F2=high discharge' where each has its own.

    One description over several alike devices describes none of them alone.
    """
    given = row.control.description
    own, _ = pairs(given)
    if own and set(own) <= {p.key for p in row.recipe.parts}:
        return own.get(part.key, part.text)
    first = next(p for p in row.recipe.parts if not p.optional)
    named = [p for p in row.recipe.parts if p.optional and p.kind == first.kind and p.key in row.tags]
    alike = named and row.recipe.string and not first.legend
    return given if first is part and given and not alike else part.text


def _same_device(one: Part, other: Part) -> bool:
    """One tag may stand for a plain contact in one row and for its real device in another."""
    if one.kind == other.kind:
        return one.states == other.states or not one.states or not other.states
    return bool(_PLAIN & {one.kind, other.kind}) and len(one.states) == len(other.states)


def _free_port(port: str, taken: set[str]) -> str:
    """Return the port, its number raised until it is free: 'AO1+' -> 'AO2+'; commons are shared."""
    found = re.search(r"\d+", port)
    if not found:
        return port
    number = int(found[0])
    while (mark := f"{port[: found.start()]}{number}{port[found.end() :]}") in taken:
        number += 1
    return mark


def _finished(m: _Making) -> Device:
    marks = [mark for c in m.contacts for mark in (c.a, c.b)]
    chart = tuple(c.closed for c in m.contacts)
    selector = m.part.kind == "selector"
    shared = not m.contacts and len(set(m.uses.values())) > 1
    return Device(
        tag=m.tag, kind=m.part.kind, place=m.place,
        text="; ".join(dict.fromkeys(m.uses.values())) if shared else m.text,
        terminals=(*marks, *m.ports),
        contacts=tuple(Contact((c.a, c.b), c.form) for c in m.contacts),
        positions=m.part.states if selector else (),
        chart=chart if selector else (),
        legend=m.part.legend, rating=m.rating, states=m.part.states, closed_in=chart,
        rest=m.part.rest or (m.part.states[0] if m.part.states else ""), key=m.key, scheme=m.scheme,
        uses=tuple(m.uses.items()) if shared else (),
    )  # fmt: skip
