"""Sheets of terminals and cables: which cable runs where, strip by strip, core by core."""

from __future__ import annotations

from collections.abc import Sequence

from binder.inventory.records import Drive, Inventory
from binder.wiring.connections import Wiring
from binder.wiring.drawing import foot, grid, symbols_of_site
from binder.wiring.drawing_blocks import FOOT, Block, Placed, pack
from binder.wiring.drawing_cores import CableBlock, cable_blocks
from binder.wiring.drawing_places import PlacesBlock, places_block
from binder.wiring.drawing_sheet import shield_word
from binder.wiring.drawing_terminals import StripBlock, strip_blocks
from binder.wiring.sheet import SHEET_WIDTH, DrawingSheet, room_for_notes, sheet_key
from schemdraw_parts.figure import SheetFigure

TITLE = "Terminals and cables"
_NOTE = "Inside at the left of a terminal, field at the right: wire number, cable:core, colour. Spare cores dashed."


def cable_sheets(wiring: Wiring, inventory: Inventory, drive: Drive, *, reference: str = "") -> tuple[
    DrawingSheet, ...
]:  # fmt: skip
    """Draw the terminal strips and the cables of one drive.

    Parameters
    ----------
    wiring : Wiring
        Its records: each conductor stands at each strip terminal that it lands on, and each core
        of each cable once, with both ends.
    inventory : Inventory
        For the power cables and for the words of the site.
    drive : Drive
    reference : str
        Document number and revision, for the foot of each sheet.

    Returns
    -------
    tuple of DrawingSheet
        Empty when the drive has neither strip nor cable.

    Notes
    -----
    Cables between places, then strips in the order of their terminals, then cables core by core,
    in two columns where all texts fit one. Nothing is cut but a strip or cable taller than a sheet.
    """
    shield = shield_word(symbols_of_site(inventory))
    places = places_block(inventory, drive, wiring, shield=shield)
    strips = strip_blocks(wiring, shield=shield.removesuffix("ed"))
    cables = cable_blocks(wiring, shield=shield)
    if not strips and not cables:
        return ()
    blocks: list[Block] = [*([places] if places else []), *strips, *cables]

    def draw(reserve: float) -> tuple[DrawingSheet, ...]:
        pages = pack(blocks, reserve)
        return tuple(
            _sheet(drive, page, number, len(pages), reference=reference) for number, page in enumerate(pages, start=1)
        )

    return room_for_notes(draw)


def _sheet(drive: Drive, page: Sequence[Placed], number: int, count: int, *, reference: str) -> DrawingSheet:
    height = round(max(p.y + p.block.height for p in page) + FOOT, 1)
    name = f"{TITLE} of {drive.tag}, sheet {number} of {count}"
    alt = f"{name}: {'; '.join(_says(p.block) for p in page)}."
    key = sheet_key("cables", drive, number)
    figure = SheetFigure(SHEET_WIDTH, height, key=key, title=name, description=alt)
    for placed in page:
        placed.block.draw(figure, placed.x, placed.y, placed.room)
    foot(figure, _NOTE, f"{TITLE} · {drive.tag} · sheet {number} of {count}", reference, height - FOOT + 4.6)
    grid(figure, height - FOOT + 2.2)
    return DrawingSheet(TITLE, number, count, figure.svg(), SHEET_WIDTH, figure.sheet_height, alt, figure.places)


def _says(block: Block) -> str:
    """What a block shows, for those who do not see it."""
    if isinstance(block, StripBlock):
        marks = [t.mark for t in block.terminals]
        return f"{block.strip.kind} {block.strip.tag}, terminals {marks[0]} to {marks[-1]}"
    if isinstance(block, CableBlock):
        return f"cable {block.cable.tag} from {block.cable.from_place} to {block.cable.to_place}"
    if isinstance(block, PlacesBlock):
        return "cables between places"
    return ""
