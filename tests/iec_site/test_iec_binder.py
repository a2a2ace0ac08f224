"""A whole binder of an invented IEC site: read, studied and built, with not a word of the other code in it."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pikepdf
import pytest
from iec_rows import DRIVES, ROWS, write_site
from lxml.html import document_fromstring

from binder.engineering.tables import load
from binder.inventory.blank import write_workbook
from binder.inventory.reader import read_workbook
from binder.project import Project
from binder.study import SiteStudy, study_site
from binder.wiring.drawing import control_sheets
from binder.wiring.power import power_sheets
from binder.wiring.schedules import wire_list

#: What belongs to the other code base: no page of an IEC binder may say it.
AMERICAN = re.compile(r".{0,60}\b(?:NEC|NFPA|CFR|OSHA|NETA|UL 508\w*|AWG|kcmil)\b.{0,40}", re.DOTALL)
#: (code, grade, cell, drive): signals without a live zero, which are true of this site.
EXPECTED = [("W120", "note", "B11", "P103-T1"), ("W120", "note", "B3", "P101-T1"), ("W120", "note", "B7", "P102-T1")]
A4_POINTS = (595.28, 841.89)


@pytest.fixture(scope="module")
def study(tmp_path_factory: pytest.TempPathFactory) -> SiteStudy:
    """The invented site, studied."""
    return study_site(read_workbook(write_site(tmp_path_factory.mktemp("site") / "inventory.xlsx")))


def test_only_the_expected_findings(study: SiteStudy) -> None:
    assert sorted((f.code, str(f.grade), f.cell, f.tag) for f in study.findings) == EXPECTED


def test_cells_with_a_decimal_comma_are_read(study: SiteStudy) -> None:
    motor = next(m for m in study.inventory.motors if m.tag == "M101")
    assert motor.power is not None and motor.power.to("kW") == pytest.approx(0.75)
    assert motor.power_factor == Decimal("0.76")
    size = next(c.size for c in study.inventory.cables if c.tag == "W101-L")
    assert size is not None and size.area_mm2 == 1.5


def test_filter_jumper_on_the_it_supply(tmp_path: Path) -> None:
    """Left in on a source that is not earthed it is a stop; on TN-S it may stay."""
    rows = ROWS | {"Drives": [row | {"filter_jumper": "fitted"} for row in DRIVES]}
    write_workbook(tmp_path / "inventory.xlsx", rows)
    found = study_site(read_workbook(tmp_path / "inventory.xlsx")).findings
    assert [(f.tag, f.column) for f in found if f.grade == "stop"] == [("P103-T1", "Filter jumper")]


def test_figures_tests_and_lockout_name_iec_rules_only(study: SiteStudy) -> None:
    facts = [str(f.as_dict()) for f in study.figures.values()]
    for drive in study.drives:
        facts += [str(f.as_dict()) for f in drive.figures.values()]
        facts += [repr(drive.field), repr(drive.settings)]
    assert [m for text in facts for m in AMERICAN.findall(text)] == []
    assert any("IEC 60364-5-52" in text for text in facts)


def test_lockout_follows_en_50110(study: SiteStudy) -> None:
    """EN 50110-1: disconnect, secure, prove dead, earth and short-circuit, screen; order from memory, check."""
    for drive in study.drives:
        card = drive.field.lockout
        assert "EN 50110-1, working de-energized" in card.rules
        words = (drive.drive.isolator, "own lock", "Prove the meter", "Earth and short-circuit")
        places = [next(n for n, step in enumerate(card.steps) if word in step) for word in words]
        assert places == sorted(places), card.steps
        assert any("Screen live parts" in step for step in card.steps)
        assert not any("ground" in step for step in (*card.steps, *card.return_steps))


def test_wires_are_metric_with_colours_of_iec_60757(study: SiteStudy) -> None:
    codes = {row["code"] for row in load("iec_60757_colour_codes").rows}
    for drive in study.drives:
        listed = wire_list(drive.wiring)
        assert listed
        for wire in listed:
            assert not wire.size or wire.size.endswith("mm²"), wire
            pairs = {wire.colour[n : n + 2] for n in range(0, len(wire.colour), 2)}
            assert pairs <= codes | {"GN", "YE"}, wire


def test_devices_bear_iec_81346_designations(study: SiteStudy) -> None:
    for drive in study.drives:
        assert drive.wiring.designation == "-T1"
        assert all(re.match(r"-[A-Z]+\d+$", d.tag) for d in drive.wiring.devices), drive.drive.tag
        shown = "".join(s.svg for s in control_sheets(drive.wiring, study.inventory, drive.drive))
        for tag in ("-T1", "-X1", "-S1", "-W1"):
            assert f">{tag}" in shown, (drive.drive.tag, tag)
        power = power_sheets(study.inventory, drive.drive, drive.figures, drive.wiring)
        assert all(">U1<" in s.svg for s in power if ">M<" in s.svg)  # IEC 60034-8 terminal marks


def test_an_american_twin_is_told_apart(study: SiteStudy) -> None:
    """The search would find the other code: by the NEC the same site names it."""
    site = replace(study.inventory.site, code_basis="NEC")
    other = study_site(replace(study.inventory, site=site))
    assert AMERICAN.search(str([f.as_dict() for f in other.drives[0].figures.values()]))


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Path]]:
    """HTML pages and the PDF of the whole binder."""
    folder = tmp_path_factory.mktemp("binder")
    project = Project.create(folder / "project")
    write_site(project.workbook)
    result = project.build(html=True, pdf=True, out=folder / "out", progress=lambda *_: None)
    assert result.page_count > 60
    pages = sorted((folder / "out").rglob("*.html"))
    return {"html": pages, "pdf": [path for kind, path in result.outputs if kind == "PDF"]}


def test_no_page_of_the_binder_names_the_other_code(built: dict[str, list[Path]]) -> None:
    assert len(built["html"]) > 10
    for page in built["html"]:
        assert AMERICAN.findall(document_fromstring(page.read_bytes()).text_content()) == [], page.name


def test_every_sheet_is_a4(built: dict[str, list[Path]]) -> None:
    for path in built["pdf"]:
        with pikepdf.open(path) as pdf:
            for page in pdf.pages:
                width, height = sorted(float(x) for x in [*page.mediabox][2:])
                assert (width, height) == pytest.approx(A4_POINTS, abs=1)


def test_settings_agree_with_the_wiring_in_every_mode(study: SiteStudy) -> None:
    """The setting without a mode serves the modes that have none of their own: hand, where auto has one."""
    for drive in study.drives:
        assert all(owner.agrees for owner in drive.settings.owners), drive.drive.tag
    pump = next(d for d in study.drives if d.drive.tag == "P102-T1")
    row = next(r for r in pump.settings.rows if r.number == "3.03")
    assert (row.required_text, row.reason) == ("AI1", "-R1 sets the speed in hand")


def test_an_american_source_stands_beside_its_iec_counterpart(study: SiteStudy) -> None:
    """NEMA MG 1 and IEEE 43 are named where IEC has nothing, or together with the IEC document."""
    said = {f.rule.source for d in study.drives for f in d.figures.values()}
    said |= {f.note for d in study.drives for f in d.figures.values()}
    said |= {line.source for d in study.drives for sheet in d.field.sheets for line in sheet.lines}
    assert [text for text in said if re.search(r"NEMA MG 1|IEEE 43", text) and "IEC" not in text] == []


def test_an_external_supply_names_the_standard_of_the_site(tmp_path: Path) -> None:
    rows = ROWS | {"Controls": [*ROWS["Controls"], {"drive": "P101-T1", "scheme": "external 24 V", "value": "24 V"}]}
    write_workbook(tmp_path / "inventory.xlsx", rows)
    notes = [n for d in study_site(read_workbook(tmp_path / "inventory.xlsx")).drives for n in d.wiring.notes]
    assert [n for n in notes if "IEC 60204-1 13.2.4" in n[1]]
    assert not AMERICAN.findall(repr(notes))
