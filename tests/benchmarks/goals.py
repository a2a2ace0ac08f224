"""The goals for speed and scale, each measured beside what it is compared with."""

from __future__ import annotations

import re
import shutil
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from measured import Run, run
from plain_sphinx import write_pages
from plants import change_one_drive, make_plant

from binder.checking import cores
from binder.reissue.current import binder_of

BINDER = (sys.executable, "-m", "binder")


@dataclass(frozen=True, slots=True)
class Result:
    """One line of the table: a goal and what was seen.

    Parameters
    ----------
    goal : str
    limit : float
        Largest value that meets the goal, or the smallest where `at_least`.
    value : float
    unit : str
    beside : str
        What it was compared with, or was taken from.
    """

    goal: str
    limit: float
    value: float
    unit: str
    beside: str
    at_least: bool = False

    @property
    def met(self) -> bool:
        """True when the goal is met."""
        return self.value >= self.limit if self.at_least else self.value <= self.limit


@dataclass(slots=True)
class Work:
    """A folder to build in, and the builds that several measurements share.

    Parameters
    ----------
    folder : Path
    scale : float
        Share of the drives of each goal; smaller sites are quicker and say less.
    """

    folder: Path
    scale: float = 1.0
    _runs: dict[tuple[str, int], tuple[Path, Run]] = field(default_factory=dict)

    def drives(self, count: int) -> int:
        """How many drives stand for so many."""
        return max(3, round(count * self.scale))

    def built(self, output: str, count: int) -> tuple[Path, Run]:
        """A plant built from nothing: 'html', 'pdf' or 'both'."""
        key = (output, count)
        if key not in self._runs:
            project = make_plant(self.folder / f"{output}-{count}", self.drives(count))
            self._runs[key] = project, build(project, output)
        return self._runs[key]


def build(project: Path, output: str) -> Run:
    """Run `binder build`."""
    return run(*BINDER, "build", project, *([f"--{output}"] if output != "both" else []))


# Pages -----------------------------------------------------------------------------------------


def pages(work: Work) -> Iterator[Result]:
    """HTML of 100 drives beside plain Sphinx on the same content as list-tables."""
    project, full = work.built("html", 100)
    drives = work.drives(100)
    source = work.folder / "plain"
    cells = write_pages(binder_of(project), source)
    again = build(project, "html")
    script = Path(__file__).with_name("plain_sphinx.py")
    made = work.folder / "plain-html"
    told = run(sys.executable, script, project, source, made).said
    ours, ours_again, plain, plain_again = map(float, told.split()[-4:])
    beside = f"plain Sphinx, {cells} cells: {plain:.1f} s"
    yield Result(f"HTML of {drives} drives, from nodes", 0.3, ours / plain, "x", beside)
    beside = f"{full.cpu_s:.1f} s with reading, studying, drawing; {beside}"
    yield Result(f"HTML of {drives} drives, whole command", 0.3, full.cpu_s / plain, "x", beside)
    beside = f"plain Sphinx again: {plain_again:.2f} s"
    yield Result("HTML unchanged, from nodes", 1.0, ours_again / plain_again, "x", beside)
    whole = run(sys.executable, "-m", "sphinx", "-q", "-b", "html", source, made)
    beside = f"{again.cpu_s:.2f} s beside {whole.cpu_s:.2f} s of plain sphinx-build, both whole processes"
    yield Result("HTML unchanged, whole command", 1.0, again.cpu_s / whole.cpu_s, "x", beside)


def changed_page(work: Work) -> Iterator[Result]:
    """One drive changed at 400 drives, HTML."""
    project, full = work.built("html", 400)
    change_one_drive(project, work.drives(400))
    changed = build(project, "html")
    share = 100 * changed.cpu_s / full.cpu_s
    yield Result(f"HTML, 1 of {work.drives(400)} drives changed", 8, share, "%", f"full build: {full.cpu_s:.0f} s CPU")


def page_memory(work: Work) -> Iterator[Result]:
    """Memory of HTML at 300 drives."""
    _, full = work.built("html", 300)
    yield Result(f"HTML memory, {work.drives(300)} drives", 150, full.parent_mb, "MB", "largest of the one process")


# PDF -------------------------------------------------------------------------------------------


def sheets(work: Work) -> Iterator[Result]:
    """Tagged PDF/A of 100 drives: speed, size and memory."""
    project, full = work.built("pdf", 100)
    count, beside = _sheets(full), f"{work.drives(100)} drives, {_sheets(full)} sheets"
    volumes = [p.stat().st_size for p in (project / "build" / "binder" / "pdf").glob("*.pdf")]
    typesetting, joining = full.worker_mb[: -len(volumes)], full.worker_mb[-len(volumes) :]
    joining_mb = max(joining) if len(volumes) > 1 else full.parent_mb
    yield Result("PDF, sheets a second", 75, count / full.wall_s, "1/s", f"{beside}, {cores()} cores", at_least=True)
    yield Result("PDF, processor time a sheet", 25, 1000 * full.cpu_s / count, "ms", beside)
    yield Result("PDF, size a sheet", 9, sum(volumes) / 1000 / count, "kB", f"volumes of {beside}")
    yield Result("PDF, memory of a typesetting process", 350, max(typesetting), "MB", beside)
    yield Result("PDF, memory of joining a volume", 350, joining_mb, "MB", beside)


def changed_sheet(work: Work) -> Iterator[Result]:
    """One drive changed in a binder of 100, PDF."""
    project, full = work.built("pdf", 100)
    change_one_drive(project, work.drives(100))
    changed = build(project, "pdf")
    for name, share in (("time", changed.wall_s / full.wall_s), ("CPU", changed.cpu_s / full.cpu_s)):
        goal = f"PDF, 1 of {work.drives(100)} drives changed, {name}"
        yield Result(goal, 15, 100 * share, "%", f"full build: {full.wall_s:.0f} s, {full.cpu_s:.0f} s CPU")


def volumes(work: Work) -> Iterator[Result]:
    """400 drives in volumes: no process is large."""
    project, full = work.built("pdf", 400)
    count = len(list((project / "build" / "binder" / "pdf").glob("*.pdf")))
    beside = f"{_sheets(full)} sheets in {count} volumes; main process {full.parent_mb:.0f} MB"
    yield Result(f"PDF of {work.drives(400)} drives, largest process", 700, full.largest_mb, "MB", beside)


def _sheets(built: Run) -> int:
    found = re.findall(r"(\d+) sheets", built.said)
    return int(found[-1]) if found else 0


# 1,000 drives ----------------------------------------------------------------------------------


def check(work: Work) -> Iterator[Result]:
    """`binder check` of 1,000 drives."""
    project = make_plant(work.folder / "check", work.drives(1000))
    took = run(*BINDER, "check", project)
    beside = f"{took.cpu_s:.1f} s CPU; {took.parent_mb:.0f} MB, workers {max(took.worker_mb, default=0.0):.0f} MB"
    yield Result(f"check of {work.drives(1000)} drives", 10, took.wall_s, "s", beside)


def whole(work: Work) -> Iterator[Result]:
    """A full build of 1,000 drives beside one of 100."""
    _, small = work.built("both", 100)
    project, large = work.built("both", 1000)
    beside = f"{work.drives(100)} drives: {small.wall_s:.0f} s; {work.drives(1000)}: {large.wall_s:.0f} s"
    yield Result(f"HTML and PDF of {work.drives(1000)} drives", 11, large.wall_s / small.wall_s, "x", beside)
    beside = f"main process; workers {max(large.worker_mb, default=0.0):.0f} MB"
    yield Result(f"memory at {work.drives(1000)} drives (said)", float("inf"), large.parent_mb, "MB", beside)
    shutil.rmtree(project)


MEASUREMENTS: dict[str, Callable[[Work], Iterator[Result]]] = {
    "check": check,
    "pages": pages,
    "changed-page": changed_page,
    "page-memory": page_memory,
    "sheets": sheets,
    "changed-sheet": changed_sheet,
    "volumes": volumes,
    "whole": whole,
}
