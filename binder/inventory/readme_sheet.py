"""The first sheet of the workbook: how to fill it, in words a tradesperson reads in a minute."""

from __future__ import annotations

from openpyxl.styles import Alignment, Font
from openpyxl.worksheet.worksheet import Worksheet

from binder.inventory.columns import SHEETS

_TEXT = (
    ("How to fill this workbook", True),
    ("Start with the sheet Site, then go through the tabs from left to right. One row is one thing.", False),
    ("A heading with * and underlined must be filled. All else may stay blank; point at a heading to read "
     "what cannot be judged or printed while it is blank.", False),
    ("Numbers and units", True),
    ("The unit in the heading counts where you type none. Another unit may be typed: 10 hp under [kW], 150 ft "
     "under [m], 104 °F under [°C]. Fractions are fine: 7 1/2 hp. Conductor sizes always need their unit: "
     "12 AWG, 250 kcmil, 2.5 mm².", False),
    ("Tell on the sheet Site whether your decimal mark is a point or a comma. Where 1,800 could be read two "
     "ways the tool asks and does not guess.", False),
    ("Nothing known yet: leave it blank, or type TBD and it is listed as an open item. Zero is a value.", False),
    ("Dates", True),
    ("Year-month-day: 2026-03-14.", False),
    ("Names", True),
    ("Give every thing one name and use exactly that name on the other sheets. If you rename a drive, write "
     "the old name under Formerly. Leave the last column (Row key) alone.", False),
    ("Several names in one cell: put a semicolon between them.", False),
    ("Example rows", True),
    ("The row in grey italics below a heading is an example. Delete it, or type over it. As long as nothing in "
     "it is changed the tool passes over it; from then on every cell that you leave counts, and is told.", False),
    ("Cells that can be filled", True),
    ("Cells with a frame and white ground are yours. Grey ground and italics are the tool's.", False),
    ("You may colour, sort, filter and add columns and sheets of your own; the tool leaves them alone.", False),
    ("Drive models", True),
    ("Ratings, terminals and settings of a drive model are typed from its manual, with the page. The manual "
     "always overrides this tool.", False),
    ("Check it", True),
    ("Save, then run: binder check FOLDER. Every cell that cannot be understood is named, with what to type.", False),
)  # fmt: skip


def write_readme(ws: Worksheet) -> None:
    """Fill the read-me sheet.

    Parameters
    ----------
    ws : Worksheet
        An empty sheet.
    """
    ws.column_dimensions["A"].width = 30
    ws.column_dimensions["B"].width = 70
    wrap = Alignment(wrap_text=True, vertical="top")
    row = 1
    for text, heading in _TEXT:
        ws.cell(row, 1, text).font = Font(name="Calibri", bold=heading, size=13 if heading else 11)
        ws.cell(row, 1).alignment = Alignment(wrap_text=True, vertical="bottom" if heading else "top")
        ws.merge_cells(start_row=row, start_column=1, end_row=row, end_column=2)
        ws.row_dimensions[row].height = 26 if heading else 15.5 * (1 + len(text) // 108)
        row += 1
    row += 1
    ws.cell(row, 1, "Sheet").font = Font(name="Calibri", bold=True, size=13)
    ws.cell(row, 2, "What it holds").font = Font(name="Calibri", bold=True, size=13)
    for sheet in SHEETS:
        row += 1
        name = ws.cell(row, 1, sheet.name + (" *" if sheet.required else ""))
        name.hyperlink = f"#'{sheet.name}'!A1"
        name.alignment = wrap
        name.font = Font(name="Calibri", underline="single", color="1F3A5F")
        ws.cell(row, 2, sheet.help).alignment = wrap
        ws.row_dimensions[row].height = 15.5 * (1 + len(sheet.help) // 84)
    ws.sheet_view.showGridLines = False
    ws.page_setup.fitToWidth, ws.page_setup.fitToHeight = 1, 0
    ws.sheet_properties.pageSetUpPr.fitToPage = True  # type: ignore[union-attr]
