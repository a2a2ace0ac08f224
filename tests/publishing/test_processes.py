"""Documents made in processes of their own, wherever those come from, and what is told when one ends too early."""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Iterator
from concurrent.futures import BrokenExecutor
from pathlib import Path

import pytest
from invented_binder import invented_binder

from binder.publishing.pdf import write_pdfs
from binder.publishing.processes import Processes

BINDER = invented_binder(packets=3)


@pytest.fixture(params=["forked", "spawned"])
def start(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    if request.param == "spawned":
        monkeypatch.setattr(multiprocessing, "get_all_start_methods", lambda: ["spawn"])
    elif "forkserver" not in multiprocessing.get_all_start_methods():
        pytest.skip("nothing can be forked here")
    yield request.param


def test_the_same_documents_are_made_in_however_started_processes(start: str, tmp_path: Path) -> None:
    here = write_pdfs(BINDER, tmp_path / "here", cache_dir=tmp_path / "c1", jobs=1)
    there = write_pdfs(BINDER, tmp_path / "there", cache_dir=tmp_path / "c2", jobs=2)
    assert len(there.typeset) == len(BINDER.documents)
    assert {n: p.read_bytes() for n, p in there.files.items()} == {n: p.read_bytes() for n, p in here.files.items()}


def end_at_once(number: int) -> None:
    os.kill(os.getpid(), number)


@pytest.mark.skipif(os.name != "posix", reason="signals of POSIX")
def test_a_process_that_is_ended_from_outside_is_told(start: str) -> None:
    with pytest.raises(BrokenExecutor), Processes(2) as processes:
        processes.submit(end_at_once, signal.SIGKILL).result()


def test_the_environment_is_left_as_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("GLIBC_TUNABLES", raising=False)
    with Processes(1) as processes:
        assert processes.submit(abs, -2).result() == 2
    assert "GLIBC_TUNABLES" not in os.environ
