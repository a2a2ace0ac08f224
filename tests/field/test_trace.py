"""Requirement, test, result."""

from __future__ import annotations

from dataclasses import replace

from field_site import WIRING, pack_of, read, site

from binder.wiring.connections import Mode


def rows(**readings: str) -> dict[str, tuple[str, tuple[str, ...]]]:
    found = tuple(read(test, value, row=10 + n) for n, (test, value) in enumerate(readings.items()))
    permit = replace(WIRING, modes=(Mode("always", "terminals", "AI1", ("FS-9",)),))
    return {r.requirement: (r.result, r.lines) for r in pack_of(site(readings=found), wiring=permit).trace}


def test_every_wire_setting_and_permissive_has_its_line() -> None:
    found = rows()
    wire = found["-S1:14 to -T1:3 (wire 101)"]
    assert wire == ("open", ("P1.S1:14-T1:3", "V1.3/2.S1-in-ON", "V1.3/2.S1-in-OFF"))
    assert found["FS-9 stops the drive in every mode"] == ("open", ("V3.always.FS-9",))
    assert found["Q40 overload current: 27.0"] == ("open", ("S2", "T1", "T2"))
    assert all(result != "no test" for result, _ in found.values())


def test_result_follows_the_readings() -> None:
    assert rows(**{"V3.always.FS-9": "yes"})["FS-9 stops the drive in every mode"][0] == "pass"
    assert rows(**{"V3.always.FS-9": "no"})["FS-9 stops the drive in every mode"][0] == "fail"
