"""The control supply on the main circuit: what the flags of the control sheets lead to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from binder.wiring.connections import Connection, End, Wiring
from binder.wiring.drawing_columns import Economy, wire_label
from binder.wiring.rows import other_end
from binder.wiring.sheet import BAND, SHEET_WIDTH
from schemdraw_parts.figure import SheetFigure
from schemdraw_parts.style import SMALL, TAG, TEXT
from schemdraw_parts.text import width
from schemdraw_parts.wiring import Flag, Lines, TerminalCell, flag_width

_PITCH = 4.8
_HEAD = 12.0
_GAP = 6.0
#: Conductors drawn at one cell; more go to another cell of the same terminal.
_MOST = 8


@dataclass(frozen=True, slots=True)
class SupplyTerminal:
    """One terminal of the control supply and the conductors that leave it for the control sheets."""

    end: End
    records: tuple[Connection, ...]


def supply_terminals(wiring: Wiring) -> tuple[SupplyTerminal, ...]:
    """Terminals of every strip of kind 'control supply' with their conductors, in the strip's order."""
    out = []
    for strip in wiring.strips:
        if strip.kind != "control supply":
            continue
        used = [e for c in wiring.connections for e in (c.a, c.b) if e.device == strip.tag]
        for mark in dict.fromkeys([*strip.terminals, *(e.terminal for e in used)]):
            end = End(strip.tag, mark)
            records = tuple(
                c for c in wiring.connections if end in (c.a, c.b) and other_end(c, end).device != strip.tag
            )  # fmt: skip
            if records:
                out.append(SupplyTerminal(end, records))
    return tuple(out)


def control_height(terminals: Sequence[SupplyTerminal]) -> float:
    """Height of the control supply's part of the sheet; 0 when there is none. [mm]"""
    if not terminals:
        return 0.0
    return _HEAD + _PITCH * max(len(t.records) for t in terminals) + 4.0


def in_rows(terminals: Sequence[SupplyTerminal]) -> list[tuple[SupplyTerminal, ...]]:
    """Terminals in groups that fit the width of a sheet; a tall terminal is cut."""
    groups: list[tuple[SupplyTerminal, ...]] = []
    used = SHEET_WIDTH
    for whole in terminals:
        for first in range(0, len(whole.records), _MOST):
            terminal = SupplyTerminal(whole.end, whole.records[first : first + _MOST])
            body, stub, flags = _widths(terminal)
            room = body + stub + flags + _GAP
            if used + room > SHEET_WIDTH - 2.0:
                groups.append(())
                used = BAND + 2.0
            groups[-1] = (*groups[-1], terminal)
            used += room
    return groups


def _widths(terminal: SupplyTerminal) -> tuple[float, float, float]:
    """Width of a terminal's cell, of its stubs and of its flags."""
    stub = max(width(wire_label(r, Economy()), TEXT) for r in terminal.records) + 3.0
    flags = max(flag_width(str(other_end(r, terminal.end))) for r in terminal.records)
    return width(terminal.end.terminal, TEXT, bold=True) + 4.0, stub, flags


def draw_control_supply(figure: SheetFigure, terminals: Sequence[SupplyTerminal], top: float) -> None:
    """Draw the terminals side by side, each as tall as its conductors.

    Parameters
    ----------
    figure : SheetFigure
    terminals : sequence of SupplyTerminal
    top : float
        Upper edge. [mm]
    """
    x, strip = BAND + 2.0, ""
    for terminal in terminals:
        if terminal.end.device != strip:
            strip = terminal.end.device
            lines = [(strip, TAG, True), ("control supply", SMALL, False)]
            figure.place(Lines(lines, tag=strip, pitch=3.6), x, top + 1.5, kind="words")
        labels = [wire_label(r, Economy()) for r in terminal.records]
        body, stub, flags = _widths(terminal)
        texts = [str(other_end(r, terminal.end)) for r in terminal.records]
        y = top + _HEAD
        cell = TerminalCell(
            strip, terminal.end.terminal, terminal.end.terminal, body=body, depth=_PITCH * (len(labels) - 1)
        )  # fmt: skip
        figure.place(cell, x, y, kind="terminal")
        for k, (record, label, text) in enumerate(zip(terminal.records, labels, texts, strict=True)):
            flag = Flag(text, stub=stub, wire=label)
            figure.place(flag, x + body, y + _PITCH * k, kind="flag", record=record.id)
        x += body + stub + flags + _GAP
