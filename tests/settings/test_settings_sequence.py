"""Writing order: locks, presets, rings."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from settings_cases import MODEL, inventory, setting, table

from binder.inventory.findings import Grade
from binder.inventory.records import ModelSetting
from binder.settings.functions import STAGES
from binder.settings.sequence import constraints, out_of_order, overwritten_by, writing_order


def by_number(*rows: ModelSetting) -> dict[str, ModelSetting]:
    return {r.number: r for r in rows}


def test_order_of_the_whole_table() -> None:
    rows = table().rows
    stages = [STAGES.index(r.stage) for r in rows]
    assert stages == sorted(stages)
    assert [r.step for r in rows] == list(range(1, len(rows) + 1))
    order = [r.number for r in rows]
    assert order[0] == "61" and order[-2:] == ["60", "50"]  # reset first, save, then lock
    assert order.index("40") < order.index("1")  # the preset before what it overwrites
    assert order.index("50") < order.index("3") < len(order) - 1 - order[::-1].index("50")  # unlock, write, relock


def test_every_order_with_the_preset_later_is_rejected() -> None:
    preset = setting("40", "preset_macro", choices="1=pump; 9=free", overwrites="1; 2")
    first, second = (setting(n, f, unit="Hz") for n, f in (("1", "max_frequency"), ("2", "min_frequency")))
    steps = constraints([preset, first, second], by_number(preset, first, second))
    sound = [p for p in permutations(["40", "1", "2"]) if not out_of_order(p, steps)]
    assert sound == [("40", "1", "2"), ("40", "2", "1")]
    assert out_of_order(("1", "40", "2"), steps) == (("1", "40"),)
    assert [s.key for s in writing_order(steps).steps] == ["40", "1", "2"]


def test_a_lock_is_opened_just_before_it_is_first_needed() -> None:
    lock = setting("90", "access_code")
    reset = setting("80", "factory_reset", overwrites="all", opened_by="90", opened_with="5")
    ramp = setting("10", "acceleration_time", opened_by="90", opened_with="5")
    rows = by_number(lock, reset, ramp)
    order = writing_order(constraints([ramp, reset, lock], rows, ["90"]))
    assert [s.key for s in order.steps] == ["90", "80", "10", "90#relock"]


def test_the_lock_is_closed_after_saving_and_copying() -> None:
    lock = setting("5", "parameter_lock")
    save, copy, ramp = setting("70", "save_settings"), setting("71", "backup"), setting("80", "acceleration_time")
    order = writing_order(constraints([lock, save, copy, ramp], by_number(lock, save, copy, ramp)))
    assert [s.number for s in order.steps] == ["80", "70", "71", "5"]
    assert order.ring == ()


def test_a_lock_that_saving_needs_open_is_opened_and_then_closed_last() -> None:
    lock = setting("5", "parameter_lock")
    save = setting("70", "save_settings", opened_by="5", opened_with="0")
    order = writing_order(constraints([lock, save], by_number(lock, save), ["5"]))
    assert [s.key for s in order.steps] == ["5", "70", "5#relock"]


def test_reset_and_preset_that_overwrite_each_other_keep_their_stages() -> None:
    reset = setting("9", "factory_reset", overwrites="all")
    preset = setting("1", "preset_macro", overwrites="all")
    order = writing_order(constraints([preset, reset], by_number(reset, preset)))
    assert [s.number for s in order.steps] == ["9", "1"]
    assert order.ring == ()


def test_a_ring_is_named_and_the_rest_still_ordered() -> None:
    first = setting("1", "max_frequency", overwrites="2")
    second = setting("2", "min_frequency", overwrites="3")
    third = setting("3", "skip_frequency", overwrites="1")
    rows = by_number(first, second, third, setting("4", "stop_mode"))
    order = writing_order(constraints(rows.values(), rows))
    assert sorted(order.ring) == ["1", "2", "3"]
    assert [s.number for s in order.steps] == ["4", "1", "2", "3"]


def test_circular_lock_is_a_stop_and_the_rest_is_built() -> None:
    model = (
        *(s for s in MODEL if s.number not in {"3", "50"}),
        setting("3", "acceleration_time", 4, unit="s", resolution="0.1", minimum=0, maximum=600, default="10.0",
                opened_by="50", opened_with="27"),
        setting("50", "access_code", 16, minimum=0, maximum=99, resolution=1, default="0", opened_by="3",
                opened_with="5.0"),
    )  # fmt: skip
    made = table(inventory(model))
    found = [f for f in made.findings if f.code == "S104"]
    assert [(f.grade, f.sheet, f.cell, f.tag) for f in found] == [(Grade.STOP, "Settings", "I4", "Test")]
    assert any(f.code == "S108" for f in made.findings)
    assert made.required("command_source") is not None


@pytest.mark.parametrize(
    ("text", "expected", "lost"),
    [
        ("all", ("1", "2", "10", "11"), ()),
        ("1; 10..11", ("1", "10", "11"), ()),
        ("2 to 10, 11", ("2", "10", "11"), ()),
        ("1; 77", ("1",), ("77",)),
        ("", (), ()),
    ],
)
def test_ranges_of_what_is_overwritten(text: str, expected: tuple[str, ...], lost: tuple[str, ...]) -> None:
    numbers = ("1", "2", "10", "11", "40")
    assert overwritten_by(setting("40", overwrites=text), numbers) == (expected, lost)


def test_motor_data_come_before_the_identification_run() -> None:
    run = setting("1", "identification_run")
    amps = setting("99", "motor_current")
    order = writing_order(constraints([run, amps], by_number(run, amps)))
    assert [s.number for s in order.steps] == ["99", "1"]
    assert out_of_order(("1", "99"), constraints([run, amps], by_number(run, amps)))


@given(
    st.lists(
        st.tuples(st.sampled_from(["max_frequency", "preset_macro", "motor_current", "save_settings", ""]),
                  st.integers(0, 11), st.integers(0, 11)),
        min_size=1, max_size=12,
    )
)  # fmt: skip
def test_any_map_is_ordered_soundly_or_its_ring_is_named(rows: list[tuple[str, int, int]]) -> None:
    model = {
        str(i): setting(str(i), function, opened_by=str(gate) if gate < i else "", overwrites=str(victim))
        for i, (function, gate, victim) in enumerate(rows)
    }
    steps = constraints(model.values(), model, [n for n, s in model.items() if not s.function])
    order = writing_order(steps)
    assert sorted(s.key for s in order.steps) == sorted(s.key for s in steps)
    faults = out_of_order([s.key for s in order.steps], steps)
    assert bool(faults) == bool(order.ring)
    again = writing_order(reversed(steps))
    assert [s.key for s in again.steps] == [s.key for s in order.steps]
