"""A new project: what lies in it works at once, with the command and with plain Sphinx."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
import tomllib
from fnmatch import fnmatch
from pathlib import Path

import pytest

from binder.cli import _parser, main
from binder.documents.assemble import assemble
from binder.publishing.sheet_data import cover_fields
from binder.reissue.current import binder_of, study_of
from binder.wiring.schemes import SCHEMES, read_recipes

ROOT = Path(__file__).parents[2]
TEMPLATE = ROOT / "project_template"


@pytest.fixture
def project(tmp_path: Path) -> Path:
    folder = tmp_path / "neue Anlage ü"  # spaces and letters that are no ASCII
    assert main(["new", str(folder)]) == 0
    return folder


def test_a_new_project_holds_the_template_and_a_workbook(project: Path) -> None:
    names = {p.relative_to(project).as_posix() for p in project.rglob("*") if p.is_file()}
    assert names == {
        ".gitignore",
        "README.md",
        "conf.py",
        "house_style/style.toml",
        "inventory.xlsx",
        "pages/site_narrative.rst",
        "recipes.toml",
    }


def test_plain_sphinx_builds_a_new_project(project: Path) -> None:
    command = [sys.executable, "-m", "sphinx", "-q", "-b", "html", str(project), str(project / "build" / "html")]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    told = [line for line in done.stderr.splitlines() if line.strip()]
    assert told
    assert all("[binder.stop]" in line for line in told), told  # the blank Site sheet, and nothing of Sphinx
    start = (project / "build" / "html" / "index.html").read_text(encoding="utf-8")
    assert "Site safety" in start
    assert not (project / "build" / "html" / "pages").exists(), "the example page is for nobody's binder"
    assert not (project / "build" / "html" / "README.html").exists()


def test_check_says_what_a_new_project_lacks(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(project)]) == 1
    assert "Site!B2" in capsys.readouterr().out


def test_the_page_of_the_template_stands_where_its_first_line_says(project: Path) -> None:
    assert "Site narrative" not in [d.title for d in binder_of(project).documents]
    page = project / "pages" / "site_narrative.rst"
    page.write_text(re.sub(r"(?m)^\.\. not published.*\n", "", page.read_text("utf-8"), count=1), "utf-8")
    titles = [d.title for d in binder_of(project).documents]
    assert titles[:3] == ["Front matter", "Site safety", "Site narrative"]
    assert not [f for f in study_of(project).findings if f.code.startswith(("D", "W"))]


def test_every_command_of_the_first_page_is_one() -> None:
    text = (TEMPLATE / "README.md").read_text(encoding="utf-8")
    lines = [line for line in re.findall(r"`(binder [^`]+)`", text) if "COMMAND" not in line]
    assert len(lines) >= 7
    for line in lines:
        assert _parser().parse_args(shlex.split(line)[1:]).command


def test_every_file_that_the_first_page_names_is_there() -> None:
    text = (TEMPLATE / "README.md").read_text(encoding="utf-8")
    for name in ("recipes.toml", "conf.py"):
        assert f"`{name}`" in text
        assert (TEMPLATE / name).is_file()


def test_the_example_schemes_of_the_template_can_be_used() -> None:
    text = (TEMPLATE / "recipes.toml").read_text(encoding="utf-8")
    assert read_recipes(TEMPLATE / "recipes.toml") == (dict(SCHEMES), ())
    example = text[text.index("# [[scheme]]") :]
    recipes, findings = read_recipes(tomllib.loads(re.sub(r"(?m)^# ?", "", example)))
    assert findings == ()
    assert set(recipes) - set(SCHEMES) == {"washdown stop", "lamp test"}


def test_every_file_of_the_template_goes_into_the_package() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]
    assert settings["package-dir"] == {"binder.project_template": "project_template"}
    patterns = settings["package-data"]["binder.project_template"]
    for path in TEMPLATE.rglob("*"):
        if path.is_file() and "__pycache__" not in path.parts:
            name = path.relative_to(TEMPLATE)
            assert any(fnmatch(name.as_posix(), p) and len(Path(p).parts) == len(name.parts) for p in patterns), name


def test_logo_and_disclaimer_of_the_contractor_are_on_the_cover() -> None:
    from dataclasses import replace

    study = study_of(ROOT / "demo_site")
    site = replace(study.inventory.site, disclaimer="Our words, {0} <b>*as typed*</b>.", items_by_others="The pipes.")
    study = replace(study, inventory=replace(study.inventory, site=site))
    binder = assemble(study)
    cover = cover_fields(binder, ("png", b"x"), str)
    assert cover["disclaimer"] == "Our words, {0} <b>*as typed*</b>."
    assert cover["logo"]["kind"] == "png"
    assert cover["logo"]["alt"] == f"Logo of {site.contractor}"
    front = next(d for d in binder.documents if d.kind == "front")
    text = "\n".join(node.astext() for node in binder.body(front))
    assert "Our words, {0} <b>*as typed*</b>." in text
    assert "By others: The pipes." in text
