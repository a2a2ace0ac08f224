"""Sizes that the wiring gives to cores itself are sizes that everything else can read."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from binder.inventory.cleaning import CellError
from binder.inventory.conductor_sizes import parse_conductor
from binder.inventory.reader import read_workbook
from binder.study import study_site
from binder.wiring.cabling import SIZES
from binder.wiring.schedules import check_sheet


@pytest.mark.parametrize("size", sorted({size for pair in SIZES.values() for size in pair}))
def test_each_usual_size_has_an_area(size: str) -> None:
    assert parse_conductor(size, data=True).label == size


def test_a_cell_does_not_take_the_section_of_a_data_cable() -> None:
    """No table of power cables holds it: drops and currents would stand there unjudged."""
    with pytest.raises(CellError, match=r"0\.34"):
        parse_conductor("0.34 mm²")


def test_a_long_network_cable_of_an_iec_site_has_its_limit() -> None:
    """45 m of 0.34 mm²: 45 / (56 x 0.34) = 2.4 Ω and 1 Ω for the contacts (textbook)."""
    inventory = read_workbook(Path(__file__).parents[2] / "demo_site" / "inventory.xlsx")
    iec = study_site(replace(inventory, site=replace(inventory.site, code_basis="IEC")))
    told = [line.dead for s in iec.drives for line in check_sheet(s.wiring) if "of 0.34 mm²" in line.dead]
    assert told
    assert {text.partition(" end to end")[0] for text in told} == {"at most 3.4 Ω"}
