"""Requirement, test, result: in full on each packet, and summed up for handover."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby

from docutils import nodes

from binder.documents.blocks import Cell, Column, Row, data_table, paragraph, section
from binder.field.sheets import TraceRow
from binder.inventory.counting import counted
from binder.study import DriveStudy, SiteStudy

#: Kinds of requirements in the order of the pages, and what they are called there.
KINDS: Mapping[str, str] = {
    "setting": "Settings that differ from their default",
    "wire": "Control wires, point to point",
    "permissive": "Permissives, in every mode",
}
#: What all wires of a drive are called together.
WIRES = "wire by wire"
_RESULTS = ("pass", "fail", "open", "no test")
_TONES = {"fail": "stop", "no test": "caution"}


def _sampling(rule: str) -> str:
    """How much is tested, and how much of it is seen by a witness."""
    seen = rule.rstrip(".") or "none in the inventory, agree one before the tests begin"
    return (
        "The contractor samples nothing: each requirement is tested on each drive. Sampling rule of the witness: "
        f"{seen}. What was seen is named in the remark of the reading."
    )


def trace_section(study: DriveStudy, sampling_rule: str = "") -> nodes.section:
    """What this drive must do, which lines prove it, and how they came out.

    Parameters
    ----------
    study : DriveStudy
        Its wires are counted: each one is a line of its own on the sheet of point-to-point checks.
    sampling_rule : str
        How many tests a witness sees, as on the Site sheet.
    """
    rows: list[Row] = []
    trace = study.field.trace
    for kind in KINDS:
        of_kind = [t for t in trace if t.kind == kind]
        if not of_kind:
            continue
        rows.append(Row((KINDS[kind],), key=f"group-{kind}", kind="group"))
        rows += [_row(t) for t in shown_rows(of_kind)]
        if kind == "wire":
            words = f"{counted(len(of_kind), 'wire')}, each on sheet P"
            told = (words, "its own line", counts_text(of_kind))
            rows.append(Row(told, key="wires", shows=(f"requirement {WIRES}",)))
    columns = (Column("Requirement", 3.2, header=True), Column("Proved by line", 3), Column("Result", 1.2))
    body = data_table(columns, rows, filter=False) if rows else paragraph("No requirement could be derived.")
    return section("Requirement, test, result", paragraph(_sampling(sampling_rule)), body, id="trace")


def shown_rows(trace: Iterable[TraceRow]) -> Iterator[TraceRow]:
    """Those with a row of their own: of the wires, which have a sheet, those alone that fail or that no line proves."""
    yield from (t for t in trace if t.kind != "wire" or t.result in _TONES)


def _row(row: TraceRow) -> Row:
    cells = (row.requirement, "; ".join(short_lines(row.lines)) or "no line", _result(row.result))
    return Row(cells, key=f"{row.kind} {row.requirement}", tone=_TONES.get(row.result, ""))


def _result(result: str) -> str | Cell:
    return Cell("", mark=result) if result in ("pass", "fail") else Cell(result, bold=result == "no test")


def short_lines(lines: Sequence[str]) -> Iterator[str]:
    """Line ids, those of one sweep and quantity drawn together.

    Examples
    --------
    >>> list(short_lines(["S2", "C3.POT.0.HZ", "C3.POT.25.HZ", "C3.POT.0.U", "V2"]))
    ['S2', 'C3.POT, 2 points: HZ', 'C3.POT, 1 point: U', 'V2']
    """
    for (stem, quantity), group in groupby(sorted(lines, key=lambda i: _place(lines, i)), key=_sweep):
        ids = list(group)
        if not quantity:
            yield from ids
        else:
            yield f"{stem}, {len(ids)} point{'s' if len(ids) > 1 else ''}: {quantity}"


def _place(lines: Sequence[str], line: str) -> int:
    """Where the first line of the same sweep and quantity stands."""
    return next(n for n, other in enumerate(lines) if _sweep(other) == _sweep(line))


def _sweep(line: str) -> tuple[str, str]:
    """(sweep, quantity) of a sweep line, (the line, '') of any other."""
    parts = line.split(".")
    return (".".join(parts[:-2]), parts[-1]) if line.startswith("C3.") and len(parts) >= 4 else (line, "")


def _counts(rows: Iterable[TraceRow]) -> dict[str, int]:
    results = [r.result for r in rows]
    return {name: results.count(name) for name in _RESULTS}


def counts_text(rows: Iterable[TraceRow]) -> str:
    """How many came out how."""
    return ", ".join(f"{count} {name}" for name, count in _counts(rows).items() if count)


def site_trace_section(study: SiteStudy, packets: Mapping[str, str]) -> nodes.section:
    """The matrix for handover: per drive and kind how many requirements are proved, and those that are not.

    Parameters
    ----------
    study : SiteStudy
    packets : mapping of str to str
        Drive tag -> number of its packet, where the matrix stands line by line.
    """
    columns = (
        Column("Drive", 1, kind="code", header=True),
        Column("Requirements", 2.4),
        *(Column(name.capitalize(), 0.7, kind="number") for name in _RESULTS),
        Column("First that fails, or that no line proves", 3.4),
    )
    rows: list[Row] = []
    for drive in study.drives:
        tag = drive.drive.tag
        name = Cell(tag, document=packets.get(tag, ""), anchor="trace")
        for kind, words in KINDS.items():
            of_kind = [t for t in drive.field.trace if t.kind == kind]
            if of_kind:
                counts = _counts(of_kind)
                numbers = tuple(str(counts[r]) if counts[r] else "" for r in _RESULTS)
                bad = next((t for t in of_kind if t.result in _TONES), None)
                first = f"{bad.requirement}: {'; '.join(short_lines(bad.lines)) or 'no line'}" if bad else ""
                tone = _TONES[bad.result] if bad else ""
                rows.append(Row((name, words, *numbers, first), key=f"{tag} {kind}", tone=tone))
    intro = paragraph(
        "Each requirement with its lines stands in the drive's packet. ", _sampling(study.inventory.site.sampling_rule)
    )
    body = data_table(columns, rows, id="site-trace") if rows else paragraph("No requirement could be derived.")
    return section("Requirement, test, result", intro, body, id="trace")
