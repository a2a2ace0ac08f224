"""Parts: anchors named by terminal, ordinary schemdraw elements, one clean SVG.

Geometry follows iec_60617_symbol_notes.csv and ieee315_nfpa79_symbol_notes.csv among the tables
of the standards; most of both is from memory and says so there.
"""

from __future__ import annotations

import importlib
import pkgutil
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
import schemdraw
from schemdraw.segments import SegmentArc, SegmentCircle

import schemdraw_parts
from schemdraw_parts.base import Part
from schemdraw_parts.contacts import OPERATORS, Changeover, Contact
from schemdraw_parts.drive import Cell, ControlTerminals, block_columns
from schemdraw_parts.figure import SheetFigure
from schemdraw_parts.gallery import FAMILIES, gallery, main
from schemdraw_parts.instruments import Block, Coil, Lamp, Potentiometer, TwoTerminal
from schemdraw_parts.main_circuit import BODY, DrivePower, Fuses, Motor, Supply
from schemdraw_parts.style import PITCH, POLE, Symbols
from schemdraw_parts.wiring import Bridge, Chart, Flag, TerminalCell, flag_width

SVG = "{http://www.w3.org/2000/svg}"


def figure() -> SheetFigure:
    return SheetFigure(100, 60, key="t", title="a title", description="a description")


def placed(part: Part, x: float = 10.0, y: float = 20.0) -> Part:
    return figure().place(part, x, y)


@pytest.mark.parametrize("symbols", Symbols)
@pytest.mark.parametrize("form", ["NO", "NC"])
@pytest.mark.parametrize("operator", OPERATORS)
def test_a_contact_lands_its_wires_on_its_terminal_marks(symbols: Symbols, form: str, operator: str) -> None:
    part = placed(Contact("-S1", "13", "14", form, operator=operator, symbols=symbols))
    assert part.point("13") == (10.0, 20.0)
    assert part.point("14") == (10.0, 20.0 + PITCH)


@pytest.mark.parametrize("part", [Lamp("-P1", "X1", "X2"), Coil("-K1", "A1", "A2"), TwoTerminal("-E1", "1", "2")])
def test_two_terminal_devices_stretch_with_their_rows(part: TwoTerminal) -> None:
    kind = type(part)
    tall = placed(kind("-X", "a", "b", rows=((0.0, PITCH), (4 * PITCH,))))
    assert tall.point("a") == (10.0, 20.0)
    assert tall.point("a/2") == (10.0, 20.0 + PITCH)
    assert tall.point("b") == (10.0, 20.0 + 4 * PITCH)


def test_a_potentiometer_may_stand_upside_down() -> None:
    ports = [("3", (0.0,)), ("2", (PITCH,)), ("1", (2 * PITCH,))]
    part = placed(Potentiometer("-R1", ports, clockwise="1"))
    assert part.point("3")[1] < part.point("2")[1] < part.point("1")[1]


def test_a_terminal_without_conductor_has_no_lead() -> None:
    with_lead = Contact("-S1", "13", "14")
    without = Contact("-S1", "13", "14", unwired={"13"})
    leftmost = [min(x for s in p.segments for x, _ in getattr(s, "path", [(99, 0)])) for p in (with_lead, without)]
    assert leftmost == [0.0, 0.0]
    first = [next(s for s, o in zip(p.segments, p.owners, strict=True) if o == "13") for p in (with_lead, without)]
    assert [f.path[0][0] for f in first] == [0.0, 11.0]


def test_anchors_of_blocks_cells_and_changeovers() -> None:
    block = placed(Block("-K2", [("AO1", (0.0,), ""), ("COM", (PITCH,), "0 V")], body=20.0))
    assert block.point("COM") == (10.0, 20.0 + PITCH)
    assert block.point("COM>") == (32.5, 20.0 + PITCH)
    cell = placed(TerminalCell("-X1", "8", "8", body=7.0))
    assert (cell.point("8"), cell.point("8>")) == ((10.0, 20.0), (17.0, 20.0))
    change = placed(Changeover("-K1", ("11", PITCH), ("14", 0.0), ("12", 2 * PITCH)))
    assert change.point("11") == (10.0, 20.0 + PITCH)


def test_the_drive_block_has_an_anchor_for_every_conductor() -> None:
    cells = [Cell("10", "+24 V", "", 8.0, 21.0, (11.0, 17.5)), Cell("11", "0 V", "", 21.0, 25.6, (23.3,), False)]
    columns = block_columns(cells, links=0, relays=False)
    part = placed(ControlTerminals("-T1", "drive", cells, columns=columns, height=30.0), 0.0, 0.0)
    assert part.point("10") == (columns.body, 11.0)
    assert part.point("10/2") == (columns.body, 17.5)
    assert part.point("11<")[0] == columns.body - columns.number


def test_main_circuit_parts_land_on_their_poles() -> None:
    fuses = placed(Fuses("-F1", ("1", "3", "5"), ("2", "4", "6")))
    assert [fuses.point(m) for m in ("1", "6")] == [(10.0, 20.0), (10.0 + BODY, 20.0 + 2 * POLE)]
    marks = ("U1", "V1", "W1", "PE")
    motor = placed(Motor("-M1", marks))
    assert [motor.point(m)[1] for m in marks] == [20.0 + POLE * i for i in range(4)]
    drive = placed(DrivePower("-T1", ("L1", "L2", "L3", "PE"), ("U", "V", "W", "PE"), below=("R+", "R-")))
    assert drive.point("motor:V") == (10.0 + DrivePower.WIDTH, 20.0 + POLE)
    assert drive.point("below:R+")[0] < drive.point("below:R-")[0]
    supply = placed(Supply("TR1", ("L1", "L2", "L3", "PE")))
    assert supply.point("PE") == (19.0, 20.0 + 3 * POLE)


def test_a_flag_is_as_wide_as_it_says() -> None:
    text = "-X1:11 /2"
    part = Flag(text, stub=12.0)
    right = max(x for s in part.segments for x, _ in getattr(s, "path", [(0, 0)]))
    assert right == pytest.approx(12.0 + flag_width(text))


def test_a_chart_marks_closed_contacts_with_a_cross() -> None:
    part = Chart("-S1", ("HAND", "OFF"), [("13-14", (True, False))], columns=10.0)
    crosses = [s for s in part.segments if len(getattr(s, "path", [])) == 2 and s.path[0][0] != s.path[1][0]]
    assert len([s for s in crosses if s.path[0][1] != s.path[1][1]]) == 2


@pytest.mark.parametrize("symbols", Symbols)
def test_every_part_draws_in_a_stock_drawing(symbols: Symbols) -> None:
    for make, _ in FAMILIES.values():
        for name, part in make(symbols):
            drawing = schemdraw.Drawing(show=False, canvas="svg")
            drawing.config(inches_per_unit=1 / 25.4)
            drawing.add(part)
            assert len(drawing.get_imagedata("svg")) > 200, name


def test_text_stays_text_whatever_it_holds() -> None:
    nasty = "<script>&\"'$x$\x00"
    sheet = figure()
    sheet.place(TerminalCell("-X1", nasty, nasty, body=30.0), 5, 5)
    root = ET.fromstring(sheet.svg())
    assert [t.text for t in root.iter(f"{SVG}text")] == ["<script>&\"'$x$"]


def test_the_file_has_title_description_units_and_one_ink() -> None:
    sheet = figure()
    sheet.place(Lamp("-P1", "X1", "X2", lens="RD"), 5, 5, kind="device")
    svg = sheet.svg()
    root = ET.fromstring(svg)
    assert (root.get("width"), root.get("viewBox")) == ("100mm", "0 0 1000 600")
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "t-t t-d"
    assert set(re.findall(r'(?:fill|stroke)="([^"]+)"', svg)) <= {"none", "currentColor"}
    assert "rgb" not in svg
    assert "black" not in svg


@pytest.mark.parametrize("symbols", Symbols)
def test_the_gallery_shows_every_family(symbols: Symbols) -> None:
    sheets = gallery(symbols)
    assert list(sheets) == ["contacts", "instruments", "wiring", "drive", "main circuit", "ladder", "sheet"]
    for svg in sheets.values():
        ET.fromstring(svg)
    assert sheets == gallery(symbols)


def test_the_gallery_is_written_to_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.argv", ["gallery", str(tmp_path / "parts")])
    main()
    assert len(list((tmp_path / "parts").glob("*.svg"))) == 2 * len(FAMILIES)


def test_a_bridge_jumps_over_what_it_does_not_join() -> None:
    plain, jumping = Bridge(3 * PITCH), Bridge(3 * PITCH, [PITCH])
    assert not [s for s in plain.segments if isinstance(s, SegmentArc)]
    (hop,) = [s for s in jumping.segments if isinstance(s, SegmentArc)]
    assert hop.center == (0, -PITCH)
    dots = [s.center[1] for s in jumping.segments if isinstance(s, SegmentCircle)]
    assert dots == [0, -3 * PITCH]


@pytest.mark.parametrize("module", [m.name for m in pkgutil.iter_modules(schemdraw_parts.__path__)])
def test_every_part_says_its_anchors_and_its_symbol_standard(module: str) -> None:
    made = importlib.import_module(f"schemdraw_parts.{module}")
    for name, part in vars(made).items():
        if isinstance(part, type) and issubclass(part, Part) and part.__module__ == made.__name__:
            told = part.__doc__ or ""
            assert "nchor" in told, name
            assert re.search(r"IEC \d|IEEE 315|NEMA|no standard symbol|symbol of its own|IEC 8", told), name
