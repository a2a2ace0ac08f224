"""On screen each conductor, terminal and device of a drawing leads to its row; print stays as it is."""

from __future__ import annotations

from collections import Counter
from functools import cache
from pathlib import Path

import pytest
from docutils import nodes
from lxml import etree

from binder.documents.assemble import assemble
from binder.documents.blocks import make_id
from binder.documents.nodes import data_table, drawing
from binder.publishing.svg import inline_svg
from binder.publishing.typst import drawing_source
from binder.reissue.current import study_of
from binder.study import SiteStudy

DEMO = Path(__file__).parents[2] / "demo_site"
SVG = "{http://www.w3.org/2000/svg}"
SHEET = (
    '<svg xmlns="http://www.w3.org/2000/svg"><a href="https://example.org"><path/></a>'
    '<g data-k="wire" data-id="r1" data-tag="-W1"><path/><text>101</text></g>'
    '<g data-k="device" data-tag="-S1"><path/><g data-end="-S1:13"><text>13</text></g><text>x</text></g>'
    '<g data-k="drive" data-tag="-T1"><g data-end="-T1:10"><text>10</text></g></g>'
    '<g data-k="note"><text>said</text></g></svg>'
)
LINKS = {"id:r1": "wire-r1", "tag:-W1": "cable-w1", "tag:-S1": "device-s1", "end:-T1:10": "terminal-t1-10"}


def led(svg: str) -> list[tuple[str, str]]:
    """Text or, without one, element that each link is drawn with, and where it leads."""
    root = etree.fromstring(svg)
    links = list(root.iter(f"{SVG}a"))
    return [("".join(e.itertext()) or etree.QName(e[0]).localname, str(e.get("href"))) for e in links]


def test_what_a_group_draws_leads_to_its_row() -> None:
    assert led(inline_svg(SHEET, "d", "a drawing", LINKS)) == [
        ("101", "#wire-r1"), ("path", "#device-s1"), ("13", "#device-s1"), ("x", "#device-s1"),
        ("10", "#terminal-t1-10"),
    ]  # fmt: skip


def test_links_add_no_tab_stops_and_no_link_stands_in_another() -> None:
    root = etree.fromstring(inline_svg(SHEET, "d", "a drawing", LINKS))
    for link in root.iter(f"{SVG}a"):
        assert link.get("tabindex") == "-1"
        assert not list(link.iterancestors(f"{SVG}a"))


def test_a_picture_holds_no_controls() -> None:
    linked = etree.fromstring(inline_svg(SHEET, "d", "a drawing", LINKS))
    assert (linked.get("role"), linked.get("aria-hidden")) == (None, "true"), "the page tells its words beside it"
    plain = etree.fromstring(inline_svg(SHEET, "d", "a drawing"))
    assert (plain.get("role"), plain.get("aria-label")) == ("img", "a drawing")


def test_a_link_inside_a_file_is_dropped_and_no_link_is_made_unasked() -> None:
    assert led(inline_svg(SHEET, "d", "a drawing")) == []


@cache
def demo() -> SiteStudy:
    return study_of(DEMO)


@cache
def packet(tag: str) -> nodes.compound:
    binder = assemble(demo())
    return nodes.compound("", *binder.body(next(d for d in binder.documents if d.subject == tag)))


TAGS = ("VFD-101", "VFD-201", "VFD-501", "VFD-602")


@pytest.mark.parametrize("tag", TAGS)
def test_every_link_of_the_demo_leads_to_one_place_of_its_page(tag: str) -> None:
    body = packet(tag)
    anchors: Counter[str] = Counter(i for node in body.findall(nodes.Element) for i in node.get("ids", []))
    for table in body.findall(data_table):
        anchors.update(make_id(f"{i}-{row.key}") for i in table["ids"] for row in table["rows"] if row.key)
    led_to = {a for d in body.findall(drawing) for a in d.get("links", {}).values()}
    assert len(led_to) > 20
    assert {a: anchors[a] for a in led_to if anchors[a] != 1} == {}


@pytest.mark.parametrize("tag", TAGS)
def test_every_conductor_and_every_listed_device_is_a_link(tag: str) -> None:
    study = next(s for s in demo().drives if s.drive.tag == tag)
    devices = {d.tag for d in study.wiring.devices} | {k.tag for k in study.wiring.cables}
    for node in packet(tag).findall(drawing):
        if not node.get("links"):
            continue
        root = etree.fromstring(inline_svg(node["svg"], "d", "x", node["links"]))
        for group in root.iter(f"{SVG}g"):
            if group.get("data-id") or group.get("data-tag") in devices:
                assert group.find(f".//{SVG}a") is not None, dict(group.attrib)


def test_the_printed_drawing_has_no_links() -> None:
    for node in packet("VFD-101").findall(drawing):
        assert "<a " not in drawing_source(node["svg"])
