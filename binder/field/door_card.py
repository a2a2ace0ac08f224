"""The door card: one sheet behind the panel door, enough for 2 am."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from binder.engineering.figure import display
from binder.field.bench import Bench
from binder.field.energies import STORED_CHARGE, has_bypass
from binder.field.faults import monitors
from binder.field.sheets import CodeMeaning, DoorCard, FaultPage, LockoutCard, Sweep
from binder.inventory.lookup import spares_of

_FAULTS = 6
_CHECKS = 1  # of each fault, and one more of the first; all of them stand on the fault pages
_SPEEDS = (50.0, 75.0, 100.0)


def door_card(
    bench: Bench,
    lockout: LockoutCard,
    sweeps: Sequence[Sweep],
    faults: Sequence[FaultPage],
    codes: Sequence[CodeMeaning] = (),
    *,
    backed_up: bool = False,
) -> DoorCard:
    """Draw up the door card of a drive.

    Parameters
    ----------
    bench : Bench
    lockout : LockoutCard
    sweeps : sequence of Sweep
        Judged; the first one with readings gives the baseline.
    faults : sequence of FaultPage
    codes : sequence of CodeMeaning
    backed_up : bool
        The test line of the backup has passed.

    Returns
    -------
    DoorCard
        `document` is left to whoever numbers the documents.
    """
    drive = bench.drive
    minutes = "minutes on the label" if lockout.wait_minutes is None else f"{display(lockout.wait_minutes)} min"
    changed = [r for r in bench.settings.rows if r.changed and r.function != "access_code"]
    return DoorCard(
        drive=drive.tag,
        feeds=drive.feeds,
        isolators=tuple(
            f"{s.energy}: {s.isolator}{', ' + s.place if s.place else ''}"
            for s in lockout.sources
            if s.kind != STORED_CHARGE  # nothing cuts it: that is what the wait is for
        ),
        wait=f"Wait {minutes}, then measure: below 50 V DC",
        test_points=lockout.test_points,
        modes=tuple((m.name, m.command_owner, m.reference_owner, m.selected_by) for m in bench.wiring.modes),
        settings=tuple((r.number, r.name, f"{r.required} {r.unit}".strip()) for r in changed),
        baseline=_baseline(sweeps),
        monitors=monitors(bench),
        faults=tuple(_shortened(bench, page, _CHECKS + (n == 0)) for n, page in enumerate(faults[:_FAULTS])),
        spare=_spares(bench),
        contacts=_contacts(bench),
        cautions=_cautions(bench),
        backup=drive.backup_file or ("made, but the inventory names no file" if backed_up else ""),
        codes=tuple(codes),
    )


def _baseline(sweeps: Sequence[Sweep]) -> tuple[tuple[str, str, str, str], ...]:
    """Speed, frequency, expected and read amperes at three speeds."""
    if not sweeps:
        return ()
    read = [s for s in sweeps if any(line.reading for p in s.points for line in p.lines)]
    rows = []
    for point in (read or list(sweeps))[0].points:
        if point.percent not in _SPEEDS:
            continue
        low, high = point.current_low_a, point.current_high_a
        band = "" if low is None or high is None else f"{display(low)} to {display(high)} A"
        amps = [line.reading for line in point.lines if line.id.rsplit(".", 1)[-1] in ("U", "V", "W") and line.reading]
        rows.append((f"{point.percent:g} %", f"{point.frequency_hz:.1f} Hz", band, " / ".join(amps)))
    return tuple(rows)


def _shortened(bench: Bench, page: FaultPage, count: int) -> FaultPage:
    """The checks that a meter answers at this drive's own terminals; where there are none, the first ones."""
    told = [c for c in page.checks if not c.check.startswith("Who ")]
    measured = [c for c in told if f" at {bench.wiring.designation}:" in c.check]
    chosen = [*measured, *(c for c in told if c not in measured)][:count]
    return replace(page, checks=tuple(sorted(chosen, key=lambda c: c.order)))


def _spares(bench: Bench) -> tuple[str, ...]:
    return tuple(
        f"{s.quantity if s.quantity is not None else '?'} x {s.part}{', ' + s.place if s.place else ''}"
        for s in spares_of(bench.inventory, bench.drive)
    )


def _contacts(bench: Bench) -> tuple[str, ...]:
    site = bench.inventory.site
    people = [f"{p.name}, {p.role}: {p.telephone}" for p in bench.inventory.people if p.telephone]
    return tuple([f"Emergency: {site.emergency_number}"] if site.emergency_number else []) + tuple(people[:4])


def _cautions(bench: Bench) -> tuple[str, ...]:
    found = ["Lock out before opening. Charge stays after switching off."]
    if bench.self_starts:
        found.append(f"May start by itself: {', '.join(bench.self_starts)}.")
    if has_bypass(bench):
        found.append("Bypass: stop first, then switch over. The motor then runs at full speed at once, past the drive.")
    if bench.motor is not None and bench.motor.permanent_magnet:
        found.append("Turning shaft makes voltage at the motor terminals.")
    return tuple(found)
