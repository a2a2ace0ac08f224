"""One finished drawing sheet, ready to be put into a page or a document."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from binder.inventory.records import Drive

#: Width of every sheet: fits A4 and Letter landscape unscaled with 12 mm margins. [mm]
SHEET_WIDTH = 255.0
#: Greatest height of a sheet, room left for the page's own header and footer. [mm]
SHEET_HEIGHT = 172.0
#: Width of the bands along the upper and the left edge that hold numbers and letters of the zones. [mm]
BAND = 3.4


@dataclass(frozen=True, slots=True)
class DrawingSheet:
    """A drawing sheet.

    Parameters
    ----------
    title : str
        'Control wiring', 'Main circuit'.
    number, count : int
        Sheet n of m.
    svg : str
        The file: real text, currentColor, ids prefixed by drive and sheet.
    width_mm, height_mm : float
    alt : str
        What the drawing shows, for those who do not see it.
    places : mapping
        (Tag, terminal mark) -> where it is drawn on this sheet. [mm]
    """

    title: str
    number: int
    count: int
    svg: str
    width_mm: float
    height_mm: float
    alt: str
    places: Mapping[tuple[str, str], tuple[float, float]] = field(default_factory=dict, compare=False, repr=False)


def sheet_key(kind: str, drive: Drive, number: int) -> str:
    """Prefix of the ids of one sheet, 'control-P-101-1'; a drive keeps its own when its tag changes."""
    return f"{kind}-{re.sub(r'[^A-Za-z0-9]+', '-', drive.origin.key or drive.tag)}-{number}"


def room_for_notes(draw: Callable[[float], tuple[DrawingSheet, ...]], *, most: float = 0.0) -> tuple[DrawingSheet, ...]:
    """Draw sheets again with height kept free, where numbered notes at the foot make one higher than the page.

    Parameters
    ----------
    draw : callable
        All sheets of a drawing, with so much height kept free on each. [mm]
    most : float
        Height kept free from which the sheets are taken as they are. [mm]
    """
    reserve = 0.0
    while True:
        sheets = draw(reserve)
        over = max(sheet.height_mm for sheet in sheets) - SHEET_HEIGHT
        if over <= 0 or reserve > most:
            return sheets
        reserve += over + 0.1
