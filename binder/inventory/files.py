"""The names in a project folder that several rooms know, and how a file is put in its place."""

from __future__ import annotations

import os
from pathlib import Path

WORKBOOK = "inventory.xlsx"

#: Where a binder is put that is to go nowhere else.
OUTPUT = Path("build", "binder")


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
