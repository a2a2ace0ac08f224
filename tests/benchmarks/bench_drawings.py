"""Time the control drawings of 200 drives on one core: python tests/benchmarks/bench_drawings.py [drives].

Run from the repository root. Limits: median sheet under 10 ms and 25 kB of SVG, 200 drives under
4 s, control and main-circuit sheets together; wiring is worked out before and told apart. Drives take
turns with every scheme and combination of the wiring tests on 12, 24 and 40 terminals. Times are those
of the processor, so that a busy machine does not spoil them.
"""

from __future__ import annotations

import statistics
import sys
import time
from dataclasses import replace
from itertools import cycle, islice, product
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[1] / "wiring"), str(Path(__file__).resolve().parents[2])]

from combinations import COMBINATIONS, EVERY_SCHEME  # noqa: E402
from invented_drives import STRIPS, site  # noqa: E402

from binder.engineering.figure import Figures  # noqa: E402
from binder.inventory.records import Drive, Inventory  # noqa: E402
from binder.wiring.build import wire_drive  # noqa: E402
from binder.wiring.connections import Wiring  # noqa: E402
from binder.wiring.drawing import control_sheets  # noqa: E402
from binder.wiring.power import power_sheets  # noqa: E402

DRIVES, LIMIT_MS, LIMIT_BYTES, LIMIT_S = 200, 10.0, 25_000, 4.0


def wired(count: int) -> list[tuple[Inventory, Drive, Wiring]]:
    """Drives with their wiring, no two neighbours alike."""
    cases = product(STRIPS, (*COMBINATIONS.values(), *EVERY_SCHEME.values()), ("IEC", "NEC"))
    found = []
    for n, (size, rows, basis) in enumerate(islice(cycle(cases), 0, 7 * count, 7)):
        inventory = site(rows, size, basis=basis)
        drive = replace(inventory.drives[0], serial=str(n))
        found.append((inventory, drive, wire_drive(inventory, drive, Figures())))
    return found


def main() -> int:
    """Print the figures and return 1 when a limit is passed."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else DRIVES
    start = time.process_time()
    drives = wired(count)
    ready = time.process_time()
    control_sheets(drives[0][2], *drives[0][:2])  # modules and widths are read once
    begun = time.process_time()
    per_sheet, sizes, sheets, main_sheets = [], [], 0, 0
    for inventory, drive, wiring in drives:
        before = time.process_time()
        made = control_sheets(wiring, inventory, drive)
        per_sheet += [1000 * (time.process_time() - before) / len(made)] * len(made)
        sizes += [len(s.svg.encode()) for s in made]
        sheets += len(made)
        main_sheets += len(power_sheets(inventory, drive, {}, wiring))
    took = time.process_time() - begun
    median_ms, median_bytes = statistics.median(per_sheet), statistics.median(sizes)
    sys.stdout.write(
        f"wiring of {count} drives: {ready - start:.2f} s\n"
        f"{sheets} control sheets and {main_sheets} main-circuit sheets: {took:.2f} s (limit {LIMIT_S:g} s a 200)\n"
        f"median control sheet {median_ms:.1f} ms (limit {LIMIT_MS:g}), {median_bytes / 1000:.1f} kB "
        f"(limit {LIMIT_BYTES / 1000:g}); largest {max(sizes) / 1000:.1f} kB\n"
    )
    return int(median_ms > LIMIT_MS or median_bytes > LIMIT_BYTES or took > LIMIT_S * count / DRIVES)


if __name__ == "__main__":
    raise SystemExit(main())
