"""Encoding of values to display texts and back."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from settings_cases import MODEL, setting

from binder.inventory.records import ModelSetting
from binder.settings.encode import canonical, decode, encode, number_in, show

NUMERIC = [s for s in MODEL if s.resolution is not None]
WORDED = [s for s in MODEL if s.choices]


@pytest.mark.parametrize("row", NUMERIC, ids=lambda s: s.number)
@given(data=st.data())
def test_number_round_trip_within_half_a_step(row: ModelSetting, data: st.DataObject) -> None:
    assert row.minimum is not None and row.maximum is not None and row.resolution is not None
    amount = data.draw(st.decimals(row.minimum, row.maximum, places=4, allow_nan=False))
    made = encode(row, amount)
    if made.fault:  # rounding up past the top of the range is told, never clamped
        assert made.fault == "range"
        return
    back = decode(row, made.display)
    assert isinstance(back, Decimal)
    assert abs(back - amount) <= row.resolution / 2
    assert encode(row, back).display == made.display
    assert canonical(row, made.display) == made.display


@pytest.mark.parametrize("row", WORDED, ids=lambda s: s.number)
def test_choice_round_trip(row: ModelSetting) -> None:
    for choice in row.choices:
        made = encode(row, choice.value)
        assert made.display == choice.code
        assert decode(row, made.display) == choice.value


def test_decimals_follow_the_resolution() -> None:
    assert show(setting("1", resolution="0.01"), Decimal(5)) == "5.00"
    assert show(setting("1", resolution="0.5"), Decimal("2.74")) == "2.5"
    assert show(setting("1", resolution=10), Decimal(17)) == "20"
    assert show(setting("1"), Decimal("7.50")) == "7.5"


@pytest.mark.parametrize(
    ("unit", "value", "value_unit", "display"),
    [
        pytest.param("kW", "7.5", "hp", "5.60", id="NEMA practice, 1 hp = 746 W: 7.5 hp = 5.595 kW"),
        pytest.param("hp", "5.5", "kW", "7.37", id="NEMA practice, 1 hp = 746 W: 5.5 kW = 7.373 hp"),
        pytest.param("s", "2", "min", "120.00", id="SI: 2 min = 120 s"),
        pytest.param("sec", "3", "s", "3.00", id="manual spelling of seconds"),
    ],
)
def test_units_are_converted(unit: str, value: str, value_unit: str, display: str) -> None:
    row = setting("1", unit=unit, resolution="0.01", minimum=0, maximum=1000)
    assert encode(row, Decimal(value), unit=value_unit).display == display


def test_what_cannot_be_held_is_told_and_not_clamped() -> None:
    ramp = setting("1", unit="s", resolution="0.1", minimum=0, maximum=60)
    assert encode(ramp, Decimal(90)).fault == "range"
    assert encode(ramp, Decimal(10), unit="V").fault == "unit"
    assert encode(ramp, "fast").fault == "not a number"
    source = setting("2", choices="0=keypad; 1=terminals")
    assert encode(source, "network").fault == "choice"
    assert encode(source, "network").wanted == "network"


def test_codes_keep_their_zeros_and_words_find_their_code() -> None:
    assert canonical(setting("1"), "0042") == "0042"
    source = setting("2", choices="00=keypad; 01=Terminals")
    assert canonical(source, "terminals") == "01"
    assert canonical(source, "01") == "01"
    assert canonical(source, "99") == "99"
    assert decode(source, "1") == "Terminals"


@pytest.mark.parametrize(("text", "mark", "number"), [("7,5", ",", "7.5"), ("7.5 s", ".", "7.5"), ("-3", ".", "-3")])
def test_typed_numbers(text: str, mark: str, number: str) -> None:
    assert number_in(text, decimal_mark=mark) == Decimal(number)


@pytest.mark.parametrize("text", ["", "7,5", "nan", "Infinity", "fast"])
def test_what_is_no_number(text: str) -> None:
    assert number_in(text) is None
