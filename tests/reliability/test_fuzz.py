"""Damaged workbooks through the whole way to a binder: findings, never a defect. 5,000 with `-m slow`, fifty else."""

from __future__ import annotations

import traceback
import zipfile
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
from mutants import mutant
from short_press import Html, ShortPress, html_writer
from small_site import few_documents, one_drive, project

from binder.cli import main


@pytest.fixture(scope="module")
def html(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Html]:
    with html_writer(tmp_path_factory.mktemp("writer")) as write:
        yield write


def defects(folder: Path, html: Html, seeds: range) -> list[str]:
    """Seeds whose workbook made the tool fail, with the last place of each."""
    press = ShortPress(folder, html)
    failed = []
    for seed in seeds:
        try:
            press.take(mutant(seed), seed)
        except Exception as error:
            last = traceback.extract_tb(error.__traceback__)[-1]
            failed.append(f"seed {seed}: {type(error).__name__} {error} at {Path(last.filename).name}:{last.lineno}")
    print(press.done)  # noqa: T201  (the figures of a long run, with -s)
    return failed


def _parts(workbook: bytes) -> dict[str, bytes]:
    """What a workbook holds; the time of saving apart."""
    with zipfile.ZipFile(BytesIO(workbook)) as package:
        return {name: package.read(name) for name in package.namelist() if not name.startswith("docProps/")}


def test_a_seed_gives_the_same_workbook() -> None:
    assert _parts(mutant(7)) == _parts(mutant(7)) != _parts(mutant(8))


def test_a_binder_without_the_sheet_site_is_built(tmp_path: Path) -> None:
    """Seed 700: the cover had an empty heading, which the typesetter refuses in a tagged file."""
    rows = few_documents(one_drive())
    del rows["Site"]
    assert main(["build", str(project(tmp_path / "site", rows))]) == 0


def test_fifty_damaged_workbooks(tmp_path: Path, html: Html) -> None:
    assert defects(tmp_path, html, range(50)) == []


@pytest.mark.slow
@pytest.mark.parametrize("start", range(0, 5000, 500))
def test_five_thousand_damaged_workbooks(tmp_path: Path, html: Html, start: int) -> None:
    assert defects(tmp_path, html, range(start, start + 500)) == []
