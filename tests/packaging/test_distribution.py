"""What `pip` installs: whole from the checkout and from the source archive, and it works where no checkout is."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = {"binder": "binder", "schemdraw_parts": "schemdraw_parts", "project_template": "binder/project_template"}

pytestmark = pytest.mark.slow  # fetches all dependencies from the package index


def run(*words: object, cwd: Path, status: int = 0) -> None:
    """Run a program that knows nothing of the checkout."""
    clean = {k: v for k, v in os.environ.items() if not k.startswith("PYTHON")}
    done = subprocess.run([str(w) for w in words], cwd=cwd, env=clean, capture_output=True, text=True, check=False)
    assert done.returncode == status, done.stdout + done.stderr


def content(wheel: Path) -> dict[str, bytes]:
    """Name -> bytes of what a wheel installs."""
    with zipfile.ZipFile(wheel) as archive:
        return {n: archive.read(n) for n in archive.namelist() if not n.endswith("/RECORD")}


@pytest.fixture(scope="module")
def source(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the checkout without what was built in it."""
    folder = tmp_path_factory.mktemp("source") / "checkout"
    folder.mkdir()
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, folder)
    for name in PACKAGES:
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    return folder


@pytest.fixture(scope="module")
def wheels(source: Path) -> tuple[Path, Path]:
    """The wheel made from the checkout, and the one made from the source archive made from it."""
    there = source.parent
    run(sys.executable, "-m", "build", "--outdir", there / "archive", source, cwd=there)  # the wheel from the archive
    run(sys.executable, "-m", "build", "--wheel", "--outdir", there / "direct", source, cwd=there)
    return next((there / "direct").glob("*.whl")), next((there / "archive").glob("*.whl"))


def test_both_ways_give_the_same(wheels: tuple[Path, Path]) -> None:
    direct, archived = map(content, wheels)
    assert sorted(direct) == sorted(archived)
    assert [name for name in direct if direct[name] != archived[name]] == []


def test_every_file_is_inside(source: Path, wheels: tuple[Path, Path]) -> None:
    """Fonts and their licences, templates, web files, tables, word lists, the new project's files."""
    held = content(wheels[0])
    for name, place in PACKAGES.items():
        for path in (source / name).rglob("*"):
            if path.is_file():
                assert held[f"{place}/{path.relative_to(source / name).as_posix()}"] == path.read_bytes()
    assert sum("/licenses/" in name for name in held) == 4


def test_it_works_where_no_checkout_is(wheels: tuple[Path, Path], tmp_path: Path) -> None:
    run(sys.executable, "-m", "venv", "venv", cwd=tmp_path)
    programs = tmp_path / "venv" / ("Scripts" if os.name == "nt" else "bin")
    run(programs / "python", "-m", "pip", "install", "--quiet", wheels[1], cwd=tmp_path)
    run(programs / "binder", "new", "fresh", cwd=tmp_path)
    shutil.copy(ROOT / "demo_site" / "inventory.xlsx", tmp_path / "fresh")
    run(programs / "binder", "check", "fresh", cwd=tmp_path, status=1)  # the demo has open stops
    run(programs / "binder", "build", "fresh", cwd=tmp_path)
    assert (tmp_path / "fresh/build/binder/html/index.html").exists()
    assert (tmp_path / "fresh/build/binder/pdf/binder.pdf").exists()
