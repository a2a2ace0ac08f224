"""What a built binder would show if a text had been taken for code: elements, addresses, actions, formulas."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import lxml.html
import openpyxl
import pikepdf
from lxml import etree

from binder.inventory.spreadsheet_text import unescaped

Shape = tuple[str, tuple[str, ...]]  # a tag and the names of its attributes

#: Elements that run, load, send or move something: as many as with a harmless text, page by page.
_ACTIVE = (
    "script", "style", "link", "meta", "base", "iframe", "object", "embed", "form", "img", "image", "use", "animate",
    "set", "foreignobject", "template", "noscript", "math", "textarea", "title",
)  # fmt: skip
_ADDRESSES = ("href", "src", "action", "formaction", "srcset", "poster", "data", "xlink:href", "background", "ping")
_ACTIONS = ("/JS", "/JavaScript", "/Launch", "/URI", "/SubmitForm", "/GoToR", "/ImportData", "/EmbeddedFile")


def parsed(html: str) -> Any:
    """A page parsed as a browser would."""
    return lxml.html.document_fromstring(html)


def pages(project: Path) -> dict[str, Any]:
    """The pages of a built binder."""
    folder = project / "build" / "binder" / "html"
    return {
        path.relative_to(folder).as_posix(): parsed(path.read_text("utf-8")) for path in sorted(folder.rglob("*.html"))
    }


def elements(page: Any) -> Iterator[Any]:
    """Every element of a page."""
    return (e for e in page.iter() if isinstance(e.tag, str))


def shapes(trees: Iterable[Any]) -> set[Shape]:
    """Which elements with which attributes stand in some pages."""
    return {(e.tag, tuple(sorted(map(str, e.attrib)))) for tree in trees for e in elements(tree)}


def active(page: Any) -> Counter[str]:
    """How many elements of a page do more than show."""
    drawn = {e for drawing in drawings(page) for e in drawing.iter("style", "title", "use")}
    return Counter(e.tag for e in elements(page) if e.tag in _ACTIVE and e not in drawn)


def harm_in_page(page: Any) -> list[str]:
    """Handlers, addresses outside the binder, comments, data that is no data."""
    found = []
    for e in elements(page):
        for name, value in e.attrib.items():
            if name.startswith("on"):
                found.append(f"{e.tag} {name}={value}")
            if name in _ADDRESSES and re.match(r"\s*([a-z][\w+.-]*:|[/\\]{1,2})", value, re.IGNORECASE):
                found.append(f"{e.tag} {name}={value}")
        if e.tag == "script" and e.get("type") == "application/json":
            json.loads(e.text)
    found += [f"comment {c.text}" for c in page.iter(etree.Comment)]
    return found


def styles(page: Any) -> set[str]:
    """The words of all styles, without their numbers and quoted texts."""
    written = [e.get("style") for e in elements(page) if e.get("style")]
    sheets = [e.text or "" for e in elements(page) if e.tag == "style"]
    return {re.sub(r'[0-9.]+|#[0-9a-fA-F]+|"[^"]*"', "", text) for text in (*written, *sheets)}


def scripts(page: Any) -> set[str]:
    """The code of a page that is not data."""
    return {e.text or "" for e in elements(page) if e.tag == "script" and e.get("type") != "application/json"}


def words(page: Any) -> str:
    """Everything that a page shows or says, titles and names for voices included."""
    shown = "".join(page.xpath("//text()[not(parent::script)]"))
    return shown + "".join(v for e in elements(page) for v in e.attrib.values())


def drawings(page: Any) -> list[Any]:
    """The drawings of a page."""
    return [e for e in elements(page) if e.tag == "svg"]


def actions(path: Path) -> Counter[str]:
    """Actions and files of a PDF."""
    found: Counter[str] = Counter()
    with pikepdf.open(path) as pdf:
        for item in pdf.objects:
            if isinstance(item, pikepdf.Dictionary):
                if item.get("/S") == "/GoToR" and re.fullmatch(r"[^/\\:]+\.pdf", str(item.get("/F"))):
                    continue  # another document of the binder, in the same folder
                found.update(name for name in _ACTIONS if name in item)
                found.update(str(item[k]) for k in ("/S", "/Type") if k in item and str(item[k]) in _ACTIONS)
    return found


def csv_cells(text: str, delimiter: str = ",") -> Iterator[str]:
    """The cells as a spreadsheet program parts them."""
    return (cell for row in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter) for cell in row)


def runs_as_formula(cell: str) -> bool:
    """Whether a spreadsheet program would take a cell of a CSV file for a formula or a command."""
    return cell.lstrip("\t\r\n")[:1] in set("=+-@＝＋－＠") and not re.fullmatch(r"[+-]?[0-9.]+(e[+-]?[0-9]+)?", cell)


def cells_of(path: Path) -> dict[tuple[str, str], tuple[Any, str]]:
    """Sheet and address -> value and type of each cell of a workbook."""
    book = openpyxl.load_workbook(path)
    return {
        (sheet.title, cell.coordinate): (
            unescaped(cell.value) if isinstance(cell.value, str) else cell.value,
            cell.data_type,
        )
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None
    }
