"""The search of the pages, opened from a file address: under each page found stand the places with the word."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from invented_binder import CONF, HOSTILE, invented_binder

from binder.publishing.build import build_binder

pytest.importorskip("fcntl", reason="the browser is spoken to over pipes, which Windows has not")
sys.path.append(str(Path(__file__).resolve().parents[1] / "field_loop"))
from browser import CHROMIUM, Browser

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="needs a Chromium browser")
PLACES = """[...document.querySelectorAll("#search-results li")].map((item) => ({
  page: item.querySelector("a").textContent,
  places: [...item.querySelectorAll(".excerpt")].map((p) => [p.querySelector("a").href, p.textContent]),
}))"""


@pytest.fixture(scope="module")
def start(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("search ü")
    (folder / "conf.py").write_text(CONF)
    made = build_binder(folder, invented_binder(), pdf=False)
    assert made.html is not None
    return made.html


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    with Browser(tmp_path_factory.mktemp("browser")) as opened:
        yield opened


def searched(browser: Browser, start: Path, query: str) -> dict[str, Any]:
    """Pages found with the places shown, once the last page has told its own."""
    browser.open(f"{start.with_name('search.html').as_uri()}?q={query}")
    until = time.monotonic() + 20
    found: list[Any] = []
    while time.monotonic() < until:
        found = browser.run(PLACES)
        if found and all(item["places"] for item in found) and not browser.run("document.querySelector('iframe')"):
            break
        time.sleep(0.1)
    return {item["page"]: item["places"] for item in found}


def test_each_page_found_shows_where_the_word_stands(browser: Browser, start: Path) -> None:
    found = searched(browser, start, "01.03")
    places = found["Packet P-101 raw water pump 1"]
    assert any("Motor rated current" in text and "01.03" in text for _, text in places)
    address = places[0][0]
    assert address.startswith((start.parent / "documents" / "k0031.html").as_uri() + "#")
    browser.open(address)
    assert browser.run("document.querySelector(':target') !== null"), "the place is one that can be gone to"


def test_text_of_a_page_stays_text(browser: Browser, start: Path) -> None:
    found = searched(browser, start, "alert")
    shown = [text for places in found.values() for _, text in places]
    assert any(HOSTILE[1] in text for text in shown)
    assert not browser.run("document.querySelectorAll('#search-results script, #search-results iframe').length")
