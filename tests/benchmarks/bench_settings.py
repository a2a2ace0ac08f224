"""Time to assign and encode 60 settings on 300 drives; run as a script.

Limit: 2 s on one core.
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[1] / "settings"), str(Path(__file__).resolve().parents[2])]

from settings_cases import MODEL, WIRING, figures, inventory, setting  # noqa: E402

from binder.settings.assignment import settings_table  # noqa: E402

DRIVES, SETTINGS, LIMIT_S = 300, 60, 2.0


def main() -> int:
    """Print the time and return 1 when it is above the limit."""
    filler = [
        setting(str(100 + i), "preset_speed", applies_to=str(i), unit="Hz", resolution="0.1", minimum=0, maximum=99)
        for i in range(SETTINGS - len(MODEL))
    ]
    site = inventory((*MODEL, *filler))
    drive = site.drives[0]
    site = replace(
        site,
        drives=tuple(replace(drive, tag=f"VFD-{i}") for i in range(DRIVES)),
        controls=tuple(replace(c, drive=f"VFD-{i}") for c in site.controls for i in range(DRIVES)),
    )
    values = figures(overload__setting=9.6)
    start = time.perf_counter()
    tables = [settings_table(site, d, values, WIRING) for d in site.drives]
    took = time.perf_counter() - start
    rows = sum(len(t.rows) + len(t.untouched) for t in tables)
    sys.stdout.write(f"{rows} rows on {len(tables)} drives in {took:.2f} s (limit {LIMIT_S} s)\n")
    return int(took > LIMIT_S)


if __name__ == "__main__":
    raise SystemExit(main())
