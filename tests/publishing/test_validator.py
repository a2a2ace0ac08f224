"""An outside validator's word on the PDF; skipped where it is not installed (pip install ".[conformance]")."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from invented_binder import invented_binder

from binder.publishing.attachments import Attachment, attach
from binder.publishing.pdf import PdfResult, write_pdfs

page = pytest.importorskip("page", reason="the validator is no dependency; it is named in pyproject.toml")

_STREAM = re.compile(rb"\d+ 0 obj\n<<(?:(?!>>\nstream|endobj).)*?/Length (\d+)(?:(?!endobj).)*?>>\nstream\n", re.DOTALL)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> PdfResult:
    folder = tmp_path_factory.mktemp("valid")
    return write_pdfs(invented_binder(packets=3), folder / "out", cache_dir=folder / "cache", jobs=1)


def lengths_are_right(path: Path) -> bool:
    """True when each stream ends where its length says: the validator errs where the last byte is a carriage return."""
    data = path.read_bytes()
    ends = [match.end() + int(match[1]) for match in _STREAM.finditer(data)]
    return len(ends) > 5 and all(data[end:].startswith(b"\nendstream") for end in ends)


def complaints(path: Path, profile: str) -> list[str]:
    report = page.validate_pdf(path, profile=profile, limits=page.SafetyLimits.unlimited())
    return [
        f"{found.rule_id} {found.message} {found.object_id}"
        for found in report.failures
        if not ("STREAM-LENGTH" in found.rule_id and lengths_are_right(path))
    ]


@pytest.mark.parametrize("profile", ["2a", "ua1"])
def test_every_document_and_the_joined_file(made: PdfResult, profile: str) -> None:
    for path in [*made.files.values(), *made.joined]:
        assert complaints(path, profile) == [], path.name


@pytest.mark.parametrize("profile", ["3a", "ua1"])
def test_a_file_with_attachments(made: PdfResult, tmp_path: Path, profile: str) -> None:
    files = [
        Attachment("inventory.xlsx", b"PK invented", "application/vnd.ms-excel", "Source", "What it was made from")
    ]
    attach(made.joined[0], tmp_path / "whole.pdf", files, date="2026-03-02")
    assert complaints(tmp_path / "whole.pdf", profile) == []
