"""The same project gives the same bytes for another person on another machine, and under another Python."""

from __future__ import annotations

import importlib.metadata
import json
import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
from issuing_site import waive_stops
from packaging.requirements import Requirement
from small_site import ROOT, project

WHOLE_WAY = Path(__file__).with_name("whole_way.py")
OTHER_PYTHONS = [f"python3.{minor}" for minor in range(11, 20) if minor != sys.version_info.minor]
#: How names of what must be among the outputs end.
KINDS = (".html", ".pdf", ".csv", ".xlsx", ".jsonl", ".js", "check --json", "figures --json")


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project of one drive with own pages, ready to be issued."""
    folder = project(tmp_path_factory.mktemp("same") / "site", pages=True)
    waive_stops(folder)
    return folder


def comma_locale(folder: Path) -> dict[str, str]:
    """Environment of a person who writes 1,5: a locale of this machine, or one compiled for this test."""
    known = subprocess.run(["locale", "-a"], capture_output=True, text=True, check=False).stdout.split()
    for name in known:
        if re.match(r"(de|fr|es|it|nl|pl)_\w+\.utf-?8$", name, re.IGNORECASE):
            return {"LC_ALL": name}
    target = folder / "de_DE.UTF-8"
    subprocess.run(["localedef", "-i", "de_DE", "-f", "UTF-8", str(target)], capture_output=True, check=False)
    return {"LC_ALL": target.name, "LOCPATH": str(folder)} if target.exists() else {"LC_ALL": "C.UTF-8"}


def walked(
    site: Path, folder: Path, *, cores: int = 64, umask: str = "022", python: str = sys.executable, **environment: str
) -> dict[str, Any]:
    """Go the whole way in a copy of the site."""
    shutil.copytree(site, folder)
    plain = {"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run(
        [python, str(WHOLE_WAY), str(folder), str(cores), umask],
        cwd=folder.parent, env=plain | environment, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return dict(json.loads(done.stdout))


@pytest.fixture(scope="module")
def plain(site: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """What is left where nothing is unusual."""
    home = tmp_path_factory.mktemp("plain")
    environment = {"TZ": "UTC", "LC_ALL": "C", "PYTHONHASHSEED": "0", "HOME": str(home), "USER": "first"}
    files = walked(site, home / "site", **environment)["files"]
    assert not [kind for kind in KINDS if not any(name.endswith(kind) for name in files)]
    return dict(files)


def differing(one: dict[str, str], two: dict[str, str]) -> list[str]:
    """Names whose bytes differ, or that only one has."""
    return sorted(name for name in one.keys() | two.keys() if one.get(name) != two.get(name))


def test_another_person_on_another_machine(site: Path, plain: dict[str, str], tmp_path: Path) -> None:
    """Folder, home, user, zone (a day ahead), decimal comma, hash seed, umask and number of processes at once."""
    home = tmp_path / "Zuhause von Jörg"
    home.mkdir()
    person = comma_locale(tmp_path) | {
        "TZ": "XYZ-26:30", "PYTHONHASHSEED": "4711", "HOME": str(home), "USER": "jörg", "LOGNAME": "jörg",
        "XDG_CACHE_HOME": str(home / "cache"), "TMPDIR": str(home),
    }  # fmt: skip
    made = walked(site, home / "Anlage Süd 2", cores=1, umask="077", **person)
    assert differing(plain, made["files"]) == []
    if made["comma"] != ",":
        pytest.skip("all else is the same, but this machine has no locale with a decimal comma")


@pytest.mark.slow
@pytest.mark.parametrize("name", OTHER_PYTHONS)
def test_another_python(site: Path, plain: dict[str, str], tmp_path: Path, name: str) -> None:
    """With the same versions of the libraries, fetched from the package index."""
    found = shutil.which(name)
    if not found or subprocess.run([found, "-c", ""], capture_output=True, check=False).returncode:
        pytest.skip(f"no {name} on the path")
    subprocess.run([found, "-m", "venv", str(tmp_path / "venv")], check=True)
    other = str(tmp_path / "venv" / "bin" / "python")
    same = [f"{d.name}=={d.version}" for d in importlib.metadata.distributions() if d.name and d.name != "binder"]
    (tmp_path / "same.txt").write_text("\n".join(same), "utf-8")
    needs = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["dependencies"]
    names = [Requirement(need).name for need in needs]
    subprocess.run([other, "-m", "pip", "install", "-q", "-c", str(tmp_path / "same.txt"), *names], check=True)
    made = walked(site, tmp_path / "site", python=other, HOME=str(tmp_path), PYTHONHASHSEED="1")
    assert differing(plain, made["files"]) == []
