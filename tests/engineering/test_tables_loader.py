"""The tables of the standards: every file, the loader, and what it refuses."""

from __future__ import annotations

import pickle
from importlib.resources import files

import pytest

from binder.engineering.tables import OutsideTableError, load

FOLDER = files("binder.engineering.tables")
NAMES = sorted(p.name.removesuffix(".csv") for p in FOLDER.iterdir() if p.name.endswith(".csv"))
FLC, AMPACITY = "nec_430_250_three_phase_flc", "nec_310_16_ampacity"

#: First and last row of the table as printed, retyped from the published text.
RETYPED = [
    pytest.param(FLC, "induction_460v_a", {"hp": 10}, 14.0, id="NEC 2023 T430.250, 10 hp 460 V"),
    pytest.param(FLC, "induction_230v_a", {"hp": 7.5}, 22.0, id="NEC 2023 T430.250, 7.5 hp 230 V"),
    pytest.param(FLC, "induction_460v_a", {"hp": 50}, 65.0, id="NEC 2023 T430.250, 50 hp 460 V"),
    pytest.param(AMPACITY, "ampacity_75c_a", {"size": "10", "size_unit": "AWG", "material": "copper"}, 35.0,
                 id="NEC 2023 T310.16, 10 AWG Cu 75 °C"),
    pytest.param(AMPACITY, "ampacity_75c_a", {"size": "3/0", "size_unit": "AWG", "material": "copper"}, 200.0,
                 id="NEC 2023 T310.16, 3/0 Cu 75 °C"),
    pytest.param("iec_60364_5_52_ampacity", "pvc70_c_a", {"nominal_mm2": 10}, 57.0,
                 id="IEC 60364-5-52 T B.52.4, 10 mm² C"),
    pytest.param("cfr_431_25_motor_efficiency", "nominal_efficiency_pct",
                 {"hp": 10, "poles": 4, "enclosure": "enclosed"}, 91.7, id="10 CFR 431.25 T5, 10 hp 4 poles enclosed"),
    pytest.param("iec_60364_6_insulation", "min_resistance_mohm", {"circuit_key": "up_to_500_v"}, 1.0,
                 id="IEC 60364-6 T6.1, up to 500 V"),
    pytest.param("nema_mg1_facts", "value", {"key": "general_purpose_peak_voltage_max"}, 1000.0,
                 id="NEMA MG 1 part 30, peak 1000 V"),
]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_every_table_names_its_source_and_is_whole(name: str) -> None:
    table = load(name)
    assert table.title
    assert table.source
    assert table.confidence
    assert table.rows
    for row in table.rows:
        assert set(row) == set(table.columns)
        assert all(isinstance(cell, str) for cell in row.values())


@pytest.mark.parametrize(("name", "column", "keys", "printed"), RETYPED)
def test_cells_retyped_from_the_standard(name: str, column: str, keys: dict[str, float | str], printed: float) -> None:
    assert load(name).number(column, **keys) == printed


def test_a_number_finds_its_row_however_it_is_written() -> None:
    table = load("nec_430_250_three_phase_flc")
    assert table.row(hp=10) is table.row(hp=10.0) is table.row(hp="10")


def test_nothing_is_read_beyond_a_table() -> None:
    with pytest.raises(OutsideTableError, match="hp 11"):
        load("nec_430_250_three_phase_flc").row(hp=11)
    with pytest.raises(OutsideTableError, match="rating_a 7000 or more"):
        load("nec_240_6_standard_ratings").at_least("rating_a", 7000.0)
    with pytest.raises(OutsideTableError, match="between"):
        load("nec_310_15_ambient_correction").band("ambient_min_c", "ambient_max_c", 200.0)
    with pytest.raises(OutsideTableError, match="no such table"):
        load("nec_999")


def test_one_key_that_fits_many_rows_is_refused() -> None:
    with pytest.raises(OutsideTableError, match="alone"):
        load("cfr_431_25_motor_efficiency").row(hp=10)


def test_an_empty_cell_is_no_zero() -> None:
    with pytest.raises(OutsideTableError, match="induction_2300v_a"):
        load("nec_430_250_three_phase_flc").number("induction_2300v_a", hp=1)


def test_the_error_is_a_lookup_error_and_pickles() -> None:
    error = OutsideTableError("nec_310_16_ampacity", "size 3")
    again = pickle.loads(pickle.dumps(error))
    assert isinstance(again, LookupError)
    assert str(again) == str(error)
    assert (again.table, again.sought) == ("nec_310_16_ampacity", "size 3")
