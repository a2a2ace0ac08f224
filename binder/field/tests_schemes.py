"""Test lines that single control schemes ask for, beyond the volts at their terminals."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from binder.field.bench import ABSENT, MEMORY, PRACTICE, Bench, check
from binder.field.tests_dead import Item


@dataclass(frozen=True, slots=True)
class SchemeTest:
    """One line that a scheme brings onto a sheet. The id is for good: readings refer to it."""

    id: str
    scheme: str
    what: str
    expected: str
    condition: str = ""
    source: str = PRACTICE
    severity: str = "B"
    proves: tuple[str, ...] = ()


#: Sheet V: the motor cannot turn yet.
CONTROLS: tuple[SchemeTest, ...] = (
    SchemeTest(
        "V10", "increase-decrease", "Increase held 10 s, decrease held 10 s, both together",
        "ten times the set rate up and down; both together: no change", "watch the drive's reference monitor",
    ),
    SchemeTest(
        "V11", "fire mode", "Fire or smoke mode, from the real panel, in every mode of the selector",
        "runs as the authority's written decision says; what it overrides is written down",
        "with the authority; people warned", "written decision of the authority", "A",
    ),
    SchemeTest(
        "V12", "second set select", "Second set: called while stopped, then with the run command on",
        "each set reads back as required; no change over while running", proves=("set_select",),
    ),
    SchemeTest(
        "V13", "external 24 V", "Line locked off, external 24 V on; then the 24 V off with the run command on",
        "control and network stay alive, label 'live with the line off' fitted; without 24 V the drive stops",
        severity="A",
    ),
    SchemeTest(
        "V14", "space heater", "Motor space heater: amperes stopped, and with the run relay forced",
        "on when stopped, off when running",
    ),
    SchemeTest(
        "V15", "interposing relay", "Interposing relays: command off at the far end of the whole run",
        "each relay drops at once", "a long AC run can hold a coil in",
    ),
    SchemeTest(
        "V16", "pulse reference", "Pulse reference at zero, half and full frequency",
        "the drive's monitor shows 0, 50 and 100 % ±1 %", "from the real sender or a generator",
        proves=("reference_source",),
    ),
)  # fmt: skip

#: Sheet U: the motor turns alone.
UNCOUPLED: tuple[SchemeTest, ...] = (
    SchemeTest(
        "U7", "encoder", "Encoder: shaft turned by hand, then 5 Hz",
        "sign as the arrow; monitor equals the tachometer within 1 %",
        "A and B exchanged: full current at crawling speed; stop at once", severity="A", proves=("control_mode",),
    ),
)  # fmt: skip

#: Sheet T: trips.
TRIPS: tuple[SchemeTest, ...] = (
    SchemeTest(
        "T15", "several motors", "Overload relay of each motor: set value, then its test button",
        "plate current of its own motor; all motors stop", severity="A",
    ),
)  # fmt: skip

#: Sheet Q: what several drives do together.
PROCESS: tuple[SchemeTest, ...] = (
    SchemeTest(
        "Q6", "lead-lag", "Lead at full demand, then demand taken away",
        "the partner starts and stops at the agreed thresholds and delays, on proof of running",
    ),
    SchemeTest(
        "Q7", "lead-lag", "Lead failed on purpose; one drive in hand; rotation called",
        "the partner takes over in the agreed time; nothing turns backward", severity="A",
        source=f"common practice; check valves hold, {MEMORY}",
    ),
)  # fmt: skip


def scheme_lines(bench: Bench, tests: tuple[SchemeTest, ...]) -> Iterator[Item]:
    """Yield the lines of the schemes in use, then those left out in one sentence.

    Parameters
    ----------
    bench : Bench
    tests : tuple of SchemeTest
        Those of one sheet.

    Yields
    ------
    TestLine or str
    """
    for t in tests:
        if t.scheme in bench.schemes:
            yield check(
                t.id, t.what, t.expected, condition=t.condition, source=t.source, severity=t.severity, proves=t.proves
            )
    absent = [f"{t.id} {t.scheme}" for t in tests if t.scheme not in bench.schemes]
    if absent:
        yield f"{', '.join(absent)}: {ABSENT}"
