"""Nodes to blocks: texts unchanged, every docutils form known, columns that fit."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from docutils import nodes
from docutils.core import publish_doctree
from invented_binder import HOSTILE

from binder.documents import blocks
from binder.documents.blocks import Cell, Column, Row
from binder.publishing.sheet_data import SIGNS, keep_together
from binder.publishing.table_layout import DENSE_POINTS, PADDING_MM, POINTS, fit, lay_out
from binder.publishing.typefaces import font_files, legible, signs, width_mm
from binder.publishing.typst import Translator, UnknownNodeError, drawing_source

PLAIN = {"report_level": 5, "doctitle_xform": False}
PAGE = """
Title
=====

Paragraph with *emphasis*, **strong**, ``code``, H\\ :sub:`2`\\ O, `web <https://example.org/>`_,
`mail <mailto:a@example.org>`_ and `bad <javascript:alert(1)>`_. [#f]_

.. [#f] Footnote.

- bullet

  - nested

a. letter
b. second

term
   Definition.

:field: value

-o FILE  option

| line
| block

::

   literal block

    quoted

----

.. note:: Note.

.. topic:: Topic

   Text.

.. table:: Caption

   +------+------+
   | a    | b    |
   +======+======+
   | c           |
   +------+------+
"""


def flat(value: Any) -> str:
    """All strings of a block tree, as one text."""
    return json.dumps(value, ensure_ascii=False)


def test_hand_written_forms_are_all_known() -> None:
    made = Translator("N-1", 174).blocks(publish_doctree(PAGE, settings_overrides=PLAIN).children)
    kinds = {block["t"] for block in made}
    assert {"p", "ul", "ol", "dl", "lines", "pre", "rule", "box", "caption", "grid"} <= kinds
    grid = next(block for block in made if block["t"] == "grid")
    assert grid["rows"][1][0]["cols"] == 2
    assert grid["heads"] == 1
    assert next(block for block in made if block["t"] == "ol")["numbering"] == "a."


def test_only_web_and_mail_links_are_links() -> None:
    text = flat(Translator("N-1", 174).blocks(publish_doctree(PAGE, settings_overrides=PLAIN).children))
    assert "https://example.org/" in text
    assert "mailto:a@example.org" in text
    assert "javascript" not in text


def test_an_unknown_node_is_named() -> None:
    class strange(nodes.General, nodes.Element):  # noqa: N801
        pass

    with pytest.raises(UnknownNodeError, match="N-1: no printed form for 'strange'"):
        Translator("N-1", 174).blocks([strange()])


@pytest.mark.parametrize("text", HOSTILE)
def test_cells_reach_the_template_unchanged(text: str) -> None:
    table = blocks.data_table([Column("A", 1), Column("B", 1)], [Row((text, Cell(text, bold=True)), "k")])
    row = Translator("N-1", 400).blocks([table])[0]["rows"][0]["c"]
    assert row == [text, {"x": text, "b": True}]


def test_anchors_are_given_once() -> None:
    twice = [blocks.section("Same", id="same"), blocks.section("Same", id="same")]
    assert [b["id"] for b in Translator("N-1", 174).blocks(twice)] == ["N-1#same", ""]


def test_heading_goes_onto_its_drawing_sheet_and_lead_ins_stay_with_tables() -> None:
    made = keep_together(
        [{"t": "h", "n": 2}, {"t": "drawing"}, {"t": "p"}, {"t": "table"}, {"t": "p"}, {"t": "p"}],
    )
    assert [b["t"] for b in made] == ["drawing", "p", "table", "p", "p"]
    assert made[0]["head"] == {"t": "h", "n": 2}
    assert [b.get("keep", False) for b in made] == [False, True, False, False, False]


# Columns -----------------------------------------------------------------------------------


def test_widths_fill_the_sheet_and_hold_every_word() -> None:
    columns = [Column("No.", 1, "code"), Column("Text", 4), Column("As left", 1, "write"), Column("Ok", 1, "passfail")]
    rows = [Row((f"{n:02}.01", "Some words of a setting " * (n % 4), "", ""), str(n)) for n in range(20)]
    layout = lay_out(columns, rows, 174)
    assert sum(layout.widths) == pytest.approx(174)
    assert layout.widths[3] == 20
    assert layout.widths[1] > 2 * layout.widths[0]
    assert layout.points == POINTS


def test_dense_tables_are_set_smaller() -> None:
    columns = [Column(f"Column {n}") for n in range(6)]
    rows = [Row(("A rather long text that needs several lines in a narrow column",) * 6, "k")]
    assert lay_out(columns, rows, 174).points == DENSE_POINTS


@pytest.mark.parametrize("columns", [[Column("Only", 1, "write")], [Column("A"), Column("B")]], ids=["write", "empty"])
def test_empty_tables_have_widths(columns: list[Column]) -> None:
    layout = lay_out(columns, [], 100)
    assert sum(layout.widths) == pytest.approx(100)


def test_short_texts_stay_on_one_line_beside_long_ones() -> None:
    columns = (Column("Wire", 1), Column("Fault", 1), Column("What the drive does", 3))
    long = "the 24 V supply is shorted, at the latest when a contact closes: every input drops, and the drive stops"
    rows = [Row((str(n), "short to +24 V", long), str(n)) for n in range(9)]
    layout = lay_out(columns, rows, 110)
    assert "\u200b" not in fit("short to +24 V", layout.widths[1], layout.points)
    assert width_mm("short to +24 V", layout.points) + PADDING_MM <= layout.widths[1]


def test_a_table_does_not_repeat_its_heading() -> None:
    head = {"t": "h", "id": "x", "n": 2, "c": ["Isolation points"]}
    told = keep_together([head, {"t": "table", "caption": "Isolation points"}, {"t": "table", "caption": "Others"}])
    assert [block.get("caption") for block in told] == [None, "", "Others"]


def test_words_too_wide_break_after_separators_else_anywhere() -> None:
    assert fit("SHORT", 40) == "SHORT"
    assert fit("W-101/2", 8).replace("\u200b", "") == "W-101/2"
    assert "\u200b" in fit("X" * 60, 20)
    assert fit("V1.34/32.K-101-off-HOA-101-in-HAND", 25).count("\u200b") == 2
    assert fit("measured within 5 min", 25).endswith("5\u00a0min")


def test_a_column_as_wide_as_its_longest_word_breaks_none() -> None:
    """Rounding hid a sign in every tag of some tables, and no search found these."""
    tag = "PUMP-12A"
    layout = lay_out([Column("Drive", 1.0), Column("What", 9.0)], [Row((tag, "a long text " * 200))], 170.0)
    assert "\u200b" not in fit(tag, layout.widths[0], layout.points)


@pytest.mark.parametrize("text", ["15.69 kA", "-12.5 %", "1,500 rpm", "fault current 15.69 kA"])
def test_numbers_stay_whole(text: str) -> None:
    pieces = fit(text, 11).replace("\u00a0", " ").replace("\u200b", "|")
    assert pieces.replace("|", "") == text
    assert not re.search(r"[-\d.,]\|[\d.,]", pieces)


# Signs -------------------------------------------------------------------------------------


def test_shipped_fonts_hold_the_signs_of_the_trade() -> None:
    needed = set("Ωµ°⚠φ∅⌀Δ☐☑✓≤≥±²³×·→←−–—…½¼√∞≈≠€①∿″′")
    assert {sign for sign in needed if ord(sign) not in signs()} == set()
    assert {sign for text in SIGNS.values() for sign in text if ord(sign) not in signs()} == set()


def test_every_font_has_its_licence_beside_it() -> None:
    folder = font_files()[0].parent
    licences = {path.stem.removeprefix("LICENSE-") for path in folder.glob("LICENSE-*")}
    assert {path.stem.split("-")[0].removesuffix("Sans") for path in font_files()} == {
        name.removesuffix("Sans") for name in licences
    }


@pytest.mark.parametrize(
    ("text", "shown", "missing"),
    [
        ("a\tb", "a b", ""),
        ("\u2126 \u212b", "Ω Å", ""),
        ("e\u0301", "é", ""),
        ("bell\x07", "bell�", "\x07"),
        ("\ufeffmark", "�mark", "\ufeff"),
        ("two\r\nlines", "two\nlines", ""),
        ("泵", "�", "泵"),
    ],
)
def test_legible(text: str, shown: str, missing: str) -> None:
    assert legible(text) == (shown, missing)


def test_drawings_get_the_shipped_font_and_keep_their_words() -> None:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" font-family="Liberation Sans, Arial">'
        "<text>Liberation Sans &amp; K1</text></svg>"
    )
    made = drawing_source(svg)
    assert 'font-family="Arimo, Arial"' in made
    assert "<text>Liberation Sans &amp; K1</text>" in made


def test_entities_in_drawings_are_not_resolved() -> None:
    svg = '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg xmlns="http://www.w3.org/2000/svg">&x;</svg>'
    assert "root:" not in drawing_source(svg)
