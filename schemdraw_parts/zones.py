"""The path grid of a sheet: numbered columns along the top, lettered rows down the left side (ISO 5457)."""

from __future__ import annotations

from schemdraw_parts.base import Part
from schemdraw_parts.style import SMALL, THIN


class ZoneGrid(Part):
    """Bands with the numbers and letters that references between sheets name.

    ISO 5457 and IEC 61082-1 divide sheets so; numbers along the top as ladder and path drawings
    have them [both from memory, check].

    Parameters
    ----------
    sheet_width, sheet_height : float
        Right and lower edge of what is divided. [mm]
    columns : int
    row : float
        Height of a row; the last one is what is left. [mm]
    band : float
        Width of the bands. [mm]

    Notes
    -----
    No anchors.
    """

    def __init__(self, sheet_width: float, sheet_height: float, *, columns: int, row: float, band: float) -> None:
        super().__init__()
        step = (sheet_width - band) / columns
        self.line((sheet_width, band), (band, band), (band, sheet_height), pen=THIN)
        for n in range(columns):
            if n:
                self.line((band + step * n, 0), (band + step * n, band), pen=THIN)
            self.write(str(n + 1), band + step * (n + 0.5), band / 2, size=SMALL, align="center", middle=True)
        top, n = band, 0
        while top < sheet_height:
            if n:
                self.line((0, top), (band, top), pen=THIN)
            bottom = min(top + row, sheet_height)
            if bottom - top > 2 * SMALL:
                self.write("ABCDEFGH"[n], band / 2, (top + bottom) / 2, size=SMALL, align="center", middle=True)
            top, n = top + row, n + 1
