"""A packet opened from a file address, filled in as on a tablet, recorded, and judged after the next build."""

from __future__ import annotations

import csv
import re
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from demo_copy import copy_demo

from binder.cli import main
from binder.field.returns import READING_COLUMNS, SETTING_COLUMNS

pytest.importorskip("fcntl", reason="the browser is spoken to over pipes, which Windows has not")
from browser import CHROMIUM, Browser

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="needs a Chromium browser")
TAG, DAY = "VFD-301", "2026-05-04"
#: Line -> what is typed; the line volts differ so that the drive computes an unbalance, one voltage fails.
TYPED = {
    "E1.L12": "463", "E1.L23": "461.5", "E1.L31": "520", "E4.DC": "668", "E4.24": "24.1", "E4.10": "10.02",
    "E2.L1": "268", "E2.L2": "266", "E2.L3": "267", "C3.auto-LOOP.0.REF": "4.02",
}  # fmt: skip


def page_of(project: Path, tag: str) -> Path:
    documents = project / "build" / "binder" / "html" / "documents"
    return next(p for p in sorted(documents.glob("k*.html")) if f'"drive":"{tag}"' in p.read_text("utf-8"))


def field(line: str, name: str = "Value") -> str:
    return f'input[data-fill="{name}"][data-line="{line}"]'


def rows_of(path: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(path.read_text("utf-8-sig").splitlines()))


@pytest.fixture(scope="module")
def built_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    project = copy_demo(tmp_path_factory.mktemp("built") / "site")
    assert main(["build", str(project), "--html"]) in (0, 1)
    return project


@pytest.fixture
def built(built_once: Path, tmp_path: Path) -> Path:
    """A built project of the test's own."""
    return Path(shutil.copytree(built_once, tmp_path / "site"))


@pytest.fixture
def browser(tmp_path: Path, built: Path) -> Iterator[Browser]:
    """A browser on the packet of a drive, being filled in by JP with DM-1."""
    with Browser(tmp_path) as opened:
        opened.open(page_of(built, TAG).as_uri())
        opened.click('[data-action="start"]')
        opened.type("#fill-person-initials", "JP")
        opened.type("#fill-person-instrument", "DM-1")
        opened.run(
            f"(box => {{ box.value = '{DAY}'; box.dispatchEvent(new Event('input')); }})"
            "(document.querySelector('#fill-person-date'))"
        )
        yield opened


def errors(events: list[Mapping[str, Any]]) -> list[str]:
    return [str(e["params"]) for e in events if e["method"] == "Runtime.exceptionThrown"]


def test_ten_readings_typed_reloaded_exported_recorded_and_judged(
    browser: Browser, built: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for line, value in TYPED.items():
        browser.type(field(line), value)
    browser.type(field("E1.L31", "Remark"), 'tap "high", reported')
    browser.type(field("E4.DC", "Instrument"), "")
    browser.reload()
    assert browser.run(f"document.querySelector('{field('E4.24')}').value") == "24.1"
    assert browser.run("document.body.classList.contains('filling')")

    file = browser.downloaded('[data-action="readings"]')
    assert file.name == f"readings_{TAG}_JP_{DAY}.csv"
    assert file.read_bytes().startswith(b"\xef\xbb\xbf")
    rows = rows_of(file)
    assert tuple(rows[0]) == READING_COLUMNS
    assert {r["Test"]: r["Value"] for r in rows} == TYPED
    assert {(r["Drive"], r["Date"], r["Initials"], r["Instrument"]) for r in rows} == {(TAG, DAY, "JP", "DM-1")}
    assert "all exported" in browser.run("document.querySelector('.fill-bar').textContent")
    asked = {
        e["params"]["request"]["url"].split(":")[0]
        for e in browser.events
        if e["method"] == "Network.requestWillBeSent"
    }
    assert asked <= {"file", "blob", "data", "about"}
    assert not errors(browser.events)

    capsys.readouterr()
    assert main(["record", str(built), str(file)]) == 0
    assert "Taken: 10 readings, no setting." in capsys.readouterr().out
    assert main(["build", str(built), "--html"]) in (0, 1)
    browser.open(page_of(built, TAG).as_uri())
    shown = browser.run(
        "Object.fromEntries([...document.querySelectorAll('tr[data-line]')].map(row => [row.dataset.line,"
        " [row.querySelector('.write').textContent, ...[...row.querySelectorAll('.passfail span')]"
        ".map(box => box.getAttribute('aria-label'))]]))"
    )
    assert shown["E1.L12"] == ["463 V", "ticked", "not ticked"]
    assert shown["E1.L31"] == ["520 V", "not ticked", "ticked"]
    assert shown["E1.U"][2] == "ticked", "unbalance is computed from the three, and fails"
    assert "4.02 mA" in browser.run("document.querySelector('td[data-line=\"C3.auto-LOOP.0.REF\"]').textContent")


def test_yes_no_not_done_and_settings(browser: Browser, built: Path, capsys: pytest.CaptureFixture[str]) -> None:
    browser.click('[data-answer="yes"][data-line="M3"]')
    browser.click('[data-answer="no"][data-line="M5"]')
    browser.click('[data-answer="yes"][data-line="M6"]')
    browser.click('[data-answer="yes"][data-line="M6"]')  # pressed again: taken back
    browser.click('[data-answer="not done"][data-line="E4.10"]')
    browser.type(field("E4.10", "Remark"), "no terminal free;=1")
    numbers = browser.run(
        "[...document.querySelectorAll('[data-form=settings] tr[data-line]')].map(r => r.dataset.line)"
    )
    browser.type(field(numbers[3], "As found"), "0")
    browser.type(field(numbers[3], "As left"), "=1")
    readings = rows_of(browser.downloaded('[data-action="readings"]'))
    assert [(r["Test"], r["Value"], r["Instrument"]) for r in readings] == [
        ("M3", "yes", ""),
        ("M5", "no", ""),
        ("E4.10", "not done", "DM-1"),
    ]
    assert readings[-1]["Remark"] == "no terminal free; =1", "no formula where semicolons part cells"
    file = browser.downloaded('[data-action="settings"]')
    [row] = rows_of(file)
    assert tuple(row) == SETTING_COLUMNS
    assert row["As left"] == " =1", "no formula when the office opens it"
    capsys.readouterr()
    assert main(["record", str(built), str(file)]) == 0
    assert "no reading, 1 setting." in capsys.readouterr().out


def test_doubts_are_told_while_the_meter_is_there(browser: Browser) -> None:
    def hint(line: str) -> str:
        text: str = browser.run(
            f"document.getElementById(document.querySelector('{field(line)}').getAttribute('aria-describedby')).textContent"
        )
        return text

    browser.type(field("E1.L12"), "520")
    assert "Outside the limit 432 to 500 V" in hint("E1.L12")
    browser.type(field("E1.L23"), "about right")
    assert "A number belongs here" in hint("E1.L23")
    browser.type(field("E1.L31"), "461")
    assert hint("E1.L31") == ""


def hint_of(browser: Browser, line: str) -> str:
    """What is told below a line's field."""
    text: str = browser.run(
        f"document.getElementById(document.querySelector('{field(line)}').getAttribute('aria-describedby')).textContent"
    )
    return text


def test_people_and_instruments_are_picked_from_the_workbook(browser: Browser) -> None:
    offered = browser.run(
        "Object.fromEntries(['#fill-person-initials', '#fill-person-instrument'].map(id => [id,"
        " [...document.querySelector(id).list.options].map(o => o.value + ' | ' + o.label)]))"
    )
    assert "JP | J. Pell, electrician" in offered["#fill-person-initials"]
    assert "IR-2 | insulation tester, calibrated to 2026-03-31" in offered["#fill-person-instrument"]
    assert browser.run(f"document.querySelector('{field('E1.L12', 'Instrument')}').list.id") == "pick-instruments"
    assert browser.run(f"document.querySelector('{field('E1.L12', 'Initials')}').list.id") == "pick-people"

    browser.type(field("E1.L12"), "463")
    assert hint_of(browser, "E1.L12") == ""
    browser.run(f"document.querySelector('{field('E1.L12', 'Instrument')}').value = ''")
    browser.type(field("E1.L12", "Instrument"), "IR-2")
    assert "calibration of IR-2 ended on 2026-03-31" in hint_of(browser, "E1.L12")
    browser.run(f"document.querySelector('{field('E1.L12', 'Initials')}').value = ''")
    browser.type(field("E1.L12", "Initials"), "ZZ")
    assert "Nobody in the workbook has the initials ZZ" in hint_of(browser, "E1.L12")


def test_insulation_is_held_against_the_limit_at_the_temperature_typed(browser: Browser) -> None:
    """IEEE 43, 5 MΩ at 40 °C: 20 MΩ at 20 °C by halving, 2.5 at 50 °C by halving but 3.3 by the thermosetting rule."""
    browser.type(field("R2.M"), "18")
    assert hint_of(browser, "R2.M") == "", "no temperature, no limit"
    browser.type(field("R2.T"), "20")
    assert "At 20 °C the tester must show 20.0 MΩ or more" in hint_of(browser, "R2.M")
    browser.run(f"document.querySelector('{field('R2.T')}').value = ''")
    browser.type(field("R2.T"), "50")
    assert hint_of(browser, "R2.M") == ""
    browser.run(f"document.querySelector('{field('R2.M')}').value = ''")
    browser.type(field("R2.M"), "3.2")
    assert "must show 3.29 MΩ" in hint_of(browser, "R2.M")


def test_a_sweep_point_has_one_remark_and_one_not_done(
    browser: Browser, built: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    at = "C3.auto-LOOP.75"
    browser.type(f'[data-point="{at}"] input[data-fill="Remark"]', "valve stuck at 75 %")  # before any reading
    browser.type(field(f"{at}.HZ"), "45.1")
    browser.click(f'button[data-point="{at}"]')
    rows = {r["Test"]: r for r in rows_of(browser.downloaded('[data-action="readings"]'))}
    own = {r for r in rows if r.startswith(f"{at}.")}
    assert own == set(rows) == {f"{at}.{end}" for end in ("REF", "HZ", "RPM", "U", "V", "W", "DC", "KW")}
    assert {r["Remark"] for r in rows.values()} == {"valve stuck at 75 %"}
    assert rows[f"{at}.HZ"]["Value"] == "45.1"
    assert {r["Value"] for t, r in rows.items() if not t.endswith("HZ")} == {"not done"}
    file = browser.downloaded('[data-action="readings"]')
    capsys.readouterr()
    assert main(["record", str(built), str(file)]) == 0
    assert "Taken: 8 readings" in capsys.readouterr().out

    browser.click(f'button[data-point="{at}"]')  # pressed again: taken back, what was read stays
    left = browser.run(
        f"[...document.querySelectorAll('input.reading[data-line^=\"{at}.\"]')].filter(e => e.value)"
        ".map(e => e.dataset.line)"
    )
    assert left == [f"{at}.HZ"]


def test_cleared_after_a_question_and_kept_by_document_and_revision(browser: Browser) -> None:
    browser.type(field("E4.24"), "24.1")
    keys = browser.run("Object.keys(localStorage).filter(key => key.startsWith('binder-field|'))")
    [key] = keys
    number, revision = key.split("|")[2:]
    assert browser.run("document.querySelector('.title-block').textContent").count(number) == 1
    browser.run(f"localStorage.setItem({key!r}.replace(/[^|]*$/, '{revision}0'), localStorage.getItem({key!r})), 1")
    browser.click('[data-action="clear"]')
    [asked] = [e for e in browser.events if e["method"] == "Page.javascriptDialogOpening"]
    assert "1 of them are NOT exported yet" in asked["params"]["message"]
    assert browser.run(f"document.querySelector('{field('E4.24')}').value") == ""
    browser.reload()
    assert browser.run(f"document.querySelector('{field('E4.24')}').value") == ""
    browser.click('[data-action="bring"]')
    assert browser.run(f"document.querySelector('{field('E4.24')}').value") == "24.1", "typed under another revision"


@pytest.mark.parametrize("width", [800, 390], ids=["tablet", "phone"])
def test_fields_are_large_named_and_fit(browser: Browser, width: int) -> None:
    browser.size(width, 1280)
    small = browser.run(
        "[...document.querySelectorAll('.fill :is(input, button), .entry :is(input, button, summary), .write > input,"
        " .fill-bar a')].filter(e => e.offsetParent && e.getBoundingClientRect().height < 44).map(e => e.outerHTML)"
    )
    assert small == []
    unnamed = browser.run(
        "[...document.querySelectorAll('.fill input, .entry input, .write > input')]"
        ".filter(e => !e.getAttribute('aria-label') && !(e.labels.length && e.labels[0].textContent.trim())).length"
    )
    assert unnamed == 0
    named = browser.run(f"document.querySelector('{field('E1.L12')}').labels[0].textContent")
    assert re.match(r"E1\.L12 Line L1 to L2: Reading, V", named)
    assert browser.run("document.documentElement.scrollWidth") <= width


def test_print_and_no_script_show_the_plain_sheet(browser: Browser, built: Path) -> None:
    browser.on_page("Emulation.setEmulatedMedia", media="print")
    assert browser.run("[...document.querySelectorAll('.fill, .entry, .write > input, .fill-bar')]"
                       ".every(e => getComputedStyle(e).display === 'none')")  # fmt: skip
    browser.on_page("Emulation.setEmulatedMedia", media="screen")
    browser.on_page("Emulation.setScriptExecutionDisabled", value=True)
    browser.open(page_of(built, TAG).as_uri())
    document = browser.on_page("DOM.getDocument", depth=0)["root"]["nodeId"]
    assert browser.on_page("DOM.querySelector", nodeId=document, selector="tr[data-line='E1.L12']")["nodeId"]
    for made_by_script in (".fill-start", ".entry", ".fill"):
        assert not browser.on_page("DOM.querySelector", nodeId=document, selector=made_by_script)["nodeId"]
