"""Requirement to test to result: which line proves each setting, wire and permissive, and how it came out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from binder.field.bench import Bench, slug
from binder.field.sheets import TestLine, TraceRow


def trace(bench: Bench, lines: Sequence[TestLine]) -> tuple[TraceRow, ...]:
    """Join what a drive must do with the lines that prove it.

    Parameters
    ----------
    bench : Bench
    lines : sequence of TestLine
        Judged.

    Returns
    -------
    tuple of TraceRow
        Settings that differ from their default, then control wires, then permissives. A setting
        that no test proves is proved by reading back alone, line S2.
    """
    by_proof: dict[str, list[TestLine]] = {}
    for line in lines:
        for proof in line.proves:
            by_proof.setdefault(proof, []).append(line)
    read_back = [line for line in lines if line.id == "S2"]
    return (
        *_settings(bench, by_proof, read_back),
        *_wires(bench, by_proof),
        *_permissives(bench, lines),
    )


def result_of(lines: Iterable[TestLine]) -> str:
    """How a group of lines came out: 'fail', 'pass', 'open', or 'no test' when there is none.

    Examples
    --------
    >>> result_of([])
    'no test'
    """
    every = list(lines)
    if not every:
        return "no test"
    if any(line.verdict == "fail" for line in every):
        return "fail"
    return "pass" if all(line.done for line in every) else "open"


def _row(requirement: str, kind: str, lines: Sequence[TestLine]) -> TraceRow:
    return TraceRow(requirement, kind, tuple(line.id for line in lines), result_of(lines))


def _settings(bench: Bench, by_proof: dict[str, list[TestLine]], read_back: list[TestLine]) -> Iterator[TraceRow]:
    for row in bench.settings.rows:
        if not row.changed or row.function in ("access_code", "save_settings", "backup"):
            continue
        proving = by_proof.get(row.function, []) if row.function else []
        shown = row.required_text or row.required
        yield _row(f"{row.number} {row.name}: {shown}", "setting", [*read_back, *proving])


def _wires(bench: Bench, by_proof: dict[str, list[TestLine]]) -> Iterator[TraceRow]:
    for c in sorted(bench.wiring.connections, key=lambda c: c.id):
        number = f" (wire {c.potential})" if c.potential else ""
        yield _row(f"{c.a} to {c.b}{number}", "wire", by_proof.get(c.id, []))


def _permissives(bench: Bench, lines: Sequence[TestLine]) -> Iterator[TraceRow]:
    for name in bench.permissives:
        ends = f".{slug(name)}"
        proving = [line for line in lines if line.id.startswith("V3.") and line.id.endswith(ends)]
        yield _row(f"{name} stops the drive in every mode", "permissive", proving)
