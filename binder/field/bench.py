"""One drive with everything that its field sheets are made from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

from binder.engineering.figure import Figures, display
from binder.field.sheets import TestLine
from binder.inventory.lookup import (
    controls_of,
    machine_of,
    model_of,
    motor_of,
    networks_of,
    supply_of,
    terminals_of,
)
from binder.inventory.quantities import Measure
from binder.inventory.records import (
    Control,
    Drive,
    DriveModel,
    Inventory,
    Machine,
    ModelTerminal,
    Motor,
    NetworkNode,
    Supply,
)
from binder.settings.table import SettingRow, SettingsTable
from binder.wiring.connections import DriveTerminal, Wiring

PRACTICE = "common practice, no source"
MEMORY = "from memory, check"
ABSENT = "no such scheme in the inventory"


@dataclass(frozen=True)
class Bench:
    """One drive with its records, figures, wiring and settings."""

    inventory: Inventory
    drive: Drive
    figures: Figures
    wiring: Wiring
    settings: SettingsTable
    motor: Motor | None = None
    machine: Machine | None = None
    model: DriveModel | None = None
    supply: Supply | None = None
    controls: tuple[Control, ...] = field(default=())
    networks: tuple[NetworkNode, ...] = field(default=())
    terminals: tuple[ModelTerminal, ...] = field(default=())

    @property
    def iec(self) -> bool:
        """True when the Site sheet chooses the IEC basis."""
        return self.inventory.site.code_basis == "IEC"

    @property
    def isolator_word(self) -> str:
        """What the trade calls the switch that parts the drive from its supply."""
        return "isolator" if self.iec else "disconnect"

    @property
    def line_phases(self) -> tuple[int, ...]:
        """Conductors of the line that carry its voltage, by number."""
        one = (self.model is not None and self.model.input_phases == 1) or (
            self.supply is not None and self.supply.phases == 1
        )
        return (1, 2) if one else (1, 2, 3)

    @cached_property
    def schemes(self) -> frozenset[str]:
        """Control schemes in use."""
        return frozenset(self.wiring.schemes) | {c.scheme for c in self.controls}

    def control(self, scheme: str) -> Control | None:
        """The first control row of a scheme."""
        return next((c for c in self.controls if c.scheme == scheme), None)

    @cached_property
    def permissives(self) -> tuple[str, ...]:
        """Devices that may forbid running in any mode, in the order of the wiring."""
        return tuple(dict.fromkeys(p for mode in self.wiring.modes for p in mode.permissives))

    @cached_property
    def self_starts(self) -> tuple[str, ...]:
        """Events that may start the machine without anybody starting it."""
        causes = [h.cause for h in self.settings.hazards if h.starts == "yes"]
        causes += ["return of power"] if self.drive.restart_on_power_return else []
        causes += ["automatic reset"] if self.drive.automatic_resets else []
        return tuple(dict.fromkeys(causes))

    def terminal(self, role: str) -> str:
        """Printed number and label of the first terminal with a role, as '13 DI1'; '' when there is none."""
        for t in self.terminals:
            if t.role == role:
                return t.terminal if t.label in ("", t.terminal) else f"{t.terminal} {t.label}"
        return ""

    def terminals_for(self, *functions: str) -> Iterator[DriveTerminal]:
        """This drive's terminals that carry one of the functions, in the order of the strip."""
        return (t for t in self.wiring.terminals if t.function in functions)

    def setting(self, function: str, applies_to: str = "") -> SettingRow | None:
        """The setting with a function; with `applies_to` '' the first one of that function serves too."""
        row = self.settings.required(function, applies_to)
        if row is None and not applies_to:
            every = (*self.settings.rows, *self.settings.untouched)
            row = next((r for r in every if r.function == function), None)
        return row

    def setting_words(self, function: str, applies_to: str = "") -> str:
        """Required value of a setting in words, '' when the drive has no such setting."""
        row = self.setting(function, applies_to)
        return "" if row is None else row.required_text or row.required

    def setting_number(self, function: str, applies_to: str = "") -> str:
        """Number of the setting with a function, '' when there is none."""
        row = self.setting(function, applies_to)
        return "" if row is None else row.number

    @cached_property
    def running_hz(self) -> tuple[float | None, float | None]:
        """Minimum and maximum frequency: drive's row, else the motor's plate for the maximum."""
        top = self.drive.max_frequency or (self.motor.frequency if self.motor else None)
        return plain(self.drive.min_frequency, "Hz"), plain(top, "Hz")


def bench(inventory: Inventory, drive: Drive, figures: Figures, wiring: Wiring, settings: SettingsTable) -> Bench:
    """Lay out everything that belongs to a drive.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
    figures : Figures
    wiring : Wiring
    settings : SettingsTable

    Returns
    -------
    Bench
    """
    model = model_of(inventory, drive)
    return Bench(
        inventory=inventory,
        drive=drive,
        figures=figures,
        wiring=wiring,
        settings=settings,
        motor=motor_of(inventory, drive),
        machine=machine_of(inventory, drive),
        model=model,
        supply=supply_of(inventory, drive),
        controls=controls_of(inventory, drive),
        networks=networks_of(inventory, drive),
        terminals=terminals_of(inventory, model),
    )


def plain(value: Measure | None, unit: str) -> float | None:
    """The number of a measure in a unit, or None when the cell was blank."""
    return None if value is None else value.to(unit)


def between(low: float | None, high: float | None, unit: str) -> str:
    """A numeric limit in words.

    Examples
    --------
    >>> between(432, 528, "V"), between(None, 5, "%"), between(5, None, "MΩ"), between(None, None, "V")
    ('432 to 528 V', '<= 5 %', '>= 5 MΩ', '')
    """
    if low is not None and high is not None:
        return f"{display(low)} to {display(high)} {unit}".strip()
    if high is not None:
        return f"<= {display(high)} {unit}".strip()
    return f">= {display(low)} {unit}".strip() if low is not None else ""


def check(  # noqa: PLR0913 - one keyword a column of the sheet
    id: str,  # noqa: A002 - the word printed on the sheet
    what: str,
    expected: str,
    *,
    condition: str = "",
    limit: str = "yes",
    source: str = PRACTICE,
    severity: str = "B",
    proves: tuple[str, ...] = (),
    defeat: str = "",
) -> TestLine:
    """A line answered with done or not done."""
    return TestLine(
        id, what, condition, expected, limit, source, kind="check", severity=severity, proves=proves, defeat=defeat
    )


class _NotAsked:
    """Stands for a limit that a line does not have by design, other than one that could not be worked out."""


_NOT_ASKED = _NotAsked()
NO_LIMIT = "none: data not in the inventory"


def measured(  # noqa: PLR0913 - one keyword a column of the sheet
    id: str,  # noqa: A002
    what: str,
    unit: str,
    *,
    low: float | _NotAsked | None = _NOT_ASKED,
    high: float | _NotAsked | None = _NOT_ASKED,
    condition: str = "",
    expected: str = "",
    limit: str = "",
    source: str = PRACTICE,
    severity: str = "B",
    why: str = "",
    kind: str = "",
    proves: tuple[str, ...] = (),
    defeat: str = "",
    optional: bool = False,
) -> TestLine:
    """A line answered with a number; without `low` and `high` it is only recorded.

    A limit that was asked for but is None could not be worked out: the line says so.
    """
    asked = not (isinstance(low, _NotAsked) and isinstance(high, _NotAsked))
    least = None if isinstance(low, _NotAsked) else low
    most = None if isinstance(high, _NotAsked) else high
    bare = least is None and most is None
    words = between(least, most, unit) if not bare else NO_LIMIT if asked else "record"
    return TestLine(
        id=id,
        what=what,
        condition=condition,
        expected=expected,
        limit=NO_LIMIT if asked and bare else limit or words,
        source=source,
        unit=unit,
        low=least,
        high=most,
        why=why,
        kind=kind or ("record" if bare else "measure"),
        severity=severity,
        proves=proves,
        defeat=defeat,
        optional=optional,
    )


def slug(text: str) -> str:
    """Words as part of a line's id: letters, digits and a few signs, no blanks.

    Examples
    --------
    >>> slug("S1 in HAND")
    'S1-in-HAND'
    """
    return "-".join("".join(c if c.isalnum() or c in "+:_/." else " " for c in text).split())
