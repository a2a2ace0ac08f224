"""What the packet prints of a figure's inputs, and of the access to settings."""

from __future__ import annotations

from dataclasses import replace

import pytest
from docutils import nodes

from binder.documents.nodes import data_table
from binder.documents.packet_checks import figures_section
from binder.documents.packet_settings import settings_section
from binder.engineering.figure import Figure, Figures, Input, Rule
from binder.settings.table import SettingRow, SettingsTable


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


def test_access_that_the_table_opens_is_no_step_before_it() -> None:
    key = SettingRow(1, "S-1", "Key", "", "access_code", "", "", "0", "7", "", "", "default")
    drawer = replace(key, step=2, number="S-2", access="drawer: opens while S-1 holds 7", after=("S-1",))
    switch = replace(key, step=3, number="S-3", access="service switch on")
    (restore,) = (
        s
        for s in settings_section(SettingsTable("P-1", "Model", "", (key, drawer, switch))).findall(nodes.section)
        if "settings-restore" in s["ids"]
    )
    told = " ".join(restore.astext().split())
    assert "Open access: service switch on." in told
    assert "S-1" not in told
