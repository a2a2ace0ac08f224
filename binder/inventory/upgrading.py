"""Bring a workbook of an older layout up to the present one, in a copy: what is there stays where it is."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from lxml import etree
from openpyxl.utils import get_column_letter
from openpyxl.xml.functions import tostring

from binder.errors import OutputError, in_words
from binder.inventory.blank import heading_height, help_text, width_of
from binder.inventory.cleaning import CellError
from binder.inventory.colours import last_of, with_colours
from binder.inventory.columns import KEY_HEADER, SCHEMA_VERSION, SHEETS
from binder.inventory.declarations import Column, Sheet
from binder.inventory.entry_checks import (
    LAST_CHECKED_ROW,
    line_marks_of,
    marks_of,
    tags_name,
    tags_range,
    validation_of,
)
from binder.inventory.files import put_in_place
from binder.inventory.grid import Grid
from binder.inventory.headings import Headings
from binder.inventory.kinds import KINDS
from binder.inventory.lists import all_lists
from binder.inventory.new_sheets import NewSheet, with_sheets
from binder.inventory.notes import with_notes
from binder.inventory.parts import WORKBOOK, sheet_parts
from binder.inventory.patch import MAIN, CellChange, PatchError, parse_xml, patched, replaced, xml_bytes
from binder.inventory.site_sheet import item_and_value_columns, items_of
from binder.inventory.writing import OpenWorkbook, open_workbook, widened_tables

_M = f"{{{MAIN}}}"
_LISTS, _SCHEMA = "Lists", "_schema"
#: Elements of a sheet that stand before its entry checks (ECMA-376 part 1, 18.3.1.99, CT_Worksheet).
_BEFORE_CHECKS = (
    "sheetData", "sheetCalcPr", "sheetProtection", "protectedRanges", "scenarios", "autoFilter", "sortState",
    "dataConsolidate", "customSheetViews", "mergeCells", "phoneticPr", "conditionalFormatting",
)  # fmt: skip
#: Elements of the workbook part that stand before its names (ECMA-376 part 1, 18.2.27, CT_Workbook).
_BEFORE_NAMES = ("sheets", "functionGroups", "externalReferences")


@dataclass(slots=True)
class _Additions:
    """What a workbook lacks; sheets by the name they bear there."""

    told: list[str] = field(default_factory=list)
    cells: list[CellChange] = field(default_factory=list)
    sheets: list[NewSheet] = field(default_factory=list)
    checked: list[tuple[str, str, Column]] = field(default_factory=list)  # sheet, cells, column
    coloured: list[tuple[str, str, str, str]] = field(default_factory=list)  # sheet, cells, formula, colour
    helped: dict[str, dict[str, str]] = field(default_factory=dict)  # sheet -> heading cell -> help
    tags: dict[str, str] = field(default_factory=dict)  # name of a list of tags -> its cells


def upgrade(path: Path, out: Path) -> tuple[str, ...]:
    """Write a copy that has every sheet, column and Site line of the present layout.

    Parameters
    ----------
    path : Path
        A workbook of this or an older layout.
    out : Path
        The copy; must not be the workbook itself.

    Returns
    -------
    tuple of str
        What was added: 'Drives: Ambient [°C]' at the right edge of its sheet, 'Wires (new sheet)'
        behind the others, 'Site: Region' below the last line. Empty when nothing was missing.

    Raises
    ------
    OutputError
        It cannot be read or written.

    Notes
    -----
    Nothing that is there moves or changes, own columns and sheets included. The choice lists of
    the sheet Lists, which is the tool's own, are renewed.
    """
    if out.resolve() == path.resolve():
        raise OutputError("the upgraded copy needs another name", "Name another file.")
    try:
        opened = open_workbook(path)
        wanted = _missing(opened)
        if _lists_are_old(opened):
            wanted.told.append("Lists: the choices of this layout")
        data = _with_additions(opened.package.data, wanted) if wanted.told else opened.package.data
        put_in_place(out, data)
    except (CellError, PatchError) as error:
        raise OutputError(
            f"{path.name} cannot be upgraded: {error}", "Copy its rows into a new blank workbook."
        ) from error
    except OSError as error:
        message, remedy = in_words(error)
        raise OutputError(f"no copy was written: {message}", remedy) from error
    return tuple(wanted.told)


def _missing(opened: OpenWorkbook) -> _Additions:
    wanted = _Additions()
    for sheet in SHEETS:
        if sheet.name in opened.unread and opened.unread[sheet.name].rows:
            grid = opened.unread[sheet.name]
            raise PatchError(f"the sheet {grid.name} has cells but no row of known headings")
        if sheet.name not in opened.sheets:
            _whole_sheet(sheet, wanted, empty=opened.unread.get(sheet.name))
        elif sheet.vertical:
            _site_lines(sheet, opened.sheets[sheet.name][0], wanted)
        else:
            _columns(sheet, *opened.sheets[sheet.name], wanted)
    return wanted


def _heading(column: Column) -> str:
    return column.header + (" *" if column.required else "")


def _columns(sheet: Sheet, grid: Grid, headings: Headings, wanted: _Additions) -> None:
    # Behind every cell there is: a column without heading must not get one that it does not mean.
    index = max(i for cells in grid.rows.values() for i in cells)
    for column in sheet.columns:
        if column.field in headings.known:
            continue
        index += 1
        _head(wanted, grid.name, index, headings.row, column)
        _colour(wanted, sheet, grid.name, index, headings.row, column)
        wanted.told.append(f"{sheet.name}: {_heading(column)}")
    if not headings.key_index:
        cell = f"{get_column_letter(index + 1)}{headings.row}"
        wanted.cells.append(CellChange(grid.name, cell, KEY_HEADER))
        wanted.told.append(f"{sheet.name}: {KEY_HEADER}")
    if len(sheet.unique) == 1 and sheet.key in headings.known:
        letter = get_column_letter(headings.known[sheet.key].index)
        wanted.tags[tags_name(sheet.name)] = tags_range(grid.name, letter, first_row=headings.row + 1)


def _head(wanted: _Additions, name: str, index: int, row: int, column: Column) -> None:
    """A heading with help, and entry checks below it."""
    letter = get_column_letter(index)
    wanted.cells.append(CellChange(name, f"{letter}{row}", _heading(column)))
    wanted.helped.setdefault(name, {})[f"{letter}{row}"] = help_text(column)
    wanted.checked.append((name, f"{letter}{row + 1}:{letter}{LAST_CHECKED_ROW}", column))


def _colour(wanted: _Additions, sheet: Sheet, name: str, index: int, row: int, column: Column) -> None:
    """Colour what is blank or double in a new column, as the blank workbook does."""
    letter = get_column_letter(index)
    marks = marks_of(sheet, column, letter, end=letter, first_row=row + 1, last_row=LAST_CHECKED_ROW)
    area = f"{letter}{row + 1}:{letter}{LAST_CHECKED_ROW}"
    wanted.coloured += [(name, area, formula, colour) for formula, colour in marks]


def _site_lines(sheet: Sheet, grid: Grid, wanted: _Additions) -> None:
    have = items_of(grid, sheet)
    item, value = map(get_column_letter, item_and_value_columns(grid))
    told = get_column_letter(max(item_and_value_columns(grid)) + 1)
    row = max([1, *grid.rows])
    for column in sheet.columns:
        if column.field not in have:
            row += 1
            wanted.cells.append(CellChange(grid.name, f"{item}{row}", _heading(column)))
            wanted.cells.append(CellChange(grid.name, f"{told}{row}", _one_line(column)))
            wanted.checked.append((grid.name, f"{value}{row}", column))
            marks = line_marks_of(column, f"{value}{row}")
            wanted.coloured += [(grid.name, f"{value}{row}", formula, colour) for formula, colour in marks]
            wanted.told.append(f"{sheet.name}: {_heading(column)}")


def _one_line(column: Column) -> str:
    return help_text(column).replace("\n", " ")


def _whole_sheet(sheet: Sheet, wanted: _Additions, *, empty: Grid | None) -> None:
    """A sheet that is not there, or is there without any cell."""
    name = empty.name if empty else sheet.name
    wanted.told.append(f"{sheet.name} (new sheet)")
    if sheet.vertical:
        rows = tuple((_heading(c), "", _one_line(c)) for c in sheet.columns)
        wanted.sheets.append(
            NewSheet(name, ("Item", "Value", "How to fill it"), (36, 44, 66), rows=rows, head_height=16)
        )
        for n, column in enumerate(sheet.columns, start=2):
            wanted.checked.append((name, f"B{n}", column))
            wanted.coloured += [(name, f"B{n}", formula, colour) for formula, colour in line_marks_of(column, f"B{n}")]
        return
    for index, column in enumerate(sheet.columns, start=1):
        _head(wanted, name, index, 1, column)
        _colour(wanted, sheet, name, index, 1, column)
    wanted.cells.append(CellChange(name, f"{get_column_letter(len(sheet.columns) + 1)}1", KEY_HEADER))
    if empty is None:
        text = frozenset(i for i, c in enumerate(sheet.columns, start=1) if KINDS[c.kind].text)
        heads = ("",) * (len(sheet.columns) + 1)  # filled with the other new headings
        widths = (*(width_of(c) for c in sheet.columns), 11.0)
        wanted.sheets.append(NewSheet(name, heads, widths, text, head_height=heading_height(sheet)))
    if len(sheet.unique) == 1:
        letter = get_column_letter([c.field for c in sheet.columns].index(sheet.key) + 1)
        wanted.tags[tags_name(sheet.name)] = tags_range(name, letter)


def _with_additions(data: bytes, wanted: _Additions) -> bytes:
    lists = all_lists()
    if _LISTS not in _sheets_of(data):
        wanted.sheets.append(
            NewSheet(_LISTS, ("",) * len(lists), (24,) * len(lists), frozenset(range(1, len(lists) + 1)))
        )
    data = with_sheets(data, wanted.sheets)
    version = [CellChange(_SCHEMA, "B1", SCHEMA_VERSION)] if _SCHEMA in _sheets_of(data) else []
    data = patched(data, [*wanted.cells, *_list_cells(), *version])
    data = with_colours(_checked(widened_tables(data, wanted.cells), wanted), wanted.coloured)
    return _named(with_notes(data, wanted.helped, author="binder"), wanted.tags)


def _sheets_of(data: bytes) -> frozenset[str]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return frozenset(sheet_parts(archive.read))


def _lists_are_old(opened: OpenWorkbook) -> bool:
    """True where the sheet Lists is not there or holds other choices than today's."""
    grid = opened.others.get(_LISTS)
    if grid is None:
        return True
    there = {c.address: c.value for cells in grid.rows.values() for c in cells.values()}
    return any(there.get(change.cell) != change.value for change in _list_cells())


def _list_cells() -> list[CellChange]:
    """The choice lists as they are now; what stands in their columns below them goes."""
    longest = max(map(len, all_lists()))
    cells = []
    for index, (choices, (_, heading)) in enumerate(all_lists().items(), start=1):
        values = [heading, *choices, *[None] * (longest - len(choices))]
        cells += [CellChange(_LISTS, f"{get_column_letter(index)}{row}", v) for row, v in enumerate(values, start=1)]
    return cells


def _checked(data: bytes, wanted: _Additions) -> bytes:
    """Add the entry checks of new columns, and give their headings the look of the others."""
    by_sheet: dict[str, list[tuple[str, Column]]] = {}
    for sheet, area, column in wanted.checked:
        by_sheet.setdefault(sheet, []).append((area, column))
    new: dict[str, bytes] = {}
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = sheet_parts(archive.read)
        for sheet, areas in by_sheet.items():
            root = parse_xml(archive.read(parts[sheet]))
            _add_checks(root, areas)
            _dress(root, wanted.helped.get(sheet, {}))
            new[parts[sheet]] = xml_bytes(root)
    return replaced(data, new)


def _dress(root: Any, headings: Iterable[str]) -> None:
    new = set(headings)
    for row in root.iterfind(f"{_M}sheetData/{_M}row"):
        made = [c for c in row if c.get("r") in new]
        if made:
            for cell in made:
                cell.set("s", row[0].get("s", "0"))
            return


def _add_checks(root: Any, areas: Iterable[tuple[str, Column]]) -> None:
    group = root.find(f"{_M}dataValidations")
    if group is None:
        group = root.makeelement(f"{_M}dataValidations", {})
        last_of(root, _BEFORE_CHECKS).addnext(group)
    for area, column in areas:
        validation = validation_of(column, area.partition(":")[0])
        if validation is not None:
            validation.add(area)
            made = etree.fromstring(tostring(validation.to_tree()))
            for element in made.iter():
                element.tag = f"{_M}{etree.QName(element).localname}"
            group.append(made)
    group.set("count", str(len(group)))
    if not len(group):
        root.remove(group)


def _named(data: bytes, tags: Mapping[str, str]) -> bytes:
    """Let the names of choice lists and layout version be those of the present layout; add lists of tags."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        root = parse_xml(archive.read(WORKBOOK))
    group = root.find(f"{_M}definedNames")
    if group is None:
        group = root.makeelement(f"{_M}definedNames", {})
        last_of(root, _BEFORE_NAMES).addnext(group)
    there = {e.get("name"): e for e in group if e.get("localSheetId") is None}
    names = {"schema_version": str(SCHEMA_VERSION), **{n: t for n, t in tags.items() if n not in there}}
    for index, (choices, (name, _)) in enumerate(all_lists().items(), start=1):
        letter = get_column_letter(index)
        names[name] = f"{_LISTS}!${letter}$2:${letter}${len(choices) + 1}"
    for name, text in sorted(names.items()):
        element = there[name] if name in there else etree.SubElement(group, f"{_M}definedName", name=name)
        element.text = text
    return replaced(data, {WORKBOOK: xml_bytes(root)})
