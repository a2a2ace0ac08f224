"""All test sheets of a drive in the order that protects people first."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from binder.field import tests_dead, tests_live, tests_loaded
from binder.field.bench import Bench
from binder.field.sheets import TestSheet
from binder.field.tests_dead import Item

_DEAD = "Lock out, wait, prove dead, DC link below 50 V, before hands go in."


@dataclass(frozen=True, slots=True)
class Stage:
    """A stage of the work: letter of its lines, title, gate that it earns, cautions."""

    id: str
    title: str
    gate: str
    items: Callable[[Bench], Iterator[Item]]
    cautions: tuple[str, ...] = ()


#: In the order of the work. The letter is for good: readings refer to it.
STAGES: tuple[Stage, ...] = (
    Stage("D", "Delivery and storage", "may be energized", tests_dead.delivery),
    Stage("M", "Mechanical and place", "may be energized", tests_dead.mechanical, (_DEAD,)),
    Stage("W", "Power wiring, dead", "may be energized", tests_dead.power_wiring, (_DEAD,)),
    Stage("R", "Insulation and windings", "may be energized", tests_dead.windings, (
        _DEAD,
        "Disconnect first: drive output, filters, arresters, thermistors, encoder, brake rectifier, bypass, heater. "
        "Cap the drive's terminals. Never test through the drive.",
        "After the test: discharge to earth for four times the test time (from memory, check).",
    )),
    Stage("P", "Control wiring, point to point, dead", "may be energized", tests_dead.point_to_point, (_DEAD,)),
    Stage("E", "First energization", "may turn", tests_live.energize, (
        "Motor leads off, or coupling apart. Area clear, people told.",
        "Covers open and live: arc-flash label, rated meter, second person.",
    )),
    Stage("S", "Settings: write, read back", "may turn", tests_live.settings_back, (
        "A setting may start the motor. Enable open, or motor leads off.",
    )),
    Stage("V", "Controls, motor cannot turn", "may turn", tests_live.controls, (
        "Motor leads off, or enable open and locked out of reach.",
        "Operate the real switch at its real place. Do not tick from the drawing.",
    )),
    Stage("U", "Direction and uncoupled run", "may be loaded", tests_live.uncoupled, (
        "Coupling apart or belts off. Key and half coupling held. Stop within reach.",
        "Use a meter with low-pass filter on the drive output; others read 30 to 100 % high.",
    )),
    Stage("C", "Coupled run", "accepted", tests_loaded.coupled, ("Guards on. Process ready. Stop within reach.",)),
    Stage("T", "Trips", "accepted", tests_loaded.trips, (
        "Write every lowered value on the defeat list BEFORE lowering it.",
    )),
    Stage("L", "Loss of reference, network, supply", "accepted", tests_loaded.losses, (
        "The machine may stop hard, or start by itself. Clear it first.",
    )),
    Stage("F", "Safety function", "accepted", tests_loaded.safety, (
        "By a person competent in functional safety only. Safe torque off is no isolation: terminals stay live.",
    )),
    Stage("B", "Bypass", "accepted", tests_loaded.bypass, ("Full speed at once in bypass. Process ready for it.",)),
    Stage("Q", "Process control", "accepted", tests_loaded.process, ("Watch the process by gauge, not by the drive.",)),
    Stage("H", "Endurance and handover", "accepted", tests_loaded.endurance),
)  # fmt: skip


def test_sheets(bench: Bench) -> tuple[TestSheet, ...]:
    """Make every test sheet of a drive, blank.

    Parameters
    ----------
    bench : Bench

    Returns
    -------
    tuple of TestSheet
        A stage that does not apply is a sheet without lines that says why.
    """
    return tuple(_sheet(stage, tuple(stage.items(bench))) for stage in STAGES)


test_sheets.__test__ = False  # type: ignore[attr-defined]  # not a test case for pytest


def _sheet(stage: Stage, items: tuple[Item, ...]) -> TestSheet:
    return TestSheet(
        id=stage.id,
        title=stage.title,
        gate=stage.gate,
        cautions=stage.cautions if any(not isinstance(i, str) for i in items) else (),
        lines=tuple(i for i in items if not isinstance(i, str)),
        left_out=tuple(i for i in items if isinstance(i, str)),
    )
