"""The workbook file before anything parses it: what it is, whether it is safe, and what can be left out."""

from __future__ import annotations

import hashlib
import io
import re
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path

from binder.inventory.cleaning import CellError, show

#: Limits on the unpacked package. 1,000 drives unpack to about 30 MiB, formats down to the last row to 140 MiB.
MAX_PART = 160 * 1024**2
MAX_TOTAL = 256 * 1024**2
MAX_PARTS = 2000
MAX_FILE = 128 * 1024**2
MAX_STYLES = 16 * 1024**2
#: Cells with content, and shared texts. 1,000 drives have about 60,000.
MAX_CELLS = 500_000

_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_EMPTY_CELL = re.compile(rb"<((?:\w+:)?)c\b[^<>]*(?:/>|>\s*</\1c>)")
_EMPTY_ROW = re.compile(rb"<((?:\w+:)?)row\b[^<>]*(?:/>|>\s*</\1row>)")
_LAST_ROW = re.compile(rb"<(?:\w+:)?row\b[^<>]*?\br=\"(\d+)\"")
_AFTER_DATA = re.compile(rb"</(?:\w+:)?sheetData>|<(?:\w+:)?sheetData\s*/>")
_MERGES = re.compile(rb"<((?:\w+:)?)mergeCells\b.*?</\1mergeCells>", re.DOTALL)
_END = re.compile(rb"</(?:\w+:)?worksheet>\s*$")
_CELL = re.compile(rb"<(?:\w+:)?c[\s>]")
_TEXT = re.compile(rb"<(?:\w+:)?si[\s>/]")
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s>/]")
_TABLES = frozenset({".xlsx", ".xlsm", ".xls", ".xlsb", ".ods", ".csv"})
_ADVICE = "In the spreadsheet program use Save As and choose the file type whose names end in .xlsx."


@dataclass(frozen=True, slots=True)
class Package:
    """A workbook file that passed the checks.

    Parameters
    ----------
    data : bytes
        The file as it is.
    digest : str
        SHA-256 of `data`.
    slim : bytes
        The same workbook for reading: no empty styled cells, no drawings, no media.
    has_formulas : bool
    has_macros : bool
    linked_files : tuple of str
        Other workbooks that formulas refer to.
    far_rows : tuple of (part name, last row, last row with content)
        Sheets whose formats reach far below their content.
    """

    data: bytes
    digest: str
    slim: bytes
    has_formulas: bool
    has_macros: bool
    linked_files: tuple[str, ...]
    far_rows: tuple[tuple[str, int, int], ...]


def open_package(path: Path) -> Package:
    """Read a workbook file once and make sure that it can be parsed safely.

    Parameters
    ----------
    path : Path

    Returns
    -------
    Package

    Raises
    ------
    CellError
        It is no workbook, cannot be opened, or would unpack to too much.
    """
    data = _bytes_of(path)
    _tell_carriers_apart(data, path.name)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            _check_directory(archive, path.name)
            return _slim(archive, data)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError, ValueError, RuntimeError) as error:
        if isinstance(error, CellError):
            raise
        raise _damaged(path.name, len(data), str(error)) from error


def _bytes_of(path: Path) -> bytes:
    if not path.exists():
        raise _missing(path)
    if path.is_dir():
        raise CellError("B190", f"{path.name} is a folder", "a workbook file", "Name the workbook.")
    try:
        if path.stat().st_size > MAX_FILE:
            raise CellError(
                "B197", f"{path.stat().st_size} bytes", "up to 128 MiB", "Remove pictures from the workbook."
            )
        return path.read_bytes()
    except PermissionError:
        remedy = "Close it in the spreadsheet program, or ask for the right to read it."
        raise CellError("B190", f"{path.name} may not be read now", "", remedy) from None
    except OSError as error:
        raise CellError("B190", f"{path.name}: {error.strerror}", "", "Copy the workbook again.") from None


def _missing(path: Path) -> CellError:
    """No workbook; a table of another name or type that lies there is named."""
    folder = path.parent
    tables = sorted(p.name for p in folder.iterdir() if p.suffix.lower() in _TABLES) if folder.is_dir() else []
    others = [name for name in tables if not name.startswith(("~$", "."))]
    found = f"no file {path.name}" + (f"; there is {show(', '.join(others[:3]), limit=90)}" if others else "")
    remedy = "Make one with: binder new"
    if others:
        fit = others[0].lower().endswith((".xlsx", ".xlsm"))
        remedy = f"Rename it to {path.name}." if fit else f"{_ADVICE} Name it {path.name}."
    return CellError("B190", found, f"{path.name} in the project folder", remedy)


def _damaged(name: str, size: int, detail: str) -> CellError:
    found = f"{name}, {size} bytes, cannot be unpacked" + (f" ({show(detail, limit=60)})" if detail else "")
    remedy = "It is damaged or was still being copied. Copy it again, or open and save it in the spreadsheet program."
    return CellError("B191", found, "an .xlsx workbook", remedy)


def _tell_carriers_apart(data: bytes, name: str) -> None:
    if data.startswith(b"PK"):
        return
    if not data:
        raise CellError("B191", f"{name} is empty (0 bytes)", "an .xlsx workbook", "Copy the workbook again.")
    if data.startswith(_OLE):
        if "EncryptedPackage".encode("utf-16-le") in data:
            remedy = "Save a copy without password and use that."
            raise CellError("B192", f"{name} is protected with a password", "a workbook without password", remedy)
        raise CellError("B193", f"{name} is an old .xls workbook", "an .xlsx workbook", _ADVICE)
    head = data[:4096].lstrip(b"\xef\xbb\xbf \r\n\t").lower()
    if head.startswith((b"<!doctype", b"<html", b"<table", b"<?xml", b"<head", b"<meta")):
        raise CellError(
            "B196", f"{name} is a web page or XML file, whatever its name says", "an .xlsx workbook", _ADVICE
        )
    if b"\0" not in data[:4096] and not data.startswith(b"%PDF"):
        raise CellError("B195", f"{name} is a text file, for example .csv", "an .xlsx workbook", _ADVICE)
    raise _damaged(name, len(data), "")


def _check_directory(archive: zipfile.ZipFile, name: str) -> None:
    entries = archive.infolist()
    total = sum(e.file_size for e in entries)
    largest = max((e.file_size for e in entries), default=0)
    if len(entries) > MAX_PARTS or total > MAX_TOTAL or largest > MAX_PART:
        found = f"{name} unpacks to {total / 1024**2:.0f} MiB in {len(entries)} parts"
        remedy = "Copy the filled rows into a new blank workbook (binder new)."
        raise CellError("B197", found, "up to 256 MiB in all, 160 MiB a part, 2000 parts", remedy)
    if any(e.flag_bits & 1 for e in entries):
        raise CellError("B192", f"{name} is encrypted", "a workbook without password", "Save a copy without password.")
    names = {e.filename for e in entries}
    if "mimetype" in names and b"opendocument" in archive.read("mimetype")[:200]:
        raise CellError("B194", f"{name} is an OpenDocument (.ods) file", "an .xlsx workbook", _ADVICE)
    if "[Content_Types].xml" not in names or not any(n.startswith("xl/") for n in names):
        raise CellError("B191", f"{name} is a zip file but no workbook", "an .xlsx workbook", _ADVICE)


def _refuse_doctype(name: str, content: bytes) -> None:
    if any("<!DOCTYPE".encode(coding) in content for coding in ("ascii", "utf-16-le", "utf-16-be")):
        remedy = "No spreadsheet program writes this. Do not open the file; ask where it comes from."
        raise CellError("B198", f"a document type declaration in {show(name)}", "a plain workbook", remedy)


def _slim(archive: zipfile.ZipFile, data: bytes) -> Package:
    out = io.BytesIO()
    has_formulas, far, cells = False, [], 0
    links: list[str] = []
    content_types = archive.read("[Content_Types].xml")
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as slim:
        for entry in archive.infolist():
            name = entry.filename
            if not name.endswith((".xml", ".rels", ".vml")):
                continue
            content = archive.read(entry)
            _refuse_doctype(name, content)
            if re.fullmatch(r"xl/externalLinks/_rels/[^/]+\.rels", name):
                links += [t.decode("utf-8", "replace") for t in re.findall(rb'Target="([^"]*)"', content)]
            if _left_out(name):
                continue
            if b"sheetData" in content:
                has_formulas = has_formulas or _FORMULA.search(content) is not None
                content, last, last_full = prune_sheet(content)
                cells += len(_CELL.findall(content))
                if last > last_full + 1000:
                    far.append((name, last, last_full))
            _refuse_crowded(name, content, cells)
            slim.writestr(name, content)
    return Package(
        data=data,
        digest=hashlib.sha256(data).hexdigest(),
        slim=out.getvalue(),
        has_formulas=has_formulas,
        has_macros=b"macroEnabled" in content_types,
        linked_files=tuple(sorted(set(links))),
        far_rows=tuple(far),
    )


def _refuse_crowded(name: str, content: bytes, cells: int) -> None:
    texts = len(_TEXT.findall(content)) if name.endswith("sharedStrings.xml") else 0
    if cells > MAX_CELLS or texts > MAX_CELLS or (name.endswith("styles.xml") and len(content) > MAX_STYLES):
        found = f"more than {MAX_CELLS} filled cells, or formats without end, in {show(name)}"
        remedy = "Copy the rows of this site into a new blank workbook (binder new)."
        raise CellError("B197", found, f"up to {MAX_CELLS} filled cells", remedy)


_LEFT_OUT = (
    "xl/drawings/", "xl/charts/", "xl/media/", "xl/comments", "xl/tables/", "xl/pivot", "xl/worksheets/_rels/",
    "xl/chartsheets/", "xl/externalLinks/", "xl/threadedComments/", "xl/persons/", "xl/ctrlProps/", "customXml/",
)  # fmt: skip


def _left_out(name: str) -> bool:
    return name.startswith(_LEFT_OUT) or name.endswith(".vml")


def prune_sheet(content: bytes) -> tuple[bytes, int, int]:
    """Drop empty cells and rows, and all that follows the cells but the list of merges.

    Parameters
    ----------
    content : bytes
        A sheet part.

    Returns
    -------
    tuple
        The slimmer part, its last row before, and its last row with content.
    """
    before = _last_row(content)
    content = _EMPTY_ROW.sub(b"", _EMPTY_CELL.sub(b"", content))
    after = _AFTER_DATA.search(content)
    end = _END.search(content)
    if after is not None and end is not None:
        merges = _MERGES.search(content, after.end())
        content = content[: after.end()] + (merges.group() if merges else b"") + end.group()
    return content, before, _last_row(content)


def _last_row(content: bytes) -> int:
    start = max(content.rfind(b"<row "), content.rfind(b":row "), 0)
    match = _LAST_ROW.search(content, max(0, start - 40))
    return int(match[1]) if match else 0


def lock_holder(path: Path) -> str | None:
    """Return who has the workbook open, '' when that is not said, None when nobody has.

    Parameters
    ----------
    path : Path
        The workbook; the lock file that spreadsheet programs put beside it is looked for.
    """
    lock = path.with_name(f".~lock.{path.name}#")
    if lock.exists():
        try:
            fields = lock.read_text("utf-8", "replace")[:1000].split(",")
        except OSError:
            return ""
        fields = [*(f.strip() for f in fields), "", "", ""]
        return " on ".join(word for word in (fields[0] or fields[1], fields[2]) if word)
    other = path.with_name(f"~${path.name}")
    if other.exists():
        try:
            data = other.read_bytes()[:200]
        except OSError:
            return ""
        length = data[0] if data else 0
        return "".join(c for c in data[1 : 1 + length].decode("latin-1") if c.isprintable()).strip()
    return None
