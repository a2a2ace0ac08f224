"""The gallery shows every part, and the contributor guide lists them as they are."""

from __future__ import annotations

import importlib
import pkgutil
import re
import subprocess
import sys
from pathlib import Path

import pytest

import schemdraw_parts
from schemdraw_parts.base import Part
from schemdraw_parts.elements import BEGIN, END, elements, refreshed
from schemdraw_parts.gallery import FAMILIES, gallery, page
from schemdraw_parts.instruments import TwoTerminal
from schemdraw_parts.ladder import InLine
from schemdraw_parts.main_circuit import Poles
from schemdraw_parts.style import Symbols

GUIDE = Path(__file__).parents[2] / "DEVELOPERS.md"
BASES = {Part, Poles, TwoTerminal, InLine}


def parts() -> set[type[Part]]:
    """Every class of the package that is a part."""
    found: set[type[Part]] = set()
    for module in pkgutil.iter_modules(schemdraw_parts.__path__):
        names = vars(importlib.import_module(f"schemdraw_parts.{module.name}")).values()
        found |= {c for c in names if isinstance(c, type) and issubclass(c, Part)}
    return found - BASES


def test_every_part_has_its_picture() -> None:
    shown = {type(part) for make, _ in FAMILIES.values() for forms in Symbols for _, part in make(forms)}
    assert parts() == shown


def test_the_guide_lists_the_parts_as_they_are() -> None:
    guide = GUIDE.read_text(encoding="utf-8")
    assert refreshed(guide) == guide, "run python -m schemdraw_parts.elements DEVELOPERS.md"
    assert {e.name for e in elements()} == {c.__name__ for c in parts()}


@pytest.mark.parametrize(
    ("name", "anchors", "standard"),
    [
        ("Coil", ("A1", "A1>", "A2", "A2>"), "IEC 60617 07-15-01"),
        ("Lamp", ("X1", "X1>", "X2", "X2>"), "NEMA ICS 19"),
        ("LadderCoil", ("A1", "A2"), "IEEE 315"),
        ("Motor", ("U1", "V1", "W1", "PE"), "IEC 60617 06-08-01"),
    ],
)
def test_anchors_are_terminal_marks_and_the_standard_is_named(
    name: str, anchors: tuple[str, ...], standard: str
) -> None:
    element = next(e for e in elements() if e.name == name)
    assert element.anchors == anchors
    assert standard in element.standards


def test_a_guide_without_the_marks_is_refused() -> None:
    for guide in ("", BEGIN, END):
        with pytest.raises(ValueError, match="the guide lacks"):
            refreshed(guide)


def test_the_page_holds_every_picture_under_ids_of_its_own(tmp_path: Path) -> None:
    subprocess.run([sys.executable, "-m", "schemdraw_parts.gallery", str(tmp_path)], check=True)
    text = (tmp_path / "index.html").read_text(encoding="utf-8")
    assert len(list(tmp_path.glob("*.svg"))) == len(FAMILIES) * len(Symbols) == text.count("<svg ")
    ids = re.findall(r'(?<![-\w])id="([^"]+)"', text)
    assert len(ids) == len(set(ids))
    pictures = {f"{name}, {forms.value} forms": svg for forms in Symbols for name, svg in gallery(forms).items()}
    assert page(pictures) == text
