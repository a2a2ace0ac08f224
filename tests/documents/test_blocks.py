"""Builders: plain data in, the same data in the node, nothing parsed."""

import pickle

import pytest
from docutils import nodes

from binder.documents import blocks
from binder.documents.blocks import Cell, Column, Row

HOSTILE = ".. include:: /etc/passwd\n*bold* <script>alert(1)</script> #panic() |x| `y`_"


def test_text_is_never_parsed() -> None:
    body = blocks.section(HOSTILE, blocks.paragraph(HOSTILE, blocks.strong(HOSTILE)))
    assert body.astext() == f"{HOSTILE}\n\n{HOSTILE}{HOSTILE}"
    assert {type(n) for n in body.findall()} == {nodes.section, nodes.title, nodes.Text, nodes.paragraph, nodes.strong}


def test_a_table_is_one_node_and_survives_pickling() -> None:
    rows = [Row(("1", Cell(HOSTILE, bold=True)), "k1")]
    table = blocks.data_table([Column("No."), Column("Text")], rows, "Cap", id="T 1")
    again = pickle.loads(pickle.dumps(table))
    assert list(again.findall()) == [again]
    assert again["rows"] == table["rows"]
    assert again.words() == ["Cap", "No.", "Text", "1", HOSTILE]
    assert again["ids"] == ["t-1"]


def test_a_short_row_is_refused() -> None:
    with pytest.raises(ValueError, match="1 cells for 2 columns"):
        blocks.data_table([Column("a"), Column("b")], [Row(("1",), "k")])


def test_unknown_kinds_are_refused() -> None:
    with pytest.raises(ValueError, match="no column kind 'box'"):
        blocks.data_table([Column("a", kind="box")], [])
    with pytest.raises(ValueError, match="no caution grade 'bad'"):
        blocks.caution("bad", "x")


@pytest.mark.parametrize(("rows", "shown"), [(15, False), (16, True)])
def test_big_tables_get_a_filter(rows: int, shown: bool) -> None:
    assert blocks.data_table([Column("a")], [Row((str(n),), str(n)) for n in range(rows)])["filter"] is shown


def test_list_items_take_text_inline_parts_and_blocks() -> None:
    made = blocks.steps(["Open Q1", ["Lock ", blocks.strong("it")], ["Then:", blocks.bullets(["a", "b"])]], start=3)
    assert [len(item.children) for item in made] == [1, 1, 2]
    assert made["start"] == 3
    assert [item.astext() for item in made] == ["Open Q1", "Lock it", "Then:\n\na\n\nb"]


def test_sections_take_lists_of_blocks() -> None:
    body = blocks.section("A", [blocks.paragraph("x"), blocks.paragraph("y")], blocks.paragraph("z"), id="Other id")
    assert body["ids"] == ["other-id"]
    assert len(body) == 4
