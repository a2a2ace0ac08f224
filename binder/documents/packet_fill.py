"""What a tablet needs to fill in a drive's test sheets and settings without network."""

from __future__ import annotations

from docutils import nodes

from binder.documents.blocks import field_form
from binder.documents.document import Document
from binder.field.returns import reading_row, setting_row
from binder.study import DriveStudy


def fill_form(study: DriveStudy, document: Document, site: str) -> nodes.Node:
    """Make the form behind the tables that are filled in on screen.

    Parameters
    ----------
    study : DriveStudy
    document : Document
        The drive's packet: what is typed is kept under its number and revision.
    site : str
        Name of the site, so that two sites with like numbers do not meet on one device.

    Returns
    -------
    node
        Computed lines are left out: nobody types them.
    """
    pack = study.field
    lines = [line for line in pack.lines if line.kind != "computed"]
    return field_form(
        (site, document.number, document.revision, pack.drive),
        [reading_row(pack.drive, line) for line in lines],
        [setting_row(pack.drive, row) for row in study.settings.rows],
        # The limit at 40 °C goes along though nobody types its line: the raw one follows from the temperature typed.
        limits={
            t.id: (t.low, t.high)
            for t in pack.lines
            if (t.kind != "computed" or t.id == "R2.C") and (t.low, t.high) != (None, None)
        },
        checks=[line.id for line in lines if line.kind == "check"],
        done=[line.id for line in lines if line.done],
    )
