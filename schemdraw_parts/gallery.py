"""A picture of every part: `python -m schemdraw_parts.gallery FOLDER` writes SVG sheets and a page, index.html."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from html import escape
from pathlib import Path

from schemdraw_parts import main_circuit as power
from schemdraw_parts.base import Part
from schemdraw_parts.contacts import OPERATORS, Changeover, Contact
from schemdraw_parts.drive import Cell, ControlTerminals, LinkBracket, RelayContact, block_columns
from schemdraw_parts.figure import SheetFigure
from schemdraw_parts.instruments import (
    Block,
    Coil,
    Lamp,
    Meter,
    Potentiometer,
    Resistor,
    Thermistor,
    Transmitter,
    block_width,
)
from schemdraw_parts.ladder import LadderBox, LadderCoil, LadderContact, LadderLamp, LadderResistor, Riser, RungNumber
from schemdraw_parts.style import PITCH, POLE, SMALL, TAG, Symbols
from schemdraw_parts.wiring import (
    Bridge,
    Chart,
    Earth,
    Flag,
    Frame,
    Lines,
    Link,
    Rail,
    Screen,
    Sheath,
    TerminalCell,
    Wire,
    chart_width,
)
from schemdraw_parts.zones import ZoneGrid

Shown = tuple[str, Part]
#: Parts on one line of a sheet, and the room of each. [mm]
_ACROSS = 5


def _contacts(symbols: Symbols) -> list[Shown]:
    shown: list[Shown] = [
        (f"{form}, {operator or 'no operator'}", Contact("-S", "13", "14", form, operator=operator, symbols=symbols))
        for operator in OPERATORS
        for form in ("NO", "NC")
    ]
    shown.append(("changeover", Changeover("-K", ("11", PITCH), ("14", 0.0), ("12", 2 * PITCH))))
    return shown


def _instruments(symbols: Symbols) -> list[Shown]:
    ports = [("AO1", (0.0,), "0-10 V"), ("COM", (PITCH,), "0 V")]
    ends = [("1", (0.0,)), ("2", (PITCH,)), ("3", (2 * PITCH,))]
    return [
        ("potentiometer", Potentiometer("-R1", ends, clockwise="1", symbols=symbols)),
        ("lamp", Lamp("-P1", "X1", "X2", lens="RD", symbols=symbols)),
        ("meter", Meter("-P2", "+", "-")),
        ("two-wire transmitter", Transmitter("-B1", "+", "-")),
        ("coil", Coil("-K1", "A1", "A2", symbols=symbols)),
        ("brake coil", Coil("-R2", "1", "2", brake=True, symbols=symbols)),
        ("thermistor", Thermistor("-B2", "1T1", "1T2", symbols=symbols)),
        ("resistor", Resistor("-R3", "1", "2", symbols=symbols)),
        ("block", Block("-K2", ports, body=block_width([(n, w) for n, _, w in ports]))),
    ]


def _wiring(symbols: Symbols) -> list[Shown]:
    rows = [("13-14", (True, False, False)), ("23-24", (False, False, True))]
    positions = ("HAND", "OFF", "AUTO")
    return [
        ("wire", Wire((0, 0), (30, 0), [("102 BU 0.75", 1.0)])),
        ("flag to the right", Flag("-X1:11 /2", stub=14.0, wire="102 BU")),
        ("terminal", TerminalCell("-X1", "8", "8", body=8.0)),
        ("terminal of three conductors", TerminalCell("-X1", "9", "9", body=10.0, tracks=2.0, depth=9.2)),
        ("bridge", Bridge(PITCH)),
        ("bridge over a terminal between", Bridge(2 * PITCH, [PITCH])),
        ("rail", Rail((0, 0), (0, PITCH), 8.0, "102")),
        ("mechanical link", Link((0, 0), (0, PITCH), 6.0)),
        ("sheath", Sheath(PITCH)),
        ("screened pair", Sheath(PITCH, screened=True, pairs=((0.0, PITCH),))),
        ("screen's conductor", Screen(4.0, 20.0, "screen -PE:1", 1.0)),
        ("protective earth", Earth()),
        ("functional earth", Earth("functional")),
        ("earth", Earth("plain")),
        ("contact chart", Chart("-S1", positions, rows, columns=chart_width(positions, rows)[1], symbols=symbols)),
    ]


def _drive(symbols: Symbols) -> list[Shown]:
    del symbols
    names = (("10", "+24 V", ""), ("13", "DI1", "run forward"), ("31", "R1 C", "fault"), ("32", "R1 NO", ""),
             ("33", "R1 NC", ""))  # fmt: skip
    cells = [
        Cell(n, label, words, 9 + PITCH * i, 9 + PITCH * (i + 1), (9 + PITCH * (i + 0.5),), n != "33")
        for i, (n, label, words) in enumerate(names)
    ]
    columns = block_columns(cells, links=1, relays=True)
    block = ControlTerminals(
        "-T1", "drive", cells, relays=[RelayContact("31", "32", "33")], columns=columns, height=44, corner="1/1"
    )  # fmt: skip
    return [("control terminals", block), ("link", LinkBracket((0, 0), (0, PITCH), -4.0))]


def _main_circuit(symbols: Symbols) -> list[Shown]:
    line, load = ("1", "3", "5"), ("2", "4", "6")
    kinds: Sequence[tuple[str, type[power.Poles]]] = (
        ("disconnect", power.Disconnect), ("breaker", power.Breaker), ("fuses", power.Fuses),
        ("contactor", power.Contactor), ("overload", power.Overload), ("reactor", power.Reactor),
        ("filter", power.FilterBox),
    )  # fmt: skip
    shown: list[Shown] = [(name, kind("-Q1", line, load, symbols=symbols)) for name, kind in kinds]
    three, motor = ("L1", "L2", "L3", "PE"), ("U", "V", "W", "PE")
    return [
        *shown,
        ("supply", power.Supply("-X0", three)),
        ("drive", power.DrivePower("-T1", three, motor, below=("R+", "R-"))),
        ("motor", power.Motor("-M1", ("U1", "V1", "W1", "PE"))),
        ("brake resistor", power.BrakeResistor("-R1", ("1", "2"), 10.0, symbols=symbols)),
        ("second conductor", power.TapFlag("-Q3:1 /2")),
    ]


def _ladder(symbols: Symbols) -> list[Shown]:
    del symbols  # ladders are North American
    kinds = ("relay", "push", "mushroom", "turn", "limit", "pressure")
    contacts: list[Shown] = [
        (f"on a rung {form}, {kind}", LadderContact("CR1", "1", "2", form, operator=kind, caption="CR1", below=["(1)"]))
        for kind in kinds
        for form in ("NO", "NC")
    ]
    return [
        *contacts,
        ("rung coil", LadderCoil("M1", "A1", "A2", caption="M1")),
        ("rung lamp", LadderLamp("LT1", "X1", "X2", caption="LT1", lens="R")),
        ("rung resistor", LadderResistor("HTR1", "1", "2", caption="HTR1")),
        ("rung box", LadderBox("REC1", "1", "2", caption="REC1")),
        ("branch", Riser(PITCH)),
        ("number of a rung", RungNumber("12")),
    ]


def _sheet(symbols: Symbols) -> list[Shown]:
    del symbols
    outline = [(0.0, 0.0), (30.0, 0.0), (30.0, PITCH * 2), (0.0, PITCH * 2), (0.0, 0.0)]
    return [
        ("path grid", ZoneGrid(44.0, 30.0, columns=4, row=9.0, band=3.4)),
        ("frame of a place", Frame(outline, "+MCC1", (1.0, 3.4))),
        ("words", Lines([("-S1", TAG, True), ("hand, off, auto", SMALL, False)])),
    ]


FAMILIES: dict[str, tuple[Callable[[Symbols], list[Shown]], float]] = {
    "contacts": (_contacts, 3 * PITCH),
    "instruments": (_instruments, 4 * PITCH),
    "wiring": (_wiring, 4 * PITCH),
    "drive": (_drive, 60.0),
    "main circuit": (_main_circuit, 8 * POLE),
    "ladder": (_ladder, 14.0),
    "sheet": (_sheet, 34.0),
}


def gallery(symbols: Symbols = Symbols.IEC) -> dict[str, str]:
    """Draw every part.

    Parameters
    ----------
    symbols : Symbols
        Which forms to draw.

    Returns
    -------
    dict
        Name of the family -> SVG.
    """
    sheets = {}
    for name, (make, row) in FAMILIES.items():
        shown = make(symbols)
        height = (row + 8.0) * -(-len(shown) // _ACROSS) + 10.0
        key = f"gallery-{name.replace(' ', '-')}-{symbols.value.replace(' ', '-')}"
        title = f"Parts: {name}, {symbols.value} forms"
        figure = SheetFigure(255, height, key=key, title=title, description=", ".join(text for text, _ in shown))
        for i, (text, part) in enumerate(shown):
            x, y = 4.0 + 50.0 * (i % _ACROSS), 5.0 + (row + 8.0) * (i // _ACROSS)
            figure.place(Lines([(text, TAG, True)]), x, y)
            down = {"main circuit": 18.0, "ladder": 11.0}.get(name, 8.0)
            figure.place(part, x + (8.0 if name != "drive" else 0.0), y + down)
        sheets[name] = figure.svg()
    return sheets


def page(pictures: dict[str, str]) -> str:
    """Return one HTML page with all pictures, by their names."""
    figures = "".join(
        f"<figure><figcaption>{escape(name)}</figcaption>{svg}</figure>" for name, svg in sorted(pictures.items())
    )
    return (
        '<!doctype html><html lang="en"><meta charset="utf-8"><title>Drive-wiring parts</title>'
        "<style>body{font-family:sans-serif;margin:1rem;color-scheme:light dark}svg{max-width:100%;height:auto}"
        f"figcaption{{font-weight:bold;margin:1rem 0}}</style><h1>Drive-wiring parts</h1>{figures}</html>\n"
    )


def main() -> None:
    """Write all families in both forms, and a page with all of them, into the folder named on the command line."""
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    pictures = {f"{name}, {forms.value} forms": svg for forms in Symbols for name, svg in gallery(forms).items()}
    for name, svg in pictures.items():
        stem = name.removesuffix(" forms").replace(", ", "_").replace(" ", "_")
        (folder / f"{stem}.svg").write_text(svg, encoding="utf-8")
    (folder / "index.html").write_text(page(pictures), encoding="utf-8")


if __name__ == "__main__":
    main()
