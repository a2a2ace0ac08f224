"""The workbook's name in a project folder, and how a file is put in its place."""

from __future__ import annotations

import os
from pathlib import Path

WORKBOOK = "inventory.xlsx"


def put_in_place(path: Path, data: bytes) -> None:
    """Write a file beside its place and move it there when it is whole."""
    beside = path.with_name(path.name + ".tmp")
    try:
        with beside.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
