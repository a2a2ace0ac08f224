"""Test sheets: every line has a limit with its source, and limits equal the tables of the standards."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace

import pytest
from field_site import (
    DRIVE,
    MODEL,
    MOTOR,
    POT,
    RUN,
    SETTINGS,
    TAG,
    WIRING,
    figures,
    line,
    on_bench,
    pack_of,
    setting,
    site,
)

from binder.engineering.tables import load
from binder.field.sheets import GATES
from binder.field.tests import STAGES
from binder.field.tests import test_sheets as make_sheets
from binder.field.tests_dead import reforming
from binder.field.tests_loaded import detectable, vibration_limit
from binder.field.tests_schemes import CONTROLS, PROCESS, TRIPS, UNCOUPLED, SchemeTest
from binder.inventory.quantities import measure
from binder.inventory.records import Control, Isolator, NetworkNode, Supply
from binder.settings.table import RestartHazard
from binder.wiring.connections import DriveTerminal, Expected, Hazard


def everything() -> dict[str, object]:
    """Changes that bring in every stage."""
    schemes = (
        "two-wire run", "speed potentiometer", "4-20 mA reference", "safe torque off", "bypass", "process control",
        "network", "thermistor", "motor isolator contact", "preset speeds", "jog", "forward-reverse",
        "three-wire start-stop", "brake resistor thermal switch", "damper proof", "mechanical brake", "motor fan",
    )  # fmt: skip
    return {
        "drives": (replace(DRIVE, bypass="manual", brake_resistance=measure(40, "Ω"), skip_frequency=measure(33, "Hz"),
                           flying_start=True, automatic_resets=3),),
        "controls": tuple(Control(TAG, s) for s in schemes),
        "networks": (NetworkNode(TAG, timeout=measure(5, "s"), loss_reaction="trip"),),
        "motors": (replace(MOTOR, thermal_sensor="thermistor", space_heater_voltage=measure(120, "V")),),
        "isolators": (Isolator("DS-9", "disconnect switch", "MCC", "electrical", (TAG,), lockable=True),),
    }  # fmt: skip


@pytest.mark.parametrize("full", [False, True], ids=["plain drive", "drive with every scheme"])
def test_every_line_names_what_limit_and_source(full: bool) -> None:
    pack = pack_of(site(**everything()) if full else site())
    assert len(pack.lines) > 60
    for entry in pack.lines:
        assert entry.what, entry.id
        assert entry.source, entry.id
        assert entry.limit, entry.id
        if entry.kind in ("measure", "computed") and entry.id != "S2":
            assert entry.low is not None or entry.high is not None, entry.id
        if entry.low is not None and entry.high is not None:
            assert entry.low < entry.high, entry.id


@pytest.mark.parametrize("full", [False, True], ids=["plain drive", "drive with every scheme"])
def test_line_ids_are_unique_and_typable(full: bool) -> None:
    pack = pack_of(site(**everything()) if full else site())
    ids = [entry.id.casefold() for entry in pack.lines]
    assert len(ids) == len(set(ids))
    assert all(re.fullmatch(r"[A-Z][0-9]+\S*", entry.id) for entry in pack.lines)
    for sheet in pack.sheets:
        assert all(entry.id.startswith(sheet.id) for entry in sheet.lines)


def test_ids_do_not_move_when_another_scheme_is_added() -> None:
    before = {e.id: e.what for e in pack_of(site()).lines}
    after = {e.id: e.what for e in pack_of(site(controls=(*site().controls, Control(TAG, "network")))).lines}
    assert before.items() <= after.items()


def test_a_stage_that_does_not_apply_says_why() -> None:
    sheets = {s.id: s for s in pack_of(site()).sheets}
    for letter in "FBQ":
        assert not sheets[letter].lines
        assert not sheets[letter].cautions
        assert "inventory" in sheets[letter].left_out[0]


def test_stages_follow_the_gates_and_each_letter_is_used_once() -> None:
    places = [GATES.index(stage.gate) for stage in STAGES]
    assert places == sorted(places)
    assert len({stage.id for stage in STAGES}) == len(STAGES)
    assert [s.id for s in make_sheets(on_bench(site()))] == [stage.id for stage in STAGES]


def test_winding_limit_is_that_of_the_table() -> None:
    rows = load("ieee_43_insulation").rows_where(parameter="min_insulation_resistance_40c")
    least = next(float(r["value_min"]) for r in rows if "random-wound" in r["applies_to"])
    pack = pack_of(site())
    assert line(pack, "R2.C").low == least == 5
    assert "500 V DC" in line(pack, "R2.M").condition, "IEEE 43-2013 table of test voltages"
    assert "20 MΩ at 20 °C" in line(pack, "R2.M").expected, "halving per 10 K: 5 MΩ x 4"


@pytest.mark.parametrize(
    ("volts", "key"), [(400, "up_to_500_v"), (690, "above_500_v")], ids=["IEC 60364-6:2016 T6.1, 400 V", "690 V"]
)
def test_iec_cable_limit_is_that_of_the_table(volts: int, key: str) -> None:
    inventory = site(supplies=(Supply("T-9", measure(volts, "V"), measure(50, "Hz"), 3, "TN-S"),))
    inventory = replace(inventory, site=replace(inventory.site, code_basis="IEC"))
    row = load("iec_60364_6_insulation").row(circuit_key=key)
    found = line(pack_of(inventory), "R1.C-9M")
    assert found.low == float(row["min_resistance_mohm"])
    assert found.condition.startswith(f"{float(row['test_voltage_dc_v']):g} V DC")


def test_unbalance_and_line_volts_follow_nema() -> None:
    facts = load("nema_mg1_facts")
    never = facts.number("value", key="voltage_unbalance_operation_not_recommended_above")
    share = facts.number("value", key="voltage_tolerance_at_rated_frequency")
    pack = pack_of(site())
    assert line(pack, "E1.U").high == 3
    assert f"never above {never:g} %" in line(pack, "E1.U").limit
    volts = line(pack, "E1.L12")
    assert volts.low == pytest.approx(480 * (1 - share / 100))
    assert volts.high == 500, "the drive's own band is narrower than +10 %"


def test_bus_control_supply_and_reference_limits() -> None:
    pack = pack_of(site())
    bus = line(pack, "E4.DC")
    assert (bus.low, bus.high) == (pytest.approx(0.95 * 678.8), pytest.approx(1.05 * 678.8))
    assert (line(pack, "E4.24").low, line(pack, "E4.24").high) == (22.8, 25.2), "as line V1"
    assert (line(pack, "E4.10").low, line(pack, "E4.10").high) == (9.8, 10.2)


def test_earth_limit_is_computed_from_length_and_size() -> None:
    found = line(pack_of(site()), "W9")
    ohms = 50 / 56 / 5.26  # copper, 56 m/(Ω·mm²), textbook
    assert found.high == pytest.approx(1.2 * ohms, rel=0.01)


def test_missing_data_gives_no_limit_and_says_so() -> None:
    bare = site(supplies=(Supply("T-9"),), models=(replace(MODEL, min_voltage=None, max_voltage=None),))
    found = line(pack_of(bare, figures=figures()), "E1.L12")
    assert (found.low, found.high, found.kind) == (None, None, "record")
    assert found.limit == "none: data not in the inventory"


@pytest.mark.parametrize(
    ("months", "words"),
    [
        (8, "none needed"),
        (18, "no load, 30 to 60 min"),
        (30, "30 min each"),
        (48, "120 min each"),
        (None, "find the date"),
    ],
    ids=["under 1 year", "1 to 2 years", "2 to 3 years", "over 3 years", "unknown"],
)  # fmt: skip
def test_reforming_by_age(months: int | None, words: str) -> None:
    assert words in reforming(months)


def test_age_counts_whole_months_to_the_issue_date() -> None:
    old = replace(DRIVE, last_powered=dt.date(2023, 5, 2))
    found = line(pack_of(site(drives=(old,))), "D4")
    assert found.condition.startswith("35 months")
    assert "30 min each" in found.expected


@pytest.mark.parametrize(
    ("kw", "limit"), [(7.5, None), (15, 2.8), (300, 2.8), (355, 4.5)], ids=["below 15 kW", "15 kW", "300 kW", "355 kW"]
)
def test_vibration_zone_is_marked_as_from_memory(kw: float, limit: float | None) -> None:
    assert vibration_limit(kw) == limit
    assert "from memory, check" in line(pack_of(site()), "C7").source


def test_only_a_live_zero_makes_a_broken_wire_noticed() -> None:
    assert "NOT noticed" in detectable("0-10 V")
    assert "NOT noticed" in detectable("0-20 mA")
    assert "3.6 mA" in detectable("4-20 mA")
    assert "live zero" in detectable("2-10 V")
    assert line(pack_of(site()), "L1.POT").source.startswith("common practice, no source; ")  # NE 43 is for 4-20 mA


def test_ramps_allow_five_percent_or_half_a_second() -> None:
    pack = pack_of(site())
    assert (line(pack, "C4.UP").low, line(pack, "C4.UP").high) == (19, 21)
    short = pack_of(site(drives=(replace(DRIVE, acceleration_time=measure(4, "s")),)))
    assert (line(short, "C4.UP").low, line(short, "C4.UP").high) == (3.5, 4.5)


def test_point_to_point_has_a_line_a_conductor_and_a_device() -> None:
    pack = pack_of(site())
    wires = [e for e in pack.lines if e.id.startswith("P1.")]
    assert {w.proves for w in wires} == {(c.id,) for c in WIRING.connections}
    assert line(pack, "P2.S1").expected == "every position against its chart"
    ohms = line(pack, "P3.R")
    assert (ohms.low, ohms.high) == (4000, 6000)


def test_expected_volts_of_the_wiring_become_lines() -> None:
    volts = {e.id: (e.low, e.high) for e in pack_of(site()).lines if e.id.startswith("V1.")}
    assert volts == {"V1.3/2.S1-in-ON": (21.6, 26.4), "V1.3/2.S1-in-OFF": (-1.0, 1.0)}


def test_dangerous_single_fault_is_tried_on_purpose() -> None:
    fault = Hazard("R1:1-T1:9", "open", "goes to full speed", "", dangerous=True)
    short = Hazard("y", "short to +24 V", "starts", "", dangerous=True)
    pack = pack_of(site(), wiring=replace(WIRING, hazards=(fault, fault, short, Hazard("x", "open", "stops", "drive"))))
    found = [e for e in pack.lines if e.id.startswith("V9.")]
    assert [f.severity for f in found] == ["A"]
    assert "nobody notices" in found[0].expected


def test_restart_hazards_of_settings_and_wiring_become_lines() -> None:
    hazards = (
        RestartHazard("fault reset", "yes", "the contact holds the command", "label", "Reset and watch."),
        RestartHazard("return of power", "no", "Q50 is stay stopped", "", "Open and close."),
    )
    pack = pack_of(site(), settings=replace(SETTINGS, hazards=hazards))
    assert line(pack, "L3.fault-reset").expected.startswith("may start; label fitted")
    assert line(pack, "L3.return-of-power").expected == "does not start: Q50 is stay stopped"
    assert any("may start by itself (fault reset)" in s for s in pack.lockout.steps)


def test_settings_read_back_is_judged_from_the_as_left_sheet() -> None:
    def verdict(*verdicts: str) -> str:
        rows = tuple(setting(str(i), "max_frequency", "60.0", verdict=v) for i, v in enumerate(verdicts))
        return line(pack_of(site(), settings=replace(SETTINGS, rows=rows)), "S2").verdict

    assert verdict("equal", "differs with reason") == "pass"
    assert verdict("equal", "differs") == "fail"
    assert verdict("equal", "") == ""


def test_defeats_are_written_before_a_trip_is_lowered() -> None:
    sheet = next(s for s in pack_of(site()).sheets if s.id == "T")
    assert "BEFORE" in sheet.cautions[0]
    assert line(pack_of(site()), "T14").severity == "A"


def test_what_a_test_takes_out_of_action_stands_on_the_defeat_list_with_what_puts_it_back() -> None:
    planned = {x.id: x.defeat for x in pack_of(site()).lines if x.defeat}
    assert planned["T2"] == "Motor overload set lower: Q40 back to 27.0 A"
    assert planned["L1.POT"] == "Signal wire at AI1 lifted: land it again"
    assert "Q40 back to 27.0 A and read back" in line(pack_of(site()), "T2").expected
    lifting = [x for x in pack_of(site()).lines if "defeat list until" in x.condition or "lift its wire" in x.what]
    assert all(x.defeat for x in lifting)


@pytest.mark.parametrize("test", [*CONTROLS, *UNCOUPLED, *TRIPS, *PROCESS], ids=lambda t: f"{t.id} {t.scheme}")
def test_a_scheme_brings_its_line_and_without_it_says_so(test: SchemeTest) -> None:
    used = pack_of(site(controls=(POT, RUN, Control(TAG, test.scheme))))
    assert line(used, test.id).expected == test.expected
    blank = pack_of(site())
    assert not [x for x in blank.lines if x.id == test.id]
    told = [why for sheet in blank.sheets for why in sheet.left_out if f"{test.id} {test.scheme}" in why]
    assert len(told) == 1
    assert told[0].endswith(": no such scheme in the inventory")


def test_nothing_is_asked_that_cannot_be_done_on_a_cold_drive() -> None:
    expected = (
        Expected(("-T1:11", "-T1:12"), "running", 1.0, "Ω", 0.0, "x", "at most"),
        Expected(("-T1:5", "-T1:6"), "motor cold, conductors lifted", 400.0, "Ω", 345.0, "y"),
    )
    terminals = (*WIRING.terminals, DriveTerminal("11", "RO1 C", "RO1.C", 3, "run"))
    pack = pack_of(site(), wiring=replace(WIRING, expected=expected, terminals=terminals))
    readings = [x for x in pack.lines if x.id.startswith("V1.")]
    assert [x.condition for x in readings] == [
        "running; both wires lifted and proved dead, then ohms",
        "motor cold, conductors lifted",
    ]


def test_external_fault_is_tried_only_where_a_device_is_wired() -> None:
    rows = (*SETTINGS.rows, setting("Q60", "external_fault_reaction", "1", text="trip"))
    settings = replace(SETTINGS, rows=rows)
    assert not [x for x in pack_of(site(), settings=settings).lines if x.id == "T5"]
    terminals = (*WIRING.terminals, DriveTerminal("4", "DI2", "DI", 3, "external_fault"))
    pack = pack_of(site(), settings=settings, wiring=replace(WIRING, terminals=terminals))
    assert line(pack, "T5").expected == "trip"
