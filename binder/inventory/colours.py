"""Put conditional colours into the sheets of a workbook package; those that are there stay."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable
from typing import Any

from lxml import etree

from binder.inventory.parts import sheet_parts
from binder.inventory.patch import MAIN, PatchError, parse_xml, replaced, xml_bytes

_M = f"{{{MAIN}}}"
_STYLES = "xl/styles.xml"
#: Elements of a sheet that stand before its conditional formats (ECMA-376 part 1, 18.3.1.99, CT_Worksheet).
_BEFORE = (
    "sheetData", "sheetCalcPr", "sheetProtection", "protectedRanges", "scenarios", "autoFilter", "sortState",
    "dataConsolidate", "customSheetViews", "mergeCells", "phoneticPr", "conditionalFormatting",
)  # fmt: skip
#: Elements of the styles part that stand before its differential formats (18.8.39, CT_Stylesheet).
_BEFORE_STYLES = ("numFmts", "fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles")


def with_colours(data: bytes, marks: Iterable[tuple[str, str, str, str]]) -> bytes:
    """Return a package whose cells take a colour while a formula holds.

    Parameters
    ----------
    data : bytes
        A package that passed `package.open_package`.
    marks : iterable of tuple of str
        Sheet, cells, formula for the first of them, colour as red, green and blue.

    Raises
    ------
    PatchError
        The workbook's parts are of a kind that was not tried.
    """
    wanted = list(marks)
    if not wanted:
        return data
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = sheet_parts(archive.read)
        styles = parse_xml(archive.read(_STYLES))
        looks = {colour: _look(styles, colour) for colour in sorted({m[3] for m in wanted})}
        roots = {sheet: parse_xml(archive.read(parts[sheet])) for sheet in sorted({m[0] for m in wanted})}
    for sheet, cells, formula, colour in wanted:
        _add(roots[sheet], cells, formula, looks[colour])
    return replaced(data, {_STYLES: xml_bytes(styles), **{parts[s]: xml_bytes(root) for s, root in roots.items()}})


def _look(styles: Any, colour: str) -> int:
    """Number of the differential format with this fill, added behind those that are there."""
    group = styles.find(f"{_M}dxfs")
    if group is None:
        group = styles.makeelement(f"{_M}dxfs", {})
        last_of(styles, _BEFORE_STYLES).addnext(group)
    fill = f'<fill><patternFill patternType="solid"><bgColor rgb="00{colour}"/></patternFill></fill>'
    group.append(etree.fromstring(f'<dxf xmlns="{MAIN}">{fill}</dxf>'))
    group.set("count", str(len(group)))
    return len(group) - 1


def _add(root: Any, cells: str, formula: str, look: int) -> None:
    ranks = [int(r.get("priority", "0")) for r in root.iter(f"{_M}cfRule")]
    group = root.makeelement(f"{_M}conditionalFormatting", {"sqref": cells})
    attributes = {"type": "expression", "dxfId": str(look), "priority": str(max([0, *ranks]) + 1)}
    rule = etree.SubElement(group, f"{_M}cfRule", attributes)
    etree.SubElement(rule, f"{_M}formula").text = formula
    last_of(root, _BEFORE).addnext(group)


def last_of(root: Any, names: Iterable[str]) -> Any:
    """Return the last element of a part that bears one of these names.

    Raises
    ------
    PatchError
        There is none.
    """
    known = frozenset(names)
    found = [e for e in root if isinstance(e.tag, str) and etree.QName(e).localname in known]
    if not found:
        raise PatchError("a part of the workbook is of a kind that was not tried")
    return found[-1]
