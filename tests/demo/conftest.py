"""The demo plant, read and worked out once."""

from __future__ import annotations

from pathlib import Path

import pytest

from binder.inventory.reader import read_workbook
from binder.inventory.records import Inventory
from binder.study import SiteStudy, study_site

WORKBOOK = Path(__file__).parents[2] / "demo_site" / "inventory.xlsx"


@pytest.fixture(scope="session")
def demo() -> Inventory:
    """The demo workbook as read."""
    return read_workbook(WORKBOOK)


@pytest.fixture(scope="session")
def demo_study(demo: Inventory) -> SiteStudy:
    """The demo plant worked out."""
    return study_site(demo)
