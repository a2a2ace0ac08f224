"""A build with nothing to do ends at once, and only then: in any doubt the binder is built."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from small_site import ROOT, few_documents, one_drive, project, workbook_bytes
from states import files

from binder.cli import main
from binder.project import Project
from binder.publishing import last_build
from binder.publishing.last_build import RECORD
from binder.publishing.place import sole_use

ROWS = few_documents(one_drive(), keep=("front", "safety"))
CONF = 'extensions = ["binder.publishing.extension"]\nproject = "Commissioning binder"\n'


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project built once, pages and PDF, with pages and a look of its own."""
    site = project(tmp_path_factory.mktemp("nothing") / "site", ROWS)
    for name, text in {
        "conf.py": CONF,
        "pages/roof.rst": "Roof\n====\n\n.. image:: plan.svg\n",
        "pages/plan.svg": '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><text y="9">A</text></svg>',
        "house_style/own.css": "h1 { letter-spacing: 0 }\n",
    }.items():
        (site / name).parent.mkdir(exist_ok=True)
        (site / name).write_text(text, "utf-8")
    assert main(["build", str(site)]) == 0
    return site


@pytest.fixture
def site(whole: Path) -> Iterator[Path]:
    """The same project; whatever a test does to it is undone."""
    kept = {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in whole.rglob("*") if p.is_file()}
    yield whole
    for path in sorted(whole.rglob("*"), reverse=True):
        if path.is_dir() and not any(path.iterdir()):
            path.rmdir()
        elif path.is_file() and path not in kept:
            path.unlink()
    for path, (data, stamp) in kept.items():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        os.utime(path, ns=(stamp, stamp))


class Told:
    """Status and both outputs of `binder build`, and whether it did any work."""

    def __init__(self, site: Path, capsys: pytest.CaptureFixture[str], *words: str) -> None:
        capsys.readouterr()
        self.status = main(["build", str(site), *words])
        self.out, self.err = capsys.readouterr()
        self.at_once = "Nothing has changed since the last build.\n" in self.err


def test_nothing_is_touched_and_the_same_is_said(site: Path, capsys: pytest.CaptureFixture[str]) -> None:
    stamps = {p: p.stat().st_mtime_ns for p in site.rglob("*")}
    again = Told(site, capsys)
    assert again.at_once
    assert {p: p.stat().st_mtime_ns for p in site.rglob("*")} == stamps
    (site / "build" / "work" / RECORD).unlink()
    built = Told(site, capsys)
    assert not built.at_once
    assert again.out == built.out
    assert again.err == f"Nothing has changed since the last build.\n{built.err}"
    assert (again.status, built.status) == (0, 0)


def test_nothing_that_makes_pages_is_loaded(site: Path) -> None:
    code = (
        "import sys; from binder.cli import main; status = main(sys.argv[1:]);"
        "heavy = {'openpyxl', 'pint', 'lxml', 'pandas', 'docutils', 'typst', 'schemdraw', 'sphinx.application'};"
        "print(status, *sorted(heavy & set(sys.modules)))"
    )
    command = [sys.executable, "-c", code, "build", str(site)]
    told = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    assert "Nothing has changed" in told.stderr
    assert told.stdout.splitlines()[-1] == "0"


def save_again(path: Path) -> None:
    path.write_bytes(path.read_bytes())
    os.utime(path, (1e9, 1e9))


@pytest.mark.parametrize("name", ["inventory.xlsx", "pages/roof.rst", "house_style/own.css", "conf.py"])
def test_a_save_without_a_change_is_nothing(site: Path, capsys: pytest.CaptureFixture[str], name: str) -> None:
    save_again(site / name)
    (site / "~$inventory.xlsx").write_bytes(b"open in a program")
    assert Told(site, capsys).at_once


def other_name(site: Path) -> None:
    rows = {name: [list(row) for row in lines] for name, lines in ROWS.items()}
    rows["Site"][1][1] = "Another name"
    (site / "inventory.xlsx").write_bytes(workbook_bytes(rows))


def append(name: str, text: str) -> Callable[[Path], None]:
    def change(site: Path) -> None:
        path, stamp = site / name, (site / name).stat().st_mtime_ns if (site / name).exists() else 0
        path.parent.mkdir(exist_ok=True)
        with path.open("a", encoding="utf-8") as file:
            file.write(text)
        os.utime(path, ns=(stamp, stamp))

    return change


CHANGES: dict[str, Callable[[Path], None]] = {
    "workbook": other_name,
    "own page": append("pages/roof.rst", "\nMore.\n"),
    "new page": append("pages/cellar.rst", "Cellar\n======\n\nText.\n"),
    "page gone": lambda site: (site / "pages" / "roof.rst").unlink(),
    "picture of a page": append("pages/plan.svg", "<!-- changed -->"),
    "house style": append("house_style/own.css", "h2 { letter-spacing: 0 }\n"),
    "new template": append("house_style/sheet.typ", "// nothing\n"),
    "settings of Sphinx": append("conf.py", 'author = "A. Name"\n'),
    "schemes": append("recipes.toml", "# none yet\n"),
    "an issue begun": lambda site: (site / "issues" / "A").mkdir(parents=True),
}


def stands(site: Path, *, html: bool = True, pdf: bool = True) -> bool:
    """True when a build would find nothing to do."""
    return last_build.LastBuild(site, Project(site).output, html=html, pdf=pdf).summary() is not None


@pytest.mark.parametrize("change", CHANGES)
def test_whatever_goes_in_builds_again(site: Path, change: str) -> None:
    assert stands(site)
    CHANGES[change](site)
    assert not stands(site)


def test_a_change_is_built_and_then_stands(site: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other_name(site)
    assert not Told(site, capsys).at_once
    assert "Another name" in (site / "build/binder/html/index.html").read_text("utf-8")
    assert Told(site, capsys).at_once


LOSSES: dict[str, Callable[[Path], None]] = {
    "a page deleted": lambda site: (site / "build/binder/html/index.html").unlink(),
    "a page touched": lambda site: save_again(site / "build/binder/html/index.html"),
    "a page tampered with": append("build/binder/html/index.html", "<p>Safe to touch.</p>"),
    "a PDF deleted": lambda site: (site / "build/binder/pdf/binder.pdf").unlink(),
    "a file added": append("build/binder/html/more.html", "x"),
    "half a copy beside": append("build/binder/html.new-x/more.html", "x"),
    "the memory of pages": append("build/work/pages.json", " "),
    "the record cut short": lambda site: os.truncate(site / "build/work" / RECORD, 90),
    "the record emptied": lambda site: os.truncate(site / "build/work" / RECORD, 0),
    "the record altered": append("build/work/last_build.json", " "),
    "the record gone": lambda site: (site / "build/work" / RECORD).unlink(),
    "the record no text": lambda site: (site / "build/work" / RECORD).write_bytes(b"\xff" * 300) and None,
}


@pytest.mark.parametrize("loss", LOSSES)
def test_whatever_is_missing_or_altered_is_mended(site: Path, capsys: pytest.CaptureFixture[str], loss: str) -> None:
    before = files(site / "build" / "binder")
    LOSSES[loss](site)
    assert not Told(site, capsys).at_once
    assert files(site / "build" / "binder") == before
    assert Told(site, capsys).at_once


def test_another_output_is_another_build(site: Path, tmp_path: Path) -> None:
    assert not stands(site, pdf=False)
    assert last_build.LastBuild(site, tmp_path, html=True, pdf=True).summary() is None


@pytest.mark.parametrize("name", ["software_digest", "fonts_digest"])
def test_another_version_of_the_tool_builds_again(site: Path, monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    monkeypatch.setattr(last_build, name, lambda: "other")
    assert not stands(site)


def test_another_library_builds_again(site: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "invented-1.0.dist-info").mkdir()
    monkeypatch.syspath_prepend(str(tmp_path))
    assert not stands(site)


def test_a_build_at_work_is_not_overlooked(site: Path) -> None:
    with sole_use(site / "build" / "work"):
        assert not stands(site)
    assert stands(site)


def test_a_build_that_fails_leaves_no_record(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device", "html")

    monkeypatch.setattr("binder.publishing.build.swap", refuse)
    append("house_style/own.css", "h3 { letter-spacing: 0 }\n")(site)
    assert main(["build", str(site)]) == 2
    assert not (site / "build" / "work" / RECORD).exists()


@pytest.mark.parametrize(
    "line",
    ["import time", "project = str(3)", 'html_last_updated_fmt = "%H"', 'extensions = ["sphinx.ext.intersphinx"]'],
)
def test_settings_that_may_do_anything_are_not_vouched_for(
    site: Path, monkeypatch: pytest.MonkeyPatch, line: str
) -> None:
    last = last_build.LastBuild(site, Project(site).output, html=True, pdf=True)
    summary = last.summary()
    assert summary is not None
    append("conf.py", f"{line}\n")(site)
    last.summary()
    last.keep(summary, ())
    assert not stands(site)


def test_files_from_elsewhere_are_not_vouched_for(
    site: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "common.txt").write_text("Of all sites.\n")
    append("pages/roof.rst", f"\n.. include:: {os.path.relpath(tmp_path / 'common.txt', site / 'pages')}\n")(site)
    assert not Told(site, capsys, "--html").at_once
    assert "Of all sites." in (site / "build/binder/html/pages/roof.html").read_text("utf-8")
    assert not Told(site, capsys, "--html").at_once


def test_what_is_saved_during_a_build_is_not_vouched_for(
    site: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    real = Project.study

    def study_then_save(self: Project) -> object:
        append("house_style/own.css", "h4 { letter-spacing: 0 }\n")(site)
        return real(self)

    (site / "build" / "work" / RECORD).unlink()
    with monkeypatch.context() as patched:
        patched.setattr(Project, "study", study_then_save)
        assert not Told(site, capsys).at_once
    assert not Told(site, capsys).at_once
    assert Told(site, capsys).at_once
