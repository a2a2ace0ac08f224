"""Changes in words: causes, crowds in one line, moved wires, renamed drives."""

from __future__ import annotations

from dataclasses import replace

from binder.reissue.compare import Change, compare
from binder.reissue.facts import Fact, Key
from binder.reissue.record import IssuedDocument, IssueRecord
from binder.reissue.words import changes_text, lines_of, needs


def fact(*key: str, value: str, show: str = "", cause: tuple[str, ...] = (), rule: str = "", cell: str = "") -> Fact:
    owner, group, item, name = key
    return Fact((owner, group, item, name), value, show or value, cause, rule, cell)


def record(*facts: Fact, tags: dict[str, str] | None = None, revision: str = "A") -> IssueRecord:
    names = tags if tags is not None else {"k1": "P-1"}
    documents = tuple(
        IssuedDocument(f"X-{tag}", key, f"{tag} pump", "A", "2026-01-05", "", "") for key, tag in names.items()
    )
    found: dict[Key, Fact] = {f.key: f for f in facts}
    return IssueRecord(
        revision, "2026-01-05", "A. Example", "first", "w", "1", documents=documents, facts=found, tags=names
    )


def test_a_cell_reaches_a_setting_through_a_figure() -> None:
    def state(speed: str, slip: str, setting: str) -> IssueRecord:
        return record(
            fact("k1", "motor", "motor", "speed", value=f"{speed} rpm", cell="Motors!G4"),
            fact("k1", "figure", "motor.slip", "value", value=slip, show=f"Slip: {slip} %",
                 cause=(f"motor speed={speed} rpm",), rule="textbook v1"),
            fact("k1", "setting", "slip", "value", value=setting, show=f"12 Slip: {setting} Hz",
                 cause=("figure motor.slip=rated slip",)),
        )  # fmt: skip

    changes = compare(state("1760", "2.22", "1.3"), state("1740", "3.33", "2.0"))
    setting = next(c for c in changes if c.key[1] == "setting")
    assert setting.chain == ("Motors!G4 motor speed: 1760 rpm -> 1740 rpm", "figure Slip: 2.22 % -> 3.33 %")
    assert "setting 12 Slip: 1.3 Hz -> 2.0 Hz" in setting.words


def test_a_figure_with_an_input_it_does_not_list_is_explained_by_the_drive() -> None:
    def state(length: str, value: str) -> IssueRecord:
        return record(
            fact("k1", "cable", "W1", "length", value=length),
            fact("k1", "figure", "drop.line", "value", value=value, rule="code v1"),
        )

    kinds = {c.key[1]: c.kind for c in compare(state("10 m", "1"), state("20 m", "2"))}
    assert kinds == {"cable": "changed", "figure": "changed"}


def swapped() -> tuple[Change, ...]:
    functions = [f"function_{n}" for n in range(60)]

    def state(model: str, first: int) -> IssueRecord:
        rows = [fact("k1", "drive", "drive", "model", value=model, cell="Drives!G2")]
        for n, function in enumerate(functions):
            rows += [
                fact("k1", "setting", function, "number", value=f"{first + n}"),
                fact("k1", "setting", function, "value", value="9 s", show=f"{first + n} Name: 9 s"),
            ]
        return record(*rows)

    return compare(state("QA-1", 100), state("QB-7", 2000))


def test_sixty_settings_of_another_model_are_one_line() -> None:
    lines = lines_of(swapped())
    assert len(lines) == 2
    crowd = next(line for line in lines if line.table_behind)
    assert crowd.words.startswith("60 settings: 60 have another number, 0 another value")
    assert "Drives!G2 drive model: QA-1 -> QB-7" in crowd.words
    assert len(crowd.members) == 60


def wired(*ends: tuple[str, str, str]) -> IssueRecord:
    rows = []
    for number, a, b in ends:
        rows += [
            fact("k1", "wire", f"{a}~{b}", "ends", value=f"{a} to {b}", show=f"{number}, {a} to {b}"),
            fact("k1", "wire", f"{a}~{b}", "number", value=number),
            fact("k1", "wire", f"{a}~{b}", "conductor", value="BU 18 AWG"),
        ]
    return record(*rows)


def test_a_moved_wire_is_one_change() -> None:
    changes = compare(wired(("109", "X1:3", "A1:3")), wired(("109", "X1:3", "A1:9")))
    assert [c.words for c in changes] == ["wire 109 moved from A1:3 to A1:9; its end at X1:3 stays"]
    tests, labels, _ = needs(changes)
    assert tests[0] == "point-to-point of wire 109"
    assert labels == ("wire marker 109",)


def test_an_added_wire_is_one_change() -> None:
    changes = compare(wired(), wired(("109", "X1:3", "A1:3")))
    assert [(c.kind, c.new) for c in changes] == [("added", "109, X1:3 to A1:3")]


def test_a_rename_with_its_key_is_a_rename() -> None:
    old = record(fact("k1", "drive", "drive", "tag", value="P-309"), tags={"k1": "P-309"})
    new = record(fact("k1", "drive", "drive", "tag", value="P-318"), tags={"k1": "P-318"})
    (change,) = compare(old, new)
    assert change.kind == "renamed"
    assert change.words.startswith("renamed P-309 -> P-318; tests and readings stand")
    assert "trial lockout by the owner" in change.consequence.tests


def test_a_rename_without_its_key_is_asked_for() -> None:
    rows = [
        ("motor", "motor", "power", "9.2 kW"),
        ("drive", "drive", "serial", "S-1"),
        *(("setting", f"f{n}", "value", f"{n}") for n in range(20)),
    ]
    old = record(*(fact("k1", *r[:3], value=r[3]) for r in rows), tags={"k1": "P-309"})
    new = record(*(fact("k2", *r[:3], value=r[3]) for r in rows), tags={"k2": "P-318"})
    asked = next(c for c in compare(old, new) if c.kind == "renamed?")
    assert "P-309 is gone and P-318 is new, 100% alike, same serial number: renamed?" in asked.words
    assert "Formerly" in asked.words


def test_two_different_drives_are_not_taken_for_one() -> None:
    old = record(*(fact("k1", "setting", f"f{n}", "value", value="1") for n in range(20)), tags={"k1": "P-309"})
    new = record(*(fact("k2", "setting", f"f{n}", "value", value="2") for n in range(20)), tags={"k2": "P-318"})
    assert {c.kind for c in compare(old, new)} == {"added", "removed"}


def test_typing_voids_nothing() -> None:
    old = record(fact("k1", "drive", "drive", "remark", value="near door"))
    new = record(fact("k1", "drive", "drive", "remark", value="near the door"))
    text = changes_text(compare(old, new))
    assert "near door -> near the door" in text
    assert "Void" not in text
    assert "Repeat" not in text


def test_plain_data_for_programs() -> None:
    data = swapped()[0].as_dict()
    assert {"tag", "kind", "words", "chain", "consequence", "key"} <= data.keys()
    assert isinstance(data["key"], list)


def test_reordering_is_no_change() -> None:
    rows = [fact("k1", "motor", "motor", "power", value="9 kW"), fact("k1", "motor", "motor", "tag", value="M-1")]
    assert compare(record(*rows), replace(record(*reversed(rows)), revision="B")) == ()
