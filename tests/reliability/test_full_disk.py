"""A disk that fills up at any moment: said in plain words, and what stood there still stands."""

from __future__ import annotations

import errno
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from lxml.etree import SerialisationError
from small_site import DEMO, few_documents, one_drive, project, workbook_bytes
from states import files, moved, run

from binder.errors import OutputError, in_words
from binder.inventory.plain_zip import book_bytes
from binder.project import Project

resource = pytest.importorskip("resource", reason="the limit on file sizes is a Unix one")
FULL = "the disk is full"


@contextmanager
def largest_file(size: int) -> Iterator[None]:
    """No file may grow beyond this size, as on a disk that fills up while it is written."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A built binder of two documents, whose workbook was changed since."""
    folder = tmp_path_factory.mktemp("disk") / "site"
    rows = few_documents(one_drive(), keep=("front", "safety"))
    project(folder, rows)
    Project(folder).build(html=True, pdf=True, out=None, progress=lambda *_: None)
    rows["Site"][1][1] = "Another name of the same works"
    (folder / "inventory.xlsx").write_bytes(workbook_bytes(rows))
    return folder


#: Sizes at which another kind of file is the first that no longer fits: stubs, pages, memory of pages, PDF.
SIZES = (0, 40, 200, 2_000, 9_000, 20_000, 40_000, 60_000, 90_000, 140_000)


def test_a_build_that_finds_no_room_changes_nothing(
    site: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = files(site / "build" / "binder")
    refused = 0
    for size in SIZES:
        with largest_file(size):
            status, said = run(capsys, "build", site)
        if status == 0:
            break
        refused += 1
        assert status == 2, (size, said)
        assert FULL in said, (size, said)
        assert "free some space" in said
        assert "still stands" in said
        assert files(site / "build" / "binder") == before, size
    assert refused >= 6
    assert run(capsys, "build", site)[0] == 0
    fresh = project(tmp_path / "fresh")
    shutil.copy(site / "inventory.xlsx", fresh)
    assert run(capsys, "build", fresh)[0] == 0
    assert files(site / "build" / "binder") == files(fresh / "build" / "binder"), "no half page was kept"
    assert not list((site / "build").rglob("*.tmp"))


@pytest.mark.parametrize("size", [0, 1_000, 100_000])
def test_a_new_project_that_finds_no_room_is_not_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], size: int
) -> None:
    with largest_file(size):
        status, said = run(capsys, "new", tmp_path / "site")
    assert (status, FULL in said) == (2, True)
    assert not (tmp_path / "site").exists()


def test_a_given_folder_stays_empty(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "site").mkdir()
    with largest_file(1_000):
        assert run(capsys, "new", tmp_path / "site")[0] == 2
    assert list((tmp_path / "site").iterdir()) == []
    assert run(capsys, "new", tmp_path / "site")[0] == 0


def test_other_outputs_are_whole_or_as_before(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = project(tmp_path / "site")
    calls = (
        ("check", site, "--mark", site / "marked.xlsx"),
        ("upgrade", site, "--out", site / "newer.xlsx"),
        ("forms", site, "--out", site / "forms.csv"),
    )
    with largest_file(500):
        for call in calls:
            status, said = run(capsys, *call)
            assert (status, FULL in said) == (2, True), (call, said)
    assert set(files(site)) == {"inventory.xlsx"}


def full(*_: object, **__: object) -> None:
    raise OSError(errno.ENOSPC, "No space left on device", "somewhere")


def test_lists_are_whole_or_as_before(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    site = project(tmp_path / "site")
    assert run(capsys, "export", site)[0] == 0
    before = files(site)
    monkeypatch.setattr("pathlib.Path.write_bytes", full)
    status, said = run(capsys, "export", site)
    assert (status, FULL in said) == (2, True), said
    assert files(site) == before


def test_no_room_for_a_library_s_own_files() -> None:
    class Book:
        def save(self, _: object) -> None:
            raise SerialisationError("IO_ENOSPC")

    with pytest.raises(OSError, match="ENOSPC") as caught:
        book_bytes(Book())
    assert in_words(caught.value)[0].startswith(FULL)


def test_readings_that_find_no_room_stay_in_their_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows = one_drive()
    rows["Readings"] = rows["Readings"][:1]
    site = project(tmp_path / "site", rows)
    assert run(capsys, "forms", site, "--out", site / "back.csv")[0] == 0
    text = (site / "back.csv").read_text("utf-8-sig").splitlines()
    heads = text[0].split(",")
    filled = dict(zip(heads, text[1].split(","), strict=False))
    row = {"Drive": "VFD-101", "Test": filled["Test"], "Value": "yes", "Date": "2026-05-04", "Initials": "AO"}
    (site / "back.csv").write_text("\r\n".join([text[0], ",".join(row.get(h, "") for h in heads)]), "utf-8")
    before = files(site)
    with largest_file(2_000):
        status, said = run(capsys, "record", site, site / "back.csv")
    assert status == 1
    assert FULL in said
    assert files(site) == before


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EDQUOT, errno.EFBIG])
def test_words_for_every_kind_of_no_room(number: int) -> None:
    message, remedy = in_words(OSError(number, "as the system says", "/x/binder.pdf"))
    assert message == "the disk is full: /x/binder.pdf could not be written"
    assert remedy


@pytest.mark.parametrize(
    ("moment", "words"),
    [
        ("binder.publishing.place.shutil.copytree", "put in place"),
        ("binder.publishing.pdf.shutil.copyfile", "copied"),
        ("binder.publishing.join.save_pdf", "joined"),
        ("binder.publishing.page_memory.PageMemory.keep", "remembered"),
        ("binder.publishing.build.write_pdfs", "typeset"),
    ],
)
def test_no_room_at_a_chosen_moment(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, moment: str, words: str
) -> None:
    del words  # names the moment in the test's id
    site = project(tmp_path / "site", few_documents(one_drive()))
    assert run(capsys, "build", site)[0] == 0
    before = files(site / "build" / "binder")
    with monkeypatch.context() as patched:
        patched.setattr(moment, full)
        status, said = run(capsys, "build", moved(site))
    assert status == 2
    assert FULL in said
    assert files(site / "build" / "binder") == before
    assert run(capsys, "build", site)[0] == 0
    assert files(site / "build" / "binder") == before


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="mounts a small disk")
def test_a_real_small_disk(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=3m", "tmpfs", str(disk)], capture_output=True, check=False
    )
    if mounted.returncode:
        pytest.skip("only an administrator may mount a disk")
    try:
        site = disk / "site"
        shutil.copytree(DEMO, site, ignore=shutil.ignore_patterns("build", "made_from", "documents"))
        before = files(site)
        status, said = run(capsys, "build", site)
        assert status == 2
        assert FULL in said
        assert not (site / "build" / "binder" / "html").exists()
        assert {k: v for k, v in files(site).items() if k in before} == before
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def test_an_error_of_ours_keeps_its_words() -> None:
    assert in_words(OutputError("no", "do this")) == ("no", "do this")
