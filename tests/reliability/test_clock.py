"""A clock that is set back or forward between builds: the same bytes, and no change overlooked."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest
from small_site import few_documents, one_drive, project, workbook_bytes
from states import files, moved, run

YEARS = 3 * 365 * 24 * 3600


def set_clock(monkeypatch: pytest.MonkeyPatch, by: float) -> None:
    """Let this process see another time; what it writes carries that time."""
    real, real_ns = time.time, time.time_ns
    monkeypatch.setattr(time, "time", lambda: real() + by)
    monkeypatch.setattr(time, "time_ns", lambda: real_ns() + int(by * 1e9))


def shift(folder: Path, by: float) -> None:
    """Give every file the time it would have had under a clock that is wrong by so much."""
    for path in folder.rglob("*"):
        status = path.stat()
        os.utime(path, (status.st_atime + by, status.st_mtime + by))


@pytest.fixture
def site(tmp_path: Path) -> Path:
    folder = project(tmp_path / "site", few_documents(one_drive(), keep=("front", "safety")))
    (folder / "pages").mkdir()
    (folder / "pages" / "roof.rst").write_text("Roof\n====\n\nBefore the change.\n", "utf-8")
    return folder


@pytest.mark.parametrize("by", [-YEARS, YEARS], ids=["back", "forward"])
def test_the_clock_is_in_no_byte(
    site: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, by: float
) -> None:
    assert run(capsys, "build", site)[0] == 0
    before = files(site / "build" / "binder")
    set_clock(monkeypatch, by)
    assert run(capsys, "build", moved(site))[0] == 0
    assert files(site / "build" / "binder") == before
    assert run(capsys, "build", site, "--out", site / "other")[0] == 0
    assert files(site / "other") == before


@pytest.mark.parametrize("by", [-YEARS, YEARS], ids=["built in the past", "built in the future"])
def test_no_change_is_overlooked(site: Path, capsys: pytest.CaptureFixture[str], by: float) -> None:
    """All that was built seems years older or newer than what is changed now."""
    assert run(capsys, "build", site)[0] == 0
    shift(site, by)
    (site / "pages" / "roof.rst").write_text("Roof\n====\n\nAfter the change.\n", "utf-8")
    os.utime(site / "pages" / "roof.rst", (1e9, 1e9))  # and older than everything
    rows = few_documents(one_drive(), keep=("front", "safety"))
    rows["Site"][1][1] = "Changed works"
    (site / "inventory.xlsx").write_bytes(workbook_bytes(rows))
    os.utime(site / "inventory.xlsx", (1e9, 1e9))
    assert run(capsys, "build", site)[0] == 0
    html = site / "build" / "binder" / "html"
    assert "After the change." in (html / "pages" / "roof.html").read_text("utf-8")
    assert "Changed works" in (html / "index.html").read_text("utf-8")


def test_an_own_page_older_than_its_reading_is_read_again(site: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Only the page's time deceives: it was put back from a copy, or the clock was set back while it was written."""
    assert run(capsys, "build", site, "--html")[0] == 0
    page = site / "pages" / "roof.rst"
    page.write_text("Roof\n====\n\nFrom an old copy.\n", "utf-8")
    os.utime(page, (1e9, 1e9))
    assert run(capsys, "build", site, "--html")[0] == 0
    text = (site / "build" / "binder" / "html" / "pages" / "roof.html").read_text("utf-8")
    assert "From an old copy." in text
