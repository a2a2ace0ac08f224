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
    confirm: bool = False  # listed although at default: a drive that was not reset holds another motor's value
    passing: bool = False  # done on the way and not there afterwards: reset, unlocking, identification, save

    @property
    def changed(self) -> bool:
        """True when the drive, as left, holds another value than the default."""
        return self.required != self.default and not self.passing


@dataclass(frozen=True, slots=True)
class OwnerRow:
    """One mode of the owner matrix.

    Parameters
    ----------
    mode, selected_by : str
    command, reference : str
        Who starts and stops, who sets the speed, by the wiring.
    permits : tuple of str
    command_setting, reference_setting : str
        Number and value of the setting that gives them the say, '' when the model has none.
    agrees : bool
        Settings and wiring name the same owner.
    """

    mode: str
    selected_by: str
    command: str
    reference: str
    permits: tuple[str, ...]
    command_setting: str
    reference_setting: str
    agrees: bool


@dataclass(frozen=True, slots=True)
class RestartHazard:
    """One event that may start the machine.

    Parameters
    ----------
    cause : str
        'return of power', 'return of reference', 'return of network', 'fault reset',
        'automatic reset' or 'return of a permissive'.
    starts : str
        'yes', 'no' or 'not known'.
    why : str
        Settings and wiring from which that follows.
    label : str
        Text for the label at the machine, '' when it does not start.
    test : str
        How it is proven on site.
    """

    cause: str
    starts: str
    why: str
    label: str
    test: str


@dataclass(frozen=True, slots=True)
class Drift:
    """A setting that was found at another value than it had been left at."""

    number: str
    name: str
    left: str
    left_date: str
    found: str
    found_date: str


@dataclass(frozen=True, slots=True)
class TerminalSetting:
    """A control terminal with the function that the wiring gives it and the setting that decides it."""

    terminal: str
    label: str
    wired_for: str  # '' when nothing is wired to it
    number: str  # '' when the model's map has no setting for it
    required: str
    agrees: bool


@dataclass(frozen=True, slots=True)
class SettingsTable:
    """All rows of one drive: `rows` in writing order, `untouched` left at default."""

    drive: str
    model: str
    manual: str
    rows: tuple[SettingRow, ...] = ()
    untouched: tuple[SettingRow, ...] = ()
    findings: tuple[Finding, ...] = ()
    owners: tuple[OwnerRow, ...] = ()  # who commands and sets the speed, mode by mode
    hazards: tuple[RestartHazard, ...] = ()  # what may start the machine by itself
    terminals: tuple[TerminalSetting, ...] = ()  # terminal against setting
    drift: tuple[Drift, ...] = ()  # what moved between two visits

    def required(self, function: str, applies_to: str = "") -> SettingRow | None:
        """The row of a function, if this drive has one."""
        for row in (*self.rows, *self.untouched):
            if row.function == function and row.applies_to == applies_to:
                return row
        return None
