"""Folders and files that may not be written or read: plain words, nothing lost, for a normal user."""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from small_site import ROOT, few_documents, one_drive, project
from states import files, moved, run

from binder.errors import in_words

#: An administrator may do everything; tests as one give that up.
PLAIN = ["setpriv", "--bounding-set=-dac_override,-dac_read_search,-fowner"]
AS_ADMIN = hasattr(os, "geteuid") and os.geteuid() == 0

pytestmark = [
    pytest.mark.skipif(sys.platform == "win32", reason="rights are kept otherwise there"),
    pytest.mark.skipif(AS_ADMIN and not shutil.which("setpriv"), reason="an administrator may do everything"),
]


def as_person(*words: object) -> tuple[int, str]:
    """Run the command as somebody whom rights bind; status and what was said."""
    done = subprocess.run(
        [*(PLAIN if AS_ADMIN else []), sys.executable, "-m", "binder", *map(str, words)],
        capture_output=True, text=True, check=False, env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert "Traceback" not in done.stderr
    assert "defect" not in done.stderr, done.stderr
    return done.returncode, done.stderr


@pytest.fixture
def site(tmp_path: Path) -> Path:
    return project(tmp_path / "site", few_documents(one_drive()))


def read_only(folder: Path) -> None:
    for path in [*folder.rglob("*"), folder]:
        path.chmod(0o555 if path.is_dir() else 0o444)


def writable(folder: Path) -> None:
    folder.chmod(0o755)
    for path in sorted(folder.rglob("*")):
        path.chmod(0o755 if path.is_dir() else 0o644)


def test_a_project_that_may_only_be_read(site: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(capsys, "build", site)[0] == 0
    before = files(site)
    read_only(site)
    try:
        status, said = as_person("build", site)
        assert (status, "no permission for" in said) == (2, True), said
        assert "copy the project to a folder of your own" in said
        assert "still stands" in said
        status, said = as_person("issue", site, "--revision", "A", "--reason", "x", "--by", "A. Name")
        assert (status, "no permission for" in said) == (2, True), said
        status, said = as_person("export", site)
        assert (status, "no permission for" in said) == (2, True), said
        assert "--out names another folder" in said
    finally:
        writable(site)
    assert files(site) == before


def test_pages_memory_and_cache_that_may_not_be_written(site: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(capsys, "build", site)[0] == 0
    before = files(site / "build" / "binder")
    work = site / "build" / "work"
    read_only(work)
    try:
        status, said = as_person("build", site)
    finally:
        writable(work)
    assert (status, "no permission for" in said, "build/work" in said) == (2, True, True), said
    assert files(site / "build" / "binder") == before
    assert run(capsys, "build", site)[0] == 0
    assert files(site / "build" / "binder") == before


def test_an_output_folder_that_may_not_be_written(site: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    read_only(out)
    try:
        status, said = as_person("build", site, "--html", "--out", out)
    finally:
        writable(out)
    assert (status, f"no permission for {out}" in said) == (2, True), said
    assert list(out.iterdir()) == []


def test_a_workbook_that_may_not_be_read(site: Path) -> None:
    (site / "inventory.xlsx").chmod(0)
    status, said = as_person("build", site, "--html")
    assert (status, "inventory.xlsx may not be read now" in said) == (2, True), said


@pytest.mark.parametrize(
    ("number", "begins"),
    [
        (errno.EACCES, "no permission for /x"),
        (errno.EPERM, "no permission for /x"),
        (errno.EROFS, "/x lies on a disk that is read-only"),
        (errno.ENAMETOOLONG, "name or path too long"),
        (errno.ENOENT, "/x is not there"),
        (errno.EEXIST, "/x is in the way"),
        (errno.ENOTDIR, "a file stands where a folder is needed: /x"),
        (errno.EISDIR, "a folder stands where a file is needed: /x"),
        (errno.EIO, "the disk reports a fault at /x"),
    ],
)
def test_every_refusal_has_words_and_a_remedy(number: int, begins: str) -> None:
    message, remedy = in_words(OSError(number, os.strerror(number), "/x"))
    assert message.startswith(begins)
    assert remedy
    assert "Errno" not in message


def test_refusals_without_place_number_or_measure() -> None:
    assert in_words(OSError("no more"))[0] == "the file: no more"
    assert len(in_words(OSError(errno.EACCES, "x", "/" + "long/" * 300))[0]) < 160
    copying = shutil.Error([("a", "/b", "[Errno 28] No space left on device")])
    assert in_words(copying)[0] == "the disk is full: /b could not be written"
    assert "what" in in_words(shutil.Error([("a", "/b", "whatever")]))[0]


@pytest.mark.parametrize("moment", ["mkdtemp", "rename"])
def test_a_read_only_disk_at_a_chosen_moment(
    site: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, moment: str
) -> None:
    assert run(capsys, "build", site, "--html")[0] == 0
    before = files(site / "build" / "binder")

    def refuse(*_: object, **__: object) -> None:
        raise OSError(errno.EROFS, "Read-only file system", str(site / "build"))

    with monkeypatch.context() as patched:
        name = "binder.publishing.place.tempfile.mkdtemp" if moment == "mkdtemp" else "pathlib.Path.rename"
        patched.setattr(name, refuse)
        status, said = run(capsys, "build", moved(site), "--html")
    assert (status, "lies on a disk that is read-only" in said) == (2, True), said
    assert files(site / "build" / "binder") == before


def test_no_place_for_the_report_of_a_defect(
    site: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from binder.cli import main

    def broken(*_: object, **__: object) -> None:
        raise AssertionError("on purpose")

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, "no")

    monkeypatch.setattr("binder.cli.Project.findings", broken)
    monkeypatch.setattr("pathlib.Path.write_text", refuse)
    assert main(["check", str(site)]) == 1
    said = capsys.readouterr().err
    assert "this is a defect of the tool" in said
    assert "on purpose" in said
    assert "Traceback" not in said


def test_a_reader_that_has_seen_enough_and_a_terminal_without_our_signs(site: Path) -> None:
    command = [sys.executable, "-m", "binder", "figures", str(site)]
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "ascii"}
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment)
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.close()
    with process.stderr as told:
        assert told.read() == b""
    process.wait()
    done = subprocess.run(command, capture_output=True, env=environment, check=False)
    assert b"\\u03a9" in done.stdout
    assert done.stderr == b""
    assert not Path("binder-defect.txt").exists()
