"""The settings table of one drive: what must be written, in which order, and why."""

from __future__ import annotations

from dataclasses import dataclass

from binder.inventory.findings import Finding


@dataclass(frozen=True, slots=True)
class SettingRow:
    """One line a person writes at the keypad."""

    step: int  # writing order, from 1; 0 for settings left at default
    number: str
    name: str  # in the manual's words
    group: str
    function: str  # key of functions.FUNCTIONS, '' when not known to the tool
    applies_to: str
    unit: str
    default: str  # display value
    required: str  # display value, exactly as the keypad shows it
    required_text: str  # in words, for choices
    reason: str  # why this value
    source: str  # 'plate', 'figure motor.slip', 'wiring', 'override', 'default'
    access: str = ""  # what opens it, in words
    stopped_only: bool = False
    acts_at_once: bool = False  # a change acts on a running motor
    overwrites: str = ""
    page: str = ""
    computed: str = ""  # the computed display value where an override replaced it
    override_reason: str = ""
    as_found: str = ""
    as_left: str = ""
    as_left_by: str = ""
    as_left_date: str = ""
    as_left_verdict: str = ""  # '', 'equal', 'differs', 'differs with reason'
    proved_by: str = ""  # id of the test that proves it, or 'read back'
    after: tuple[str, ...] = ()  # numbers that must be written before this one
    stage: str = ""  # stage of the writing order, from functions.STAGES
    danger: str = ""  # what may happen when it is changed, or when it is wrong
    passing: bool = False  # done on the way and not there afterwards: reset, unlocking, identification, save

    @property
    def changed(self) -> bool:
        """True when the drive, as left, holds another value than the default."""
        return self.required != self.default and not self.passing


@dataclass(frozen=True, slots=True)
class SettingsTable:
    """All rows of one drive: `rows` in writing order, `untouched` left at default."""

    drive: str
    model: str
    manual: str
    rows: tuple[SettingRow, ...] = ()
    untouched: tuple[SettingRow, ...] = ()
    findings: tuple[Finding, ...] = ()

    def required(self, function: str, applies_to: str = "") -> SettingRow | None:
        """The row of a function, if this drive has one."""
        for row in (*self.rows, *self.untouched):
            if row.function == function and row.applies_to == applies_to:
                return row
        return None
