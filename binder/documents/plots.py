"""Plots as SVG with real text: same data, same bytes."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

_FONT = ["Liberation Sans", "Arial", "Helvetica", "DejaVu Sans"]
_MEASURED = "DejaVu Sans"  # comes with matplotlib and runs wider, so legends stand alike whatever fonts a machine has
# Dash, marker and word tell lines apart; nothing depends on colour (grey copies, red light).
_DASHES = ("-", "--", ":", "-.")
_MARKERS = ("o", "s", "^", "D", "v", "x")
_GREYS = ("0.45", "0.9", "0.7")
# Beside the axes, with room for figures of six signs; measuring what stands there would double the time of a plot.
_LEFT_MM, _RIGHT_MM, _BOTTOM_MM, _TOP_MM = 16.0, 4.0, 10.0, 2.0


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a plot: its name, points, and whether it is drawn as measured points only."""

    name: str
    x: tuple[float, ...]
    y: tuple[float, ...]
    points: bool = False


@dataclass(frozen=True, slots=True)
class Bars:
    """One series of bars: its name, and a height for each label along the x axis."""

    name: str
    labels: tuple[str, ...]
    heights: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Plot:
    """What a plot shows: axes with unit, lines or bars, and an optional band between two lines."""

    title: str
    x_label: str
    y_label: str
    lines: tuple[Line, ...] = ()
    band: tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]] | None = None
    band_name: str = ""
    bars: tuple[Bars, ...] = ()

    def alt(self) -> str:
        """The plot in words, for readers who cannot see it."""
        parts = [f"{self.title}. {self.y_label} over {self.x_label}."]
        for line in self.lines:
            pairs = ", ".join(f"{x:g}: {y:.4g}" for x, y in zip(line.x, line.y, strict=True) if _is_anchor(line, x))
            parts.append(f"{line.name}: {pairs}.")
        for series in self.bars:
            pairs = ", ".join(f"{x}: {y:.3g}" for x, y in zip(series.labels, series.heights, strict=True))
            parts.append(f"{series.name}: {pairs}.")
        return " ".join(parts)


def _is_anchor(line: Line, x: float) -> bool:
    return len(line.x) <= 12 or x in line.x[:: max(1, len(line.x) // 8)]


@lru_cache(maxsize=256)
def svg(plot: Plot, *, width_mm: float = 170, height_mm: float = 72) -> str:
    """Draw a plot.

    Parameters
    ----------
    plot : Plot
    width_mm, height_mm : float
        Size on paper. [mm]

    Returns
    -------
    str
        SVG text in one ink (`currentColor`), fonts named, text as text.
    """
    import matplotlib as mpl
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    # The salt makes the ids of clip paths and markers depend on the plot alone.
    settings = {
        "svg.fonttype": "none",
        "svg.hashsalt": plot.title,
        "font.family": _MEASURED,
        "font.size": 8,
        "axes.linewidth": 0.6,
        "axes.spines.top": False,
        "axes.spines.right": False,
        "path.simplify": False,
    }
    with mpl.rc_context(settings):
        figure = Figure(figsize=(width_mm / 25.4, height_mm / 25.4))
        FigureCanvasSVG(figure)
        figure.subplots_adjust(
            _LEFT_MM / width_mm, _BOTTOM_MM / height_mm, 1 - _RIGHT_MM / width_mm, 1 - _TOP_MM / height_mm
        )
        axes = figure.add_subplot()
        for number, series in enumerate(plot.bars):
            _draw_bars(axes, series, number, len(plot.bars))
        if plot.band:
            axes.fill_between(*plot.band, color="0.82", linewidth=0, label=plot.band_name)
        lines = [line for line in plot.lines if not line.points]
        for line, dash in zip(lines, _DASHES * 2, strict=False):
            axes.plot(line.x, line.y, dash, color="black", linewidth=1.1, label=line.name)
        for line, marker in zip([x for x in plot.lines if x.points], _MARKERS * 2, strict=False):
            axes.plot(line.x, line.y, marker, color="black", markersize=5, fillstyle="none", label=line.name)
        axes.set_xlabel(plot.x_label)
        axes.set_ylabel(plot.y_label)
        axes.set_ylim(0, axes.get_ylim()[1] * 1.05)  # room above the highest mark
        axes.grid(visible=True, color="0.85", linewidth=0.4)
        axes.set_axisbelow(True)
        if plot.lines or plot.band or plot.bars:
            axes.legend(frameon=False, loc="best", fontsize=7.5)
        buffer = io.StringIO()
        figure.savefig(buffer, format="svg", transparent=True, metadata={"Date": None, "Creator": None})
    return _in_page_ink(buffer.getvalue())


def _draw_bars(axes: Any, series: Bars, number: int, count: int) -> None:
    """Bars of one series, standing beside those of the others."""
    wide = 0.8 / count
    places = [n - 0.4 + wide * (number + 0.5) for n in range(len(series.labels))]
    grey = _GREYS[number % len(_GREYS)]
    axes.bar(places, series.heights, wide, color=grey, edgecolor="black", linewidth=0.6, label=series.name)
    axes.set_xticks(range(len(series.labels)), series.labels)


def _in_page_ink(text: str) -> str:
    """Make black follow the page's ink, drop the prologue, and name fallbacks for the font."""
    text = text[text.index("<svg") :]
    text = re.sub(r"<metadata>.*?</metadata>\s*", "", text, flags=re.DOTALL)
    text = text.replace(f"'{_MEASURED}'", ", ".join(f"'{f}'" for f in _FONT))
    # Matplotlib's own group ids repeat from plot to plot; only the salted ones are referred to.
    text = re.sub(r'<g id="[A-Za-z0-9.]+_\d+">', "<g>", text)
    text = re.sub(r"(fill|stroke): ?#000000", r"\1: currentColor", text)
    return text.replace('<style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>', "")


def spread(low: float, high: float, steps: int) -> tuple[float, ...]:
    """`steps + 1` even points from `low` to `high`."""
    return tuple(low + (high - low) * i / steps for i in range(steps + 1))


def points(pairs: Sequence[tuple[float, float]]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Pairs as an x and a y tuple."""
    return tuple(x for x, _ in pairs), tuple(y for _, y in pairs)
