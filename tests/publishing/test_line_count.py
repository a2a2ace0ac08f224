"""Rows whose lines are counted beforehand are as high as the typesetter would make them."""

from __future__ import annotations

import dataclasses
import io
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from binder.documents.assemble import assemble
from binder.publishing.line_count import certain_lines
from binder.publishing.packet import Job, compile_document
from binder.publishing.press import Press
from binder.reissue.current import study_of

DEMO = Path(__file__).parents[2] / "demo_site"


def rows(block: Any) -> Iterator[dict[str, Any]]:
    """Rows of all tables but those of cards."""
    if isinstance(block, list):
        for part in block:
            yield from rows(part)
    elif isinstance(block, dict) and block.get("t") != "card":
        yield from block["rows"] if block.get("t") == "table" else ()
        for part in block.values():
            yield from rows(part) if block.get("t") != "table" else ()


def contents(job: Job) -> list[bytes]:
    """What is painted on each page."""
    with pikepdf.open(io.BytesIO(compile_document(job))) as pdf:
        return [page.obj.Contents.read_bytes() for page in pdf.pages if "/Contents" in page]


@pytest.mark.parametrize(("paper", "tag"), [("Letter", "VFD-101"), ("A4", "VFD-501")])
def test_every_row_is_as_high_as_when_it_is_measured(tmp_path: Path, paper: str, tag: str) -> None:
    study = study_of(DEMO)
    site = dataclasses.replace(study.inventory.site, paper=paper)
    binder = assemble(dataclasses.replace(study, inventory=dataclasses.replace(study.inventory, site=site)))
    press = Press(binder, tmp_path, pages=None, jobs=1, progress=lambda _what, _done, _of: None)
    job, _ = press._job(next(d for d in binder.documents if d.subject == tag))
    assert job is not None
    data = json.loads(job.data)
    found = list(rows(data["blocks"]))
    counted = [row.pop("l") for row in found if "l" in row]
    assert len(counted) > 0.7 * len(found)
    assert max(counted) > 3
    assert contents(job) == contents(dataclasses.replace(job, data=json.dumps(data)))


@pytest.mark.parametrize(
    ("text", "room_mm", "lines"),
    [
        ("12.5 A", 20, 1),
        ("Motor stopped", 15, 2),
        ("Motor\nstopped", 40, 2),
        ("Stop (the motor)", 15, 2),
        # A break behind the hyphen makes it two lines, none makes it three.
        ("over-temperature of the motor", 20, None),
        ("incomprehensibilities", 15, None),  # wider than its column
        ("⌀ 12 mm", 40, None),  # a sign of another face may be higher
    ],
)
def test_lines_are_counted_where_they_are_certain(text: str, room_mm: float, lines: int | None) -> None:
    assert certain_lines(text, room_mm, 8.5, bold=False) == lines
