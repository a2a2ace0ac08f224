"""Plots: same data, same bytes; real text; ids that do not meet those of the next plot."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from docutils import nodes
from lxml import etree

from binder.documents.assemble import assemble
from binder.documents.nodes import drawing
from binder.documents.plots import Bars, Line, Plot, svg
from binder.reissue.current import study_of

POINTS = ((0.0, 25.0, 50.0, 75.0, 100.0), (0.0, 1.2, 2.9, 5.1, 8.0))
PLOT = Plot("Invented curve", "Speed in %", "Current in A", (Line("expected", *POINTS), Line("read", *POINTS, True)))


def ids(text: str) -> set[str]:
    return set(re.findall(r'(?<![-\w])id="([^"]+)"', text))


def test_same_data_same_bytes() -> None:
    again = Plot("Invented curve", "Speed in %", "Current in A", PLOT.lines)
    first = svg(PLOT)
    svg.cache_clear()
    assert svg(again) == first
    assert not re.search(r"<dc:date|Matplotlib|/tmp|\d{4}-\d\d-\d\d", first)


def test_every_id_is_single_and_every_reference_lands() -> None:
    text = svg(PLOT)
    found = re.findall(r'(?<![-\w])id="([^"]+)"', text)
    assert len(found) == len(set(found))
    assert set(re.findall(r'(?:url\(|href=")#([^)"]+)', text)) <= set(found)


def test_two_plots_share_no_id() -> None:
    other = Plot("Other curve", PLOT.x_label, PLOT.y_label, PLOT.lines)
    assert not ids(svg(PLOT)) & ids(svg(other))


def test_words_are_text_and_ink_is_the_pages() -> None:
    root = etree.fromstring(svg(PLOT).encode())
    words = {"".join(t.itertext()) for t in root.iter("{http://www.w3.org/2000/svg}text")}
    assert {"Speed in %", "Current in A", "expected", "read"} <= words
    assert "#000000" not in svg(PLOT)


@pytest.mark.parametrize("text", ["<script>alert(1)</script>", "$x_1$ & \\frac", "a < b"])
def test_hostile_names_stay_text(text: str) -> None:
    plot = Plot(text, "x", "y", (Line(text, (0.0, 1.0), (0.0, 1.0)),))
    root = etree.fromstring(svg(plot).encode())
    assert not root.findall(".//{*}script")
    assert text in plot.alt()


def test_alternative_text_gives_the_values() -> None:
    assert PLOT.alt() == (
        "Invented curve. Current in A over Speed in %. expected: 0: 0, 25: 1.2, 50: 2.9, 75: 5.1, 100: 8. "
        "read: 0: 0, 25: 1.2, 50: 2.9, 75: 5.1, 100: 8."
    )


def test_the_plots_of_one_document_share_no_id() -> None:
    binder = assemble(study_of(Path(__file__).parents[2] / "demo_site"))
    packet = next(d for d in binder.documents if d.kind == "packet")
    pictures = list(nodes.compound("", *binder.body(packet)).findall(drawing))
    every = [name for picture in pictures for name in ids(picture["svg"])]
    assert len(pictures) > 4
    assert len(every) == len(set(every))


def test_bars_of_two_series_stand_beside_each_other_and_are_told() -> None:
    labels = ("5", "7")
    shown = Plot("Bars", "Order", "A", bars=(Bars("without", labels, (4.0, 2.0)), Bars("with", labels, (3.0, 1.0))))
    words = set(etree.fromstring(svg(shown).encode()).itertext())
    assert {"without", "with", "5", "7"} <= words
    assert shown.alt() == "Bars. A over Order. without: 5: 4, 7: 2. with: 5: 3, 7: 1."
