"""Run a command and tell what it took: time, processor time, and the largest memory of each of its processes."""

from __future__ import annotations

import contextlib
import ctypes
import os
import resource
import subprocess
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

_PROC = Path("/proc")
_PAUSE_S = 0.05
_SET_CHILD_SUBREAPER = 36  # of <linux/prctl.h>
_HELPER_MB = 25  # a process that only keeps count of resources


@dataclass(frozen=True, slots=True)
class Run:
    """What one command took.

    Parameters
    ----------
    wall_s, cpu_s : float
        The latter of the command and everything it started.
    parent_mb : float
        Largest memory of the command itself; 0 where `/proc` is lacking, as all below.
    worker_mb : tuple of float
        Largest memory of each process that it started, in the order of their start.
    said : str
        What it wrote to both its outputs.
    """

    wall_s: float
    cpu_s: float
    parent_mb: float
    worker_mb: tuple[float, ...]
    said: str

    @property
    def largest_mb(self) -> float:
        """Largest memory of any one process."""
        return max(self.parent_mb, *self.worker_mb, 0.0)


def run(*command: str | Path) -> Run:
    """Run a command to its end, with this checkout's packages.

    Raises
    ------
    RuntimeError
        It ended with another status than 0 or 1, which both say that it did its work.
    """
    _adopt_orphans()
    path = os.pathsep.join(filter(None, [str(ROOT), os.environ.get("PYTHONPATH", "")]))
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    with tempfile.TemporaryFile("w+", encoding="utf-8", errors="replace") as told:
        process = subprocess.Popen(
            [str(c) for c in command], env={**os.environ, "PYTHONPATH": path}, stdout=told, stderr=subprocess.STDOUT
        )
        peaks = _peaks(process)
        told.seek(0)
        said = told.read()
    wall = time.perf_counter() - start
    _bury_orphans()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if process.returncode not in (0, 1):
        raise RuntimeError(f"{command} ended with {process.returncode}: {said[-2000:]}")
    own = peaks.pop(process.pid, 0.0)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Run(wall, cpu, own, tuple(mb for mb in peaks.values() if mb > _HELPER_MB), said)


def _adopt_orphans() -> None:
    """Let processes that outlive the one that started them be ours to count: the one that others are forked from."""
    if _PROC.exists():
        ctypes.CDLL(None).prctl(_SET_CHILD_SUBREAPER, 1)


def _bury_orphans() -> None:
    with contextlib.suppress(ChildProcessError):
        while True:
            os.wait()


def _peaks(process: subprocess.Popen[bytes]) -> dict[int, float]:
    """Largest memory of the process and of each that it starts, looked at until it ends. [MB]"""
    peaks: dict[int, float] = {}
    while process.poll() is None:
        for pid in (process.pid, *_started_by(process.pid)):
            peaks[pid] = max(peaks.get(pid, 0.0), _high_water_mb(pid))
        time.sleep(_PAUSE_S)
    return peaks


def _started_by(pid: int) -> list[int]:
    try:
        lists = [(task / "children").read_text() for task in (_PROC / str(pid) / "task").iterdir()]
    except OSError:
        return []
    found = [int(n) for text in lists for n in text.split()]
    return [*found, *(n for child in found for n in _started_by(child))]


def _high_water_mb(pid: int) -> float:
    try:
        lines = (_PROC / str(pid) / "status").read_text().splitlines()
    except OSError:
        return 0.0
    return next((int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM")), 0.0)
