"""What every part of one control sheet needs to know: figure, layout, columns, and where terminals lie."""

from __future__ import annotations

from dataclasses import dataclass, field

from binder.wiring.connections import Connection, End, Wiring
from binder.wiring.drawing_columns import Columns, flag_text
from binder.wiring.joins import SheetRows, Stand
from binder.wiring.lanes import Layout
from binder.wiring.zones import Zones
from schemdraw_parts.base import Part
from schemdraw_parts.figure import SheetFigure
from schemdraw_parts.style import Symbols
from schemdraw_parts.wiring import Flag, Wire

Point = tuple[float, float]


@dataclass(slots=True)
class ControlSheet:
    """One sheet while it is drawn.

    `points` holds where terminals lie, taken from the anchors of placed parts and from nowhere
    else: (side, terminal, row height) -> point; sides are 'drive', 'left', 'right', 'port'.
    """

    figure: SheetFigure
    wiring: Wiring
    layout: Layout
    rows: SheetRows
    columns: Columns
    number: int
    symbols: Symbols
    zones: Zones
    points: dict[tuple[str, End, float], Point] = field(default_factory=dict)

    @property
    def shield(self) -> str:
        """The site's word for a cable screen."""
        return shield_word(self.symbols)

    @property
    def stands(self) -> list[Stand]:
        """Rows of the field side, downwards."""
        return sorted((s for s in self.rows.stands if s.row is not None), key=lambda s: s.y)

    def drive_end(self, index: int) -> End:
        """The end of a drive terminal by its position."""
        return End(self.layout.plan.designation, self.layout.plan.terminals[index].number)

    def wire(self, record: Connection, start: Point, end: Point, labels: list[tuple[str, float]]) -> None:
        """Draw a conductor between two anchors."""
        self.figure.place(Wire(start, end, [x for x in labels if x[0]]), kind="wire", record=record.id)

    def flag(self, record: Connection, end: End, at: Point, *, stub: float, label: str, toward: int,
             inset: float | None = 1.0) -> None:
        """Draw one half of a pair of flags at a terminal."""
        text = flag_text(self.zones, record, end, self.number)
        part = Flag(text, stub=stub, wire=label, toward=toward, inset=inset)
        self.figure.place(part, *at, kind="flag", record=record.id)

    def keep(self, side: str, end: End, y: float, part: Part, anchor: str) -> None:
        """Remember where a terminal of a placed part lies."""
        self.points[side, end, y] = part.point(anchor)


def shield_word(symbols: Symbols) -> str:
    """'screened' or 'shielded'."""
    return "shielded" if symbols is Symbols.NORTH_AMERICAN else "screened"
