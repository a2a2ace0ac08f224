"""Settings of the demo plant: every one encodes and decodes, every value has its reason."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from binder.inventory.records import Inventory, ModelSetting
from binder.settings.encode import decode, encode
from binder.settings.sequence import Step, out_of_order
from binder.study import SiteStudy

DEMO = Path(__file__).parents[2] / "demo_site"


def test_size_and_variety(demo: Inventory) -> None:
    """The plant that the issue asks for: at least 8 drives, 0.75 to 90 kW, three series of 40 and more settings."""
    kilowatts = [m.power.to("kW") for m in demo.motors if m.power]
    assert len(demo.drives) >= 9 and min(kilowatts) == pytest.approx(0.75) and max(kilowatts) == pytest.approx(90)
    per_series = Counter(s.model for s in demo.settings)
    assert len(per_series) == 3 and min(per_series.values()) >= 40
    assert demo.site.invented and demo.site.code_basis == "NEC" and demo.site.paper == "Letter"
    numbers = {s.model: s.number for s in demo.settings}
    assert sorted(n[0] for n in numbers.values()) == ["5", "M", "S"]  # three ways of numbering
    schemes = {c.scheme for c in demo.controls}
    assert {"two-wire run", "speed potentiometer", "hand-off-auto", "4-20 mA reference", "three-wire start-stop",
            "forward-reverse", "0-10 V reference", "network", "safe torque off"} <= schemes  # fmt: skip


def test_every_setting_survives_the_round_trip(demo: Inventory) -> None:
    """Encode, decode, compare over every setting of the demo models."""
    for row in demo.settings:
        if row.choices:
            for choice in row.choices:
                made = encode(row, choice.value)
                assert (made.display, decode(row, made.display)) == (choice.code, choice.value), row.number
        elif row.resolution is not None and row.minimum is not None and row.maximum is not None:
            _numbers_survive(row)


def _numbers_survive(row: ModelSetting) -> None:
    @settings(max_examples=8, deadline=None)
    @given(st.decimals(row.minimum, row.maximum, places=3, allow_nan=False))
    def survives(amount: Decimal) -> None:
        made = encode(row, amount)
        if not made.fault:
            back = decode(row, made.display)
            assert isinstance(back, Decimal) and row.resolution is not None
            assert abs(back - amount) <= row.resolution / 2
            assert encode(row, back).display == made.display

    survives()


def test_nothing_is_typed_by_hand_but_overrides(demo_study: SiteStudy) -> None:
    overrides = {(o.drive, o.setting) for o in demo_study.inventory.overrides}
    for drive in demo_study.drives:
        for row in drive.settings.rows:
            assert row.reason and (row.source != "default" or row.confirm), (drive.drive.tag, row.number)
            if row.source == "override":
                named = {f"{row.function} {row.applies_to}".strip().replace("_", " "), row.number}
                assert any((drive.drive.tag, name) in overrides for name in named)


def test_command_and_speed_come_from_the_terminals(demo_study: SiteStudy) -> None:
    """Every demo drive leaves the keypad's and the built-in potentiometer's hands."""
    for drive in demo_study.drives:
        every = (*drive.settings.rows, *drive.settings.untouched)
        rows = [r for r in every if r.function in {"command_source", "reference_source"}]
        assert rows
        for row in rows:
            assert row.required_text not in {"keypad", "built-in potentiometer", "built-in switch"}, (
                drive.drive.tag,
                row.number,
            )


def test_orders_are_sound(demo_study: SiteStudy) -> None:
    for drive in demo_study.drives:
        rows = drive.settings.rows
        assert [r.step for r in rows] == list(range(1, len(rows) + 1))
        place = {r.number: r.step for r in reversed(rows)}  # first writing of a number
        for row in rows:
            assert all(place[a] < row.step for a in row.after if a in place and a != row.number), row.number


def test_writing_the_preset_later_is_rejected(demo: Inventory) -> None:
    preset = next(s for s in demo.settings if s.function == "preset_macro")
    speed = next(s for s in demo.settings if s.model == preset.model and s.function == "max_frequency")
    steps = (Step(preset.number, preset, 2), Step(speed.number, speed, 7, frozenset({preset.number})))
    assert out_of_order([speed.number, preset.number], steps) == ((speed.number, preset.number),)


@pytest.mark.parametrize("kind", ["Invented A", "Invented B", "Invented C"])
def test_changed_page_is_short(demo_study: SiteStudy, kind: str) -> None:
    """One sheet at 2 am: 40 lines at the most (common practice, no source)."""
    for drive in demo_study.drives:
        if drive.drive.model.startswith(kind):
            changed = [r for r in drive.settings.rows if r.changed]
            assert 8 <= len(changed) <= 40, drive.drive.tag
