"""Change single cells in a workbook package; every other byte of content stays what it is.

A spreadsheet library that loads and saves loses cached results, shapes, rich text and more, so
the sheet's own XML is changed. What is not known here is refused, never rewritten.
"""

from __future__ import annotations

import datetime as dt
import io
import posixpath
import re
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from lxml import etree
from openpyxl.utils import column_index_from_string, get_column_letter

from binder.errors import BinderError
from binder.inventory.cleaning import show
from binder.inventory.parts import WORKBOOK, sheet_parts
from binder.inventory.spreadsheet_text import FORBIDDEN, LONGEST, escaped

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
PACKAGE_RELS = "http://schemas.openxmlformats.org/package/2006/relationships"
_M = f"{{{MAIN}}}"
_SPACE = "{http://www.w3.org/XML/1998/namespace}space"
_LAST_ROW = 1048576

Value = str | int | float | bool | Decimal | dt.date | None


class PatchError(BinderError, ValueError):
    """The package holds something that is not changed without risk; nothing was written."""


@dataclass(frozen=True, slots=True)
class CellChange:
    """A new value for one cell; None clears it. Dates are written as text year-month-day."""

    sheet: str
    cell: str
    value: Value


def patched(data: bytes, changes: Sequence[CellChange]) -> bytes:
    """Return a workbook package with some cells changed.

    Parameters
    ----------
    data : bytes
        A package that passed `package.open_package`.
    changes : sequence of CellChange

    Returns
    -------
    bytes
        The package; parts keep their order, and all but the changed ones their content.

    Raises
    ------
    PatchError
        A cell holds a formula or is merged away, a text cannot be stored, a sheet is unknown,
        or the sheet's XML is of a kind that was not tried.
    """
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        try:
            parts = sheet_parts(archive.read)
        except (KeyError, SyntaxError) as error:
            raise PatchError("the workbook part is not where it belongs") from error
        by_sheet: dict[str, list[CellChange]] = {}
        for change in changes:
            by_sheet.setdefault(change.sheet, []).append(change)
        new: dict[str, bytes] = {}
        for name, of_sheet in by_sheet.items():
            if name not in parts:
                raise PatchError(f"there is no sheet {show(name)}")
            sheet = SheetXml(archive.read(parts[name]))
            for change in of_sheet:
                sheet.set(change.cell, change.value)
            new[parts[name]] = sheet.to_bytes()
        if _has_formulas(archive):
            new[WORKBOOK] = _recalculated(archive.read(WORKBOOK))
    return replaced(data, new)


def replaced(data: bytes, new: Mapping[str, bytes]) -> bytes:
    """Return a package with some parts exchanged or added, all others as they are."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(out, "w") as target:
        names = set()
        for entry in source.infolist():
            names.add(entry.filename)
            target.writestr(entry, new.get(entry.filename, source.read(entry)), entry.compress_type)
        for name in sorted(set(new) - names):
            added = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            target.writestr(added, new[name], zipfile.ZIP_DEFLATED)
    return out.getvalue()


def parse_xml(content: bytes) -> Any:
    """Parse a part of a package; no entities, no network."""
    parser = etree.XMLParser(resolve_entities=False, no_network=True, huge_tree=True)
    try:
        return etree.fromstring(content, parser)
    except etree.XMLSyntaxError as error:
        raise PatchError(f"a part that cannot be read: {error}") from error


def xml_bytes(root: Any) -> bytes:
    """Return a part as spreadsheet programs write it."""
    return bytes(etree.tostring(root, xml_declaration=True, encoding="UTF-8", standalone=True))


def _has_formulas(archive: zipfile.ZipFile) -> bool:
    sheets = (n for n in archive.namelist() if n.startswith("xl/worksheets/") and n.endswith(".xml"))
    return any(re.search(rb"<(?:\w+:)?f[\s>/]", archive.read(n)) for n in sheets)


def _recalculated(content: bytes) -> bytes:
    """Ask the spreadsheet program to compute all formulas when it next opens the workbook."""
    match = re.search(rb"<calcPr\b[^>]*/>", content)
    if match is not None:
        tag = match.group()
        if b"fullCalcOnLoad" in tag:
            tag = re.sub(rb'fullCalcOnLoad="[^"]*"', b'fullCalcOnLoad="1"', tag)
        else:
            tag = tag[:-2].rstrip() + b' fullCalcOnLoad="1"/>'
        return content[: match.start()] + tag + content[match.end() :]
    for before in (b"</definedNames>", b"</externalReferences>", b"</functionGroups>", b"</sheets>"):
        place = content.find(before)
        if place >= 0:
            place += len(before)
            return content[:place] + b'<calcPr fullCalcOnLoad="1"/>' + content[place:]
    raise PatchError("the workbook part is of a kind not tried")


def split_address(cell: str) -> tuple[int, int]:
    """Return (row, column index) of 'F12'."""
    match = re.fullmatch(r"([A-Z]{1,3})([1-9][0-9]{0,6})", cell)
    if match is None or int(match[2]) > _LAST_ROW:
        raise PatchError(f"no cell address: {show(cell)}")
    return int(match[2]), column_index_from_string(match[1])


class SheetXml:
    """One sheet part, opened for changes."""

    def __init__(self, content: bytes) -> None:
        self.root = parse_xml(content)
        if self.root.tag != f"{_M}worksheet" or self.root.prefix is not None:
            raise PatchError("the sheet is written in a variant that was not tried")
        data = self.root.find(f"{_M}sheetData")
        if data is None:
            raise PatchError("the sheet has no cells part")
        self.data = data
        self.rows: dict[int, Any] = {}
        for row in data:
            number = row.get("r")
            if row.tag != f"{_M}row" or number is None:
                raise PatchError("the sheet is written in a variant that was not tried")
            self.rows[int(number)] = row
        self.merged = self._merged_away()

    def _merged_away(self) -> list[tuple[int, int, int, int]]:
        ranges = []
        for merge in self.root.iter(f"{_M}mergeCell"):
            first, _, last = merge.get("ref", "").partition(":")
            top, left = split_address(first)
            bottom, right = split_address(last or first)
            ranges.append((top, left, bottom, right))
        return ranges

    def set(self, cell: str, value: Value) -> None:
        """Give a cell a value, keeping its format; None clears it.

        Raises
        ------
        PatchError
            The cell holds a formula, is merged away, or cannot hold the value.
        """
        row, column = split_address(cell)
        for top, left, bottom, right in self.merged:
            if top <= row <= bottom and left <= column <= right and (row, column) != (top, left):
                raise PatchError(f"{cell} is merged into another cell")
        element = self._cell(row, column, make=value is not None)
        if element is None:
            return
        if element.find(f"{_M}f") is not None:
            raise PatchError(f"{cell} holds a formula")
        for child in list(element):
            element.remove(child)
        element.attrib.pop("t", None)
        element.attrib.pop("cm", None)
        element.attrib.pop("vm", None)
        _fill(element, cell, value)
        if value is not None:
            self._grow_dimension(row, column)

    def _cell(self, row: int, column: int, *, make: bool) -> Any:
        line = self.rows.get(row)
        if line is None:
            if not make:
                return None
            line = self._new_row(row)
        address = f"{get_column_letter(column)}{row}"
        following = None
        for element in line:
            reference = element.get("r")
            if reference is None:
                raise PatchError("the sheet is written in a variant that was not tried")
            if reference == address:
                return element
            if split_address(reference)[1] > column:
                following = element
                break
        if not make:
            return None
        made = etree.Element(f"{_M}c", r=address)
        style = self._style(row, column)
        if style:
            made.set("s", style)
        _insert(line, made, before=following)
        line.attrib.pop("spans", None)  # only a hint for the reader, and now perhaps too narrow
        return made

    def _new_row(self, row: int) -> Any:
        line = etree.Element(f"{_M}row", r=str(row))
        later = [n for n in self.rows if n > row]
        _insert(self.data, line, before=self.rows[min(later)] if later else None)
        self.rows[row] = line
        return line

    def _style(self, row: int, column: int) -> str:
        for col in self.root.iterfind(f"{_M}cols/{_M}col"):
            if int(col.get("min", "0")) <= column <= int(col.get("max", "0")) and col.get("style"):
                return str(col.get("style"))
        above = self.rows.get(row - 1)
        wanted = f"{get_column_letter(column)}{row - 1}"
        if above is not None and row > 2:
            return next((str(e.get("s", "")) for e in above if e.get("r") == wanted), "")
        return ""

    def _grow_dimension(self, row: int, column: int) -> None:
        dimension = self.root.find(f"{_M}dimension")
        if dimension is None:
            return
        first, _, last = dimension.get("ref", "A1").partition(":")
        (top, left), (bottom, right) = split_address(first), split_address(last or first)
        box = (min(top, row), min(left, column), max(bottom, row), max(right, column))
        ref = f"{get_column_letter(box[1])}{box[0]}:{get_column_letter(box[3])}{box[2]}"
        dimension.set("ref", ref)

    def to_bytes(self) -> bytes:
        """Return the part."""
        return xml_bytes(self.root)


def _insert(parent: Any, element: Any, *, before: Any) -> None:
    if before is None:
        parent.append(element)
    else:
        before.addprevious(element)


def _fill(element: Any, cell: str, value: Value) -> None:
    if value is None:
        return
    if isinstance(value, bool):
        element.set("t", "b")
        etree.SubElement(element, f"{_M}v").text = str(int(value))
    elif isinstance(value, int | float | Decimal):
        text = format(value, "f") if isinstance(value, Decimal) else repr(value)
        if not re.fullmatch(r"-?[0-9.]+(e[+-]?[0-9]+)?", text):
            raise PatchError(f"{cell}: {text} is no number a cell can hold")
        etree.SubElement(element, f"{_M}v").text = text
    else:
        text = value if isinstance(value, str) else f"{value:%Y-%m-%d}"
        if len(text) > LONGEST:
            raise PatchError(f"{cell}: {len(text)} characters, a cell holds {LONGEST}")
        if FORBIDDEN.search(text):
            raise PatchError(f"{cell}: a control character in {show(text)}")
        element.set("t", "inlineStr")  # stays text whatever it begins with
        inner = etree.SubElement(etree.SubElement(element, f"{_M}is"), f"{_M}t")
        inner.set(_SPACE, "preserve")
        inner.text = escaped(text)


def related_parts(archive: zipfile.ZipFile, part: str, kind: str) -> list[str]:
    """Return the parts that a part refers to by relationships whose type ends in `kind`."""
    rels = f"{posixpath.dirname(part)}/_rels/{posixpath.basename(part)}.rels"
    if rels not in archive.namelist():
        return []
    root = parse_xml(archive.read(rels))
    found: Iterable[Any] = root.iterfind(f"{{{PACKAGE_RELS}}}Relationship")
    return [_absolute(part, r.get("Target")) for r in found if r.get("Type", "").endswith(kind)]


def _absolute(part: str, target: str) -> str:
    if target.startswith("/"):
        return target[1:]
    return posixpath.normpath(posixpath.join(posixpath.dirname(part), target))
