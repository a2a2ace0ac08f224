"""Which rows carry a margin letter: changed ones and no others, removed ones struck, on every kind of table."""

from __future__ import annotations

from collections.abc import Callable, ItemsView, Iterable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from docutils import nodes

from binder.documents import nodes as own
from binder.documents.document import Document
from binder.documents.marks import TABLES, table_name
from binder.documents.nodes import Cell, Row
from binder.inventory.quantities import measure
from binder.inventory.reader import read_workbook
from binder.inventory.records import Inventory
from binder.reissue.current import issued_binder
from binder.reissue.facts import Fact, Key
from binder.reissue.ledger import from_data
from binder.reissue.marking import marks_of
from binder.reissue.plan import Imprint, freeze
from binder.study import study_site

WORKBOOK = Path(__file__).parents[2] / "demo_site" / "inventory.xlsx"
A, B = Imprint("A", "2026-05-18", "A. Ferrow", "first"), Imprint("B", "2026-06-01", "A. Ferrow", "test")


@pytest.fixture(scope="module")
def inventory() -> Inventory:
    return read_workbook(WORKBOOK)


def few(inventory: Inventory, *tags: str) -> Inventory:
    return replace(inventory, drives=tuple(d for d in inventory.drives if d.tag in tags))


class Reissued:
    """Revision B of a changed inventory, with the tables of its documents."""

    def __init__(self, old: Inventory, new: Inventory) -> None:
        first = freeze(study_site(old), imprint=A)
        former = {key: from_data(data) for key, data in first.wiring.items()}
        study = study_site(new, former=former)
        self.before = issued_binder(study_site(old), (), (first,))
        self.binder = issued_binder(study, (), (first, freeze(study, imprint=B, former=first)))

    def document(self, name: str) -> Document:
        return next(d for d in self.binder.documents if name in (d.subject, d.key))

    def tables(self, name: str) -> Iterator[own.data_table]:
        for section in self.binder.body(self.document(name)):
            yield from section.findall(own.data_table)

    def marked(self, name: str) -> dict[str, set[str]]:
        """Table -> keys of the rows that carry the letter."""
        found: dict[str, set[str]] = {}
        for table in self.tables(name):
            rows = {row.key for row in table["rows"] if row.revision}
            if rows:
                where = table["ids"][0] if table["ids"] else table_name(table) or table["caption"]
                found.setdefault(where, set()).update(rows)
        return found


def test_every_name_is_that_of_a_table(inventory: Inventory) -> None:
    old = few(inventory, "VFD-201", "VFD-501")
    binder = issued_binder(study_site(old), (), (freeze(study_site(old), imprint=A),))
    tables = [t for d in binder.documents for s in binder.body(d) for t in s.findall(own.data_table)]
    assert {table_name(t) for t in tables} >= set(TABLES)


def moved_wire(old: Inventory) -> Inventory:
    """The fault relay of VFD-502 on other terminals."""
    relay = next(c for c in old.controls if c.drive == "VFD-502" and c.scheme == "fault relay")
    others = tuple(c for c in old.controls if c is not relay)
    return replace(old, controls=(*others, replace(relay, terminals="fault=RO2")))


def slower_ramp(old: Inventory) -> Inventory:
    (drive,) = old.drives
    slower = replace(drive.acceleration_time, amount=drive.acceleration_time.amount + 4)
    return replace(old, drives=(replace(drive, acceleration_time=slower),))


def other_motor(old: Inventory) -> Inventory:
    motor = next(m for m in old.motors if m.tag == "M-602")
    current = replace(motor.current, amount=motor.current.amount + 1)
    others = tuple(m for m in old.motors if m is not motor)
    return replace(old, motors=(*others, replace(motor, current=current, serial="QM-0399")))


def other_fault_code(old: Inventory) -> Inventory:
    """The first code of the drive's model means what another one does."""
    code = next(c for c in old.fault_codes if c.model == old.drives[0].model)
    others = tuple(c for c in old.fault_codes if c is not code)
    meaning = next(c.meaning for c in others if c.model == code.model and c.meaning != code.meaning)
    return replace(old, fault_codes=(replace(code, meaning=meaning), *others))


def words(row: Row) -> tuple[str, ...]:
    """What a row says, without its place in the writing order."""
    said = tuple(c if isinstance(c, str) else f"{c.mark} {c.text}" for c in row.cells)
    return said[1:] if said[0].isdecimal() else said


def rows_of(sections: Iterable[nodes.Node]) -> Iterator[tuple[tuple[str, str], Row]]:
    """Every row with its table and key; of a data sheet each pair, of a line of the door card each setting."""
    for section in sections:
        for node in section.findall(own.data_table):
            for row in node["rows"]:
                if row.kind == "group" or node["ids"][:1] == ["changes"] or "evision" in node["caption"]:
                    continue
                place = "".join(node["ids"][:1]) or section_of(node)
                if place == "door-card" and row.key.startswith("line "):
                    for n in range(0, len(row.cells), 3):
                        number, name, value = row.cells[n : n + 3]
                        if number:
                            yield (place, str(number)), Row((number, name, value.text), revision=value.revision)
                else:
                    yield (place, row.key or words(row)[0]), row
        for node in section.findall(own.key_values):
            for name, value in node["pairs"]:
                cell = value if isinstance(value, Cell) else Cell(value)
                yield (section_of(node), name), Row((cell.text,), revision=cell.revision)


def section_of(node: nodes.Node) -> str:
    while not (isinstance(node, nodes.section) and node["ids"]):
        node = node.parent
    return str(node["ids"][0])


@pytest.mark.parametrize(
    ("tag", "change", "rows"),
    [
        ("VFD-201", slower_ramp, 11),
        ("VFD-502", moved_wire, 11),
        ("VFD-602", other_motor, 11),
        ("VFD-201", other_fault_code, 1),
    ],
)
def test_every_row_that_reads_otherwise_carries_the_letter(
    inventory: Inventory, tag: str, change: Callable[[Inventory], Inventory], rows: int
) -> None:
    old = few(inventory, tag)
    made = Reissued(old, change(old))
    told = 0
    for document in made.binder.documents:
        if document.kind == "front" or document.revision != "B":
            continue
        former = next(d for d in made.before.documents if d.key == document.key)
        before = {(place, words(row)) for place, row in rows_of(made.before.body(former))}
        for place, row in rows_of(made.binder.body(document)):
            if row.kind == "removed" or (place, words(row)) in before:
                continue
            assert row.revision == "B", (document.number, place, words(row))
            told += 1
    assert told >= rows


def test_a_code_on_the_door_card_carries_the_letter(inventory: Inventory) -> None:
    old = few(inventory, "VFD-201")
    made = Reissued(old, other_fault_code(old))
    cards = [s for s in made.binder.body(made.document("VFD-201")) if s["ids"] == ["door-card"]]
    told = [words.astext() for card in cards for words in card.findall(nodes.inline) if "shows" in words]
    new = next(c for c in other_fault_code(old).fault_codes if c.model == old.drives[0].model)
    assert [t for t in told if t.endswith(" [B]")] == [f"{new.code} {new.meaning} [B]"]
    assert len(told) > 1


def test_a_moved_wire_is_marked_on_its_drawings(inventory: Inventory) -> None:
    old = few(inventory, "VFD-502")
    made = Reissued(old, moved_wire(old))
    drawings = [d for s in made.binder.body(made.document("VFD-502")) for d in s.findall(own.drawing)]
    marked = {d["title"]: d["svg"].count('font-weight="bold">B</text>') for d in drawings if d["kind"] == "drawing"}
    assert marked["VFD-502 Control wiring, sheet 1 of 2"] == 0
    assert marked["VFD-502 Control wiring, sheet 2 of 2"] == 2
    assert marked["VFD-502 Terminals and cables"] == 2


def test_a_moved_wire_marks_wire_and_terminals(inventory: Inventory) -> None:
    old = few(inventory, "VFD-502")
    made = Reissued(old, moved_wire(old))
    marked = made.marked("VFD-502")
    assert {"VFD1:51", "VFD1:54"} <= marked["terminal"]
    assert "VFD1:41" not in marked["terminal"]
    assert any("VFD1:54" in key for key in marked["wire"])
    removed = [
        row for t in made.tables("VFD-502") if t["ids"] == ["wire"] for row in t["rows"] if row.kind == "removed"
    ]
    assert len(removed) == 2
    assert all("VFD1:5" in row.key for row in removed)
    assert [row.cells[:3] for row in removed] == [("109", "VFD1:51", "TB1:11"), ("110", "VFD1:52", "TB1:12")]
    assert all(key.startswith(("P1.", "removed-P1.")) for key in marked["check"])
    assert {"51", "54"} <= marked["settings-terminals"]


def test_a_slower_ramp_marks_its_setting_and_its_test(inventory: Inventory) -> None:
    old = few(inventory, "VFD-201")
    made = Reissued(old, slower_ramp(old))
    marked = made.marked("VFD-201")
    assert marked["setting"] == {"S-309"}
    assert marked["changed"] == {"S-309"}
    assert marked["test-c"] == {"C4.UP"}
    assert not {"wire", "terminal", "check", "lockout"} & set(marked)
    assert made.marked("equipment") == {}


def test_a_sweep_marks_its_points(inventory: Inventory) -> None:
    old = few(inventory, "VFD-201")
    (drive,) = old.drives
    faster = replace(drive, min_frequency=replace(drive.min_frequency, amount=drive.min_frequency.amount + 3))
    marked = Reissued(old, replace(old, drives=(faster,))).marked("VFD-201")
    assert {"0 limit", "0 read"} <= marked["sweep-1"]
    assert "0" in marked["Expected"]


def test_a_drive_that_came_is_marked_and_one_that_went_is_struck(inventory: Inventory) -> None:
    old, new = (
        replace(few(inventory, *tags), cables=tuple(c for c in inventory.cables if c.drive in tags))
        for tags in (("VFD-201", "VFD-501"), ("VFD-201", "VFD-602"))
    )
    made = Reissued(old, new)
    for name in ("equipment", "power-cables", "labels", "gates", "trace"):
        rows = [row for d in made.binder.documents if d.kind == "schedule" for t in tables_of(made, d, name)
                for row in t["rows"]]  # fmt: skip
        assert rows, name
        come = [row for row in rows if "602" in row.key]
        gone = [row for row in rows if "501" in row.key]
        assert come, name
        assert gone, name
        assert not [row.key for row in (*come, *gone) if row.revision != "B"], name
        assert {row.kind for row in gone} == {"removed"}, name
        assert not [row.key for row in rows if "VFD-201" in row.key and row.revision], name


def tables_of(made: Reissued, document: Document, name: str) -> Iterator[own.data_table]:
    for section in made.binder.body(document):
        for table in section.findall(own.data_table):
            if name in (*table["ids"], section_of(table)):
                yield table


def test_site_schedules_mark_the_rows_of_what_changed(inventory: Inventory) -> None:
    old = few(inventory, "VFD-201", "VFD-501")
    motor = next(m for m in old.motors if m.tag == "M-201")
    person, panel, node = old.people[0], old.panels[0], old.networks[0]
    new = replace(
        old,
        motors=tuple(replace(m, current=replace(m.current, amount=m.current.amount + 1)) if m is motor else m
                     for m in old.motors),
        people=(replace(person, telephone="555-0199"), *old.people[1:]),
        panels=(replace(panel, place="Other room"), *old.panels[1:]),
        networks=tuple(replace(n, address="77") if n is node else n for n in old.networks),
    )  # fmt: skip
    made = Reissued(old, new)
    assert made.marked("equipment") == {"equipment": {"VFD-201"}, "panels": {panel.tag}}
    assert made.marked("network") == {"network": {node.drive}}
    assert made.marked("front")["People and their initials"] == {person.name}


class Counted(dict[Key, Fact]):
    """Facts that count how often somebody goes through all of them."""

    times = 0

    def items(self) -> ItemsView[Key, Fact]:
        self.times += 1
        return super().items()


def test_a_larger_site_is_not_gone_through_more_often(inventory: Inventory) -> None:
    def times(*tags: str) -> int:
        old = few(inventory, *tags)
        people = (replace(old.people[0], telephone="555-0199"), *old.people[1:])
        drives = tuple(replace(d, min_frequency=measure("9", "Hz")) for d in old.drives)
        first = freeze(study_site(old), imprint=A)
        second = freeze(study_site(replace(old, drives=drives, people=people)), imprint=B, former=first)
        before, after = Counted(first.facts), Counted(second.facts)
        marks = marks_of([replace(first, facts=before), replace(second, facts=after)])
        assert set(tags) <= {second.tags.get(key) for key in marks}
        return before.times + after.times

    assert times("VFD-201") == times("VFD-201", "VFD-501", "VFD-602")
