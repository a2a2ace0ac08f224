"""Rows of the sheet Controls, each with its scheme: tags, places and bindings read from the cells."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import controls_of, panel_of
from binder.inventory.records import Control, Drive, Inventory
from binder.wiring.recipe import Recipe
from binder.wiring.schemes import find_scheme
from binder.wiring.vocabulary import TERMINAL_FUNCTIONS

#: Words for the enclosure itself, besides the panel's tag and place.
_INSIDE = frozenset(
    {"panel", "in panel", "in the panel", "enclosure", "cabinet", "inside", "drive", "drive panel", "at the drive"}
)
_DOOR = frozenset({"door", "panel door", "enclosure door", "cabinet door", "on the door", "on door", "drive door"})
NO_PLACE = "place not given"

_MODE_ORDER = {"": 0, "hand": 1, "local": 2, "auto": 3, "remote": 4}


@dataclass(slots=True, eq=False)
class SchemeRow:
    """One scheme on one drive, while its wiring is being worked out."""

    control: Control
    recipe: Recipe
    key: str
    tags: dict[str, str]
    marks: dict[str, str]  # 'A:AO1+' -> mark given by the user
    binding: dict[str, str]
    places: dict[str, str]
    index: int = 0  # among the rows of the same scheme, from 0
    devices: dict[str, str] = field(default_factory=dict)  # part -> tag
    given: dict[str, str] = field(default_factory=dict)  # 'A:AO1+' -> mark on the device

    @property
    def mode(self) -> str:
        """Operating mode the row belongs to, '' for always."""
        return self.control.mode.strip().casefold()

    def owns(self, what: str) -> bool:
        """Return whether the scheme decides this."""
        return what in self.recipe.owner

    def place(self, part: str) -> str:
        """Return the place of a part as written, '' when not given."""
        return self.places.get(part, self.places.get("", ""))


def row_finding(
    code: str, grade: Grade, row: SchemeRow, column: str, found: str, *, accepted: str, remedy: str
) -> Finding:
    """Return a finding addressed to a cell of the row's line on the sheet Controls."""
    return control_finding(code, grade, row.control, column, found, accepted=accepted, remedy=remedy)


def control_finding(
    code: str, grade: Grade, control: Control, column: str, found: str, *, accepted: str, remedy: str
) -> Finding:
    """Return a finding addressed to a cell of a line on the sheet Controls."""
    return Finding(
        code, grade, control.origin.sheet or "Controls", control.origin.cell(column), control.drive, found,
        accepted, remedy, column,
    )  # fmt: skip


def drive_finding(
    code: str, grade: Grade, drive: Drive, column: str, found: str, *, accepted: str, remedy: str
) -> Finding:
    """Return a finding addressed to a cell of the drive's line on the sheet Drives."""
    return Finding(
        code, grade, drive.origin.sheet or "Drives", drive.origin.cell(column), drive.tag, found, accepted, remedy,
        column,
    )  # fmt: skip


def pairs(text: str) -> tuple[dict[str, str], tuple[str, ...]]:
    """Read 'S=SS-101; K=K3' and return the pairs and the pieces that are none.

    Examples
    --------
    >>> pairs("S=SS-101; K = K3; what")
    ({'S': 'SS-101', 'K': 'K3'}, ('what',))
    """
    found: dict[str, str] = {}
    strange = []
    for piece in re.split(r"[;\n]", text):
        left, sign, right = (p.strip() for p in piece.partition("="))
        if sign and left and right:
            found[left] = right
        elif piece.strip():
            strange.append(piece.strip())
    return found, tuple(strange)


def inside_places(inventory: Inventory, drive: Drive) -> tuple[str, str]:
    """Return the printed names of the drive's enclosure and of its door."""
    panel = panel_of(inventory, drive)
    name = panel.tag if panel else (drive.panel or "enclosure")
    return name, f"{name} door"


def printed_place(inventory: Inventory, drive: Drive, place: str) -> str:
    """Return a place as printed: the enclosure and its door by their one name, others as written."""
    inside, door = inside_places(inventory, drive)
    word = " ".join(place.casefold().split())
    if not word:
        return NO_PLACE
    panel = panel_of(inventory, drive)
    names = {inside.casefold(), drive.tag.casefold(), *([panel.place.casefold()] if panel and panel.place else [])}
    if word in _INSIDE or word in names:
        return inside
    if word in _DOOR or word in {f"{n} door" for n in names} or word in {f"door of {n}" for n in names}:
        return door
    return " ".join(place.split())


def read_rows(
    inventory: Inventory, drive: Drive, recipes: Mapping[str, Recipe]
) -> tuple[tuple[SchemeRow, ...], tuple[Finding, ...]]:
    """Return the drive's scheme rows in a fixed order, and what could not be read.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
    recipes : mapping of str to Recipe
        Schemes known to the project.

    Returns
    -------
    tuple of (tuple of SchemeRow, tuple of Finding)
    """
    findings: list[Finding] = []
    rows: list[SchemeRow] = []
    for control in controls_of(inventory, drive):
        recipe = find_scheme(control.scheme, recipes)
        if recipe is None:
            findings.append(_unknown_scheme(control, recipes))
        else:
            rows.append(_row(control, recipe, findings))
    order = {key: n for n, key in enumerate(recipes)}
    rows.sort(key=lambda r: (order[r.recipe.key], _MODE_ORDER.get(r.mode, 9), r.mode, _content(r)))
    count: dict[str, int] = {}
    seen: dict[str, int] = {}
    for row in rows:
        row.index = count.get(row.recipe.key, 0)
        count[row.recipe.key] = row.index + 1
        base = row.control.origin.key or f"{row.recipe.key}/{row.mode}"
        seen[base] = seen.get(base, 0) + 1
        row.key = base if seen[base] == 1 else f"{base}/{seen[base]}"
    return tuple(rows), tuple(findings)


def _content(row: SchemeRow) -> tuple[object, ...]:
    c = row.control
    value = float(c.value.amount) if c.value else -1.0
    return (value, c.place, c.devices, c.terminals, c.cable, c.description, c.origin.key)


def _row(control: Control, recipe: Recipe, findings: list[Finding]) -> SchemeRow:
    devices, strange = pairs(control.devices)
    binding, odd = pairs(control.terminals)
    places, _ = pairs(control.place)
    known = {p.key for p in recipe.parts}
    if len(known) == 1 and len(strange) == 1 and not devices:
        devices, strange = {next(iter(known)): strange[0]}, ()  # 'SS-101' alone: the scheme has one device
    row = SchemeRow(
        control, recipe, "",
        {k: v for k, v in devices.items() if ":" not in k},
        {k.replace(" ", ""): v for k, v in devices.items() if ":" in k},
        {_function(k): v for k, v in binding.items()},
        places or {"": control.place.strip()},
    )  # fmt: skip
    wrong = [*strange, *(k for k in devices if k.split(":")[0].strip() not in known)]
    if wrong:
        findings.append(row_finding(
            "W104", Grade.CAUTION, row, "devices", f"'{'; '.join(wrong)}' is no device of '{recipe.key}'",
            accepted=" ".join(f"{p.key}=TAG ({p.text})" for p in recipe.parts) or "no device",
            remedy="name the devices by the letters of the scheme",
        ))  # fmt: skip
    strange_words = "; ".join([*odd, *(k for k in binding if _function(k) not in TERMINAL_FUNCTIONS)])  # as typed
    if strange_words:
        findings.append(row_finding(
            "W104", Grade.CAUTION, row, "terminals", f"'{strange_words}' is no terminal function",
            accepted=f"run forward=DI2; fault=RO1; functions are {_functions()}",
            remedy="use these words, each with the terminal it shall have",
        ))  # fmt: skip
    return row


def _function(words: str) -> str:
    return words.casefold().replace(" ", "_")


def _functions() -> str:
    return ", ".join(key.replace("_", " ") for key in TERMINAL_FUNCTIONS)


def _unknown_scheme(control: Control, recipes: Mapping[str, Recipe]) -> Finding:
    near = difflib.get_close_matches(control.scheme.casefold(), recipes, n=2)
    return control_finding(
        "W101", Grade.STOP, control, "scheme", f"unknown scheme '{control.scheme}'",
        accepted=f"nearest: {', '.join(near)}" if near else "a scheme of the Lists sheet",
        remedy="choose a scheme, or write one's own in the project's recipes file",
    )  # fmt: skip
