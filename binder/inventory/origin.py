"""Where a record stands in the workbook."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a record stands: sheet, row key given by the tool, and the cell of each field."""

    sheet: str = ""
    row: int = 0
    key: str = ""
    cells: Mapping[str, str] = field(default_factory=dict, compare=False)

    def cell(self, field_name: str) -> str:
        """Cell address ('F12') of a field, or of the row's first cell."""
        return self.cells.get(field_name) or (f"A{self.row}" if self.row else "")


#: The origin of a record that was not read from a workbook.
NOWHERE = Origin()
