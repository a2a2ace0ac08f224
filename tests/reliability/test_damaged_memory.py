"""What is kept between builds, damaged in every way: made again, and the binder is the same to the byte."""

from __future__ import annotations

import os
import pickle
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from small_site import few_documents, one_drive, project, workbook_bytes
from states import files, moved, run


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return project(tmp_path_factory.mktemp("memory") / "site", few_documents(one_drive(), keep=("front", "safety")))


@pytest.fixture
def sound(site: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, str]:
    assert run(capsys, "build", site)[0] == 0
    return files(site / "build" / "binder")


DAMAGE: dict[str, Callable[[bytes], bytes]] = {
    "cut short": lambda data: data[: len(data) // 2],
    "garbage": lambda data: bytes((b * 7 + 3) % 256 for b in range(len(data) or 40)),
    "zeros": lambda data: bytes(len(data)),
    "empty": lambda _: b"",
    "of another version": lambda _: pickle.dumps({"version": 999}),
}
PLACES = (
    "doctrees/environment.pickle",
    "doctrees/*.doctree",
    "doctrees/documents/*.doctree",
    "html/index.html",
    "html/documents/*.html",
    "html/searchindex.js",
    "html/_static/*.css",
    "html/.buildinfo",
    "cache/*.pdf",
    "cache/*.json",
    "pages.json",
    "lock",
)


def spoil(work: Path, pattern: str, damage: Callable[[bytes], bytes], *, secretly: bool) -> int:
    """Damage what the pattern names; secretly: with size and time as they were, as a failing disk does."""
    found = sorted(work.glob(pattern))
    for path in found:
        before, data = path.stat(), path.read_bytes()
        new = damage(data)
        path.write_bytes((new + bytes(len(data)))[: len(data)] if secretly else new)
        if secretly:
            os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    return len(found)


@pytest.mark.parametrize("kind", DAMAGE)
def test_everything_damaged_at_once(
    site: Path, sound: dict[str, str], capsys: pytest.CaptureFixture[str], kind: str
) -> None:
    assert sum(spoil(site / "build" / "work", place, DAMAGE[kind], secretly=False) for place in PLACES) > 15
    assert run(capsys, "build", site)[0] == 0
    assert files(site / "build" / "binder") == sound


@pytest.mark.parametrize("place", PLACES)
def test_one_part_damaged(site: Path, sound: dict[str, str], capsys: pytest.CaptureFixture[str], place: str) -> None:
    kind = sorted(DAMAGE)[PLACES.index(place) % len(DAMAGE)]
    assert spoil(site / "build" / "work", place, DAMAGE[kind], secretly=False)
    assert run(capsys, "build", site)[0] == 0
    assert files(site / "build" / "binder") == sound


@pytest.mark.parametrize("place", ["doctrees/environment.pickle", "doctrees/documents/*.doctree", "cache/*.pdf"])
def test_damage_that_shows_neither_in_size_nor_in_time(
    site: Path, sound: dict[str, str], capsys: pytest.CaptureFixture[str], place: str
) -> None:
    assert spoil(site / "build" / "work", place, DAMAGE["garbage"], secretly=True)
    rows = few_documents(one_drive(), keep=("front", "safety"))
    kept = (site / "inventory.xlsx").read_bytes()
    rows["Site"][1][1] = "Another name"  # so that memory is asked, not only the finished pages
    (site / "inventory.xlsx").write_bytes(workbook_bytes(rows))
    assert run(capsys, "build", site)[0] == 0
    (site / "inventory.xlsx").write_bytes(kept)
    assert run(capsys, "build", site)[0] == 0
    assert files(site / "build" / "binder") == sound


def test_a_sound_memory_is_used(site: Path, sound: dict[str, str], capsys: pytest.CaptureFixture[str]) -> None:
    work = site / "build" / "work"
    stamps = {p: p.stat().st_mtime_ns for p in [*work.rglob("*.doctree"), *work.glob("cache/*-*")]}
    assert run(capsys, "build", moved(site))[0] == 0
    assert {p: p.stat().st_mtime_ns for p in stamps} == stamps
    assert files(site / "build" / "binder") == sound


@pytest.mark.parametrize("name", ["doctrees", "html", "cache", "pdf"])
def test_a_part_that_is_gone_or_a_file(
    site: Path, sound: dict[str, str], capsys: pytest.CaptureFixture[str], name: str
) -> None:
    part = site / "build" / "work" / name
    shutil.rmtree(part)
    assert run(capsys, "build", site)[0] == 0
    assert files(site / "build" / "binder") == sound
    if name in ("doctrees", "html"):
        shutil.rmtree(part)
        part.write_text("a file in its place")
        assert run(capsys, "build", site)[0] == 0
        assert files(site / "build" / "binder") == sound


def test_half_a_page_of_a_build_that_was_killed(
    site: Path, sound: dict[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    """A killed build leaves no list of its files, and half a page that is newer than its source."""
    work = site / "build" / "work"
    (work / "pages.json").unlink()
    page = next((work / "html" / "documents").glob("*.html"))
    page.write_bytes(page.read_bytes()[:300])
    assert run(capsys, "build", site)[0] == 0
    assert files(site / "build" / "binder") == sound


def test_half_copies_beside_the_output_are_cleared(
    site: Path, sound: dict[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    out = site / "build" / "binder"
    (out / "html.new-abc").mkdir()
    (out / "html.new-abc" / "index.html").write_text("half")
    (out / "html").rename(out / "html.old")
    assert run(capsys, "build", site)[0] == 0
    assert sorted(p.name for p in out.iterdir()) == ["html", "pdf"]
    assert files(out) == sound


def test_half_a_stub_is_no_page_of_the_contractor(
    site: Path, sound: dict[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    for stub in (site / "documents").glob("*.rst"):
        stub.write_text("")
    assert run(capsys, "build", site)[0] == 0
    assert files(site / "build" / "binder") == sound
    assert not list(site.rglob("*.tmp"))
