"""Words of the trade for the choices of the workbook: each means one choice, or asks; never a wrong one."""

from __future__ import annotations

import pytest

from binder.inventory.cells import Cell, Context, read_cell
from binder.inventory.cleaning import CellError
from binder.inventory.columns import SHEETS, sheet_named
from binder.inventory.trade_words import _ALSO, _ASKED, _LIKE, loose, meant_by
from binder.sizing.runs import insulation_c


def choices(field: str) -> set[str]:
    return {c for s in SHEETS for column in s.columns if column.field == field for c in column.choices}


@pytest.mark.parametrize("field", sorted({*_ALSO, *_ASKED, *_LIKE}))
def test_every_word_leads_to_one_choice(field: str) -> None:
    also = _ALSO.get(field, {})
    assert set(also) <= choices(field)
    same = [loose(w) for words in also.values() for w in words.split("|")]
    asked = [loose(w) for words in _ASKED.get(field, {}) for w in words.split("|")]
    twice = {w for w in [*same, *asked] if (same + asked).count(w) > 1 and w in asked}
    by_word: dict[str, set[str]] = {}
    for choice, words in also.items():
        for w in words.split("|"):
            by_word.setdefault(loose(w), set()).add(choice)
    assert not twice
    assert [w for w, c in by_word.items() if len(c) > 1] == []
    own = {loose(c): c for c in choices(field)}
    assert [w for w, c in by_word.items() if w in own and own[w] not in c] == []


#: Letters on a conductor -> temperature of its column. NEC 2023 Table 310.16 headings; '?' where dry and wet differ.
PRINTED = """
    TW 60 | UF 60 | UF-B 60 | THW 75 | THWN 75 | RHW 75 | USE 75 | THHN 90 | thhn 90 | THWN-2 90 | THWN2 90
    THHN/THWN-2 90 | THHN / THWN-2 90 | THWN-2/THHN 90 | THW-2 90 | XHHW-2 90 | xhhw2 90 | RHW-2 90 | RHH 90
    RHH/RHW-2/USE-2 90 | USE-2 90 | SIS 90 | XHH 90 | PVC 70 | XLPE 90 | XLP 90 | EPR 90 | XHHW ? | THHW ? | MTW ?
    THHN/THWN ? | THWN/THHN ?
"""


@pytest.mark.parametrize("pair", [p.strip() for line in PRINTED.split("\n") for p in line.split("|") if p.strip()])
def test_insulation_by_its_letters(pair: str) -> None:
    letters, _, celsius = pair.rpartition(" ")
    column = sheet_named("Cables").column("insulation")
    if celsius == "?":
        with pytest.raises(CellError) as raised:
            read_cell(Cell("A1", letters), column, Context())
        assert raised.value.code == "B121"
        for offered in raised.value.remedy.split(": type ")[1].rstrip(".").split(" or "):
            assert offered in column.choices
    else:
        value = read_cell(Cell("A1", letters), column, Context())
        assert insulation_c(str(value)) == int(celsius)


@pytest.mark.parametrize(("typed", "temperature"), [("XHHW 75", 75), ("xhhw 90C", 90), ("THHN/THWN 75°C", 75)])
def test_letters_with_their_temperature(typed: str, temperature: int) -> None:
    column = sheet_named("Cables").column("insulation")
    assert insulation_c(str(read_cell(Cell("A1", typed), column, Context()))) == temperature


@pytest.mark.parametrize(
    ("sheet", "field", "typed", "meant"),
    [
        ("Controls", "scheme", "HOA switch", "hand-off-auto"), ("Controls", "scheme", "H-O-A", "hand-off-auto"),
        ("Controls", "scheme", "3-wire", "three-wire start-stop"), ("Controls", "scheme", "STO", "safe torque off"),
        ("Controls", "scheme", "PID", "process control"), ("Controls", "scheme", "PTC", "thermistor"),
        ("Motors", "connection", "YY", "double star"), ("Motors", "connection", "Δ", "delta"),
        ("Motors", "cooling", "TEFC", "self"), ("Motors", "thermal_sensor", "PTC", "thermistor"),
        ("Supplies", "earthing", "480Y/277", "solid wye"), ("Cables", "raceway", "EMT", "steel conduit"),
        ("Panels", "feeder_material", "CU", "copper"), ("Panels", "feeder_raceway", "sch. 40", "PVC conduit"),
        ("Drives", "duty", "HD", "heavy"), ("Drives", "protection_kind", "gG", "gG fuse"),
        ("Machines", "load_type", "VT", "quadratic"), ("Machines", "rotation", "CCW", "counterclockwise"),
    ],
)  # fmt: skip
def test_words_of_the_trade(sheet: str, field: str, typed: str, meant: str) -> None:
    assert meant_by(typed, sheet_named(sheet).column(field)) == meant


@pytest.mark.parametrize(
    ("sheet", "field", "typed", "said"),
    [
        ("Controls", "scheme", "4-20 mA", "Who feeds the loop?"), ("Controls", "scheme", "E-stop", "safe torque off"),
        ("Drives", "protection_kind", "Class J", "time-delay fuse or non-time-delay fuse"),
        ("Motors", "connection", "Y/Δ", "how the links are set"),
        ("Supplies", "earthing", "delta", "How is it earthed?"),
        ("Controls", "scheme", "HOB switch", "Choose one of the list."),
        ("Controls", "scheme", "speed potentometer", "Is speed potentiometer meant?"),
    ],
)  # fmt: skip
def test_what_is_open_is_asked(sheet: str, field: str, typed: str, said: str) -> None:
    with pytest.raises(CellError) as raised:
        read_cell(Cell("A1", typed), sheet_named(sheet).column(field), Context())
    assert said in raised.value.remedy


def test_not_applicable_beside_a_choice_none() -> None:
    context = Context()
    assert read_cell(Cell("A1", "N/A"), sheet_named("Motors").column("thermal_sensor"), context) is None
    assert [(t.code, t.remedy) for t in context.told] == [("B123", "Type none where there is none, else the value.")]


@pytest.mark.parametrize(
    ("typed", "volts"),
    [("480Y/277", 480), ("480Y/277V", 480), ("277/480 V", 480), ("208Y/120", 208), ("600Y/347", 600),
     ("400/230", 400), ("415Y/240", 415), ("120/240", 240), ("240/120 V", 240), ("480 V", 480)],
)  # fmt: skip
def test_of_a_system_voltage_the_line_voltage_counts(typed: str, volts: int) -> None:
    context = Context("", "V")
    value = read_cell(Cell("A1", typed), sheet_named("Supplies").column("voltage"), context)
    assert str(value) == f"{volts} V"
    assert [t.code for t in context.told] == (["B102"] if "/" in typed else [])


@pytest.mark.parametrize("typed", ["480/400", "230/400/690", "480/277/120"])
def test_two_supplies_are_not_one(typed: str) -> None:
    with pytest.raises(CellError) as raised:
        read_cell(Cell("A1", typed), sheet_named("Supplies").column("voltage"), Context("", "V"))
    assert raised.value.code == "B106"


def test_a_motor_asks_for_the_connected_voltage() -> None:
    with pytest.raises(CellError) as raised:
        read_cell(Cell("A1", "230/460"), sheet_named("Motors").column("voltage"), Context("", "V"))
    assert (raised.value.code, raised.value.remedy) == (
        "B106", "Type the one value that is meant here. The plate voltage it is connected for.",
    )  # fmt: skip


@pytest.mark.parametrize(("typed", "percent"), [("none", 0), ("None", 0), ("no", 0), (3, 3), ("3 %", 3), ("0", 0)])
def test_a_reactor_may_be_none(typed: object, percent: int) -> None:
    for sheet, field in (("Drives", "line_reactor"), ("Models", "built_in_reactor")):
        value = read_cell(Cell("A1", typed), sheet_named(sheet).column(field), Context("", "%"))  # type: ignore[arg-type]
        assert str(value) == f"{percent} %"


#: A bare number under the heading's unit, and what was meant: ranges are common practice.
MIX_UPS = [
    ("Panels", "fault_rating", 22000, "B114", "22000 A"), ("Panels", "fault_rating", 42000, "B114", "42000 A"),
    ("Models", "fault_rating", 0.1, "", ""),
    ("Drives", "ambient", 104, "B114", "104 °F"), ("Drives", "carrier_frequency", 4000, "B114", "4000 Hz"),
    ("Models", "wait_time", 300, "B114", "300 s"), ("Models", "max_altitude", 13000, "B114", "13000 ft"),
    ("Models", "rated_altitude", 3300, "B118", "3300 ft"), ("Models", "supply_24v_limit", 0.2, "B118", "0.2 A"),
    ("Models", "leakage_current", 0.0035, "B118", "0.0035 A"), ("Models", "losses", 0.35, "B118", "0.35 kW"),
    ("Models", "analog_voltage_impedance", 20000, "B118", "20000 Ω"), ("Models", "rise_time", 100, "B118", "100 ns"),
    ("Models", "link_capacitance", 2.35, "B118", "2.35 mF"), ("Panels", "width", 24, "B118", "24 in"),
    ("Machines", "motor_sheave", 6, "B118", "6 in"), ("Panels", "width", 600, "", ""),
    ("Models", "supply_24v_limit", 200, "", ""),
]  # fmt: skip


@pytest.mark.parametrize(("sheet", "field", "typed", "code", "meant"), MIX_UPS)
def test_a_unit_that_was_probably_mixed_up(sheet: str, field: str, typed: float, code: str, meant: str) -> None:
    column = sheet_named(sheet).column(field)
    context = Context("", column.unit)
    try:
        read_cell(Cell("A1", typed), column, context)
        told = context.told
    except CellError as refused:
        told = [refused]
    assert [t.code for t in told] == ([code] if code else [])
    assert all(f"Is {meant} meant?" in t.remedy for t in told)
