"""A copy of the demo project whose workbook may be written."""

from __future__ import annotations

from pathlib import Path

import pytest
from demo_copy import copy_demo


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """The demo project: workbook and hand-written pages, nothing built."""
    return copy_demo(tmp_path / "site")
