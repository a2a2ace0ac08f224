"""A copy of the demo project whose workbook may be written."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

DEMO = Path(__file__).parents[2] / "demo_site"


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """The demo project: workbook and hand-written pages, nothing built."""
    made = tmp_path / "site"
    made.mkdir()
    shutil.copy(DEMO / "inventory.xlsx", made)
    if (DEMO / "pages").is_dir():
        shutil.copytree(DEMO / "pages", made / "pages")
    return made
