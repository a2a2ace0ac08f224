"""Main-circuit sheets: supply, disconnect, protection, drive, motor cable, motor, in tiers from left to right."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from binder.engineering.figure import Figure
from binder.inventory.records import Drive, Inventory
from binder.wiring.connections import Wiring
from binder.wiring.drawing import foot, grid, symbols_of_site
from binder.wiring.power_chain import MainCircuit, Stage, main_circuit, wire_names
from binder.wiring.power_control import (
    SupplyTerminal,
    control_height,
    draw_control_supply,
    in_rows,
    supply_terminals,
)
from binder.wiring.power_tier import EARTHED, HEAD, Tier, TierDrawing, advance, body, first_left, tier_height
from binder.wiring.sheet import BAND, SHEET_HEIGHT, SHEET_WIDTH, DrawingSheet, room_for_notes, sheet_key
from binder.wiring.zones import WIDEST, zone
from schemdraw_parts.figure import SheetFigure
from schemdraw_parts.style import POLE, Symbols
from schemdraw_parts.wiring import flag_width

TITLE = "Main circuit"
_ROOM = SHEET_WIDTH - BAND - 4.0
#: Longest stub of a flag where a tier goes on, beyond the gap behind a stage. [mm]
_STUB = 8.0
_FOOT = 12.5
_NOTE = (
    "Shown without power. A flag names the other end of the conductor; /2.C4 = sheet 2, zone C4. Computed figures are "
    "no approval."
)


@dataclass(slots=True)
class _Page:
    tiers: list[Tier] = field(default_factory=list)
    height: float = BAND + 2.0
    control: tuple[SupplyTerminal, ...] = ()


def power_sheets(inventory: Inventory, drive: Drive, figures: Mapping[str, Figure], wiring: Wiring, *,
                 reference: str = "") -> tuple[DrawingSheet, ...]:
    """Draw the main circuit of one drive.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
    figures : mapping of str to Figure
        Computed figures of the drive; used where present, never needed.
    wiring : Wiring
        For the drive's designation and for contactors and overloads of its schemes.
    reference : str
        Document number and revision, for the foot of each sheet.

    Returns
    -------
    tuple of DrawingSheet

    Notes
    -----
    What the inventory does not give is written as not given; nothing is assumed.
    """
    symbols = symbols_of_site(inventory)
    circuit = main_circuit(
        inventory, drive, figures, wiring, north_american=symbols is Symbols.NORTH_AMERICAN
    )  # fmt: skip

    def draw(reserve: float) -> tuple[DrawingSheet, ...]:
        pages = _paginate(_tiers(circuit), circuit, supply_terminals(wiring), SHEET_HEIGHT - _FOOT - reserve)
        where = _where(pages, circuit)
        return tuple(
            _sheet(drive, circuit, page, number, len(pages), symbols=symbols, where=where, reference=reference)
            for number, page in enumerate(pages, start=1)
        )

    return room_for_notes(draw)


def _tiers(circuit: MainCircuit) -> list[Tier]:
    """Cut every chain where it would leave the sheet."""
    tiers: list[Tier] = []
    main = circuit.chains[0]
    by_tap = {stage.tap: stage for stage in main if stage.tap}
    for chain in circuit.chains:
        own = chain is main
        fed_by = None if own else by_tap.get(chain[0].tag, main[-1])
        earthed: Stage | None = None if own else main[-1]
        names = wire_names(chain, first=own)
        if chain[-1].tag in by_tap:  # the bypass comes back to the conductors behind the drive's contactor
            names |= {chain[-1].tag: wire_names(main, first=True)[by_tap[chain[-1].tag].tag]}
        current = Tier([], names, fed_by)
        used, flag = 0.0, _STUB + max(flag_width(f"{s.tag}:PE{WIDEST}") for s in chain)
        for position, stage in enumerate(chain):
            # A cable and what it leads to stay together: its name and screens belong to both ends.
            need = _cabled(chain[position:]) + (0.0 if stage.cable or stage is chain[-1] else flag)
            if current.stages and used + need > _ROOM:
                current.goes_to = stage
                tiers.append(current)
                current = Tier([], names, current.stages[-1])
                used = flag + 4.0
            if stage.kind in EARTHED:
                if earthed is not None and earthed not in current.stages:
                    current.earth_from = earthed
                    for tier in tiers:
                        if earthed in tier.stages and own:
                            tier.earth_to = stage
                earthed = stage
            current.stages.append(stage)
            used += advance(stage)
        current.goes_to = by_tap.get(chain[-1].tag)
        tiers.append(current)
    return tiers


def _cabled(stages: Sequence[Stage]) -> float:
    """Room of the first stage and of all that hang on it by cables. [mm]"""
    last = next(n for n, stage in enumerate(stages) if not stage.cable or stage is stages[-1])
    return math.fsum(advance(stage) for stage in stages[: last + 1])


def _paginate(
    tiers: Sequence[Tier], circuit: MainCircuit, control: Sequence[SupplyTerminal], room: float
) -> list[_Page]:
    pages = [_Page()]
    for tier in tiers:
        height = tier_height(tier.stages, circuit)
        if pages[-1].tiers and pages[-1].height + height > room:
            pages.append(_Page())
        pages[-1].tiers.append(tier)
        pages[-1].height += height
    for group in in_rows(control):
        height = control_height(group)
        if pages[-1].height + height > room or pages[-1].control:
            pages.append(_Page())
        pages[-1].control = group
        pages[-1].height += height
    return pages


def _where(pages: Sequence[_Page], circuit: MainCircuit) -> dict[str, tuple[int, str]]:
    """Sheet and zone of each stage."""
    sheets = {s.tag: number for number, page in enumerate(pages, 1) for tier in page.tiers for s in tier.stages}
    found = {}
    for number, page in enumerate(pages, start=1):
        y = BAND + 2.0
        for tier in page.tiers:
            x = first_left(tier, number, sheets)
            for stage in tier.stages:
                found[stage.tag] = (number, zone(x + body(stage) / 2, y + HEAD + POLE))
                x += advance(stage)
            y += tier_height(tier.stages, circuit)
    return found


def _sheet(drive: Drive, circuit: MainCircuit, page: _Page, number: int, count: int, *, symbols: Symbols,
           where: Mapping[str, tuple[int, str]], reference: str) -> DrawingSheet:
    height = round(page.height + _FOOT, 1)
    names = [f"{s.tag} {' '.join(s.above[:1])}".strip() for t in page.tiers for s in t.stages]
    names += [f"control supply {t.end}" for t in page.control]
    alt = f"{TITLE} of {drive.tag}, sheet {number} of {count}, from left to right: {', '.join(names)}."
    key = sheet_key("power", drive, number)
    title = f"{TITLE} of {drive.tag}, sheet {number} of {count}"
    figure = SheetFigure(SHEET_WIDTH, height, key=key, title=title, description=alt)
    y = BAND + 2.0
    for tier in page.tiers:
        TierDrawing(figure, circuit, symbols, where, number, y).draw(tier)
        y += tier_height(tier.stages, circuit)
    if page.control:
        draw_control_supply(figure, page.control, y)
    note = " ".join([_NOTE, *(f"{n[:1].upper()}{n[1:]}." for n in circuit.notes)])
    foot(figure, note, f"{TITLE} · {drive.tag} · sheet {number} of {count}", reference, page.height + 3.0)
    grid(figure, page.height + 0.6)
    return DrawingSheet(TITLE, number, count, figure.svg(), SHEET_WIDTH, figure.sheet_height, alt)
