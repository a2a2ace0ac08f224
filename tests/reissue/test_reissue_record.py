"""Issue records: sealed, sorted, and read back as written."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from binder.inventory.quantities import Measure, measure
from binder.reissue.compare import compare, unexplained
from binder.reissue.facts import Fact, canonical
from binder.reissue.record import IssuedDocument, IssueRecord, RecordError, dumps, facts_digest, loads, next_letter
from binder.reissue.store import IssueStore
from binder.reissue.words import changes_text

RAMP = Fact(
    ("k1", "setting", "acceleration_time", "value"),
    "10 s",
    "31 Ramp up: 10 s",
    ("sheet=acceleration of the sheet Drives",),
)
SPEED = Fact(("k1", "figure", "motor.slip", "value"), "2.2222", "2.22 %", ("speed=1760 rpm",), "textbook v1")
WIRE = Fact(("k1", "wire", "-S1:13--T1:10", "ends"), "-T1:10 to -S1:13", "-T1:10 to -S1:13")


def record(*facts: Fact, revision: str = "A", **more: object) -> IssueRecord:
    documents = (IssuedDocument("X-P1", "k1", "P1 pump", "A", "2026-01-05", facts_digest(facts), "look"),)
    base = IssueRecord(
        revision,
        "2026-01-05",
        "A. Example",
        "first",
        "w",
        "0.1.0",
        documents=documents,
        facts={f.key: f for f in facts},
        tags={"k1": "P-1"},
    )
    return replace(base, **more)


def test_a_record_reads_back_as_written() -> None:
    written = record(RAMP, SPEED, WIRE, wiring={"k1": {"drive": "P-1", "designation": "-T1"}})
    assert loads(dumps(written)) == written


def test_the_order_of_facts_leaves_no_trace() -> None:
    assert dumps(record(RAMP, SPEED)) == dumps(record(SPEED, RAMP))
    assert facts_digest([RAMP, SPEED]) == facts_digest([SPEED, RAMP])


@pytest.mark.parametrize("position", ["first", "middle", "last"])
def test_a_changed_character_is_seen(position: str) -> None:
    text = dumps(record(RAMP, SPEED, WIRE))
    at = {"first": text.index("A. Example"), "middle": text.index("10 s"), "last": text.index("-T1:10")}[position]
    damaged = text[:at] + ("Z" if text[at] != "Z" else "Y") + text[at + 1 :]
    with pytest.raises(RecordError, match="changed after it was issued"):
        loads(damaged)


def test_a_cut_record_is_refused() -> None:
    text = dumps(record(RAMP))
    with pytest.raises(RecordError, match=r"cut short|changed after"):
        loads(text[: len(text) // 2])


@pytest.mark.parametrize(
    ("letter", "after"),
    [("", "A"), ("A", "B"), ("H", "J"), ("N", "P"), ("Z", "AA"), ("ZZ", "AAA")],
)
def test_letters_skip_i_and_o(letter: str, after: str) -> None:
    assert next_letter(letter) == after


def test_a_letter_not_in_use_is_refused() -> None:
    with pytest.raises(ValueError, match="no revision letter"):
        next_letter("1")


@pytest.mark.parametrize(
    ("letter", "skip", "after"),
    [("H", "", "I"), ("N", "", "O"), ("P", "IOQSXZ", "R"), ("W", "IOQSXZ", "Y"), ("I", "IO", "J")],
)
def test_letters_to_skip_are_a_choice(letter: str, skip: str, after: str) -> None:
    assert next_letter(letter, skip=skip) == after


def test_a_record_remembers_the_letters_it_skips() -> None:
    assert loads(dumps(record(RAMP, skip="IOQSXZ"))).skip == "IOQSXZ"
    assert loads(dumps(record(RAMP))).skip == "IO"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (measure("9.2", "kW"), measure("9200", "W")),
        (measure("0.4", "kV"), measure("400", "V")),
        (Measure(Decimal("1.50"), "m"), Measure(Decimal("1500"), "mm")),
        ("two  words ", "two words"),
    ],
)
def test_respelling_is_no_change(one: object, other: object) -> None:
    assert canonical(one) == canonical(other)


def test_horsepower_is_not_kilowatts() -> None:
    assert canonical(measure("10", "hp")) != canonical(measure("7.46", "kW"))


def test_a_changed_ramp_names_cause_test_and_signature() -> None:
    typed = Fact(("k1", "drive", "drive", "acceleration_time"), "10 s", "10 s", cell="Drives!F3")
    slower = replace(RAMP, value="15 s", show="31 Ramp up: 15 s")
    changes = compare(record(RAMP, typed), record(slower, replace(typed, value="15 s", show="15 s"), revision="B"))
    assert [c.tag for c in changes] == ["P-1", "P-1"]
    text = changes_text(changes)
    assert "setting 31 Ramp up: 10 s -> 15 s, because Drives!F3 drive acceleration time: 10 s -> 15 s" in text
    assert "Repeat: ramps." in text
    assert "Void: may be loaded, accepted." in text


def test_a_figure_that_moves_by_itself_is_unexplained() -> None:
    moved = replace(SPEED, value="2.3", show="2.3 %")
    assert [c.kind for c in unexplained(compare(record(SPEED), record(moved, revision="B")))] == ["unexplained"]


def test_a_corrected_rule_is_a_change_with_its_reason() -> None:
    moved = replace(SPEED, value="2.3", show="2.3 %", rule="textbook v2")
    (change,) = compare(record(SPEED), record(moved, revision="B"))
    assert change.kind == "corrected computation"
    assert change.chain == ("rule textbook v1 became textbook v2",)


def test_a_new_figure_of_newer_software_voids_nothing() -> None:
    (change,) = compare(record(RAMP), record(RAMP, SPEED, revision="B", software="0.2.0"))
    assert change.kind == "new computation"
    assert not change.consequence.signatures


def test_a_removed_drive_is_one_line() -> None:
    changes = compare(record(RAMP, SPEED, WIRE), record(revision="B", tags={}, documents=()))
    assert [c.words for c in changes] == ["P-1 removed. X-P1 is withdrawn, its last revision stays A."]


def test_the_store_chains_records(tmp_path) -> None:
    store = IssueStore(tmp_path / "issues")
    assert store.latest() is None
    store.commit(record(RAMP), [])
    store.commit(record(RAMP, WIRE, revision="B", former=store.latest_digest()), [])
    assert [r.revision for r in store.records()] == ["A", "B"]


def test_the_same_letter_twice_is_refused(tmp_path) -> None:
    store = IssueStore(tmp_path / "issues")
    store.commit(record(RAMP), [])
    with pytest.raises(RecordError, match="issued already"):
        store.commit(record(WIRE), [])
    assert store.latest() == record(RAMP)


def test_two_first_issues_are_told(tmp_path) -> None:
    store = IssueStore(tmp_path)
    (tmp_path / "A.jsonl").write_text(dumps(record(RAMP)), encoding="utf-8")
    (tmp_path / "B.jsonl").write_text(dumps(record(WIRE, revision="B")), encoding="utf-8")
    with pytest.raises(RecordError, match="do not follow"):
        store.records()


def test_an_interrupted_issue_is_cleared_and_told(tmp_path) -> None:
    store = IssueStore(tmp_path)
    store.commit(record(RAMP), [])
    (tmp_path / "B").mkdir()
    (tmp_path / ".being-issued").mkdir()
    said = store.clear_interrupted()
    assert len(said) == 2
    assert sorted(p.name for p in tmp_path.iterdir()) == ["A", "A.jsonl"]
