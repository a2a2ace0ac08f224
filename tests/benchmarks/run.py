"""Measure speed and scale, and write the table: python tests/benchmarks/run.py [NAME ...] [--scale 0.2].

Everything is measured in one run beside its reference. At full scale this takes most of an hour; one
name takes minutes, a scale of 0.1 a tenth. Compare figures of a machine that does nothing else.
"""

from __future__ import annotations

import argparse
import importlib.metadata
import os
import platform
import sys
import tempfile
import time
from collections.abc import Iterable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from goals import MEASUREMENTS, Result, Work

from binder.checking import cores

_LIBRARIES = ("sphinx", "docutils", "typst", "pikepdf", "schemdraw")


def machine() -> str:
    """What it was measured on, and whether the machine was busy."""
    model = platform.processor() or platform.machine()
    info = Path("/proc/cpuinfo")
    if info.exists():
        named = [line.partition(":")[2].strip() for line in info.read_text().splitlines() if "model name" in line]
        model = named[0] if named else model
    busy = f", load {os.getloadavg()[0]:.1f} at the start" if hasattr(os, "getloadavg") else ""
    versions = ", ".join(f"{name} {importlib.metadata.version(name)}" for name in _LIBRARIES)
    return f"{model}, {cores()} cores{busy}; Python {platform.python_version()}, {versions}"


def table(results: Iterable[Result], where: str) -> str:
    """The table as text that is also a page."""
    lines = [
        f"Machine: {where}",
        "",
        "| Goal | Limit | Measured | Of the limit | Met | Beside |",
        "| --- | --- | --- | --- | --- | --- |",
    ]
    for r in results:
        known = r.limit != float("inf")
        limit = f"{'>=' if r.at_least else '<='} {r.limit:g} {r.unit}" if known else "-"
        share = f"{r.value / r.limit:.2f}" if known else "-"
        met = ("yes" if r.met else "no") if known else "-"
        lines.append(f"| {r.goal} | {limit} | {r.value:.3g} {r.unit} | {share} | {met} | {r.beside} |")
    return "\n".join(lines) + "\n"


def main() -> None:
    """Measure what is named, or everything."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("names", nargs="*", metavar="NAME", help=f"of: {', '.join(MEASUREMENTS)} (default: all)")
    parser.add_argument("--scale", type=float, default=1.0, help="share of the drives of each goal (default: 1)")
    parser.add_argument("--out", type=Path, metavar="FILE.md", help="also write the table to a file")
    arguments = parser.parse_args()
    unknown = set(arguments.names) - set(MEASUREMENTS)
    if unknown:
        parser.error(f"no measurement is called {', '.join(sorted(unknown))}")
    where, results = machine(), list[Result]()
    with tempfile.TemporaryDirectory(prefix="binder-benchmark-") as folder:
        work = Work(Path(folder), arguments.scale)
        for name in arguments.names or MEASUREMENTS:
            start = time.perf_counter()
            results += MEASUREMENTS[name](work)
            sys.stderr.write(f"{name}: {time.perf_counter() - start:.0f} s\n")
    text = table(results, where)
    sys.stdout.write(text)
    if arguments.out:
        arguments.out.write_text(text, "utf-8")


if __name__ == "__main__":
    main()
