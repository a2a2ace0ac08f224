"""Put whole sheets into a workbook package; every sheet that is there stays as it is."""

from __future__ import annotations

import io
import posixpath
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from lxml import etree
from openpyxl.utils import get_column_letter

from binder.inventory.parts import WORKBOOK
from binder.inventory.patch import MAIN, PACKAGE_RELS, PatchError, SheetXml, parse_xml, replaced, xml_bytes

_M = f"{{{MAIN}}}"
_R = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_RELS = "xl/_rels/workbook.xml.rels"
_TYPES = "[Content_Types].xml"
_STYLES = "xl/styles.xml"
_SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
#: Heading as in the blank workbook: bold and white on dark blue, wrapped. Colours are alpha, red, green, blue.
_HEAD_FONT = '<font xmlns="{0}"><b/><sz val="11"/><color rgb="FFFFFFFF"/><name val="Calibri"/></font>'
_HEAD_FILL = '<fill xmlns="{0}"><patternFill patternType="solid"><fgColor rgb="FF1F3A5F"/></patternFill></fill>'
_XF = (
    '<xf xmlns="{0}" numFmtId="{1}" fontId="{2}" fillId="{3}" borderId="0" xfId="0" applyNumberFormat="1" '
    'applyFont="1" applyFill="1" applyAlignment="1"><alignment vertical="{4}" wrapText="1"/></xf>'
)
#: Number format 49 of ECMA-376 part 1, 18.8.30: text.
_TEXT_FORMAT = 49


@dataclass(frozen=True, slots=True)
class NewSheet:
    """A sheet to be added.

    Parameters
    ----------
    name : str
    head : tuple of str
        Headings, row 1; it stays in sight when scrolled.
    widths : tuple of float
        Of the columns, in characters.
    text_columns : frozenset of int
        Indexes from 1 of the columns whose cells are text whatever is typed.
    rows : tuple of tuple of str
    head_height : float
        In points.
    """

    name: str
    head: tuple[str, ...]
    widths: tuple[float, ...]
    text_columns: frozenset[int] = frozenset()
    rows: tuple[tuple[str, ...], ...] = ()
    head_height: float = 48


def with_sheets(data: bytes, sheets: Sequence[NewSheet]) -> bytes:
    """Return a package with sheets added behind the others.

    Parameters
    ----------
    data : bytes
        A package that passed `package.open_package`.
    sheets : sequence of NewSheet

    Raises
    ------
    PatchError
        The workbook's parts are of a kind that was not tried.
    """
    if not sheets:
        return data
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        names = set(archive.namelist())
        if not {WORKBOOK, _RELS, _TYPES, _STYLES} <= names:
            raise PatchError("the parts of the workbook are not where they belong")
        book, rels, types, styles = (parse_xml(archive.read(p)) for p in (WORKBOOK, _RELS, _TYPES, _STYLES))
    looks = _looks(styles)
    new: dict[str, bytes] = {}
    number = 1
    for sheet in sheets:
        while f"xl/worksheets/sheet{number}.xml" in names | set(new):
            number += 1
        part = f"xl/worksheets/sheet{number}.xml"
        new[part] = _sheet_part(sheet, looks)
        _tie_in(part, sheet.name, book, rels, types)
    return replaced(
        data,
        {
            **new,
            WORKBOOK: xml_bytes(book),
            _RELS: xml_bytes(rels),
            _TYPES: xml_bytes(types),
            _STYLES: xml_bytes(styles),
        },
    )


def free_name(name: str, taken: Sequence[str]) -> str:
    """Return a sheet name that is not taken.

    Examples
    --------
    >>> free_name("Findings", ["findings"])
    'Findings 2'
    """
    folded = {t.casefold() for t in taken}
    number, free = 1, name
    while free.casefold() in folded:
        number += 1
        free = f"{name} {number}"
    return free


def _tie_in(part: str, name: str, book: Any, rels: Any, types: Any) -> None:
    listed = book.find(f"{_M}sheets")
    if listed is None:
        raise PatchError("the workbook part is of a kind not tried")
    # The name of the relationship only has to be new in this file.
    identity = f"binder_{posixpath.basename(part).removesuffix('.xml')}"
    etree.SubElement(rels, f"{{{PACKAGE_RELS}}}Relationship", Id=identity, Type=f"{_R}/worksheet", Target=f"/{part}")
    made = etree.SubElement(listed, f"{_M}sheet", name=name)
    made.set("sheetId", str(max([0, *(int(s.get("sheetId", "0")) for s in listed)]) + 1))
    made.set(f"{{{_R}}}id", identity)
    override = etree.SubElement(types, types.tag.replace("}Types", "}Override"))
    override.set("PartName", f"/{part}")
    override.set("ContentType", _SHEET_TYPE)


def _looks(styles: Any) -> tuple[int, int, int]:
    """Add our three looks behind those of the workbook: heading, text, anything; return their numbers."""
    fonts, fills, looks = (styles.find(f"{_M}{n}") for n in ("fonts", "fills", "cellXfs"))
    if fonts is None or fills is None or looks is None:
        raise PatchError("the styles part is of a kind not tried")
    head = _XF.format(MAIN, 0, _added(fonts, _HEAD_FONT.format(MAIN)), _added(fills, _HEAD_FILL.format(MAIN)), "center")
    return (
        _added(looks, head),
        _added(looks, _XF.format(MAIN, _TEXT_FORMAT, 0, 0, "top")),
        _added(looks, _XF.format(MAIN, 0, 0, 0, "top")),
    )


def _added(group: Any, text: str) -> int:
    group.append(etree.fromstring(text))
    group.set("count", str(len(group)))
    return len(group) - 1


def _sheet_part(sheet: NewSheet, looks: tuple[int, int, int]) -> bytes:
    head, text, anything = looks
    columns = "".join(
        f'<col min="{i}" max="{i}" width="{width:g}" customWidth="1" '
        f'style="{text if i in sheet.text_columns else anything}"/>'
        for i, width in enumerate(sheet.widths, start=1)
    )
    cells = "".join(_cell(f"{get_column_letter(i)}1", t, head) for i, t in enumerate(sheet.head, start=1))
    part = (
        f'<worksheet xmlns="{MAIN}"><sheetPr><pageSetUpPr fitToPage="1"/></sheetPr><dimension ref="A1"/>'
        '<sheetViews><sheetView workbookViewId="0">'
        '<pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/></sheetView></sheetViews>'
        f'<cols>{columns}</cols><sheetData><row r="1" ht="{sheet.head_height:g}" customHeight="1">{cells}</row>'
        '</sheetData><printOptions gridLines="1"/><pageMargins left="0.5" right="0.5" top="0.6" bottom="0.6" '
        'header="0.3" footer="0.3"/><pageSetup orientation="landscape" fitToHeight="0"/>'
        f"<headerFooter><oddFooter>{escape('&L&F  &A&R&P / &N')}</oddFooter></headerFooter></worksheet>"
    )
    xml = SheetXml(part.encode("utf-8"))
    for number, row in enumerate(sheet.rows, start=2):
        for index, value in enumerate(row, start=1):
            if value:
                xml.set(f"{get_column_letter(index)}{number}", value)
        # Stated, since not every spreadsheet program makes a row as high as its wrapped text.
        xml.rows[number].set("ht", f"{_row_height(row, sheet.widths):g}")
        xml.rows[number].set("customHeight", "1")
    return xml.to_bytes()


def _row_height(row: Sequence[str], widths: Sequence[float]) -> float:
    lines = max(-(-len(text) // max(1, int(width * 0.9))) for text, width in zip(row, widths, strict=False))
    return min(15.0 * max(1, lines), 400.0)  # 409 points is the highest row


def _cell(address: str, text: str, look: int) -> str:
    return f'<c r={quoteattr(address)} s="{look}" t="inlineStr"><is><t>{escape(text)}</t></is></c>'
