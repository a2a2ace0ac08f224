"""One finished drawing sheet, ready to be put into a page or a document."""

from __future__ import annotations

from dataclasses import dataclass

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
    """

    title: str
    number: int
    count: int
    svg: str
    width_mm: float
    height_mm: float
    alt: str
