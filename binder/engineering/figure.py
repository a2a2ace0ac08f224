"""A figure: one computed value with everything needed to compute it again by hand."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Rule:
    """How a figure was found: formula or table in words, and where that comes from.

    `version` is raised when the computation itself is corrected, so that a reissue can
    tell a corrected rule from a changed input.
    """

    text: str
    source: str
    version: int = 1


@dataclass(frozen=True, slots=True)
class Input:
    """One value that went into a figure; `origin` is a cell ('Motors!F4') or another figure's key."""

    name: str
    value: float | int | str | None
    unit: str = ""
    origin: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A value with provenance.

    Parameters
    ----------
    key : str
        Stable key 'topic.item', for example 'motor.slip'.
    name : str
        What it is, in the trade's words.
    value : float, str or None
        None means not judged; then `missing` says which data are lacking.
    unit : str
        Trade spelling, a key of `inventory.quantities.PINT_NAMES`, or '' for words and pure numbers.
    rule : Rule
    inputs : tuple of Input
    limit : str
        Acceptance in words ('<= 27 A'), empty when the figure is only information.
    verdict : str
        '', 'within', 'outside' or 'not judged'. Never the word approved.
    missing : tuple of str
        Names of data that were lacking.
    note : str
        Which choice was taken where the standard leaves one, and why.
    """

    key: str
    name: str
    value: float | str | None
    unit: str
    rule: Rule
    inputs: tuple[Input, ...] = ()
    limit: str = ""
    verdict: str = ""
    missing: tuple[str, ...] = ()
    note: str = ""

    def as_dict(self) -> dict[str, Any]:
        """The figure as plain data, for --json."""
        return asdict(self)

    def text(self) -> str:
        """Value and unit as printed: three to five significant figures, trailing zeros cut."""
        if self.value is None:
            return "not judged"
        if isinstance(self.value, str):
            return self.value
        return f"{display(self.value)} {self.unit}".strip()


def display(value: float) -> str:
    """A number as an electrician would write it: about four significant figures, no exponent.

    Parameters
    ----------
    value : float

    Returns
    -------
    str

    Examples
    --------
    >>> display(0.0812), display(16.5), display(27.04), display(1765.2)
    ('0.0812', '16.5', '27.04', '1765')
    """
    if value == 0:
        return "0"
    size = abs(value)
    decimals = 0 if size >= 1000 else 1 if size >= 100 else 2 if size >= 10 else 3 if size >= 0.1 else 5
    text = f"{value:.{decimals}f}"
    return (text.rstrip("0").rstrip(".") if "." in text else text) or "0"


_BEFORE_UNIT = re.compile(
    r"(?<=\d) (?=(?!(?:to|and|or|at|of|is|by|on|a|y|o|de)\b)[A-Za-zµΩ°%/³²·]{1,4}(?:$|[ ,;:.)])|±)"
    r"|(?<=[\wΩ%] ±) (?=\d)|(?<=[\wΩ%]) (?=±[ \u00a0]?\d)"
)


def firm(text: str) -> str:
    """A text whose numbers do not part from their units or tolerances at the end of a line.

    Parameters
    ----------
    text : str

    Returns
    -------
    str
        With no-break spaces before units and tolerances.

    Examples
    --------
    >>> firm("24 V ± 1.2 to -T1:2, below 50 V DC; 5 to 7").replace("\u00a0", "_")
    '24_V_±_1.2 to -T1:2, below 50_V DC; 5 to 7'
    """
    return _BEFORE_UNIT.sub("\u00a0", text)


class Figures(Mapping[str, Figure]):
    """The figure table of one drive or of the site, in the order of computation."""

    def __init__(self, figures: tuple[Figure, ...] = ()) -> None:
        self._by_key = {f.key: f for f in figures}
        if len(self._by_key) != len(figures):
            raise ValueError("two figures share one key")

    def __getitem__(self, key: str) -> Figure:
        return self._by_key[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._by_key)

    def __len__(self) -> int:
        return len(self._by_key)

    def number(self, key: str) -> float | None:
        """The figure's number, or None when it is absent, not judged, or a word."""
        figure = self._by_key.get(key)
        return figure.value if figure is not None and isinstance(figure.value, float | int) else None
