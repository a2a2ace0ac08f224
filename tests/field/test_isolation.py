"""Energies, isolators and steps of the lockout card."""

from __future__ import annotations

from dataclasses import replace

import pytest
from field_site import DRIVE, FIGURES, MACHINE, MAIN, MODEL, MOTOR, TAG, WIRING, on_bench, origin, site

from binder.field.isolation import lockout_card
from binder.inventory.findings import Grade
from binder.inventory.quantities import measure
from binder.inventory.records import Control, Drive, Inventory, Isolator


def control(scheme: str, **changes: object) -> Control:
    return replace(Control(TAG, scheme, origin=origin("Controls", 9, "scheme")), **changes)


def drive(**changes: object) -> tuple[Drive, ...]:
    return (replace(DRIVE, **changes),)


OTHER = Drive("VFD-8", common_dc_bus="BUS-A", motor="M-8")

#: kind of energy, changes that bring it in, code, cell of the finding.
CASES: list[tuple[str, dict[str, object], str, str]] = [
    ("incoming supply", {"isolators": ()}, "F101", "Drives!B5"),
    ("external 24 V", {"controls": (control("external 24 V"),)}, "F102", "Controls!B9"),
    ("external 24 V", {"drives": drive(control_supply="external")}, "F102", "Drives!E5"),
    ("control supply", {"controls": (control("interposing relay", value=measure(120, "V")),)}, "F102", "Controls!B9"),
    ("space heater", {"motors": (replace(MOTOR, space_heater_voltage=measure(120, "V")),)}, "F103", "Motors!B6"),
    ("space heater", {"controls": (control("space heater"),)}, "F103", "Controls!B9"),
    ("bypass", {"drives": drive(bypass="manual")}, "F104", "Drives!C5"),
    ("common DC bus", {"drives": (*drive(common_dc_bus="BUS-A"), OTHER)}, "F105", "Drives!D5"),
    ("other drive", {"drives": (DRIVE, Drive("VFD-8", motor="M-9"))}, "F106", "Drives!F5"),
    ("other drive", {"controls": (control("lead-lag"),)}, "F106", "Controls!B9"),
    ("back-spin", {"machines": (replace(MACHINE, backspin=True),)}, "F107", "Machines!B7"),
    ("gravity", {"machines": (replace(MACHINE, gravity=True),)}, "F107", "Machines!C7"),
    ("trapped pressure", {"machines": (replace(MACHINE, trapped_pressure=True),)}, "F107", "Machines!D7"),
    ("spring", {"machines": (replace(MACHINE, spring=True),)}, "F107", "Machines!E7"),
    ("permanent-magnet motor", {"motors": (replace(MOTOR, permanent_magnet=True),)}, "F108", "Motors!C6"),
    ("motor fan", {"controls": (control("motor fan"),)}, "F109", "Controls!B9"),
    ("brake coil supply", {"controls": (control("mechanical brake"),)}, "F109", "Controls!B9"),
    ("relay circuit of others", {"controls": (control("run relay", value=measure(120, "V")),)}, "F109", "Controls!B9"),
]


@pytest.mark.parametrize(("energy", "changes", "code", "cell"), CASES, ids=[f"{c[0]}, {c[3]}" for c in CASES])
def test_energy_without_isolator_is_a_stop_at_its_cell(
    energy: str, changes: dict[str, object], code: str, cell: str
) -> None:
    card = lockout_card(on_bench(site(**changes)))
    source = next(s for s in card.sources if s.kind == energy)
    assert source.isolator == "NONE NAMED"
    [finding] = card.findings
    assert (finding.code, finding.grade, f"{finding.sheet}!{finding.cell}") == (code, Grade.STOP, cell)
    name = f"{energy[0].upper()}{energy[1:]}"
    assert any(s.startswith(f"{name}: NONE NAMED. DO NOT START") for s in card.steps)


def test_relay_circuit_without_voltage_is_never_taken_for_dry() -> None:
    rows = tuple(
        control(scheme, devices="A=PLC-9", origin=origin("Controls", 9, "value"))
        for scheme in ("fault relay", "run relay")
    )
    card = lockout_card(on_bench(site(controls=rows)))
    [source] = [s for s in card.sources if s.kind == "relay circuit of others"]
    assert source.magnitude == "relay circuit of PLC-9, voltage not in the inventory"
    assert source.isolator == "NONE NAMED"
    assert [(f.code, f.grade, f"{f.sheet}!{f.cell}") for f in card.findings] == [("F118", Grade.CAUTION, "Controls!B9")]
    own = Isolator("X-1", "circuit breaker", "room 1", "relay circuit of others", (TAG,), lockable=True)
    card = lockout_card(on_bench(site(controls=rows, isolators=(MAIN, own))))
    assert next(s for s in card.sources if s.kind == "relay circuit of others").isolator == "X-1"
    assert [f.code for f in card.findings] == ["F118"], "an isolator does not tell the voltage"


@pytest.mark.parametrize(("energy", "changes"), [(c[0], c[1]) for c in CASES[1:]], ids=[c[0] for c in CASES[1:]])
def test_energy_with_isolator_is_listed_with_place_and_proof(energy: str, changes: dict[str, object]) -> None:
    own = Isolator("X-1", "disconnect switch", "at the machine", energy, (TAG,), lockable=True, proof="seen gone")
    card = lockout_card(on_bench(site(**changes, isolators=(MAIN, own))))
    source = next(s for s in card.sources if s.kind == energy)
    assert (source.isolator, source.place, source.proof) == ("X-1", "at the machine", "seen gone")
    assert not card.findings
    assert any(s.startswith(f"{energy[0].upper()}{energy[1:]}: X-1, at the machine") for s in card.steps)


def test_isolator_named_by_the_motor_serves_with_any_word_for_electricity() -> None:
    heater = replace(MOTOR, space_heater_voltage=measure(120, "V"), space_heater_isolator="LP-2/7")
    own = Isolator("LP-2/7", "circuit breaker", "panel LP-2", "electrical", (), lockable=True)
    named = Isolator("LP-2/7", "circuit breaker", "panel LP-2", "electrical", (TAG,), lockable=True)
    alone = lockout_card(on_bench(site(motors=(heater,), isolators=(MAIN, own))))
    assert [f.code for f in alone.findings] == ["F103"], "an isolator must name the drives that it serves"
    card = lockout_card(on_bench(site(motors=(heater,), isolators=(MAIN, named))))
    assert not card.findings
    supply, heated = (next(s for s in card.sources if s.kind == k) for k in ("incoming supply", "space heater"))
    assert (supply.isolator, heated.isolator) == ("DS-9", "LP-2/7")


@pytest.mark.parametrize(
    "kind",
    ["stop key", "selector", "selector switch", "hand-off-auto switch", "HOA", "emergency stop", "E-stop pushbutton",
     "safe torque off", "STO", "run enable", "keypad", "push button", "guard interlock", "contactor", "control relay",
     "limit switch", "software stop"],
)  # fmt: skip
def test_control_device_is_refused_as_isolator(kind: str) -> None:
    wrong = replace(MAIN, kind=kind)
    card = lockout_card(on_bench(site(isolators=(wrong,))))
    [finding] = card.findings
    assert (finding.code, finding.grade, finding.cell) == ("F110", Grade.STOP, "B4")
    assert card.sources[0].isolator == "REFUSED: DS-9 is a control device"


@pytest.mark.parametrize(
    "kind",
    ["disconnect switch", "fused disconnect", "circuit breaker", "safety switch", "stop valve", "blind flange",
     "interlocked disconnect", "locking pin", ""],
)  # fmt: skip
def test_a_device_that_parts_the_circuit_is_taken(kind: str) -> None:
    assert not lockout_card(on_bench(site(isolators=(replace(MAIN, kind=kind),)))).findings


def test_device_drawn_as_selector_is_refused_whatever_its_kind_says() -> None:
    wrong = Isolator("S1", "lockable switch", "door", "electrical", (TAG,), lockable=True)
    card = lockout_card(on_bench(site(drives=drive(isolator="S1"), isolators=(wrong,))))
    assert [f.code for f in card.findings] == ["F110"]
    assert any(w.startswith("-S1: selector") for w in card.not_isolators)


def test_motor_isolator_does_not_isolate_the_drive() -> None:
    behind = Isolator("DS-9M", "motor isolator", "at the pump", "electrical", (TAG,), lockable=True)
    card = lockout_card(on_bench(site(isolators=(MAIN, behind))))
    assert card.sources[0].isolator == "DS-9"
    assert "DS-9M: motor isolator, for work on the drive" in card.not_isolators
    alone = lockout_card(on_bench(site(drives=drive(isolator="DS-9M"), isolators=(behind,))))
    assert [f.code for f in alone.findings] == ["F101"]


def test_isolator_that_takes_no_lock_is_a_stop() -> None:
    card = lockout_card(on_bench(site(isolators=(replace(MAIN, lockable=False),))))
    assert [(f.code, f.grade, f.cell) for f in card.findings] == [("F111", Grade.STOP, "C4")]
    unknown = lockout_card(on_bench(site(isolators=(replace(MAIN, lockable=None),))))
    assert [(f.code, f.grade) for f in unknown.findings] == [("F115", Grade.CAUTION)]


def test_charge_is_shown_with_label_time_and_computed_figures() -> None:
    card = lockout_card(on_bench(site()))
    assert (card.wait_minutes, card.wait_source) == (5.0, "Invented manual Q, page 12")
    assert (card.bus_volts, card.stored_energy_j, card.computed_discharge_s) == (678.8, 138.0, 130.0)
    assert any("below 50 V DC" in step and "The meter decides" in step for step in card.steps)


def test_missing_wait_time_is_a_stop_and_nothing_is_assumed() -> None:
    card = lockout_card(on_bench(site(models=(replace(MODEL, wait_time=None),))))
    assert card.wait_minutes is None
    assert [(f.code, f.sheet, f.cell) for f in card.findings] == [("F113", "Models", "B8")]
    assert any("minutes on the drive's label" in s for s in card.steps)


def test_steps_stand_in_the_order_that_protects() -> None:
    steps = lockout_card(on_bench(site())).steps
    order = [next(i for i, s in enumerate(steps) if w in s) for w in
             ("normal stop", "DS-9", "own lock", "Try to start", "Wait 5 minutes", "Open the covers", "Prove the meter",
              "where the site's procedure")]  # fmt: skip
    assert order == sorted(order)
    proof = steps[order[6]]
    assert proof.index("Prove the meter on") < proof.index("Measure") < proof.index("Prove the meter again"), (
        "live-dead-live"
    )


def test_test_points_carry_the_printed_terminals_of_this_drive() -> None:
    points = lockout_card(on_bench(site())).test_points
    assert points[0] == "Line: 91 L1 to 92 L2, 92 L2 to 93 L3, 93 L3 to 91 L1, each to PE: 0 V AC"
    assert points[1] == "DC link: 94 DC+ to 95 DC-, each to PE: below 50 V DC"
    assert any("Relay contacts" in p for p in points)


def test_each_code_basis_defers_to_its_own_rules() -> None:
    def rules(basis: str) -> str:
        inventory: Inventory = site()
        card = lockout_card(on_bench(replace(inventory, site=replace(inventory.site, code_basis=basis))))
        return " ".join((*card.rules, *card.steps, card.inspection_rule))

    us, iec = rules("NEC"), rules("IEC")
    assert all(w in us for w in ("29 CFR 1910.147", "1910.333", "NFPA 70E", "1910.147(c)(6)"))
    assert "EN 50110-1" in iec
    assert "29 CFR" not in iec
    assert "short-circuit" in iec


def test_automatic_start_is_told_before_the_locks_go_on() -> None:
    card = lockout_card(on_bench(site(drives=drive(restart_on_power_return=True))))
    assert any("may start by itself (return of power)" in s for s in card.steps[:4])
    assert any("may start by itself" in s for s in card.return_steps)


def test_card_without_wiring_and_figures_still_stands() -> None:
    card = lockout_card(on_bench(site(), wiring=replace(WIRING, devices=(), terminals=()), figures=type(FIGURES)()))
    assert card.sources[1].magnitude.startswith("energy not computed")


def test_each_of_two_isolators_says_how_it_is_isolated_and_proved() -> None:
    valve = replace(MAIN, tag="V-7", energy="back-spin", method="Close, chain and lock.", proof="No flow runs back.")
    pin = replace(valve, tag="B-7", method="Pin the shaft.")
    machines = (replace(MACHINE, backspin=True),)
    card = lockout_card(on_bench(site(machines=machines, isolators=(MAIN, valve, pin))))
    source = next(s for s in card.sources if s.kind == "back-spin")
    assert source.method == "B-7: Pin the shaft; V-7: Close, chain and lock"
    assert source.proof == "No flow runs back."
    assert any("B-7: Pin the shaft" in step for step in card.steps)
