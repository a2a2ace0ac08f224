"""The whole workbook, declared once: reader, blank workbook, write-back and help all read this table."""

from __future__ import annotations

from binder.inventory import columns_control as control
from binder.inventory import columns_equipment as equipment
from binder.inventory import columns_models as models
from binder.inventory import columns_papers as papers
from binder.inventory import columns_site as site
from binder.inventory.declarations import KEY_HEADER, SCHEMA_VERSION, Column, Sheet

__all__ = ["KEY_HEADER", "SCHEMA_VERSION", "SHEETS", "Column", "Sheet", "sheet_named"]

#: Every sheet in the order of the workbook.
SHEETS: tuple[Sheet, ...] = (
    site.SITE, site.SUPPLIES, site.PANELS,
    equipment.DRIVES, equipment.MOTORS, equipment.MACHINES, equipment.CABLES,
    models.MODELS, models.DERATING, models.TERMINALS, models.SETTINGS,
    control.CONTROLS, control.WIRES, control.ISOLATION, control.NETWORKS,
    papers.PEOPLE, papers.INSTRUMENTS, papers.OVERRIDES, papers.AS_LEFT, papers.READINGS, papers.WAIVERS,
    papers.PUNCH_LIST, papers.DEFEATS, papers.TRAINING, papers.WARRANTY, papers.SPARES, papers.MAINTENANCE,
    papers.DOCUMENTS, papers.REVISIONS, papers.SIGNATURES,
)  # fmt: skip

_BY_NAME = {sheet.name: sheet for sheet in SHEETS}


def sheet_named(name: str) -> Sheet:
    """Return the declared sheet with this name.

    Raises
    ------
    KeyError
        No such sheet is declared.
    """
    return _BY_NAME[name]
