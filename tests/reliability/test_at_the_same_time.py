"""Two builds at once, a workbook saved meanwhile, a build that is killed: one whole binder, always."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pikepdf
import pytest
from small_site import ROOT, few_documents, one_drive, project, workbook_bytes
from states import files, moved, run

from binder.project import Project
from binder.publishing.place import sole_use


@pytest.fixture
def site(tmp_path: Path) -> Path:
    return project(tmp_path / "site", few_documents(one_drive(), keep=("front", "safety")))


def start(*words: object) -> subprocess.Popen[str]:
    """The command, in a process group of its own so that its workers end with it."""
    return subprocess.Popen(
        [sys.executable, "-m", "binder", *map(str, words)],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )


def test_the_second_of_two_builds_is_told(site: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with sole_use(site / "build" / "work"):
        status, said = run(capsys, "build", site)
    assert status == 2
    assert "another build is at work" in said
    assert "then build again" in said
    assert not (site / "build" / "binder").exists()
    assert run(capsys, "build", site)[0] == 0


def test_three_builds_at_once_leave_one_whole_binder(site: Path, capsys: pytest.CaptureFixture[str]) -> None:
    builds = [start("build", site) for _ in range(3)]
    told = [process.communicate()[1] for process in builds]
    assert {process.returncode for process in builds} <= {0, 2}
    assert any(process.returncode == 0 for process in builds)
    for process, said in zip(builds, told, strict=True):
        assert (process.returncode == 2) == ("another build is at work" in said), said
    before = files(site / "build" / "binder")
    assert before
    assert run(capsys, "build", moved(site))[0] == 0
    assert files(site / "build" / "binder") == before


def test_a_disk_without_locks_lets_everybody_pass(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fcntl = pytest.importorskip("fcntl")

    def refuse(*_: object) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(fcntl, "flock", refuse)
    with sole_use(tmp_path / "work"), sole_use(tmp_path / "work"):
        pass


def test_a_workbook_saved_during_a_build_is_told(
    site: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run(capsys, "build", site)[0] == 0
    before = files(site / "build" / "binder")
    real = Project.study
    rows = few_documents(one_drive(), keep=("front", "safety"))
    rows["Site"][1][1] = "Saved meanwhile"

    def study_then_save(self: Project) -> object:
        made = real(self)
        (site / "inventory.xlsx").write_bytes(workbook_bytes(rows))
        return made

    with monkeypatch.context() as patched:
        patched.setattr(Project, "study", study_then_save)
        status, said = run(capsys, "build", moved(site))
    assert status == 0
    assert "inventory.xlsx was saved while the binder was built" in said
    assert "Build again." in said
    status, said = run(capsys, "build", site)
    assert (status, "was saved" in said) == (0, False)
    assert "Saved meanwhile" in (site / "build" / "binder" / "html" / "index.html").read_text("utf-8")
    assert files(site / "build" / "binder") != before


def test_a_workbook_that_is_gone_or_half_there_during_a_build(
    site: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A spreadsheet program saves in steps: for a moment there is no file, or half of one."""
    assert run(capsys, "build", site)[0] == 0
    whole, before = (site / "inventory.xlsx").read_bytes(), files(site / "build" / "binder")
    for state in (whole[:3000], b"", None):
        (site / "inventory.xlsx").unlink()
        if state is not None:
            (site / "inventory.xlsx").write_bytes(state)
        status, said = run(capsys, "build", site)
        assert status == 2
        assert "no binder was built: " in said
        assert files(site / "build" / "binder") == before
        (site / "inventory.xlsx").write_bytes(whole)
    assert run(capsys, "build", site)[0] == 0
    assert files(site / "build" / "binder") == before


def check(out: Path) -> None:
    """A whole binder stands, perhaps under the name that it has for a moment."""
    pdf = out / "pdf" if (out / "pdf").exists() else out / "pdf.old"
    html = out / "html" if (out / "html").exists() else out / "html.old"
    for path in pdf.rglob("*.pdf"):
        with pikepdf.open(path) as opened:
            assert len(opened.pages)
    assert len(list(pdf.rglob("*.pdf"))) == 3
    for page in html.rglob("*.html"):
        assert page.read_text("utf-8").rstrip().endswith("</html>"), page


@pytest.mark.skipif(sys.platform == "win32", reason="ends processes by signal")
def test_a_build_killed_at_any_moment_leaves_nothing_half(
    site: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(capsys, "build", site)[0] == 0
    rows = few_documents(one_drive(), keep=("front", "safety"))
    random.seed(4)
    started = time.perf_counter()
    start("build", moved(site)).communicate()
    whole = time.perf_counter() - started
    for n in range(4):
        rows["Site"][1][1] = f"State {n}"
        (site / "inventory.xlsx").write_bytes(workbook_bytes(rows))
        process = start("build", site)
        time.sleep(random.uniform(0.4, 1.0) * whole)
        os.killpg(process.pid, signal.SIGKILL)
        process.communicate()
        check(site / "build" / "binder")
    assert run(capsys, "build", site)[0] == 0
    fresh = project(tmp_path / "fresh", rows)
    assert run(capsys, "build", fresh)[0] == 0
    assert files(site / "build" / "binder") == files(fresh / "build" / "binder"), "nothing half was kept"
