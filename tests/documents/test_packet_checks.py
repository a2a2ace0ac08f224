"""What went into a figure, as the calculation sheets print it."""

from __future__ import annotations

import pytest

from binder.documents.nodes import data_table
from binder.documents.packet_checks import figures_section
from binder.engineering.figure import Figure, Figures, Input, Rule


def _from(inputs: list[Input]) -> str:
    figure = Figure("site.demand", "Demand", 7.0, "A", Rule("sum", "common practice, no source"), tuple(inputs))
    (table,) = figures_section(Figures((figure,))).findall(data_table)
    told: str = table["rows"][-1].cells[4]
    return told


@pytest.mark.parametrize(
    ("drives", "told"),
    [
        (2, "P-1 Rated input current 1 A; P-2 Rated input current 2 A"),
        (3, "Rated input current: P-1 1 A, P-2 2 A, P-3 3 A"),
        (25, "Rated input current of 25 drives, each in its packet"),
    ],
)
def test_what_drives_bring_alike_is_named_once(drives: int, told: str) -> None:
    inputs = [Input(f"P-{n} Rated input current", float(n), "A") for n in range(1, drives + 1)]
    assert _from([*inputs, Input("supply voltage", 480.0, "V")]) == f"{told}; supply voltage 480 V"
