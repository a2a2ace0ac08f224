"""Any table of random cells gives records or findings, never a traceback."""

from __future__ import annotations

import datetime as dt
import io
import random
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from binder.inventory.cells import Cell, Context, read_cell
from binder.inventory.cleaning import CellError
from binder.inventory.codes import CODES
from binder.inventory.columns import SHEETS, Column
from binder.inventory.findings import Finding
from binder.inventory.grammar import parse_measure
from binder.inventory.kinds import FAMILIES, KINDS
from binder.inventory.plain_zip import same_bytes
from binder.inventory.reader import read_workbook
from binder.inventory.records import Inventory

COLUMNS = [c for sheet in SHEETS for c in sheet.columns]
UNITS = [w for table in FAMILIES.values() for unit, others in table.items() for w in (unit, *others)]
WORDS = "1 0 12 460 1,800 1.5 - / ½ , . % ' = * x e TBD yes Drive all ; P-1 Р ² ± ( ) =1+1 # ° AWG 😀"
PIECES = [*WORDS.split(), " ", '"', "\n", "\u200b", "\u202e", "\x07"]

texts = st.one_of(st.text(max_size=40), st.lists(st.sampled_from(PIECES + UNITS), max_size=6).map("".join))
values = st.one_of(
    st.none(),
    texts,
    st.integers(-(10**18), 10**18),
    st.floats(allow_nan=True, allow_infinity=True),
    st.booleans(),
    st.datetimes(dt.datetime(1900, 3, 1), dt.datetime(9999, 1, 1)),
    st.times(),
    st.timedeltas(),
)
formats = st.sampled_from(["General", "@", "0.0", "0%", "yyyy-mm-dd", "000", '0" V"'])


@settings(deadline=None, max_examples=600, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(COLUMNS), values, formats, st.sampled_from(["", ".", ","]))
def test_any_cell_gives_a_value_or_one_reason(column: Column, value: Any, number_format: str, mark: str) -> None:
    context = Context(mark, column.unit)
    try:
        read_cell(Cell("A1", value, number_format), column, context)
    except CellError as error:
        assert error.code in CODES
        assert error.remedy
        assert "\x07" not in error.found
        assert "\u202e" not in error.found
        assert len(error.found) < 400


@settings(deadline=None, max_examples=400)
@given(
    st.decimals("0.001", "99999", places=3), st.sampled_from(["", ".", ","]), st.sampled_from(sorted(FAMILIES["power"]))
)
def test_a_number_is_never_read_as_another(number: Any, mark: str, unit: str) -> None:
    for text in (f"{number}", f"{number}".replace(".", ",")):
        try:
            read = parse_measure(f"{text} {unit}", KINDS["power"], unit="kW", decimal_mark=mark)
        except CellError as error:
            assert error.code == "B101"
            continue
        # Three figures after a mark may be thousands where the other mark is declared, never anything else.
        assert read.amount == number or (mark and mark not in text and read.amount == number * 1000)
        assert read.unit == unit


def random_workbook(rng: random.Random) -> bytes:
    book = Workbook()
    book.remove(book.worksheets[0])
    for sheet in rng.sample(SHEETS, rng.randint(1, 6)):
        ws = book.create_sheet(rng.choice([sheet.name, sheet.name.upper(), f" {sheet.name} "]))
        if sheet.vertical:
            for column in rng.sample(sheet.columns, rng.randint(1, 8)):
                ws.append([column.header, random_value(rng)])
            continue
        headings = [rng.choice([c.header, c.title, f"{c.header} *", *c.aliases]) for c in sheet.columns]
        headings = rng.sample(headings, rng.randint(1, len(headings)))
        ws.append([*headings, rng.choice(["Row key (do not edit)", "Mine", "Drive", ""])])
        for _ in range(rng.randint(0, 6)):
            row = [random_value(rng) for _ in headings]
            ws.append(row)
        if rng.random() < 0.1:
            ws.merge_cells(start_row=2, start_column=1, end_row=3, end_column=1)
        if rng.random() < 0.1:
            ws.row_dimensions[2].hidden = True
    out = io.BytesIO()
    book.save(out)
    return same_bytes(out.getvalue())


def random_value(rng: random.Random) -> Any:
    kind = rng.randrange(9)
    if kind < 3:
        return None
    if kind < 6:
        pieces = [p for p in PIECES if p not in {"\x07"}] + UNITS
        return "".join(rng.choice(pieces) for _ in range(rng.randint(0, 4)))
    return rng.choice([rng.randint(-5, 60000), rng.uniform(-1e3, 1e3), True, dt.datetime(2026, 1, rng.randint(1, 28)),
                       dt.time(3, 30), dt.timedelta(hours=rng.randint(1, 300)), "=A1+1", "#N/A"])  # fmt: skip


def check(path: Path, data: bytes) -> None:
    path.write_bytes(data)
    inventory = read_workbook(path)
    assert isinstance(inventory, Inventory)
    for finding in inventory.findings:
        assert isinstance(finding, Finding)
        assert finding.code in CODES
        assert finding.sheet
        assert finding.grade != "stop" or finding.remedy


def test_random_workbooks_give_records_or_findings(tmp_path: Path) -> None:
    rng = random.Random(1)
    for _ in range(40):
        check(tmp_path / "inventory.xlsx", random_workbook(rng))


@pytest.mark.slow
def test_ten_thousand_random_workbooks(tmp_path: Path) -> None:
    rng = random.Random(2)
    for _ in range(10_000):
        check(tmp_path / "inventory.xlsx", random_workbook(rng))
