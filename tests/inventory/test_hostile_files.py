"""Files that are no workbook, or mean harm: told apart by content, refused fast, one plain message each."""

from __future__ import annotations

import hashlib
import io
import math
import struct
import time
import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook
from openpyxl.chart import BarChart, Reference
from workbooks import edit_part, spoil, write

from binder.inventory.package import lock_holder, open_package
from binder.inventory.reader import read_workbook

ADVICE = "Save As"
OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 504


def zipped(parts: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return out.getvalue()


CARRIERS = [
    ("empty.xlsx", b"", "B191", "0 bytes"),
    ("old.xls", OLE + "Workbook".encode("utf-16-le"), "B193", ".xls"),
    ("renamed.xlsx", OLE + "Workbook".encode("utf-16-le"), "B193", ".xls"),
    ("secret.xlsx", OLE + "EncryptedPackage".encode("utf-16-le"), "B192", "password"),
    ("table.csv", b"Drive,Model\nP-1,X\n", "B195", "text file"),
    ("table.xlsx", b"Drive;Model\nP-1;X\n", "B195", "text file"),
    ("page.xls", b"<html><table><tr><td>1</td></tr></table></html>", "B196", "web page"),
    ("xml.xls", b'<?xml version="1.0"?><Workbook/>', "B196", "XML"),
    ("sheet.ods", zipped({"mimetype": b"application/vnd.oasis.opendocument.spreadsheet"}), "B194", ".ods"),
    ("other.zip", zipped({"a.txt": b"x"}), "B191", "zip file but no workbook"),
    ("doc.xlsx", b"%PDF-1.7\n\x00", "B191", "unpacked"),
    ("noise.xlsx", bytes(range(256)) * 8, "B191", "unpacked"),
    ("fake.xlsx", b"PK\x03\x04" + b"\0" * 100, "B191", "unpacked"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "data", "code", "words"), CARRIERS, ids=[c[0] for c in CARRIERS])
def test_carriers_are_told_apart(tmp_path: Path, name: str, data: bytes, code: str, words: str) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    inventory = read_workbook(path)
    assert [(f.code, f.grade) for f in inventory.findings] == [(code, "stop")]
    assert words in inventory.findings[0].found
    assert inventory.findings[0].remedy
    assert inventory.site.name == ""
    assert inventory.drives == ()


def test_missing_file_and_folder(tmp_path: Path) -> None:
    assert [f.code for f in read_workbook(tmp_path / "inventory.xlsx").findings] == ["B190"]
    assert [f.code for f in read_workbook(tmp_path).findings] == ["B190"]


@pytest.mark.parametrize("keep", [10, 100, 1000, 5000, 20000])
def test_truncated_file(tmp_path: Path, keep: int) -> None:
    path = write(tmp_path / "inventory.xlsx")
    path.write_bytes(path.read_bytes()[:keep])
    assert [f.code for f in read_workbook(path).findings] == ["B191"]


def refusal(path: Path, times: int = 3) -> tuple[list[str], float]:
    best = 9.0
    codes: list[str] = []
    for _ in range(times):  # processor time, best of three: other work on the machine does not count
        start = time.process_time()
        codes = [f.code for f in read_workbook(path).findings]
        best = min(best, time.process_time() - start)
    return codes, best


def test_zip_bomb_is_refused_fast(tmp_path: Path) -> None:
    path = tmp_path / "inventory.xlsx"
    book = zipped(
        {
            "[Content_Types].xml": b"<Types/>",
            "xl/workbook.xml": b"<workbook/>",
            "xl/worksheets/sheet1.xml": b" " * 20_000_000,
        }
    )
    # The directory claims a gigabyte, as a real bomb's does.
    name = b"xl/worksheets/sheet1.xml"
    at = book.rindex(name) - 46
    path.write_bytes(book[: at + 24] + struct.pack("<I", 1_000_000_000) + book[at + 28 :])
    codes, seconds = refusal(path)
    assert codes == ["B197"]
    assert seconds < 0.2


def test_package_that_lies_about_its_size(tmp_path: Path) -> None:
    path = tmp_path / "inventory.xlsx"
    name = b"xl/worksheets/sheet1.xml"
    book = zipped(
        {"[Content_Types].xml": b"<Types/>", "xl/workbook.xml": b"<workbook/>", name.decode(): b" " * 20_000_000}
    )
    at = book.rindex(name) - 46
    path.write_bytes(book[: at + 24] + struct.pack("<I", 1000) + book[at + 28 :])
    codes, seconds = refusal(path, times=1)
    assert codes == ["B191"]
    assert seconds < 2


def test_many_parts(tmp_path: Path) -> None:
    path = tmp_path / "inventory.xlsx"
    path.write_bytes(zipped({"[Content_Types].xml": b"", **{f"xl/{n}.xml": b"" for n in range(2500)}}))
    assert refusal(path)[0] == ["B197"]


def test_crowded_sheet_is_refused(tmp_path: Path) -> None:
    path = write(tmp_path / "inventory.xlsx")
    row = b'<row r="%d">' + b"<c><v>1</v></c>" * 100 + b"</row>"
    rows = b"".join(row % n for n in range(500, 5600))
    edit_part(path, "xl/worksheets/sheet6.xml", lambda c: c.replace(b"</sheetData>", rows + b"</sheetData>"))
    codes, seconds = refusal(path, times=1)
    assert codes == ["B197"]
    assert seconds < 2


def test_endless_text_is_refused_fast(tmp_path: Path) -> None:
    path = write(tmp_path / "inventory.xlsx")
    text = b'<row r="3"><c r="C3" t="inlineStr"><is><t>' + b"x" * 20_000_000 + b"</t></is></c></row></sheetData>"
    edit_part(path, "xl/worksheets/sheet7.xml", lambda c: c.replace(b"</sheetData>", text))
    codes, seconds = refusal(path, times=1)
    assert codes
    assert seconds < 2


ENTITY_BOMB = b'<?xml version="1.0"?><!DOCTYPE w [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;">]><workbook>&b;</workbook>'
EXTERNAL = b'<?xml version="1.0"?><!DOCTYPE w [<!ENTITY x SYSTEM "file:///etc/passwd">]><workbook>&x;</workbook>'


@pytest.mark.parametrize(
    "content", [ENTITY_BOMB, EXTERNAL, EXTERNAL.decode().encode("utf-16")], ids=["bomb", "external", "utf-16"]
)
@pytest.mark.parametrize("part", ["xl/workbook.xml", "xl/worksheets/sheet4.xml", "xl/drawings/d.xml"])
def test_entities_are_refused_fast(tmp_path: Path, content: bytes, part: str) -> None:
    path = edit_part(write(tmp_path / "inventory.xlsx"), part, lambda _: content)
    codes, seconds = refusal(path)
    assert codes == ["B198"]
    assert seconds < 0.2


@pytest.mark.parametrize(
    "part", ["xl/workbook.xml", "xl/styles.xml", "xl/worksheets/sheet4.xml", "xl/_rels/workbook.xml.rels"]
)
@pytest.mark.parametrize("content", [b"", b"<broken", b"<a/>", b"\xff\xfe\x00"])
def test_broken_parts_give_one_stop(tmp_path: Path, part: str, content: bytes) -> None:
    path = edit_part(write(tmp_path / "inventory.xlsx"), part, lambda _: content)
    stops = [f for f in read_workbook(path).findings if f.grade == "stop"]
    assert stops or part == "xl/styles.xml" or content == b"<a/>"


def test_styled_to_the_last_row_is_read_in_two_seconds(tmp_path: Path) -> None:
    path = write(tmp_path / "inventory.xlsx")
    rows = b"".join(
        b'<row r="%d" s="1" customFormat="1"><c r="A%d" s="1"/></row>' % (n, n) for n in range(500, 1_048_577)
    )

    def style_all(content: bytes) -> bytes:
        return content.replace(b"</sheetData>", rows + b"</sheetData>")

    edit_part(path, "xl/worksheets/sheet6.xml", style_all)
    seconds = math.inf
    for _ in range(2):  # the better of two: the machine may be at other work
        start = time.process_time()
        inventory = read_workbook(path)
        seconds = min(seconds, time.process_time() - start)
    assert [d.tag for d in inventory.drives] == ["VFD-1", "VFD-2"]
    assert "B182" in [f.code for f in inventory.findings]
    assert seconds < 2


def test_one_cell_in_the_last_row_is_read_fast(tmp_path: Path) -> None:
    path = spoil(write(tmp_path / "inventory.xlsx"), lambda book: book["Drives"].cell(1_048_576, 1, "VFD-9"))
    start = time.process_time()
    inventory = read_workbook(path)
    assert time.process_time() - start < 1.5
    assert [d.tag for d in inventory.drives] == ["VFD-1", "VFD-2", "VFD-9"]


def test_macro_workbook_is_read_with_a_note(tmp_path: Path) -> None:
    path = write(tmp_path / "inventory.xlsm")
    edit_part(
        path,
        "[Content_Types].xml",
        lambda c: c.replace(
            b"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml",
            b"application/vnd.ms-excel.sheet.macroEnabled.main+xml",
        ),
    )
    edit_part(path, "xl/vbaProject.bin", lambda _: OLE)
    inventory = read_workbook(path)
    assert "B185" in [f.code for f in inventory.findings]
    assert len(inventory.drives) == 2


def test_charts_notes_and_pictures_do_not_disturb(tmp_path: Path) -> None:
    def add(book: Workbook) -> None:
        chart = BarChart()
        chart.add_data(Reference(book["Motors"], min_col=5, min_row=1, max_row=3), titles_from_data=True)
        book["Motors"].add_chart(chart, "H10")
        book.create_chartsheet("Picture").add_chart(BarChart())

    path = spoil(write(tmp_path / "inventory.xlsx"), add)
    inventory = read_workbook(path)
    assert [str(m.current) for m in inventory.motors] == ["18.5 A", "12 A"]
    assert not [f for f in inventory.findings if f.grade == "stop"]


def test_very_long_and_control_text(tmp_path: Path) -> None:
    long = "x" * 32_767
    inventory = read_workbook(
        spoil(write(tmp_path / "inventory.xlsx"), lambda book: setattr(book["Drives"]["C2"], "value", long))
    )
    stop = next(f for f in inventory.findings if f.grade == "stop")
    assert (stop.code, stop.cell) == ("B132", "C2")
    assert len(stop.found) < 200


def test_nobody_reads_outside_the_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write(
        tmp_path / "inventory.xlsx",
        {
            "Drives": [
                {"tag": "../../etc", "panel": "MCC-1", "model": "Example 7", "motor": "M-1", "backup_file": "../secret"}
            ]
        },
    )
    opened: list[str] = []
    real = Path.read_bytes

    def watch(self: Path) -> bytes:
        opened.append(str(self))
        return real(self)

    monkeypatch.setattr(Path, "read_bytes", watch)
    inventory = read_workbook(path)
    assert set(opened) == {str(path)}
    assert ("B136", "stop") in [(f.code, f.grade) for f in inventory.findings]
    assert inventory.drives[0].tag == "../../etc"


def test_lock_holder_of_both_kinds(tmp_path: Path) -> None:
    path = tmp_path / "inventory.xlsx"
    assert lock_holder(path) is None
    (tmp_path / "~$inventory.xlsx").write_bytes(b"\x09A. Tester" + b" " * 45)
    assert lock_holder(path) == "A. Tester"


def test_digest_is_that_of_the_file(tmp_path: Path) -> None:
    path = write(tmp_path / "inventory.xlsx")
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    assert open_package(path).digest == digest == read_workbook(path).workbook_digest
