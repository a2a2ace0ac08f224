"""What stands in a folder, and the command run in this process."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from binder.cli import main
from binder.publishing import kept_volumes
from binder.publishing.last_build import RECORD


def files(folder: Path) -> dict[str, str]:
    """Relative name -> digest of every file."""
    return {
        p.relative_to(folder).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest()
        for p in sorted(folder.rglob("*"))
        if p.is_file()
    }


def moved(project: Path) -> Path:
    """Let the next build do all its work, though nothing has changed."""
    work = project / "build" / "work"
    (work / RECORD).unlink(missing_ok=True)
    (work / "cache" / kept_volumes.RECORD).unlink(missing_ok=True)
    return project


def run(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int, str]:
    """Run a command; its status and what it said on stderr. It never shows a traceback nor calls itself broken."""
    capsys.readouterr()
    status = main([str(word) for word in words])
    said = capsys.readouterr().err
    assert "Traceback" not in said
    details = Path("binder-defect.txt")
    assert "defect" not in said, details.read_text("utf-8") if details.exists() else said
    return status, said
