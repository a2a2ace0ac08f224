"""A process ended at any moment leaves a whole issue, a whole binder and a whole workbook."""

from __future__ import annotations

import hashlib
import multiprocessing
import os
import random
import shutil
import signal
import subprocess
import sys
import time
import zipfile
from pathlib import Path

import pikepdf
import pytest
from issuing_site import copy_demo, issued, lose_row_key, slower_ramp

from binder.inventory.reader import read_workbook
from binder.reissue.record import IssuedDocument, IssueRecord, dumps
from binder.reissue.store import IssueStore

ROOT = Path(__file__).parents[1]
DRIVES = 11  # of the demo plant
FORK = multiprocessing.get_context("fork") if hasattr(os, "fork") else None


def files(folder: Path) -> dict[str, str]:
    return {
        p.relative_to(folder).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest()
        for p in sorted(folder.rglob("*"))
        if p.is_file()
    }


def commit(folder: Path, source: Path, revision: str) -> None:
    """Commit a record with thirty files."""
    document = IssuedDocument("X-1", "k1", "pump", revision, "2026-01-05", "", "", file="x")
    record = IssueRecord(revision, "2026-01-05", "A", "why", "w", "1", documents=(document,))
    IssueStore(folder).commit(record, [(f"{n}.pdf", source) for n in range(30)])


@pytest.mark.skipif(FORK is None, reason="needs fork")
def test_a_record_is_whole_or_absent(tmp_path: Path) -> None:
    source = tmp_path / "source.pdf"
    source.write_bytes(os.urandom(200_000))
    started = time.perf_counter()
    commit(tmp_path / "measure", source, "A")
    whole = time.perf_counter() - started
    random.seed(8)
    outcomes = set()
    for n in range(10):
        folder = tmp_path / f"issues-{n}"
        child = FORK.Process(target=commit, args=(folder, source, "A"))
        child.start()
        time.sleep(random.uniform(0, whole * 1.5))
        child.kill()
        child.join()
        store = IssueStore(folder)
        there = store.path("A").exists()
        outcomes.add(there)
        assert [r.revision for r in store.records()] == (["A"] if there else [])
        said = store.clear_interrupted() if folder.exists() else ()
        left = sorted(p.name for p in folder.iterdir()) if folder.exists() else []
        assert left == (["A", "A.jsonl"] if there else [])
        if there:
            assert not said
            assert len(list((folder / "A").iterdir())) == 30
    assert True in outcomes or len(outcomes) == 1


def test_the_second_of_two_issuers_loses(tmp_path: Path) -> None:
    source = tmp_path / "source.pdf"
    source.write_bytes(b"one")
    commit(tmp_path / "issues", source, "A")
    before = files(tmp_path / "issues")
    with pytest.raises(ValueError, match="issued already"):
        commit(tmp_path / "issues", source, "A")
    assert files(tmp_path / "issues") == before
    assert dumps(IssueStore(tmp_path / "issues").records()[0])


# The whole program, ended a hundred times -----------------------------------------------------------


def run(*arguments: str) -> subprocess.Popen[bytes]:
    """The command, in a process group of its own so that its workers end with it."""
    return subprocess.Popen(
        [sys.executable, "-m", "binder", *arguments],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )


def end(process: subprocess.Popen[bytes], after: float) -> None:
    """End the process and its workers after some seconds, unless it is done."""
    try:
        process.wait(after)
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()


@pytest.fixture(scope="module")
def issued_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Issued at A and built; then a slower ramp, and a row without key, for which an issue writes the workbook."""
    project = copy_demo(tmp_path_factory.mktemp("kills") / "site", kept=("VFD-201",))
    issued(project, "A")
    process = run("build", str(project))
    process.wait()
    slower_ramp(project)
    lose_row_key(project, "Spares")
    return project


def check(project: Path, before: dict[str, str]) -> str:
    """What stands after an end is whole; say which state it is."""
    store = IssueStore(project / "issues")
    records = store.records()
    for record in records:
        assert store.damaged_files(d for d in record.documents if d.revision == record.revision) == ()
    workbook = project / "inventory.xlsx"
    if hashlib.sha256(workbook.read_bytes()).hexdigest() != before["inventory.xlsx"]:  # the row key, whole
        assert zipfile.ZipFile(workbook).testzip() is None
        assert files(project)["inventory.xlsx.bak"] == before["inventory.xlsx"]
        assert len(read_workbook(workbook).drives) == DRIVES
    out = project / "build" / "binder"
    pdf = out / "pdf" if (out / "pdf").exists() else out / "pdf.old"
    html = out / "html" if (out / "html").exists() else out / "html.old"
    for path in [*pdf.glob("*.pdf"), *(pdf / "documents").glob("*.pdf")]:
        with pikepdf.open(path) as opened:
            assert len(opened.pages)
    pages = [html / "index.html", *(html / "documents").glob("*.html")]
    assert len(pages) > 10
    for page in pages:
        assert page.read_text("utf-8").rstrip().endswith("</html>"), page
    return records[-1].revision


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="ends processes by signal")
@pytest.mark.parametrize("command", ["issue", "build"])
def test_ended_at_fifty_random_moments(issued_site: Path, tmp_path: Path, command: str) -> None:
    arguments = {
        "issue": ("issue", "{}", "--revision", "B", "--reason", "x", "--by", "A", "--date", "2026-06-01"),
        "build": ("build", "{}"),
    }[command]
    moments = random.Random(len(command))
    measured = tmp_path / "measured"
    shutil.copytree(issued_site, measured)
    started = time.perf_counter()
    run(*(a.format(measured) for a in arguments)).wait()
    whole = time.perf_counter() - started
    states: dict[str, int] = {}
    for n in range(50):
        project = tmp_path / f"site-{n}"
        shutil.copytree(issued_site, project)
        before = files(project)
        # One moment in each fiftieth of the time that the command takes.
        end(run(*(a.format(project) for a in arguments)), whole * (n + moments.random()) / 50)
        state = check(project, before)
        states[state] = states.get(state, 0) + 1
        if n % 10 == 0:  # and the next run repairs whatever was left
            run(*(a.format(project) for a in arguments)).wait()
            assert check(project, before) == ("B" if command == "issue" else "A")
            assert not list((project / "issues").glob("*.tmp"))
        shutil.rmtree(project)
    assert sum(states.values()) == 50
    assert states.get("A", 0) > 0
