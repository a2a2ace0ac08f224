"""Folders, tags and file names as people have them: any letters, any length, spaces, line ends of any system."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import pikepdf
import pytest
from small_site import Rows, column, few_documents, one_drive, project
from states import files, run

from binder.documents.file_names import file_name
from binder.field.returned_file import read_returned

FOLDERS = (
    "with spaces  and more",
    "Anlage [1] {x} #2 100% 'q' & co; $HOME",
    "泵房 Насос ñ e\u0301 🚰",
    "-leading dash",
    "trailing.dot.",
    "n" * 200,
    "/".join(["nested"] * 60),
)


@pytest.mark.parametrize("name", FOLDERS, ids=lambda name: name.encode("ascii", "replace").decode()[:24])
def test_a_project_lies_anywhere(tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str) -> None:
    here = project(tmp_path / "plain", few_documents(one_drive()))
    there = tmp_path / name
    there.parent.mkdir(parents=True, exist_ok=True)
    shutil.copytree(here, there)
    assert run(capsys, "build", here)[0] == 0
    assert run(capsys, "build", there)[0] == 0
    assert files(there / "build" / "binder") == files(here / "build" / "binder")


@pytest.mark.skipif(sys.platform == "win32", reason="names are text there")
def test_a_folder_whose_name_is_no_text(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    there = Path(os.fsdecode(os.fsencode(tmp_path) + b"/caf\xe9 site"))
    try:
        there.mkdir()
    except OSError:
        pytest.skip("this disk takes no such name")
    there.rmdir()
    project(there, few_documents(one_drive()))
    status, said = run(capsys, "check", there)
    assert status in (0, 1)
    status, said = run(capsys, "build", there)
    assert status == 0, said


def test_a_path_that_is_too_long_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for command in ("new", "check", "build"):
        status, said = run(capsys, command, tmp_path / ("n" * 300))
        assert status == 2
        assert "too long" in said or "there is no folder" in said
        assert len(said) < 900
    site = project(tmp_path / "site", few_documents(one_drive()))
    status, said = run(capsys, "build", site, "--out", tmp_path / "/".join(["deep" * 50] * 30))
    assert (status, "too long" in said) == (2, True), said


def renamed(rows: Rows, old: str, new: str) -> Rows:
    """Every cell that holds the tag, and every list with it."""
    for lines in rows.values():
        for line in lines[1:]:
            line[:] = [v.replace(old, new) if isinstance(v, str) else v for v in line]
    return rows


TAGS = (
    "П-1",
    "泵1",
    "PUMP Nº 7/ü",
    "CON",
    "a" * 32,
    "x&y<z>",
    'T\'1 "quoted"',
    "é" * 30,
    "=1+1",
    "..",
    "%41%2e",
    "P\\101",
)


@pytest.mark.parametrize("tag", TAGS, ids=lambda tag: tag.encode("ascii", "replace").decode()[:16])
def test_any_tag_gets_its_pages_and_its_pdf(tmp_path: Path, capsys: pytest.CaptureFixture[str], tag: str) -> None:
    rows = few_documents(renamed(one_drive(), "VFD-101", tag), keep=("front", "901"))
    site = project(tmp_path / "site", rows)
    status, said = run(capsys, "build", site)
    assert status == 0, said
    out = site / "build" / "binder"
    made = sorted(p.name for p in (out / "pdf" / "documents").iterdir())
    assert len(made) == 2
    assert all(name.isascii() and len(name) < 140 for name in made)
    assert not [p for p in tmp_path.rglob("*") if p.name == "etc"]


def test_tags_that_differ_only_in_letters_no_file_name_has(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows = one_drive()
    second = list(rows["Drives"][1])
    rows = renamed(rows, "VFD-101", "泵")
    second[0] = "井"
    rows["Drives"].append(second)
    site = project(tmp_path / "site", few_documents(rows, keep=("front", "packet")))
    status, said = run(capsys, "build", site, "--pdf")
    assert status == 0, said
    names = [p.name for p in (site / "build" / "binder" / "pdf" / "documents").iterdir()]
    assert len({name.casefold() for name in names}) == 3


@pytest.mark.parametrize("other", ["VFD-101", "vfd-101"])
def test_a_tag_typed_twice_still_gives_a_binder(tmp_path: Path, capsys: pytest.CaptureFixture[str], other: str) -> None:
    rows = few_documents(one_drive(), keep=("front", "findings"))
    rows["Drives"].append([other, *rows["Drives"][1][1:]])
    for sheet in ("Supplies", "Panels"):
        rows[sheet].append(list(rows[sheet][1]))
    site = project(tmp_path / "site", rows)
    status, said = run(capsys, "build", site)
    assert status == 0, said
    assert "1 drive," in said
    assert main_findings(site) >= {("B150" if other == "VFD-101" else "B151", "Drives"), ("B150", "Supplies")}


def main_findings(site: Path) -> set[tuple[str, str]]:
    from binder.reissue.current import study_of

    return {(f.code, f.sheet) for f in study_of(site).findings}


@pytest.mark.parametrize(
    ("one", "other"),
    [("P 101", "P-101"), ("P/101", "P 101"), ("泵", "井"), ("a" * 130 + "1", "a" * 130 + "2"), ("P\u0301", "P\u0302")],
)
def test_file_names_of_different_numbers_differ(one: str, other: str) -> None:
    assert file_name(one).casefold() != file_name(other).casefold()


@pytest.mark.parametrize("number", ["CON", "nul", "COM1", "aux.x", "", "...", "../../etc/passwd", "a\0b", "\ud800"])
def test_no_file_name_is_a_device_or_leads_elsewhere(number: str) -> None:
    name = file_name(number)
    assert name.isascii()
    assert name == Path(name).name
    assert name.partition(".")[0].upper() not in ("CON", "NUL", "COM1", "")


# Windows -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"], ids=["LF", "CRLF", "CR"])
@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_returned_files_with_line_ends_of_every_system(tmp_path: Path, end: str, coding: str) -> None:
    lines = ["Drive,Test,Value,Unit,Date,Initials,Remark", 'VFD-101,D1,yes,,2026-05-04,AO,"über, alles"', ""]
    (tmp_path / "back.csv").write_bytes(end.join(lines).encode(coding))
    back = read_returned(tmp_path / "back.csv")
    assert [(r.drive, r.test, r.value, r.remark) for r in back.rows] == [("VFD-101", "D1", "yes", "über, alles")]


def test_own_pages_and_schemes_with_line_ends_of_windows(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = project(tmp_path / "site", few_documents(one_drive()))
    (site / "pages").mkdir()
    (site / "pages" / "roof.rst").write_bytes(b"\xef\xbb\xbf.. place: after front\r\n\r\nRoof\r\n====\r\n\r\nText.\r\n")
    (site / "recipes.toml").write_bytes(b"# no schemes yet\r\n")
    assert run(capsys, "new", tmp_path / "model")[0] == 0
    conf = (tmp_path / "model" / "conf.py").read_text("utf-8")
    (site / "conf.py").write_bytes(conf.replace("\n", "\r\n").encode())
    status, said = run(capsys, "build", site, "--html")
    assert status == 0, said
    assert "Text." in (site / "build" / "binder" / "html" / "pages" / "roof.html").read_text("utf-8")


PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de0000000c49444154789c63606060000000040001f61738"
    "550000000049454e44ae426082"
)


def pictures(pdf: pikepdf.Pdf) -> int:
    """How many pictures of points a PDF holds."""
    return sum(isinstance(o, pikepdf.Stream) and o.get("/Subtype") == "/Image" for o in pdf.objects)


@pytest.mark.parametrize("typed", ["pictures\\logo.png", "pictures/logo.png", ".\\pictures\\logo.png"])
def test_a_picture_named_as_on_windows(tmp_path: Path, capsys: pytest.CaptureFixture[str], typed: str) -> None:
    rows = few_documents(one_drive())
    logo = next(line for line in rows["Site"] if str(line[0]).startswith("Logo"))
    logo[1] = typed
    site = project(tmp_path / "site", rows)
    (site / "pictures").mkdir()
    (site / "pictures" / "logo.png").write_bytes(PNG)
    assert run(capsys, "build", site, "--pdf")[0] == 0
    with pikepdf.open(site / "build" / "binder" / "pdf" / "binder.pdf") as pdf:
        assert pictures(pdf)


@pytest.mark.parametrize(
    "typed", ["C:\\logo.png", "\\\\server\\share\\logo.png", "..\\logo.png", "pictures\\..\\..\\x"]
)
def test_a_picture_elsewhere_is_not_taken(tmp_path: Path, capsys: pytest.CaptureFixture[str], typed: str) -> None:
    rows = few_documents(one_drive())
    next(line for line in rows["Site"] if str(line[0]).startswith("Logo"))[1] = typed
    (tmp_path / "logo.png").write_bytes(PNG)
    site = project(tmp_path / "site", rows)
    assert run(capsys, "build", site, "--pdf")[0] == 0
    with pikepdf.open(site / "build" / "binder" / "pdf" / "binder.pdf") as pdf:
        assert not pictures(pdf)


# What is named in place of a project ---------------------------------------------------------------------


def test_the_workbook_may_be_named_for_its_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = project(tmp_path / "site", few_documents(one_drive()))
    assert run(capsys, "build", site / "inventory.xlsx", "--html")[0] == 0
    assert (site / "build" / "binder" / "html" / "index.html").exists()
    for command in (("figures",), ("export",), ("forms",)):
        assert run(capsys, *command, site / "inventory.xlsx")[0] in (0, 1)


def test_another_file_is_no_project(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "old.xls").write_bytes(b"x")
    for command in ("check", "build", "export", "compare"):
        words = (command, tmp_path / "old.xls", *(("A",) if command == "compare" else ()))
        status, said = run(capsys, *words)
        assert status == 2
        assert "a project is a folder that holds inventory.xlsx" in said
        assert "binder new DIR" in said


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("inventory.xls", "Save As and choose the file type whose names end in .xlsx"),
        ("my drives.xlsx", "Rename it to inventory.xlsx."),
        ("drives.ods", "Save As and choose"),
        ("drives.csv", "Save As and choose"),
    ],
)
def test_a_folder_with_a_table_of_another_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, words: str
) -> None:
    (tmp_path / name).write_bytes(b"x")
    (tmp_path / "~$notes.xlsx").write_bytes(b"x")
    from binder.cli import main

    assert main(["check", str(tmp_path)]) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert f"there is {name}" in out
    assert words in out
    status, said = run(capsys, "build", tmp_path)
    assert (status, f"there is {name}" in said) == (2, True)


def test_a_deleted_sheet_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from binder.cli import main

    rows = few_documents(one_drive())
    del rows["Motors"]
    site = project(tmp_path / "site", rows)
    assert column(rows, "Drives", "Motor") > 0
    assert main(["check", str(site)]) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert "no sheet Motors" in out
    assert "Add it; binder new makes a blank one." in out
    assert run(capsys, "build", site, "--html")[0] == 0
