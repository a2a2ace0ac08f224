"""Terminals against settings, settings against tests."""

from __future__ import annotations

from dataclasses import replace

from settings_cases import MODEL, WIRING, inventory, table

from binder.settings.crossref import READ_BACK, proved
from binder.wiring.connections import DriveTerminal


def test_each_terminal_stands_beside_its_setting() -> None:
    rows = {t.terminal: t for t in table().terminals}
    assert (rows["13"].number, rows["13"].required, rows["13"].agrees) == ("20", "run forward", True)
    assert (rows["14"].wired_for, rows["14"].required, rows["14"].agrees) == ("", "not used", True)
    assert (rows["2"].number, rows["2"].required, rows["2"].agrees) == ("22", "0-10 V", True)


def test_a_wired_terminal_without_setting_is_told() -> None:
    more = replace(WIRING, terminals=(*WIRING.terminals, DriveTerminal("31", "RO1", "RO1.C", 9, "fault"),
                                      DriveTerminal("32", "RO1", "RO1.NO", 10, "fault")))  # fmt: skip
    made = table(wiring=more)
    assert [t.terminal for t in made.terminals if not t.agrees] == ["31"]
    assert [(f.code, f.tag) for f in made.findings] == [("S131", "VFD-1")]


def test_an_override_against_the_wire_does_not_agree() -> None:
    model = tuple(s for s in MODEL if s.number != "20")
    made = table(inventory(model))
    assert next(t for t in made.terminals if t.terminal == "13").agrees is False


def test_proofs_by_function_by_number_and_by_reading_back() -> None:
    made = proved(table(), [("V4", ("command_source",)), ("T2", ("3",)), ("R1", ("command_source", "W1:x"))])
    rows = {r.number: r.proved_by for r in (*made.rows, *made.untouched)}
    assert rows["4"] == "V4, R1"
    assert rows["3"] == "T2"
    assert rows["7"] == READ_BACK and rows["62"] == READ_BACK
