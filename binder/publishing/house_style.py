"""The contractor's own look, from the folder `house_style` of a project; no code is touched.

`style.toml` gives a colour, `sheet.typ` the cover, head, title block or watermark of the PDF,
`own.css` and templates such as `layout.html` the pages. All of it is optional.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path

from binder.inventory.findings import Finding, Grade
from binder.publishing.sheet_data import Picture

FOLDER = "house_style"
STYLE, SHEET, PAGE_STYLE = "style.toml", "sheet.typ", "own.css"

#: What a page looks like without a style of its own.
ACCENT = "#22313d"
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")
_IMPORT = re.compile(r"#?\b(?:import|include)\b|@preview|@local")
_LEAST_CONTRAST = 7.0  # WCAG 2.2, 1.4.6: white letters on the colour, also on a dim screen


@dataclass(frozen=True, slots=True)
class HouseStyle:
    """What stands in the folder.

    Parameters
    ----------
    accent : str
        Colour of headings, table heads and tabs, as '#22313d'.
    definitions : str
        Typst definitions that take the place of ours: `cover`, `running-head`, `title-block`,
        `watermark`, `thumb-tab`. `sheet()` in them is the number of the sheet.
    logo : (kind, content), optional
        Picture on the cover; its name stands on the Site sheet.
    """

    accent: str = ACCENT
    definitions: str = ""
    logo: Picture | None = None


#: The binder as it looks by itself.
PLAIN = HouseStyle()


def read_house_style(project: Path) -> tuple[HouseStyle, tuple[Finding, ...]]:
    """Read a project's own look; what cannot be used is left out and told.

    Parameters
    ----------
    project : Path

    Returns
    -------
    HouseStyle
    tuple of Finding
    """
    folder = project / FOLDER
    told: list[Finding] = []
    accent = ACCENT
    if (folder / STYLE).is_file():
        accent, told = _accent(folder / STYLE)
    definitions = ""
    if (folder / SHEET).is_file():
        definitions = (folder / SHEET).read_text("utf-8", "replace")
        if found := _IMPORT.search(definitions):
            told.append(
                _finding(SHEET, f"it asks for other files with '{found[0]}'", "definitions that need no other file",
                         "Write out what it needs; the PDF reads nothing else")
            )  # fmt: skip
            definitions = ""
    return HouseStyle(accent, definitions), tuple(told)


def _accent(path: Path) -> tuple[str, list[Finding]]:
    """The colour, or ours and why not theirs."""
    try:
        value = tomllib.loads(path.read_text("utf-8")).get("accent", ACCENT)
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        return ACCENT, [_finding(STYLE, f"it cannot be read: {error}", 'lines such as accent = "#22313d"', "Mend it")]
    if not isinstance(value, str) or not _COLOUR.fullmatch(value):
        wrong = f"its accent is {value!r}"
    elif contrast_to_white(value) < _LEAST_CONTRAST:
        wrong = f"white letters on {value} have a contrast of {contrast_to_white(value):.1f} to 1"
    else:
        return value.lower(), []
    accepted = f"a dark colour as #rrggbb, with {_LEAST_CONTRAST:g} to 1 at least"
    return ACCENT, [_finding(STYLE, wrong, accepted, "Choose a darker colour")]


def _finding(name: str, found: str, accepted: str, remedy: str) -> Finding:
    return Finding("P104", Grade.CAUTION, f"{FOLDER}/{name}", "", "", found, accepted, f"{remedy}.")


def contrast_to_white(colour: str) -> float:
    """Contrast of white letters on a colour.

    Parameters
    ----------
    colour : str
        As '#rrggbb'.

    Returns
    -------
    float
        1 for white itself, 21 for black.

    Examples
    --------
    >>> round(contrast_to_white("#000000"), 1), round(contrast_to_white("#777777"), 2)
    (21.0, 4.48)

    References
    ----------
    WCAG 2.2, definitions of relative luminance and contrast ratio (from memory, check).
    """
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 1.05 / (0.2126 * red + 0.7152 * green + 0.0722 * blue + 0.05)
