"""The whole workbook, declared once: reader, blank workbook, write-back and help all read this table."""

from __future__ import annotations

from binder.inventory import columns_control as control
from binder.inventory import columns_equipment as equipment
from binder.inventory import columns_models as models
from binder.inventory import columns_papers as papers
from binder.inventory import columns_site as site
from binder.inventory.declarations import KEY_HEADER, SCHEMA_VERSION, Column, Sheet

__all__ = [
    "KEY_HEADER", "SCHEMA_VERSION", "SHEETS", "Column", "Sheet", "column_of", "heading_of", "sheet_named", "spoken",
]  # fmt: skip

#: Every sheet in the order of the workbook.
SHEETS: tuple[Sheet, ...] = (
    site.SITE, site.SUPPLIES, site.PANELS,
    equipment.DRIVES, equipment.MOTORS, equipment.MACHINES, equipment.CABLES,
    models.MODELS, models.DERATING, models.TERMINALS, models.SETTINGS, models.FAULT_CODES,
    control.CONTROLS, control.WIRES, control.ISOLATION, control.NETWORKS,
    papers.PEOPLE, papers.INSTRUMENTS, papers.OVERRIDES, papers.AS_LEFT, papers.READINGS, papers.WAIVERS,
    papers.PUNCH_LIST, papers.DEFEATS, papers.TRAINING, papers.WARRANTY, papers.SPARES, papers.MAINTENANCE,
    papers.DOCUMENTS, papers.REVISIONS, papers.SIGNATURES,
)  # fmt: skip

_BY_NAME = {sheet.name: sheet for sheet in SHEETS}
_BY_FIELD = {(sheet.record, column.field): column for sheet in SHEETS for column in sheet.columns}


def sheet_named(name: str) -> Sheet:
    """Return the declared sheet with this name.

    Raises
    ------
    KeyError
        No such sheet is declared.
    """
    return _BY_NAME[name]


def column_of(record: type, field: str) -> Column | None:
    """Return the column that fills a field of a record class, None where no column does."""
    return _BY_FIELD.get((record, field))


def heading_of(record: type, field: str) -> str:
    """Return the heading of the column that fills a field of a record class, '' where no column does."""
    column = column_of(record, field)
    return column.header if column is not None else ""


def spoken(record: type, field: str) -> str:
    """Return a field as it is said within a sentence: the title of its column, else the field's own words.

    Examples
    --------
    >>> from binder.inventory.records import DriveModel, Motor
    >>> spoken(Motor, "current"), spoken(DriveModel, "supply_24v_limit")
    ('rated current', '24 V supply limit')
    """
    column = column_of(record, field)
    title = field.replace("_", " ") if column is None else column.title
    return title if title[1:2].isupper() else title[:1].lower() + title[1:]
