"""Main circuits: the checks that hold for any drawing, and what an electrician looks for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

import drawing_checks as checks
import power_cases as cases
import pytest
from drawing_cases import hand_off_auto
from invented_drives import COMPLETE, site
from invented_drives import wire as built

from binder.engineering.figure import Figure, Rule
from binder.inventory.quantities import measure
from binder.inventory.records import Drive, Inventory, Isolator, Site
from binder.wiring.connections import Device, Wiring
from binder.wiring.power import power_sheets
from binder.wiring.power_chain import main_circuit, wire_names
from binder.wiring.zones import zone


def texts(
    inventory: Inventory, drive: Drive, wiring: Wiring = cases.WIRING, figures: Mapping[str, Figure] = cases.FIGURES
) -> list[str]:
    made = power_sheets(inventory, drive, figures, wiring, reference="IW-P101-20 rev A")
    found = [f for s in made for f in checks.general(s.svg)]
    assert found == []
    return [t.text.replace("\u00a0", " ") for s in made for t in checks.parse(s.svg).texts]


@pytest.mark.parametrize("drive", [cases.DRIVE, cases.FULL], ids=["plain", "with everything"])
def test_long_words_stand_whole_somewhere(drive: Drive) -> None:
    long = " ".join(f"word{n}" for n in range(40))
    made = cases.inventory()
    panel = replace(made.panels[0], place=long)
    isolator = replace(made.isolators[0], place=f"behind {long}")
    drive = replace(drive, feeds=f"pump {long}")
    found = texts(replace(made, panels=(panel,), isolators=(isolator,)), drive)
    if any("…" in t for t in found):
        assert any(t.startswith("[1] ") for t in found)


HEATED = replace(
    cases.inventory().motors[0], space_heater_voltage=measure(230, "V"), space_heater_isolator="Q9"
)  # fmt: skip


@pytest.mark.parametrize("symbols", ["IEC", "North American"])
@pytest.mark.parametrize("phases", [1, 3])
@pytest.mark.parametrize("drive", [cases.DRIVE, cases.FULL], ids=["plain", "with everything"])
def test_a_given_drive(drive: Drive, phases: int, symbols: str) -> None:
    found = texts(cases.inventory(symbols, phases=phases), drive)
    for word in ("DS-101", "63 A, lockable", "gG fuse", "50 A", "Smallest disconnect: 25 A", "24 A out, light duty",
                 "W101-M: 6 mm², earth 6 mm²", "copper XLPE 90 °C, tray, 45 m", "M-101", "PE GNYE"):  # fmt: skip
        assert word in found


def test_what_is_not_given_is_said() -> None:
    bare = Inventory(Site("s", "S", "IEC"), drives=(Drive("P-1"),))
    found = texts(bare, bare.drives[0])
    assert found.count("rating not given") == 2
    for word in ("voltage not given", "fault current not given", "cable not given", "output current not given",
                 "plate not given", "protection, kind not given"):  # fmt: skip
        assert word in found


def test_a_figure_is_named_and_never_reads_as_an_approval() -> None:
    found = " ".join(texts(cases.inventory(), cases.DRIVE))
    assert "Largest line protection: 63 A" in found
    assert "Computed figures are no approval" in found


def test_the_screen_is_bonded_only_when_the_cable_has_one() -> None:
    for shielded, note in ((True, "Motor cable screen bonded all round at both ends"), (False, ""),
                           (None, "Whether the motor cable has a screen is not given")):  # fmt: skip
        made = power_sheets(cases.inventory(shielded=shielded), cases.DRIVE, cases.FIGURES, cases.WIRING)
        earths = sum(g.kind == "earth" for s in made for g in checks.parse(s.svg).groups)
        assert (earths > 0) == bool(shielded)
        assert note in made[0].svg


def test_the_bypass_leaves_before_the_drive_and_comes_back_behind_it() -> None:
    found = {t.partition(" /")[0] for t in texts(cases.inventory(), cases.FULL)}
    assert "-Q1:1" in found  # hung under the line conductors
    assert "-F2:2" in found  # and under those to the motor
    assert {"-R1:U2", "-Q2:2"} <= found  # named back from the bypass


@pytest.mark.parametrize("symbols", ["IEC", "North American"])
def test_a_flag_to_another_sheet_names_the_zone_of_what_it_leads_to(symbols: str) -> None:
    made = power_sheets(cases.inventory(symbols), cases.FULL, cases.FIGURES, cases.WIRING)
    sheets = {s.number: checks.parse(s.svg) for s in made}
    named = re.compile(r"(.+):[^:]+ /(\d)\.([A-F][1-8])")
    flags = [m.groups() for s in sheets.values() for t in s.texts if (m := named.fullmatch(t.text))]
    assert len(flags) > 5
    for tag, number, place in flags:
        boxes = [s.bounds() for g in sheets[int(number)].groups if g.tag == tag for s in g.strokes]
        (x0, x1), (y0, y1) = ((min(b[k] for b in boxes), max(b[k + 2] for b in boxes)) for k in (0, 1))
        corners = {zone(x, y) for x in (x0, (x0 + x1) / 2, x1) for y in (y0, (y0 + y1) / 2, y1)}
        assert place in corners, f"{tag} stands in {corners}, told as {place}"


ISOLATED = Isolator("DS-101M", "motor isolator", "pump pit", "electrical", ("P-101",), None, True, True)
CONTACT = Wiring("P-101", "-T1", devices=(Device("DS-101M", "isolator", "pump", "motor isolator, early break"),))


@pytest.mark.parametrize("symbols", ["IEC", "North American"])
@pytest.mark.parametrize("drive", [cases.DRIVE, cases.FULL], ids=["plain", "with everything"])
@pytest.mark.parametrize(
    ("rows", "wiring", "words"),
    [
        ((ISOLATED,), CONTACT, ("pump pit", "rating not given, lockable", "early-break contact: control wiring")),
        ((), CONTACT, ("pump", "early-break contact: control wiring")),
        ((ISOLATED,), cases.WIRING, ("pump pit", "early-break contact, not wired")),
        ((replace(ISOLATED, kind="switch", energy="motor", early_break_contact=False),), cases.WIRING,
         ("no early-break contact",)),
    ],
    ids=["row and scheme", "scheme alone", "row alone", "row by its energy"],
)  # fmt: skip
def test_the_motor_isolator_stands_between_drive_and_motor(
    drive: Drive, symbols: str, rows: tuple[Isolator, ...], wiring: Wiring, words: tuple[str, ...]
) -> None:
    made = cases.inventory(symbols)
    made = replace(made, isolators=(*made.isolators, *rows))
    circuit = main_circuit(made, drive, cases.FIGURES, wiring, north_american=symbols != "IEC")
    assert [s.kind for s in circuit.chains[0]][-2:] == ["motor isolator", "motor"]
    found = texts(made, drive, wiring)
    assert {"DS-101M", "motor isolator", "W101-M goes on", "screen taken through at the isolator", *words} <= set(found)


def test_a_heater_switch_at_the_motor_is_no_motor_isolator() -> None:
    made = cases.inventory()
    heater = replace(ISOLATED, kind="circuit breaker", energy="motor space heater")
    circuit = main_circuit(
        replace(made, isolators=(*made.isolators, heater)), cases.DRIVE, {}, cases.WIRING, north_american=False
    )
    assert "motor isolator" not in [s.kind for s in circuit.chains[0]]


def test_an_isolator_for_each_of_several_motors_stands_in_its_branch() -> None:
    made = cases.inventory()
    each = tuple(replace(ISOLATED, tag=f"DS-{n}") for n in (1, 2, 3))
    made = replace(made, isolators=(*made.isolators, *each))
    circuit = main_circuit(made, cases.DRIVE, {}, cases.SEVERAL, north_american=False)
    assert [c[1].tag for c in circuit.chains[1:]] == ["DS-1", "DS-2", "DS-3"]
    assert {"DS-1", "DS-2", "DS-3"} <= set(texts(made, cases.DRIVE, cases.SEVERAL))


def test_conductors_change_their_number_behind_every_device() -> None:
    circuit = main_circuit(cases.inventory(), cases.FULL, cases.FIGURES, cases.WIRING, north_american=False)
    names = wire_names(circuit.chains[0], first=True)
    assert [n[0] for n in names.values()] == ["1L1", "2L1", "3L1", "4L1", "U", "2U", "3U", "4U"]


def test_the_space_heater_is_another_source() -> None:
    found = texts(replace(cases.inventory(), motors=(HEATED,)), cases.DRIVE)
    assert "space heater 230 V" in found
    assert "other source, cut at Q9" in found


def test_several_motors_each_have_their_overload() -> None:
    found = texts(cases.inventory(), cases.DRIVE, cases.SEVERAL)
    assert {"-F1", "-F2", "-F3", "M-101.1", "M-101.2", "M-101.3"} <= set(found)


def test_designations_give_way_to_those_of_the_wiring() -> None:
    found = texts(cases.inventory(), cases.DRIVE, cases.SEVERAL)
    assert "-F4" in found  # the fuses: 1 to 3 are overload relays of the wiring


def test_the_control_supply_answers_every_flag_of_the_control_sheets() -> None:
    wiring = hand_off_auto()
    made = power_sheets(cases.inventory(), cases.DRIVE, cases.FIGURES, wiring)
    drawn = sorted(g.record for s in made for g in checks.parse(s.svg).groups if g.kind == "flag" and g.record)
    assert drawn == sorted(c.id for c in wiring.connections if "-X2" in (c.a.device, c.b.device))


@pytest.mark.parametrize("code", COMPLETE)
def test_every_scheme_of_the_trade(code: str) -> None:
    for basis in ("IEC", "NEC"):
        made = site(COMPLETE[code], "24", basis=basis)
        wiring = built(COMPLETE[code], "24", basis=basis)
        for sheet in power_sheets(made, made.drives[0], {}, wiring):
            assert checks.general(sheet.svg) == []


def test_same_drive_same_bytes() -> None:
    one, two = (power_sheets(cases.inventory(), cases.FULL, cases.FIGURES, cases.WIRING) for _ in range(2))
    assert one == two


def test_a_fault_current_names_the_place_where_it_holds() -> None:
    """The source's and the panel's are two numbers; neither stands without its place."""
    source = Figure("short_circuit.source", "Available fault current", 14.6, "kA", Rule("test", "test"))
    found = " ".join(texts(cases.inventory(), cases.DRIVE, figures={**cases.FIGURES, source.key: source}))
    assert "fault current at TR-1 14.6 kA, computed" in found
    assert "and at MCC1 12 kA, given" in found


@pytest.mark.parametrize(("symbols", "word"), [("IEC", "switch-disconnector"), ("North American", "disconnect")])
def test_the_isolator_has_the_name_of_its_side_of_the_ocean(symbols: str, word: str) -> None:
    assert word in texts(cases.inventory(symbols), cases.DRIVE)
