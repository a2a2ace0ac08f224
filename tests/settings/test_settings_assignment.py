"""Required values, their reasons, and what cannot be reached."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest
from settings_cases import DRIVE, MODEL, REFERENCES, WIRING, choices, figures, inventory, origin, setting, table

from binder.inventory.columns_models import SETTING_FUNCTIONS
from binder.inventory.findings import Grade
from binder.inventory.quantities import measure
from binder.inventory.records import AsLeft, Inventory, ModelSetting, Override
from binder.settings.assignment import default_of, settings_table
from binder.settings.decisions import why_at_default
from binder.settings.functions import FUNCTIONS, GROUPS, STAGES
from binder.wiring.connections import Demand


def changed(number: str, **fields: Any) -> Inventory:
    """The test site with one setting of its model changed."""
    return inventory(tuple(replace(s, **fields) if s.number == number else s for s in MODEL))


def codes(site: Inventory) -> list[tuple[str, Grade, str, str]]:
    return [(f.code, f.grade, f.sheet, f.cell) for f in table(site).findings]


def test_vocabulary_and_workbook_know_the_same_functions() -> None:
    assert set(SETTING_FUNCTIONS) == set(FUNCTIONS)
    for function in FUNCTIONS.values():
        assert function.group in GROUPS and function.stage in STAGES
        assert function.meaning.endswith(".") and function.decided_by
        assert (function.kind in {"choice", "action"}) or not function.values


def test_every_decided_value_has_reason_and_source() -> None:
    made = table()
    for row in made.rows:
        assert row.reason and row.source and row.source != "default"
    assert made.findings == ()


@pytest.mark.parametrize(
    ("function", "applies_to", "display", "source"),
    [
        ("motor_current", "", "9.6", "plate"),
        ("overload_current", "", "9.6", "figure overload.setting"),
        ("command_source", "", "1", "wiring"),
        ("reference_source", "", "2", "wiring"),
        ("digital_input_function", "DI1", "1", "wiring"),
        ("digital_input_function", "DI2", "0", "wiring"),
        ("analog_input_format", "AI1", "0", "wiring"),
        ("acceleration_time", "", "20.0", "sheet"),
        ("min_frequency", "", "15.0", "sheet"),
        ("max_frequency", "", "60.0", "plate"),
        ("control_mode", "", "1", "sheet"),
        ("power_return", "", "0", "sheet"),
        ("preset_macro", "", "9", "map"),
    ],
)
def test_where_values_come_from(function: str, applies_to: str, display: str, source: str) -> None:
    row = table().required(function, applies_to)
    assert row is not None
    assert (row.required, row.source) == (display, source)


def test_override_stands_above_and_both_are_printed() -> None:
    person = Override("VFD-1", "acceleration_time", "12 s", "gearbox", "A. Person", dt.date(2026, 1, 2))
    row = table(inventory(overrides=(person,))).required("acceleration_time")
    assert row is not None
    assert (row.required, row.computed, row.source, row.override_reason) == ("12.0", "20.0", "override", "gearbox")


@pytest.mark.parametrize(
    ("value", "reason", "setting_name", "code", "column"),
    [
        ("900", "slow", "acceleration_time", "S112", "value"),
        ("12", "", "acceleration_time", "S114", "reason"),
        ("12", "slow", "ramp", "S113", "setting"),
    ],
)
def test_bad_overrides(value: str, reason: str, setting_name: str, code: str, column: str) -> None:
    where = origin("Overrides", 3, "setting", "value", "reason")
    person = Override("VFD-1", setting_name, value, reason, "A. Person", origin=where)
    found = [f for f in table(inventory(overrides=(person,))).findings if f.code == code]
    assert [(f.grade, f.sheet, f.cell, f.tag) for f in found] == [
        (Grade.STOP, "Overrides", where.cell(column), "VFD-1")
    ]


def test_range_too_small_is_a_stop_at_its_cell() -> None:
    assert codes(changed("3", maximum=measure(10, "").amount)) == [("S101", Grade.STOP, "Settings", "F4")]
    assert codes(changed("2", minimum=measure(20, "").amount, default="20.0")) == [
        ("S101", Grade.STOP, "Settings", "E3")
    ]


def test_missing_choice_is_a_stop_at_its_cell() -> None:
    assert codes(changed("4", choices=choices("0=keypad; 2=network"))) == [("S102", Grade.STOP, "Settings", "G5")]


def test_missing_first_word_takes_the_next_best() -> None:
    row = table(changed("9", choices=choices("0=linear volts per hertz; 2=sensorless vector"))).required("control_mode")
    assert row is not None and row.required_text == "linear volts per hertz"


def test_unit_that_measures_something_else() -> None:
    assert codes(changed("3", unit="V")) == [("S110", Grade.STOP, "Settings", "D4")]


def test_duplicate_number_and_double_function() -> None:
    double = setting("3", "", 30, default="1")
    assert [(c, cell) for c, _, _, cell in codes(inventory((*MODEL, double)))] == [("S105", "A30")]
    twin = setting("63", "acceleration_time", 31, unit="s", resolution="0.1", minimum=0, maximum=99, default="1.0")
    assert [(c, g, cell) for c, g, _, cell in codes(inventory((*MODEL, twin)))] == [("S106", Grade.CAUTION, "B31")]


@pytest.mark.parametrize(
    ("number", "fields", "code", "cell"),
    [
        ("62", {"function": "ramp_time"}, "S111", "B62"),
        ("3", {"opened_by": "51"}, "S107", "I4"),
        ("40", {"overwrites": "1 to 3; 99"}, "S116", "K40"),
        ("2", {"default": "99.0"}, "S117", "H3"),
        ("23", {"default": "7"}, "S117", "H23"),
        ("21", {"choices": choices("1=run_forward; 3=external_fault")}, "S132", "G21"),
    ],
)
def test_map_faults_name_their_cell(number: str, fields: dict[str, Any], code: str, cell: str) -> None:
    assert (code, "Settings", cell) in {(c, sheet, at) for c, _, sheet, at in codes(changed(number, **fields))}


def test_choices_that_are_none_of_our_words() -> None:
    assert ("S115", Grade.CAUTION, "Settings", "G23") in codes(changed("23", choices=choices("0=nein; 1=ja")))


def test_locked_with_unknown_code_is_a_stop_and_the_rest_is_built() -> None:
    site = changed("3", opened_with="")
    assert codes(site) == [("S103", Grade.STOP, "Settings", "J4")]
    made = table(site)
    row = made.required("acceleration_time")
    assert row is not None and row.required == "20.0" and "not known" in row.access
    assert made.required("command_source") is not None


def test_a_lock_that_holds_nothing_written_is_left_alone() -> None:
    quiet = replace(DRIVE, acceleration_time=measure(10, "s"))
    made = table(inventory(changed("3", opened_with="").settings, quiet))
    assert made.findings == ()
    assert "50" not in {r.number for r in made.rows}


def test_locked_setting_cannot_be_reached_until_the_access_setting_holds_its_code() -> None:
    """Common practice, no source."""
    made = table()
    steps = {r.number: r for r in made.rows if r.stage != "relock"}
    assert steps["50"].required == "27" and steps["50"].step < steps["3"].step
    assert "50" in steps["3"].after and steps["3"].access.endswith("opens while 50 holds 27")
    last = [r for r in made.rows if r.number == "50"][-1]
    assert (last.stage, last.required) == ("relock", "0") and last.step > steps["3"].step


def test_drive_still_set_to_its_built_in_potentiometer_ignores_the_terminal_signal() -> None:
    """Common practice, no source."""
    variant = replace(DRIVE, variant="P")
    row = table(inventory(drive=variant)).required("reference_source")
    assert row is not None and (row.default, row.required) == ("1", "2")
    left = AsLeft("VFD-1", "5", as_left="1", initials="AF", origin=origin("As left", 7, "setting", "as_left"))
    found = [f for f in table(inventory(drive=variant, as_left=(left,))).findings if f.code == "S122"]
    assert [(f.grade, f.sheet, f.cell) for f in found] == [(Grade.STOP, "As left", "B7")]
    assert "ignores the speed signal at its terminals" in found[0].found


@pytest.mark.parametrize(
    ("text", "variant", "expected"),
    [("1", "P", "1"), ("P = 1; Q=2", "Q", "2"), ("P = 1", "Z", "0"), ("", "P", "0"), ("P = 1", "", "0")],
)
def test_defaults_of_variants(text: str, variant: str, expected: str) -> None:
    knob = setting("5", "reference_source", choices=REFERENCES, default="0", variant_default=text)
    assert default_of(knob, replace(DRIVE, variant=variant)) == expected


def test_current_in_percent_says_of_what() -> None:
    in_percent = {"unit": "%", "minimum": measure(0, "").amount, "maximum": measure(200, "").amount}
    drive_base = table(changed("8", remark="percent of drive rated current", **in_percent)).required("overload_current")
    motor_base = table(changed("8", remark="percent of motor current", **in_percent)).required("overload_current")
    assert drive_base is not None and drive_base.required == "80.0"  # 9.6 A of 12 A
    assert motor_base is not None and motor_base.required == "100.0"  # 9.6 A of 9.6 A
    assert ("S110", Grade.STOP, "Settings", "D9") in codes(changed("8", **in_percent))


def test_wiring_without_a_setting_is_told() -> None:
    more = replace(WIRING, demands=(*WIRING.demands, Demand("jog_frequency", "", "6 Hz", "a jog button is wired")))
    assert [f.code for f in table(wiring=more).findings] == ["S130"]


def test_two_modes_need_two_settings() -> None:
    two = replace(
        WIRING,
        demands=(
            Demand("reference_source", "hand", "AI1", "potentiometer"),
            Demand("reference_source", "auto", "AI2", "controller"),
        ),
    )
    found = [f for f in table(wiring=two).findings if f.code == "S133"]
    assert [(f.grade, f.cell) for f in found] == [(Grade.STOP, "B6")]
    second = setting("5", "reference_source", 6, applies_to="hand", choices=REFERENCES, default="0")
    third = setting("11", "reference_source", 12, applies_to="auto", choices=REFERENCES, default="0")
    model = (*tuple(s for s in MODEL if s.number != "5"), second, third)
    made = table(inventory(model), two)
    rows = {r.applies_to: r.required for r in made.rows if r.function == "reference_source"}
    assert rows == {"hand": "2", "auto": "3"}
    assert not [f for f in made.findings if f.code == "S133"]


def test_local_is_served_by_the_hand_set() -> None:
    modes = replace(WIRING, demands=(Demand("reference_source", "local", "AI1", "x"),
                                     Demand("reference_source", "remote", "network", "x")))  # fmt: skip
    rows = (setting("5", "reference_source", 6, applies_to="hand", choices=REFERENCES, default="0"),
            setting("11", "reference_source", 12, applies_to="auto", choices=REFERENCES, default="0"))  # fmt: skip
    made = table(inventory(tuple(s for s in MODEL if s.number != "5") + rows), modes)
    assert {r.applies_to: r.required_text for r in made.rows if r.function == "reference_source"} == {
        "hand": "AI1", "auto": "network",
    }  # fmt: skip


def test_what_a_preset_overwrites_is_written_even_at_its_default() -> None:
    made = table()
    assert {"1", "20"} <= {r.number for r in made.rows}  # required equals the default, but the preset loads others
    assert not next(r for r in made.rows if r.number == "1").changed


def test_changed_page_leaves_out_what_is_only_done_on_the_way() -> None:
    changed_rows = {r.number for r in table().rows if r.changed}
    assert {"50", "60", "61"}.isdisjoint(changed_rows)
    assert {"3", "4", "5", "7"} <= changed_rows


CLASSES = "10=10; 20=20; 30=30"


@pytest.mark.parametrize(
    ("choices_text", "required", "source", "words"),
    [
        pytest.param(CLASSES, "10", "map", "class 10", id="class 10, common practice, no source"),
        pytest.param("20=20; 30=30", "20", "default", "no class 10", id="the model has no class 10"),
    ],
)
def test_overload_class(choices_text: str, required: str, source: str, words: str) -> None:
    row = table(inventory((*MODEL, setting("70", "overload_class", 70, choices=choices_text, default="20"))))
    made = row.required("overload_class")
    assert made is not None and (made.required, made.source) == (required, source)
    assert words in made.reason


@pytest.mark.parametrize("function", sorted(FUNCTIONS))
def test_what_stays_at_default_says_why(function: str) -> None:
    why = why_at_default(setting("70", function))
    assert why.startswith("left at default: ")
    assert "a person" not in why  # then a reason of its own is wanted


def test_model_without_a_map() -> None:
    site = inventory(())
    made = settings_table(site, site.drives[0], figures(), WIRING)
    assert (made.rows, made.untouched, made.findings) == ((), (), ())


def test_nothing_wired_decides_no_terminal() -> None:
    site = inventory(controls=())
    bare = replace(WIRING, terminals=(), demands=(), schemes=())
    row = table(site, bare).required("digital_input_function", "DI2")
    assert row is not None and row.source == "default"


def test_same_input_same_table() -> None:
    assert table() == table()
    turned: tuple[ModelSetting, ...] = tuple(reversed(MODEL))
    assert [r.number for r in table(inventory(turned)).rows] == [r.number for r in table().rows]


def test_plate_values_at_default_are_listed_to_be_confirmed() -> None:
    model = (*(m for m in MODEL if m.number not in {"40", "61"}), setting("70", "current_limit", 70, default="150"))
    made = table(inventory(model))
    listed = {r.number: r for r in made.rows}
    assert listed["6"].required == listed["6"].default == "460"  # motor voltage
    assert (listed["6"].confirm, listed["6"].changed, listed["7"].confirm) == (True, False, False)
    assert listed["1"].confirm and listed["70"].confirm  # maximum frequency, current limit
    assert not {"1", "6", "7", "70"} & {r.number for r in made.untouched}
    assert "62" in {r.number for r in made.untouched}
