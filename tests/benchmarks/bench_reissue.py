# ruff: noqa: T201  (a script that prints its figures)
"""Time and size of a reissue on a large site: the demo plant many times over.

Run: python tests/benchmarks/bench_reissue.py [copies of the plant, each of eleven drives; default 9]
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import openpyxl

sys.path.insert(0, str(Path(__file__).parents[1]))
from issuing_site import copy_demo, issued, slower_ramp, waive_stops

from binder.reissue.current import present_state

Result = TypeVar("Result")

#: Sheets whose rows are repeated for every copy; the cells that name a drive, motor, ... get a suffix.
REPEATED = ("Drives", "Motors", "Machines", "Cables", "Controls", "Isolation", "Readings", "As left")


def multiply(workbook: Path, copies: int) -> None:
    """Repeat the plant: every tag that the drives' rows name gets a letter behind it."""
    book = openpyxl.load_workbook(workbook)
    tags = {
        str(cell.value)
        for name in ("Drives", "Motors", "Machines", "Cables", "Isolation")
        for (cell,) in book[name].iter_rows(min_row=2, max_col=1)
        if cell.value
    }
    for name in REPEATED:
        sheet = book[name]
        head = [cell.value for cell in next(sheet.iter_rows(max_row=1))]
        key = next((i for i, title in enumerate(head) if str(title).lower().startswith("row key")), None)
        rows = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=2) if any(c.value for c in row)]
        line = len(rows) + 2
        for copy in range(1, copies):
            for row in rows:
                for column, value in enumerate(row, start=1):
                    new = None if key is not None and column - 1 == key else value
                    if isinstance(new, str):
                        new = "; ".join(f"{v}{chr(64 + copy)}" if v in tags else v for v in new.split("; "))
                    sheet.cell(line, column).value = new
                line += 1
    book.save(workbook)


def main(copies: int) -> None:
    """Issue, change one ramp, reissue."""
    with tempfile.TemporaryDirectory() as folder:
        project = copy_demo(Path(folder) / "site", quick=False)
        multiply(project / "inventory.xlsx", copies)
        waive_stops(project)
        _clock("first issue", lambda: issued(project, "A", "first", "2026-05-18"))
        slower_ramp(project)
        _clock("compare", lambda: present_state(project))
        made = _clock("reissue, one ramp", lambda: issued(project, "B", "ramp", "2026-06-01"))
        print(f"{len(made.record.documents)} documents, typeset {len(made.typeset)}: {', '.join(made.typeset)}")
        for path in sorted((project / "issues").rglob("*")):
            if path.name in ("A.jsonl", "B.jsonl", "binder.pdf", "package.pdf"):
                print(f"{path.relative_to(project)}: {path.stat().st_size / 1e6:.1f} MB")
    print(f"peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


def _clock(name: str, run: Callable[[], Result]) -> Result:
    wall, spent = time.perf_counter(), time.process_time()
    result = run()
    print(f"{name}: {time.perf_counter() - wall:.1f} s, {time.process_time() - spent:.1f} s of this process")
    return result


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 9)
