"""Workbooks damaged as people and programs damage them: values, rows, headings, sheets, bytes; alike for a seed."""

from __future__ import annotations

import datetime as dt
import random
import struct
import zipfile
from collections.abc import Callable
from functools import lru_cache
from io import BytesIO
from typing import Any

from small_site import Rows, drives, one_drive, workbook_bytes

from binder.inventory.columns import SHEETS

#: Cells that mean nothing, too much, or harm.
ODD: tuple[Any, ...] = (
    "", " ", "?", "n/a", "-", "tbd", "see plate", "0", "-1", "1e999", "-0", "nan", "inf", "1/0 hp", "½", "7,5",
    "7.5.1", "1.234.567,8", "0x10", "٣٫٥", "５", "5 furlong", "400 V AC 3~", "12 kA at 415 V", "10-20", "10 to 5",
    "1 %", "200 %", "=1+1", "=HYPERLINK(\"x\")", "@SUM(A1)", "+1", "#REF!", "'quoted", "a;b;;c", ";", ",",
    "yes", "no", "x", "TRUE", "2026-02-30", "31/12/2026", "1900-01-00", "../../etc/passwd",
    "C:\\new\\table.png", "CON", "a/b\\c:d*e?f|g",
    "<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "#eval(\"1\")", "`role`:x: **b**", "{{7*7}} %s {0}",
    "\u202etxt.exe", "\u200b", "\ufeff", "\u2028line", "\x85", "e\u0301\u0301\u0301", "泵房", "🚰", "_x0041_",
    "_x0000_",    "line\nbreak", "tab\there", "x" * 300, "W" * 32767, "-K1", "QF1:13/14", "VFD-1 VFD-2",
    0, -1, 1, 2, 3, 0.1, 1e-300, 1e308, -5.5, 10**15, True, False, dt.datetime(2026, 5, 4, 12), dt.date(9999, 12, 31),
    dt.date(1900, 1, 1), dt.time(3, 4), dt.timedelta(days=400),
)  # fmt: skip

_CHOICES = {
    (sheet.name, column.title): column.choices for sheet in SHEETS for column in sheet.columns if column.choices
}


@lru_cache(maxsize=1)
def _pool() -> dict[tuple[str, str], tuple[Any, ...]]:
    """Every value that some drive of the demo has under a heading, and every legal choice."""
    found: dict[tuple[str, str], dict[str, Any]] = {}
    for tag in drives():
        for sheet, (heads, *rows) in one_drive(tag).items():
            for i, head in enumerate(heads):
                values = found.setdefault((sheet, str(head)), {})
                values.update({repr(r[i]): r[i] for r in rows if i < len(r) and r[i] is not None})
    pool = {}
    for (sheet, head), values in found.items():
        choices = _CHOICES.get((sheet, head.removesuffix(" *").partition(" [")[0]), ())
        pool[sheet, head] = (*(v for _, v in sorted(values.items())), *choices)
    return pool


def _place(rng: random.Random, rows: Rows) -> tuple[str, list[Any], int] | None:
    """A cell below the headings, more often one of the sheets that decide much."""
    weighty = [s for s in ("Drives", "Motors", "Models", "Controls", "Cables", "Site", "Supplies") if s in rows]
    names = weighty if weighty and rng.random() < 0.6 else sorted(rows)
    lines = rows[rng.choice(names)] if names else []
    if len(lines) < 2 or not lines[0]:
        return None
    sheet = next(name for name, found in rows.items() if found is lines)
    line = rng.choice(lines[1:])
    index = rng.randrange(len(lines[0]))
    line.extend([None] * (index + 1 - len(line)))
    return sheet, line, index


def _odd_cell(rng: random.Random, rows: Rows) -> None:
    if found := _place(rng, rows):
        found[1][found[2]] = rng.choice(ODD)


def _legal_cell(rng: random.Random, rows: Rows) -> None:
    """Another value that is legal under this heading: the damage that no check can see."""
    if found := _place(rng, rows):
        sheet, line, index = found
        values = _pool().get((sheet, str(rows[sheet][0][index])), ())
        if sheet == "Site":
            values = next((_CHOICES[k] for k in _CHOICES if k[0] == "Site" and str(line[0]).startswith(k[1])), ())
            index = 1
        if values:
            line[index] = rng.choice(values)


def _blank_cell(rng: random.Random, rows: Rows) -> None:
    if found := _place(rng, rows):
        found[1][found[2]] = None


def _scaled_cell(rng: random.Random, rows: Rows) -> None:
    """A slipped decimal point, or a sign."""
    if found := _place(rng, rows):
        text = str(found[1][found[2]])
        number, _, unit = text.partition(" ")
        try:
            value = float(number) * rng.choice((10, 0.1, 1000, 1e-6, 1e6, -1, 0))
        except ValueError:
            return
        found[1][found[2]] = f"{value:g} {unit}".strip()


def _typo(rng: random.Random, rows: Rows) -> None:
    if found := _place(rng, rows):
        text = str(found[1][found[2]] or "")
        at = rng.randrange(len(text) + 1)
        found[1][found[2]] = text[:at] + rng.choice(("", "x", " ", "9", "-", "é")) + text[at + rng.choice((0, 1)) :]


def _swapped_cells(rng: random.Random, rows: Rows) -> None:
    one, other = _place(rng, rows), _place(rng, rows)
    if one and other:
        one[1][one[2]], other[1][other[2]] = other[1][other[2]], one[1][one[2]]


def _sheet(rng: random.Random, rows: Rows) -> str:
    return rng.choice(sorted(rows))


def _row_gone(rng: random.Random, rows: Rows) -> None:
    lines = rows[_sheet(rng, rows)]
    if lines:
        lines.pop(rng.randrange(len(lines)))


def _row_twice(rng: random.Random, rows: Rows) -> None:
    lines = rows[_sheet(rng, rows)]
    if lines:
        lines.insert(rng.randrange(len(lines)), list(rng.choice(lines)))


def _column_gone(rng: random.Random, rows: Rows) -> None:
    lines = rows[_sheet(rng, rows)]
    if lines and lines[0]:
        index = rng.randrange(len(lines[0]))
        for line in lines:
            del line[index : index + 1]


def _column_twice(rng: random.Random, rows: Rows) -> None:
    lines = rows[_sheet(rng, rows)]
    if lines and lines[0]:
        index = rng.randrange(len(lines[0]))
        for line in lines:
            line.append(line[index] if index < len(line) else None)


def _heading(rng: random.Random, rows: Rows) -> None:
    lines = rows[_sheet(rng, rows)]
    if lines and lines[0]:
        lines[0][rng.randrange(len(lines[0]))] = rng.choice(("", "Remark", "Value", "??", "Drive *", "Tag", 7, None))


def _shuffled(rng: random.Random, rows: Rows) -> None:
    lines = rows[_sheet(rng, rows)]
    tail = lines[1:]
    rng.shuffle(tail)
    lines[1:] = tail


def _sheet_gone(rng: random.Random, rows: Rows) -> None:
    if len(rows) > 2:
        del rows[_sheet(rng, rows)]


def _sheet_renamed(rng: random.Random, rows: Rows) -> None:
    name = _sheet(rng, rows)
    new = rng.choice((name.lower(), name[:-1] or "x", name + "s", "Sheet1"))
    if new not in rows and new.casefold() not in {n.casefold() for n in rows if n != name}:
        rows[new] = rows.pop(name)


def _rows_moved(rng: random.Random, rows: Rows) -> None:
    """Rows pasted into the wrong sheet."""
    one, other = _sheet(rng, rows), _sheet(rng, rows)
    rows[other] = rows[other] + [list(r) for r in rows[one][1:]]


_GENTLE: tuple[Callable[[random.Random, Rows], None], ...] = (
    _legal_cell, _legal_cell, _legal_cell, _odd_cell, _odd_cell, _blank_cell, _scaled_cell, _typo, _swapped_cells,
)  # fmt: skip
_ROUGH: tuple[Callable[[random.Random, Rows], None], ...] = (
    _row_gone, _row_twice, _column_gone, _column_twice, _heading, _shuffled, _sheet_gone, _sheet_renamed, _rows_moved,
)  # fmt: skip


def mutant(seed: int) -> bytes:
    """The damaged workbook of this seed."""
    rng = random.Random(seed)
    rows = one_drive(drives()[seed % len(drives())])
    for _ in range(rng.choice((1, 1, 2, 3, 5, 8, 13))):
        rng.choice(_GENTLE if rng.random() < 0.8 else _ROUGH)(rng, rows)
    data = workbook_bytes(rows)
    if rng.random() < 0.08:
        return _formulas(rng, data)
    if rng.random() < 0.05:
        return _bytes(rng, data)
    return data


def _formulas(rng: random.Random, data: bytes) -> bytes:
    """Some cells become formulas, with a result, an error or nothing kept."""
    out = BytesIO()
    with zipfile.ZipFile(BytesIO(data)) as source, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        for entry in source.infolist():
            content = source.read(entry)
            if entry.filename.startswith("xl/worksheets/"):
                for _ in range(3):
                    kept = rng.choice((b"<v>3</v>", b"", b"<v>#REF!</v>"))
                    found = content.find(b"<v>", rng.randrange(max(1, len(content))))
                    end = content.find(b"</v>", found)
                    if 0 <= found < end:
                        content = content[:found] + b"<f>A1*2</f>" + kept + content[end + 4 :]
            target.writestr(entry.filename, content)
    return out.getvalue()


def _bytes(rng: random.Random, data: bytes) -> bytes:
    """Single bytes turned, inside a part or anywhere in the file."""
    if rng.random() < 0.5:
        spoilt = bytearray(data)
        for _ in range(rng.choice((1, 4, 30))):
            spoilt[rng.randrange(len(spoilt))] = rng.randrange(256)
        return bytes(spoilt[: rng.choice((len(spoilt), len(spoilt), rng.randrange(1, len(spoilt))))])
    out = BytesIO()
    with zipfile.ZipFile(BytesIO(data)) as source, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        spoilt_part = rng.choice(source.namelist())
        for entry in source.infolist():
            content = bytearray(source.read(entry))
            if entry.filename == spoilt_part and content:
                for _ in range(rng.choice((1, 3, 10))):
                    content[rng.randrange(len(content))] = struct.pack("B", rng.randrange(256))[0]
            target.writestr(entry.filename, bytes(content))
    return out.getvalue()
