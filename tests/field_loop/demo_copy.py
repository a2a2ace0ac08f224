"""Where the demo project is, and how a test gets its own."""

from __future__ import annotations

import shutil
from pathlib import Path

DEMO = Path(__file__).parents[2] / "demo_site"


def copy_demo(folder: Path) -> Path:
    """Workbook and hand-written pages of the demo, nothing built."""
    folder.mkdir()
    shutil.copy(DEMO / "inventory.xlsx", folder)
    if (DEMO / "pages").is_dir():
        shutil.copytree(DEMO / "pages", folder / "pages")
    return folder
