"""Small workbooks for tests: a sound site, and ways to spoil one cell of it."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Mapping
from copy import deepcopy
from pathlib import Path
from typing import Any

from openpyxl import Workbook, load_workbook

from binder.inventory.blank import write_workbook
from binder.inventory.findings import Finding
from binder.inventory.reader import read_workbook
from binder.inventory.records import Inventory

SOUND: dict[str, list[dict[str, Any]]] = {
    "Site": [{"name": "Example plant", "document_prefix": "J12", "code_basis": "NEC"}],
    "Supplies": [{"tag": "T-1", "voltage": "480 V", "frequency": 60, "phases": "3"}],
    "Panels": [{"tag": "MCC-1", "supply": "T-1"}],
    "Models": [{"model": "Example 7", "min_voltage": 380, "max_voltage": 500, "wait_time": "5 min"}],
    "Motors": [
        {"tag": "M-1", "power": "15 hp", "voltage": 460, "current": 18.5, "frequency": 60, "speed": 1765},
        {"tag": "M-2", "power": 7.5, "voltage": 460, "current": 12, "frequency": 60, "speed": 1760},
    ],
    "Drives": [
        {"tag": "VFD-1", "panel": "MCC-1", "model": "Example 7", "motor": "M-1"},
        {"tag": "VFD-2", "panel": "MCC-1", "model": "Example 7", "motor": "M-2"},
    ],
}  # fmt: skip


_WRITTEN: dict[str, bytes] = {}  # a workbook takes half a second to write, its bytes are always the same


def write(path: Path, changes: Mapping[str, list[dict[str, Any]]] | None = None) -> Path:
    """Write the sound workbook with whole sheets exchanged."""
    rows = {**deepcopy(SOUND), **(changes or {})}
    if repr(rows) not in _WRITTEN:
        write_workbook(path, rows)
        _WRITTEN[repr(rows)] = path.read_bytes()
    path.write_bytes(_WRITTEN[repr(rows)])
    return path


def spoil(path: Path, edit: Callable[[Workbook], object]) -> Path:
    """Load a written workbook, change it, save it."""
    book = load_workbook(path)
    edit(book)
    book.save(path)
    return path


def read(folder: Path, edit: Callable[[Workbook], object] | None = None, **sheets: list[dict[str, Any]]) -> Inventory:
    """Write the sound workbook, spoil it, read it."""
    path = write(folder / "inventory.xlsx", {k.replace("_", " "): v for k, v in sheets.items()})
    if edit is not None:
        spoil(path, edit)
    return read_workbook(path)


def with_motor(**fields: Any) -> list[dict[str, Any]]:
    """The motors with fields of the first one changed; None clears a field."""
    motors = deepcopy(SOUND["Motors"])
    motors[0].update(fields)
    return motors


def with_drive(**fields: Any) -> list[dict[str, Any]]:
    """The drives with fields of the first one changed."""
    drives = deepcopy(SOUND["Drives"])
    drives[0].update(fields)
    return drives


def brief(findings: tuple[Finding, ...]) -> list[tuple[str, str, str, str]]:
    """(grade, code, sheet, cell) of each finding."""
    return [(str(f.grade), f.code, f.sheet, f.cell) for f in findings]


def edit_part(path: Path, part: str, change: Callable[[bytes], bytes]) -> Path:
    """Change one part of a package."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    parts[part] = change(parts.get(part, b""))
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    path.write_bytes(out.getvalue())
    return path


def header_cell(book: Workbook, sheet: str, words: str) -> Any:
    """The heading cell of a sheet that begins with these words."""
    return next(c for c in book[sheet][1] if str(c.value).startswith(words))
