"""Lets the test modules of this folder import their helpers, and builds one small binder for all of them."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(autouse=True)
def no_defect_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A defect of the tool would leave its report in the folder of the test, where `lasting` finds it."""
    monkeypatch.chdir(tmp_path)
