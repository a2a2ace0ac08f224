"""What a sheet and a column are: the form in which `columns.py` declares the workbook."""

from __future__ import annotations

from dataclasses import dataclass

#: Header of the narrow last column; the tool fills it, so that a row survives sorting and renaming.
KEY_HEADER = "Row key (do not edit)"
#: Raised whenever a sheet or column is added or renamed.
SCHEMA_VERSION = 1


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a sheet, or one line of the Site sheet.

    Parameters
    ----------
    field : str
        Field of the record.
    title : str
        Header text without the unit.
    kind : str
        Key of `kinds.KINDS`: how a cell is read.
    unit : str
        Unit meant where a cell names none; printed in brackets in the header.
    required : bool
        A blank cell is a stop.
    choices : tuple of str
        Legal words of the kinds 'choice' and 'word'.
    target : str
        Sheet whose tags are the legal values of the kinds 'reference' and 'references'.
    low, high : str
        Range in `unit`, narrower than that of the kind; '' for the kind's own.
    usual : tuple of str
        Range in `unit` in which nearly all values lie. A value outside it is told only where the same
        number in another unit of the trade would lie inside: what was probably meant. All of them are
        common practice, no source.
    help : str
        What to type, in one or two sentences.
    effect : str
        What cannot be judged or printed while the cell is blank.
    aliases : tuple of str
        Other header texts by which the column is known, older versions' among them.
    example : str
        A legal cell, shown in the grey example row.
    """

    field: str
    title: str
    kind: str = "text"
    unit: str = ""
    required: bool = False
    choices: tuple[str, ...] = ()
    target: str = ""
    low: str = ""
    high: str = ""
    usual: tuple[str, str] | None = None
    help: str = ""
    effect: str = ""
    aliases: tuple[str, ...] = ()
    example: str = ""

    @property
    def header(self) -> str:
        """Header text with the unit in brackets: 'Motor current [A]'."""
        return f"{self.title} [{self.unit}]" if self.unit else self.title


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of the workbook.

    Parameters
    ----------
    name : str
        Sheet name.
    record : type
        Record class made from each row.
    attribute : str
        Field of `Inventory` that holds the records.
    columns : tuple of Column
    key : str
        Field that names a row; its column is what a finding prints as tag.
    unique : tuple of str
        Fields that together may not repeat; empty when rows may be equal.
    vertical : bool
        One record, one item a line (the Site sheet).
    required : bool
        A workbook without this sheet is a stop.
    help : str
        What a row of this sheet is.
    aliases : tuple of str
        Other sheet names by which it is known.
    """

    name: str
    record: type
    attribute: str
    columns: tuple[Column, ...]
    key: str
    unique: tuple[str, ...] = ()
    vertical: bool = False
    required: bool = False
    help: str = ""
    aliases: tuple[str, ...] = ()

    def column(self, field: str) -> Column:
        """Return the column of a record field.

        Raises
        ------
        KeyError
            The sheet has no such column.
        """
        for column in self.columns:
            if column.field == field:
                return column
        raise KeyError(field)
