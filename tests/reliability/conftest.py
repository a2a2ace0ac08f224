"""Lets the test modules of this folder import their helpers, those of other rooms included."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path[:0] = [str(Path(__file__).parents[1] / room) for room in (".", "reliability", "publishing", "field_loop")]


@pytest.fixture(autouse=True)
def no_defect_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A defect of the tool would leave its report in the folder of the test, where `lasting` finds it."""
    monkeypatch.chdir(tmp_path)
