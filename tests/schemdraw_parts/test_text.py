"""Widths of text against the fonts themselves, and cutting and wrapping."""

from __future__ import annotations

from pathlib import Path

import pytest

from schemdraw_parts import widths
from schemdraw_parts.text import fit, printable, width, wrap

FONTS = {
    "LIBERATION": "liberation/LiberationSans-Regular.ttf", "LIBERATION_BOLD": "liberation/LiberationSans-Bold.ttf",
    "DEJAVU": "dejavu/DejaVuSans.ttf", "DEJAVU_BOLD": "dejavu/DejaVuSans-Bold.ttf",
}  # fmt: skip
FOLDER = Path("/usr/share/fonts/truetype")


def advances(font: Path) -> list[int]:
    """Advance widths of the table's characters in thousandths of the em square."""
    ttfont = pytest.importorskip("fontTools.ttLib").TTFont(font)
    cmap, metrics, em = ttfont.getBestCmap(), ttfont["hmtx"], ttfont["head"].unitsPerEm
    return [round(metrics[cmap[ord(c)]][0] * 1000 / em) for c in widths.CHARACTERS]


@pytest.mark.parametrize("name", FONTS)
def test_the_table_is_that_of_the_font(name: str) -> None:
    font = FOLDER / FONTS[name]
    if not font.exists():
        pytest.skip("font is not installed")
    assert list(getattr(widths, name)) == advances(font)


def test_layout_takes_the_wider_family() -> None:
    for text in ("102 BU 0.75", "-X1:11 /2", "Freeze protection thermostat"):
        both = [width(text, 10, family=f) for f in ("Liberation Sans", "DejaVu Sans")]
        assert width(text, 10) >= max(both) > 0


def test_a_character_outside_the_table_fills_the_em_square() -> None:
    assert width("水", 3.0) == pytest.approx(3.0)


def test_cut_text_fits_and_says_so() -> None:
    for room in (5.0, 9.0, 20.0):
        cut = fit("reference select of the second pump", room, 2.5)
        assert width(cut, 2.5) <= room
        assert cut.endswith("…")
    assert fit("stop", 20.0, 2.5) == "stop"


def test_wrapped_text_keeps_its_words_in_order() -> None:
    lines = wrap("run request from the building controller", 22.0, 2.5, lines=4)
    assert " ".join(lines) == "run request from the building controller"
    assert all(width(line, 2.5) <= 22.0 for line in lines)


def test_control_characters_never_reach_the_file() -> None:
    assert printable("a\x00b\x0bc\r\nd\u2028e\ufffe") == "a b c d e"
