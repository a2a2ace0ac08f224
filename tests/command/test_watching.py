"""Watching a project: builds on every real change, waits for a save to end, outlives a bad state."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from binder.errors import OutputError
from binder.watching import watch

DEMO = Path(__file__).parents[2] / "demo_site"


class Bench:
    """A project folder, a counted build, and a script of what happens while the watcher sleeps."""

    def __init__(self, folder: Path, *happenings: Callable[[], None]) -> None:
        self.folder, self.happenings = folder, list(happenings)
        self.built: list[bytes] = []
        self.said: list[str] = []
        self.fails: set[int] = set()

    @property
    def workbook(self) -> Path:
        return self.folder / "inventory.xlsx"

    def build(self) -> None:
        self.built.append(self.workbook.read_bytes() if self.workbook.exists() else b"")
        if len(self.built) in self.fails:
            raise OutputError("no drive could be read", "see: binder check")

    def sleep(self, _seconds: float) -> None:
        if not self.happenings:
            raise KeyboardInterrupt
        self.happenings.pop(0)()

    def run(self) -> Bench:
        watch(self.folder, self.build, self.said.append, sleep=self.sleep, clock=lambda: "12:00:00")
        return self


def nothing() -> None:
    """A look at which nothing has moved."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "inventory.xlsx").write_bytes(b"first")
    return tmp_path


def save(path: Path, content: bytes) -> Callable[[], None]:
    def run() -> None:
        path.write_bytes(content)
        os.utime(path, ns=(time.time_ns(), save.stamp))  # type: ignore[attr-defined]
        save.stamp += 1_000_000_000  # type: ignore[attr-defined]

    return run


save.stamp = 2_000_000_000_000_000_000  # type: ignore[attr-defined]  # of its own clock: two saves never look alike


def test_it_builds_at_once_and_then_only_on_a_change(folder: Path) -> None:
    bench = Bench(folder, nothing, nothing, save(folder / "inventory.xlsx", b"second"), nothing, nothing, nothing).run()
    assert bench.built == [b"first", b"second"]
    assert "12:00:00  inventory.xlsx: building again" in bench.said
    assert bench.said[-1].endswith("no longer watching; the binder built last stands.")


def test_a_save_in_several_steps_is_one_build(folder: Path) -> None:
    book = folder / "inventory.xlsx"
    steps = [book.unlink, save(book, b""), save(book, b"half"), save(book, b"whole"), nothing, nothing, nothing]
    assert Bench(folder, *steps).run().built == [b"first", b"whole"]


def test_a_save_without_a_change_builds_nothing(folder: Path) -> None:
    book = folder / "inventory.xlsx"
    bench = Bench(folder, save(book, b"first"), nothing, nothing, save(book, b"next"), nothing, nothing).run()
    assert bench.built == [b"first", b"next"]


def test_a_save_during_the_build_is_not_missed(folder: Path) -> None:
    bench = Bench(folder, nothing, nothing, nothing)
    build = bench.build

    def slow() -> None:
        build()
        if len(bench.built) == 1:
            save(bench.workbook, b"meanwhile")()

    bench.build = slow  # type: ignore[method-assign]
    assert bench.run().built == [b"first", b"meanwhile"]


def test_a_bad_state_is_told_and_the_next_save_builds(folder: Path) -> None:
    bench = Bench(folder, save(folder / "inventory.xlsx", b"mended"), nothing, nothing)
    bench.fails = {1}
    bench.run()
    assert bench.built == [b"first", b"mended"]
    assert bench.said[:3] == [
        "binder: no drive could be read",
        "        see: binder check",
        "        What stood in the output folder before still stands.",
    ]


@pytest.mark.parametrize("name", ["~$inventory.xlsx", ".~lock.inventory.xlsx#", "build/binder/html/index.html"])
def test_files_that_are_no_source_build_nothing(folder: Path, name: str) -> None:
    other = folder / name
    other.parent.mkdir(parents=True, exist_ok=True)
    assert Bench(folder, save(other, b"x"), nothing, nothing).run().built == [b"first"]


@pytest.mark.parametrize("name",
    ["pages/narrative.rst", "recipes.toml", "conf.py", "logo.png", "pages/plan.svg", "house_style/own.css"],
)  # fmt: skip
def test_everything_else_that_a_binder_is_made_from_counts(folder: Path, name: str) -> None:
    other = folder / name
    other.parent.mkdir(parents=True, exist_ok=True)
    bench = Bench(folder, save(other, b"x"), nothing, nothing, other.unlink, nothing, nothing).run()
    assert len(bench.built) == 3
    assert bench.said.count(f"12:00:00  {name}: building again") == 2


#: The command, hearing Ctrl-C even where the tests run in the background of a shell, which would have it ignored.
HEARING = (
    sys.executable, "-u", "-c",
    "import signal, sys; signal.signal(signal.SIGINT, signal.default_int_handler); "
    "from binder.cli import main; sys.exit(main(sys.argv[1:]))",
)  # fmt: skip


@pytest.mark.skipif(sys.platform == "win32", reason="sends the signal of Ctrl-C, which that system does not have")
def test_ctrl_c_ends_with_0_after_a_bad_state(tmp_path: Path) -> None:
    """The whole command, on a workbook that no binder can be made of."""
    site = tmp_path / "my site"
    site.mkdir()
    (site / "inventory.xlsx").write_bytes(b"no workbook")
    command = [*HEARING, "build", str(site), "--html", "--watch"]
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True) as running:
        assert running.stderr is not None
        lines = []
        for line in running.stderr:
            lines.append(line)
            if "save the workbook" in line:
                break
        running.send_signal(signal.SIGINT)
        lines += running.stderr.readlines()
        assert running.wait(60) == 0, lines
    assert any("no binder was built" in line for line in lines)
    assert "no longer watching" in lines[-1]


@pytest.mark.slow
def test_the_binder_follows_the_workbook(tmp_path: Path) -> None:
    shutil.copy(DEMO / "inventory.xlsx", tmp_path)
    command = [*HEARING, "build", str(tmp_path), "--html", "--watch"]
    with subprocess.Popen(command, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True) as running:
        assert running.stderr is not None
        seen = 0
        for line in running.stderr:
            if "save the workbook" not in line:
                continue
            seen += 1
            if seen == 1:
                (tmp_path / "pages").mkdir()
                (tmp_path / "pages" / "notes.rst").write_text("Notes\n=====\n\nA page of one's own.\n")
            else:
                running.send_signal(signal.SIGINT)
        assert running.wait(60) == 0
    assert (tmp_path / "build" / "binder" / "html" / "pages" / "notes.html").is_file()
