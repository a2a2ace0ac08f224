"""The list of licences leaves out nothing that comes with the tool."""

from __future__ import annotations

from pathlib import Path

from licences import FONTS, needed

ROOT = Path(__file__).resolve().parents[2]
ROWS = (ROOT / "LICENSE.libraries.md").read_text("utf-8").splitlines()


def test_every_library_is_listed() -> None:
    assert [name for name in needed() if not any(row.startswith(f"| {name} | ") for row in ROWS)] == []


def test_every_font_is_listed_and_carries_its_licence() -> None:
    folder = ROOT / "binder" / "publishing" / "fonts"
    families = {path.stem.partition("-")[0] for path in folder.glob("*.ttf")}
    assert families == FONTS.keys()
    for name, terms in FONTS.items():
        assert f"| font {name} | {terms} |" in ROWS
        assert list(folder.glob(f"LICENSE-{name.removesuffix('Sans')}.*"))
