"""What a tablet offers to pick from: people and instruments of the workbook, in one file beside the pages.

They stand in no page: a calibrated meter or a new colleague makes no drive's packet new.
"""

from __future__ import annotations

import json
from pathlib import Path

from sphinx.application import Sphinx

from binder.documents.document import Binder
from binder.publishing.domain import binder_domain

NAME = "pick_lists.js"


def pick_lists(binder: Binder) -> str:
    """The lists as a script that a page opened as a file can load.

    Parameters
    ----------
    binder : Binder

    Returns
    -------
    str
    """
    data = {"people": list(binder.people), "instruments": list(binder.instruments)}
    return f"window.binderPickLists = {json.dumps(data, ensure_ascii=True, separators=(',', ':'))};\n"


def write_pick_lists(app: Sphinx, exception: Exception | None) -> None:
    """Put the lists beside the pages, when they differ from what is there."""
    binder = binder_domain(app.env).binder
    if exception is not None or app.builder.format != "html" or binder is None:
        return
    path = Path(app.outdir) / "_static" / NAME
    text = pick_lists(binder)
    if not path.is_file() or path.read_text("utf-8") != text:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8", newline="\n")
